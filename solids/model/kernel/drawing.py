"""The edges of solids as they are seen, for the shop drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Shape

from solids.base.geometry import Point, Segment
from solids.model.kernel.solid import each, ends_of


@dataclass(frozen=True)
class Projection:
    """The edges of some solids seen from far away, as segments in the picture's plane (mm): those in sight, and those
    that lie behind something. An edge that two solids share comes once for each."""

    visible: list[Segment]
    hidden: list[Segment]


def project(solids: Sequence[TopoDS_Shape], toward_eye: Point, right: Point) -> Projection:
    """Hidden-line removal, exact: `toward_eye` points from the solids to who looks, `right` is the picture's X."""
    algorithm = HLRBRep_Algo()
    for solid in solids:
        algorithm.Add(solid)
    algorithm.Projector(HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*toward_eye), gp_Dir(*right))))
    algorithm.Update()
    algorithm.Hide()
    result = HLRBRep_HLRToShape(algorithm)
    return Projection(_segments(result.VCompound()), _segments(result.HCompound()))


def _segments(compound: TopoDS_Shape | None) -> list[Segment]:
    """The straight edges of a picture; None where there are none of a kind."""
    if compound is None or compound.IsNull():
        return []
    BRepLib.BuildCurves3d_s(compound)
    edges = (ends_of(TopoDS.Edge_s(shape)) for shape in each(compound, TopAbs_ShapeEnum.TopAbs_EDGE))
    return [(start[:2], end[:2]) for start, end in edges]
