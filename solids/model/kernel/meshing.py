"""The triangles of solids. Where faces are plane, as those of boards are, they lie on the solid up to rounding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepGProp import BRepGProp_Face
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face

from solids.base import tolerances as tol
from solids.base.errors import KernelError
from solids.base.geometry import Point
from solids.base.polygons import Face
from solids.model.kernel.solid import Solid, area_of, faces_in_order, is_plane, is_plane_sided, loops_of

Points: TypeAlias = npt.NDArray[np.float64]
Indices: TypeAlias = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Mesh:
    """Triangles of one closed surface. `points` is (n, 3) float64 in mm, no two alike; `triangles` is (m, 3) int64,
    counter-clockwise seen from outside."""

    points: npt.NDArray[np.float64]
    triangles: npt.NDArray[np.int64]


def mesh(solid: Solid) -> Mesh:
    """The triangles of a solid, at most `tol.MESH_DEVIATION` from it (exact on plane faces), vertices shared."""
    points, triangles, _ = mesh_by_face(solid)
    # Every node lies on a vertex, and all faces read it from the same one, so equal means equal to the bit.
    unique, index = np.unique(points, axis=0, return_inverse=True)
    return Mesh(unique, index.reshape(-1)[triangles])


def mesh_by_face(solid: Solid) -> tuple[Points, Indices, Indices]:
    """The triangles of a solid with points that no two faces share: points (n, 3), triangles (m, 3), and for each
    triangle (m) the number of its face in the order of `faces_of`."""
    mesher = BRepMesh_IncrementalMesh(solid, tol.MESH_DEVIATION, False, 0.5, False)
    if not mesher.IsDone():
        raise KernelError("meshing a solid: no triangles came out")
    found = [_triangles_of(face) for face in faces_in_order(solid)]
    points, triangles = zip(*found, strict=True)
    begins = np.cumsum([0, *map(len, points[:-1])])
    numbers = np.repeat(np.arange(len(found), dtype=np.int64), list(map(len, triangles)))
    offset = [corners + begin for corners, begin in zip(triangles, begins, strict=True)]
    return np.concatenate(points), np.concatenate(offset), numbers


def facets_of(solid: Solid) -> list[Face]:
    """Every face of a solid as loops of points, as `faces_of` gives them; one that is round, or has a round edge, as
    its triangles, at most `tol.MESH_DEVIATION` from it."""
    faces = faces_in_order(solid)
    if all(map(is_plane_sided, faces)):
        return [loops_of(face) for face in faces]
    points, triangles, numbers = mesh_by_face(solid)
    corners: list[list[list[float]]] = points[triangles].tolist()
    found: list[Face] = [loops_of(face) for face in faces if is_plane_sided(face)]
    round_ones = {number for number, face in enumerate(faces) if not is_plane_sided(face)}
    for number, triangle in zip(numbers.tolist(), corners, strict=True):
        if number in round_ones:
            found.append([[(x, y, z) for x, y, z in triangle]])
    return found


@dataclass(frozen=True)
class Patch:
    """A piece of a surface: where it looks, as a unit vector outward, its area (mm2), and its highest Z (mm)."""

    look: Point
    area: float
    top: float


def patches_of(solid: Solid) -> list[Patch]:
    """The surface of a solid in pieces: each triangle of its mesh, with the look of the face itself in its middle. A
    triangle of a round face is itself tilted a little against that."""
    mesher = BRepMesh_IncrementalMesh(solid, tol.MESH_DEVIATION, False, 0.5, False)
    if not mesher.IsDone():
        raise KernelError("meshing a solid: no triangles came out")
    return [patch for face in faces_in_order(solid) for patch in _patches(face)]


def _patches(face: TopoDS_Face) -> Iterator[Patch]:
    points, triangles = _triangles_of(face)
    found, surface = BRep_Tool.Triangulation_s(face, TopLoc_Location()), BRepGProp_Face(face)
    for corners in triangles.tolist():
        uvs = [found.UVNode(corner + 1) for corner in corners]
        middle, look = gp_Pnt(), gp_Vec()
        surface.Normal(sum(uv.X() for uv in uvs) / 3, sum(uv.Y() for uv in uvs) / 3, middle, look)
        look.Normalize()
        a, b, c = points[corners]
        area = float(np.linalg.norm(np.cross(b - a, c - a))) / 2
        yield Patch((look.X(), look.Y(), look.Z()), area, float(max(a[2], b[2], c[2])))


def slack_of(solid: Solid) -> float:
    """How much the volume of a solid's triangles may differ from its own (mm3): nothing where all faces are plane."""
    return tol.MESH_DEVIATION * sum(area_of(face) for face in faces_in_order(solid) if not is_plane(face))


def _triangles_of(face: TopoDS_Face) -> tuple[Points, Indices]:
    location = TopLoc_Location()
    found = BRep_Tool.Triangulation_s(face, location)
    if found is None:
        raise KernelError("meshing a solid: a face has no triangles")
    # The upper face of a raised outline is the lower one, placed higher.
    placing = location.Transformation()
    nodes = [found.Node(i).Transformed(placing) for i in range(1, found.NbNodes() + 1)]
    corners = [found.Triangle(i).Get() for i in range(1, found.NbTriangles() + 1)]
    points = np.array([(p.X(), p.Y(), p.Z()) for p in nodes], dtype=np.float64)
    triangles = np.array(corners, dtype=np.int64) - 1
    if face.Orientation().name == "TopAbs_REVERSED":
        triangles = triangles[:, ::-1]
    return points, triangles
