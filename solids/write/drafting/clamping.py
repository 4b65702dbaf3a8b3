"""Where clamps and cauls press, drawn small: the piece from above with its clamps and both diagonals, or a corner from
the side; and one end of a tail board from outside, with its caul and how far each clamp is from the reference edge.
Pure arithmetic, on paper in mm, not to scale along the boards."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import singledispatch
from itertools import pairwise

from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER, format_length
from solids.base.messages import Units
from solids.bench.gluing.clamping import Caul, Clamping
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.box_resolved import CORNERS, CornerName
from solids.write.drafting.sheet import Item, Label, arc, box, line

WORDS = 2.2
"""Height of capitals."""

FOOT = 6.0
"""Room below a view for its words."""

ASIDE, BESIDE = 10.0, 6.5
"""Room past the ends of the clamps, and on the other sides, where names stand."""

WOOD, CLAMP, CAUL, DIAGONAL = "visible edges", "kept edges", "thin frame", "groove"

LEAST_BOARD, CAUL_WIDE, HEAD, OVER = 2.6, 2.4, 4.0, 2.0
"""The thinnest that a board is drawn, how thick a caul is drawn, how long the head of an arrow is, and how far a caul
runs past the board."""

SHOWN = 0.55
"""How much of each half of a diagonal is drawn, so that its number has room in the middle."""

Corners = tuple[PlanePoint, PlanePoint]
"""The lower left and the upper right corner of a rectangle."""

STUB = 1.6
"""How much of the tail board is drawn beside its joint, as a multiple of that."""


@singledispatch
def from_above(plan: Layout | BoxLayout, *_: object) -> list[Item]:
    """The clamps of a piece, between two points of the sheet."""
    raise TypeError(plan)


@from_above.register
def _(plan: BoxLayout, clamps: Clamping, low: PlanePoint, high: PlanePoint) -> list[Item]:
    """The box from above, its front below."""
    long, wide = plan.outside
    turned = not plan.recipe.tails_on_sides
    beyond = (BESIDE, ASIDE) if turned else (ASIDE, BESIDE)
    room = high[0] - low[0] - 2 * beyond[0], high[1] - low[1] - FOOT - 2 * beyond[1]
    scale = min(room[0] / long, room[1] / wide)
    half = scale * long / 2, scale * wide / 2
    middle = (low[0] + high[0]) / 2, low[1] + FOOT + (high[1] - low[1] - FOOT) / 2
    thick = max(LEAST_BOARD, scale * max(board.board.thickness for board in plan.boards.values()))
    outer = (middle[0] - half[0], middle[1] - half[1]), (middle[0] + half[0], middle[1] + half[1])
    inner = (outer[0][0] + thick, outer[0][1] + thick), (outer[1][0] - thick, outer[1][1] - thick)
    return [
        box(WOOD, *outer),
        box(WOOD, *inner),
        *_pin_boards(outer, inner, turned=turned),
        *_clamps_above(outer, thick, turned=turned),
        *_diagonals(plan, clamps, inner),
        *_names(outer),
        Label("from above, not to scale", (middle[0], low[1] + 1.0), WORDS),
    ]


def _pin_boards(outer: Corners, inner: Corners, *, turned: bool) -> list[Item]:
    """The lines that part tail boards from pin boards, whose half pins stand at the upper edge."""
    (x0, y0), (x1, y1) = outer
    (u0, v0), (u1, v1) = inner
    if turned:
        return [line(WOOD, (u, y), (u, v)) for u in (u0, u1) for y, v in ((y0, v0), (y1, v1))]
    return [line(WOOD, (x, v), (u, v)) for v in (v0, v1) for x, u in ((x0, u0), (x1, u1))]


def _clamps_above(outer: Corners, thick: float, *, turned: bool) -> Iterator[Item]:
    """A bar along each pin board, cauls under its jaws, and an arrow for each way that it presses."""
    (x0, y0), (x1, y1) = outer
    ends, sides = ((y0, y1), (x0, x1)) if turned else ((x0, x1), (y0, y1))

    def at(along: float, across: float) -> PlanePoint:
        return (across, along) if turned else (along, across)

    for side, inward in zip(sides, (1, -1), strict=True):
        middle = side + inward * thick / 2
        yield line("hidden edges", at(ends[0] - HEAD - CAUL_WIDE, middle), at(ends[1] + HEAD + CAUL_WIDE, middle))
        for end, outward in zip(ends, (-1, 1), strict=True):
            edge, back = end, end + outward * CAUL_WIDE
            reach = side - inward * OVER, middle + inward * (thick / 2 + OVER)
            yield box(CAUL, at(edge, reach[0]), at(back, reach[1]))
            yield from _arrow(at(back + outward * HEAD, middle), at(back, middle))


def _arrow(tail: PlanePoint, tip: PlanePoint) -> Iterator[Item]:
    """An arrow that presses on its tip."""
    yield line(CLAMP, tail, tip)
    turn = math.atan2(tail[1] - tip[1], tail[0] - tip[0])
    for side in (0.5, -0.5):
        reach = HEAD / 2
        yield line(CLAMP, tip, (tip[0] + reach * math.cos(turn + side), tip[1] + reach * math.sin(turn + side)))


def _diagonals(plan: BoxLayout, clamps: Clamping, inner: Corners) -> Iterator[Item]:
    """Both diagonals inside, and between their ends what they measure."""
    (u0, v0), (u1, v1) = inner
    x, y = (u0 + u1) / 2, (v0 + v1) / 2
    for u, v in ((u0, v0), (u1, v0), (u1, v1), (u0, v1)):
        yield line(DIAGONAL, (u, v), (u + SHOWN * (x - u), v + SHOWN * (y - v)))
    if clamps.diagonal is not None:
        told = format_length(clamps.diagonal, plan.recipe.units, CALIPER)
        yield Label("both diagonals", (x, y + 0.8), WORDS)
        yield Label(told, (x, y - 0.8 - 1.2 * WORDS), WORDS * 1.2, bold=True)


def _names(outer: Corners) -> Iterator[Item]:
    """The names of the boards, outside beside each."""
    (x0, y0), (x1, y1) = outer
    x, y, off = (x0 + x1) / 2, (y0 + y1) / 2, OVER + 1.2
    yield Label("front", (x, y0 - off - WORDS), WORDS)
    yield Label("back", (x, y1 + off), WORDS)
    yield Label("left", (x0 - off, y), WORDS, turn_deg=90.0)
    yield Label("right", (x1 + off + WORDS, y), WORDS, turn_deg=90.0)


@from_above.register
def _(plan: Layout, _: Clamping, low: PlanePoint, high: PlanePoint) -> list[Item]:
    """A corner from the side, its tail board on top."""
    recipe = plan.recipe
    room = high[0] - low[0] - 2 * ASIDE, high[1] - low[1] - FOOT - 2 * ASIDE
    size = min(room[0], room[1])
    thick = max(LEAST_BOARD, size * min(0.3, recipe.pin_board.thickness / recipe.pin_board.length))
    tails = max(LEAST_BOARD, size * min(0.3, recipe.tail_board.thickness / recipe.tail_board.length))
    x0, top = (low[0] + high[0] - size) / 2, low[1] + FOOT + ASIDE + size
    x1, foot, middle = x0 + size, top - size, x0 + size - thick / 2
    return [
        box(WOOD, (x0, top - tails), (x1, top)),
        box(WOOD, (x1 - thick, foot), (x1, top - tails)),
        box(CAUL, (x1 - thick, top), (x1, top + CAUL_WIDE)),
        line("hidden edges", (x1 + OVER, foot - HEAD), (x1 + OVER, top + CAUL_WIDE + HEAD)),
        *_arrow((middle, top + CAUL_WIDE + HEAD), (middle, top + CAUL_WIDE)),
        *_arrow((middle, foot - HEAD), (middle, foot)),
        Label("tail board", ((x0 + x1 - thick) / 2, top + 1.2), WORDS),
        Label("pin board", (x1 - thick - 1.2, (foot + top) / 2), WORDS, turn_deg=90.0),
        Label("from the side, not to scale", ((low[0] + high[0]) / 2, low[1] + 1.0), WORDS),
    ]


# --- one end from outside ------------------------------------------------------------------------

COVERED = 0.1, 0.9
"""From where to where a caul covers the tails, as shares of their length from the raw end."""

PAD = 1.8
"""Radius of a clamp's pad."""

