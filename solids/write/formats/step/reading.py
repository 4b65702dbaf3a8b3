"""Reads a STEP file back with Open CASCADE, and compares it with what was meant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.Resource import Resource_DataMapOfAsciiStringAsciiString
from OCP.StepBasic import StepBasic_Product
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Reader
from OCP.StepShape import StepShape_ManifoldSolidBrep
from OCP.TCollection import TCollection_AsciiString, TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name, TDataStd_TreeNode
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFDoc import (
    XCAFDoc,
    XCAFDoc_Area,
    XCAFDoc_Centroid,
    XCAFDoc_ColorType,
    XCAFDoc_DocumentTool,
    XCAFDoc_Material,
    XCAFDoc_MaterialTool,
    XCAFDoc_Volume,
)

from solids.base import tolerances as tol
from solids.base.errors import ReadBackError
from solids.layout.joint.faces import REFERENCE_EDGE
from solids.model.kernel import Measure, measure, quiet
from solids.model.kernel.solid import faces_in_order
from solids.write.formats.part21 import timestamp
from solids.write.formats.step.dimensioning import described, dimension_text, ends_in, values_in
from solids.write.formats.step.parts import EDGE_RGB, NO_HEAD, Head, Product, is_assembly, names_of, numbers_of
from solids.write.formats.step.settings import COLOUR_STEP, all_of, settings

HEALING = ("FixSolidMode", "FixSameParameterMode", "FixVertexPositionMode", "FixVertexToleranceMode")
"""What Open CASCADE's reader would mend in a shape. Switched off, so that what is compared is the file as it stands."""

COLOUR_SLACK = COLOUR_STEP / 10


def reread(path: Path, title: str, parts: Sequence[Product], head: Head = NO_HEAD) -> None:
    """Reads a STEP file with Open CASCADE and compares it with what was meant; ReadBackError names the difference."""
    STEPCAFControl_Controller.Init_s()
    as_it_stands = Resource_DataMapOfAsciiStringAsciiString()
    for mode in HEALING:
        as_it_stands.Bind(TCollection_AsciiString(f"FixShape.{mode}"), TCollection_AsciiString("0"))
    with quiet(), settings():
        reader = STEPCAFControl_Reader()
        reader.SetColorMode(True)
        reader.SetNameMode(True)
        reader.SetMatMode(True)
        reader.SetPropsMode(True)
        reader.SetGDTMode(True)
        # From bytes, as Open CASCADE does not open every name that a disk can hold.
        read = reader.ReadStream(path.name, BytesIO(path.read_bytes())) == IFSelect_ReturnStatus.IFSelect_RetDone
        reader.SetShapeFixParameters(as_it_stands)  # heard only once a file is read
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        if not (read and reader.Transfer(document)):
            raise ReadBackError(f"{path.name} cannot be read back")
        _compare(path.name, document, title, parts)
        _compare_dimensions(path.name, document, reader.ChangeReader().StepModel(), parts)
        _compare_texts(path.name, reader.ChangeReader().StepModel(), title, parts, head)


def _compare_dimensions(file: str, document: TDocStd_Document, model: Any, parts: Sequence[Product]) -> None:
    """What each dimension is of, as the file has it, and how much it is, as Open CASCADE reads it."""
    meant = [end.dimension for part in parts for end in ends_in(part)]
    _same(file, "dimensions", described(model), [dimension_text(dimension) for dimension in meant])
    for dimension, value in zip(meant, values_in(document), strict=True):
        wanted = math.degrees(dimension.value) if dimension.is_angle else dimension.value
        if abs(value - wanted) > tol.READ_BACK_RELATIVE * wanted:
            raise ReadBackError(f"{file}: {dimension.what} reads back as {value} instead of {wanted}")


def _compare_texts(file: str, model: Any, title: str, parts: Sequence[Product], head: Head) -> None:
    """What Open CASCADE keeps in its model and not in its document: author and time, numbers, and names of faces."""
    header = APIHeaderSection_MakeHeader(model)
    _same(file, "author", header.AuthorValue(1).ToCString(), head.author)
    _same(file, "time stamp", header.TimeStamp().ToCString(), timestamp(head.date))
    found = [product.Id().ToCString() for product in all_of(model, StepBasic_Product)]
    _same(file, "part numbers", found, numbers_of(title, parts, head))
    shells = [brep.Outer() for brep in all_of(model, StepShape_ManifoldSolidBrep)]
    _same(file, "solid count", len(shells), len(parts))
    for part, shell in zip(parts, shells, strict=True):
        faces = [shell.CfsFacesValue(number).Name().ToCString() for number in range(1, shell.NbCfsFaces() + 1)]
        _same(f"{file}, {part.name}", "face names", faces, list(part.face_names) or [""] * len(faces))


