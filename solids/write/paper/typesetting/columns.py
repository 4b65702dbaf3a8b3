"""Running text poured into columns, over as few pages as it takes, in letters as large as fit there. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Spacer, Table

from solids.base.errors import FaultError
from solids.write.paper.typesetting.flow import largest
from solids.write.paper.typesetting.pdf import EDGE, Pages

BETWEEN = 8.0
"""Room between two columns."""

SHORT = 0.7
"""A column is much shorter than the other if it is less than this share of it."""

MORE_THAN_HALF = (0.52, 0.56, 0.62, 0.7)
"""Shares of a text that a column may take, where both are to be about as long."""

MOST_PAGES = 24
"""More pages than this take no text of ours."""

Flow = list[Flowable]


@dataclass(frozen=True)
class Column:
    """A place for text: its lower left corner and its size."""

    left: float
    foot: float
    width: float
    height: float


Columns = tuple[Column, ...]
"""Those of one page, side by side."""

Placed = list[tuple[Flowable, float, float]]
"""Parts of the text and their places on a page, in points."""


def two_columns(file: Pages, top: float) -> Columns:
    """Two columns of one width below a height of the page."""
    wide = (file.width - 2 * EDGE - BETWEEN) / 2
    return tuple(Column(EDGE + k * (wide + BETWEEN), EDGE, wide, top - EDGE) for k in (0, 1))


def one_column(file: Pages, top: float) -> Columns:
    """The whole width below a height of the page."""
    return (Column(EDGE, EDGE, file.width - 2 * EDGE, top - EDGE),)


def put_text(
    file: Pages,
    flow_of: Callable[[float], Flow],
    top: float,
    sizes: Sequence[float],
    columns_of: Callable[[Pages, float], Columns] = two_columns,
) -> None:
    """Puts a text below a height of this page, and on further pages where it takes some. `flow_of` makes it in letters
    of a size, in points; `sizes` are those to try, the largest first. The last page is not ended. FaultError where it
    takes too many pages."""
    pages = [columns_of(file, top), *[columns_of(file, file.height - EDGE)] * (MOST_PAGES - 1)]
    size, placed = _largest(flow_of, pages, sizes)
    for number, page in enumerate(_balanced(flow_of, size, pages[: len(placed)], placed)):
        if number:
            file.next_page()
        for part, x, y in page:
            part.drawOn(file.canvas, x, y)


def _largest(
    flow_of: Callable[[float], Flow], pages: Sequence[Columns], sizes: Sequence[float]
) -> tuple[float, list[Placed]]:
    """The largest letters in which the text takes no more pages than in the smallest, and where it goes. The largest of
    all are tried first, as they most often fit one page."""
    first = poured(flow_of(sizes[0]), pages)
    if first and len(first) == 1:
        return sizes[0], first
    best = poured(flow_of(sizes[-1]), pages)
    if best is None:
        raise FaultError("the text does not fit its pages")
    if first and len(first) == len(best):
        return sizes[0], first
    few = pages[: len(best)]

    def tried(size: float) -> tuple[float, list[Placed]] | None:
        placed = poured(flow_of(size), few)
        return (size, placed) if placed else None

    return largest(sizes[1:-1], tried) or (sizes[-1], best)


def _balanced(
    flow_of: Callable[[float], Flow], size: float, pages: Sequence[Columns], placed: list[Placed]
) -> list[Placed]:
    """The same with both columns of the last page about as long, where the second would be much shorter."""
    if len(pages[-1]) != 2:
        return placed
    (first, second), last = pages[-1], placed[-1]
    left, right = (_depth(last, column) for column in (first, second))
    for share in MORE_THAN_HALF if right < SHORT * left else ():
        height = share * (left + right)
        columns = tuple(replace(each, foot=each.foot + each.height - height, height=height) for each in (first, second))
        tried = poured(flow_of(size), [*pages[:-1], columns]) if height < first.height else None
        if tried:
            return tried
    return placed


def _depth(placed: Placed, column: Column) -> float:
    """How far down a column its text reaches (mm)."""
    feet = [y for _, x, y in placed if abs(x - column.left * mm) < 1.0]
    return column.foot + column.height - min(feet) / mm if feet else 0.0


def poured(flow: Flow, pages: Sequence[Sequence[Column]]) -> list[Placed] | None:
    """Where each part of a text goes, on each page that it takes; None where these do not hold it. A heading stands
    over what follows it, and what may be parted runs on in the next column; a short table is kept together."""
    left, found, heights = list(flow), list[Placed](), Heights()
    for columns in pages:
        found.append([])
        for column in columns:
            left = _fill(left, column, found[-1], heights)
        if not left:
            return found
    return None


class Heights:
    """How high parts of one text are in columns of a width. Each is asked for once or twice, and takes long to find."""

    def __init__(self) -> None:
        # Parts are kept with their heights: no later one can then have the same `id`.
        self._found: dict[tuple[int, float], tuple[Flowable, float]] = {}

    def of(self, part: Flowable, width: float) -> float:
        """The height of a part, in points, as its width is."""
        key = id(part), width
        if key not in self._found:
            self._found[key] = part, part.wrap(width, 1e6)[1]
        return self._found[key][1]

    def forget(self, part: Flowable, width: float) -> None:
        """Has the height of a part found again when it is asked for."""
        self._found.pop((id(part), width), None)


def _fill(left: Flow, column: Column, placed: Placed, heights: Heights) -> Flow:
    """Puts as much as fits into one column, and returns the rest."""
    x, y, foot, width = column.left * mm, (column.foot + column.height) * mm, column.foot * mm, column.width * mm
    begun = False
    while left:
        part, *rest = left
        height = heights.of(part, width)
        if isinstance(part, Spacer) and not begun:
            left = rest
        elif height + _held(part, rest, column, heights) <= y - foot:
            placed.append((part, x, y - height))
            y -= height + part.getSpaceAfter()
            left, begun = rest, True
        else:
            pieces = [] if _is_head(part) or _is_whole(part, height, column) else part.split(width, y - foot)
            if len(pieces) < 2:
                heights.forget(part, width)  # a paragraph that could not be parted no longer knows its lines
                break
            _, height = pieces[0].wrap(width, y - foot)
            placed.append((pieces[0], x, y - height))
            return [*pieces[1:], *rest]
    return left


LINES_HELD = 30.0
"""How much of what follows a heading must stand below it, in points."""


def _held(part: Flowable, rest: Flow, column: Column, heights: Heights) -> float:
    if not _is_head(part) or not rest:
        return 0.0
    height = heights.of(rest[0], column.width * mm)
    return float(part.getSpaceAfter() + (height if _is_whole(rest[0], height, column) else min(LINES_HELD, height)))


def _is_whole(part: Flowable, height: float, column: Column) -> bool:
    """Whether a part so high is never parted: a table no longer than half a column, so that no great gap is left."""
    return isinstance(part, Table) and height <= column.height * mm / 2


def _is_head(part: Flowable) -> bool:
    return bool(part.getKeepWithNext())  # type: ignore[no-untyped-call]