NARROWEST, WIDEST = 10.0, 22.0
"""How wide the joint is drawn along the board."""

NOTED = 7.0
"""How far the place of a clamp is written beside the joint."""


def from_outside(plan: Layout | BoxLayout, clamps: Clamping, low: PlanePoint, high: PlanePoint) -> list[Item]:
    """One end of a tail board that clamps press, its reference edge down, its raw end on the left, with the caul and
    how far each clamp is from the reference edge."""
    caul = clamps.cauls[0]
    layout = plan.corners[_corner(caul)].layout if isinstance(plan, BoxLayout) else plan
    view = _placed(layout, caul.length, low, high)
    middle = (low[0] + high[0]) / 2
    where = f"{caul.corner} from outside" if caul.corner else "tail board from outside"
    return [
        *view.wood(),
        *view.caul(caul),
        *view.clamps(clamps.runs[0].at, plan.recipe.units),
        Label("reference edge", (view.left + view.long / 2, view.foot - WORDS - OVER - 1.0), WORDS),
        Label(f"{where}, raw end on the left", (middle, low[1] + 1.0), WORDS),
    ]


def _corner(caul: Caul) -> CornerName:
    return next(name for name in CORNERS if name == caul.corner)


def _placed(layout: Layout, height: float, low: PlanePoint, high: PlanePoint) -> _End:
    """The end as large as there is room for. Along the board a scale of its own keeps the joint of a wide board wide
    enough to see."""
    up = (high[1] - low[1] - 2 * FOOT - 2 * OVER) / height
    reach = layout.as_cut.tail_end
    along = min(max(up * reach, NARROWEST), WIDEST) / reach
    left = low[0] + (high[0] - low[0] - along * reach * (1 + STUB) - NOTED - 8.0) / 2
    return _End(layout, height, left, low[1] + 2 * FOOT + OVER, along, up)


