"""What is round on a shop aid: outlines with true arcs, round holes, and letters sunk into a level face of any solid.

Boards have none of it. Lengths and points in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepClass import BRepClass_FaceClassifier
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAbs import GeomAbs_Plane
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation, TopAbs_State
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Iterator, TopoDS_Shell, TopoDS_Wire

from solids.base.errors import KernelError
from solids.base.geometry import PlanePoint
from solids.base.polygons import Face, Stretch, at_height, rounded, sides, walls
from solids.model.kernel.shaping import cut
from solids.model.kernel.solid import SharedEdges, Solid, faces_in_order, plane_face, solid_in, wire_of

LEVEL = 1e-6
"""How far a face may lie off its height, and a point off a face that it is on."""


def rounded_prism(outline: Iterable[Stretch], low: float, high: float) -> Solid:
    """An outline of straight lines and arcs in XY, raised from Z = low to Z = high. Each arc becomes a part of a true
    cylinder."""
    wire = BRepBuilderAPI_MakeWire()
    for start, middle, end in outline:
        wire.Add(_edge(start, middle, end, low))
    if not wire.IsDone() or not wire.Wire().Closed():
        raise KernelError("raising a rounded outline: it is not closed")
    face = BRepBuilderAPI_MakeFace(wire.Wire(), True)
    if not face.IsDone():
        raise KernelError("raising a rounded outline: it bounds no plane face")
    return TopoDS.Solid_s(BRepPrimAPI_MakePrism(face.Face(), gp_Vec(0.0, 0.0, high - low)).Shape())


def _edge(start: PlanePoint, middle: PlanePoint | None, end: PlanePoint, z: float) -> TopoDS_Edge:
    first, last = gp_Pnt(*start, z), gp_Pnt(*end, z)
    if middle is None:
        return BRepBuilderAPI_MakeEdge(first, last).Edge()
    return BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(first, gp_Pnt(*middle, z), last).Value()).Edge()


def bored(body: Solid, holes: Sequence[tuple[PlanePoint, float]], low: float, high: float) -> Solid:
    """The body less upright round holes, each a centre and a diameter, from Z = low to Z = high."""
    return cut(body, [rounded_prism(_circle(centre, diameter / 2), low, high) for centre, diameter in holes])


def _circle(centre: PlanePoint, radius: float) -> list[Stretch]:
    """A circle in four arcs. In one piece, with a chamfer at its foot, Open CASCADE reads it back from a STEP file
    turned inside out."""
    (x, y), out = centre, radius
    square = [(x - out, y - out), (x + out, y - out), (x + out, y + out), (x - out, y + out)]
    return rounded(square, [radius] * 4)


Pocket = tuple[list[PlanePoint], list[list[PlanePoint]]]
"""A pocket's outline, counter-clockwise seen from above, and the islands in it, clockwise."""


def sunk(body: Solid, middle: PlanePoint, top: float, pockets: Sequence[Pocket], depth: float) -> Solid:
    """The body with pockets in its level face at Z = `top`, that a point `middle` lies on. They lie inside that face
    and apart from each other. All other faces stay, whatever their form: the new ones are built beside them with no
    boolean, which would take a hundred times as long for some letters. KernelError where there is no such face."""
    builder, shell, edges = BRep_Builder(), TopoDS_Shell(), SharedEdges()
    builder.MakeShell(shell)
    own = faces_in_order(body)
    level = next((face for face in own if _is_under(face, middle, top)), None)
    if level is None:
        raise KernelError(f"sinking pockets: no level face at Z = {top:g} under {middle}")
    for face in own:
        if not face.IsSame(level):
            builder.Add(shell, face)
    for outline, islands in pockets:
        for made in _pocket_faces(outline, islands, top, depth):
            builder.Add(shell, plane_face(builder, made, edges))
    openings = [at_height(reversed(outline), top) for outline, _ in pockets]
    builder.Add(shell, _with_openings(builder, level, [wire_of(builder, loop, edges) for loop in openings]))
    return solid_in(builder, shell, edges)


def _pocket_faces(
    outline: list[PlanePoint], islands: list[list[PlanePoint]], top: float, depth: float
) -> Iterable[Face]:
    """The floor of a pocket, the tops of its islands, and all walls."""
    yield [at_height(loop, top - depth) for loop in (outline, *islands)]
    for island in islands:
        yield [at_height(reversed(island), top)]
    # The inside of a pocket lies to the left of its outline, so its walls run downward.
    for loop in (outline, *islands):
        yield from walls(sides(loop), top, top - depth)


def _is_under(face: TopoDS_Face, middle: PlanePoint, top: float) -> bool:
    surface = BRepAdaptor_Surface(face, False)
    if surface.GetType() != GeomAbs_Plane:
        return False
    plane, is_turned = surface.Plane(), face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    up = plane.Axis().Direction().Z() * (-1.0 if is_turned else 1.0) * (1.0 if plane.Direct() else -1.0)
    if up < 1.0 - LEVEL or abs(plane.Location().Z() - top) > LEVEL:
        return False
    return bool(BRepClass_FaceClassifier(face, gp_Pnt(*middle, top), LEVEL).State() == TopAbs_State.TopAbs_IN)


def _with_openings(builder: BRep_Builder, face: TopoDS_Face, openings: Sequence[TopoDS_Wire]) -> TopoDS_Face:
    """A copy of a face, with its own edges, and openings in it that run clockwise seen from outside."""
    way = face.Orientation()
    forward = face.Oriented(TopAbs_Orientation.TopAbs_FORWARD)
    copy = TopoDS.Face_s(forward.EmptyCopied())
    inside = TopoDS_Iterator(forward)
    while inside.More():
        builder.Add(copy, inside.Value())
        inside.Next()
    for opening in openings:
        builder.Add(copy, opening.Reversed() if way == TopAbs_Orientation.TopAbs_REVERSED else opening)
    return TopoDS.Face_s(copy.Oriented(way))
