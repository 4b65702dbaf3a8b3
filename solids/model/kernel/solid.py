"""Builds solids from loops of points, and reads them back: faces, measures, validity.

Everything here takes and returns solids, points and numbers in mm; failures come out as KernelError with the operation
and its numbers. The faces of boards are plane, so loops of points say all of them; `rounding.py` makes what is round.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeAlias

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeVertex
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.GeomAbs import GeomAbs_Line, GeomAbs_Plane
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.Message import Message
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import (
    TopoDS,
    TopoDS_Compound,
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shape,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)
from OCP.TopTools import TopTools_IndexedMapOfShape

from solids.base.errors import KernelError
from solids.base.geometry import Point
from solids.base.polygons import Face, Loop, newell_normal, sides

Solid: TypeAlias = TopoDS_Solid


@dataclass(frozen=True)
class Measure:
    """Volume in mm3, surface area in mm2, centroid in mm."""

    volume: float
    area: float
    centroid: Point


@dataclass(frozen=True)
class Topology:
    """How many of each kind a shape has, and whether all its shells are closed."""

    solids: int
    shells: int
    faces: int
    edges: int
    vertices: int
    closed: bool


@contextmanager
def quiet() -> Iterator[None]:
    """Keeps Open CASCADE's chatter off the terminal while something is read or written."""
    messenger = Message.DefaultMessenger_s()
    printers = list(messenger.Printers())
    for printer in printers:
        messenger.RemovePrinter(printer)
    try:
        yield
    finally:
        for printer in printers:
            messenger.AddPrinter(printer)


# --- building ------------------------------------------------------------------------------------


def solid_from_faces(faces: Iterable[Face]) -> Solid:
    """One solid from its plane faces. Points that are equal to the bit are one vertex, so neighbours share their edges.

    Built directly, with no boolean and no sewing: the face count is what the caller gave. Raises KernelError where an
    edge does not have exactly one face on each side.
    """
    builder = BRep_Builder()
    shell = TopoDS_Shell()
    builder.MakeShell(shell)
    edges = SharedEdges()
    for face in faces:
        builder.Add(shell, plane_face(builder, face, edges))
    return solid_in(builder, shell, edges)


def solid_in(builder: BRep_Builder, shell: TopoDS_Shell, edges: SharedEdges) -> Solid:
    """The solid inside a shell whose faces are all there. KernelError where it is not closed."""
    edges.check_closed()
    shell.Closed(True)
    solid = TopoDS_Solid()
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid


class SharedEdges:
    """Hands out one vertex per point and one edge per pair of points, and counts both directions of use."""

    def __init__(self) -> None:
        self._vertices: dict[Point, TopoDS_Vertex] = {}
        self._edges: dict[tuple[Point, Point], TopoDS_Edge] = {}
        self._used: set[tuple[Point, Point]] = set()

    def edge(self, start: Point, end: Point) -> TopoDS_Shape:
        """The edge from one point to another. KernelError where it is asked for twice in that direction."""
        way = (start, end)
        if way in self._used or start == end:
            raise KernelError(f"building a solid: the edge {start} to {end} is used twice in one direction")
        self._used.add(way)
        twin = self._edges.get((end, start))
        if twin is not None:
            return twin.Reversed()
        maker = BRepBuilderAPI_MakeEdge(self._vertex(start), self._vertex(end))
        if not maker.IsDone():
            raise KernelError(f"building a solid: no edge from {start} to {end}")
        edge = self._edges[way] = maker.Edge()
        return edge

    def _vertex(self, point: Point) -> TopoDS_Vertex:
        vertex = self._vertices.get(point)
        if vertex is None:
            vertex = self._vertices[point] = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
        return vertex

    def check_closed(self) -> None:
        """KernelError where an edge was asked for in one direction only."""
        for start, end in self._used:
            if (end, start) not in self._used:
                raise KernelError(f"building a solid: open at the edge {start} to {end}")


def plane_face(builder: BRep_Builder, face: Face, edges: SharedEdges) -> TopoDS_Face:
    """The kernel's own face over loops of points."""
    outer, *holes = face
    plane = gp_Pln(gp_Pnt(*outer[0]), gp_Dir(*newell_normal(outer)))
    # The last argument would have the kernel ask which side of the loop is inside; its direction says so already.
    maker = BRepBuilderAPI_MakeFace(plane, wire_of(builder, outer, edges), False)
    for hole in holes:
        maker.Add(wire_of(builder, hole, edges))
    if not maker.IsDone():
        raise KernelError(f"building a solid: no plane face on {len(outer)} points from {outer[0]}")
    return maker.Face()


def wire_of(builder: BRep_Builder, loop: Loop, edges: SharedEdges) -> TopoDS_Wire:
    """The kernel's own closed wire through the points of a loop."""
    wire = TopoDS_Wire()
    builder.MakeWire(wire)
    for start, end in sides(loop):
        builder.Add(wire, edges.edge(start, end))
    wire.Closed(True)
    return wire


# --- reading -------------------------------------------------------------------------------------


def volume_of(shape: TopoDS_Shape) -> float:
    """Volume in mm3."""
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def measure(shape: TopoDS_Shape) -> Measure:
    """Volume, area and centroid of a shape."""
    volume, surface = GProp_GProps(), GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, volume)
    BRepGProp.SurfaceProperties_s(shape, surface)
    centre = volume.CentreOfMass()
    return Measure(volume.Mass(), surface.Mass(), (centre.X(), centre.Y(), centre.Z()))


