"""What a drawing is made of. Coordinates are mm with Y up; heights of letters and offsets are mm on paper."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from solids.base.geometry import PlanePoint
from solids.base.lengths import RULE, Reading

Align = Literal["left", "middle", "right"]


@dataclass(frozen=True)
class Stroke:
    """A line through some points, closed where it runs back to the first."""

    layer: str
    points: tuple[PlanePoint, ...]
    closed: bool = False


@dataclass(frozen=True)
class Label:
    """A line of words. `at` is its left end, middle or right end, on the base line."""

    text: str
    at: PlanePoint
    height: float
    align: Align = "middle"
    turn_deg: float = 0.0
    bold: bool = False
    layer: str = "text"


@dataclass(frozen=True)
class Distance:
    """A dimension along X ("across") or along Y ("up") between two points. Its line stands `offset` from `start`,
    upward or to the right where positive; it shows the `number`, told by its `reading`, and `more` behind that."""

    start: PlanePoint
    end: PlanePoint
    offset: float
    number: str
    axis: Literal["across", "up"] = "across"
    more: str = ""
    reading: Reading = RULE
    layer: str = "dimensions"

    @property
    def words(self) -> str:
        """All that it shows."""
        return self.number + self.more


@dataclass(frozen=True)
class Angle:
    """A dimension of an angle: from one direction to another, counter-clockwise, on an arc of `radius` (on paper). It
    shows the `number`, and `more` behind that, `aside` to the right of its centre."""

    centre: PlanePoint
    start_deg: float
    end_deg: float
    radius: float
    number: str
    more: str = ""
    aside: float = 0.0
    layer: str = "dimensions"

    @property
    def words(self) -> str:
        """All that it shows."""
        return self.number + self.more


Item = Stroke | Label | Distance | Angle


@dataclass(frozen=True)
class Sheet:
    """A drawing on one sheet of paper: its size, the scale of its views (0.5 is 1:2), and what is printed."""

    title: str
    width: float
    height: float
    scale: float
    items: tuple[Item, ...]


def placed(items: Iterable[Item], scale: float, at: PlanePoint) -> list[Item]:
    """The items scaled about their origin and moved to `at`. Letters and offsets keep their size on paper."""

    def put(point: PlanePoint) -> PlanePoint:
        return at[0] + scale * point[0], at[1] + scale * point[1]

    return [mapped(item, put) for item in items]


def mapped(item: Item, put: Callable[[PlanePoint], PlanePoint]) -> Item:
    """The item with all its points moved by `put`. Letters and offsets keep their size."""
    if isinstance(item, Stroke):
        return replace(item, points=tuple(put(point) for point in item.points))
    if isinstance(item, Label):
        return replace(item, at=put(item.at))
    if isinstance(item, Distance):
        return replace(item, start=put(item.start), end=put(item.end))
    return replace(item, centre=put(item.centre))


def bounds(items: Iterable[Item]) -> tuple[PlanePoint, PlanePoint]:
    """The lower left and upper right corner of all the points of some items."""
    points = [point for item in items for point in _points(item)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _points(item: Item) -> Sequence[PlanePoint]:
    if isinstance(item, Stroke):
        return item.points
    if isinstance(item, Label):
        return (item.at,)
    if isinstance(item, Distance):
        return (item.start, item.end)
    return (item.centre,)


def box(layer: str, low: PlanePoint, high: PlanePoint) -> Stroke:
    """A rectangle."""
    return Stroke(layer, (low, (high[0], low[1]), high, (low[0], high[1])), closed=True)


def uprights(layer: str, places: Iterable[float], start: float, end: float) -> Iterator[Stroke]:
    """Lines from one height to another at some places across."""
    return (line(layer, (x, start), (x, end)) for x in places)


def line(layer: str, start: PlanePoint, end: PlanePoint) -> Stroke:
    """A straight line."""
    return Stroke(layer, (start, end))


def arc(layer: str, centre: PlanePoint, radius: float, start_deg: float, end_deg: float, steps: int = 24) -> Stroke:
    """An arc as a chain of short straight lines."""
    turns = [math.radians(start_deg + (end_deg - start_deg) * k / steps) for k in range(steps + 1)]
    return Stroke(layer, tuple((centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns))


def break_line(span: tuple[float, float], at: float, axis: int, scale: float) -> Stroke:
    """A thin line with one zigzag across the end where a board is broken off, standing a little past both edges: across
    `span` at a place `at` on the other axis, 0 being X and 1 being Y, on a drawing of this scale."""
    past, jag = 2.0 / scale, 1.6 / scale
    low, high = span[0] - past, span[1] + past
    middle = (low + high) / 2
    along = [low, middle - jag, middle - jag / 2, middle + jag / 2, middle + jag, high]
    across = [at, at, at + jag * 1.5, at - jag * 1.5, at, at]
    points = zip(along, across, strict=True) if axis == 1 else zip(across, along, strict=True)
    return Stroke("break lines", tuple(points))
