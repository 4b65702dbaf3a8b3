"""`halfpin new --measured` as a user runs it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from tests.app.test_one_word import wrong_words
from tests.commands import halfpin, refused
from tests.recipe.test_measured import DRAWER, FLANKS, HEAD, table

README = Path(__file__).parents[2].joinpath("README.md").read_text("utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with marks."""
    (tmp_path / "marks.csv").write_text(DRAWER)
    return tmp_path


def test_a_recipe_is_written_from_marks(folder: Path) -> None:
    done = halfpin("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert (done.returncode, done.stdout) == (0, "")
    assert done.stderr == "Wrote repair.toml. Change it, then try: halfpin layout repair.toml\n"
    found = tomllib.loads((folder / "repair.toml").read_text())
    assert found["title"] == "drawer side"
    assert [base for _, base in found["joint"]["flanks"]] == [11 / 32, 1.875, 2 + 9 / 32, 4.125]


def test_marks_without_a_title_take_that_of_the_file(folder: Path) -> None:
    (folder / "marks.csv").write_text(table(*FLANKS))
    assert halfpin("new", "old-chest_lid.toml", "--measured", "marks.csv", cwd=folder).returncode == 0
    assert tomllib.loads((folder / "old-chest_lid.toml").read_text())["title"] == "old chest lid"


def test_a_likely_slip_is_a_note_and_the_recipe_is_written(folder: Path) -> None:
    (folder / "marks.csv").write_text(table(*FLANKS[:3], (61, 54.9), *FLANKS[4:]))
    done = halfpin("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert done.returncode == 0
    note, wrote = done.stderr.splitlines()
    assert note.startswith(
        "Note: row 11 looks like a slip: the right flank of tail 2 leans by 26.9 degrees, most others"
    )
    assert note.endswith("; 54.9 may be 59.4.")
    assert wrote.startswith("Wrote ")
    assert "looks like a slip: it leans by 26.9" in (folder / "repair.toml").read_text()
    assert wrong_words("new --measured", done.stderr) == []


def test_what_cannot_be_is_refused_and_nothing_is_written(folder: Path) -> None:
    (folder / "marks.csv").write_text(table(*FLANKS[:-1], (195, 93)))
    told = refused("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert told.startswith("Error: marks.csv, row 13: the outer mark, 195 mm, lies beyond the width, 100 mm;")
    assert not (folder / "repair.toml").exists()
    (folder / "marks.csv").write_text(table(*FLANKS, head=HEAD.replace("tail board", "tails")).replace("95,", "x,"))
    told = refused("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert told.splitlines()[0] == "Errors:"
    assert len(told.splitlines()) == 4, "an unknown key, a missing one, and a row"
    assert wrong_words("new --measured", told) == []
    assert "does not exist; give a table of marks" in refused("new", "a.toml", "--measured", "no.csv", cwd=folder)


def test_a_preset_and_marks_do_not_go_together(folder: Path) -> None:
    told = refused("new", "a.toml", "--measured", "marks.csv", "--preset", "tea-box", cwd=folder)
    assert told == "Error: --preset and --measured both say what to start from; leave one out\n"


def test_an_old_recipe_is_left_alone(folder: Path) -> None:
    (folder / "repair.toml").write_text("mine")
    assert "already exists and was left alone" in refused("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert (folder / "repair.toml").read_text() == "mine"


def test_the_tables_of_the_readme_and_of_the_help_are_read(folder: Path) -> None:
    (shown,) = re.findall(r"(?ms)^```\n(title,drawer side.*?)^```", README)
    help_text = halfpin("new", "--help").stdout
    lines = [line.strip() for line in help_text.splitlines()]
    begin = lines.index("title,drawer side")
    asked = "\n".join(lines[begin : lines.index("", begin)])
    for number, text in enumerate((shown, asked)):
        (folder / "marks.csv").write_text(text)
        done = halfpin("new", f"{number}.toml", "--measured", "marks.csv", cwd=folder)
        assert done.returncode == 0, done.stderr
    flanks = [tomllib.loads((folder / f"{number}.toml").read_text())["joint"]["flanks"] for number in (0, 1)]
    assert (len(flanks[0]), flanks[1]) == (4, flanks[0][:2])


def test_from_marks_to_the_files_of_the_new_board(folder: Path) -> None:
    """The new pin board fits the tails as they were measured: the old board's own template and the proof say so."""
    halfpin("new", "repair.toml", "--measured", "marks.csv", cwd=folder)
    assert halfpin("check", "repair.toml", cwd=folder).returncode == 0
    done = halfpin("paper", "repair.toml", "--board", "pin", "--out", "files", cwd=folder)
    assert done.returncode == 0, done.stderr
    found = {path.name for path in (folder / "files" / "drawer-side" / "boards").iterdir()}
    assert found == {f"pin-board.{kind}" for kind in ("step", "stl", "dxf", "svg", "pdf")}
