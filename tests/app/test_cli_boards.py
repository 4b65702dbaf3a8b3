"""Boards as they are, as a user meets them: a thickness at several places and a hollow, in a corner and in a box."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from solids.base.cautions import BY_HAND
from tests.boxes import ODD
from tests.commands import halfpin, refused
from tests.write.paper.reading import words_of

CORNER = """\
title = "old boards"
[joint]
width = 96
tails = 4
[tail_board]
thickness = [10, 9.7, 9.8]   # at three places
wood = "cherry"
cup = 0.5
[pin_board]
thickness = ["12 mm", 11.6]
wood = "maple"
"""
BOX = """\
title = "box of old boards"
[joint]
tails = 3
[tail_board]
thickness = [10, 9.7]
wood = "walnut"
[pin_board]
thickness = 12
wood = "maple"
[box]
length = 240
width = 160
height = 80
[box.front]
thickness = [14, 13.6, 13.8]
cup = 0.2
[box.groove]
width = 5
"""
UNEVEN = {"front": "[17, 16.3]", "back": "[11, 10.3]", "left": "[9, 8.3]", "right": "[12, 11.3]"}


def json_of(*arguments: str, cwd: Path) -> Any:
    done = halfpin(*arguments, cwd=cwd)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with both recipes."""
    (tmp_path / "corner.toml").write_text(CORNER)
    (tmp_path / "box.toml").write_text(BOX)
    return tmp_path


def test_layout_tells_both(folder: Path) -> None:
    done = halfpin("layout", "corner.toml", cwd=folder)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "9.7 mm to 10 mm" in said
    assert "11.6 mm to 12 mm" in said
    assert "Gauge 12.5 mm: from the tail board's end" in said, "by the thickest place"
    assert "where it is thinnest the tails stand 0.9 mm (0.035 in) proud of it" in said
    assert "The tail board is hollow by 0.5 mm (0.02 in) across its width of 96 mm" in said


@pytest.mark.whole
def test_every_paper_of_a_corner_tells_it(folder: Path) -> None:
    done = halfpin("build", "corner.toml", "--paper", "--page", "--out", "out", cwd=folder)
    assert done.returncode == 0, done.stderr
    out = folder / "out" / "old-boards"
    note = " ".join((out / "cnc-jig-note.md").read_text().split())
    assert "The tail board is 9.7 mm (0.382 in) to 10 mm (0.394 in) thick, in cherry." in note
    assert "**Take care.** The tail board is hollow" in note
    report = json.loads((out / "report.json").read_text())
    board = report["recipe"]["tail_board"]
    assert (board["thickness_mm"], board["thinnest_mm"], board["cup_mm"]) == (10, 9.7, 0.5)
    found = {finding["code"]: finding for finding in report["proof"]["findings"]}
    assert found["uneven"]["measured"] == pytest.approx(0.4)
    assert (found["cup"]["unit"], found["cup"]["severity"]) == ("%", "warning")
    assert [planing["more_mm"] for planing in report["bench"]["planing"]] == pytest.approx([0.4, 0.3])
    assert "9.7 mm (0.382 in) to 10 mm (0.394 in)" in (out / "corner.html").read_text()


def test_a_board_that_closes_by_hand_is_told_in_the_note_too(folder: Path) -> None:
    done = halfpin("build", "corner.toml", "--out", "out", "--set", "tail_board.cup=0.1", cwd=folder)
    assert done.returncode == 0, done.stderr
    note = " ".join((folder / "out" / "old-boards" / "cnc-jig-note.md").read_text().split())
    assert "- The tail board is hollow by 0.1 mm" in note


@pytest.mark.whole
def test_a_box_tells_it_for_each_kind_of_corner(folder: Path) -> None:
    done = halfpin("build", "box.toml", "--out", "out", cwd=folder)
    assert done.returncode == 0, done.stderr
    out = folder / "out" / "box-of-old-boards"
    report = json.loads((out / "report.json").read_text())
    boards = {board["name"]: (board["thickness_mm"], board["thinnest_mm"]) for board in report["boards"]}
    assert boards == {"front": (14, 13.6), "right": (10, 9.7), "back": (12, 12), "left": (10, 9.7)}
    rows = {row["name"]: row for row in report["cut_list"]}
    assert rows["front"]["saw_to_mm"][2] == 14, "laid out by the thickest place"
    assert rows["front"]["finished_mm"][2] == pytest.approx(13.6), "what is left, by the thinnest"
    uneven = [finding["sentence"] for finding in report["findings"] if finding["code"] == "uneven"]
    assert len(uneven) == 2
    assert uneven[0].startswith("Front left and front right: ")
    assert "13.6 mm (0.535 in) to 14 mm" in uneven[0]
    assert "The pin board" not in uneven[1]
    assert "is thinnest" in " ".join((out / "box-note.md").read_text().split())
    front = report["corners"][0]["report"]
    assert front["recipe"]["pin_board"]["cup_mm"] == 0.2
    assert "cup" in {finding["code"] for finding in front["proof"]["findings"]}


