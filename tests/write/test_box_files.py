"""The files of a box, and the commands that write them."""

from __future__ import annotations

import csv
import io
import json
import re
from functools import partial
from pathlib import Path

import jsonschema
import pytest

from solids.base.cautions import CAUTIONS
from solids.base.errors import FileError, KernelError, ReadBackError
from solids.layout.box.cut_list import cut_list
from solids.layout.box.rows import BOARD_FOOT
from solids.model.kernel.shaping import motion
from solids.recipe.tables.box_resolved import SIDES
from solids.write.files.table import write_files
from solids.write.notes import cut_list_file
from solids.write.report import BoxReport, report_schema, reread
from tests import commands
from tests.boxes import CASES, box_case, job_of_box
from tests.commands import names_below
from tests.part21 import read_step

ALWAYS = {
    "box.step",
    "box-finished.step",
    "waste.step",
    *(f"boards/{side}.{kind}" for side in (*SIDES, "bottom") for kind in ("step", "stl", "dxf", "svg")),
    "bill-of-materials.csv",
    "cut-list.csv",
    "box-note.md",
    "booklet.pdf",
    "report.json",
}

halfpin = partial(commands.halfpin, COLUMNS="200")


# --- cut list ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_the_cut_list_holds_every_board_finished_within_rough(name: str) -> None:
    box = box_case(name).proof.box
    rows = {row.name: row for row in cut_list(box)}
    assert set(rows) == {"front", "right", "back", "left"} | ({"bottom"} if box.panel else set())
    for row in rows.values():
        assert all(a <= b < c for a, b, c in zip(row.finished, row.saw_to, row.rough, strict=True))
        assert row.board_feet == pytest.approx(row.volume / 25.4**3 / 144)
    if name == "keepsake":
        assert rows["front"].finished == pytest.approx((240, 80, 12))
        assert rows["left"].finished == pytest.approx((160, 80, 10))
        assert rows["front"].saw_to == pytest.approx((240 + 1, 80, 12))
        assert rows["front"].rough == pytest.approx((240 + 1 + 10, 84, 15))
    if name == "drawer":
        assert rows["back"].finished == pytest.approx((380, 94, 12))
        assert rows["left"].finished == pytest.approx((452 - 5, 110, 11)), "to the lap at the front"


def test_a_board_foot_is_144_cubic_inches() -> None:
    """NIST Handbook 44, Appendix C."""
    assert pytest.approx(12 * 12 * 1 * 25.4**3) == BOARD_FOOT


def test_the_csv_is_read_by_others_and_its_last_row_is_the_sum(tmp_path: Path) -> None:
    rows = cut_list(box_case("drawer").proof.box)
    data = cut_list_file.csv_bytes(rows)
    found = list(csv.DictReader(io.StringIO(data.decode("utf-8"))))
    assert [row["board"] for row in found] == ["front", "right", "back", "left", "bottom", "all"]
    assert float(found[-1]["rough_board_feet"]) == pytest.approx(sum(row.board_feet for row in rows), abs=1e-3)
    assert float(found[0]["finished_length_in"]) == pytest.approx(380 / 25.4, abs=1e-3)
    assert "show face out" in found[0]["mark"]
    path = tmp_path / "cut-list.csv"
    path.write_bytes(data)
    cut_list_file.reread(path, rows)
    path.write_bytes(data.replace(b"back,", b"lid,"))
    with pytest.raises(ReadBackError):
        cut_list_file.reread(path, rows)


