"""Running text on a sheet: paragraphs, boxes to tick, cautions. Set with reportlab's platypus. Letters are sized in
points, places given in mm."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, TypeVar
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Frame, Paragraph, Table, TableStyle

from solids.base.cautions import BY_HAND
from solids.base.errors import FaultError
from solids.write.paper.typesetting.letters import FAMILY, in_font, width_of

if TYPE_CHECKING:
    from solids.write.paper.typesetting.pdf import Pages

BOX = 3.2

Found = TypeVar("Found")


def _frame(at: tuple[float, float], size: tuple[float, float]) -> Frame:
    return Frame(
        at[0] * mm, at[1] * mm, size[0] * mm, size[1] * mm, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0
    )


def flow_height(flow: list[Flowable], width: float) -> float:
    """The height of a column of this width (mm)."""
    return sum(part.wrap(width * mm, 1e6)[1] + part.getSpaceAfter() for part in flow) / mm + 0.5


def largest(sizes: Sequence[float], tried: Callable[[float], Found | None]) -> Found | None:
    """The text in the largest letters, of `sizes` from the largest down, that fit: `tried` sets it in some, and gives
    None where they do not. None where none do. As a text takes a moment to set, what is left to try is halved each
    time."""
    best, low, high = None, 0, len(sizes)
    while low < high:
        middle = (low + high) // 2
        found = tried(sizes[middle])
        best, low, high = (best, middle + 1, high) if found is None else (found, low, middle)
    return best


def put(file: Pages, flow: list[Flowable], at: tuple[float, float], size: tuple[float, float]) -> None:
    """Puts text into a rectangle; FaultError where it does not fit."""
    left_over = list(flow)
    _frame(at, size).addFromList(left_over, file.canvas)
    if left_over:
        raise FaultError("the text does not fit its page")


def style(size: float, *, after: float = 0.0) -> ParagraphStyle:
    """Plain text of this size, with room `after` it."""
    return ParagraphStyle("body", fontName=FAMILY, fontSize=size, leading=size * 1.2, spaceAfter=after)


def head(text: str, size: float) -> Paragraph:
    """A heading for text of this size."""
    bold = ParagraphStyle("head", parent=style(size * 1.15, after=size * 0.25), keepWithNext=1)
    return Paragraph(f"<b>{safe(text)}</b>", bold)


def safe(text: str) -> str:
    """A text for a paragraph: not taken for markup, and never broken within a number or between it and its unit."""
    return re.sub(
        r"(?<=\d) (?=(mm2?|m2|in|kN|N|lbf|%|deg|C|F|min|s|h|g|kg|oz|lb|sq)\b)|(?<=\d sq) (?=in\b)"
        r"|(?<=\d) (?=\d+/\d+ in\b)",
        "\N{NO-BREAK SPACE}",
        escape(in_font(text)),
    )


def to_tick(words: Paragraph, size: float, indent: float = 0.0) -> Table:
    """A step with a box before it, indented (mm) where it is part of the step before."""
    # One that is longer than a column runs on in the next, with at least two of its lines on either side.
    row = Table([["", TickBox(size), words]], colWidths=[indent * mm, 5.2 * mm, None], splitInRow=round(2.4 * size))
    row.setStyle(no_padding(size * 0.28))
    return row


class TickBox(Flowable):
    """An empty square to tick, as high as a capital."""

    def __init__(self, size: float) -> None:
        super().__init__()
        self.width = self.height = BOX * mm
        self._drop = size * 0.1

    def draw(self) -> None:
        """Draws it, when platypus asks."""
        self.canv.setLineWidth(0.35 * mm)
        self.canv.rect(0, -self._drop, self.width, self.height)


def no_padding(below: float) -> TableStyle:
    """A table without padding, but for some room `below` each row."""
    return TableStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), below),
        ]
    )


CELL_APART = 4.0
"""Room on the right of each cell of a table, in points."""


def told_table(rows: Sequence[Sequence[str]], shares: Sequence[float], size: float, width: float) -> Table:
    """A table of words, its head first, as wide as given (mm). Its columns have their `shares` of that, but where a
    word or an amount is wider than its column."""
    letters, widths = _columns(rows, shares, size, width)
    return ruled_table([[Paragraph(safe(cell), style(letters)) for cell in row] for row in rows], widths)


def _columns(
    rows: Sequence[Sequence[str]], shares: Sequence[float], size: float, width: float
) -> tuple[float, list[float]]:
    """The size of the letters, at most `size`, and how wide each column is (mm): no word is cut. What some need beyond
    their shares is taken from those that have more than they need, as much of each."""

    def least_of(column: Sequence[str]) -> float:
        return (max(width_of(part, size) for cell in column for part in safe(cell).split(" ")) + CELL_APART) / mm

    least = [least_of(column) for column in zip(*rows, strict=True)]
    if sum(least) > width:
        return _columns(rows, shares, 0.95 * size, width)
    pairs = [
        (share * width, need) for share, need in zip(shares, least, strict=False)
    ]  # some columns are of inches alone
    short = sum(max(need - has, 0.0) for has, need in pairs)
    spare = sum(max(has - need, 0.0) for has, need in pairs)
    return size, [need if need > has else has - (has - need) * short / spare for has, need in pairs]


def ruled_table(cells: list[list[Paragraph]], widths: Sequence[float]) -> Table:
    """A table with a line below each row but the last, its columns so wide (mm)."""
    table = Table(cells, colWidths=[width * mm for width in widths])
    rules = [("LINEBELOW", (0, 0), (-1, -2), 0.3, "#999999"), ("LINEBELOW", (0, 0), (-1, 0), 0.6, "#000000")]
    pads = [("RIGHTPADDING", (0, 0), (-1, -1), CELL_APART), ("TOPPADDING", (0, 0), (-1, -1), 1)]
    table.setStyle(TableStyle([*rules, *pads], parent=no_padding(1)))
    return table


def cautions_flow(size: float) -> list[Flowable]:
    """All cautions in one paragraph, for work by hand; none is ever left out."""
    words = " ".join(f"<b>{safe(caution.topic)}.</b> {safe(caution.text)}" for caution in BY_HAND)
    return [Paragraph(words, style(max(size, 5.5)))]


def small(texts: Iterable[str], size: float) -> list[Flowable]:
    """Paragraphs a little smaller than the text beside them."""
    return [Paragraph(safe(text), style(size * 0.92, after=size * 0.15)) for text in texts]
