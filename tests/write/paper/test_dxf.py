"""The DXF file of the shop drawing, read afresh: no complaint, millimetres of the work, dimensions that measure the
joint, nothing twice."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import ezdxf
import pytest
from ezdxf import bbox
from ezdxf.addons.drawing import Frontend, RenderContext
from ezdxf.addons.drawing.json import CustomJSONBackend
from ezdxf.document import Drawing
from ezdxf.entities import DXFEntity

from solids.base.errors import ReadBackError
from solids.base.parsing import parse_length
from solids.layout import Layout
from solids.write.drafting.layers import LAYERS
from solids.write.drafting.sheet import Angle, Distance, Label, Sheet
from solids.write.drafting.views import shop_drawing
from solids.write.paper.dxf import dxf_bytes, reread
from solids.write.paper.typesetting.letters import in_font
from tests.commands import told_elsewhere
from tests.corners import layout_of
from tests.write.drafting.flat import ODD

CUTTERS = ('kit.cutters=["1 mm", "2 mm", "6 mm", "16 mm"]',)
NAMES = {
    **{
        name: (*asked, *CUTTERS)
        for name, asked in ODD.items()
        if name not in ("very wide", "inches, long fractions", "tight", "loose", "long boards", "very thick")
    },
    "no cutters": ("tool-tray",),
    "relief": ("drawer-front", *CUTTERS, "paper.corner_relief=true"),
}
MILLIMETRES = 4
"""Of $INSUNITS: read in the table of units of ezdxf, `ezdxf.units`."""


def plan_of(name: str) -> Layout:
    return layout_of(*NAMES[name])


@cache
def sheet_of(name: str) -> Sheet:
    return shop_drawing(plan_of(name), "A4")


@cache
def doc_of(name: str) -> Drawing:
    """The file of one drawing as another run of the library reads it; no test changes it."""
    return read(dxf_bytes(sheet_of(name)))


def read(data: bytes) -> Drawing:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "drawing.dxf"
        file.write_bytes(data)
        return ezdxf.readfile(file)


@pytest.mark.parametrize("name", NAMES)
def test_it_passes_the_audit_in_millimetres_with_every_layer(name: str) -> None:
    doc = doc_of(name)
    auditor = doc.audit()
    assert auditor.errors == []
    assert auditor.fixes == []
    assert doc.header["$INSUNITS"] == MILLIMETRES
    assert doc.header["$MEASUREMENT"] == 1
    for layer in LAYERS:
        found = doc.layers.get(layer.name)
        assert found.dxf.lineweight == round(layer.width * 100)
        assert found.dxf.plot == 1
    assert {entity.dxf.layer for entity in doc.modelspace()} <= {layer.name for layer in LAYERS}


@pytest.mark.parametrize("name", NAMES)
def test_every_dimension_measures_the_work_itself(name: str) -> None:
    """Read as a CAD program does, from the points that it spans, in mm, whatever the scale of the sheet."""
    sheet, plan = sheet_of(name), plan_of(name)
    doc = doc_of(name)
    linear = [d for d in doc.modelspace().query("DIMENSION") if d.dimtype == 0]
    angular = [d for d in doc.modelspace().query("DIMENSION") if d.dimtype != 0]
    meant = [item for item in sheet.items if isinstance(item, Distance)]
    assert len(linear) == len(meant)
    measured = sorted(float(d.get_measurement()) for d in linear)
    spans = [abs(d.end[0] - d.start[0]) if d.axis == "across" else abs(d.end[1] - d.start[1]) for d in meant]
    assert measured == pytest.approx(sorted(span / sheet.scale for span in spans), abs=1e-9)
    for length in (plan.recipe.width, plan.depth, plan.recipe.tail_board.thickness, plan.recipe.pin_board.thickness):
        assert any(found == pytest.approx(length, abs=1e-6) for found in measured)
    assert len(angular) == sum(isinstance(item, Angle) for item in sheet.items) == 1
    assert float(angular[0].get_measurement()) == pytest.approx(
        math.degrees(math.atan(1 / plan.recipe.slope_ratio)), abs=1e-6
    )


def shown_words(dimension: DXFEntity) -> str:
    """What a drawing program shows over a dimension, once it has measured."""
    (words,) = (entity for entity in dimension.virtual_entities() if entity.dxftype() == "MTEXT")  # type: ignore[attr-defined]
    return str(words.plain_text())


@pytest.mark.parametrize("name", [*NAMES, "inches, long fractions"])
def test_every_dimension_shows_what_it_measures(name: str) -> None:
    """In mm the number is left to the program (`<>`), which measures anew where a line is moved, and rounds it;
    in inches thousandths are within half a thousandth of what is measured."""
    plan = layout_of(*ODD[name]) if name in ODD else plan_of(name)
    doc = read(dxf_bytes(shop_drawing(plan, "A4")))
    for dimension in doc.modelspace().query("DIMENSION"):
        words, measured = shown_words(dimension), float(dimension.get_measurement())
        number = re.sub(r"\(\d+x\)|\(1:[\d.]+\)|°", "", words).strip()
        if "°" in words:
            assert float(number) == pytest.approx(measured, abs=0.0501)
        elif plan.recipe.units == "mm":
            step = float(dimension.override().get("dimrnd"))  # type: ignore[attr-defined]
            assert step in {0.05, 0.01}
            assert float(number) == pytest.approx(measured, abs=step / 2 + 1e-5)
        else:
            assert parse_length(inches(number)) == pytest.approx(measured, abs=0.0005 * 25.4)
        assert dimension.dxf.text.startswith("<>") == ("°" in words or plan.recipe.units == "mm")


def inches(words: str) -> str:
    """A dimension in thousandths with the nearest 64th in brackets: "0.917 [59/64]" is 0.917 in."""
    thousandths, nearest = re.fullmatch(r"([\d.]+) \[([\d /]+)\]", words).groups()  # type: ignore[union-attr]
    assert abs(parse_length(f"{nearest} in") - parse_length(f"{thousandths} in")) <= 25.4 / 128 + 0.013
    return f"{thousandths} in"


@pytest.mark.parametrize("name", NAMES)
def test_the_arc_of_the_slope_lies_at_the_flank(name: str) -> None:
    """As ezdxf's own drawing add-on draws it: from the flank that runs on below the baseline to the square line, about
    the foot of the last tail, over as many degrees as the slope has, and nowhere else."""
    doc, plan = doc_of(name), plan_of(name)
    (angle,) = (entity for entity in doc.modelspace().query("DIMENSION") if entity.dimtype != 0)
    backend = CustomJSONBackend()
    drawn = Frontend(RenderContext(doc), backend)
    drawn.draw_entity(angle, drawn.ctx.resolve_all(angle))
    (curve,) = (item["geometry"] for item in backend.get_json_data() if item["type"] == "path")
    centre, lean = angle.dxf.defpoint4, math.degrees(math.atan(1 / plan.recipe.slope_ratio))
    # Points of the curve itself, as a path is told: a move, then Bezier curves by their two handles and their end.
    ends = [step[-2:] for step in curve]
    assert {step[0] for step in curve} == {"M", "C"}
    turns = [math.degrees(math.atan2(y - centre.y, x - centre.x)) % 360 for x, y in ends]
    assert (min(turns), max(turns)) == pytest.approx((270 - lean, 270), abs=1e-6)
    assert len({round(math.dist(end, (centre.x, centre.y)), 6) for end in ends}) == 1
    flank = [e for e in doc.modelspace().query("LINE") if e.dxf.layer == "visible edges"]
    feet = [point for e in flank for point in (e.dxf.start, e.dxf.end)]
    # In a tight joint the pin stands in the tail's foot, and covers it.
    tight = max(0.0, -plan.recipe.flank_gap) * plan.flanks[0].stretch
    assert min(centre.distance(point) for point in feet) <= tight + 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_there_twice_and_none_has_no_length(name: str) -> None:
    doc = doc_of(name)
    lines = doc.modelspace().query("LINE")
    assert len(lines) > 30
    ends = []
    for entity in lines:
        a, b = (tuple(round(v, 5) for v in point) for point in (entity.dxf.start, entity.dxf.end))
        assert math.dist(a, b) > 1e-4
        ends.append((entity.dxf.layer, min(a, b), max(a, b)))
    assert len(set(ends)) == len(ends)
    for entity in doc.modelspace().query("LWPOLYLINE"):
        points = [(x, y) for x, y, *_ in entity.get_points()]
        pairs = list(zip(points, [*points[1:], points[0]] if entity.closed else points[1:], strict=False))
        assert min(math.dist(a, b) for a, b in pairs) > 1e-4


@pytest.mark.whole
def test_names_of_layers_hold_no_character_that_programs_refuse() -> None:
    """Open Design Alliance, Drawings SDK Developer Guide, "Naming Objects": no < > / \\ " : ; ? , * | = `."""
    names = {layer.dxf.name for name in NAMES for layer in doc_of(name).layers}
    assert len(names) >= len(LAYERS)
    assert not [name for name in names if set(name) & set('<>/\\":;?,*|=`')]


