"""A second opinion on solids by Manifold (package manifold3d), which shares no code with Open CASCADE.

It works on triangles in double precision and guarantees closed results, by another method than the kernel's.
"""

from __future__ import annotations

from dataclasses import dataclass

import manifold3d
import numpy as np
import numpy.typing as npt


@dataclass(frozen=True)
class MeshReport:
    """What Manifold says of a mesh: whether it is one closed oriented body, its volume (mm3) and how many bodies."""

    closed: bool
    volume: float
    bodies: int
    status: str


def examine(points: npt.NDArray[np.float64], triangles: npt.NDArray[np.int64]) -> MeshReport:
    """What Manifold says of a mesh: (n, 3) points in mm and (m, 3) triangles."""
    body = _body(points, triangles)
    closed = body.status() == manifold3d.Error.NoError and not body.is_empty()
    bodies = len(body.decompose()) if closed else 0
    return MeshReport(closed, body.volume() if closed else 0.0, bodies, body.status().name)


def overlap_volume(
    first: tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]],
    second: tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]],
) -> float:
    """The volume (mm3) that two closed meshes share; NaN where either is no closed mesh."""
    a, b = _body(*first), _body(*second)
    if manifold3d.Error.NoError != a.status() or manifold3d.Error.NoError != b.status():
        return float("nan")
    return float((a ^ b).volume())


def _body(points: npt.NDArray[np.float64], triangles: npt.NDArray[np.int64]) -> manifold3d.Manifold:
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(points, dtype=np.float64),
            tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64),
        )
    )
