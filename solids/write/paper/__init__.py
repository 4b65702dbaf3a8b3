"""Paper for the bench: the setup sheet, the sheet of a box, the 1:1 template, and the shop drawing as DXF, SVG and PDF.

`letters` holds the one font and replaces characters that it lacks, `pdf` puts a drawing's items on a page, `flow` sets
running text, and the others make one file each.
"""