@pytest.mark.parametrize("name", ["through", "half-blind", "thick and thin", "a hundred tails", "one tail"])
def test_the_frame_is_as_large_as_the_sheet_at_the_scale_of_the_work(name: str) -> None:
    """297 - 30 by 210 - 20 mm on paper, divided by the scale."""
    sheet = sheet_of(name)
    doc = doc_of(name)
    frames = [e for e in doc.modelspace().query("LWPOLYLINE") if e.dxf.layer == "frame"]
    sizes = [bbox.extents([frame]).size for frame in frames]
    widest = max(sizes, key=lambda size: size.x)
    assert (widest.x, widest.y) == pytest.approx((267 / sheet.scale, 190 / sheet.scale))


@pytest.mark.parametrize("name", ["through", "far proud"])
def test_the_header_tells_from_where_to_where_the_drawing_goes(name: str) -> None:
    """$EXTMIN and $EXTMAX are what programs zoom to; 1e20 stands for nothing drawn."""
    doc = doc_of(name)
    low, high = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    found = bbox.extents(doc.modelspace().query("LINE LWPOLYLINE"))
    assert low[0] <= found.extmin.x + 1e-6
    assert low[1] <= found.extmin.y + 1e-6
    assert found.extmax.x - 1e-6 <= high[0] < 1e6
    assert found.extmax.y - 1e-6 <= high[1] < 1e6


