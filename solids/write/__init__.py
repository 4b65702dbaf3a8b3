"""All that is written of a piece: one file for each format, which returns bytes. `named.py` lists the files, `table.py`
knows how each is made, and `publish.py` puts them on disk.

Nothing is imported here, so that the report's schema can be had without the geometry kernel.
"""
