"""The command `halfpin aids` as a user meets it. Every run is a process of its own."""

from __future__ import annotations

import re
import subprocess
from functools import partial
from pathlib import Path

import pytest

from solids.aids.making.names import KIND_NAMES
from solids.app.cli.steps.written import STALE_NAMED
from solids.write.report import NAME, Report
from tests import commands
from tests.commands import TIGHT

TEMPLATES = {"marking-template", "marking-template-milled", "marking-template-nest"}
ONE = ("--only", "marking-template")

halfpin = partial(commands.halfpin, COLUMNS="200")


def aids(out: Path, *arguments: str, recipe: str = "tool-tray") -> subprocess.CompletedProcess[str]:
    return halfpin("aids", recipe, *arguments, "--out", str(out))


def names_in(folder: Path) -> set[str]:
    return {path.name for path in folder.rglob("*") if path.is_file()}


def solids_in(folder: Path) -> set[str]:
    return {path.stem for path in folder.rglob("*.step")}


def plain(text: str) -> str:
    """On one line, as the width of a terminal breaks it."""
    return " ".join(text.split())


def refused(out: Path, *arguments: str) -> str:
    """The one line on stderr where nothing is written."""
    done = aids(out, *arguments)
    assert done.returncode == 2, done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("Error: ")
    assert list(out.iterdir()) == []
    return done.stderr


def test_help_tells_every_option_and_what_the_command_is_for() -> None:
    done = halfpin("aids", "--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Usage: halfpin aids [OPTIONS] RECIPE")
    assert "shop aids" in done.stdout
    assert all(option in done.stdout for option in ("--set", "--out", "--anyway", "--only", "--slope", "--sample"))
    assert "\n  aids " in halfpin("--help").stdout


def test_one_kind_is_made_printed_and_written(tmp_path: Path) -> None:
    done = aids(tmp_path, *ONE)
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[0].startswith("pass  marking-template: 27 checks passed.")
    assert lines[1].startswith("pass  marking-template-milled: 26 checks passed.")
    folder = tmp_path / "tool-tray"
    assert lines[-1] == f"16 files in {folder}"
    assert len(names_in(folder)) == 16
    assert solids_in(folder / "aids") == TEMPLATES
    report = Report.model_validate_json((folder / NAME).read_bytes())
    assert {record.name for record in report.files} == {f"aids/{name}" for name in names_in(folder / "aids")}


@pytest.mark.whole
def test_several_kinds_may_be_named(tmp_path: Path) -> None:
    assert aids(tmp_path, *ONE, "--only", "transfer-rest").returncode == 0
    assert solids_in(tmp_path) == {*TEMPLATES, "transfer-rest"}


@pytest.mark.whole
def test_all_kinds_are_made_where_none_is_named_and_what_is_not_made_is_told(tmp_path: Path) -> None:
    done = aids(tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.count("pass  ") == len(solids_in(tmp_path)) == 17
    assert "note  cnc-comb: " in done.stdout
    assert 'kit.bush = "16 mm"' in plain(done.stdout)


@pytest.mark.whole
def test_a_build_afterwards_keeps_the_aids_and_a_changed_recipe_tells_which_are_stale(tmp_path: Path) -> None:
    aids(tmp_path, *ONE)
    before = names_in(tmp_path / "tool-tray" / "aids")
    again = halfpin("build", "tool-tray", "--out", str(tmp_path))
    assert (again.returncode, again.stderr) == (0, "")
    assert names_in(tmp_path / "tool-tray" / "aids") == before
    changed = halfpin("build", "tool-tray", "--set", "joint.tails=5", "--out", str(tmp_path))
    assert changed.stderr.startswith("Note: out of date; make them again: aids/")
    assert "marking-template-milled.stl" in changed.stderr
    aged = len(before) - STALE_NAMED
    assert changed.stderr.endswith(f" and {aged} more.\n")


@pytest.mark.parametrize("typed", ["saw-guide", "Cauls", "jigs"])
def test_an_unknown_kind_is_bad_input_and_told_in_one_line(typed: str, tmp_path: Path) -> None:
    said = refused(tmp_path, "--only", typed)
    assert f"{typed!r} is no shop aid; the nearest is " in said
    assert all(name in said for name in KIND_NAMES)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("1:6x", "--slope: '1:6x' is not a slope"),
        ("1:0.5", "outside what wood holds"),
        ("1:6,,1:7", "has an empty place"),
        ("wide", "--slope: 'wide' is not a slope"),
    ],
)
def test_a_bad_slope_is_bad_input_and_told_in_one_line(typed: str, expected: str, tmp_path: Path) -> None:
    assert expected in refused(tmp_path, *ONE, "--slope", typed)


@pytest.mark.whole
def test_slopes_add_templates(tmp_path: Path) -> None:
    done = aids(tmp_path, *ONE, "--slope", "1:6,1:8.5")
    assert done.returncode == 0
    assert solids_in(tmp_path) == {
        f"marking-template{kind}{slope}" for kind in ("", "-milled", "-nest") for slope in ("", "-1-6", "-1-8-5")
    }
    assert "pass  marking-template-1-6: " in done.stdout


