"""Text from outside stays text: on a terminal, in a list, in a spreadsheet."""

from __future__ import annotations

import ast
import csv
import io
import os
import pty
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import solids
from solids.base.safe_text import csv_cell, csv_table, printable
from solids.recipe import preset_text
from solids.recipe.text.texts import preset_text as any_preset
from tests.commands import MAIN, halfpin

ESCAPES = "\x1b]0;owned\x07\x1b[2J\x9b31m\u202eback"
"""Sets a terminal's title, wipes it, colours it red by another way, and turns what follows around."""


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Küche 3/4 ½ 箱", "Küche 3/4 ½ 箱"),
        ("a\x1b[2Jb", "a\\x1b[2Jb"),
        ("a\nb\tc\u00a0d", "a b c d"),
        ("\u202eabc", "\\u202eabc"),
        ("a\udcff", "a\\udcff"),
        ("\x9b31m\x7f", "\\x9b31m\\x7f"),
    ],
)
def test_a_line_shows_what_it_holds_and_does_nothing(text: str, shown: str) -> None:
    assert printable(text) == shown
    assert printable(shown) == shown


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ('=HYPERLINK("http://x";"oak")', '\'=HYPERLINK("http://x";"oak")'),
        (" =1+1", "' =1+1"),
        ("\t@SUM(A1)", "' @SUM(A1)"),
        ("＝1+1", "'＝1+1"),
        ("+49 oak", "'+49 oak"),
        ("-0.25", "-0.25"),
        (-0.25, "-0.25"),
        ("oak", "oak"),
        ("", ""),
        (4, "4"),
    ],
)
def test_a_cell_is_never_a_formula(value: object, cell: str) -> None:
    assert csv_cell(value) == cell
    assert list(csv.reader(io.StringIO(csv_table([[value, "x"]]).decode()))) == [[cell, "x"]]


# --- there is no other way ---------------------------------------------------------------------------


def calls(name: str) -> Iterator[str]:
    """The files that call a function by its name."""
    root = Path(solids.__file__).parent
    for path in sorted(root.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        if any(isinstance(node, ast.Call) and ast.unparse(node.func) == name for node in ast.walk(tree)):
            yield path.relative_to(root).as_posix()


@pytest.mark.parametrize(
    ("name", "files"),
    [
        ("csv.writer", ["base/safe_text.py"]),
        ("csv.DictWriter", []),
        ("click.echo", ["app/terminal.py"]),
        ("click.secho", []),
        ("print", []),
        ("sys.stdout.write", []),
        ("sys.stderr.write", []),
    ],
)
@pytest.mark.whole
def test_there_is_one_way_out(name: str, files: list[str]) -> None:
    assert list(calls(name)) == files


# --- every output ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes]:
    """A batch whose table, titles, woods and file names are all hostile: its folder, and what it said."""
    folder = tmp_path_factory.mktemp("hostile")
    source = folder / "in"
    source.mkdir()
    wood = '{ name = "=HYPERLINK(1)", kind = "hardwood", density = 700 }'
    (source / "@tray.toml").write_text(preset_text("tool-tray").replace('"cherry"', wood), "utf-8")
    (source / "box.toml").write_text(any_preset("keepsake-box").replace('"walnut"', wood), "utf-8")
    (source / f"=1+{ESCAPES}.toml").write_text(preset_text("tool-tray"), "utf-8")
    (source / "told.toml").write_text(f'title = "={repr(ESCAPES)[1:-1]}"'.replace("\\x", "\\u00"), "utf-8")
    (source / "key.toml").write_text(preset_text("tool-tray") + '\n["\\u001b[2J"]\n"=1" = 1\n', "utf-8")
    (source / os.fsdecode(b"=\xff\x1b[2J.toml")).write_text(preset_text("tool-tray"), "utf-8")
    arguments = ["batch", str(source), "--out", str(folder / "out"), "--files", "corner", "--jobs", "1"]
    done = subprocess.run([sys.executable, "-c", MAIN, *arguments], capture_output=True, check=False)
    assert done.returncode == 2, done.stderr
    return folder / "out", done.stdout + done.stderr


def controls(data: bytes) -> set[str]:
    """Characters that a terminal acts on, or that turn text around."""
    return {ch for ch in data.decode("utf-8") if not ch.isprintable() and ch not in "\n\r\t"}


@pytest.mark.whole
def test_nothing_that_a_terminal_acts_on_gets_out(run: tuple[Path, bytes]) -> None:
    folder, said = run
    assert controls(said) == set()
    texts = [path for path in folder.rglob("*") if path.suffix in {".csv", ".html", ".md", ".jsonl", ".json"}]
    assert len(texts) > 6
    for path in texts:
        assert controls(path.read_bytes()) == set(), path.name


@pytest.mark.whole
def test_no_cell_of_any_table_is_a_formula(run: tuple[Path, bytes]) -> None:
    tables = list(run[0].rglob("*.csv"))
    assert {path.name for path in tables} == {"index.csv", "cut-list.csv", "bill-of-materials.csv"}
    texts = [io.StringIO(path.read_bytes().decode("utf-8"), newline="") for path in tables]
    cells = [cell for text in texts for row in csv.reader(text) for cell in row]
    assert any(cell.startswith("'=HYPERLINK") for cell in cells)
    assert any(cell.startswith("'@tray") for cell in cells)
    for cell in cells:
        assert not cell.startswith(("=", "+", "-", "@"))


@pytest.mark.parametrize(
    "arguments",
    [
        ["layout", f"{ESCAPES}.toml"],
        ["check", "tool-tray", "--set", f"joint.tails={ESCAPES}"],
        ["check", "tool-tray", "--set", f"{ESCAPES}=1"],
        ["build", "tool-tray", f"--{ESCAPES}"],
        [ESCAPES],
        ["watch", ESCAPES],
        ["bench", ESCAPES],
        ["bench", "--port", ESCAPES],
        ["new", f"no/such/{ESCAPES}.toml"],
        ["batch", ESCAPES],
        ["batch", "tool-tray", "--grid", f"{ESCAPES}=1"],
        ["batch", "tool-tray", "--files", ESCAPES],
        ["compare", "tool-tray", "--tails", ESCAPES],
        ["schema", ESCAPES],
    ],
)
def test_what_is_typed_comes_back_as_text(arguments: list[str], tmp_path: Path) -> None:
    done = halfpin(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert controls((done.stdout + done.stderr).encode()) == set()


@pytest.mark.whole
def test_a_terminal_gets_colour_of_ours_and_no_escape_of_a_stranger(tmp_path: Path) -> None:
    """On a real terminal, where escape sequences of our own are wanted."""
    ours, theirs = pty.openpty()
    recipe = tmp_path / "x\x1b]0;owned\x07.toml"
    recipe.write_text(preset_text("tool-tray"), "utf-8")
    process = subprocess.Popen(
        [sys.executable, "-c", MAIN, "build", str(recipe), "--out", str(tmp_path / "o\x1b]0;owned\x07")],
        stdout=theirs,
        stderr=theirs,
        env={**os.environ, "TERM": "xterm"},
    )
    os.close(theirs)
    said = b""
    try:
        while data := os.read(ours, 4096):
            said += data
    except OSError:
        pass  # how a terminal ends
    os.close(ours)
    assert process.wait() == 0, said
    assert b"\x1b[" in said, "it is a terminal"
    assert b"\x1b]0;" not in said
    assert b"\\x1b]0;owned" in said
