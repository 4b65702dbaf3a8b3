"""STEP files say what was meant, in ASCII, the same each time, and nothing is printed."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from pathlib import Path

import pytest
from OCP.Interface import Interface_Static

from solids import __version__
from solids.base.errors import ReadBackError
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.wood import find_wood, own_wood
from solids.write.formats import step
from tests.corners import CASES, case, step_parts, titled
from tests.part21 import Word, read_step
from tests.write.conftest import parts, written

# The schema's name and object identifier for AP242 edition 1, as NIST's STEP analyzer lists it (usnistgov/SFA).
AP242_E1 = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF{1 0 10303 442 1 1 4}"

TITLES = ["O'Brien's box", "Kästchen für Öl", "木箱", "𠮷の箱", "a;b)'c = #1", 'the "small" tray', "ÿ" * 5]
LONG_TITLES = ["木" * 6, "ü" * 20, "木工の引き出しの角", "x" * 80, "it's " * 15 + "its"]


# --- the header ----------------------------------------------------------------------------------


def test_the_schema_read_back_is_ap242_edition_1(good: bytes) -> None:
    (schemas,) = read_step(good).header[2].values
    assert [re.sub(r"\s*([{}])\s*", r"\1", schema) for schema in schemas] == [AP242_E1]


def test_the_header_names_title_contents_tool_and_version(good: bytes) -> None:
    description, name, _ = read_step(good).header
    assert description.values == (("both boards",), "2;1")
    assert name.values[0] == "tool tray"
    assert name.values[5] == f"halfpin {__version__}"
    assert len(name.values) == 7


@pytest.mark.parametrize(
    ("epoch", "stamp"),
    [
        (None, "1970-01-01T00:00:00"),
        (str(31 * 86_400 + 3_661), "1970-02-01T01:01:01"),
        ("no number", "1970-01-01T00:00:00"),
        ("9" * 30, "1970-01-01T00:00:00"),
    ],
)
def test_the_time_stamp_is_source_date_epoch_in_utc_or_else_a_fixed_day(
    monkeypatch: pytest.MonkeyPatch, good: bytes, epoch: str | None, stamp: str
) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    if epoch is not None:
        monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    data = step.step_bytes("tool tray", "both boards", parts())
    assert read_step(data).header[1].values[1] == stamp
    if "SOURCE_DATE_EPOCH" not in os.environ or stamp.startswith("1970-01-01"):
        assert data == good
    else:
        assert data != good
        assert data.replace(stamp.encode(), b"1970-01-01T00:00:00") == good


# --- names ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("plain", "plain"),
        ("é", r"\X2\00E9\X0" + "\\"),
        ("木", r"\X2\6728\X0" + "\\"),
        ("𠮷", r"\X4\00020BB7\X0" + "\\"),
        ("a\nb\tc\x7fd", "abcd"),
        ("it's", "it's"),
    ],
)
def test_characters_outside_ascii_are_written_as_clause_6_4_3_says_and_control_characters_go(
    text: str, code: str
) -> None:
    assert step.encoded(text) == code


@pytest.mark.parametrize("title", TITLES + LONG_TITLES)
def test_any_title_goes_out_as_ascii_and_is_found_by_a_strict_reader(title: str) -> None:
    job = titled(title)
    data = step.step_bytes(job.layout.recipe.title, "x", step_parts(job.cut))
    assert data.isascii()
    file = read_step(data)
    assert file.header[1].values[0] == title
    assert [record.values[:2] for record in file.all("PRODUCT")] == [
        (name, name) for name in (title, "tail board", "pin board")
    ]


@pytest.mark.parametrize("title", TITLES + LONG_TITLES)
def test_any_title_reads_back_through_open_cascade(tmp_path: Path, title: str) -> None:
    job = titled(title)
    both = step_parts(job.cut)
    step.reread(written(tmp_path, step.step_bytes(job.layout.recipe.title, "x", both)), title, both)


@pytest.mark.parametrize("name", ["O'wood", "Birnbäum", "櫻", "Schwäbischer Zwetschgenbaum, größte Güte, Höhenlage"])
def test_a_wood_of_ones_own_keeps_its_name(tmp_path: Path, name: str) -> None:
    both = [replace(part, wood=own_wood(name, "hardwood", 690.0)) for part in parts()]
    data = step.step_bytes("t", "x", both)
    assert data.isascii()
    assert name in [record.values[0] for record in read_step(data).all("DESCRIPTIVE_REPRESENTATION_ITEM")]
    step.reread(written(tmp_path, data), "t", both)


def test_each_solid_carries_its_part_name_for_programs_that_show_only_that(good: bytes) -> None:
    assert [record.values[0] for record in read_step(good).all("MANIFOLD_SOLID_BREP")] == ["tail board", "pin board"]


# --- the same bytes --------------------------------------------------------------------------------


def test_the_same_parts_give_the_same_bytes_and_occurrences_are_numbered_from_1(good: bytes) -> None:
    step.step_bytes("another", "x", parts("drawer-front"))
    again = step.step_bytes("tool tray", "both boards", parts())
    assert again == good
    assert [record.values[0] for record in read_step(again).all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")] == ["1", "2"]


def test_what_another_library_set_neither_changes_the_bytes_nor_is_lost(good: bytes) -> None:
    others = {"write.step.schema": "AP214IS", "write.step.unit": "INCH", "write.surfacecurve.mode": "Off"}
    before = {key: Interface_Static.CVal_s(key) for key in others}
    try:
        for key, value in others.items():
            assert Interface_Static.SetCVal_s(key, value)
        assert step.step_bytes("tool tray", "both boards", parts()) == good
        assert {key: Interface_Static.CVal_s(key) for key in others} == others
    finally:
        for key, value in before.items():
            Interface_Static.SetCVal_s(key, value)


def test_writing_and_reading_print_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    both = parts()
    data = step.step_bytes("tool tray", "x", both)
    step.reread(written(tmp_path, data), "tool tray", both)
    for broken in (b"", b"garbage\n", data[: len(data) // 2], data.replace(b"PLANE(", b"PLAIN(")):
        with pytest.raises(ReadBackError):
            step.reread(written(tmp_path, broken), "tool tray", both)
    assert capfd.readouterr() == ("", "")


# --- material and validation properties --------------------------------------------------------------


def test_density_is_in_grams_to_the_power_1_and_centimetres_to_the_power_minus_3(good: bytes) -> None:
    file = read_step(good)
    densities = []
    for item in file.all("MEASURE_REPRESENTATION_ITEM"):
        if item.values[0] == "density measure":
            densities.append(item.values[1].values[0])
            powers = {}
            for ref in file.get(item.values[2]).values[0]:
                unit, power = file.get(ref).values
                powers[file.get(unit, "SI_UNIT").values] = power
            assert powers == {(Word("$"), Word("GRAM")): 1.0, (Word("CENTI"), Word("METRE")): -3.0}
    assert densities == [find_wood("cherry").density / 1000, find_wood("maple").density / 1000]


@pytest.mark.parametrize("name", CASES)
def test_stored_volumes_are_the_layouts_closed_form(name: str) -> None:
    job = case(name)
    file = read_step(step.step_bytes("t", "x", step_parts(job.cut)))
    stored = [r.values[1].values[0] for r in file.all("MEASURE_REPRESENTATION_ITEM") if r.values[0] == "volume measure"]
    layout, state = job.layout, job.layout.as_cut
    meant = [tail_board_volume(layout, state), pin_board_volume(layout, state)]
    assert stored == pytest.approx(meant, rel=1e-9, abs=0)
