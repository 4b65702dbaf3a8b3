"""Reads our PDF files with other libraries: strokes and line widths from the page's own operators (pikepdf, which is
qpdf), words and pixels with PDFium (pypdfium2)."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pikepdf
import pypdfium2

from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe

MM = 72 / 25.4
"""Points in a millimetre: the default user unit of ISO 32000 is 1/72 in."""


@dataclass(frozen=True)
class Drawn:
    """One stroked path: its points and line width in points, dashes, and whether it is closed."""

    points: tuple[tuple[float, float], ...]
    width: float
    dashes: tuple[float, ...]
    closed: bool

    @property
    def size(self) -> tuple[float, float]:
        xs, ys = zip(*self.points, strict=True)
        return max(xs) - min(xs), max(ys) - min(ys)


class _Reader:
    """Walks through the operators of a page: the matrix, the pen, and every path that is stroked."""

    def __init__(self) -> None:
        self.matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
        self.width, self.dashes = 1.0, ()
        self.stack: list[Any] = []
        self.path: list[tuple[float, float]] = []
        self.closed = False
        self.found: list[Drawn] = []

    def take(self, operator: str, operands: list[Any]) -> None:
        if operator == "q":
            self.stack.append((self.matrix, self.width, self.dashes))
        elif operator == "Q":
            self.matrix, self.width, self.dashes = self.stack.pop()
        elif operator == "cm":
            self.matrix = _times([float(v) for v in operands], self.matrix)
        elif operator == "w":
            self.width = float(operands[0])
        elif operator == "d":
            self.dashes = tuple(float(v) for v in operands[0])
        elif operator in "ml":
            self._go(operator, *(float(v) for v in operands))
        elif operator == "re":
            x, y, w, h = (float(v) for v in operands)
            self.path = [_put(self.matrix, *p) for p in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))]
            self.closed = True
        elif operator == "h":
            self.closed = True
        elif operator in ("S", "s", "n", "f", "B", "W"):
            self._end(operator)

    def _go(self, operator: str, x: float, y: float) -> None:
        if operator == "m":
            self.path, self.closed = [], False
        self.path.append(_put(self.matrix, x, y))

    def _end(self, operator: str) -> None:
        if operator in ("S", "s", "B") and self.path:
            a, b, c, d, _, _ = self.matrix
            scale = abs(a * d - b * c) ** 0.5
            self.found.append(Drawn(tuple(self.path), self.width * scale, self.dashes, self.closed or operator == "s"))
        if operator != "W":
            self.path, self.closed = [], False


def _times(one: list[float], two: tuple[float, ...]) -> tuple[float, float, float, float, float, float]:
    a, b, c, d, e, f = one
    g, h, i, j, k, m = two
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)


def _put(matrix: tuple[float, ...], x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


def strokes_on(page: pikepdf.Page) -> list[Drawn]:
    """Every stroked path of a page, in points from its lower left corner."""
    reader = _Reader()
    for instruction in pikepdf.parse_content_stream(page):
        reader.take(str(instruction.operator), list(instruction.operands))
    return reader.found


def opened(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(data))


def words_of(data: bytes, page: int = 0) -> str:
    """All words of a page, each space, hard space and line break as one space."""
    document = pypdfium2.PdfDocument(data)
    text = document[page].get_textpage().get_text_range()
    document.close()
    return re.sub(r"\s+", " ", text.replace("\N{NO-BREAK SPACE}", " "))


def tight(text: str) -> str:
    """A text without spaces, so that line breaks do not matter."""
    return re.sub(r"\s+", "", text)


def pixels(data: bytes, dpi: int, page: int = 0) -> npt.NDArray[np.uint8]:
    """A page in grey, row 0 on top."""
    document = pypdfium2.PdfDocument(data)
    found: npt.NDArray[np.uint8] = document[page].render(scale=dpi / 72, grayscale=True).to_numpy().copy()
    document.close()
    return found.reshape(found.shape[0], found.shape[1])


def boxes_of_words(data: bytes, page: int = 0) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Each run of words with the box of its ink in points: left, foot, right, head."""
    document = pypdfium2.PdfDocument(data)
    text = document[page].get_textpage()
    found = []
    for number in range(text.count_rects()):
        box = text.get_rect(number)
        found.append((text.get_text_bounded(*box).strip(), box))
    document.close()
    return [(words, box) for words, box in found if words]


# --- recipes that are hard on paper ----------------------------------------------------------------

NASTY = """
title = "{title}"
units = "in"
[joint]
spacing = ["17.3 mm", "19.7 mm", "21.1 mm", "23.3 mm", "18.9 mm", "16.7 mm", "22.2 mm", "24.4 mm", "25.1 mm",
    "26.9 mm", "27.7 mm", "28.3 mm"]
width = "335.3 mm"
pin = "3.3 mm"
half_pin = "13.7 mm"
slope = "9.37 deg"
[tail_board]
thickness = "17.7 mm"
length = "123.4 mm"
wood = {{ name = "{wood}", kind = "hardwood", density = 690 }}
proud = "1.3 mm"
[pin_board]
thickness = "15.3 mm"
length = "234.5 mm"
wood = {{ name = "{wood}", kind = "softwood", density = 300 }}
proud = "1.7 mm"
[fit]
flank_gap = "0.17 mm"
[finish]
ends = "proud"
chamfer = "0.4 mm"
[entry_chamfer]
width = "1 mm"
[undercut]
depth = "0.3 mm"
[kit]
chisels = ["3 mm", "6 mm", "10 mm", "1 1/8 in"]
saw_kerf = "0.6 mm"
knife = "0.8 mm"
cutters = ["3 mm", "6 mm"]
[climate]
shop = "20 C, 55 %"
home = "21 C, 30 %"
[paper]
corner_relief = true
size = "{size}"
"""

TITLES = {
    "wide letters": "W" * 80,
    "words": " ".join(["Eighty"] * 11)[:80],
    "accents": "Kästchen für Nähzeug, Öl & Übungsstücke: é ł Ω Ж",
    "markup": "a <b> & 'c' &lt; <br> <i>",
    "Chinese": "木工の引き出しの角の箱" * 7,
}


def nasty(title: str = "wide letters", wood: str = "Wide Old Wood " * 5, size: str = "A4") -> Layout:
    """Twelve widths of tail in long fractions, every key of the kit, proud ends with chamfers, hollows, own woods."""
    text = NASTY.format(title=TITLES[title], wood=wood.strip()[:80], size=size)
    return lay_out(parse_recipe(text, "recipe", ()))
