"""The drawing of a marking template: it measures what the solid has, with tolerances, on one sheet, in all formats."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import ezdxf
import pytest

from solids.aids.making.aid import Aid
from solids.base.errors import FaultError
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.dimensions import drawn, words_width
from solids.write.drafting.marker import marker_drawing
from solids.write.drafting.sheet import Angle, Distance, Label, Sheet, bounds
from solids.write.paper import dxf, svg
from tests.aids.marking.helpers import TWO, WAISTED, WHOLE, made
from tests.corners import layout_of

ASKED = {"plain": (), "waisted": WAISTED, "two slopes": TWO, "all of it": WHOLE, "long": (*TWO, "aids.marker.leg=80")}


def sheet_of(name: str, preset: str = "tool-tray", size: PaperName = "A4") -> Sheet:
    recipe = layout_of(preset, *ASKED[name]).recipe
    return marker_drawing(made(*ASKED[name], preset=preset)[1], replace(recipe, paper=replace(recipe.paper, size=size)))


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Label)]


@pytest.mark.parametrize("name", ASKED)
def test_every_dimension_shows_the_size_of_the_template(name: str) -> None:
    sheet, sizes = sheet_of(name), made(*ASKED[name])[1].sizes
    assert sizes is not None
    for item in sheet.items:
        if isinstance(item, Distance):
            along = 0 if item.axis == "across" else 1
            span = abs(item.end[along] - item.start[along]) / sheet.scale
            assert float(item.number) == pytest.approx(span, abs=0.005)
    told = {float(item.number) for item in sheet.items if isinstance(item, Distance)}
    expected = {sizes.width, sizes.reach, sizes.hook, sizes.body, sizes.reach - sizes.low, 4.0}
    assert {round(size, 2) for size in expected} <= told


def test_each_slope_is_told_once_with_its_tolerance_and_opens_where_it_is_drawn() -> None:
    angles = [item for item in sheet_of("all of it").items if isinstance(item, Angle)]
    assert [angle.words for angle in angles] == ["9.46° ±0.1° (1:6)", "7.13° ±0.1° (1:8)"]
    for angle in angles:
        assert angle.end_deg - angle.start_deg == pytest.approx(float(angle.number[:-1]), abs=0.006)
    (one,) = [item for item in sheet_of("waisted").items if isinstance(item, Angle)]
    assert one.words == "8.13° ±0.1° (1:7)"


@pytest.mark.parametrize("name", ASKED)
def test_the_strip_tells_tolerances_and_sends_to_the_cautions(name: str) -> None:
    text = " ".join(words(sheet_of(name)))
    assert "flat within 0.02 and square to its leg within 0.02" in text
    assert "Sizes without a tolerance ±0.2" in text
    assert "Read the cautions in the aids note." in text
    assert ("radii 3 and 6" in text) == (name != "plain")
    assert ("Hole 5 right through" in text) == (name == "all of it")


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("name", ASKED)
def test_all_of_it_stands_inside_the_frame_and_no_words_on_others(name: str, size: PaperName) -> None:
    sheet = sheet_of(name, size=size)
    (x1, y1), (x2, y2) = bounds([item for item in sheet.items if item.layer != "frame"])
    assert x1 >= 20.0 - 1e-9
    assert y1 >= 10.0 - 1e-9
    assert x2 <= sheet.width - 10.0 + 1e-9
    assert y2 <= sheet.height - 10.0 + 1e-9
    level = [item for item in drawn(sheet.items) if isinstance(item, Label) and not item.turn_deg]
    spans = []
    for item in level:
        width = words_width(item.text, item.height)
        left = item.at[0] - width * {"left": 0.0, "middle": 0.5, "right": 1.0}[item.align]
        spans.append((left, left + width, item.at[1], item.at[1] + item.height))
    for a, b in combinations(spans, 2):
        assert a[1] <= b[0] or b[1] <= a[0] or a[3] <= b[2] or b[3] <= a[2], (name, size)


def test_it_is_read_back_as_dxf_and_svg_and_the_dxf_measures_the_work(tmp_path: Path) -> None:
    sheet = sheet_of("all of it")
    for name, data, reread in (
        ("a.dxf", dxf.dxf_bytes(sheet), dxf.reread),
        ("a.svg", svg.svg_bytes(sheet), svg.reread),
    ):
        (tmp_path / name).write_bytes(data)
        reread(tmp_path / name, sheet)
    doc = ezdxf.read(io.StringIO(dxf.dxf_bytes(sheet).decode()))
    measured = {round(dim.get_measurement(), 2) for dim in doc.modelspace().query("DIMENSION") if dim.dimtype == 0}
    assert {24.0, 30.0, 29.5, 25.0, 4.0, 89.0} <= measured
    assert doc.header["$INSUNITS"] == 4
    assert dxf.dxf_bytes(sheet) == dxf.dxf_bytes(sheet_of("all of it"))


def test_an_inch_recipe_has_it_in_millimetres_for_the_machine() -> None:
    sheet = sheet_of("waisted", preset="tea-box")
    assert "dimensions in mm" in words(sheet)


def test_an_aid_without_sizes_is_a_fault_of_ours() -> None:
    aid = replace(made()[1], sizes=None)
    assert isinstance(aid, Aid)
    with pytest.raises(FaultError, match="no sizes"):
        marker_drawing(aid, layout_of().recipe)
