"""STEP: ISO 10303-242 (AP242), clear text of ISO 10303-21, millimetres.

One assembly with named parts, each with its colour, its wood as material with density, and its geometric validation
properties (volume, area, centroid), with which a CAD program can check its own import.

What is done here because of something that Open CASCADE was seen to write says so in a comment.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import Any

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.gp import gp_Pnt
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.Resource import Resource_DataMapOfAsciiStringAsciiString
from OCP.StepBasic import StepBasic_DerivedUnit, StepBasic_SiUnitAndMassUnit
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Reader, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
from OCP.StepShape import StepShape_ManifoldSolidBrep
from OCP.TCollection import TCollection_AsciiString, TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name, TDataStd_TreeNode
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
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

from solids import __version__
from solids.base import tolerances as tol
from solids.base.errors import FaultError, ReadBackError
from solids.base.geometry import IDENTITY, Frame
from solids.model.kernel import Measure, Solid, measure, quiet
from solids.model.kernel.shaping import motion, placed
from solids.wood import Wood
from solids.write.formats.part21 import encoded, order_styles, timestamp, unfold_texts

SCHEMA = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF {1 0 10303 442 1 1 4 }"

SETTINGS = {
    "write.step.schema": "AP242DIS",
    "write.step.unit": "MM",
    "write.step.assembly": "Auto",
    "write.surfacecurve.mode": "On",
    "write.precision.mode": "Average",
    "write.step.nonmanifold": "Off",
    "write.stepcaf.subshapes.name": "Off",
    "xstep.cascade.unit": "MM",
}
"""Open CASCADE keeps these for the whole process, where another library may have changed any of them."""

HEALING = ("FixSolidMode", "FixSameParameterMode", "FixVertexPositionMode", "FixVertexToleranceMode")
"""What Open CASCADE's reader would mend in a shape. Switched off, so that what is compared is the file as it stands."""

COLOUR_STEP = 1.0 / 255
ASSEMBLY_COLOUR_SLACK = COLOUR_STEP / 10


@dataclass(frozen=True)
class Product:
    """One part of the file: its name, its solid, its wood, and its `places` in the assembly, each a name and a motion.
    None are needed where it stands there once, as it is."""

    name: str
    solid: Solid
    wood: Wood
    places: tuple[tuple[str, Frame], ...] = ()

    @property
    def occurrences(self) -> tuple[tuple[str, Frame], ...]:
        """Every place with its name."""
        return self.places or ((self.name, IDENTITY),)


@lru_cache(maxsize=64)
def _measured(solid: Solid) -> Measure:
    """The measures of one of our parts, which its file carries, and is compared with."""
    return measure(solid)


# --- writing -------------------------------------------------------------------------------------


def step_bytes(title: str, describes: str, parts: Sequence[Product]) -> bytes:
    """The STEP file of some parts: an assembly named `title` where there are several, else the part alone.

    `describes` is one line for the header. The same parts give the same bytes in any process on any day.
    """
    # Before Init, Open CASCADE ignores settings without a word.
    STEPCAFControl_Controller.Init_s()
    with quiet(), _settings():
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        writer.SetMaterialMode(True)
        writer.SetPropsMode(True)
        if not writer.Transfer(_document(title, parts), STEPControl_StepModelType.STEPControl_AsIs):
            raise FaultError(f"STEP: Open CASCADE did not accept {title!r}")
        model = writer.ChangeWriter().Model()
        _mend(model, [part.name for part in parts])
        _write_header(model, title, describes)
        stream = BytesIO()
        if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise FaultError(f"STEP: Open CASCADE did not write {title!r}")
    data = order_styles(unfold_texts(stream.getvalue().decode("ascii"))).encode("ascii")
    if SCHEMA.encode() not in data.replace(b"\n", b"")[:4000]:
        raise FaultError("STEP: the schema asked for is not the schema written")
    return data


