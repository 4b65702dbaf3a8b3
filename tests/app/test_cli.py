"""The command as a user meets it: exit codes, streams, and old output left whole. Every run is a process of its own."""

from __future__ import annotations

import json
import math
import re
import subprocess
from pathlib import Path

import pytest

from solids import __version__
from solids.app.cli import cli
from solids.base.cautions import IN_A_LINE
from solids.base.findings import REPORT
from solids.recipe import box_preset_names, preset_names
from solids.wood import find_wood, wood_names
from solids.write.report import Report
from solids.write.report.making.comparison import CandidateRecord
from solids.write.report.records.recipe import WoodRecord
from tests.commands import CORNER_FILES, MAIN, PAPERS, TIGHT, ended, halfpin, refused, whole
from tests.forks import Forked
from tests.recipes import MINIMAL

COMMANDS = ("bench", *sorted(set(cli.commands) - {"bench"}))
"""Those of the list, in its order: a newcomer's first stands first."""


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(command: str) -> None:
    done = halfpin(command, "--help")
    assert done.returncode == 0
    assert done.stdout.startswith(f"Usage: halfpin {command}")
    assert done.stderr == ""


def test_help_names_every_command() -> None:
    listing = halfpin("--help").stdout
    assert tuple(re.findall(r"^  ([a-z]+)  ", listing.partition("Commands:")[2], re.MULTILINE)) == COMMANDS
    assert {"bench", "new", "build", "paper", "batch"} <= set(COMMANDS)
    bare = halfpin()
    assert bare.stdout + bare.stderr == listing, "no argument at all asks for the list"


def test_version() -> None:
    assert halfpin("--version").stdout == f"halfpin, version {__version__}\n"


@pytest.mark.parametrize("command", ["layout", "check", "build", "paper", "compare", "freeze"])
def test_a_missing_recipe_is_bad_input(command: str, tmp_path: Path) -> None:
    said = refused(command, "missing.toml", cwd=tmp_path)
    assert "missing.toml does not exist" in said
    assert "tool-tray" in said
    assert list(tmp_path.iterdir()) == []


def test_a_preset_nearly_named_is_suggested() -> None:
    assert "did you mean 'tool-tray'?" in refused("layout", "tool-trey")


def test_an_unknown_command_is_bad_input() -> None:
    assert "No such command" in refused("bild")


@pytest.mark.parametrize("more", [(), ("mine.toml", "--port", "8000"), ("--help",)])
def test_a_command_that_is_gone_leads_to_the_one_in_its_place(more: tuple[str, ...]) -> None:
    said = refused("watch", *more)
    assert said.startswith("Error: `halfpin watch` is gone; `halfpin bench RECIPE` opens a page ")
    assert said.count("\n") == 1


def test_a_shell_that_completes_hears_nothing_of_a_command_that_is_gone() -> None:
    for words in ("halfpin ", "halfpin wat", "halfpin watch ", "halfpin watch mine.toml --"):
        number = str(len(words.split()) - (not words.endswith(" ")))
        found = halfpin(_HALFPIN_COMPLETE="bash_complete", COMP_WORDS=words, COMP_CWORD=number)
        assert ("bench" in found.stdout) == words.endswith(" ")
        assert "watch" not in found.stdout
        assert found.stderr == ""


def test_all_problems_come_at_once_with_key_value_limit_and_remedy() -> None:
    said = refused(
        "layout", "tool-tray", "--set", "joint.half_pin=3", "--set", "kit.chisel=6", "--set", "undercut.depth=1"
    )
    assert said.startswith("Errors:\n")
    assert "joint.half_pin: 3 mm is under 5 mm" in said
    assert "the nearest known key is kit.chisels" in said
    assert "undercut.depth: 1.2 mm is over" not in said


