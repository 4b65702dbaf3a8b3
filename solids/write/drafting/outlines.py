"""Outlines for CAM: closed polylines in mm of the work, and the paths that the centre of a cutter takes.

The tail board is seen on its show face, X to the right and Y (its length) up. The pin board is seen on its end, X to
the right and Y up from its inside face, as it stands upright in the machine.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from solids.base.geometry import PlanePoint
from solids.base.polygons import inset
from solids.bench.milling import ROUGHING_LEAVES, RUN_OUT, Cut, Run, cuts
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.write.drafting.layers import path_name
from solids.write.drafting.sheet import Label, Stroke, line

WORDS = 3.0
"""Height of the words beside the outlines, on paper."""

CLEAR_FIRST = "Clear the middle first; let no loose piece fly. Read the cautions on the setup sheet."

PATH_WORDS = (
    "The layer of a path names its cutter (D) and its depth (Z) in mm. It is the last round along the walls, clockwise."
)
ROUGH_WORDS = f"A rough path is for the thicker cutter. It comes first and leaves {ROUGHING_LEAVES:g} mm on the walls."

ARM = 6.0
"""Half the length of the cross that marks a zero."""


@dataclass(frozen=True)
class Pocket:
    """One area to clear, counter-clockwise, reaching past its open sides. `closed_corners` are the indices in `points`
    of the corners whose two walls both stay."""

    points: tuple[PlanePoint, ...]
    closed_corners: tuple[int, ...]


def tail_board_outline(layout: Layout) -> tuple[PlanePoint, ...]:
    """The whole tail board as cut, counter-clockwise, with what runs on beside the joint."""
    length, end = layout.recipe.tail_board.length, layout.as_cut.tail_end
    below, above = layout.strips
    points: list[PlanePoint] = [(0.0 - below, -length), (layout.width + above, -length)]
    points += [(layout.width + above, end), (layout.width, end)] if above else []
    points.append((layout.width, 0.0))
    for tail in reversed(layout.tails):
        foot, tip = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end)
        points += [(foot[1], 0.0), (tip[1], end), (tip[0], end), (foot[0], 0.0)]
    points.append((0.0, 0.0))
    return (*points, (0.0, end), (-below, end)) if below else tuple(points)


def tail_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The areas between the tails and at both edges, from the baseline to `past` the raw end and the open edges. An
    edge is closed where the board runs on beside the joint."""
    end = layout.as_cut.tail_end
    feet, tips = layout.gap_spans(0.0), layout.gap_spans(end)
    last = len(feet) - 1
    for number, ((foot_left, foot_right), (tip_left, tip_right)) in enumerate(zip(feet, tips, strict=True)):
        left, right = (number == 0 and not layout.strips[0]), (number == last and not layout.strips[1])
        lower = (foot_left - past * left, foot_right + past * right)
        upper = (tip_left - past * left, tip_right + past * right)
        points = [(lower[0], 0.0), (lower[1], 0.0), (upper[1], end), (upper[0], end)]
        if past:
            points = [*points[:3], (upper[1], end + past), (upper[0], end + past), points[3]]
        corners = tuple(corner for corner, is_open in ((0, left), (1, right)) if not is_open)
        yield Pocket(_turning_points(points), corners)


def pin_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The sockets on the pin board's end, from `past` its inside face to the lap, or to `past` the show face."""
    # The flanks run straight on past the show face. A turn there would leave a sliver of wood at the arris.
    top = layout.depth if layout.is_half_blind else layout.depth + past
    for tail in layout.tails:
        (foot_left, foot_right), (top_left, top_right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, top)
        points: list[PlanePoint] = [(foot_left, 0.0), (foot_right, 0.0), (top_right, top), (top_left, top)]
        corners: tuple[int, ...] = (2, 3) if layout.is_half_blind else ()
        if past:
            points = [(foot_left, -past), (foot_right, -past), *points[1:], points[0]]
            corners = tuple(corner + 1 for corner in corners)
        yield Pocket(tuple(points), corners)


def _turning_points(points: Sequence[PlanePoint]) -> tuple[PlanePoint, ...]:
    """The points where the outline turns, without those on a straight side."""
    around = zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True)
    return tuple(here for before, here, after in around if abs(_turn(before, here, after)) > 1e-9)


