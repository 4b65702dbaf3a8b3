"""The edges of solids as they are seen, and outlines of faces, for drawings: straight edges as they are, round ones as
short straight lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.BRepTools import BRepTools_WireExplorer
from OCP.GCPnts import GCPnts_QuasiUniformDeflection
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape

from solids.base.errors import KernelError
from solids.base.geometry import Point, Segment
from solids.model.kernel.solid import each, ends_of, is_straight

ROUND = 0.01
"""How far a drawn line may leave the round edge that it stands for (mm): a tenth of the thinnest line on paper."""


@dataclass(frozen=True)
class Projection:
    """The edges of some solids seen from far away, as segments in the picture's plane (mm): those in sight, and those
    that lie behind something. An edge that two solids share comes once for each."""

    visible: list[Segment]
    hidden: list[Segment]


def project(solids: Sequence[TopoDS_Shape], toward_eye: Point, right: Point) -> Projection:
    """Hidden-line removal, exact: `toward_eye` points from the solids to who looks, `right` is the picture's X."""
    apart = project_apart(solids, toward_eye, right)
    return Projection(
        [segment for picture in apart for segment in picture.visible],
        [segment for picture in apart for segment in picture.hidden],
    )


def project_apart(solids: Sequence[TopoDS_Shape], toward_eye: Point, right: Point) -> list[Projection]:
    """The same picture with the edges of each solid by themselves; a solid hides those behind it all the same."""
    algorithm = HLRBRep_Algo()
    for solid in solids:
        algorithm.Add(solid)
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*toward_eye), gp_Dir(*right))))
    algorithm.Update()
    algorithm.Hide()
    result = HLRBRep_HLRToShape(algorithm)
    return [
        Projection(
            # Besides edges, the lines where a round face turns out of sight.
            [*_segments(result.VCompound(solid)), *_segments(result.OutLineVCompound(solid))],
            [*_segments(result.HCompound(solid)), *_segments(result.OutLineHCompound(solid))],
        )
        for solid in solids
    ]


def outlines_of(face: TopoDS_Face) -> list[list[Point]]:
    """The closed outlines round a face, that of a hole too, point by point; in no order, and either way round."""
    return [
        _walked(BRepTools_WireExplorer(TopoDS.Wire_s(wire), face)) for wire in each(face, TopAbs_ShapeEnum.TopAbs_WIRE)
    ]


def _walked(walker: BRepTools_WireExplorer) -> list[Point]:
    """The points along a wire, each once."""
    found: list[Point] = []
    while walker.More():
        points = _points_along(walker.Current())
        if walker.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            points.reverse()
        found += points[:-1]
        walker.Next()
    return found


def _segments(compound: TopoDS_Shape | None) -> list[Segment]:
    """The edges of a picture as straight pieces; `compound` is None where there are none of a kind."""
    if compound is None or compound.IsNull():
        return []
    BRepLib.BuildCurves3d_s(compound)
    edges = (TopoDS.Edge_s(shape) for shape in each(compound, TopAbs_ShapeEnum.TopAbs_EDGE))
    return [piece for edge in edges for piece in _pieces(edge)]


def _pieces(edge: TopoDS_Edge) -> Iterator[Segment]:
    yield from pairwise([point[:2] for point in _points_along(edge)])


def _points_along(edge: TopoDS_Edge) -> list[Point]:
    """Both ends of a straight edge; of a round one as many points as it takes."""
    if is_straight(edge):
        return list(ends_of(edge))
    found = GCPnts_QuasiUniformDeflection(BRepAdaptor_Curve(edge), ROUND)
    if not found.IsDone():
        raise KernelError("drawing a solid: no points along a round edge")
    points = [found.Value(number) for number in range(1, found.NbPoints() + 1)]
    return [(point.X(), point.Y(), point.Z()) for point in points]
