"""rsvg-convert, which is librsvg, draws the picture of a board so large that a ruler finds its size."""

from __future__ import annotations

import io
import shutil
import subprocess
import xml.etree.ElementTree as ET

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from solids.layout.setups import MachineBoard
from solids.write.drafting.outlines import picture_at_full_size
from solids.write.paper.svg import svg_bytes
from tests.write.drafting.machine import boards_of, boards_of_box

RSVG = shutil.which("rsvg-convert")
DPI = 254
"""Ten pixels to the millimetre."""
SVG = "{http://www.w3.org/2000/svg}"

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(RSVG is None, reason="rsvg-convert is not on PATH (Debian package librsvg2-bin)"),
]


def outline_alone(data: bytes, setup: str) -> bytes:
    """The picture without anything but one outline."""
    root = ET.fromstring(data)
    for group in root.findall(f"{SVG}g"):
        if group.get("id") != f"{setup}-outline":
            root.remove(group)
    return ET.tostring(root)


def dark(data: bytes) -> npt.NDArray[np.bool_]:
    done = subprocess.run([str(RSVG), f"--dpi-x={DPI}", f"--dpi-y={DPI}"], input=data, capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    grey = np.asarray(Image.open(io.BytesIO(done.stdout)).convert("L"))
    found: npt.NDArray[np.bool_] = grey < 128
    return found


def size_mm(dots: npt.NDArray[np.bool_]) -> tuple[float, float]:
    """From the middle of the outermost line on one side to that on the other, across and up. The line is 0.25 wide."""
    across, up = (dots.any(axis=axis).nonzero()[0] for axis in (0, 1))
    wide, high = ((ends[-1] - ends[0] + 1) / DPI * 25.4 - 0.25 for ends in (across, up))
    return float(wide), float(high)


TRAY, BOX = boards_of("tool-tray"), boards_of_box("keepsake-box")
CASES: dict[str, tuple[MachineBoard, str, tuple[float, float]]] = {
    # 12.5 mm of tails before the board's own length, which the recipe has as 120; 96 wide.
    "tail board": (TRAY["tail board"], "flat", (132.5, 96.0)),
    "pin board": (TRAY["pin board"], "end", (96.0, 12.0)),
    "a side of a box": (BOX["left"], "flat", (161.0, 80.0)),
    "an end of a box": (BOX["front"], "left end", (80.0, 12.0)),
}


@pytest.mark.parametrize("name", CASES)
def test_an_outline_is_as_long_and_as_wide_as_the_wood(name: str) -> None:
    """To a pixel and a half, 0.15 mm: a line of 0.25 mm is two and a half pixels wide."""
    board, setup, size = CASES[name]
    data = svg_bytes(picture_at_full_size(board, "a title"))
    assert size_mm(dark(outline_alone(data, setup.replace(" ", "-")))) == pytest.approx(size, abs=0.15)


@pytest.mark.parametrize("name", CASES)
def test_the_whole_picture_has_the_size_that_it_tells_and_words_in_it(name: str) -> None:
    board, setup, _ = CASES[name]
    sheet = picture_at_full_size(board, "a title")
    data = svg_bytes(sheet)
    dots = dark(data)
    high, wide = dots.shape
    assert (wide, high) == (pytest.approx(sheet.width * 10, abs=1.5), pytest.approx(sheet.height * 10, abs=1.5))
    alone = dark(outline_alone(data, setup.replace(" ", "-")))
    assert dots.sum() > alone.sum() > 1000
