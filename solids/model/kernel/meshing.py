"""The triangles of solids. Faces are plane, so they lie on the solid up to rounding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face

from solids.base import tolerances as tol
from solids.base.errors import KernelError
from solids.model.kernel.solid import Solid, faces_in_order

Points: TypeAlias = npt.NDArray[np.float64]
Indices: TypeAlias = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Mesh:
    """Triangles of one closed surface. `points` is (n, 3) float64 in mm, no two alike; `triangles` is (m, 3) int64,
    counter-clockwise seen from outside."""

    points: npt.NDArray[np.float64]
    triangles: npt.NDArray[np.int64]


def mesh(solid: Solid, deviation: float = tol.MESH_DEVIATION) -> Mesh:
    """The triangles of a solid, at most `deviation` mm from it (exact on plane faces), vertices shared."""
    points, triangles, _ = mesh_by_face(solid, deviation)
    # Every node lies on a vertex, and all faces read it from the same one, so equal means equal to the bit.
    unique, index = np.unique(points, axis=0, return_inverse=True)
    return Mesh(unique, index.reshape(-1)[triangles])


def mesh_by_face(solid: Solid, deviation: float = tol.MESH_DEVIATION) -> tuple[Points, Indices, Indices]:
    """The triangles of a solid with points that no two faces share: points (n, 3), triangles (m, 3), and for each
    triangle (m) the number of its face in the order of `faces_of`."""
    mesher = BRepMesh_IncrementalMesh(solid, deviation, False, 0.5, False)
    if not mesher.IsDone():
        raise KernelError("meshing a solid: no triangles came out")
    found = [_triangles_of(face) for face in faces_in_order(solid)]
    points, triangles = zip(*found, strict=True)
    begins = np.cumsum([0, *map(len, points[:-1])])
    numbers = np.repeat(np.arange(len(found), dtype=np.int64), list(map(len, triangles)))
    offset = [corners + begin for corners, begin in zip(triangles, begins, strict=True)]
    return np.concatenate(points), np.concatenate(offset), numbers


def _triangles_of(face: TopoDS_Face) -> tuple[Points, Indices]:
    location = TopLoc_Location()
    found = BRep_Tool.Triangulation_s(face, location)
    if found is None:
        raise KernelError("meshing a solid: a face has no triangles")
    if not location.IsIdentity():
        raise KernelError("meshing a solid: a face is placed apart from its solid")
    nodes = [found.Node(i) for i in range(1, found.NbNodes() + 1)]
    corners = [found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)]
    points = np.array([(p.X(), p.Y(), p.Z()) for p in nodes], dtype=np.float64)
    triangles = np.array(corners, dtype=np.int64) - 1
    if face.Orientation().name == "TopAbs_REVERSED":
        triangles = triangles[:, ::-1]
    return points, triangles