@contextmanager
def _settings() -> Iterator[None]:
    """Makes the settings that this file needs, checks each, and restores what another library may rely on."""
    before = {key: Interface_Static.CVal_s(key) for key in SETTINGS}
    for key, value in SETTINGS.items():
        if not Interface_Static.SetCVal_s(key, value) or Interface_Static.CVal_s(key) != value:
            raise FaultError(f"STEP: Open CASCADE does not accept {key} = {value}")
    try:
        yield
    finally:
        for key, value in before.items():
            Interface_Static.SetCVal_s(key, value)


def _document(title: str, parts: Sequence[Product]) -> TDocStd_Document:
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    assembly = shapes.NewShape() if _is_assembly(parts) else None
    for part in parts:
        label = shapes.AddShape(part.solid, False)
        _describe(document, label, part)
        if assembly is not None:
            for name, rows in part.occurrences:
                _name(shapes.AddComponent(assembly, label, _location(rows)), name)
    if assembly is not None:
        _name(assembly, title)
    shapes.UpdateAssemblies()
    return document


def _location(rows: Frame) -> TopLoc_Location:
    return TopLoc_Location() if rows == IDENTITY else TopLoc_Location(motion(rows))


def _is_assembly(parts: Sequence[Product]) -> bool:
    return len(parts) > 1 or len(parts[0].occurrences) > 1


def _describe(document: TDocStd_Document, label: TDF_Label, part: Product) -> None:
    """Name, colour, material and validation properties on a part's label."""
    _name(label, part.name)
    red, green, blue = (value * COLOUR_STEP for value in part.wood.rgb)
    colour = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_sRGB)
    XCAFDoc_DocumentTool.ColorTool_s(document.Main()).SetColor(label, colour, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
    XCAFDoc_DocumentTool.MaterialTool_s(document.Main()).SetMaterial(
        label,
        TCollection_HAsciiString(encoded(part.wood.name)),
        TCollection_HAsciiString(encoded(part.wood.botanical or part.wood.kind)),
        part.wood.density_g_cm3,
        TCollection_HAsciiString("density measure"),
        TCollection_HAsciiString("POSITIVE_RATIO_MEASURE"),
    )
    size = _measured(part.solid)
    XCAFDoc_Volume.Set_s(label, size.volume)
    XCAFDoc_Area.Set_s(label, size.area)
    XCAFDoc_Centroid.Set_s(label, gp_Pnt(*size.centroid))


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(encoded(name)))


def _mend(model: Any, names: list[str]) -> None:
    """Puts right in the finished model what Open CASCADE has no setting for."""
    # Some programs show this name and not the product's; Open CASCADE leaves it empty. Parts of one shape share it.
    for brep, name in zip(_all(model, StepShape_ManifoldSolidBrep), names, strict=False):
        brep.SetName(TCollection_HAsciiString(encoded(name)))
    # The number comes from a counter that lives as long as the process.
    for number, use in enumerate(_all(model, StepRepr_NextAssemblyUsageOccurrence), start=1):
        use.SetId(TCollection_HAsciiString(str(number)))
    for unit in _all(model, StepBasic_DerivedUnit):
        _mend_density_unit(unit)


def _all(model: Any, kind: Any) -> Iterator[Any]:
    """Every entity of a kind, in the order of the file. The kernel picks them out of some thousands."""
    found = model.Entities()
    found.SelectType(kind.get_type_descriptor_s(), True)
    while found.More():
        yield found.Value()
        found.Next()


def _mend_density_unit(unit: StepBasic_DerivedUnit) -> None:
    """g/cm3: Open CASCADE writes gram to the power 3 and centimetre to the power 2."""
    elements = [unit.ElementsValue(i) for i in range(1, unit.NbElements() + 1)]
    if any(isinstance(element.Unit(), StepBasic_SiUnitAndMassUnit) for element in elements):
        for element in elements:
            is_mass = isinstance(element.Unit(), StepBasic_SiUnitAndMassUnit)
            element.SetExponent(1.0 if is_mass else -3.0)


