"""The command as a user meets it: exit codes, streams, and old output left whole. Every run is a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from solids import __version__
from solids.recipe import preset_names
from solids.write.report import Report

COMMANDS = ("new", "layout", "check", "build", "presets", "woods", "schema")
FILES = {
    "corner.step",
    "corner-finished.step",
    "tail-board.step",
    "pin-board.step",
    "tail-board.stl",
    "pin-board.stl",
    "cnc-jig-note.md",
    "report.json",
}


def halfpin(*arguments: str, cwd: Path | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-c", "from solids.cli import main; main()", *arguments],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
        env={**os.environ, **environment},
        encoding="utf-8",
    )
    assert "Traceback" not in done.stdout + done.stderr
    return done


def refused(*arguments: str, cwd: Path | None = None) -> str:
    """What the tool says on stderr when it refuses; nothing goes to stdout."""
    done = halfpin(*arguments, cwd=cwd)
    assert done.returncode == 2, done.stderr
    assert done.stdout == ""
    return done.stderr


def whole(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(command: str) -> None:
    done = halfpin(command, "--help")
    assert done.returncode == 0
    assert done.stdout.startswith(f"Usage: halfpin {command}")
    assert done.stderr == ""


def test_help_names_every_command() -> None:
    listing = halfpin("--help").stdout
    assert all(f"\n  {command} " in listing for command in COMMANDS)


def test_version() -> None:
    assert halfpin("--version").stdout == f"halfpin, version {__version__}\n"


@pytest.mark.parametrize("command", ["layout", "check", "build"])
def test_a_missing_recipe_is_bad_input(command: str, tmp_path: Path) -> None:
    said = refused(command, "missing.toml", cwd=tmp_path)
    assert "missing.toml does not exist" in said
    assert "tool-tray" in said
    assert list(tmp_path.iterdir()) == []


def test_a_preset_nearly_named_is_suggested() -> None:
    assert "did you mean 'tool-tray'?" in refused("layout", "tool-trey")


def test_an_unknown_command_is_bad_input() -> None:
    assert "No such command" in refused("bild")


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
    assert proved.stdout.endswith("The joint goes together.\n")


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
    assert {row["name"] for row in json.loads(halfpin("presets", "--json").stdout)} == set(preset_names())
    assert {"name", "botanical", "kind", "source", "density_kg_m3"} == set(
        json.loads(halfpin("woods", "--json").stdout)[0]
    )


def test_schemas_are_json() -> None:
    assert json.loads(halfpin("schema").stdout)["$id"] == "urn:halfpin:recipe:1"
    assert json.loads(halfpin("schema", "report").stdout)["$id"] == "urn:halfpin:report:1"


def test_a_failing_joint_exits_1_and_names_the_failure_first() -> None:
    done = halfpin("check", "tool-tray", "--set", "fit.flank_gap=-0.06")
    assert done.returncode == 1
    assert done.stdout.startswith("FAIL  Each flank is 0.06 mm")
    assert done.stdout.endswith("The joint fails its proof.\n")


def test_build_refuses_a_failing_joint_unless_told(tmp_path: Path) -> None:
    tight = ("build", "tool-tray", "--set", "fit.flank_gap=-0.06", "--out", str(tmp_path))
    done = halfpin(*tight)
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert list(tmp_path.iterdir()) == []
    assert halfpin(*tight, "--anyway").returncode == 1
    assert set(whole(tmp_path / "tool-tray")) == FILES


def test_build_writes_the_eight_files_quietly_into_the_folder_asked_for(tmp_path: Path) -> None:
    done = halfpin("build", "tool-tray", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert set(whole(tmp_path / "exports")) == {f"tool-tray/{name}" for name in FILES}
    assert done.stdout.endswith("8 files in exports/tool-tray\n")


def test_new_writes_a_recipe_that_builds_and_never_overwrites(tmp_path: Path) -> None:
    assert halfpin("new", "mine.toml", "--preset", "tea-box", cwd=tmp_path).returncode == 0
    assert halfpin("check", "mine.toml", cwd=tmp_path).returncode == 0
    before = whole(tmp_path)
    assert "is there already and was left alone" in refused("new", "mine.toml", cwd=tmp_path)
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
    "path.toml": ('title = "../../x"', "no slashes"),
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


def test_a_file_in_the_way_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "exports").write_text("mine")
    assert "exports is a file; a folder is needed" in refused_after_proof("build", "tool-tray", cwd=tmp_path)
    assert whole(tmp_path) == {"exports": b"mine"}


def refused_after_proof(*arguments: str, cwd: Path) -> str:
    done = halfpin(*arguments, cwd=cwd)
    assert done.returncode == 2
    return done.stderr


def test_notes_about_keys_not_used_yet_go_to_stderr() -> None:
    done = halfpin("layout", "tool-tray", "--set", "print.nozzle=0.4")
    assert done.returncode == 0
    assert done.stderr == "Note: print.nozzle is kept, but nothing in this version uses it yet.\n"


def test_a_reader_that_goes_away_gets_no_traceback() -> None:
    reader = subprocess.Popen(["head", "-c", "1"], stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)
    writer = subprocess.run(
        [
            sys.executable,
            "-c",
            "import time\nfrom solids.cli import main\ntime.sleep(0.1)\nmain()",
            "layout",
            "carcase",
        ],
        stdout=reader.stdin,
        stderr=subprocess.PIPE,
        check=False,
    )
    assert b"Traceback" not in writer.stderr
    reader.communicate()


def test_a_fault_of_ours_is_one_line_and_exit_3(tmp_path: Path) -> None:
    code = (
        "import solids.write.table as table\n"
        "def broken(layout): raise ZeroDivisionError('planted\\nfault')\n"
        "table.prove_layout = broken\n"
        "from solids.cli import main\nmain()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "check", "tool-tray"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 3
    assert done.stdout == ""
    assert done.stderr.startswith("A fault of ours")
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


def test_new_gives_the_recipe_its_own_title(tmp_path: Path) -> None:
    assert halfpin("new", "my-corner.toml", cwd=tmp_path).returncode == 0
    assert 'title = "my corner"' in (tmp_path / "my-corner.toml").read_text("utf-8")
    assert halfpin("build", "my-corner.toml", cwd=tmp_path).returncode == 0
    assert (tmp_path / "exports" / "my-corner" / "report.json").exists()


@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_a_closed_stream_is_no_fault(stream: str) -> None:
    number = {"stdout": 1, "stderr": 2}[stream]
    code = f"import os, sys\nos.close({number})\nsys.{stream} = None\nfrom solids.cli import main\nmain()"
    done = subprocess.run([sys.executable, "-c", code, "layout", "tool-tray"], capture_output=True, check=False)
    assert done.returncode == 0
    assert b"Traceback" not in done.stdout + done.stderr


def test_a_full_disk_behind_the_output_is_exit_2() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full to write to")
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-c", "from solids.cli import main; main()", "layout", "tool-tray"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
