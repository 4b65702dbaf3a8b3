"""The files of the drawings, read afresh: DXF by ezdxf, SVG as XML, PDF page by page; the same bytes each time."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import pikepdf
import pytest

from solids.write.drafting.sheet import Distance
from solids.write.files.table import files_of, prove_layout
from solids.write.named import DRAWN, File
from tests.boxes import box_of
from tests.corners import layout_of
from tests.write.drafting.whole.cases import drawings, job

MM, INCHES = 4, 1
"""Of $INSUNITS: read in the table of units of ezdxf, `ezdxf.units`."""


def file(name: str, wanted: str) -> File:
    (found,) = (each for each in files_of(job(name), "paper") if each.name == wanted)
    return found


@pytest.mark.parametrize("kind", [*DRAWN])
@pytest.mark.parametrize("name", ["odd", "in inches", "old release"])
def test_the_dxf_measures_the_work(name: str, kind: str, tmp_path: Path) -> None:
    """No complaint, every dimension, each as long as the wood is, and hidden edges on a dashed layer."""
    path = tmp_path / "drawing.dxf"
    path.write_bytes(file(name, f"drawings/{kind}.dxf").make())
    file(name, f"drawings/{kind}.dxf").reread(path)
    doc = ezdxf.readfile(path)
    auditor = doc.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    sheet = drawings(name).sheet(kind)
    spans = [
        abs(d.end[0] - d.start[0] if d.axis == "across" else d.end[1] - d.start[1]) / sheet.scale
        for d in sheet.items
        if isinstance(d, Distance)
    ]
    found = [float(dim.get_measurement()) for dim in doc.modelspace().query("DIMENSION")]
    unit = 25.4 if name == "old release" else 1.0
    assert sorted(mm * unit for mm in found) == pytest.approx(sorted(spans), abs=1e-6)
    assert bool(found) == (kind != "assembly")
    hidden = doc.layers.get("HIDDEN_EDGES" if name == "old release" else "hidden edges")
    assert hidden.dxf.linetype.upper() != "CONTINUOUS"


@pytest.mark.parametrize("kind", [*DRAWN])
def test_the_svg_has_the_size_of_its_sheet_and_its_layers(kind: str, tmp_path: Path) -> None:
    made = file("odd", f"drawings/{kind}.svg")
    path = tmp_path / "drawing.svg"
    path.write_bytes(made.make())
    made.reread(path)
    root = ET.fromstring(path.read_bytes())
    sheet = drawings("odd").sheet(kind)
    assert root.get("viewBox") == f"0 0 {sheet.width:g} {sheet.height:g}"
    groups = {group.get("id") for group in root.iter("{http://www.w3.org/2000/svg}g")}
    assert {"visible-edges", "frame", "text"} <= groups
    assert ("hatching" in groups) == (kind == "sections")


@pytest.mark.parametrize(("name", "width", "height"), [("odd", 297, 210), ("Letter", 279.4, 215.9), ("A3", 420, 297)])
def test_the_pdf_has_every_sheet_at_its_size(name: str, width: float, height: float, tmp_path: Path) -> None:
    path = tmp_path / "drawings.pdf"
    path.write_bytes(file(name, "drawings.pdf").make())
    with pikepdf.open(path) as pdf:
        assert pdf.check_pdf_syntax() == []
        sizes = [tuple(float(side) * 25.4 / 72 for side in page.mediabox[2:]) for page in pdf.pages]
        assert str(pdf.docinfo["/Title"]) == job(name).title
    assert len(sizes) == len(drawings(name).pages)
    assert all(size == pytest.approx((width, height), abs=0.01) for size in sizes)


@pytest.mark.whole
def test_the_same_box_gives_the_same_bytes() -> None:
    again = prove_layout(box_of("odd"))
    first, second = (
        {each.name: each.make() for each in files_of(one, "paper") if each.name.startswith("drawings")}
        for one in (job("odd"), again)
    )
    assert set(first) == {"drawings.pdf", *(f"drawings/{kind}.{end}" for kind in DRAWN for end in ("dxf", "svg"))}
    assert first == second


def test_a_corner_has_the_drawing_of_its_joint_alone() -> None:
    corner = prove_layout(layout_of("tool-tray"))
    assert not [each.name for each in files_of(corner, "paper") if each.name.startswith("drawings")]
