"""Intersecting, cutting, joining, chamfering and placing solids. Faces stay plane."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer
from OCP.gp import gp_Trsf
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from solids.base.errors import KernelError
from solids.base.geometry import Frame, PlanePoint, Point
from solids.base.polygons import at_height, sides, walls
from solids.model.kernel.solid import Solid, distinct, each, ends_of, is_valid, solid_from_faces, topology


def prism(outline: Sequence[PlanePoint], low: float, high: float, holes: Sequence[Sequence[PlanePoint]] = ()) -> Solid:
    """A counter-clockwise outline in XY, with clockwise holes, raised from Z = low to Z = high."""
    loops = [outline, *holes]
    bottom = [at_height(reversed(loop), low) for loop in loops]
    top = [at_height(loop, high) for loop in loops]
    return solid_from_faces([bottom, top, *(wall for loop in loops for wall in walls(sides(loop), low, high))])


def common(first: Solid, second: Solid) -> list[Solid]:
    """The solids that two solids share; none where they touch or stand apart.

    No fuzzy value and no glue option: the input is exact, and either would hide the 0.001 mm that must be found.
    """
    operation = BRepAlgoAPI_Common()
    # What it may change of its arguments, a copy of each would cost a third more time for: their records, never their
    # shape. A test holds that, and validity and volume are checked after it.
    operation.SetNonDestructive(False)
    # Whether the arguments are inside out: their volumes say so already.
    operation.SetCheckInverted(False)
    shape = _result(operation, [first], [second], "intersecting")
    return [TopoDS.Solid_s(solid) for solid in each(shape, TopAbs_ShapeEnum.TopAbs_SOLID)]


def rest(body: Solid, tools: Iterable[Solid]) -> list[Solid]:
    """The solids that are left of a body less all tools; none where they take the whole."""
    shape = _result(BRepAlgoAPI_Cut(), [body], list(tools), "cutting")
    return [TopoDS.Solid_s(solid) for solid in each(shape, TopAbs_ShapeEnum.TopAbs_SOLID)]


def cut(body: Solid, tools: Iterable[Solid]) -> Solid:
    """The body less all tools. KernelError where that is not one valid solid."""
    tools = list(tools)
    return _valid(_unified(BRepAlgoAPI_Cut(), [body], tools, "cutting"), "cutting") if tools else body


def fuse(bodies: Sequence[Solid]) -> Solid:
    """All bodies as one, faces that lie in one plane joined. KernelError where that is not one solid; whether it is
    valid is for the cut or the proof that follows to say."""
    first, *rest = bodies
    return _one_solid(_unified(BRepAlgoAPI_Fuse(), [first], rest, "joining"), "joining") if rest else first


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
    return operation.Shape()


def _unified(
    operation: BRepAlgoAPI_BooleanOperation, bodies: Sequence[Solid], tools: Sequence[Solid], what: str
) -> TopoDS_Shape:
    """The result, with faces that lie in one plane joined."""
    unify = ShapeUpgrade_UnifySameDomain(_result(operation, bodies, tools, what), True, True, False)
    unify.Build()
    return unify.Shape()


def _one_solid(shape: TopoDS_Shape, what: str) -> Solid:
    found = distinct(shape, TopAbs_ShapeEnum.TopAbs_SOLID)
    if len(found) != 1:
        raise KernelError(f"{what} solids: {len(found)} solids came out instead of one")
    return TopoDS.Solid_s(found[0])


def _valid(shape: TopoDS_Shape, what: str) -> Solid:
    solid = _one_solid(shape, what)
    if not is_valid(solid) or not topology(solid).closed:
        raise KernelError(f"{what} solids: the result is not valid")
    return solid


def chamfer(body: Solid, size: float, picks: Callable[[Point, Point], bool]) -> Solid:
    """The body with a chamfer of equal legs on every edge whose two ends `picks` accepts."""
    operation = BRepFilletAPI_MakeChamfer(body)
    edges = [TopoDS.Edge_s(shape) for shape in distinct(body, TopAbs_ShapeEnum.TopAbs_EDGE)]
    picked = [edge for edge in edges if picks(*ends_of(edge))]
    for edge in picked:
        operation.Add(size, edge)
    if not picked:
        return body
    operation.Build()
    if not operation.IsDone():
        raise KernelError(f"chamfering {len(picked)} edges by {size:g} mm: the kernel reports an error")
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
