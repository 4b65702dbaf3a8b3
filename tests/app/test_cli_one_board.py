"""`halfpin paper --board`: the files of one board, for a new mate of an old one."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from solids.base.cautions import CAUTIONS
from tests.app.test_one_word import wrong_words
from tests.commands import TIGHT, halfpin, names_below, refused
from tests.write.paper.reading import words_of

KINDS = ("step", "stl", "dxf", "svg", "pdf")


def own(board: str) -> set[str]:
    return {f"boards/{board}.{kind}" for kind in KINDS}


@pytest.mark.parametrize(("board", "other"), [("pin", "tail"), ("tail", "pin")])
def test_one_board_of_a_corner(board: str, other: str, tmp_path: Path) -> None:
    done = halfpin("paper", "tool-tray", "--board", board, "--out", "out", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    folder = tmp_path / "out" / "tool-tray"
    assert done.stdout == f"7 files in {Path('out') / 'tool-tray'}\n"
    assert names_below(folder) == own(f"{board}-board") | {"cnc-jig-note.md", "report.json"}
    words = words_of((folder / "boards" / f"{board}-board.pdf").read_bytes())
    assert f"{board} board, show face" in words
    assert f"{other} board" not in words
    assert "Read the cautions in the note beside this file." in words
    note = " ".join((folder / "cnc-jig-note.md").read_text().split())
    assert all(" ".join(caution.text.split()) in note for caution in CAUTIONS)
    assert wrong_words("one board", words) == []


@pytest.mark.whole
def test_one_board_of_a_box_has_both_its_ends(tmp_path: Path) -> None:
    """The sides of a drawer have another joint at each end; its front has the same at both."""
    for board, corners in (("left", ["front left", "back left"]), ("front", ["front left and front right"])):
        done = halfpin("paper", "desk-drawer", "--board", board, "--out", board, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        folder = tmp_path / board / "desk-drawer"
        assert names_below(folder) == own(board) | {"box-note.md", "report.json"}
        assert named_in(folder / "box-note.md") == own(board) | {"box-note.md"}
        paper = (folder / "boards" / f"{board}.pdf").read_bytes()
        for page, corner in enumerate(corners):
            assert f"desk drawer, {corner}: template, {board} board, page 1 of 1." in " ".join(
                words_of(paper, page).split()
            )


def named_in(note: Path) -> set[str]:
    """The files that a note links to."""
    words = note.read_text()
    assert not re.search(r"\. ?\.$|: \.", words, re.MULTILINE), "an empty list"
    return set(re.findall(r"\]\((.+?)\)", words))


@pytest.mark.whole
def test_a_note_names_what_is_there_of_an_earlier_run_too(tmp_path: Path) -> None:
    note = tmp_path / "out" / "keepsake-box" / "box-note.md"
    for board, there in (("front", own("front")), ("left", own("front") | own("left"))):
        done = halfpin("paper", "keepsake-box", "--board", board, "--out", "out", cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        assert named_in(note) == there | {"box-note.md"}
        assert names_below(note.parent) == named_in(note) | {"report.json"}
    assert "`halfpin build`: the whole set" in note.read_text()


@pytest.mark.whole
def test_the_papers_of_both_boards_stay_and_tell_of_another_size(tmp_path: Path) -> None:
    def files(*more: str) -> dict[str, bool]:
        done = halfpin("paper", "tool-tray", "--out", "out", *more, cwd=tmp_path)
        assert done.returncode == 0, done.stderr
        report = json.loads((tmp_path / "out" / "tool-tray" / "report.json").read_text())
        return {record["name"]: record["stale"] for record in report["files"]}

    files("--board", "pin")
    assert "boards/pin-board.pdf" in files()
    assert [name for name, stale in files("--size", "A3").items() if stale] == ["boards/pin-board.pdf"]
    assert not any(stale for name, stale in files("--size", "A3", "--board", "pin").items())


def test_a_board_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path) -> None:
    told = refused("paper", "tool-tray", "--board", "left", cwd=tmp_path)
    assert told == "Error: --board left: a single corner has no such board; it has tail, pin\n"
    told = refused("paper", "desk-drawer", "--board", "pin", cwd=tmp_path)
    assert told == "Error: --board pin: a box has no such board; it has front, right, back, left\n"
    assert "'pins' is not one of" in refused("paper", "tool-tray", "--board", "pins", cwd=tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.whole
def test_no_board_of_a_failing_joint_is_written_without_anyway(tmp_path: Path) -> None:
    done = halfpin("paper", "tool-tray", *TIGHT, "--board", "pin", "--out", "out", cwd=tmp_path)
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert list(tmp_path.iterdir()) == []
    done = halfpin("paper", "tool-tray", *TIGHT, "--board", "pin", "--out", "out", "--anyway", cwd=tmp_path)
    assert done.returncode == 1
    paper = tmp_path / "out" / "tool-tray" / "boards" / "pin-board.pdf"
    assert "fails its proof" in words_of(paper.read_bytes()).lower()
