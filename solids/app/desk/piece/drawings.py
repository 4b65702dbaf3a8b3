"""A joint as the page draws it: the finished corner seen on the tail board's show face, and on the pin board's; and
what any drawing of the page is made of. Pure arithmetic, lengths in mm.

Both are views of one drawing in third-angle projection (ISO 5456-2), as the shop drawing has them. The face has X to
the right and Y up, so the raw end is up. The end stands above it: X to the right and -Z up. There the tail board lies
below, and the pin board rises from it. A drawing that is handed out has its lower left corner at (0, 0).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER, format_length
from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.states import State

Kind = Literal["wood", "waste", "line", "hidden", "number", "dimension"]
ViewName = Literal["face", "end", "plan", "section"]

TAIL_BOARD, PIN_BOARD = "tail board", "pin board"

STUB_SHARE, LEAST_STUB = 1.5, 14.0
"""How much of each board is drawn behind its baseline: a share of how far the joint reaches there, and the least of it
(mm)."""

DIMENSION_AT = 0.8
"""How far down that piece the dimension of the width stands, as a share of it."""

REFERENCE_EDGE = "reference edge"

DECIMALS = 4
"""Of places on a drawing."""


@dataclass(frozen=True)
class Shape:
    """One line, area or word. A number stands at its one point; a dimension runs between two, `words` beside it."""

    kind: Kind
    points: tuple[PlanePoint, ...]
    words: str = ""

    @property
    def closed(self) -> bool:
        """Whether it is an area."""
        return self.kind in ("wood", "waste")


@dataclass(frozen=True)
class View:
    """A drawing: its size, what is on it, and where its origin lies, as X = 0 and the baseline of a joint."""

    name: ViewName
    width: float
    height: float
    origin: PlanePoint
    shapes: tuple[Shape, ...]

    def at(self, x: float, up: float) -> PlanePoint:
        """Where a point is on the drawing, by its X and how far it is above the origin."""
        return self.origin[0] + x, self.origin[1] + up

    def as_json(self) -> dict[str, Any]:
        """The drawing as the page reads it."""
        shapes = [
            {
                "kind": shape.kind,
                "points": [rounded(self.at(*point)) for point in shape.points],
                "closed": shape.closed,
                "words": shape.words,
            }
            for shape in self.shapes
        ]
        return {"width": round(self.width, DECIMALS), "height": round(self.height, DECIMALS), "shapes": shapes}


@dataclass(frozen=True)
class Handle:
    """One thing to move: where it is on its drawing, along which axis it moves, its value in mm (of tails, how many),
    as it is shown, and the keys of the recipe that hold it. `step` is how far an arrow moves it, `fine` with Shift.
    `sense` is 1 where its value grows to the right or up, else -1. `of` is the key of the joint behind those of a
    box."""

    name: str
    words: str
    drawing: ViewName
    at: tuple[float, float]
    along: str
    value: float
    shown: str
    step: float
    fine: float
    keys: tuple[str, ...]
    sense: int = 1
    of: str = ""

    def as_json(self) -> dict[str, Any]:
        """The handle as the page reads it."""
        return {
            "name": self.name,
            "words": self.words,
            "drawing": self.drawing,
            "at": rounded(self.at),
            "along": self.along,
            "value_mm": round(self.value, 6),
            "shown": self.shown,
            "step_mm": self.step,
            "fine_mm": self.fine,
            "key": self.keys[0],
            "keys": list(self.keys),
            "sense": self.sense,
            "of": self.of or self.keys[0],
        }


def rounded(point: PlanePoint) -> list[float]:
    """A point with as many decimals as a screen needs."""
    return [round(value, DECIMALS) + 0.0 for value in point]


def face_view(layout: Layout) -> View:
    """The finished corner on the tail board's show face: tails, the end grain of the pins between them, and the
    baseline. The origin is at X = 0 on the baseline."""
    state, (below, above) = layout.as_finished, layout.strips
    stub = min(layout.recipe.tail_board.length, max(STUB_SHARE * state.show_y, LEAST_STUB))
    top = max(state.show_y, state.tail_end)
    shapes = (*_face_shapes(layout, state, stub), *_numbers(layout, state.tail_end / 2))
    return View("face", below + layout.width + above, stub + top, (below, stub), shapes)


def end_view(layout: Layout) -> View:
    """The finished corner on the pin board's show face: the sockets with the ends of the tails in them, or a half-blind
    one's lap with the sockets hidden behind it. The origin is at X = 0, at the ends of the pins."""
    state, (below, above) = layout.as_finished, layout.strips
    stub = min(layout.recipe.pin_board.length, max(STUB_SHARE * state.pin_end, LEAST_STUB))
    low = max(state.show_z, state.pin_end)
    middle = (layout.rebate + state.show_z) / 2
    shapes = (*_end_shapes(layout, state, stub), *_numbers(layout, -middle))
    return View("end", below + layout.width + above, low + stub, (below, low), shapes)


# --- on the tail board's show face -----------------------------------------------------------------