@pytest.mark.whole
def test_short_boards_come_instead_where_a_sample_is_asked_for(tmp_path: Path) -> None:
    done = aids(tmp_path, "--sample")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("pass  sample-tails: ")
    folder = tmp_path / "tool-tray" / "aids"
    assert names_in(folder) == {
        *(f"sample-{board}.{ending}" for board in ("tails", "pins") for ending in ("stl", "step", "svg")),
        *("sample-plate.3mf", "sample-aids-note.md", "sample-aids-checks.json"),
    }
    note = (folder / "sample-aids-note.md").read_text("utf-8")
    assert "to feel the fit and to see the layout, not for strength" in note
    assert "on its show face, so that the flanks stand upright" in note
    assert "fits the joint with 0.2 mm to spare" in note
    assert "`sample-aids-checks.json`" in note
    assert aids(tmp_path, "--sample", *ONE).returncode == 0
    assert solids_in(tmp_path) >= {"sample-tails", "sample-pins", "marking-template"}


def test_a_small_bed_has_a_sample_of_the_first_tails(tmp_path: Path) -> None:
    done = aids(tmp_path, "--sample", "--set", "print.bed=[70, 70]")
    assert done.returncode == 0
    assert "first 2 of 4 tails from the reference edge" in (tmp_path.rglob("*aids-note.md").__next__()).read_text(
        "utf-8"
    )


@pytest.mark.whole
def test_the_output_says_which_to_print_first_and_what_each_takes(tmp_path: Path) -> None:
    done = aids(tmp_path, *ONE, "--only", "coupon")
    lines = done.stdout.splitlines()
    assert re.search(
        r"^pass  marking-template: 27 checks passed\. About 15 min and 2 g: layers of 0\.2 mm, 3 walls", lines[0]
    )
    (first,) = [line for line in lines if line.startswith("Print ")]
    assert first.startswith("Print coupon-tail with coupon-pin-2 first (about 45 min together)")


@pytest.mark.whole
def test_slopes_that_are_nearly_alike_are_no_fault_of_ours(tmp_path: Path) -> None:
    assert aids(tmp_path, *ONE, "--slope", "1:6.5,1:6.50001").returncode != 3


@pytest.mark.whole
def test_a_joint_that_fails_its_proof_has_no_aids_unless_told(tmp_path: Path) -> None:
    done = aids(tmp_path, *ONE, *TIGHT)
    assert done.returncode == 1
    assert done.stdout.startswith("FAIL  Each flank is 0.06 mm")
    assert "Nothing was written, because the joint fails its proof." in done.stderr
    assert list(tmp_path.iterdir()) == []
    anyway = aids(tmp_path, *ONE, *TIGHT, "--anyway")
    assert anyway.returncode == 1
    assert solids_in(tmp_path) == TEMPLATES


def test_a_bed_that_is_too_small_is_told_with_the_size_needed(tmp_path: Path) -> None:
    done = aids(tmp_path, "--only", "transfer-rest", "--set", "print.bed=[30, 30]")
    assert done.returncode == 2
    said = plain(done.stdout)
    assert said.startswith("note transfer-rest: With 5 mm free all round it takes ")
    assert "30 x 30 mm" in said
    assert done.stderr == "Error: No shop aid could be made; see the reasons above\n"
    assert list(tmp_path.iterdir()) == []
    needed = re.search(r"set print.bed = (\[.*\])\.", said)
    assert needed
    larger = aids(tmp_path, "--only", "transfer-rest", "--set", f"print.bed={needed[1]}")
    assert (larger.returncode, solids_in(tmp_path)) == (0, {"transfer-rest"})


@pytest.mark.parametrize(
    "bed",
    [30, 24],
)
@pytest.mark.whole
def test_aids_that_a_small_bed_holds_are_made_and_none_is_called_a_fault_of_ours(bed: int, tmp_path: Path) -> None:
    done = aids(tmp_path, "--only", "marking-template", "--only", "cauls", "--set", f"print.bed=[{bed}, {bed + 1}]")
    assert "edge-pad" in solids_in(tmp_path)
    assert "fault of ours" not in plain(done.stdout)
    assert done.returncode == 0


def test_a_bed_that_no_printer_has_is_bad_input(tmp_path: Path) -> None:
    assert "print.bed" in refused(tmp_path, "--set", "print.bed=[1, 220]")


def test_a_magnet_that_is_too_large_is_told_with_the_largest_that_works(tmp_path: Path) -> None:
    done = aids(tmp_path, "--only", "saw-guides", "--set", "print.magnet={diameter = 60, thickness = 2}")
    assert done.returncode == 2
    said = plain(done.stdout)
    assert said.count("A magnet of 60 mm is larger than a block holds") == 3
    assert "Set print.magnet.diameter to 56" in said
    assert done.stderr == "Error: No shop aid could be made; see the reasons above\n"
    assert list(tmp_path.iterdir()) == []


def test_a_recipe_that_is_missing_is_bad_input(tmp_path: Path) -> None:
    done = halfpin("aids", "missing.toml", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert "missing.toml does not exist" in done.stderr


def test_what_stands_in_the_way_is_bad_input_and_left_alone(tmp_path: Path) -> None:
    folder = tmp_path / "tool-tray"
    folder.mkdir()
    (folder / "aids").write_text("mine")
    done = aids(tmp_path, *ONE)
    assert done.returncode == 2
    assert f"{folder / 'aids'} is not an ordinary folder" in done.stderr
    assert (folder / "aids").read_text() == "mine"
    assert list(folder.iterdir()) == [folder / "aids"]


def test_aids_come_in_inches_too(tmp_path: Path) -> None:
    done = aids(tmp_path, *ONE, recipe="tea-box")
    assert done.returncode == 0
    (note,) = tmp_path.rglob("*aids-note.md")
    assert "a bed of " in note.read_text("utf-8")
    assert "8 21/32 in (8.661 in, 220 mm)" in note.read_text("utf-8")