def _write_header(model: Any, title: str, describes: str) -> None:
    header = APIHeaderSection_MakeHeader(model)
    header.SetName(TCollection_HAsciiString(encoded(title)))
    header.SetTimeStamp(TCollection_HAsciiString(timestamp()))
    header.SetDescriptionValue(1, TCollection_HAsciiString(encoded(describes)))
    header.SetAuthorValue(1, TCollection_HAsciiString(""))
    header.SetOrganizationValue(1, TCollection_HAsciiString(""))
    header.SetOriginatingSystem(TCollection_HAsciiString(f"halfpin {__version__}"))
    header.SetAuthorisation(TCollection_HAsciiString(""))
    header.Apply(model)


# --- reading back ----------------------------------------------------------------------------------


def reread(path: Path, title: str, parts: Sequence[Product]) -> None:
    """Reads a STEP file with Open CASCADE and compares it with what was meant; ReadBackError names the difference."""
    STEPCAFControl_Controller.Init_s()
    as_it_stands = Resource_DataMapOfAsciiStringAsciiString()
    for mode in HEALING:
        as_it_stands.Bind(TCollection_AsciiString(f"FixShape.{mode}"), TCollection_AsciiString("0"))
    with quiet(), _settings():
        reader = STEPCAFControl_Reader()
        reader.SetColorMode(True)
        reader.SetNameMode(True)
        reader.SetMatMode(True)
        reader.SetPropsMode(True)
        # From bytes, as Open CASCADE does not open every name that a disk can hold.
        read = reader.ReadStream(path.name, BytesIO(path.read_bytes())) == IFSelect_ReturnStatus.IFSelect_RetDone
        reader.SetShapeFixParameters(as_it_stands)  # heard only once a file is read
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        if not (read and reader.Transfer(document)):
            raise ReadBackError(f"{path.name} cannot be read back")
        _compare(path.name, document, title, parts)


def _compare(file: str, document: TDocStd_Document, title: str, parts: Sequence[Product]) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    roots = TDF_LabelSequence()
    shapes.GetFreeShapes(roots)
    if roots.Length() != 1:
        raise ReadBackError(f"{file}: {roots.Length()} roots instead of 1")
    root = roots.Value(1)
    occurrences, labels = [root], [root]
    if _is_assembly(parts):
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
    for component, label, (part, name, rows) in zip(occurrences, labels, meant, strict=True):
        where, size = f"{file}, {name}", _measured(part.solid)
        _compare_part(where, document, label, part, size)
        if part.places:
            _same(where, "name in the assembly", _name_of(component), name)
            size = size if rows == IDENTITY else measure(placed(part.solid, rows))
        _close(where, "placed", measure(shapes.GetShape_s(component)), size)


def _compare_part(where: str, document: TDocStd_Document, label: TDF_Label, part: Product, meant: Measure) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    _same(where, "name", _name_of(label), part.name)
    _close(where, "stored", _stored(label), meant)
    colour = Quantity_Color()
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    if not colours.GetColor(shapes.GetShape_s(label), XCAFDoc_ColorType.XCAFDoc_ColorSurf, colour):
        raise ReadBackError(f"{where}: no colour")
    values = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
    for value, wanted in zip(values, part.wood.rgb, strict=True):
        if abs(value - wanted * COLOUR_STEP) > ASSEMBLY_COLOUR_SLACK:
            raise ReadBackError(f"{where}: the colour reads back as {values}")
    # The reader converts the file's g/cm3 to its own length unit, so it answers in g/mm3.
    density = XCAFDoc_MaterialTool.GetDensityForShape_s(label) * 1000
    if abs(density - part.wood.density_g_cm3) > tol.READ_BACK_RELATIVE:
        raise ReadBackError(f"{where}: the density reads back as {density} g/cm3")
    _same(where, "material", _material_of(label), part.wood.name)


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
