"""Dimensions in a STEP file that programs can read: DIMENSIONAL_LOCATION and ANGULAR_LOCATION of AP242, each with its
value and with the faces or edges that it is between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from OCP.StepRepr import StepRepr_ShapeAspectRelationship
from OCP.StepShape import StepShape_DimensionalCharacteristicRepresentation
from OCP.TCollection import TCollection_HAsciiString
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_IndexedMapOfShape
from OCP.XCAFDimTolObjects import XCAFDimTolObjects_DimensionObject, XCAFDimTolObjects_DimensionType
from OCP.XCAFDoc import XCAFDoc_Dimension, XCAFDoc_DocumentTool

from solids.layout.dimensions import Dimension
from solids.model.kernel.solid import each, faces_in_order
from solids.write.formats.part21 import encoded
from solids.write.formats.step.parts import Product
from solids.write.formats.step.settings import all_of

LENGTH = XCAFDimTolObjects_DimensionType.XCAFDimTolObjects_DimensionType_Location_LinearDistance
ANGLE = XCAFDimTolObjects_DimensionType.XCAFDimTolObjects_DimensionType_Location_Angular


@dataclass(frozen=True)
class Ends:
    """A dimension, and the two shapes that it is between."""

    dimension: Dimension
    start: TopoDS_Shape
    end: TopoDS_Shape


def ends_in(part: Product) -> list[Ends]:
    """Each dimension of a part with its ends in the solid. One whose face another face has swallowed is left out: a
    groove can run on in the plane of a lap."""
    faces: dict[str, list[TopoDS_Shape]] = {}
    for face, name in zip(faces_in_order(part.solid) if part.dimensions else (), part.face_names, strict=False):
        faces.setdefault(name, []).append(face)
    edges: dict[str, TopTools_IndexedMapOfShape] = {}
    found = []
    for dimension in part.dimensions:
        end = next(_shapes(faces, edges, dimension.end), None)
        if end is not None and dimension.start in faces:
            found.append(Ends(dimension, faces[dimension.start][0], end))
    return found


def _shapes(
    faces: dict[str, list[TopoDS_Shape]], edges: dict[str, TopTools_IndexedMapOfShape], names: tuple[str, ...]
) -> Iterator[TopoDS_Shape]:
    """The faces of a name; of two names, the edges that they share."""
    first, *second = names
    if not second:
        yield from faces.get(first, ())
        return
    (other,) = second
    if other not in edges:
        edges[other] = TopTools_IndexedMapOfShape()
        for face in faces.get(other, ()):
            for edge in each(face, TopAbs_ShapeEnum.TopAbs_EDGE):
                edges[other].Add(edge)
    for face in faces.get(first, ()):
        yield from (edge for edge in each(face, TopAbs_ShapeEnum.TopAbs_EDGE) if edges[other].Contains(edge))


# --- writing -------------------------------------------------------------------------------------


def add_dimensions(document: TDocStd_Document, label: TDF_Label, part: Product) -> None:
    """Puts the dimensions of a part into the document that is to be written."""
    shapes, tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()), XCAFDoc_DocumentTool.DimTolTool_s(document.Main())
    for ends in ends_in(part):
        dimension = XCAFDimTolObjects_DimensionObject()
        dimension.SetType(ANGLE if ends.dimension.is_angle else LENGTH)
        # An angle is written as it stands beside the unit radian, though read as degrees.
        dimension.SetValue(ends.dimension.value)
        sides = []
        for shape in (ends.start, ends.end):
            own = TDF_Label()
            if not shapes.FindSubShape(label, shape, own):
                own = shapes.AddSubShape(label, shape)
            side = TDF_LabelSequence()
            side.Append(own)
            sides.append(side)
        added = tool.AddDimension()
        tool.SetDimension(*sides, added)
        XCAFDoc_Dimension.Set_s(added).SetObject(dimension)


def describe_dimensions(model: Any, parts: Sequence[Product]) -> None:
    """Says in the finished model what each dimension is of, and what the shapes are that it is between."""
    meant = [ends.dimension for part in parts for ends in ends_in(part)]
    for location, dimension in zip(_locations(model), meant, strict=True):
        what, *names = (TCollection_HAsciiString(encoded(text)) for text in dimension_text(dimension))
        aspects = location.RelatingShapeAspect(), location.RelatedShapeAspect()
        for aspect, name in zip(aspects, names, strict=True):
            aspect.SetName(name)
        # SetDescription alone is not written, and an angle's own Init takes one value more.
        StepRepr_ShapeAspectRelationship.Init(location, location.Name(), True, what, *aspects)


def _locations(model: Any) -> Iterator[Any]:
    for representation in all_of(model, StepShape_DimensionalCharacteristicRepresentation):
        yield representation.Dimension().DimensionalLocation()


# --- reading -------------------------------------------------------------------------------------


def dimension_text(dimension: Dimension) -> tuple[str, str, str]:
    """What the file says that a dimension is: of what, from where, to where."""
    return dimension.what, dimension.start, " and ".join(dimension.end)


def described(model: Any) -> list[tuple[str, str, str]]:
    """The same of every dimension in a model that was read."""
    found = []
    for location in _locations(model):
        aspects = location.RelatingShapeAspect(), location.RelatedShapeAspect()
        what = location.Description().ToCString() if location.HasDescription() else ""
        start, end = (aspect.Name().ToCString() for aspect in aspects)
        found.append((what, start, end))
    return found


def values_in(document: TDocStd_Document) -> Iterator[float]:
    """The value of every dimension that Open CASCADE finds: mm, or degrees."""
    labels = TDF_LabelSequence()
    XCAFDoc_DocumentTool.DimTolTool_s(document.Main()).GetDimensionLabels(labels)
    for number in range(1, labels.Length() + 1):
        # FindAttribute hands out an empty one here; this hands out the one that is there.
        yield float(XCAFDoc_Dimension.Set_s(labels.Value(number)).GetObject().GetValue())