def topology(shape: TopoDS_Shape) -> Topology:
    """The counts of a shape, each part counted once."""
    shells = list(each(shape, TopAbs_ShapeEnum.TopAbs_SHELL))
    return Topology(
        solids=len(distinct(shape, TopAbs_ShapeEnum.TopAbs_SOLID)),
        shells=len(shells),
        faces=len(distinct(shape, TopAbs_ShapeEnum.TopAbs_FACE)),
        edges=len(distinct(shape, TopAbs_ShapeEnum.TopAbs_EDGE)),
        vertices=len(distinct(shape, TopAbs_ShapeEnum.TopAbs_VERTEX)),
        closed=bool(shells) and all(BRep_Tool.IsClosed_s(shell) for shell in shells),
    )


def is_valid(shape: TopoDS_Shape) -> bool:
    """Open CASCADE's own check of geometry and topology (BRepCheck)."""
    return are_valid([shape])[0]


def are_valid(shapes: Sequence[TopoDS_Shape]) -> list[bool]:
    """The same check of several shapes at once, each by itself, spread over the cores."""
    together = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(together)
    for shape in shapes:
        builder.Add(together, shape)
    analyzer = BRepCheck_Analyzer(together, True, may_use_threads())
    return [bool(analyzer.IsValid(shape)) for shape in shapes]


def may_use_threads() -> bool:
    """Not in a helper process: the other cores have helpers of their own, and a forked process has none of the threads
    that the kernel remembers."""
    return multiprocessing.parent_process() is None


def bounds(shape: TopoDS_Shape) -> tuple[Point, Point]:
    """The least and the greatest X, Y and Z, exact for plane faces."""
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    return (low.X(), low.Y(), low.Z()), (high.X(), high.Y(), high.Z())


def faces_of(solid: TopoDS_Shape) -> list[Face]:
    """Every plane face of a solid as loops of points, ordered as `solid_from_faces` takes them.

    Points at one vertex are equal to the bit. Raises KernelError for a face that is not plane.
    """
    return [loops_of(face) for face in faces_in_order(solid)]


def faces_in_order(solid: TopoDS_Shape) -> list[TopoDS_Face]:
    """The kernel's own faces, in the order of `faces_of` and `mesh_by_face`."""
    return [TopoDS.Face_s(face) for face in each(solid, TopAbs_ShapeEnum.TopAbs_FACE)]


def is_plane_sided(face: TopoDS_Face) -> bool:
    """Whether a face is plane and all its edges are straight, so that loops of points say all of it."""
    return is_plane(face) and all(is_straight(TopoDS.Edge_s(edge)) for edge in each(face, TopAbs_ShapeEnum.TopAbs_EDGE))


def is_plane(face: TopoDS_Face) -> bool:
    """Whether a face is plane, whatever its edges are."""
    return bool(BRepAdaptor_Surface(face, False).GetType() == GeomAbs_Plane)


def is_straight(edge: TopoDS_Edge) -> bool:
    """Whether an edge is a straight line."""
    return bool(BRepAdaptor_Curve(edge).GetType() == GeomAbs_Line)


def area_of(face: TopoDS_Face) -> float:
    """The area of one face (mm2)."""
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, properties)
    return float(properties.Mass())


def loops_of(face: TopoDS_Face) -> Face:
    """One plane face as loops of points. KernelError where it is not plane."""
    surface = BRepAdaptor_Surface(face, False)
    if surface.GetType() != GeomAbs_Plane:
        raise KernelError("reading a solid: a face is not plane")
    plane = surface.Plane()
    axis = plane.Axis().Direction()
    outward = -1.0 if face.Orientation().name == "TopAbs_REVERSED" else 1.0
    if not plane.Direct():
        outward = -outward
    wires = [TopoDS.Wire_s(shape) for shape in each(face, TopAbs_ShapeEnum.TopAbs_WIRE)]
    outer = wires[0] if len(wires) == 1 else BRepTools.OuterWire_s(face)
    loops: list[Loop] = []
    for wire in wires:
        loop = _points_of(wire, face)
        nx, ny, nz = newell_normal(loop)
        turns = outward * (nx * axis.X() + ny * axis.Y() + nz * axis.Z())
        is_outer = wire.IsSame(outer)
        if (turns > 0) != is_outer:
            loop.reverse()
        loops.insert(0 if is_outer else len(loops), loop)
    return loops


def _points_of(wire: TopoDS_Wire, face: TopoDS_Face) -> list[Point]:
    walker = BRepTools_WireExplorer(wire, face)
    points = []
    while walker.More():
        points.append(_point(walker.CurrentVertex()))
        walker.Next()
    return points


def each(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Iterator[TopoDS_Shape]:
    """Every part of a kind, once for each place where it is used."""
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def distinct(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    """Every part of a kind, each once."""
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, kind, found)
    return [found.FindKey(number) for number in range(1, found.Extent() + 1)]


def ends_of(edge: TopoDS_Edge) -> tuple[Point, Point]:
    """Where a straight edge begins and ends."""
    return _point(TopExp.FirstVertex_s(edge)), _point(TopExp.LastVertex_s(edge))


def _point(vertex: TopoDS_Vertex) -> Point:
    x, y, z = BRep_Tool.Pnt_s(vertex).Coord()
    return x, y, z


def moved(solid: Solid, by: Point) -> Solid:
    """A copy of a solid, moved by a vector (mm)."""
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(*by))
    return TopoDS.Solid_s(solid.Moved(TopLoc_Location(shift)))