def _face_shapes(layout: Layout, state: State, stub: float) -> Iterator[Shape]:
    yield Shape("wood", tuple(_tail_board(layout, state, stub)), TAIL_BOARD)
    for pin in pins_on_face(layout, state):
        yield Shape("wood", pin, PIN_BOARD)
    yield Shape("line", ((0.0, 0.0), (layout.width, 0.0)), "baseline")
    edge = layout.width + layout.strips[1] if layout.mirrored else -layout.strips[0]
    yield Shape("line", ((edge, -stub), (edge, 0.0)), REFERENCE_EDGE)
    across = format_length(layout.width, layout.recipe.units, CALIPER)
    yield Shape("dimension", ((0.0, -DIMENSION_AT * stub), (layout.width, -DIMENSION_AT * stub)), across)
    for groove in layout.grooves:
        if (reach := groove.reach) is None:
            continue
        for low, high in groove.spans:
            yield Shape("hidden", ((low, -stub), (low, reach), (high, reach), (high, -stub)), groove.name)


def _tail_board(layout: Layout, state: State, stub: float) -> Iterator[PlanePoint]:
    """The outline of the tail board: up its left edge, along the tails, and down its right one."""
    end, width, (below, above), (low, high) = state.tail_end, layout.width, layout.strips, layout.mitred
    tip = mitre_of(layout).y(state.show_z)
    yield -below, -stub
    if below:
        yield from ((-below, end), (0.0, end))
    if low:
        yield from ((0.0, tip), (low, tip))
    yield low, 0.0
    for tail in layout.tails:
        (left, right), tips = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end)
        yield from ((left, 0.0), (tips[0], end), (tips[1], end), (right, 0.0))
    yield width - high, 0.0
    if high:
        yield from ((width - high, tip), (width, tip))
    if above:
        yield from ((width, end), (width + above, end))
    yield width + above, -stub


def pins_on_face(layout: Layout, state: State) -> Iterator[tuple[PlanePoint, ...]]:
    """The end grain of the pin board that is seen there, as areas in X and Y."""
    if layout.is_half_blind:
        yield tuple(_behind_a_lap(layout, state))
        return
    for gap in layout.gaps:
        feet, ends = layout.pin_span(gap, 0.0), layout.pin_span(gap, state.show_y)
        yield (feet[0], 0.0), (feet[1], 0.0), (ends[1], state.show_y), (ends[0], state.show_y)


def _behind_a_lap(layout: Layout, state: State) -> Iterator[PlanePoint]:
    """The end grain of a half-blind pin board: its lap, and the pins that come out of it."""
    yield from ((layout.width, layout.depth), (layout.width, state.show_y), (0.0, state.show_y), (0.0, layout.depth))
    for gap in layout.gaps:
        (left, right), ends = layout.pin_span(gap, 0.0), layout.pin_span(gap, layout.depth)
        yield from ((ends[0], layout.depth), (left, 0.0), (right, 0.0), (ends[1], layout.depth))


# --- on the pin board's show face --------------------------------------------------------------------


def _end_shapes(layout: Layout, state: State, stub: float) -> Iterator[Shape]:
    rebate, show, width = layout.rebate, state.show_z, layout.width
    for x, strip in ((-layout.strips[0], layout.strips[0]), (width, layout.strips[1])):
        if strip:
            yield Shape("wood", area((x, -show), (x + strip, 0.0)), TAIL_BOARD)
    if layout.is_half_blind:
        yield Shape("wood", area((0.0, -state.pin_end), (width, stub)), PIN_BOARD)
    else:
        yield Shape("wood", tuple(_pin_board(layout, state, stub)), PIN_BOARD)
    yield from tails_on_end(layout, state)
    if layout.is_half_blind:
        return
    for low, high in mitred_edges(layout):
        x = high if low == 0.0 else low
        yield Shape("hidden", ((x, -show), (x, -rebate)), "mitred shoulder")


def tails_on_end(layout: Layout, state: State) -> Iterator[Shape]:
    """The ends of the tails as they are seen there, in X and -Z; or their sockets, hidden behind a lap."""
    rebate = layout.rebate
    for tail in layout.tails:
        if layout.is_half_blind:
            left, right = layout.socket_edges(tail, layout.depth)
            yield Shape("hidden", ((left, -state.pin_end), (left, -rebate), (right, -rebate), (right, -state.pin_end)))
        else:
            left, right = layout.tail_edges(tail, state.tail_end)
            yield Shape("wood", area((left, -state.show_z), (right, -rebate)), TAIL_BOARD)


def _pin_board(layout: Layout, state: State, stub: float) -> Iterator[PlanePoint]:
    """The outline of the pin board: its end below with the sockets, its body above."""
    floor, end, (low, high) = -layout.rebate, -state.pin_end, layout.mitred
    yield from ((layout.width, stub), (0.0, stub))
    if low:
        yield from ((0.0, -state.show_z), (low, -state.show_z))
    at = low
    for tail in layout.tails:
        left, right = layout.socket_edges(tail, min(state.show_y, layout.depth))
        if left > at:
            yield from ((at, end), (left, end))
        yield from ((left, floor), (right, floor))
        at = right
    if at < layout.width - high:
        yield from ((at, end), (layout.width - high, end))
    if high:
        yield from ((layout.width - high, -state.show_z), (layout.width, -state.show_z))


def _numbers(layout: Layout, up: float) -> Iterator[Shape]:
    """The number of each tail in its middle."""
    for tail in layout.tails:
        yield Shape("number", ((tail.middle, up),), str(tail.number))


def area(low: PlanePoint, high: PlanePoint) -> tuple[PlanePoint, ...]:
    """A rectangle between two of its corners."""
    return low, (high[0], low[1]), high, (low[0], high[1])
