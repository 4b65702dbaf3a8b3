"""Files from the page are those of the command line, byte for byte, and stopping harms none."""

from __future__ import annotations

import io
import json
import os
import queue
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import solids
from solids.app.desk.piece.state import read
from solids.app.desk.work.making import STOPPED, Making, archive_of, made_file, made_in
from solids.base.errors import FileError, InputError
from solids.recipe import preset_text
from solids.recipe.completing.shop import NO_SHOP

TRAY = preset_text("tool-tray")
EXAMPLE = Path(solids.__file__).parent.parent / "exports" / "tool-tray"
WAIT = 300.0

Events = queue.Queue[dict[str, Any]]


def until_made(events: Events) -> list[dict[str, Any]]:
    told = [events.get(timeout=WAIT)]
    while told[-1]["event"] != "made":
        told.append(events.get(timeout=WAIT))
    return told


def plan_of(text: str) -> Any:
    return read(text, NO_SHOP).plan


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[dict[str, Any]]]:
    out, events = tmp_path_factory.mktemp("out"), Events()
    Making(out).start("tray", TRAY, ["corner"], events.put)
    return out / "tool-tray", until_made(events)


def test_the_same_bytes_as_from_the_command_line(made: tuple[Path, list[dict[str, Any]]]) -> None:
    folder, told = made
    assert told[-1]["result"] == "made", told[-1]["words"]
    example = {name: data for name, data in contents(EXAMPLE).items() if not name.endswith(".png")}
    assert contents(folder) == example


def test_it_tells_how_far_it_is(made: tuple[Path, list[dict[str, Any]]]) -> None:
    folder, told = made
    steps = [event for event in told if event["event"] == "making"]
    files = steps[1:]
    assert steps[0]["what"] == "the proof"
    assert told[-1]["words"] == "14 files made, and the report."
    assert {event["of"] for event in files} == {14}
    assert [event["done"] for event in files] == list(range(14))
    assert {event["what"] for event in files} == set(contents(folder)) - {"report.json"}


def test_what_was_made_can_be_listed_opened_and_packed(made: tuple[Path, list[dict[str, Any]]]) -> None:
    folder, _ = made
    listed = made_in(folder, plan_of(TRAY))
    assert not any(one["stale"] for one in listed)
    assert {one["name"] for one in listed} == set(contents(folder))
    assert all(one["words"] for one in listed)
    assert made_file(folder, "booklet.pdf").read_bytes().startswith(b"%PDF")
    with zipfile.ZipFile(io.BytesIO(archive_of(folder))) as archive:
        assert {name.removeprefix("tool-tray/"): archive.read(name) for name in archive.namelist()} == contents(folder)
    assert archive_of(folder) == archive_of(folder)


def test_a_file_that_would_come_out_otherwise_now_is_out_of_date(made: tuple[Path, list[dict[str, Any]]]) -> None:
    """Of the folder's files the paper alone depends on the size of its sheets, and none on a comment."""
    folder, _ = made

    def old(text: str) -> set[str]:
        return {one["name"] for one in made_in(folder, plan_of(text)) if one["stale"]}

    every = {one["name"] for one in made_in(folder, None)}
    assert old(f"# as Ann wants it\n{TRAY}") == set()
    assert old(TRAY.replace("tails = 4", "tails = 5")) == every
    assert old("[joint]\nwidth = 96\n") == every, "what cannot be laid out makes none of them"
    papered = old(f'{TRAY}\n[paper]\nsize = "Letter"\n')
    assert "report.json" in papered
    assert "corner.step" not in papered
    assert old(TRAY) == set(), "and nothing of it is remembered"


@pytest.mark.parametrize("make", [os.mkfifo, Path.mkdir, lambda path: path.symlink_to(EXAMPLE / "report.json")])
def test_a_report_that_is_no_ordinary_file_is_told_and_nothing_waits_for_it(
    tmp_path: Path, make: Callable[[Path], None]
) -> None:
    folder = tmp_path / "tool-tray"
    folder.mkdir()
    make(folder / "report.json")
    with pytest.raises(FileError, match="not an ordinary file"):
        made_in(folder, None)
    events = Events()
    Making(tmp_path).start("tray", TRAY, ["model"], events.put)
    last = until_made(events)[-1]
    assert (last["result"], "not an ordinary file" in last["words"]) == ("trouble", True), last
    assert [path.name for path in folder.iterdir()] == ["report.json"]


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "boards", "", "other.pdf"])
def test_nothing_else_is_handed_out(made: tuple[Path, list[dict[str, Any]]], name: str) -> None:
    with pytest.raises(FileError, match="not among"):
        made_file(made[0], name)


def test_a_report_that_names_what_lies_outside_hands_out_nothing(tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("x", "utf-8")
    folder = tmp_path / "piece"
    folder.mkdir()
    (folder / "link.pdf").symlink_to(tmp_path / "secret")
    names = ["../secret", str(tmp_path / "secret"), "link.pdf", "gone.pdf"]
    files = [{"name": name, "holds": "", "stale": False} for name in names]
    (folder / "report.json").write_text(json.dumps({"files": files, "recipe": {}, "tool": {}}), "utf-8")
    assert [one["name"] for one in made_in(folder, None)] == ["report.json"]
    (folder / "report.json").write_text("[]", "utf-8")
    with pytest.raises(FileError, match="not a report"):
        made_in(folder, None)
    assert made_in(tmp_path / "nowhere", None) == []


def test_stopping_leaves_the_old_files(made: tuple[Path, list[dict[str, Any]]], tmp_path: Path) -> None:
    folder = tmp_path / "tool-tray"
    for name, data in contents(made[0]).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    making, events = Making(tmp_path), Events()
    number = making.start("tray", TRAY.replace("tails = 4", "tails = 5"), ["corner"], events.put)
    with pytest.raises(InputError, match="already"):
        making.start("tray", TRAY, ["corner"], events.put)
    while events.get(timeout=WAIT).get("done", 0) < 2:
        pass
    making.stop(number)
    last = until_made(events)[-1]
    assert (last["result"], last["words"]) == ("stopped", STOPPED)
    assert contents(folder) == contents(made[0])
    with pytest.raises(InputError, match="any more"):
        making.stop(number)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"{TRAY}\n[fit]\nflank_gap = -0.2\n", "fails its proof"),
        ("[joint]\nwidth = 96\n", "tail_board"),
    ],
)
@pytest.mark.whole
def test_what_cannot_be_made_is_told_and_nothing_is_written(tmp_path: Path, text: str, words: str) -> None:
    events = Events()
    Making(tmp_path).start("tray", text, ["corner"], events.put)
    last = until_made(events)[-1]
    assert last["result"] == "trouble"
    assert words in last["words"]
    assert contents(tmp_path) == {}


@pytest.mark.whole
def test_what_a_maker_should_know_of_the_files_is_told_with_them(tmp_path: Path) -> None:
    """By hand: the gap at the raw end is 2.857 mm, and a cutter of 12 mm does not pass."""
    events = Events()
    Making(tmp_path).start("tray", f'{TRAY}\n[kit]\ncutters = ["12 mm"]\n', ["paper"], events.put)
    last = until_made(events)[-1]
    assert last["result"] == "made", last["words"]
    assert any("None of your cutters passes the tail board's openings" in notice for notice in last["notices"])


@pytest.mark.parametrize("wanted", [[], ["everything"], ["corner", "../x"]])
def test_only_what_there_is_can_be_wanted(tmp_path: Path, wanted: list[str]) -> None:
    with pytest.raises(InputError, match="tick at least one of corner"):
        Making(tmp_path).start("tray", TRAY, wanted, lambda _: None)