@pytest.mark.whole
def test_a_box_says_at_which_corners_more_is_planed(folder: Path) -> None:
    done = halfpin("build", "box.toml", "--out", "out", cwd=folder)
    assert done.returncode == 0, done.stderr
    note = " ".join((folder / "out" / "box-of-old-boards" / "box-note.md").read_text().split())
    tails = "Ends of the tails, on the pin board's show face: 0.5 mm"
    assert f"{tails}, and up to 0.4 mm more where that board is thinner (at the front left and front right)." in note
    assert f"{tails} (at the back left and back right)." in note
    pins = "Ends of the pins, on the tail board's show face: 0.5 mm"
    assert f"{pins}, and up to 0.3 mm more where that board is thinner. " in note, "at all corners"


@pytest.mark.whole
def test_what_is_to_watch_may_take_a_second_page_of_the_sheet(folder: Path) -> None:
    """Four kinds of corner, and every board of them uneven and hollow."""
    (folder / "odd.toml").write_text(ODD)
    crooked = [f"box.{side}.thickness={thick}" for side, thick in UNEVEN.items()]
    crooked += ["tail_board.cup=2", "pin_board.cup=2", "climate.home=21 C, 30 %"]
    settings = [argument for override in crooked for argument in ("--set", override)]
    done = halfpin("paper", "odd.toml", "--out", "out", *settings, cwd=folder)
    assert done.returncode == 0, done.stderr
    sheet = (folder / "out" / "odd-box" / "box-sheet.pdf").read_bytes()
    assert "Order of work" in words_of(sheet)
    assert words_of(sheet, 1).count("No joint closes wind") == 4
    assert all(caution.text in words_of(sheet, 1) for caution in BY_HAND)


@pytest.mark.parametrize("name", ["corner.toml", "box.toml"])
def test_a_frozen_recipe_keeps_the_list_as_written(folder: Path, name: str) -> None:
    before = json_of("layout", name, "--json", cwd=folder)
    lines = (folder / name).read_text().splitlines()
    assert halfpin("freeze", name, cwd=folder).returncode == 0
    assert set(lines) <= set((folder / name).read_text().splitlines())
    after = json_of("layout", name, "--json", cwd=folder)
    assert after["recipe"] == before["recipe"]
    assert "thickness = [10, 9.7" in before["frozen_recipe"]


@pytest.mark.whole
def test_a_table_of_joints_takes_a_list(folder: Path) -> None:
    (folder / "joints.csv").write_text('title,tail_board.thickness\nuneven,"[10, 9.5]"\n')
    done = halfpin("batch", "joints.csv", "--base", "corner.toml", "--check", "--out", "range", cwd=folder)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("name", "override", "told"),
    [
        ("corner.toml", "pin_board.thickness=[19, 15, 19, 18.8]", "place 2, 15 mm, is far from the others, near 19 mm"),
        ("corner.toml", "pin_board.thickness=[]", "pin_board.thickness: the list is empty; give a length, or one for"),
        ("corner.toml", "tail_board.cup=9.7", "9.7 mm is as much as the board is thick, 9.7 mm, or more"),
        ("corner.toml", "tail_board.cup=-0.5", "tail_board.cup: -0.5 mm is under the least; it takes 0, or from"),
        ("box.toml", "box.front.cup=20", "box.front.cup: 20 mm is as much as the board is thick, 13.6 mm, or more"),
        ("box.toml", "box.back.thickness=[]", "box.back.thickness: the list is empty"),
    ],
)
def test_what_is_refused(folder: Path, name: str, override: str, told: str) -> None:
    assert told in refused("layout", name, "--set", override, cwd=folder)
