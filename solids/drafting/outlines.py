"""Outlines for CAM: closed polylines in mm of the work, and the paths that the centre of a cutter takes.

The tail board is seen on its show face, X to the right and Y (its length) up. The pin board is seen on its end, X to
the right and Y up from its inside face, as it stands upright in the machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.drafting.sheet import Label, Point, Stroke
from solids.layout import Layout

RUN_OUT = 1.0
"""How far a cutter's edge goes past an open side."""

WORDS = 3.0
"""Height of the words beside the outlines, on paper."""

CLEAR_FIRST = "Clear the middle first; let no loose piece fly. Read the cautions on the setup sheet."

LEAST_ROOM = 0.1
"""A cutter passes an opening that is wider than it by this; with less, the path would have no width."""


@dataclass(frozen=True)
class Pocket:
    """One area to clear, counter-clockwise, reaching past its open sides; `closed_corners` are the places in `points`
    where two walls meet that both stay."""

    points: tuple[Point, ...]
    closed_corners: tuple[int, ...]


@dataclass(frozen=True)
class CutterChoice:
    """The widest of the maker's cutters for one board, None where none passes; the narrowest opening says why."""

    board: str
    diameter: float | None
    opening: float


def cutter_choices(layout: Layout) -> tuple[CutterChoice, ...]:
    """For the tail board and the pin board; empty where the recipe names no cutters. An opening at the edge of a board
    is open to its side, so that any cutter passes."""
    cutters = layout.recipe.kit.cutters
    if not cutters:
        return ()
    between = min(layout.closed_gaps(layout.as_cut.tail_end), default=math.inf)
    sockets = min(right - left for left, right in (layout.socket_edges(tail, 0.0) for tail in layout.tails))
    return tuple(
        CutterChoice(board, max((c for c in cutters if c + LEAST_ROOM <= opening), default=None), opening)
        for board, opening in (("tail board", between), ("pin board", sockets))
    )


def tail_board_outline(layout: Layout) -> tuple[Point, ...]:
    """The whole tail board as cut, counter-clockwise, with what runs on beside the joint."""
    length, end = layout.recipe.tail_board.length, layout.as_cut.tail_end
    below, above = layout.in_box.strips
    points: list[Point] = [(0.0 - below, -length), (layout.width + above, -length)]
    points += [(layout.width + above, end), (layout.width, end)] if above else []
    points.append((layout.width, 0.0))
    for tail in reversed(layout.tails):
        foot, tip = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end)
        points += [(foot[1], 0.0), (tip[1], end), (tip[0], end), (foot[0], 0.0)]
    points.append((0.0, 0.0))
    return (*points, (0.0, end), (-below, end)) if below else tuple(points)


def tail_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The areas between the tails and at both edges, from the baseline to `past` the raw end and the open edges. Beside
    wood that runs on an edge is closed."""
    end = layout.as_cut.tail_end
    feet, tips = layout.gap_spans(0.0), layout.gap_spans(end)
    last = len(feet) - 1
    for number, ((foot_left, foot_right), (tip_left, tip_right)) in enumerate(zip(feet, tips, strict=True)):
        left, right = (number == 0 and not layout.in_box.strips[0]), (number == last and not layout.in_box.strips[1])
        lower = (foot_left - past * left, foot_right + past * right)
        upper = (tip_left - past * left, tip_right + past * right)
        points = [(lower[0], 0.0), (lower[1], 0.0), (upper[1], end), (upper[0], end)]
        if past:
            points = [*points[:3], (upper[1], end + past), (upper[0], end + past), points[3]]
        corners = tuple(corner for corner, is_open in ((0, left), (1, right)) if not is_open)
        yield Pocket(_turning_points(points), corners)


def pin_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The sockets on the pin board's end, from `past` its inside face to the lap, or past the show face."""
    top = layout.depth
    for tail in layout.tails:
        (foot_left, foot_right), (top_left, top_right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, top)
        points: list[Point] = [(foot_left, 0.0), (foot_right, 0.0), (top_right, top), (top_left, top)]
        corners: tuple[int, ...] = (2, 3) if layout.is_half_blind else ()
        if past:
            entry: list[Point] = [(foot_left, -past), (foot_right, -past)]
            points = [*entry, *points[1:], points[0]]
            corners = tuple(corner + 1 for corner in corners)
            if not layout.is_half_blind:
                points = [*points[:4], (top_right, top + past), (top_left, top + past), *points[4:]]
        yield Pocket(tuple(points), corners)