@dataclass(frozen=True)
class _End:
    """The end of a board on paper: its joint, its width, where its lower left corner is, and the scales along the board
    and across it."""

    layout: Layout
    height: float
    left: float
    foot: float
    along: float
    up: float

    @property
    def long(self) -> float:
        """How much of the board is drawn."""
        return self.along * self.layout.as_cut.tail_end * (1 + STUB)

    def at(self, y: float, x: float) -> PlanePoint:
        """A point of the joint: Y from the baseline toward the raw end, X from the reference edge of the pin board."""
        up = self.height - self.layout.width + x
        return self.left + self.along * (self.layout.as_cut.tail_end - y), self.foot + self.up * up

    def wood(self) -> Iterator[Item]:
        """The outline, the baseline and the flanks."""
        end, top = self.layout.as_cut.tail_end, self.foot + self.up * self.height
        yield box(WOOD, (self.left, self.foot), (self.left + self.long, top))
        base = self.left + self.along * end
        yield line("gauge lines", (base, self.foot), (base, top))
        for tail in self.layout.tails:
            for far, near in zip(self.layout.tail_edges(tail, end), self.layout.tail_edges(tail, 0.0), strict=True):
                yield line(WOOD, self.at(end, far), self.at(0.0, near))

    def caul(self, caul: Caul) -> Iterator[Item]:
        """The caul over the tails; where it has blocks, one on each tail."""
        first, last = (share * self.layout.as_cut.tail_end for share in COVERED)
        end = self.layout.as_cut.tail_end
        top = self.foot + self.up * self.height
        sides = self.at(end - first, 0.0)[0], self.at(end - last, 0.0)[0]
        yield box(CAUL, (sides[0], self.foot - OVER), (sides[1], top + OVER))
        for tail in self.layout.tails if caul.clears else ():
            low, high = tail.middle - caul.widest / 2, tail.middle + caul.widest / 2
            yield box(DIAGONAL, self.at(end - first, low), self.at(end - last, high))

    def clamps(self, places: Sequence[float], units: Units) -> Iterator[Item]:
        """The pads, and how far each is from the reference edge; of many only as many as do not lie on each other."""
        middle, right = self.left + self.along * self.layout.as_cut.tail_end / 2, self.left + self.long
        apart = self.up * min((b - a for a, b in pairwise(places)), default=math.inf)
        for place in places[:: max(1, math.ceil(2 * PAD / apart))]:
            y = self.foot + self.up * place
            yield arc(CLAMP, (middle, y), PAD, 0.0, 360.0)
            yield line("thin frame", (middle + PAD, y), (right + NOTED - 1.0, y))
            yield Label(format_length(place, units), (right + NOTED, y - WORDS / 2), WORDS, "left")
