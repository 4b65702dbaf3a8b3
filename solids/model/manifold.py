"""A second opinion on solids by Manifold (package manifold3d), which shares no code with Open CASCADE.

It works on triangles in double precision and guarantees closed results, by another method than the kernel's.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import manifold3d
import numpy as np
import numpy.typing as npt

from solids.base.geometry import PlanePoint, Point, Vector
from solids.base.polygons import Face, newell_normal

Points = npt.NDArray[np.float64]
Triangles = npt.NDArray[np.int64]
Body: TypeAlias = manifold3d.Manifold

UPWARD = 1e-6
"""The least Z of a unit normal that counts as looking up; rounding leaves about 1e-15 on an upright face."""


@dataclass(frozen=True)
class MeshReport:
    """What Manifold says of a mesh: whether it is one closed oriented body, its volume (mm3) and how many bodies."""

    closed: bool
    volume: float
    bodies: int
    status: str


@dataclass(frozen=True)
class OverlapPiece:
    """One piece of an overlap: its volume (mm3) and its reach in X."""

    volume: float
    low: float
    high: float


def body_of(points: Points, triangles: Triangles) -> Body:
    """A body from (n, 3) points in mm and (m, 3) triangles; broken input gives a body whose status says so."""
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(points, dtype=np.float64),
            tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64),
        )
    )


def triangles_of(faces: Iterable[Face]) -> tuple[Points, Triangles]:
    """The triangles of plane faces, by Manifold's own triangulation: points (n, 3) in mm, no two alike, and triangles
    (m, 3), counter-clockwise seen from outside. Nothing of Open CASCADE's mesh is in them."""
    places: dict[Point, int] = {}
    found = []
    for face in faces:
        corners = np.array([places.setdefault(point, len(places)) for loop in face for point in loop])
        found.append(corners[manifold3d.triangulate(_flattened(face))])
    return np.array(list(places), dtype=np.float64), np.concatenate(found).astype(np.int64)


def _flattened(face: Face) -> list[npt.NDArray[np.float64]]:
    """The loops of a face in the coordinate plane that it leans from least, its outer loop counter-clockwise."""
    normal = newell_normal(face[0])
    axis = max(range(3), key=lambda i: abs(normal[i]))
    kept = [(axis + 1) % 3, (axis + 2) % 3]
    if normal[axis] < 0:
        kept.reverse()
    return [np.array(loop)[:, kept] for loop in face]


def is_sound(body: Body) -> bool:
    """Whether a body is a closed, oriented solid with something in it."""
    return bool(body.status() == manifold3d.Error.NoError and not body.is_empty())


def examine(points: Points, triangles: Triangles) -> MeshReport:
    """What Manifold says of a mesh: (n, 3) points in mm and (m, 3) triangles."""
    body = body_of(points, triangles)
    closed = is_sound(body)
    bodies = len(body.decompose()) if closed else 0
    return MeshReport(closed, body.volume() if closed else 0.0, bodies, body.status().name)


def overlap_volume(first: Body, second: Body) -> float:
    """The volume (mm3) that two bodies share; 0 where one is empty, NaN where one is broken."""
    if any(body.status() != manifold3d.Error.NoError for body in (first, second)):
        return float("nan")
    return float((first ^ second).volume())


def overlap_pieces(first: Body, second: Body) -> list[OverlapPiece]:
    """The separate pieces that two bodies share, largest first."""
    pieces = []
    for piece in (first ^ second).decompose():
        low, _, _, high, _, _ = piece.bounding_box()
        pieces.append(OverlapPiece(float(piece.volume()), low, high))
    return sorted(pieces, key=lambda piece: -piece.volume)


def moved(body: Body, by: Vector) -> Body:
    """The body moved by a vector (mm)."""
    return body.translate(by)


def placed(body: Body, rows: Sequence[Sequence[float]]) -> Body:
    """A copy after a rigid motion: three rows of a rotation and a shift."""
    return body.transform(np.array(rows, dtype=np.float64))


def triangles_in(body: Body) -> tuple[Points, Triangles]:
    """The triangles of a body in its own order, which need not be that in which they were given."""
    own = body.to_mesh64()
    return np.asarray(own.vert_properties)[:, :3], np.asarray(own.tri_verts).astype(np.int64)


def ray_hits(body: Body, start: Points, end: Points) -> list[tuple[float, int]]:
    """Where a ray between two points meets a body's surface, nearest first: how far along the ray (mm), and the number
    of the triangle in `triangles_in`. No ray slips through where triangles meet."""
    length = math.dist(start, end)
    return [(hit.distance * length, hit.face_id) for hit in body.ray_cast(start, end)]


def swept_above(points: Points, triangles: Triangles, top: float) -> Body:
    """All that a body passes through above itself, up to Z = top, when it comes down from there; exact.

    It is the union of the columns that stand on the triangles that look up; one that has no area looks nowhere.
    """
    corners = points[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    looking_up = corners[normals[:, 2] > UPWARD * np.linalg.norm(normals, axis=1)]
    return manifold3d.Manifold.batch_boolean(list(_columns(looking_up, top)), manifold3d.OpType.Add)


def _columns(looking_up: Points, top: float) -> Iterable[Body]:
    level = np.ptp(looking_up[:, :, 2], axis=1) == 0
    for height in sorted(set(looking_up[level][:, 0, 2].tolist())):
        if height < top:
            flat = [triangle[:, :2] for triangle in looking_up[level] if triangle[0, 2] == height]
            outline = manifold3d.CrossSection(flat, manifold3d.FillRule.Positive)
            yield outline.extrude(top - height).translate((0.0, 0.0, height))
    for triangle in looking_up[~level]:
        lifted = triangle.copy()
        lifted[:, 2] = top
        yield manifold3d.Manifold.hull_points(np.concatenate((triangle, lifted)))


def nested(points: Sequence[PlanePoint], first: float, step: float, most: float = math.inf) -> list[list[PlanePoint]]:
    """Rings inside a plane polygon, each `step` inside the one before, until none has room or there are `most`; the
    first lies `first` (mm) from its sides. One falls in two where the polygon has a waist. Rounded to 1e-8 mm."""
    rings: list[list[PlanePoint]] = []
    left = manifold3d.CrossSection([points]).offset(-first, manifold3d.JoinType.Miter)
    while not left.is_empty() and most > 0:
        rings += [[(float(x), float(y)) for x, y in ring] for ring in left.to_polygons()]
        left, most = left.offset(-step, manifold3d.JoinType.Miter), most - 1
    return rings
