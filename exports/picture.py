"""Draws `exports/tool-tray/tool-tray.png`, small: the joint of the worked example, put together and apart.

Run from the project's folder: .venv/bin/python exports/picture.py
"""

from __future__ import annotations

from pathlib import Path

import solids
from solids.write.formats.picture import png_bytes

OUT = Path(__file__).parent / "tool-tray" / "tool-tray.png"

if __name__ == "__main__":
    job = solids.prove_layout(solids.lay_out(solids.read_recipe("tool-tray")))
    OUT.write_bytes(png_bytes(job.scene, 1200))