def _turn(a: PlanePoint, b: PlanePoint, c: PlanePoint) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def cutter_path(pocket: Pocket, diameter: float, *, relief: bool, leaves: float = 0.0) -> tuple[PlanePoint, ...]:
    """The closed path of the cutter's centre round the inside of a pocket, counter-clockwise. It `leaves` that much
    wood on the walls. With `relief` it runs into each corner that stays until the cutter touches it, so that a square
    corner seats there."""
    radius = diameter / 2
    inner = inset(pocket.points, radius + leaves)
    path: list[PlanePoint] = []
    for number, (wall, centre) in enumerate(zip(pocket.points, inner, strict=True)):
        path.append(centre)
        if relief and number in pocket.closed_corners:
            away = math.dist(wall, centre)
            share = radius / away
            path += [(wall[0] + (centre[0] - wall[0]) * share, wall[1] + (centre[1] - wall[1]) * share), centre]
    return tuple(path)


def machine_outlines(layout: Layout) -> list[Stroke | Label]:
    """Every outline on its layer, closed: the tail board at the origin, and the pin board's end above it. A cross marks
    the zero of each board as the note has it, and words say what is what."""
    thickness, tail_end = layout.recipe.pin_board.thickness, layout.as_cut.tail_end
    above = tail_end + max(4 * thickness, 2 * _past(layout) + 12 * WORDS)
    end = ((0.0, 0.0), (layout.width, 0.0), (layout.width, thickness), (0.0, thickness))
    strokes = [
        Stroke("CAM tail board outline", tail_board_outline(layout), closed=True),
        *(Stroke("CAM tail board sockets", pocket.points, closed=True) for pocket in tail_board_sockets(layout)),
        _moved(Stroke("CAM pin board end", end, closed=True), 0.0, above),
        *(
            _moved(Stroke("CAM pin board sockets", pocket.points, closed=True), 0.0, above)
            for pocket in pin_board_sockets(layout)
        ),
    ]
    tails, pins = cuts(layout)
    strokes += _paths(layout, tails, tail_board_sockets)
    strokes += [_moved(path, 0.0, above) for path in _paths(layout, pins, pin_board_sockets)]
    zero = layout.width if layout.mirrored else 0.0
    strokes = [_moved(stroke, -zero, 0.0) for stroke in strokes]
    for y in (tail_end, above):
        strokes += [line("CAM zero", (-ARM, y), (ARM, y)), line("CAM zero", (0.0, y - ARM), (0.0, y + ARM))]
    return [*strokes, *_words(layout, above, -zero)]


def _drawn(layout: Layout) -> list[Run]:
    """The runs for which the maker has a cutter, so that a path is drawn."""
    return [run for cut in cuts(layout) if cut.own for run in cut.runs]


def _past(layout: Layout) -> float:
    """How far paths and crosses reach past the boards."""
    return max([ARM, *(run.cutter.diameter / 2 + RUN_OUT for run in _drawn(layout))])


def _words(layout: Layout, above: float, left: float) -> Iterator[Label]:
    """Says what is what, line below line: under the tail board, and under the pin board's end, clear of the paths."""
    foot, edge = -layout.recipe.tail_board.length - 2 * WORDS, f"reference edge on the {layout.edge_side}"
    drawn = _drawn(layout)
    below_pins = above - _past(layout) - 1.5 * WORDS
    under_tails = (f"tail board, show face up; {edge}; zero is the cross, on the upper face",)
    under_pins = (
        f"pin board, its end up; inside face at the foot; {edge}; zero is the cross, on the end",
        *([PATH_WORDS] if drawn else []),
        *([ROUGH_WORDS] if not all(run.is_last for run in drawn) else []),
        CLEAR_FIRST,
    )
    for top, rows in ((foot, (*under_tails, *place_words(layout))), (below_pins, under_pins)):
        for row, words in enumerate(rows):
            yield Label(words, (left, top - 2 * WORDS * row), WORDS, "left", layer="CAM words")


def _paths(layout: Layout, cut: Cut, pockets: Callable[[Layout, float], Iterator[Pocket]]) -> Iterator[Stroke]:
    """The paths of the maker's own cutters for one board; none for a cutter that the maker may not have. They run
    clockwise, so that inside a socket the cutter turns against its feed and does not pull itself along (common
    practice)."""
    for run in cut.runs if cut.own else ():
        layer = path_name(cut.board, run.cutter.diameter, cut.depth, last=run.is_last)
        for pocket in pockets(layout, run.cutter.diameter + RUN_OUT):
            path = cutter_path(pocket, run.cutter.diameter, relief=run.relief, leaves=run.leaves)
            yield Stroke(layer, path[::-1], closed=True)


def _moved(stroke: Stroke, right: float, up: float) -> Stroke:
    return Stroke(stroke.layer, tuple((x + right, y + up) for x, y in stroke.points), stroke.closed)
