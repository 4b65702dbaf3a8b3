"""Poppler draws every sheet of a box's drawings, and LibreCAD, as Debian ships it, opens its sections."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from solids.write.drafting.dimensions import drawn
from solids.write.drafting.sheet import Stroke
from solids.write.files.table import files_of
from tests.write.drafting.whole.cases import drawings, job
from tests.write.paper.reading import opened, strokes_on

PDFTOPPM, LIBRECAD = shutil.which("pdftoppm"), shutil.which("librecad")

pytestmark = pytest.mark.outside


def written(name: str, file: str, folder: Path) -> Path:
    (made,) = (each for each in files_of(job(name), "paper") if each.name == file)
    path = folder / Path(file).name
    path.write_bytes(made.make())
    return path


@pytest.mark.skipif(PDFTOPPM is None, reason="pdftoppm is not on PATH (Debian package poppler-utils)")
def test_poppler_draws_every_sheet_and_none_is_blank(tmp_path: Path) -> None:
    path = written("keepsake", "drawings.pdf", tmp_path)
    command = [str(PDFTOPPM), "-r", "50", "-gray", str(path), str(tmp_path / "page")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    pages = sorted(tmp_path.glob("page-*.pgm"))
    assert len(pages) == len(drawings("keepsake").pages)
    for page in pages:
        _, width, height, _, dots = page.read_bytes().split(maxsplit=4)
        count = int(width) * int(height)
        assert 0.01 < sum(dot < 128 for dot in dots[-count:]) / count < 0.3


@pytest.mark.skipif(LIBRECAD is None, reason="librecad is not on PATH (Debian package librecad)")
@pytest.mark.parametrize("name", ["keepsake", "old release"])
def test_librecad_draws_as_many_lines_as_the_sections_have(name: str, tmp_path: Path) -> None:
    """At least: its letters are strokes too."""
    path = written(name, "drawings/sections.dxf", tmp_path)
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(tmp_path), "XDG_RUNTIME_DIR": str(tmp_path)}
    command = [str(LIBRECAD), "dxf2pdf", "-a", str(path)]
    done = subprocess.run(command, env=env, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    lines = [item for item in drawn(drawings(name).sheet("sections").items) if isinstance(item, Stroke)]
    with opened(path.with_suffix(".pdf").read_bytes()) as pdf:
        assert len(strokes_on(pdf.pages[0])) >= len(lines)