# --- files ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "occurrences", "parts"), [("keepsake", 5, 3), ("drawer", 5, 5), ("odd", 5, 5)])
@pytest.mark.whole
def test_the_files_of_a_box_are_whole_and_say_what_they_hold(
    tmp_path: Path, name: str, occurrences: int, parts: int
) -> None:
    job = box_case(name)
    written = write_files(job, tmp_path)
    found = names_below(written.folder)
    notes = {each for each in found if each.endswith("cnc-jig-note.md")}
    assert found == ALWAYS | notes
    assert len(notes) == len(job.proof.joints)
    whole = json.loads((written.folder / "report.json").read_text("utf-8"))
    jsonschema.validate(whole, report_schema(BoxReport))
    assert {record["name"] for record in whole["files"]} == found - {"report.json"}
    assert whole["passes"]
    step = read_step((written.folder / "box.step").read_bytes())
    assert len(step.all("MANIFOLD_SOLID_BREP")) == parts
    assert len(step.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE")) == occurrences
    note = (written.folder / "box-note.md").read_text("utf-8")
    for heading in ("Cut list", "Mark the boards", "Put it together", "Cautions"):
        assert f"## {heading}" in note
    flat = " ".join(note.split())
    for caution in CAUTIONS:
        assert caution.text in flat


@pytest.mark.whole
def test_the_same_box_gives_the_same_bytes(tmp_path: Path) -> None:
    first, second = (write_files(job_of_box("desk-drawer"), tmp_path / name).folder for name in "ab")
    for name in names_below(first):
        assert (first / name).read_bytes() == (second / name).read_bytes(), name


@pytest.mark.whole
def test_everything_that_a_corner_has_comes_in_folders_of_its_kind_and_each_aid_once(tmp_path: Path) -> None:
    job = box_case("drawer")
    write_files(job, tmp_path)
    folder = write_files(job, tmp_path, groups=("paper", "aids", "model", "picture", "page")).folder
    found = names_below(folder)
    assert found >= ALWAYS, "what was there stays"
    assert {"box-sheet.pdf", "box.glb", "box.png", "box.html"} <= found
    assert {"front-corner/setup-sheet.pdf", "back-left-corner/template.pdf", "back-right-corner/drawing.dxf"} <= found
    stls = [(folder / name).read_bytes() for name in found if "-aids/" in name and name.endswith(".stl")]
    assert len(stls) == len(set(stls)) > 15
    listed = {record["name"]: record["stale"] for record in json.loads((folder / "report.json").read_text())["files"]}
    assert set(listed) == found - {"report.json"}
    assert not any(listed.values())
    changed = job_of_box("desk-drawer", "box.length=390")
    written = write_files(changed, tmp_path)
    assert set(written.stale) == found - ALWAYS - {
        name for name in found if name.endswith("-note.md") and "/" not in name
    }


@pytest.mark.whole
def test_a_file_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "keepsake-box"
    folder.mkdir()
    (folder / "box.step").write_text("mine")
    with pytest.raises(FileError):
        write_files(box_case("keepsake"), tmp_path)
    assert (folder / "box.step").read_text() == "mine"
    assert names_below(folder) == {"box.step"}


def test_a_report_that_lists_other_files_is_refused(tmp_path: Path) -> None:
    folder = write_files(box_case("no bottom"), tmp_path).folder
    with pytest.raises(ReadBackError, match="does not list the files beside it"):
        reread(folder / "report.json", {}, BoxReport)
    (folder / "report.json").write_text("{}")
    with pytest.raises(ReadBackError, match="does not follow its own schema"):
        reread(folder / "report.json", {}, BoxReport)


def test_the_kernel_places_no_mirror_images() -> None:
    with pytest.raises(KernelError, match="reflection"):
        motion(((-1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0)))


@pytest.mark.whole
def test_the_sheet_is_one_page_with_the_cut_list_and_every_caution(tmp_path: Path) -> None:
    pdfium = pytest.importorskip("pypdfium2")
    for name in ("drawer", "odd", "no bottom"):
        folder = write_files(box_case(name), tmp_path / name.replace(" ", "-"), groups=("paper",)).folder
        document = pdfium.PdfDocument(folder / "box-sheet.pdf")
        assert len(document) == 1
        text = " ".join(document[0].get_textpage().get_text_range().split())
        document.close()
        for word in (
            "Cut list",
            "saw to",
            "litres",
            "Order of work",
            "Try it dry.",
            "Glue.",
            *(caution.topic for caution in CAUTIONS),
        ):
            assert word in text, word


# --- commands ------------------------------------------------------------------------------------


@pytest.mark.whole
def test_layout_and_check_tell_of_the_box(tmp_path: Path) -> None:
    shown = halfpin("layout", "desk-drawer")
    assert shown.returncode == 0
    assert "Outside 380 mm" in shown.stdout
    assert "desk drawer, back left: through dovetail, 3 tails" in shown.stdout
    done = halfpin("check", "desk-drawer")
    assert done.returncode == 0
    assert "The box goes together." in done.stdout
    plain = json.loads(halfpin("check", "keepsake-box", "--json").stdout)
    jsonschema.validate(plain, json.loads(halfpin("schema", "box-report").stdout))
    failing = halfpin("check", "keepsake-box", "--set", "fit.flank_gap=-0.08")
    assert failing.returncode == 1
    assert "The box fails its proof." in failing.stdout


@pytest.mark.whole
def test_build_writes_and_refuses_what_is_not_for_a_box(tmp_path: Path) -> None:
    done = halfpin("build", "keepsake-box", "--out", str(tmp_path))
    assert done.returncode == 0
    assert done.stdout.splitlines()[-1].startswith(f"{len(ALWAYS) + 1} files in ")
    for option in ("--gaps",):
        refused = halfpin("build", "keepsake-box", option, "--out", str(tmp_path / "no"))
        assert refused.returncode == 2
        assert "single corner" in refused.stderr
        assert not (tmp_path / "no").exists()
    tight = ("build", "keepsake-box", "--set", "fit.flank_gap=-0.08", "--out", str(tmp_path / "tight"))
    assert halfpin(*tight).returncode == 1
    assert not (tmp_path / "tight").exists()
    anyway = halfpin(*tight, "--anyway")
    assert anyway.returncode == 1
    assert (tmp_path / "tight" / "keepsake-box" / "box.step").is_file()
    assert "Do not cut it" in (tmp_path / "tight" / "keepsake-box" / "box-note.md").read_text()


@pytest.mark.whole
def test_aids_are_told_corner_by_corner(tmp_path: Path) -> None:
    done = halfpin("aids", "keepsake-box", "--out", str(tmp_path))
    assert done.returncode == 0
    assert "All four corners:" in done.stdout
    assert "pass  marking-template: " in done.stdout
    assert (tmp_path / "keepsake-box" / "corner-aids" / "caul-tails.stl").is_file()


@pytest.mark.parametrize(
    "arguments",
    [
        ("compare", "keepsake-box", "--tails", "3,4", "--set", "box.length=long"),
        ("layout", "keepsake-box", "--set", "box.length=5"),
        ("check", "keepsake-box", "--set", "box.groove.up=79"),
        ("build", "desk-drawer", "--set", "box=1"),
        ("build", "desk-drawer", "--set", "box.front=1"),
        ("check", "desk-drawer", "--set", "box.height=nan"),
        ("check", "desk-drawer", "--set", "box.groove.width=-1"),
        ("check", "desk-drawer", "--set", "stock.length=100"),
        ("paper", "desk-drawer", "--set", "joint.kind=half-blind", "--set", "joint.lap=500"),
        ("check", "desk-drawer", "--set", 'box.joints="all"'),
    ],
)
def test_bad_input_is_told_in_a_line_and_nothing_is_written(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    out = ("--out", str(tmp_path)) if arguments[0] in ("build", "paper") else ()
    done = halfpin(*arguments, *out)
    assert done.returncode == 2, done.stdout + done.stderr
    assert re.match(r"Errors?:|[a-z_.]+: ", done.stderr)
    assert list(tmp_path.iterdir()) == []


def test_a_starter_of_a_box_is_a_box_under_its_own_title(tmp_path: Path) -> None:
    path = tmp_path / "sewing-box.toml"
    assert halfpin("new", str(path), "--preset", "keepsake-box").returncode == 0
    assert 'title = "sewing box"' in path.read_text("utf-8")
    assert "sewing box: Outside 240 mm" in halfpin("layout", str(path)).stdout
    assert "keepsake-box" in halfpin("presets").stdout
    assert "keepsake-box" in halfpin("presets", "--json").stdout