def _turning_points(points: Sequence[Point]) -> tuple[Point, ...]:
    """The points where the outline turns; what lies on a straight side is left out."""
    around = zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True)
    return tuple(here for before, here, after in around if abs(_turn(before, here, after)) > 1e-9)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def cutter_path(pocket: Pocket, diameter: float, *, relief: bool) -> tuple[Point, ...]:
    """The closed path of the cutter's centre round the inside of a pocket. With `relief` it runs into each corner that
    stays until the cutter touches it, so that a square corner seats there."""
    radius = diameter / 2
    inner = inset(pocket.points, radius)
    path: list[Point] = []
    for number, (wall, centre) in enumerate(zip(pocket.points, inner, strict=True)):
        path.append(centre)
        if relief and number in pocket.closed_corners:
            away = math.dist(wall, centre)
            share = radius / away
            path += [(wall[0] + (centre[0] - wall[0]) * share, wall[1] + (centre[1] - wall[1]) * share), centre]
    return tuple(path)


def inset(points: Sequence[Point], by: float) -> tuple[Point, ...]:
    """A counter-clockwise polygon with every side moved inward by `by`, outward where it is negative; neighbours meet
    in their new corner, which also holds where two sides run straight on."""
    moved: list[Point] = []
    for a, b, c in zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True):
        first, second = _direction(a, b), _direction(b, c)
        # The corner moves along the bisector of both normals, so far that it lies on both moved sides.
        share = by / (1.0 + first[0] * second[0] + first[1] * second[1])
        moved.append((b[0] - share * (first[1] + second[1]), b[1] + share * (first[0] + second[0])))
    return tuple(moved)


def _direction(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def machine_outlines(layout: Layout) -> list[Stroke | Label]:
    """Every outline on its layer, closed, the tail board at the origin and the pin board's end above it; and words that
    say what is what."""
    above = layout.as_cut.tail_end + 4 * layout.recipe.pin_board.thickness
    thickness = layout.recipe.pin_board.thickness
    foot, edge = -layout.recipe.tail_board.length - 2 * WORDS, layout.in_box.edge
    end = ((0.0, 0.0), (layout.width, 0.0), (layout.width, thickness), (0.0, thickness))
    strokes: list[Stroke | Label] = [
        Stroke("CAM tail board outline", tail_board_outline(layout), closed=True),
        *(Stroke("CAM tail board sockets", pocket.points, closed=True) for pocket in tail_board_sockets(layout)),
        _lifted(Stroke("CAM pin board end", end, closed=True), above),
        *(
            _lifted(Stroke("CAM pin board sockets", pocket.points, closed=True), above)
            for pocket in pin_board_sockets(layout)
        ),
    ]
    strokes += [
        Label(text, (0.0, y), WORDS, "left", layer="CAM words")
        for text, y in (
            (f"tail board, show face up; {edge} on the left", foot),
            *((words, foot - 2 * WORDS * row) for row, words in enumerate(layout.in_box.words, start=1)),
            (f"pin board, its end up; inside face at the foot; {edge} on the left", above - 2 * WORDS),
            (f"A cutter path is the last round along the walls. {CLEAR_FIRST}", above - 4 * WORDS),
        )
    ]
    relief = layout.recipe.paper.corner_relief
    boards = ((tail_board_sockets, 0.0), (pin_board_sockets, above))
    for choice, (pockets, lift) in zip(cutter_choices(layout), boards, strict=False):
        if choice.diameter is not None:
            past = choice.diameter + RUN_OUT
            for pocket in pockets(layout, past):
                path = cutter_path(pocket, choice.diameter, relief=relief)
                strokes.append(_lifted(Stroke(f"CAM {choice.board} cutter path", path, closed=True), lift))
    return strokes


def _lifted(stroke: Stroke, by: float) -> Stroke:
    return Stroke(stroke.layer, tuple((x, y + by) for x, y in stroke.points), stroke.closed)
