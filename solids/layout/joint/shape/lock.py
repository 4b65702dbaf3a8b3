"""Whether a joint locks as a whole: whether the tail board can leave along a straight line, or by a turn. Lengths in
mm.

Flanks, shoulders and walls are upright, so the tail board moves in the plane of X and Y; up, the way it came in, is
always open. With s how far a flank runs in X for each mm from the finished face to the baseline, a move of v in X for
each mm out keeps clear of a left flank where s <= v, and of a right one where v <= s. So it is free to leave exactly
where the largest s of the left flanks is no more than the least of the right ones.

A turn about a centre moves the point (x, y) by (vx - w y, vy + w x). It is possible where no point at which the boards
touch moves into the wood there. For each sense of w the velocities (vx, vy) that this allows are a convex region of the
plane; if it is empty, nothing turns.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.geometry import PlanePoint
from solids.base.polygons import area_of
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.model import Layout

Touch = tuple[PlanePoint, PlanePoint]
"""A point where the boards touch, and the normal out of the tail board there."""


def locks(layout: Layout) -> bool:
    """Whether no straight way out and no turn is open."""
    return layout.hold > tol.ROUNDING and not turns(layout)


def weakest(layout: Layout) -> tuple[Flank | None, Flank | None]:
    """Of the flanks that hold the tail board as it leaves, the left one that holds most and the right one that does;
    None where there is none on that side."""
    left, right = ([flank for flank in layout.flanks if flank.side == side] for side in (-1, 1))
    return (
        max(left, key=lambda flank: flank.shift, default=None),
        min(right, key=lambda flank: flank.shift, default=None),
    )


def turns(layout: Layout) -> bool:
    """Whether the seated tail board can begin to turn in the plane of its faces."""
    touches = tuple(_touches(layout))
    regions = (_region(touches, sense, layout) for sense in (1.0, -1.0))
    return any(area_of(region) > tol.ROUNDING for region in regions)


def _touches(layout: Layout) -> Iterator[Touch]:
    """The ends of every line along which the boards touch, seen from above."""
    for flank in layout.flanks:
        for y in (0.0, layout.depth):
            yield (flank.x(y), y), flank.normal[:2]
    for gap in layout.gaps:
        for x in gap.span(0.0):
            yield (x, 0.0), (0.0, 1.0)
    low, high = layout.mitred
    for wall, x, inward in zip(layout.walls, (low, layout.width - high), (1.0, -1.0), strict=True):
        for y in (0.0, layout.depth) if wall else ():
            yield (x, y), (inward, 0.0)
    if layout.is_half_blind:
        for tail in layout.tails:
            for x in (tail.left, tail.right):
                yield (x, layout.depth), (0.0, 1.0)


def _region(touches: tuple[Touch, ...], sense: float, layout: Layout) -> list[PlanePoint]:
    """The velocities (vx, vy) at the origin that go with a turn of one radian, clipped to those that drive no point
    into wood."""
    far = 1000.0 * (layout.width + layout.depth)
    region = [(-far, -far), (far, -far), (far, far), (-far, far)]
    for (x, y), (nx, ny) in touches:
        region = _clipped(region, nx, ny, sense * (nx * y - ny * x))
    return region


def _clipped(region: list[PlanePoint], nx: float, ny: float, most: float) -> list[PlanePoint]:
    """What lies within nx vx + ny vy <= most."""
    kept: list[PlanePoint] = []
    for (ax, ay), (bx, by) in zip(region, region[1:] + region[:1], strict=True):
        over_a, over_b = nx * ax + ny * ay - most, nx * bx + ny * by - most
        if over_a <= 0:
            kept.append((ax, ay))
        if (over_a < 0 < over_b) or (over_b < 0 < over_a):
            share = over_a / (over_a - over_b)
            kept.append((ax + share * (bx - ax), ay + share * (by - ay)))
    return kept
