"""Paper for the bench: the setup sheet, the 1:1 template, and the shop drawing as DXF, SVG and PDF.

`letters` holds the one font and what is done with characters outside it, `pdf` puts a drawing's items on a page, the
others make one file each.
"""
