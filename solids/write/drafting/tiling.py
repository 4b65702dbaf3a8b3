"""Puts strips that may be larger than the paper onto pages at 1:1, with overlap and register marks. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

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

    All strips stand on one page where they fit; otherwise each begins a page of its own. InputError where there would
    be more pages than anybody would glue together.
    """
    ways = [(sheet, _pages(strips, sheet)) for sheet in (paper, paper.turned())]
    sheet, pages = min(ways, key=lambda way: len(way[1]))
    if len(pages) > MOST_PAGES:
        larger = "" if paper.name == "A3" else "take a larger sheet (--size A3), or "
        raise InputError(
            f"The template would take {len(pages)} sheets of {paper.name}; at most {MOST_PAGES} are printed: {larger}"
            "take a narrower joint"
        )
    return sheet, pages


def _pages(strips: Sequence[Strip], sheet: PaperSize) -> tuple[Page, ...]:
    across, up = room_on(sheet)
    together = sum(strip.height for strip in strips) + BETWEEN * (len(strips) - 1)
    if together <= up and max(strip.width for strip in strips) <= across:
        return (tuple(_stacked(strips, sheet)),)
    return tuple((piece,) for strip in strips for piece in _tiles(strip, sheet))


def _stacked(strips: Sequence[Strip], sheet: PaperSize) -> Iterator[Tile]:
    """All strips on one page, the first on top."""
    top = sheet.height - HEAD
    for strip in strips:
        at = ((sheet.width - strip.width) / 2, top - strip.height)
        yield Tile(strip, (0.0, 0.0), (strip.width, strip.height), at, strip.board, ())
        top = at[1] - BETWEEN


def _tiles(strip: Strip, sheet: PaperSize) -> Iterator[Tile]:
    """One strip cut up, row by row from its foot, each from left to right."""
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
