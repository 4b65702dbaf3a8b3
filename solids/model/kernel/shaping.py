"""Cutting, joining and chamfering solids, for the shop aids. Faces stay plane."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer
from OCP.gp import gp_Trsf
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape, TopTools_ListOfShape

from solids.base.errors import KernelError
from solids.base.geometry import Frame, Point
from solids.model.kernel.solid import Solid, is_valid, solid_from_faces, topology

Flat = tuple[float, float]


def prism(outline: Sequence[Flat], low: float, high: float, holes: Sequence[Sequence[Flat]] = ()) -> Solid:
    """A counter-clockwise outline in XY, with clockwise holes, raised from Z = low to Z = high."""
    loops = [outline, *holes]
    bottom = [[(x, y, low) for x, y in reversed(loop)] for loop in loops]
    top = [[(x, y, high) for x, y in loop] for loop in loops]
    sides = [
        [[(*a, low), (*b, low), (*b, high), (*a, high)]]
        for loop in loops
        for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)
    ]
    return solid_from_faces([bottom, top, *sides])


def cut(body: Solid, tools: Iterable[Solid]) -> Solid:
    """The body less all tools. KernelError where that is not one valid solid."""
    tools = list(tools)
    return _valid(_result(BRepAlgoAPI_Cut(), [body], tools, "cutting"), "cutting") if tools else body


def fuse(bodies: Sequence[Solid]) -> Solid:
    """All bodies as one, faces that lie in one plane joined. KernelError where that is not one solid; whether it is
    valid is for the cut or the proof that follows to say."""
    first, *rest = bodies
    return _one_solid(_result(BRepAlgoAPI_Fuse(), [first], rest, "joining"), "joining") if rest else first


def _result(
    operation: BRepAlgoAPI_BooleanOperation, bodies: Sequence[Solid], tools: Sequence[Solid], what: str
) -> TopoDS_Shape:
    operation.SetArguments(_list(bodies))
    operation.SetTools(_list(tools))
    operation.SetRunParallel(False)
    operation.SetToFillHistory(False)
    operation.Build()
    if not operation.IsDone():
        raise KernelError(f"{what} solids: the kernel reports an error")
    unify = ShapeUpgrade_UnifySameDomain(operation.Shape(), True, True, False)
    unify.Build()
    return unify.Shape()


def _one_solid(shape: TopoDS_Shape, what: str) -> Solid:
    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, TopAbs_ShapeEnum.TopAbs_SOLID, found)
    if found.Extent() != 1:
        raise KernelError(f"{what} solids: {found.Extent()} solids came out instead of one")
    return TopoDS.Solid_s(found.FindKey(1))


def _valid(shape: TopoDS_Shape, what: str) -> Solid:
    solid = _one_solid(shape, what)
    if not is_valid(solid) or not topology(solid).closed:
        raise KernelError(f"{what} solids: the result is not valid")
    return solid


def chamfer(body: Solid, size: float, picks: Callable[[Point, Point], bool]) -> Solid:
    """The body with a chamfer of equal legs on every edge whose two ends `picks` accepts."""
    operation = BRepFilletAPI_MakeChamfer(body)
    edges = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(body, TopAbs_ShapeEnum.TopAbs_EDGE, edges)
    count = 0
    for number in range(1, edges.Extent() + 1):
        edge = TopoDS.Edge_s(edges.FindKey(number))
        ends = [BRep_Tool.Pnt_s(vertex) for vertex in (TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge))]
        first, second = ((point.X(), point.Y(), point.Z()) for point in ends)
        if picks(first, second):
            operation.Add(size, edge)
            count += 1
    if not count:
        return body
    operation.Build()
    if not operation.IsDone():
        raise KernelError(f"chamfering {count} edges by {size:g} mm: the kernel reports an error")
    return _valid(operation.Shape(), "chamfering")


def placed(body: Solid, rows: Frame) -> Solid:
    """A copy of a body after a rigid motion, its points computed anew."""
    return TopoDS.Solid_s(BRepBuilderAPI_Transform(body, motion(rows), True).Shape())


def motion(rows: Frame) -> gp_Trsf:
    """The kernel's own record of a rigid motion. KernelError for a reflection: no board is turned inside out."""
    (a, b, c, _), (d, e, f, _), (g, h, i, _) = rows
    if a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) < 0:
        raise KernelError("moving a solid: this is a reflection, not a motion")
    found = gp_Trsf()
    found.SetValues(*rows[0], *rows[1], *rows[2])
    return found


def _list(shapes: Iterable[TopoDS_Shape]) -> TopTools_ListOfShape:
    listed = TopTools_ListOfShape()
    for shape in shapes:
        listed.Append(shape)
    return listed