def _compare(file: str, document: TDocStd_Document, title: str, parts: Sequence[Product]) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots = TDF_LabelSequence()
    shapes.GetFreeShapes(roots)
    if roots.Length() != 1:
        raise ReadBackError(f"{file}: {roots.Length()} roots instead of 1")
    root = roots.Value(1)
    occurrences, labels = [root], [root]
    if is_assembly(parts):
        _same(file, "assembly name", _name_of(root), title)
        components = TDF_LabelSequence()
        shapes.GetComponents_s(root, components)
        occurrences = [components.Value(i) for i in range(1, components.Length() + 1)]
        labels = []
        for component in occurrences:
            referred = TDF_Label()
            shapes.GetReferredShape_s(component, referred)
            labels.append(referred)
    meant = [(part, name, rows) for part in parts for name, rows in part.occurrences]
    _same(file, "part count", len(labels), len(meant))
    compared: dict[str, TDF_Label] = {}
    for component, label, (part, name, rows) in zip(occurrences, labels, meant, strict=True):
        where, size = f"{file}, {name}", part.measured
        # A part that is placed several times is one in the file too.
        if part.name not in compared or not compared[part.name].IsEqual(label):
            _compare_part(where, document, label, part, size)
            compared[part.name] = label
        if part.places:
            _same(where, "name in the assembly", _name_of(component), name)
            size = replace(size, centroid=rows.apply(size.centroid))
        _close(where, "placed", measure(shapes.GetShape_s(component)), size)


def _compare_part(where: str, document: TDocStd_Document, label: TDF_Label, part: Product, meant: Measure) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    _same(where, "name", _name_of(label), part.name)
    _close(where, "stored", _stored(label), meant)
    _compare_colours(where, document, shapes.GetShape_s(label), part)
    # The reader converts the file's g/cm3 to its own length unit, so it answers in g/mm3.
    density = XCAFDoc_MaterialTool.GetDensityForShape_s(label) * 1000
    if abs(density - part.wood.density_g_cm3) > tol.READ_BACK_RELATIVE:
        raise ReadBackError(f"{where}: the density reads back as {density} g/cm3")
    _same(where, "material", _material_of(label), part.wood.name)


def _compare_colours(where: str, document: TDocStd_Document, shape: TopoDS_Shape, part: Product) -> None:
    """The wood's colour, and that of the reference edge. Here a face's name comes from where the reader puts it."""
    _same_colour(where, document, shape, part.wood.rgb)
    if part.faces:
        for face, name in zip(faces_in_order(shape), names_of(shape, part.faces), strict=True):
            if name == REFERENCE_EDGE:
                _same_colour(f"{where}, {name}", document, face, EDGE_RGB)


def _same_colour(where: str, document: TDocStd_Document, shape: TopoDS_Shape, rgb: tuple[int, int, int]) -> None:
    colour = Quantity_Color()
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    if not colours.GetColor(shape, XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour):
        raise ReadBackError(f"{where}: no colour")
    values = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
    for value, wanted in zip(values, rgb, strict=True):
        if abs(value - wanted * COLOUR_STEP) > COLOUR_SLACK:
            raise ReadBackError(f"{where}: the colour reads back as {values}")


def _same(where: str, what: str, found: object, meant: object) -> None:
    if found != meant:
        raise ReadBackError(f"{where}: {what} reads back as {found!r} instead of {meant!r}")


def _close(where: str, what: str, found: Measure, meant: Measure) -> None:
    """Volume, area and centroid within tolerance."""
    for quantity in ("volume", "area"):
        a, b = getattr(found, quantity), getattr(meant, quantity)
        if abs(a - b) > tol.READ_BACK_RELATIVE * b:
            raise ReadBackError(f"{where}: {what} {quantity} is {a} instead of {b}")
    for a, b in zip(found.centroid, meant.centroid, strict=True):
        if abs(a - b) > tol.READ_BACK_CENTROID + tol.READ_BACK_RELATIVE * abs(b):
            raise ReadBackError(f"{where}: {what} centroid is {found.centroid} instead of {meant.centroid}")


def _name_of(label: TDF_Label) -> str:
    name = TDataStd_Name()
    # Asking for an attribute that is not there can end the process.
    if not label.IsAttribute(TDataStd_Name.GetID_s()):
        return ""
    label.FindAttribute(TDataStd_Name.GetID_s(), name)
    return str(name.Get().ToExtString())


def _stored(label: TDF_Label) -> Measure:
    """The validation properties that the file carries for a part."""
    values: list[Any] = []
    for kind in (XCAFDoc_Volume, XCAFDoc_Area, XCAFDoc_Centroid):
        attribute = kind()
        if not label.IsAttribute(kind.GetID_s()):
            raise ReadBackError(f"no {kind.__name__.removeprefix('XCAFDoc_').lower()} is stored with a part")
        label.FindAttribute(kind.GetID_s(), attribute)
        values.append(attribute.Get())
    volume, area, centre = values
    return Measure(volume, area, (centre.X(), centre.Y(), centre.Z()))


def _material_of(label: TDF_Label) -> str:
    """The name of the material that a part's label refers to."""
    node, material = TDataStd_TreeNode(), XCAFDoc_Material()
    if not label.IsAttribute(XCAFDoc.MaterialRefGUID_s()):
        return ""
    label.FindAttribute(XCAFDoc.MaterialRefGUID_s(), node)
    node.Father().Label().FindAttribute(XCAFDoc_Material.GetID_s(), material)
    return str(material.GetName().ToCString())
