"""One file for each file format, each returning bytes; `table.py` names them; `publish.py` puts bytes on disk.

Nothing is imported here, so that the report's schema can be had without the geometry kernel.
"""
