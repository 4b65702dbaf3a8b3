"""Writes STEP files with Open CASCADE."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from OCP.APIHeaderSection import APIHeaderSection_MakeHeader
from OCP.gp import gp_Pnt
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.StepBasic import StepBasic_DerivedUnit, StepBasic_Product, StepBasic_SiUnitAndMassUnit
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
from OCP.STEPConstruct import STEPConstruct
from OCP.STEPControl import STEPControl_StepModelType
from OCP.StepRepr import StepRepr_NextAssemblyUsageOccurrence
from OCP.StepShape import StepShape_ManifoldSolidBrep
from OCP.TCollection import TCollection_ExtendedString, TCollection_HAsciiString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_Area, XCAFDoc_Centroid, XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_Volume

from solids import __version__
from solids.base.errors import FaultError
from solids.base.geometry import IDENTITY, Frame
from solids.layout.joint.faces import REFERENCE_EDGE
from solids.model.kernel import quiet
from solids.model.kernel.shaping import motion
from solids.model.kernel.solid import faces_in_order
from solids.write.formats.part21 import encoded, order_styles, timestamp, unfold_texts
from solids.write.formats.step.dimensioning import add_dimensions, describe_dimensions
from solids.write.formats.step.parts import EDGE_RGB, NO_HEAD, Head, Product, is_assembly, numbers_of
from solids.write.formats.step.settings import all_of, colour_of, settings

SCHEMA = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF {1 0 10303 442 1 1 4 }"


def step_bytes(title: str, describes: str, parts: Sequence[Product], head: Head = NO_HEAD) -> bytes:
    """The STEP file of some parts: an assembly named `title` where there are several, else the part alone.

    `describes` is one line for the header. The same parts and head give the same bytes in any process on any day.
    """
    # Before Init, Open CASCADE ignores settings without a word.
    STEPCAFControl_Controller.Init_s()
    with quiet(), settings():
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(True)
        writer.SetNameMode(True)
        writer.SetMaterialMode(True)
        writer.SetPropsMode(True)
        writer.SetDimTolMode(any(part.dimensions for part in parts))
        if not writer.Transfer(_document(title, parts), STEPControl_StepModelType.STEPControl_AsIs):
            raise FaultError(f"STEP: Open CASCADE did not accept {title!r}")
        model = writer.ChangeWriter().Model()
        _mend(model, [part.name for part in parts])
        _number(model, numbers_of(title, parts, head))
        _name_faces(writer, parts)
        describe_dimensions(model, parts)
        _write_header(model, title, describes, head)
        stream = BytesIO()
        if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise FaultError(f"STEP: Open CASCADE did not write {title!r}")
    data = order_styles(unfold_texts(stream.getvalue().decode("ascii"))).encode("ascii")
    if SCHEMA.encode() not in data.replace(b"\n", b"")[:4000]:
        raise FaultError("STEP: the schema asked for is not the schema written")
    return data


def _document(title: str, parts: Sequence[Product]) -> TDocStd_Document:
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    assembly = shapes.NewShape() if is_assembly(parts) else None
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


def _describe(document: TDocStd_Document, label: TDF_Label, part: Product) -> None:
    """Name, colour, material and validation properties on a part's label."""
    _name(label, part.name)
    colours, surface = XCAFDoc_DocumentTool.ColorTool_s(document.Main()), XCAFDoc_ColorType.XCAFDoc_ColorSurf
    colours.SetColor(label, colour_of(part.wood.rgb), surface)
    for face, name in zip(faces_in_order(part.solid), part.face_names, strict=False):  # strict but for no names
        if name == REFERENCE_EDGE:
            own = XCAFDoc_DocumentTool.ShapeTool_s(document.Main()).AddSubShape(label, face)
            colours.SetColor(own, colour_of(EDGE_RGB), surface)
    XCAFDoc_DocumentTool.MaterialTool_s(document.Main()).SetMaterial(
        label,
        TCollection_HAsciiString(encoded(part.wood.name)),
        TCollection_HAsciiString(encoded(part.wood.botanical or part.wood.kind)),
        part.wood.density_g_cm3,
        TCollection_HAsciiString("density measure"),
        TCollection_HAsciiString("POSITIVE_RATIO_MEASURE"),
    )
    add_dimensions(document, label, part)
    size = part.measured
    XCAFDoc_Volume.Set_s(label, size.volume)
    XCAFDoc_Area.Set_s(label, size.area)
    XCAFDoc_Centroid.Set_s(label, gp_Pnt(*size.centroid))


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(encoded(name)))


def _mend(model: Any, names: list[str]) -> None:
    """Puts right in the finished model what Open CASCADE has no setting for."""
    # Some programs show this name and not the product's; Open CASCADE leaves it empty. Parts of one shape share it.
    for brep, name in zip(all_of(model, StepShape_ManifoldSolidBrep), names, strict=False):
        brep.SetName(TCollection_HAsciiString(encoded(name)))
    # The number comes from a counter that lives as long as the process.
    for number, use in enumerate(all_of(model, StepRepr_NextAssemblyUsageOccurrence), start=1):
        use.SetId(TCollection_HAsciiString(str(number)))
    for unit in all_of(model, StepBasic_DerivedUnit):
        _mend_density_unit(unit)


def _number(model: Any, numbers: Sequence[str]) -> None:
    """Gives each product its number, for which Open CASCADE writes its name."""
    for product, own in zip(all_of(model, StepBasic_Product), numbers, strict=False):  # parts of one solid share one
        product.SetId(TCollection_HAsciiString(encoded(own)))


def _name_faces(writer: STEPCAFControl_Writer, parts: Sequence[Product]) -> None:
    """Names the faces in the finished model. Open CASCADE itself would need a label for each, which takes longer."""
    finder = writer.ChangeWriter().WS().TransferWriter().FinderProcess()
    for part in parts:
        for face, name in zip(faces_in_order(part.solid), part.face_names, strict=False):  # strict but for no names
            entity = STEPConstruct.FindEntity_s(finder, face)
            if entity is None:
                raise FaultError(f"STEP: the {name} of {part.name} is not in the model")
            entity.SetName(TCollection_HAsciiString(encoded(name)))


def _mend_density_unit(unit: StepBasic_DerivedUnit) -> None:
    """g/cm3: Open CASCADE writes gram to the power 3 and centimetre to the power 2."""
    elements = [unit.ElementsValue(i) for i in range(1, unit.NbElements() + 1)]
    if any(isinstance(element.Unit(), StepBasic_SiUnitAndMassUnit) for element in elements):
        for element in elements:
            is_mass = isinstance(element.Unit(), StepBasic_SiUnitAndMassUnit)
            element.SetExponent(1.0 if is_mass else -3.0)


def _write_header(model: Any, title: str, describes: str, head: Head) -> None:
    header = APIHeaderSection_MakeHeader(model)
    header.SetName(TCollection_HAsciiString(encoded(title)))
    header.SetTimeStamp(TCollection_HAsciiString(timestamp(head.date)))
    header.SetDescriptionValue(1, TCollection_HAsciiString(encoded(describes)))
    header.SetAuthorValue(1, TCollection_HAsciiString(encoded(head.author)))
    header.SetOrganizationValue(1, TCollection_HAsciiString(""))
    header.SetOriginatingSystem(TCollection_HAsciiString(f"halfpin {__version__}"))
    header.SetAuthorisation(TCollection_HAsciiString(""))
    header.Apply(model)
