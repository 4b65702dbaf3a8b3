"""Puts strips that may be larger than the paper onto pages at 1:1, with overlap and register marks. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from solids.base.errors import InputError
from solids.base.geometry import PlanePoint, Span
from solids.write.drafting.paper import PaperSize
from solids.write.drafting.sheet import Item, Label, arc, line
from solids.write.drafting.template import Strip

EDGE = 14.0
"""The margin that printers leave white, with room on the left for a bar to measure."""

HEAD, FOOT = 16.0, 28.0
"""Room for the page's heading, and for the bars to measure."""

OVERLAP = 15.0
MARK = 2.5
FROM_EDGE = 4.5
"""How far register marks stand from the ends of an overlap."""

BETWEEN = 10.0
MOST_PAGES = 40
"""More pages than this are wallpaper, not a template."""


@dataclass(frozen=True)
class Tile:
    """A part of one strip, from `low` to `high`. `at` is where `low` lies on the page. `marks` are the register marks
    of the whole strip, in its own coordinates: in the middle of each overlap, so that two pages share them."""

    strip: Strip
    low: PlanePoint
    high: PlanePoint
    at: PlanePoint
    name: str
    marks: tuple[Item, ...]


Page = tuple[Tile, ...]


def room_on(paper: PaperSize) -> PlanePoint:
    """The room on a page for pieces, across and up."""
    return paper.width - 2 * EDGE, paper.height - HEAD - FOOT


def paginate(strips: Sequence[Strip], paper: PaperSize) -> tuple[PaperSize, tuple[Page, ...]]:
    """The sheet, upright or on its side, whichever takes fewer pages, and its pages.

    Of two ways with as many pages, the one with fewer pieces is taken. InputError where there would be more pages than
    anybody would glue together.
    """
    ways = [(sheet, _pages(strips, sheet)) for sheet in (paper, paper.turned())]
    sheet, pages = min(ways, key=lambda way: (len(way[1]), sum(map(len, way[1]))))
    if len(pages) > MOST_PAGES:
        larger = "" if paper.name == "A3" else "take a larger sheet (A3), or "
        raise InputError(
            f"The template would take {len(pages)} sheets of {paper.name}; at most {MOST_PAGES} are printed: {larger}"
            "take a narrower joint"
        )
    return sheet, pages


def _pages(strips: Sequence[Strip], sheet: PaperSize) -> tuple[Page, ...]:
    """All pieces in turn, each below the one before it where the page has room."""
    pages: list[list[Tile]] = []
    for piece in (piece for strip in strips for piece in _tiles(strip, sheet)):
        top = pages[-1][-1].at[1] - BETWEEN if pages else 0.0
        height = piece.high[1] - piece.low[1]
        if top - height >= FOOT:
            pages[-1].append(replace(piece, at=(piece.at[0], top - height)))
        else:
            pages.append([piece])
    return tuple(map(tuple, pages))


def _tiles(strip: Strip, sheet: PaperSize) -> Iterator[Tile]:
    """One strip cut up, row by row from its foot, each from left to right, each at the top of a page."""
    across, up = room_on(sheet)
    columns, rows = cuts(strip.width, across), cuts(strip.height, up)
    marks = tuple(_marks(columns, rows))
    for row, (y1, y2) in enumerate(rows, start=1):
        for column, (x1, x2) in enumerate(columns, start=1):
            name = f"{strip.board}, {column} of {len(columns)} from the left"
            name += f", {row} of {len(rows)} from the foot" if len(rows) > 1 else ""
            at = ((sheet.width - (x2 - x1)) / 2, sheet.height - HEAD - (y2 - y1))
            whole = len(columns) == len(rows) == 1
            yield Tile(strip, (x1, y1), (x2, y2), at, strip.board if whole else name, marks)


def cuts(length: float, room: float) -> list[Span]:
    """Spans of one size that cover a length, each overlapping the next by `OVERLAP`; a single span where it fits."""
    if length <= room:
        return [(0.0, length)]
    count = math.ceil((length - OVERLAP) / (room - OVERLAP))
    step = (length - OVERLAP) / count
    return [(k * step, (k + 1) * step + OVERLAP) for k in range(count)]


def _marks(columns: Sequence[Span], rows: Sequence[Span]) -> Iterator[Item]:
    """A numbered cross in a circle near both ends of every overlap."""
    places = [((x - OVERLAP / 2), y) for _, x in columns[:-1] for row in rows for y in _near_ends(row)]
    places += [(x, (y - OVERLAP / 2)) for _, y in rows[:-1] for column in columns for x in _thirds(column)]
    for number, (x, y) in enumerate(places, start=1):
        yield line("register marks", (x - MARK, y), (x + MARK, y))
        yield line("register marks", (x, y - MARK), (x, y + MARK))
        yield arc("register marks", (x, y), MARK * 0.6, 0.0, 360.0)
        yield Label(str(number), (x + MARK + 0.6, y - 0.9), 1.8, "left")


def _thirds(span: Span) -> Span:
    """Away from the ends, where the marks of the other overlaps stand."""
    third = (span[1] - span[0]) / 3
    return span[0] + third, span[1] - third


def _near_ends(span: Span) -> Span:
    return span[0] + FROM_EDGE, span[1] - FROM_EDGE
