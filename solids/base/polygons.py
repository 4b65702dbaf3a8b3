"""Plane faces as loops of points: their sides, normals and the volume that they enclose; and plane polygons moved
inward.

A face is its outer loop counter-clockwise seen from outside the solid, then its holes clockwise. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from solids.base.geometry import PlanePoint, Point

Loop = Sequence[Point]
Face = Sequence[Loop]
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
