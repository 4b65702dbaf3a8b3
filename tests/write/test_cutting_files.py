"""The files of a cutting plan: on paper, as a picture and in the report, for a piece with a rack alone."""

from __future__ import annotations

import json
import re
import tomllib
import xml.etree.ElementTree as ET
from functools import cache
from itertools import pairwise
from pathlib import Path

import jsonschema
import pypdfium2
import pytest

from solids.base.cautions import CAUTIONS, SAWING
from solids.base.lengths import format_sizes
from solids.bench.cutting_words import on_the_drawing
from solids.layout import lay_out
from solids.layout.box.refusals import lay_out_box
from solids.layout.cutting.model import CuttingPlan
from solids.recipe.text.reading import check_box, check_recipe
from solids.write.drafting.cutting import LEAST_READ, blocks, picture, scale_for
from solids.write.drafting.sheet import Label, Stroke
from solids.write.files.table import Job, files_of, prove_layout, write_files
from solids.write.paper.cutting_plan import cutting_plan_bytes
from solids.write.report import BoxReport, report_schema
from tests.recipes import MINIMAL

BOX = """
title = "rack box"
{units}
[joint]
tails = 3
[tail_board]
thickness = "12 mm"
wood = "cherry"
[pin_board]
thickness = "12 mm"
[box]
length = "300 mm"
width = "200 mm"
height = "90 mm"
[box.groove]
width = "6 mm"
[box.panel]
wood = "cherry"
"""

RACK = """
[[stock.board]]
name = "long one"
length = "2400 mm"
width = "120 mm"
thickness = "20 mm"
wood = "cherry"
avoid = [["310 mm", "360 mm"]]
"""
"""Holds the sides in a row, and no bottom, which is 190 wide and is glued up."""


@cache
def job(units: str = "mm", rack: str = RACK) -> Job:
    return prove_layout(lay_out_box(check_box(tomllib.loads(BOX.format(units=f'units = "{units}"') + rack))))


def plan(units: str = "mm", rack: str = RACK) -> CuttingPlan:
    found = job(units, rack).cutting
    assert found is not None
    return found