@pytest.mark.parametrize("name", ["through", "inches"])
def test_every_word_of_the_sheet_is_there_at_its_height(name: str) -> None:
    sheet = sheet_of(name)
    doc = doc_of(name)
    meant = [item for item in (*sheet.items,) if isinstance(item, Label)]
    texts = {(e.dxf.text, round(e.dxf.height * sheet.scale, 6)) for e in doc.modelspace().query("TEXT")}
    for label in meant:
        assert (in_font(label.text), round(label.height, 6)) in texts


@pytest.mark.parametrize("title", ["Kästchen für Öl, Übung ß", "é ł Ω Ж", "50%% done %%c %%u", "木の箱"])
def test_a_title_in_any_letters_can_be_read_back(title: str) -> None:
    """As text, as a drawing is: letters outside the font as on paper. Two percent signs would begin a control code
    (AutoCAD's %%c is a diameter sign; from memory), so a space keeps them apart."""
    sheet = shop_drawing(layout_of("tool-tray", f'title="{title}"'), "A4")
    doc = read(dxf_bytes(sheet))
    texts = [entity.dxf.text for entity in doc.modelspace().query("TEXT")]
    shown = re.sub("%(?=%)", "% ", in_font(title))
    assert shown in texts
    plain = [entity.plain_text() for entity in doc.modelspace().query("TEXT")]
    assert shown in plain


@pytest.mark.whole
def test_it_is_the_same_twice_and_after_other_drawings() -> None:
    first = dxf_bytes(sheet_of("through"))
    dxf_bytes(sheet_of("a hundred tails"))
    assert dxf_bytes(sheet_of("through")) == first


MAKE = """
import hashlib
from solids.write.drafting.sheet import Angle, Distance, Label, Sheet, box, line
from solids.write.paper.dxf import dxf_bytes, machine_dxf_bytes
items = (
    line("visible edges", (20.0, 20.0), (80.0, 20.0)), box("frame", (10.0, 10.0), (90.0, 90.0)),
    Label("words", (50.0, 50.0), 2.5), Distance((20.0, 20.0), (80.0, 20.0), 8.0, "60"),
    Angle((60.0, 60.0), 260.0, 270.0, 13.0, "10"),
)
cut = (box("flat outline", (0.0, 0.0), (30.0, 40.0)), line("zero", (-6.0, 0.0), (6.0, 0.0)))
made = [dxf_bytes(Sheet("test", 100.0, 100.0, 0.5, items), "in", release) for release in ("R12", "R2010", "R2018")]
made += [machine_dxf_bytes(cut, "mm", release) for release in ("R12", "R2010", "R2018")]
print(hashlib.sha256(b"".join(made)).hexdigest())
"""
"""A drawing with every kind of item, and one for a machine, in every release."""


@pytest.mark.whole
def test_six_processes_in_other_time_zones_make_the_same_bytes() -> None:
    """Two orders of two names come out alike in half of all pairs of processes, so several are asked."""
    zones = ("UTC", "America/St_Johns", "Asia/Kathmandu", "UTC", "Pacific/Apia", "UTC")
    assert len({told_elsewhere(MAKE, zone=zone) for zone in zones}) == 1


def test_a_file_in_inches_or_without_a_dimension_does_not_read_back(tmp_path: Path) -> None:
    sheet = sheet_of("through")
    file = tmp_path / "drawing.dxf"
    file.write_bytes(dxf_bytes(sheet))
    reread(file, sheet)
    for change, why in ((in_inches, "millimetres"), (without_a_dimension, "dimensions"), (without_a_layer, "layers")):
        doc = ezdxf.readfile(file)
        change(doc)
        bad = tmp_path / "bad.dxf"
        doc.saveas(bad)
        with pytest.raises(ReadBackError, match=why):
            reread(bad, sheet)


def in_inches(doc: Drawing) -> None:
    doc.header["$INSUNITS"] = 1


def without_a_dimension(doc: Drawing) -> None:
    doc.modelspace().delete_entity(doc.modelspace().query("DIMENSION")[0])


def without_a_layer(doc: Drawing) -> None:
    for entity in list(doc.modelspace().query('*[layer=="break lines"]')):
        doc.modelspace().delete_entity(entity)
    doc.layers.remove("break lines")
