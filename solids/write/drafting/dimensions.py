"""How dimensions are drawn: extension lines, a dimension line with oblique ticks, words above it (ISO 129-1 allows
ticks instead of arrows). `words_at` places the words, in every format alike."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from solids.base.fonts import width_of
from solids.base.geometry import PlanePoint
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Stroke, arc, line

LETTERS = 2.5
"""Height of the words of a dimension: the 2.5 mm of ISO 3098."""

GAP, BEYOND, TICK, ABOVE, CLEAR = 0.8, 1.5, 1.1, 0.7, 0.4
"""In mm on paper: the gap between the part and its extension line; how far that line and the dimension line run on;
half a tick; how far words stand above their line, and at least from another line."""


def words_width(text: str, height: float = LETTERS) -> float:
    """How wide the words of a dimension are."""
    return width_of(text, height)


def dimension_line(dim: Distance) -> tuple[PlanePoint, PlanePoint]:
    """Both ends of the dimension line."""
    if dim.axis == "across":
        y = dim.start[1] + dim.offset
        return (dim.start[0], y), (dim.end[0], y)
    x = dim.start[0] + dim.offset
    return (x, dim.start[1]), (x, dim.end[1])


def words_at(dim: Distance) -> PlanePoint:
    """The middle of the words, on their base line: over the dimension line where they fit between the ticks, else
    beyond its right or upper end."""
    (x1, y1), (x2, y2) = dimension_line(dim)
    span = abs(x2 - x1) + abs(y2 - y1)
    beyond = 0.0 if _fits_between(dim.words, span) else span / 2 + BEYOND + 0.6 + words_width(dim.words) / 2
    if dim.axis == "across":
        return (x1 + x2) / 2 + beyond, y1 + ABOVE
    return x1 - ABOVE, (y1 + y2) / 2 + beyond


def _fits_between(text: str, span: float) -> bool:
    """Whether words stand clear of the ticks at both ends of a dimension line."""
    return words_width(text) + 3 * TICK <= span


def extent(dim: Distance) -> tuple[float, float]:
    """Where the room that a dimension takes along its line begins and ends, words and ticks included."""
    along = 0 if dim.axis == "across" else 1
    ends = sorted(end[along] for end in dimension_line(dim))
    middle, half = words_at(dim)[along], words_width(dim.words) / 2
    return min(ends[0] - BEYOND, middle - half), max(ends[1] + BEYOND, middle + half)


def room_of(dim: Distance) -> tuple[PlanePoint, PlanePoint]:
    """The lower left and upper right corner of the room that a dimension takes on paper, with its words and extension
    lines."""
    low, high = extent(dim)
    (x1, y1), _ = dimension_line(dim)
    if dim.axis == "across":
        heights = (y1 - BEYOND, y1 + max(BEYOND, ABOVE + LETTERS), dim.start[1], dim.end[1])
        return (low, min(heights)), (high, max(heights))
    places = (x1 - max(BEYOND, ABOVE + LETTERS), x1 + BEYOND, dim.start[0], dim.end[0])
    return (min(places), low), (max(places), high)


def stacked(
    whole: Distance, sizes: Iterable[Sequence[Distance]], first: float, step: float, rows: int
) -> list[Distance]:
    """Dimensions across: one for each size, each in the lowest row where it meets no other, and the `whole` above them
    all. A size may be told in several places: the first of those that stand lowest is taken. Sizes that find no place
    in `rows` rows are left out. The first row stands `first` above what is measured."""
    found = [(rows, whole)]
    for places in sizes:
        free = ((row, dim) for row in range(rows) for dim in places if all(_apart(row, dim, *at) for at in found))
        found += [place for place in [next(free, None)] if place]
    top = max((row for row, _ in found[1:]), default=-1) + 1
    return [replace(dim, offset=first + step * min(row, top)) for row, dim in found]


def _apart(row: int, dim: Distance, other_row: int, other: Distance) -> bool:
    """Whether two dimensions do not meet: in one row they stand beside each other; in two, the extension lines of the
    upper one pass beside the words of the lower one."""
    if row == other_row:
        low, high = extent(dim)
        other_low, other_high = extent(other)
        return high < other_low or low > other_high
    upper, lower = (dim, other) if row > other_row else (other, dim)
    middle, half = words_at(lower)[0], words_width(lower.words) / 2 + CLEAR
    return all(abs(x - middle) > half for x in (upper.start[0], upper.end[0]))


def drawn(items: Iterable[Item]) -> Iterator[Stroke | Label]:
    """Every item as strokes and labels; dimensions are resolved into these."""
    for item in items:
        if isinstance(item, Distance):
            yield from _distance(item)
        elif isinstance(item, Angle):
            yield from _angle(item)
        else:
            yield item


def _distance(dim: Distance) -> Iterator[Stroke | Label]:
    ends = dimension_line(dim)
    for point, end in zip((dim.start, dim.end), ends, strict=True):
        yield from _extension(dim.layer, point, end)
    (x1, y1), (x2, y2) = sorted(ends)
    outside = not _fits_between(dim.words, abs(x2 - x1) + abs(y2 - y1))
    reach = BEYOND + (words_width(dim.words) + 0.8 if outside else 0.0)
    if dim.axis == "across":
        yield line(dim.layer, (x1 - BEYOND, y1), (x2 + reach, y2))
    else:
        yield line(dim.layer, (x1, min(y1, y2) - BEYOND), (x2, max(y1, y2) + reach))
    for x, y in ends:
        yield line(dim.layer, (x - TICK, y - TICK), (x + TICK, y + TICK))
    yield Label(dim.words, words_at(dim), LETTERS, turn_deg=0.0 if dim.axis == "across" else 90.0, layer=dim.layer)


def _extension(layer: str, point: PlanePoint, end: PlanePoint) -> Iterator[Stroke]:
    """A line from just beside the part to just past the dimension line; none where the part touches that."""
    dx, dy = end[0] - point[0], end[1] - point[1]
    length = math.hypot(dx, dy)
    if length <= GAP:
        return
    ux, uy = dx / length, dy / length
    yield line(layer, (point[0] + GAP * ux, point[1] + GAP * uy), (end[0] + BEYOND * ux, end[1] + BEYOND * uy))


def angle_words_at(dim: Angle) -> PlanePoint:
    """The middle of the words of an angle, on their base line: horizontal, below the arc, or above one that opens
    upward, moved aside by `dim.aside`."""
    if opens_upward(dim):
        return dim.centre[0] + dim.aside, dim.centre[1] + dim.radius + BEYOND + 0.6
    return dim.centre[0] + dim.aside, dim.centre[1] - dim.radius - BEYOND - LETTERS - 0.6


def opens_upward(dim: Angle) -> bool:
    """Whether the arc of an angle lies above its centre."""
    return math.sin(math.radians((dim.start_deg + dim.end_deg) / 2)) > 0


def _angle(dim: Angle) -> Iterator[Stroke | Label]:
    x, y = dim.centre
    for turn in (math.radians(dim.start_deg), math.radians(dim.end_deg)):
        reach = dim.radius + BEYOND
        yield line(
            dim.layer,
            (x + GAP * math.cos(turn), y + GAP * math.sin(turn)),
            (x + reach * math.cos(turn), y + reach * math.sin(turn)),
        )
    yield arc(dim.layer, dim.centre, dim.radius, dim.start_deg, dim.end_deg)
    yield Label(dim.words, angle_words_at(dim), LETTERS, layer=dim.layer)
