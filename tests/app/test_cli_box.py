"""The commands with a recipe for a whole box: what is printed where, exit codes, and that nothing is half written.

Most run in this process, through the same door as `halfpin`; those that must not load the kernel, or do not end by
themselves, in a process of their own.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from solids.app.cli.commands.group import cli
from solids.app.cli.steps.way_out import _run
from solids.app.cli.steps.written import STALE_NAMED
from solids.base.cautions import IN_A_LINE
from solids.recipe import preset_text
from solids.write.named import DRAWN
from solids.write.report import BoxReport, report_schema

Said = Callable[..., tuple[int, str, str]]
TIGHT = ("--set", "fit.flank_gap=-0.08")
"""More than hardwood forgives."""


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Said:
    """Runs a command in an empty folder: its exit code, and what it says on both streams."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")

    def run(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["halfpin", *arguments])
        code = _run(cli)
        captured = capsys.readouterr()
        assert "Traceback" not in captured.out + captured.err
        return code, captured.out, captured.err

    return run


def names(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


# --- layout ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("preset", ["keepsake-box", "desk-drawer"])
def test_layout_shows_sizes_cut_list_choices_and_each_kind_of_corner(said: Said, preset: str) -> None:
    code, out, err = said("layout", preset)
    assert (code, err) == (0, "")
    for word in ("Outside", "litres", "Chosen for you", "front left", "█"):
        assert word in out
    kinds = {"keepsake-box": 1, "desk-drawer": 3}[preset]
    assert out.count("dovetail, ") == kinds


@pytest.mark.parametrize("options", [(), ("--json",)])
def test_layout_of_a_box_loads_no_kernel_and_no_numpy(tmp_path: Path, options: tuple[str, ...]) -> None:
    script = (
        "import sys\nfrom solids.app.cli.commands.group import cli\n"
        "from solids.app.cli.steps.way_out import main\n"
        "try:\n    main(cli)\nexcept SystemExit as err:\n    assert not err.code\n"
        "sys.stderr.write(repr(sorted({'OCP', 'numpy', 'manifold3d', 'vtk', 'reportlab'} & set(sys.modules))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, "layout", "desk-drawer", *options],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
    )
    assert done.stderr == "[]"


@pytest.mark.parametrize("preset", ["keepsake-box", "desk-drawer"])
def test_layout_as_json_is_the_report_without_proof_and_nothing_else(said: Said, preset: str) -> None:
    code, out, err = said("layout", preset, "--json", "--set", "title=mine")
    assert (code, err) == (0, "")
    report = json.loads(out)
    jsonschema.validate(report, report_schema(BoxReport))
    assert (report["title"], report["passes"], report["order"], report["files"]) == ("mine", None, [], [])


def test_layout_as_json_of_a_box_that_cannot_be_is_no_json(said: Said) -> None:
    code, out, err = said("layout", "keepsake-box", "--json", "--set", "box.length=5")
    assert (code, out) == (2, "")
    assert "box.length" in err


def test_layout_tells_no_length_that_is_half_a_boards(said: Said) -> None:
    _, out, _ = said("layout", "keepsake-box")
    row = next(line for line in out.splitlines() if line.startswith("tail board  walnut"))
    assert " 80.5 mm" not in row
    assert " 161 mm" in row, "160 outside, and 0.5 proud at each end"


# --- check -----------------------------------------------------------------------------------------


def test_check_says_that_it_goes_together_and_in_which_order(said: Said) -> None:
    code, out, _ = said("check", "desk-drawer")
    assert code == 0
    assert "It goes together in this order" in out
    assert out.endswith(f"The box goes together.\n\n{IN_A_LINE}\n")


def test_check_as_json_is_the_report_without_files_and_nothing_else(said: Said) -> None:
    code, out, _ = said("check", "keepsake-box", "--json")
    assert code == 0
    report = json.loads(out)
    jsonschema.validate(report, report_schema(BoxReport))
    assert (report["files"], report["passes"], report["title"]) == ([], True, "keepsake box")


def test_check_of_a_box_that_fails(said: Said) -> None:
    code, out, _ = said("check", "keepsake-box", *TIGHT)
    assert code == 1
    assert out.endswith(f"The box fails its proof.\n\n{IN_A_LINE}\n")
    assert "All four corners: " in out
    code, out, _ = said("check", "keepsake-box", *TIGHT, "--json")
    assert code == 1
    assert json.loads(out)["passes"] is False


# --- build, paper, aids ----------------------------------------------------------------------------


@pytest.mark.whole
def test_build_writes_what_it_counts_and_leaves_it_whole_when_it_fails_later(said: Said, tmp_path: Path) -> None:
    code, out, _ = said("build", "keepsake-box", "--out", "made")
    folder = tmp_path / "made" / "keepsake-box"
    assert code == 0
    assert out.splitlines()[-1] == f"{len(names(folder))} files in made/keepsake-box"
    before = {name: (folder / name).read_bytes() for name in names(folder)}
    code, _, err = said("build", "keepsake-box", *TIGHT, "--out", "made")
    assert code == 1
    assert "Nothing was written, because the box fails its proof." in err
    code, _, _ = said("build", "keepsake-box", "--set", "box.length=5", "--out", "made")
    assert code == 2
    assert {name: (folder / name).read_bytes() for name in names(folder)} == before


@pytest.mark.whole
def test_build_with_everything_and_then_plain_tells_what_is_stale(said: Said, tmp_path: Path) -> None:
    code, _, _ = said("build", "keepsake-box", "--paper", "--page", "--model", "--out", "made")
    assert code == 0
    folder = tmp_path / "made" / "keepsake-box"
    assert {"box-sheet.pdf", "box.html", "box.glb", "corner/setup-sheet.pdf"} <= names(folder)
    code, _, err = said("build", "keepsake-box", "--set", "box.length=250", "--out", "made")
    assert code == 0
    stale = {item["name"] for item in json.loads((folder / "report.json").read_text("utf-8"))["files"] if item["stale"]}
    assert {"box-sheet.pdf", "box.html", "box.glb", "corner/setup-sheet.pdf"} <= stale
    named = sorted((name for name in stale if name in err), key=err.index)
    rest = len(stale) - STALE_NAMED
    assert err == f"Note: out of date; make them again: {', '.join(named)} and {rest} more.\n"
    assert len(named) == STALE_NAMED


def test_what_shows_one_corner_alone_is_refused_with_what_to_do(said: Said, tmp_path: Path) -> None:
    code, out, err = said("build", "keepsake-box", "--gaps")
    assert (code, out) == (2, "")
    assert "--gaps shows a single corner; leave it out, or leave out the table [box]" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_a_page_of_a_box_comes_with_its_model(said: Said, tmp_path: Path) -> None:
    code, _, _ = said("build", "keepsake-box", "--page")
    assert code == 0
    assert {"box.html", "box.glb"} <= names(tmp_path / "exports" / "keepsake-box")


@pytest.mark.whole
def test_a_box_that_fails_is_written_on_demand_and_says_so(said: Said, tmp_path: Path) -> None:
    code, _, _ = said("build", "keepsake-box", *TIGHT, "--anyway")
    assert code == 1
    assert "Do not cut it" in (tmp_path / "exports" / "keepsake-box" / "box-note.md").read_text("utf-8")


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.whole
def test_paper_of_a_box_is_a_sheet_and_each_corners_papers(said: Said, tmp_path: Path, size: str) -> None:
    code, out, _ = said("paper", "keepsake-box", "--size", size)
    assert code == 0
    found = names(tmp_path / "exports" / "keepsake-box")
    papers = ("setup-sheet.pdf", "template.pdf", "drawing.dxf", "drawing.svg", "drawing.pdf")
    whole = {"drawings.pdf", *(f"drawings/{kind}.{end}" for kind in DRAWN for end in ("dxf", "svg"))}
    assert found == {
        *("report.json", "booklet.pdf", "box-sheet.pdf", "glue-up.pdf"),
        *whole,
        *(f"corner/{name}" for name in papers),
    }
    assert out.splitlines()[-1] == "18 files in exports/keepsake-box"


@pytest.mark.whole
def test_cutters_that_do_not_pass_are_told_for_a_box_as_for_a_corner(said: Said, tmp_path: Path) -> None:
    """The drawer: the raw ends of its sides leave gaps of 4 - 2 x 0.5/7 = 3.857 mm at the back, and of 4 mm at the
    front, where they do not stand proud; less 0.3 mm on both lines."""
    code, _, err = said("paper", "desk-drawer", "--set", "kit.cutters=[4, 10]")
    assert code == 0
    told = [line for line in err.splitlines() if "None of your cutters passes" in line]
    assert len(told) == 2
    for line, heading, most in zip(told, ("Front", "Back"), ("3.4 mm", "3.25 mm"), strict=True):
        assert line.startswith(
            f"Note: {heading} left and {heading.lower()} right: None of your cutters passes the tail"
        )
        assert f"one of {most} or less" in line
    report = json.loads((tmp_path / "exports" / "desk-drawer" / "report.json").read_text("utf-8"))
    assert [notice for notice in report["notices"] if "cutters" in notice] == [line[6:-1] for line in told]
    assert said("paper", "desk-drawer", "--set", "kit.cutters=[3, 10]")[2] == ""


@pytest.mark.whole
def test_a_box_with_one_kind_of_corner_is_told_once_and_without_its_name(said: Said) -> None:
    _, _, err = said("paper", "keepsake-box", "--set", "kit.cutters=[30]")
    assert err.count("Note: None of your cutters passes the tail board's openings") == 1
    assert err.count("Note: None of your cutters passes the pin board's openings") == 1


def test_paper_of_another_size_is_refused(said: Said, tmp_path: Path) -> None:
    code, _, err = said("paper", "keepsake-box", "--size", "A5")
    assert code == 2
    assert "A4" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("recipe", ["keepsake-box", "tool-tray"])
@pytest.mark.parametrize(
    ("option", "words"),
    [
        (("--only", "nonsense"), "'nonsense' is no shop aid; there are: marking-template, "),
        (("--only", "coupon", "--only", "Cauls"), "'Cauls' is no shop aid; the nearest is cauls"),
        (("--only", "coupon,Cauls"), "'Cauls' is no shop aid; the nearest is cauls"),
        (("--only", "coupon,"), "has an empty place; write it as in --only "),
        (("--slope", "1:6", "--slope", "steep"), "--slope: 'steep' is not a slope"),
        (("--slope", "1:6,,1:8"), "has an empty place"),
    ],
)
def test_an_aid_or_a_slope_that_is_none_is_told_before_anything_is_proved(
    said: Said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, recipe: str, option: tuple[str, ...], words: str
) -> None:
    def proved(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr("solids.write.files.job.prove_piece", proved)
    code, out, err = said("aids", recipe, *option)
    assert (code, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_only_the_aids_that_are_named_are_made_for_a_box(said: Said, tmp_path: Path) -> None:
    code, out, err = said("aids", "keepsake-box", "--only", "marking-template", "--slope", "1:6,1:9")
    assert (code, err) == (0, "")
    folder = tmp_path / "exports" / "keepsake-box"
    slopes = ("", "-1-6", "-1-9")
    templates = {f"marking-template{kind}{slope}" for kind in ("", "-milled", "-nest") for slope in slopes}
    drawings = {f"corner-aids/marking-template-milled{slope}-drawing" for slope in slopes}
    assert names(folder) == {
        "report.json",
        "corner-aids/marking-template-aids-note.md",
        "corner-aids/marking-template-plate.3mf",
        "corner-aids/marking-template-aids-checks.json",
        *(f"corner-aids/{name}.{kind}" for name in templates for kind in ("stl", "step", "svg")),
        *(f"{name}.{kind}" for name in drawings for kind in ("dxf", "svg", "pdf")),
    }
    assert out.splitlines()[0] == "All four corners:"
    assert out.splitlines()[-1] == f"{len(names(folder))} files in exports/keepsake-box"


@pytest.mark.whole
def test_each_kind_of_corner_of_a_drawer_gets_the_aid_that_is_named(said: Said, tmp_path: Path) -> None:
    code, out, _ = said("aids", "desk-drawer", "--only", "transfer-rest")
    assert code == 0
    assert [line for line in out.splitlines() if line.endswith(":")] == [
        "Front left and front right:",
        "Back left:",
        "Back right:",
    ]
    folder = tmp_path / "exports" / "desk-drawer"
    for corner in ("front-corner", "back-left-corner", "back-right-corner"):
        assert f"{corner}-aids/transfer-rest-aids-note.md" in names(folder)
    assert {path.stem for path in folder.rglob("*.stl")} == {"transfer-rest"}


@pytest.mark.whole
def test_an_aid_that_would_stand_in_a_side_that_runs_on_below_the_back_is_refused(said: Said, tmp_path: Path) -> None:
    """The rest's fence lies on the lower edges of both boards: at the back left, where it would be the side's wood."""
    code, out, _ = said("aids", "desk-drawer", "--only", "transfer-rest", "--only", "marking-template")
    assert code == 0
    back_left = out.split("Back left:")[1].split("Back right:")[0]
    assert "note  transfer-rest: It would stand where the tail board runs on beside this joint." in back_left
    assert "pass  marking-template: " in back_left
    folder = tmp_path / "exports" / "desk-drawer"
    assert "back-right-corner-aids/transfer-rest.stl" in names(folder)
    assert "back-left-corner-aids/transfer-rest.stl" not in names(folder)


@pytest.mark.whole
def test_aids_that_another_corner_has_are_made_once_and_the_notes_say_where(said: Said, tmp_path: Path) -> None:
    code, out, _ = said("aids", "desk-drawer", "--only", "transfer-rest", "--only", "marking-template")
    assert code == 0
    assert "note  As at back left: marking-template, marking-template-milled, marking-template-nest.\n" in out
    folder = tmp_path / "exports" / "desk-drawer"
    prefix = "marking-template-transfer-rest-"
    right = (folder / "back-right-corner-aids" / f"{prefix}aids-note.md").read_text("utf-8")
    assert (
        f"\nBack right corner: as back left, see [its note](../back-left-corner-aids/{prefix}aids-note.md), for "
        "marking-template, marking-template-milled and marking-template-nest. They are not made twice.\n"
    ) in right
    assert (folder / "back-right-corner-aids" / f"../back-left-corner-aids/{prefix}aids-note.md").is_file()
    assert "## Marking template" not in right
    front = (folder / "front-corner-aids" / f"{prefix}aids-note.md").read_text("utf-8")
    assert "\nFront right corner: as front left. One set serves them all.\n" in front


@pytest.mark.whole
def test_a_corner_whose_aids_are_all_those_of_another_has_no_folder(said: Said, tmp_path: Path) -> None:
    code, _, _ = said("aids", "desk-drawer", "--only", "marking-template")
    assert code == 0
    folder = tmp_path / "exports" / "desk-drawer"
    assert {path.name for path in folder.iterdir()} == {"front-corner-aids", "back-left-corner-aids", "report.json"}
    note = (folder / "back-left-corner-aids" / "marking-template-aids-note.md").read_text("utf-8")
    assert "\nBack right corner: as back left, with the aids of this note. Measure from the lower edge" in note
    assert "At the back right that is the upper edge" in note


def test_where_no_aid_can_be_made_for_any_corner_nothing_is_written(said: Said, tmp_path: Path) -> None:
    code, out, err = said("aids", "keepsake-box", "--only", "coupon", "--set", "print.bed=[20, 20]")
    assert code == 2
    assert "note  coupon: " in out
    assert err == "Error: No shop aid could be made; see the reasons above\n"
    assert list(tmp_path.iterdir()) == []


# --- other commands --------------------------------------------------------------------------------


def test_presets_list_the_boxes(said: Said) -> None:
    code, out, _ = said("presets")
    assert code == 0
    rows = {line.split()[0]: line for line in out.splitlines() if line.startswith(("keepsake-box", "desk-drawer"))}
    assert set(rows) == {"keepsake-box", "desk-drawer"}
    assert " box " in rows["desk-drawer"]
    assert " 3 " in rows["desk-drawer"]
    assert "110 mm" in rows["desk-drawer"]
    code, out, _ = said("presets", "--json")
    assert {"name": "desk-drawer", "title": "desk drawer"} in json.loads(out)


def test_a_recipe_from_the_drawer_is_a_drawer_under_the_name_of_its_file(said: Said, tmp_path: Path) -> None:
    code, _, err = said("new", "tool_drawer.toml", "--preset", "desk-drawer")
    assert code == 0
    assert "halfpin layout tool_drawer.toml" in err
    text = (tmp_path / "tool_drawer.toml").read_text("utf-8")
    assert 'title = "tool drawer"' in text
    assert "back_above_bottom = true" in text
    code, out, _ = said("layout", "tool_drawer.toml")
    assert code == 0
    assert out.startswith("tool drawer: Outside 380 mm")
    _, plain, _ = said("layout", "desk-drawer")
    assert out.replace("tool drawer", "desk drawer") == plain
    code, _, err = said("new", "tool_drawer.toml", "--preset", "keepsake-box")
    assert code == 2
    assert "already exists and was left alone" in err


def test_the_schema_of_a_boxs_report_is_a_schema(said: Said) -> None:
    code, out, _ = said("schema", "box-report")
    assert code == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(out))
    assert json.loads(out) == json.loads(json.dumps(report_schema(BoxReport)))


@pytest.mark.parametrize("preset", ["keepsake-box", "desk-drawer"])
def test_the_presets_for_boxes_are_valid_by_the_schema_that_is_printed(said: Said, preset: str) -> None:
    _, out, _ = said("schema")
    jsonschema.validate(tomllib.loads(preset_text(preset)), json.loads(out))


def test_compare_takes_a_box_and_shows_each_kind_of_corner_once(said: Said) -> None:
    """The back corners of a drawer are each other's mirror images, with the same figures."""
    code, out, err = said("compare", "desk-drawer", "--tails", "2,3")
    assert (code, err) == (0, "")
    heads = [line for line in out.splitlines() if line.endswith(":")]
    assert heads == ["Front left and front right:", "Back left and back right:"]
    rows = [line.split()[:2] for line in out.splitlines() if line[:1].isdigit() and "1:" in line]
    assert rows == [["2", "1:7"], ["3", "1:7"]] * 2


def test_tails_that_are_compared_take_the_place_of_those_that_a_corner_names(said: Said) -> None:
    code, out, _ = said("compare", "desk-drawer", "--tails", "2", "--set", "box.joints.front.tails=3")
    assert code == 0
    assert {line.split()[0] for line in out.splitlines() if line[:1].isdigit() and "1:" in line} == {"2"}


def test_what_is_refused_in_a_box_is_told_by_its_corner(said: Said) -> None:
    code, out, _ = said("compare", "desk-drawer", "--tails", "3,40")
    assert code == 0
    assert "40 tails: refused. box.height: 110 mm leaves nothing for 40 tails" in out


def test_layout_tells_what_two_corners_have_in_common_once(said: Said) -> None:
    _, out, _ = said("layout", "desk-drawer")
    assert out.count("The drawing and all numbers are the same as at the back left.") == 1
    assert out.count("climate.shop = ") == out.count("fit.flank_gap = ") == out.count("Dividers 28.65 mm") == 1
    assert out.count("joint.tails = 3: ") == 2, "chosen twice, for corners that differ"


# --- bad input -------------------------------------------------------------------------------------

DEEP = "[" * 200 + "]" * 200
BAD = {
    "a box too small": ("layout", "keepsake-box", "--set", "box.length=5"),
    "not a number": ("check", "desk-drawer", "--set", "box.height=nan"),
    "without end": ("check", "desk-drawer", "--set", "box.height=inf"),
    "below nothing": ("check", "desk-drawer", "--set", "box.groove.width=-1"),
    "a number for a box": ("build", "desk-drawer", "--set", "box=1"),
    "a number for a board": ("build", "desk-drawer", "--set", "box.front=1"),
    "a text for the joints": ("check", "desk-drawer", "--set", 'box.joints="all"'),
    "a text for a corner": ("check", "desk-drawer", "--set", "box.joints.front=x"),
    "tails in words": ("check", "desk-drawer", "--set", "box.joints.front.tails=four"),
    "a slope turned round": ("check", "desk-drawer", "--set", "box.joints.front.slope=7:1"),
    "a list for a length": ("check", "desk-drawer", "--set", "box.length=[1, 2]"),
    "a table for a length": ("check", "desk-drawer", "--set", "box.length={a = 1}"),
    "brackets without end": ("check", "desk-drawer", "--set", f"box.length={DEEP}"),
    "an unknown key": ("check", "desk-drawer", "--set", "box.depth=20"),
    "a width for a corner": ("check", "desk-drawer", "--set", "box.joints.back.width=20"),
    "an unknown wood": ("check", "desk-drawer", "--set", "box.panel.wood=glass"),
    "a wood of nothing": ("check", "desk-drawer", "--set", "box.panel.wood={}"),
    "short stock": ("build", "desk-drawer", "--set", "stock.length=100"),
    "a deep groove": ("build", "desk-drawer", "--set", "box.groove.depth=10"),
    "a groove off the edge": ("build", "desk-drawer", "--set", "box.groove.up=109"),
    "a groove in a pin": ("build", "keepsake-box", "--set", "box.groove.up=29"),
    "a wide lap": ("paper", "desk-drawer", "--set", "box.joints.front.lap=500"),
    "no groove under the back": ("paper", "desk-drawer", "--set", "box.groove.width=0"),
    "ends under the back": ("aids", "desk-drawer", "--set", "box.tails_on=ends"),
    "a title of two lines": ("build", "keepsake-box", "--set", 'title="a\\nb"'),
    "a title that is no text": ("build", "keepsake-box", "--set", "title=3"),
    "an override without a value": ("build", "keepsake-box", "--set", "box.length"),
    "an override below a value": ("build", "keepsake-box", "--set", "box.length.x=3"),
    "proud ends in a lap": ("build", "keepsake-box", "--set", "joint.kind=half-blind", "--set", "finish.ends=proud"),
    "too much planed off": ("build", "keepsake-box", "--set", "finish.planing=6"),
    "many tails": ("build", "keepsake-box", "--set", "box.joints.back.tails=60"),
    "heights that disagree": ("build", "keepsake-box", "--set", "joint.width=90"),
    "sizes that disagree": ("build", "keepsake-box", "--set", "box.inside_width=90"),
    "units of the sea": ("build", "keepsake-box", "--set", "units=fathom"),
    "a number with many digits": ("build", "keepsake-box", "--set", f"box.length={'9' * 5000}"),
    "letters that turn the text round": ("build", "keepsake-box", "--set", "box.\u202ehtgnel=3"),
    "a box that is not there": ("build", "missing-box"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_is_told_in_words_and_nothing_is_written(said: Said, tmp_path: Path, name: str) -> None:
    code, out, err = said(*BAD[name])
    assert code == 2, (out, err)
    assert out == ""
    assert err.startswith(("Error: ", "Errors:\n"))
    assert len(err.splitlines()) == len(set(err.splitlines())), "each is told once"
    assert all(len(line) < 500 for line in err.splitlines())
    assert "fault of ours" not in err
    assert "\u202e" not in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", ["layout", "check", "build", "paper", "aids"])
@pytest.mark.parametrize(
    ("recipe", "wrong"),
    [("keepsake-box", "box.length=5"), ("keepsake-box", "box.depth=20"), ("tool-tray", "joint.width=1")],
)
def test_an_override_that_cannot_be_read_hides_no_other_problem(
    said: Said, command: str, recipe: str, wrong: str
) -> None:
    code, _, err = said(command, recipe, "--set", "foo", "--set", wrong)
    assert code == 2
    lines = err.splitlines()
    assert lines[0] == "Errors:"
    assert lines[1].startswith("--set 'foo': is not KEY=VALUE")
    assert any(line.startswith(wrong.partition("=")[0]) for line in lines[2:])
    code, _, err = said(command, "keepsake-box", "--set", "foo")
    assert (code, err.count("\n")) == (2, 1), "nor is it lost where nothing else is wrong"


def test_a_groove_through_the_planed_board_is_bad_input(said: Said, tmp_path: Path) -> None:
    overrides = ("pin_board.thickness=10", "finish.planing=4", "box.groove.depth=6.5")
    code, _, _ = said("build", "keepsake-box", *(word for item in overrides for word in ("--set", item)))
    assert list(tmp_path.iterdir()) == []
    assert code == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("box = 3\n", "box: is not a table"),
        ("[[box]]\nlength = 3\n", "box: is not a table"),
        ("[box]\n", "is missing"),
        ("[box]\nlength = 3\nlength = 4\n", "is not TOML"),
        ("[box\n", "is not TOML"),
        ("", "joint"),
    ],
)
def test_files_that_are_no_box_are_told_in_words(said: Said, tmp_path: Path, text: str, words: str) -> None:
    (tmp_path / "mine.toml").write_text(text, "utf-8")
    code, out, err = said("build", "mine.toml")
    assert (code, out) == (2, "")
    assert words in err
    assert names(tmp_path) == {"mine.toml"}


@pytest.mark.whole
def test_a_folder_that_is_not_ours_stops_a_box_before_anything_is_written(said: Said, tmp_path: Path) -> None:
    folder = tmp_path / "exports" / "keepsake-box" / "boards"
    folder.mkdir(parents=True)
    (folder / "left.stl").write_text("mine")
    code, _, err = said("build", "keepsake-box")
    assert code == 2
    assert "left.stl was not written by this tool" in err
    assert names(tmp_path) == {"exports/keepsake-box/boards/left.stl"}
    assert [path.name for path in folder.iterdir()] == ["left.stl"], "nothing is left of what was staged"


@pytest.mark.whole
def test_a_box_that_is_stopped_leaves_what_was_there(
    said: Said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    assert said("build", "keepsake-box")[0] == 0
    folder = tmp_path / "exports" / "keepsake-box"
    before = {name: (folder / name).read_bytes() for name in names(folder)}
    monkeypatch.setattr("solids.write.files.writing.report.reread", stop)
    code, _, err = said("build", "keepsake-box", "--set", "box.length=250")
    assert code == 130
    assert err.strip().startswith("Stopped.")
    assert {name: (folder / name).read_bytes() for name in names(folder)} == before
    assert {path.name for path in folder.iterdir()} == {name.partition("/")[0] for name in before}


@pytest.mark.parametrize("recipe", ["tool-tray", "keepsake-box", "desk-drawer"])
@pytest.mark.parametrize("command", ["layout", "check"])
def test_what_is_only_looked_at_ends_with_one_line_of_caution(said: Said, command: str, recipe: str) -> None:
    code, out, _ = said(command, recipe)
    assert code == 0
    assert out.splitlines()[-1] == IN_A_LINE
    assert out.count(IN_A_LINE) == 1
    as_json = said(command, recipe, "--json")[1]
    assert IN_A_LINE not in as_json
    json.loads(as_json)