def text_of(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_files(job(), tmp_path_factory.mktemp("rack"), groups=("paper",)).folder


@pytest.mark.whole
def test_a_rack_brings_its_files_and_the_report_lists_them(written: Path) -> None:
    assert {"cutting-plan.pdf", "cutting-plan.svg"} <= {path.name for path in written.iterdir()}
    report = json.loads((written / "report.json").read_text("utf-8"))
    assert {"cutting-plan.pdf", "cutting-plan.svg"} <= {file["name"] for file in report["files"]}
    jsonschema.Draft202012Validator(report_schema(BoxReport)).validate(report)
    cutting = report["cutting"]
    (board,) = cutting["boards"]
    lefts = {piece["name"]: piece["along_mm"][0] for piece in board["pieces"]}
    assert lefts["left"] < lefts["front"] < lefts["right"] < lefts["back"]
    assert cutting["runs_round"]
    assert cutting["missing"] == []
    assert board["avoid_mm"] == [[310, 360]]


def test_without_a_rack_there_are_none() -> None:
    bare = job(rack="")
    assert bare.cutting is None
    names = {file.name for group in ("corner", "paper") for file in files_of(bare, group)}  # type: ignore[arg-type]
    assert not [name for name in names if "cutting" in name]
    assert BoxReport.model_fields["cutting"].default is None


def test_a_corner_has_a_plan_too() -> None:
    corner = check_recipe(tomllib.loads(MINIMAL.replace("[tail_board]", "[tail_board]\nwood = 'cherry'") + RACK))
    found = prove_layout(lay_out(corner))
    assert found.cutting is not None
    assert {piece.name for board in found.cutting.boards for piece in board.pieces} == {"tail board", "pin board"}
    assert "cutting-plan.pdf" in {file.name for file in files_of(found, "corner")}


@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_paper_names_every_piece_every_cut_and_every_caution(units: str) -> None:
    recipe = job(units).proof.assembly.recipe
    text = text_of(cutting_plan_bytes(plan(units), recipe))
    for board in plan(units).boards:
        for piece in board.pieces:
            assert piece.name in text
            size = piece.x[1] - piece.x[0], piece.y[1] - piece.y[0]
            assert on_the_drawing(size, recipe.units) in text
        for cut in board.cuts:
            assert f"{cut.number}. " in text
        for left in board.offcuts:
            assert format_sizes(left.size, recipe.units) in text
    for caution in (*CAUTIONS, *SAWING):
        assert caution.text.split(".")[0] in text
    assert "long one" in text


@pytest.mark.whole
def test_what_is_missing_is_told_on_paper_in_the_note_and_at_the_end(tmp_path: Path) -> None:
    short = job(rack=RACK.replace("2400", "700"))
    written = write_files(short, tmp_path)
    missing = [one.name for one in short.cutting.missing] if short.cutting else []
    assert missing
    for name in missing:
        words = f"No board for the {name}"
        assert any(notice.startswith(words) for notice in written.notices)
        assert words in " ".join((written.folder / "box-note.md").read_text("utf-8").split())
        assert words in text_of((written.folder / "cutting-plan.pdf").read_bytes())
    report = json.loads((written.folder / "report.json").read_text("utf-8"))
    assert [one["name"] for one in report["cutting"]["missing"]] == missing


def test_the_picture_is_to_scale_and_nothing_in_it_lies_outside(written: Path) -> None:
    """At 1:10 the board is 240 by 12 mm on paper, and its left side 21.1 by 9.4."""
    root = ET.parse(written / "cutting-plan.svg").getroot()
    wide, high = (float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    boxes = []
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        numbers = [float(one) for one in re.findall(r"-?[0-9.]+", path.get("d", ""))]
        assert all(0 <= x <= wide for x in numbers[::2])
        assert all(0 <= y <= high for y in numbers[1::2])
        boxes.append((max(numbers[::2]) - min(numbers[::2]), max(numbers[1::2]) - min(numbers[1::2])))
    assert scale_for(plan(), 273.0) == 0.1
    for size in ((240.0, 12.0), (21.1, 9.4), (31.1, 9.4), (5.0, 12.0)):
        assert any(found == pytest.approx(size, abs=1e-3) for found in boxes), size


def test_hatching_stays_in_the_span_to_avoid() -> None:
    (block,) = blocks(plan(), 273.0, "mm")
    hatch = [item for item in block.items if isinstance(item, Stroke) and item.layer == "waste" and not item.closed]
    assert len(hatch) > 3
    assert all(31.0 - 1e-9 <= x <= 36.0 + 1e-9 for item in hatch for x, _ in item.points)


def test_words_can_be_read_and_places_do_not_cover_each_other() -> None:
    """Eight pieces 30 mm long, 3 mm on paper: no name fits, and the places stand side by side below."""
    rows = RACK.replace("2400", "400").replace('avoid = [["310 mm", "360 mm"]]', 'avoid = [["310 mm", "312 mm"]]')
    sheet = picture(plan(rack=rows), "rack box", "Take care.", "mm")
    labels = [item for item in sheet.items if isinstance(item, Label)]
    assert all(label.height >= LEAST_READ for label in labels)
    places = sorted(label.at[0] for label in labels if label.turn_deg)
    assert all(after - before >= 2.0 for before, after in pairwise(places))


@pytest.mark.whole
def test_many_boards_go_on_as_many_pages_as_they_take() -> None:
    many = plan(rack=RACK)
    boards = tuple(many.boards) * 15
    more = CuttingPlan(**{**vars(many), "boards": boards})
    document = pypdfium2.PdfDocument(cutting_plan_bytes(more, job().proof.assembly.recipe))
    assert len(document) > 4
    assert sum("Board 1, long one" in page.get_textpage().get_text_bounded() for page in document) > 3


def test_a_plan_without_a_board_is_told_all_the_same() -> None:
    none = plan(rack=RACK.replace("cherry", "walnut"))
    assert none.boards == ()
    text = text_of(cutting_plan_bytes(none, job().proof.assembly.recipe))
    assert "Nothing can be cut from this rack" in text
    assert picture(none, "rack box", "Take care.", "mm").height > 0