@pytest.mark.parametrize("preset", preset_names())
def test_every_preset_is_laid_out_and_proved(preset: str) -> None:
    drawn = halfpin("layout", preset)
    assert drawn.returncode == 0
    assert "█" in drawn.stdout
    assert drawn.stderr == ""
    proved = halfpin("check", preset)
    assert proved.returncode == 0
    assert proved.stdout.endswith(f"The joint goes together.\n\n{IN_A_LINE}\n")


def test_layout_tells_about_how_long_a_corner_takes() -> None:
    """As the report has it, rounded outward to five minutes."""
    told = halfpin("layout", "tool-tray").stdout
    bench = json.loads(halfpin("layout", "tool-tray", "--json").stdout)["bench"]
    least, most = math.floor(bench["least_minutes"] / 5) * 5, math.ceil(bench["most_minutes"] / 5) * 5
    assert f"About {least} to {most} minutes for the corner, getting set up once included" in told


def test_layout_in_plain_ascii_where_there_is_no_more() -> None:
    done = halfpin("layout", "tool-tray", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "#####" in done.stdout


def test_no_colour_in_a_pipe() -> None:
    assert "\x1b" not in halfpin("check", "tool-tray").stdout


@pytest.mark.parametrize("command", ["layout", "check"])
def test_json_follows_the_report_schema(command: str) -> None:
    report = Report.model_validate_json(halfpin(command, "drawer-front", "--json").stdout)
    assert report.recipe.kind == "half-blind"
    assert (report.proof is not None) == (command == "check")


def test_json_of_the_lists() -> None:
    presets = json.loads(halfpin("presets", "--json").stdout)
    assert {row["name"] for row in presets} == {*preset_names(), *box_preset_names()}
    woods = [WoodRecord.model_validate(row) for row in json.loads(halfpin("woods", "--json").stdout)]
    assert [wood.name for wood in woods] == list(wood_names())
    beech, known = next(wood for wood in woods if wood.name == "beech"), find_wood("beech")
    assert (beech.botanical, beech.kind, beech.density_kg_m3) == ("Fagus grandifolia", "hardwood", known.density)
    assert beech.movement is not None
    assert beech.strength is not None
    assert (beech.movement.radial_per_percent, beech.movement.tangential_per_percent) == (0.00190, 0.00431)
    assert beech.strength.shear_mpa == pytest.approx(2010 * 0.00689476, abs=0.005)


def test_the_list_of_woods_has_a_row_for_each_with_what_it_moves_and_holds() -> None:
    """Beech: specific gravity 0.64, C_R 0.00190, C_T 0.00431, 2010 and 1010 lbf/in2 (Wood Handbook, see `wood`)."""
    lines = halfpin("woods").stdout.splitlines()
    head, rows = lines[0], [line for line in lines if line.startswith(wood_names())]
    for column in ("wood", "botanical name", "kind", "kg/m3", "radial", "tangential", "shear", "across"):
        assert column in head
    assert len(rows) == len(wood_names())
    (beech,) = (row.split() for row in rows if row.startswith("beech "))
    assert set(beech) >= {"hardwood", f"{0.64 * 1120:.0f}", "0.00190", "0.00431", "13.9", "7.0", "Fagus", "grandifolia"}
    (mahogany,) = (row.split() for row in rows if row.startswith("mahogany "))
    assert f"{1230 * 0.00689476:.1f}" in mahogany
    assert len(mahogany) == len(beech) - 1, "no compression across the grain is printed for mahogany"
    assert "no design values" in lines[-3]


def test_schemas_are_json() -> None:
    assert json.loads(halfpin("schema").stdout)["$id"] == "urn:halfpin:recipe:1"
    assert json.loads(halfpin("schema", "report").stdout)["$id"] == "urn:halfpin:report:1"


def test_a_failing_joint_exits_1_and_names_the_failure_first() -> None:
    done = halfpin("check", "tool-tray", "--set", "fit.flank_gap=-0.06")
    assert done.returncode == 1
    assert done.stdout.startswith("FAIL  Each flank is 0.06 mm")
    assert done.stdout.endswith(f"The joint fails its proof.\n\n{IN_A_LINE}\n")


def test_build_refuses_a_failing_joint_unless_told(tmp_path: Path) -> None:
    tight = ("build", "tool-tray", *TIGHT, "--out", str(tmp_path))
    done = halfpin(*tight)
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert list(tmp_path.iterdir()) == []
    assert halfpin(*tight, "--anyway").returncode == 1
    assert set(whole(tmp_path / "tool-tray")) == CORNER_FILES


def test_build_writes_its_files_quietly_into_the_folder_asked_for(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert set(whole(tmp_path / "exports")) == {f"tool-tray/{name}" for name in CORNER_FILES}
    assert done.stdout.endswith(f"{len(CORNER_FILES)} files in exports/tool-tray\n")


# --- paper -----------------------------------------------------------------------------------------------


def sheet_of(path: Path) -> tuple[float, float]:
    """Width and height of a PDF's first page in mm, from its MediaBox in points of 1/72 in."""
    found = re.search(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", path.read_bytes())
    assert found
    return float(found[1]) * 25.4 / 72, float(found[2]) * 25.4 / 72


def test_paper_writes_the_booklet_six_papers_and_the_report_quietly(tmp_path: Path) -> None:
    done = halfpin("paper", "tool-tray", cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "8 files in exports/tool-tray\n", "")
    assert set(whole(tmp_path / "exports" / "tool-tray")) == {*PAPERS, "booklet.pdf", "report.json"}
    report = Report.model_validate_json((tmp_path / "exports" / "tool-tray" / "report.json").read_bytes())
    assert {record.name for record in report.files} == PAPERS | {"booklet.pdf"}
    assert report.recipe.paper_size == "A4"
    assert sorted(sheet_of(tmp_path / "exports" / "tool-tray" / "setup-sheet.pdf")) == pytest.approx(
        [210, 297], abs=0.1
    )


@pytest.mark.parametrize(("size", "sides"), [("Letter", (215.9, 279.4)), ("A3", (297, 420))])
def test_paper_comes_on_the_sheet_in_the_printer(size: str, sides: tuple[float, float], tmp_path: Path) -> None:
    """ISO 216: A3 is 297 x 420 mm. Letter is 8 1/2 x 11 in. The setup sheet is read at arm's length, and A3 would be a
    large sheet to lay on a bench: it comes on A4 then."""
    done = halfpin("paper", "tool-tray", "--size", size, "--set", "paper.size=A4", "--out", str(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    folder = tmp_path / "tool-tray"
    for name in ("template.pdf", "drawing.pdf"):
        assert sorted(sheet_of(folder / name)) == pytest.approx(sides, abs=0.1), name
    upright = (210, 297) if size == "A3" else sides
    assert sheet_of(folder / "setup-sheet.pdf") == pytest.approx(upright, abs=0.1)
    assert Report.model_validate_json((folder / "report.json").read_bytes()).recipe.paper_size == size


def test_an_inch_recipe_is_printed_on_letter(tmp_path: Path) -> None:
    assert halfpin("paper", "tea-box", "--out", str(tmp_path)).returncode == 0
    assert sorted(sheet_of(tmp_path / "tea-box" / "template.pdf")) == pytest.approx([215.9, 279.4], abs=0.1)


def test_a_sheet_that_nobody_sells_is_bad_input(tmp_path: Path) -> None:
    said = refused("paper", "tool-tray", "--size", "A5", cwd=tmp_path)
    assert "'A5' is not one of 'A4', 'Letter', 'A3'" in said
    assert list(tmp_path.iterdir()) == []


def test_paper_of_a_failing_joint_is_refused_unless_told(tmp_path: Path) -> None:
    tight = ("paper", "tool-tray", *TIGHT, "--out", str(tmp_path / "out"))
    done = halfpin(*tight)
    assert done.returncode == 1
    assert done.stdout.startswith("FAIL  Each flank is 0.06 mm")
    assert done.stderr == "Nothing was written, because the joint fails its proof. Mend it, or add --anyway.\n"
    assert list(tmp_path.iterdir()) == []
    done = halfpin(*tight, "--anyway")
    assert done.returncode == 1
    assert set(whole(tmp_path / "out" / "tool-tray")) == {*PAPERS, "booklet.pdf", "report.json"}


@pytest.mark.whole
def test_build_with_paper_writes_all(tmp_path: Path) -> None:
    done = halfpin("build", "drawer-front", "--paper", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    verdict, more, count = done.stdout.splitlines()[-3:]
    assert (verdict, count) == (
        "The joint goes together.",
        f"{len(CORNER_FILES) + len(PAPERS)} files in exports/drawer-front",
    )
    assert more.startswith("There is more: `halfpin aids` (aids to print), `halfpin build --page` (")
    assert "halfpin paper" not in more, "it is there"
    assert set(whole(tmp_path / "exports" / "drawer-front")) == CORNER_FILES | PAPERS


@pytest.mark.whole
def test_build_then_paper_leaves_all_and_a_changed_recipe_says_what_is_stale(tmp_path: Path) -> None:
    assert halfpin("build", "tool-tray", cwd=tmp_path).returncode == 0
    assert halfpin("paper", "tool-tray", cwd=tmp_path).stderr == ""
    assert set(whole(tmp_path / "exports" / "tool-tray")) == CORNER_FILES | PAPERS
    done = halfpin("build", "tool-tray", "--set", "joint.tails=3", cwd=tmp_path)
    assert done.returncode == 0
    (line,) = done.stderr.splitlines()
    assert line.startswith("Note: ")
    assert all(name in line for name in PAPERS)
    assert not any(name in line for name in CORNER_FILES)
    assert "out of date; make them again" in line
    assert set(whole(tmp_path / "exports" / "tool-tray")) == CORNER_FILES | PAPERS


def test_letters_that_the_font_lacks_are_told_on_stderr(tmp_path: Path) -> None:
    done = halfpin("paper", "tool-tray", "--set", "title=tray \u6728\u7bb1", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, "8 files in exports/tray\n")
    assert done.stderr.startswith("Note: The font of the paper lacks some characters")
    assert "\u6728 as Mu, \u7bb1 as Xiang" in done.stderr
    assert done.stderr.count("\n") == 1


def test_letters_with_marks_of_european_languages_are_in_the_font(tmp_path: Path) -> None:
    done = halfpin(
        "paper", "tool-tray", "--set", "title=K\u00e4stchen, bo\u00eete, \u0434\u043e\u043c, \u017elutá", cwd=tmp_path
    )
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.whole
def test_cutters_that_do_not_pass_are_told_on_stderr_with_the_widest_that_would(tmp_path: Path) -> None:
    """Between the raw ends of the tails are 3 - 2 x 0.5/7 = 2.857 mm; 0.3 mm stay on both lines: 2.257 mm."""
    done = halfpin("paper", "tool-tray", "--set", "kit.cutters=[6, 8]", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stderr.startswith("Note: None of your cutters passes the tail board's openings")
    assert "one of 2.25 mm or less" in done.stderr
    fits = halfpin("paper", "tool-tray", "--set", "kit.cutters=[2.25, 8]", cwd=tmp_path)
    assert (fits.returncode, fits.stderr) == (0, "")


@pytest.mark.parametrize(
    ("cutter", "words"), [("0", "0 mm is under the least"), ("1e6", "1000000 mm is over the most")]
)
def test_a_cutter_that_nobody_sells_is_bad_input_and_told_with_what_is_accepted(
    tmp_path: Path, cutter: str, words: str
) -> None:
    for recipe in ("tool-tray", "keepsake-box"):
        said = refused("paper", recipe, "--set", f"kit.cutters=[3, {cutter}]", cwd=tmp_path)
        assert "kit.cutters" in said
        assert words in said
        assert "it takes from 0.5 mm to 50 mm" in said


@pytest.mark.whole
def test_a_template_of_too_many_sheets_is_bad_input_and_nothing_is_written(tmp_path: Path) -> None:
    wide = ("--set", "joint.width=9000", "--set", "joint.tails=20", "--set", "joint.half_pin=60")
    wide += ("--set", "tail_board.thickness=60", "--set", "pin_board.thickness=60")
    said = refused("paper", "tool-tray", *wide, cwd=tmp_path)
    assert "The template would take" in said
    assert said.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


# --- compare ---------------------------------------------------------------------------------------------


def compared(*arguments: str) -> list[CandidateRecord]:
    done = halfpin("compare", *arguments, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    return [CandidateRecord.model_validate(row) for row in json.loads(done.stdout)]


def test_compare_prints_a_row_for_every_combination(tmp_path: Path) -> None:
    done = halfpin("compare", "tool-tray", "--tails", "3,4,5", "--slope", "1:6,1:8", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    rows = [line.split()[:2] for line in done.stdout.splitlines() if re.match(r"\d+ +1:", line)]
    assert rows[:6] == [[tails, slope] for slope in ("1:6", "1:8") for tails in ("3", "4", "5")]
    assert "never to design" in " ".join(done.stdout.split())
    assert list(tmp_path.iterdir()) == []


def test_compare_without_a_list_shows_the_recipe_and_both_looks() -> None:
    """A look chooses the tails that the recipe names too: 31.6 mm from tail to tail on 96 mm, or 40."""
    own, fine, stout = compared("tool-tray")
    assert (own.look, own.tails, own.slope, own.slope_ratio, own.refusal) == (None, 4, None, 7, "")
    assert own.tail_widths_mm == pytest.approx([18.75] * 4)
    assert [(row.look, row.tails) for row in (fine, stout)] == [("fine", 3), ("stout", 2)]


def test_compare_takes_a_look_with_tails_of_ones_own_and_refuses_what_is_none() -> None:
    rows = compared("tool-tray", "--look", "stout", "--tails", "2,3")
    assert [(row.look, row.tails) for row in rows] == [("stout", 2), ("stout", 3)]
    told = halfpin("compare", "tool-tray", "--look", "rustic")
    assert told.returncode == 2
    assert (
        "--look 'rustic' is not a list of looks; there are: fine, stout. Write it as in --look fine,stout"
        in told.stderr
    )


def test_compare_as_json_has_the_figures_of_each_layout() -> None:
    """Glue holds along the flanks: 2 n d/cos(a) times 10 mm of tail board, d = 12 mm and tan a = 1/N."""
    rows = compared("tool-tray", "--tails", "3, 5", "--slope", "1:6")
    assert [(row.tails, row.slope) for row in rows] == [(3, "1:6"), (5, "1:6")]
    for row in rows:
        assert row.tails is not None
        assert row.strength is not None
        assert row.slope_ratio == pytest.approx(6)
        assert row.tail_widths_mm == pytest.approx([(96 - 12 - 3 * (row.tails - 1)) / row.tails] * row.tails)
        area = 2 * row.tails * 12 * math.sqrt(1 + 1 / 36) * 10
        assert row.strength.glue_area_mm2 == pytest.approx(area, rel=1e-9)
    few, many = rows
    assert few.minutes is not None
    assert many.minutes is not None
    assert few.minutes < many.minutes
    assert few.right_share is not None
    assert many.right_share is not None
    assert few.right_share > many.right_share
    for row in rows:
        assert row.least_minutes < row.minutes < row.most_minutes
        assert row.right_share < row.pared_share < 1


def test_compare_as_json_has_ranges_where_no_wood_is_named(tmp_path: Path) -> None:
    named, *_ = compared("tool-tray")
    assert named.over_common_woods is None
    bare = tmp_path / "bare.toml"
    bare.write_text(MINIMAL)
    own, *_ = compared(str(bare))
    assert own.over_common_woods
    assert own.strength
    (least, most), (fewest, best) = own.over_common_woods.glued_n, own.over_common_woods.right_share
    assert least < own.strength.glued[0].pull_n < own.strength.glued[0].pull_most_n < most
    assert fewest <= own.right_share < best
    _, refused = compared(str(bare), "--tails", "4,90")
    assert (refused.over_common_woods, refused.refusal != "") == (None, True)


def test_slopes_are_compared_as_angles_too() -> None:
    """1:N with N = 1 / tan a."""
    rows = compared("tool-tray", "--slope", "8 deg,1:7")
    assert [row.slope_ratio for row in rows] == pytest.approx([1 / math.tan(math.radians(8)), 7], rel=1e-9)


def test_a_combination_that_cannot_be_is_told_beside_the_others() -> None:
    done = halfpin("compare", "tool-tray", "--tails", "4,90")
    assert (done.returncode, done.stderr) == (0, "")
    assert "90 tails" in done.stdout
    assert "refused" in done.stdout
    assert "joint.width: 96 mm leaves nothing for 90 tails" in done.stdout
    good, bad = compared("tool-tray", "--tails", "4,90")
    assert good.refusal == ""
    assert (bad.tails, bad.strength, bad.minutes, bad.tail_widths_mm) == (90, None, None, ())
    assert "joint.width" in bad.refusal


@pytest.mark.parametrize("tails", ["3,x", "0", "4,0", "-1", "101", "3.5", "3;4", "1e2", "\u00b2", "four", "9999"])
def test_numbers_of_tails_that_are_none_are_bad_input_in_one_line(tails: str) -> None:
    said = refused("compare", "tool-tray", "--tails", tails)
    assert said == (
        f"Error: --tails {tails!r} is not a list of whole numbers from 1 to 100; write it as in --tails 3,4,5\n"
    )


@pytest.mark.parametrize(
    ("slope", "says", "accepted"),
    [
        ("1:1", "1:1 is outside what wood holds", "from 1:2 (26.5 degrees) to 1:30 (2 degrees)"),
        ("steep", "'steep' is not a slope", 'give a text such as "1:7" or "8 deg"'),
    ],
)
def test_a_slope_that_is_none_is_named_with_what_would_be_accepted(slope: str, says: str, accepted: str) -> None:
    """Where no layout is left, the exit code says so."""
    assert halfpin("compare", "tool-tray", "--slope", f"1:7,{slope}").returncode == 0
    done = halfpin("compare", "tool-tray", "--slope", slope)
    assert (done.returncode, done.stderr) == (2, "")
    assert "refused" in done.stdout
    assert f"joint.slope: {says}" in done.stdout
    assert accepted in done.stdout


@pytest.mark.parametrize(("option", "one"), [("--tails", "3"), ("--slope", "1:7")])
def test_more_choices_than_a_table_holds_are_bad_input(option: str, one: str) -> None:
    assert refused("compare", "tool-tray", option, ",".join([one] * 21)) == (
        f"Error: {option} has 21 choices, more than fit a table; give at most 20\n"
    )


def test_compare_of_a_recipe_that_cannot_be_read_is_bad_input() -> None:
    assert "joint.tails: 'x' is not a whole number" in refused("compare", "tool-tray", "--set", "joint.tails=x")


def test_compare_in_inches_and_plain_ascii() -> None:
    done = halfpin("compare", "tea-box", "--tails", "3,4", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "lbf" in done.stdout
    assert "sq in" in done.stdout
    assert " mm" not in done.stdout.splitlines()[0]


def test_new_writes_a_recipe_that_builds_and_never_overwrites(tmp_path: Path) -> None:
    assert halfpin("new", "mine.toml", "--preset", "tea-box", cwd=tmp_path).returncode == 0
    assert halfpin("check", "mine.toml", cwd=tmp_path).returncode == 0
    before = whole(tmp_path)
    assert "already exists and was left alone" in refused("new", "mine.toml", cwd=tmp_path)
    assert whole(tmp_path) == before
    assert "cannot be written" in refused("new", "no/such/folder.toml", cwd=tmp_path)
    assert "did you mean" in refused("new", "other.toml", "--preset", "tea-bix", cwd=tmp_path)
    assert whole(tmp_path) == before


BAD_RECIPES = {
    "broken.toml": ("[joint]\nwidth = = 3", "at line 2, column 9"),
    "text.toml": ('[joint]\nwidth = "wide"\n[tail_board]\nthickness = 9\n[pin_board]\nthickness = 9', "joint.width"),
    "nan.toml": (
        "[joint]\nwidth = nan\n[tail_board]\nthickness = 9\n[pin_board]\nthickness = 9",
        "not a finite number",
    ),
    "huge.toml": ("[joint]\nwidth = 1e308\n[tail_board]\nthickness = 9\n[pin_board]\nthickness = 9", "over the most"),
    "digits.toml": (f"[joint]\nwidth = {'9' * 5000}", "is not TOML"),
    "nested.toml": (f"a = {'[' * 100_000}", "nested too deep"),
    "large.toml": ("#" * 10_000_000, "far more than a recipe"),
    "lines.toml": ('title = "a\\nb"', "no line ends"),
    "long.toml": (f'title = "{"x" * 300}"', "300 characters"),
    "emoji.toml": ('title = "\U0001f332"', "no pictures"),
    "empty.toml": ("", "joint: is missing"),
}


@pytest.mark.parametrize("name", BAD_RECIPES)
def test_bad_recipes_get_a_clear_message(name: str, tmp_path: Path) -> None:
    text, says = BAD_RECIPES[name]
    (tmp_path / name).write_text(text, encoding="utf-8")
    said = refused("build", name, cwd=tmp_path)
    assert says in said
    assert len(said) < 2000
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_folder_for_a_recipe_is_refused(tmp_path: Path) -> None:
    (tmp_path / "folder.toml").mkdir()
    assert "is a folder, not a recipe" in refused("layout", "folder.toml", cwd=tmp_path)


def test_old_output_survives_a_refused_build(tmp_path: Path) -> None:
    assert halfpin("build", "tool-tray", cwd=tmp_path).returncode == 0
    before = whole(tmp_path)
    refused("build", "tool-tray", "--set", "joint.tails=90", cwd=tmp_path)
    said = refused_after_proof("build", "tea-box", "--set", "title=tool-tray", cwd=tmp_path)
    assert "holds the files of 'tool tray', not of 'tool-tray'" in said
    assert whole(tmp_path) == before


def test_a_file_in_the_way_of_the_folder_is_refused_before_the_proof(tmp_path: Path) -> None:
    (tmp_path / "exports").write_text("mine")
    for command in ("build", "paper", "aids"):
        assert "exports is a file; a folder is needed" in refused(command, "tool-tray", *TIGHT, cwd=tmp_path)
    assert whole(tmp_path) == {"exports": b"mine"}


def test_a_failing_joint_leaves_no_folder_behind(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", *TIGHT, "--out", "new/folder", cwd=tmp_path)
    assert done.returncode == 1
    assert list(tmp_path.iterdir()) == []


def refused_after_proof(*arguments: str, cwd: Path) -> str:
    done = halfpin(*arguments, cwd=cwd)
    assert done.returncode == 2
    return done.stderr


def test_a_recipe_that_is_accepted_brings_no_talk() -> None:
    done = halfpin("layout", "tool-tray", "--set", "print.nozzle=0.4")
    assert (done.returncode, done.stderr) == (0, "")


def test_a_reader_that_goes_away_gets_no_traceback() -> None:
    reader = subprocess.Popen(["head", "-c", "1"], stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)
    assert reader.stdin is not None
    with Forked(f"import time\ntime.sleep(0.1)\n{MAIN}", "layout", "carcase", stdout=reader.stdin) as writer:
        _, said = writer.communicate()
    assert "Traceback" not in said
    reader.communicate()


def test_a_fault_of_ours_is_one_line_and_exit_3(tmp_path: Path) -> None:
    code = (
        "import solids.write.files.table as table\n"
        "def broken(layout): raise ZeroDivisionError('planted\\nfault')\n"
        "table.prove_layout = broken\n"
        "from solids.app.cli import main\nmain()"
    )
    done = ended(code, "check", "tool-tray")
    assert done.returncode == 3
    assert done.stdout == ""
    assert done.stderr.startswith(f"{REPORT} Add this line: halfpin ")
    assert "ZeroDivisionError: planted fault" in done.stderr
    assert done.stderr.count("\n") == 1


def completed(words: str, **environment: str) -> list[str]:
    """What the shell is offered for the last of some words, as bash asks."""
    asked = {"_HALFPIN_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(len(words.split(" ")) - 1)}
    return halfpin(**asked, **environment).stdout.split()


def test_the_shell_completes_presets_files_and_keys() -> None:
    assert "plain,tool-tray" in completed("halfpin layout to")
    assert any(item.startswith("file,") for item in completed("halfpin layout my"))
    assert "plain,tea-box" in completed("halfpin new x.toml --preset te")
    assert "plain,joint.tails=" in completed("halfpin layout tool-tray --set joint.ta")
    assert "plain,climate.shop=" in completed("halfpin layout tool-tray --set climate.s")
    assert "plain,tool-tray" in completed("halfpin paper to")
    assert set(completed("halfpin paper tool-tray --size A")) == {"plain,A4", "plain,A3"}


def test_new_gives_the_recipe_its_own_title(tmp_path: Path) -> None:
    assert halfpin("new", "my-corner.toml", cwd=tmp_path).returncode == 0
    assert 'title = "my corner"' in (tmp_path / "my-corner.toml").read_text("utf-8")
    assert halfpin("build", "my-corner.toml", cwd=tmp_path).returncode == 0
    assert (tmp_path / "exports" / "my-corner" / "report.json").exists()


@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_a_closed_stream_is_no_fault(stream: str) -> None:
    number = {"stdout": 1, "stderr": 2}[stream]
    code = f"import os, sys\nos.close({number})\nsys.{stream} = None\nfrom solids.app.cli import main\nmain()"
    done = ended(code, "layout", "tool-tray")
    assert done.returncode == 0
    assert "Traceback" not in done.stdout + done.stderr


def test_a_full_disk_behind_the_output_is_exit_2() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full to write to")
    with open("/dev/full", "wb") as full, Forked(MAIN, "layout", "tool-tray", stdout=full) as run:
        _, said = run.communicate()
    assert run.returncode == 2
    assert "Traceback" not in said


def test_the_end_does_what_was_registered_for_it_and_hands_on_what_that_says() -> None:
    done = ended("import atexit\natexit.register(print, 'last words')\n" + MAIN, "presets")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.endswith("\nlast words\n")


WATCHED = {
    "a profiler": "import sys\nsys.setprofile(lambda *_: None)",
    "a debugger": "import sys\nsys.settrace(lambda *_: None)",
    "a thread": "import threading, time\nthreading.Thread(target=time.sleep, args=(600,), daemon=True).start()",
}


@pytest.mark.parametrize("by", WATCHED)
def test_a_run_that_is_watched_ends_as_python_does(by: str) -> None:
    caught = "from solids.app.cli import main\ntry:\n    main()\nexcept SystemExit as end:\n    print('code', end.code)"
    assert ended(f"{WATCHED[by]}\n{caught}", "layout", "no-such-recipe").stdout == "code 2\n"
