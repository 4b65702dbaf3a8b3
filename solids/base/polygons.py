"""Plane faces as loops of points: their sides, normals and the volume that they enclose; and plane polygons moved
inward, or with rounded corners.

A face is its outer loop counter-clockwise seen from outside the solid, then its holes clockwise. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from solids.base.errors import FaultError
from solids.base.geometry import PlanePoint, Point

Loop = Sequence[Point]
Face = Sequence[Loop]
Stretch = tuple[PlanePoint, PlanePoint | None, PlanePoint]
"""A piece of an outline: its start, the middle of an arc or None for a straight line, and its end."""

Corner = TypeVar("Corner")


def sides(loop: Sequence[Corner]) -> Iterator[tuple[Corner, Corner]]:
    """Each corner of a loop with the next, round to the first."""
    return zip(loop, [*loop[1:], loop[0]], strict=True)


def at_height(outline: Iterable[PlanePoint], z: float) -> list[Point]:
    """An outline in the plane at a height."""
    return [(x, y, z) for x, y in outline]


def walls(path: Iterable[tuple[PlanePoint, PlanePoint]], low: float, high: float) -> Iterator[Face]:
    """The upright faces over the sides of an outline, which runs counter-clockwise seen from above."""
    for a, b in path:
        yield [[(*a, low), (*b, low), (*b, high), (*a, high)]]


def newell_normal(loop: Loop) -> Point:
    """The area-weighted normal of a plane loop, by Newell's sums; its length is twice the loop's area."""
    x = y = z = 0.0
    ax, ay, az = loop[0]
    for bx, by, bz in (*loop[1:], loop[0]):
        x += (ay - by) * (az + bz)
        y += (az - bz) * (ax + bx)
        z += (ax - bx) * (ay + by)
        ax, ay, az = bx, by, bz
    return x, y, z


def enclosed_volume(faces: Iterable[Face]) -> float:
    """The volume (mm3) inside closed plane faces, by the divergence theorem; negative where they look inward."""
    return math.fsum(_cone(loop) for face in faces for loop in face)


def _cone(loop: Loop) -> float:
    """The cone from the origin over a loop: a third of its area by its distance, signed."""
    (px, py, pz), (nx, ny, nz) = loop[0], newell_normal(loop)
    return (px * nx + py * ny + pz * nz) / 6.0


def area_of(polygon: Sequence[PlanePoint]) -> float:
    """The area (mm2) of a plane polygon; negative where it runs clockwise, 0 where it has no corners."""
    corners = sides(polygon) if polygon else ()
    return math.fsum(ax * by - bx * ay for (ax, ay), (bx, by) in corners) / 2


def inset(points: Sequence[PlanePoint], by: float) -> tuple[PlanePoint, ...]:
    """A counter-clockwise polygon with every side moved inward by `by`, outward where it is negative; neighbours meet
    in their new corner, which also holds where two sides run straight on.

    Corner for corner, as solids between two outlines need it, and exact to 1e-12 mm. Manifold's offset is off by 6e-9
    mm, and like shapely's it drops a corner where two sides run straight on."""
    moved: list[PlanePoint] = []
    for a, b, c in zip([points[-1], *points[:-1]], points, [*points[1:], points[0]], strict=True):
        first, second = _direction(a, b), _direction(b, c)
        # The corner moves along the bisector of both normals, so far that it lies on both moved sides.
        share = by / (1.0 + first[0] * second[0] + first[1] * second[1])
        moved.append((b[0] - share * (first[1] + second[1]), b[1] + share * (first[0] + second[0])))
    return tuple(moved)


def _direction(a: PlanePoint, b: PlanePoint) -> PlanePoint:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def rounded(corners: Sequence[PlanePoint], radii: Sequence[float]) -> list[Stretch]:
    """A polygon with an arc of its own radius (mm) at each corner that touches both sides there; 0 leaves the corner
    sharp. The outline runs as the polygon does. FaultError where a side is too short for the arcs at both its ends."""
    ends = [
        _arc(*three)
        for three in zip([corners[-1], *corners[:-1]], corners, [*corners[1:], corners[0]], radii, strict=True)
    ]
    found: list[Stretch] = []
    for (start, middle, end), (following, _, _), (a, b) in zip(ends, [*ends[1:], ends[0]], sides(corners), strict=True):
        if middle is not None:
            found.append((start, middle, end))
        along = _direction(a, b)
        left = (following[0] - end[0]) * along[0] + (following[1] - end[1]) * along[1]
        if left < -APART:
            raise FaultError(f"rounding an outline: no room for two arcs between {a} and {b}")
        if left > APART:
            found.append((end, None, following))
    return found


APART = 1e-9
"""Ends of arcs closer than this are one (mm)."""


def _arc(before: PlanePoint, corner: PlanePoint, after: PlanePoint, radius: float) -> Stretch:
    """Where the arc at a corner begins, its middle and its end; all at the corner where it stays sharp."""
    if radius == 0.0:
        return corner, None, corner
    into, out = _direction(before, corner), _direction(corner, after)
    turn = math.atan2(into[0] * out[1] - into[1] * out[0], into[0] * out[0] + into[1] * out[1])
    cut = radius * math.tan(abs(turn) / 2)
    # From the corner its middle lies on the line that halves the angle, toward the centre.
    bend = (out[0] - into[0], out[1] - into[1])
    share = radius * (1 / math.cos(turn / 2) - 1) / math.hypot(*bend)
    start = (corner[0] - cut * into[0], corner[1] - cut * into[1])
    end = (corner[0] + cut * out[0], corner[1] + cut * out[1])
    return start, (corner[0] + share * bend[0], corner[1] + share * bend[1]), end
