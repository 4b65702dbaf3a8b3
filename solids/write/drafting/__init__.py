"""Drawings as plain records: lines, words and dimensions on a sheet, which `write/paper` turns into PDF, SVG and DXF.

`sheet` holds the records, `layers` the layers and their line widths, `dimensions` how a dimension is drawn, `segments`
tidies projected edges, `views` the shop drawing, `outlines` what a CAM program takes, `template` and `tiling` the paper
template. Lengths in mm, Y up.
"""
