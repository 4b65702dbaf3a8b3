"""Paper for the bench: the booklet, the setup sheet, the sheet of a box, the 1:1 template, and the shop drawing as DXF,
SVG and PDF.

`typesetting` holds the one font and replaces characters that it lacks, puts a drawing's items on a page, and sets
running text. `numbers` and `lists` are what stands on the setup sheet. `booklet` is made of the same parts. The others
make one file each.
"""
