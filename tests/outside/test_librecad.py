"""LibreCAD, as Debian ships it, opens what a machine takes of a board in every release of DXF, and draws all of it."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from solids.recipe.tables.resolved import DxfVersion
from solids.write.drafting.outlines import Items, machine_items
from solids.write.paper.dxf import machine_dxf_bytes
from tests.write.drafting.machine import boards_of, boards_of_box
from tests.write.paper.reading import opened, strokes_on

LIBRECAD = shutil.which("librecad")
RELEASES: tuple[DxfVersion, ...] = ("R12", "R2010", "R2018")

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(LIBRECAD is None, reason="librecad is not on PATH (Debian package librecad)"),
]


def drawn(folder: Path, items: Items, release: DxfVersion) -> int:
    """How many strokes LibreCAD prints of a file; its letters are strokes too. Its window stays off the screen."""
    file = folder / f"{release}-{len(items)}.dxf"
    file.write_bytes(machine_dxf_bytes(items, "mm", release))
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(folder), "XDG_RUNTIME_DIR": str(folder)}
    done = subprocess.run(
        [str(LIBRECAD), "dxf2pdf", "-a", str(file)], env=env, capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stderr
    with opened(file.with_suffix(".pdf").read_bytes()) as pdf:
        assert len(pdf.pages) == 1
        return len(strokes_on(pdf.pages[0]))


@pytest.mark.parametrize("board", ["tail board", "front"])
def test_every_release_is_opened_and_drawn_whole(tmp_path: Path, board: str) -> None:
    """As many strokes in the oldest release as in the newest, at least one to each side of each ring; and fewer once a
    ring is left out, so that the count tells."""
    boards = boards_of if board == "tail board" else boards_of_box
    found = boards("tool-tray" if board == "tail board" else "keepsake-box", "kit.cutters=[2.2, 3, 6]")[board]
    items = machine_items(found)
    counts = {release: drawn(tmp_path, items, release) for release in RELEASES}
    assert len(set(counts.values())) == 1, counts
    assert counts["R12"] > len(items)
    for release in ("R12", "R2018"):
        assert drawn(tmp_path, items[1:], release) < counts[release]  # type: ignore[arg-type]
