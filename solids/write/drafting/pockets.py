"""The areas that a router clears in a joint, and the paths that the centre of a cutter takes there, in mm of the work.

The tail board is seen along Z on its faces, and the pin board on its end: X runs across both from the reference edge,
and Y is that of the joint.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Segment, Span
from solids.base.polygons import inset
from solids.layout import Layout
from solids.model.manifold import nested


@dataclass(frozen=True)
class Pocket:
    """One area to clear, counter-clockwise, reaching past its open sides. `closed_corners` are the indices in `points`
    of the corners whose two walls both stay."""

    points: tuple[PlanePoint, ...]
    closed_corners: tuple[int, ...]


def tail_board_end(layout: Layout) -> tuple[PlanePoint, ...]:
    """The end of the tail board off the router, with what runs on beside the joint and what a saw is to mitre, from the
    far edge to X = 0."""
    end = layout.as_cut.tail_end
    points = _edge_of_end(layout, 1)
    for tail in reversed(layout.tails):
        for flank in reversed(tail.flanks):
            points += [(flank.foot, 0.0), (flank.x(end), end)][:: flank.side]
    return (*points, *reversed(_edge_of_end(layout, -1)))


def _edge_of_end(layout: Layout, side: int) -> list[PlanePoint]:
    """Where that outline runs at the edge toward X = 0 (-1) or X = W (1), from the edge inward."""
    end, last = layout.as_cut.tail_end, 0 if side < 0 else -1
    outer, inner = edges_of_board(layout)[last], (layout.gaps[last].low, layout.gaps[last].high)[last]
    if layout.tails[last].flank(side) is None:
        return [(outer, end)]
    return [(outer, end), (inner, end), (inner, 0.0)] if layout.walls[last] else [(inner, 0.0)]


def edges_of_board(layout: Layout) -> Span:
    """The X of both edges of the tail board."""
    below, above = layout.strips
    return 0.0 - below, layout.width + above


def tail_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The areas between the tails, and beside them where half pins stand, from the baseline to `past` the raw end and
    the open edges. An edge is closed where the board runs on beside the joint, or where a saw is to mitre it."""
    end, (near_wall, far_wall) = layout.as_cut.tail_end, layout.walls
    for gap in layout.gaps:
        left, right = gap.left is None and not near_wall, gap.right is None and not far_wall
        lower, upper = ((low - past * left, high + past * right) for low, high in (gap.span(0.0), gap.span(end)))
        points = [(lower[0], 0.0), (lower[1], 0.0), (upper[1], end), (upper[0], end)]
        if past:
            points = [*points[:3], (upper[1], end + past), (upper[0], end + past), points[3]]
        yield _pocket(points, [corner for corner, is_open in zip(points, (left, right), strict=False) if not is_open])


def rebate(layout: Layout, past: float = 0.0) -> Pocket:
    """The rebate across the tail board's inside face, from the baseline to `past` the raw end and both edges."""
    low, high = edges_of_board(layout)
    return channel((low - past, high + past), (0.0, layout.as_cut.tail_end + past))


def pin_board_sockets(layout: Layout, past: float = 0.0) -> Iterator[Pocket]:
    """The sockets on the pin board's end, from `past` its inside face to the lap, or to `past` the show face. That of a
    half tail reaches `past` the edge."""
    # The flanks run straight on past the show face. A turn there would leave a sliver of wood at the arris.
    top = layout.depth if layout.is_half_blind else layout.depth + past
    for tail in layout.tails:
        left, right = (past * (tail.flank(side) is None) for side in (-1, 1))
        (foot_left, foot_right), (top_left, top_right) = (
            (low - left, high + right) for low, high in (layout.socket_edges(tail, y) for y in (0.0, top))
        )
        points: list[PlanePoint] = [(foot_left, 0.0), (foot_right, 0.0), (top_right, top), (top_left, top)]
        ends = zip((top_right, top_left), (1, -1), strict=True)
        closed = [(x, top) for x, side in ends if layout.is_half_blind and tail.flank(side)]
        if past:
            points = [(foot_left, -past), (foot_right, -past), *points[1:], points[0]]
        yield _pocket(points, closed)


def _pocket(points: Sequence[PlanePoint], closed: Sequence[PlanePoint]) -> Pocket:
    """A pocket without the points on its straight sides; `closed` are the corners whose two walls both stay."""
    turning = _turning_points(points)
    return Pocket(turning, tuple(number for number, point in enumerate(turning) if point in closed))


def _turning_points(points: Sequence[PlanePoint]) -> tuple[PlanePoint, ...]:
    """The points where the outline turns, without those on a straight side."""
    around = zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True)
    return tuple(here for before, here, after in around if abs(_turn(before, here, after)) > 1e-9)


def _turn(a: PlanePoint, b: PlanePoint, c: PlanePoint) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def channel(x: Span, y: Span) -> Pocket:
    """A groove between two straight walls."""
    return Pocket(((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])), ())


def cutter_ring(pocket: Pocket, diameter: float, leaves: float = 0.0) -> tuple[PlanePoint, ...]:
    """The closed path of the cutter's centre round the inside of a pocket, counter-clockwise. It `leaves` that much
    wood on the walls."""
    off = diameter / 2 + leaves
    ring = inset(pocket.points, off)
    if not _turned_round(pocket.points, ring):
        return ring
    # Beside a flank that is shorter than the cutter is thick, that side's two new corners change places, and the ring
    # would dip into the baseline. Manifold leaves such a side out.
    return tuple(nested(pocket.points, off, diameter, most=1)[0])


def _turned_round(before: Sequence[PlanePoint], after: Sequence[PlanePoint]) -> bool:
    """Whether some side runs the other way after an inset."""
    sides = zip(before, [*before[1:], before[0]], after, [*after[1:], after[0]], strict=True)
    return any((b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1]) < 0 for a, b, c, d in sides)


def reliefs(pocket: Pocket, diameter: float) -> Iterator[Segment]:
    """From the last ring into each corner that stays, until the cutter touches the corner, so that a square one seats
    there. Each is a line of its own: a ring that runs in and out again touches itself, which CAM programs refuse."""
    ring = cutter_ring(pocket, diameter)
    for number in pocket.closed_corners:
        wall = pocket.points[number]
        centre = min(ring, key=lambda point: math.dist(wall, point))
        share = diameter / 2 / math.dist(wall, centre)
        yield centre, (wall[0] + (centre[0] - wall[0]) * share, wall[1] + (centre[1] - wall[1]) * share)
