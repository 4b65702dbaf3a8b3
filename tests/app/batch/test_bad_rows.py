"""A run of many joints where some are bad: each bad one is one refused row, and harms no other."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import time
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest

from solids.app.batch import tasks
from solids.app.batch.index import csv_bytes
from solids.app.batch.ledger import LEDGER, Ledger
from solids.app.batch.tasks import Task, tasks_from
from solids.app.batch.worker import outcome_of
from solids.base.errors import InputError
from solids.recipe import preset_text, slug
from tests import commands

halfpin = partial(commands.halfpin, "batch")

GOOD = preset_text("tool-tray")
BAD: dict[bytes, bytes] = {
    b"deep-key.toml": b".".join([b"a"] * 3000) + b" = 1\n",
    b"deep-table.toml": b"[" + b".".join([b"a"] * 3000) + b"]\n",
    b"deep-list.toml": b"[kit]\nchisels = " + b"[" * 3000 + b"]" * 3000,
    b"deep-few.toml": b"a = " + b"{b=" * 300 + b"1" + b"}" * 300,
    b"huge-number.toml": b"[joint]\nwidth = 0x" + b"f" * 50_000,
    b"not-utf-8.toml": b"title = '\xff'",
    b"zeros.toml": bytes(5000),
    b"date.toml": b"title = 1979-05-27\n",
    b"number.toml": b"title = 5\n",
    b"lines.toml": b'title = "a\\nb"\n',
    b"surrogate.toml": b'title = "\\ud800"\n',
    b"large.toml": b"#" * 300_000,
    b"name-\xff.toml": GOOD.encode(),
    b"name-\xfe.toml": GOOD.encode(),
    b"esc-\x1b[2J.toml": b"title = ''",
    b"line\nbreak.toml": b"[joint",
}


@pytest.fixture(scope="module")
def listed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    """The rows of a run over bad files of every kind, and one that is good, by their origin."""
    folder = tmp_path_factory.mktemp("bad")
    for name, data in BAD.items():
        (folder / os.fsdecode(name)).write_bytes(data)
    (folder / "folder.toml").mkdir()
    (folder / "nowhere.toml").symlink_to(folder / "gone")
    os.mkfifo(folder / "pipe.toml")
    (folder / "good.toml").write_text(GOOD, "utf-8")
    done = halfpin(str(folder), "--out", str(folder / "out"), "--check", "--jobs", "1", timeout=100)
    assert done.returncode == 2, done.stderr
    text = io.StringIO((folder / "out" / "index.csv").read_bytes().decode("utf-8"), newline="")
    rows = list(csv.DictReader(text))
    assert len(rows) == len(BAD) + 4, "not one is lost"
    return {row["origin"]: row for row in rows}


@pytest.mark.whole
def test_the_good_one_is_done(listed: dict[str, dict[str, str]]) -> None:
    assert listed["good.toml"]["verdict"] == "passes"


def test_each_bad_one_is_a_refused_row_that_says_why(listed: dict[str, dict[str, str]]) -> None:
    bad = {origin: row for origin, row in listed.items() if origin != "good.toml"}
    # What is titled in the file itself is no worse for the file's name.
    named = {origin for origin in bad if origin.startswith("name-")}
    assert {row["verdict"] for origin, row in bad.items() if origin not in named} == {"refused"}
    assert all(row["message"] for row in bad.values() if row["verdict"] == "refused")
    assert "nested too deep" in bad["deep-key.toml"]["message"]
    assert "nested too deep" in bad["deep-few.toml"]["message"]
    assert "is a folder" in bad["folder.toml"]["message"]
    assert "is not an ordinary file" in bad["pipe.toml"]["message"]
    assert "5 is not a text" in bad["number.toml"]["message"]


def titled(value: str) -> str:
    return re.sub(r"^title = .*$", lambda _: f"title = {value}", GOOD, flags=re.MULTILINE)


def refusals(folder: Path, text: str, *grids: str) -> list[tuple[str, str]]:
    (folder / "t.csv").write_text(text, "utf-8", newline="")
    return [
        (task.origin, task.wrong) for task in tasks_from(str(folder / "t.csv"), "tool-tray", (), grids, ("corner",))
    ]


def test_a_bad_title_is_refused_in_the_words_of_check(tmp_path: Path) -> None:
    for title in ("\U0001f332", "x" * 81):
        (tmp_path / "one.toml").write_text(titled(f"'{title}'"), "utf-8")
        checked = commands.refused("check", str(tmp_path / "one.toml"))
        ((_, wrong),) = refusals(tmp_path, f"title\n{title}\n")
        assert wrong.startswith("title: ")
        assert wrong in checked


def test_a_title_that_is_no_text_is_not_made_one(tmp_path: Path) -> None:
    (tmp_path / "five.toml").write_text(titled("5"), "utf-8")
    (task,) = tasks_from(str(tmp_path), "", (), (), ("corner",))
    assert task.wrong.startswith("title: 5 is not a text")


def test_a_fraction_in_a_grid_is_still_a_folder_name(tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text("title\none\n", "utf-8")
    (task,) = tasks_from(str(tmp_path / "t.csv"), "tool-tray", (), ("joint.width=3 3/4 in",), ("corner",))
    assert (task.title, task.slug, task.wrong) == ("one, width 3 3/4 in", "one-width-3-3-4-in", "")


def test_one_that_is_refused_does_not_take_the_name_of_a_good_one(tmp_path: Path) -> None:
    found = refusals(tmp_path, "title,joint.width\none,\none,96\n")
    assert "is empty" in found[0][1]
    assert found[1] == ("t.csv, row 3", "")


@pytest.mark.parametrize("blank", ["\n", "\r\n", ",\n", " , \n", "\n\n\n"])
def test_blank_lines_do_not_shift_rows(blank: str, tmp_path: Path) -> None:
    """Row 1 has the heads; a spreadsheet counts blank rows too."""
    found = refusals(tmp_path, f"title,joint.width\n{blank}one,96\n{blank}two,96\n")
    lines = blank.count("\n")
    assert [origin for origin, _ in found] == [f"t.csv, row {2 + lines}", f"t.csv, row {3 + 2 * lines}"]
    assert all(not wrong for _, wrong in found)


def test_the_same_key_twice_in_grids_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"--grid: joint\.tails appears twice; give all its values in one"):
        refusals(tmp_path, "title\none\n", "joint.tails=3,4", "joint.tails=5")


@pytest.mark.parametrize("rows", [100_001, 1_000_000])
def test_a_table_of_too_many_rows_is_refused_before_it_is_worked_on(rows: int, tmp_path: Path) -> None:
    begun = time.perf_counter()
    with pytest.raises(InputError, match="a run takes at most 100000 joints; split it into several tables"):
        refusals(tmp_path, "title,joint.width\n" + "x,96\n" * rows)
    assert time.perf_counter() - begun < 2


def test_the_limit_holds_for_rows_times_grids_and_is_no_less(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks, "MOST_JOINTS", 6)
    rows = "title\none\ntwo\nthree\n"
    assert len(refusals(tmp_path, rows, "joint.tails=3,4")) == 6
    with pytest.raises(InputError, match="a run takes at most"):
        refusals(tmp_path, rows + "four\n", "joint.tails=3,4")


def test_a_table_of_many_megabytes_is_not_read(tmp_path: Path) -> None:
    with (tmp_path / "t.csv").open("wb") as file:
        file.write(b"title\none\n")
        file.truncate(10**12)
    with pytest.raises(InputError, match="is over 64 MB"):
        tasks_from(str(tmp_path / "t.csv"), "tool-tray", (), (), ("corner",))


# --- folders of their own ------------------------------------------------------------------------------


def folder_of(title: str) -> str:
    return Task("", title, "{}", (), ()).slug


@pytest.mark.parametrize(
    ("one", "other"), [("箱", "匣"), ("象 1", "像 1"), ("Коробка", "Шкатулка"), ("תיבה", "תבה"), ("箱 1", "箱 2")]
)
def test_titles_without_latin_letters_get_folders_of_their_own(one: str, other: str) -> None:
    assert folder_of(one) != folder_of(other)
    assert folder_of(one) == slug(one)
    assert folder_of(one).isascii()
    assert not folder_of(one).startswith("corner")


@pytest.mark.parametrize(
    ("title", "folder"),
    [
        ("Küche", "kuche"),
        ("tool tray", "tool-tray"),
        ("箱 A", "a"),
        ("12", "12"),
        ("!?", "corner"),
        ("aux", "aux-corner"),
    ],
)
def test_the_folders_of_other_titles_stay_as_they_were(title: str, folder: str) -> None:
    assert folder_of(title) == folder


def test_a_long_title_still_gives_a_name_that_a_disk_takes() -> None:
    assert len(folder_of("ﷺ" * 80)) < 200


# --- a ledger of a stranger ----------------------------------------------------------------------------

LINES = (
    {"hashes": []},
    {"hashes": {"../../x": 1}, "message": 5},
    {"warnings": [1]},
    {"title": ["x"]},
    {"size": [1]},
    {"seconds": "x"},
    {"key": None},
    {"lists": {"index.csv": [float("inf"), "x"]}},
    {"lists": []},
)


@pytest.mark.parametrize("change", LINES)
def test_a_line_of_a_ledger_that_is_not_ours_harms_nobody(change: dict[str, object], tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text("title,joint.width\none,96\n", "utf-8")
    (task,) = tasks_from(str(tmp_path / "t.csv"), "tool-tray", (), (), ("corner",))
    with closing(Ledger(tmp_path)) as ledger:
        ledger.put(outcome_of(task, "passes", ""))
    head, line = (tmp_path / LEDGER).read_text("utf-8").splitlines()
    (tmp_path / LEDGER).write_text(f"{head}\n{json.dumps({**json.loads(line), **change})}\n", "utf-8")
    with closing(Ledger(tmp_path)) as again:
        found = again.still_good(task, check_only=True, anyway=False)
        again.put_index({"index.csv": csv_bytes([found] if found else [], tmp_path)})
    assert "lists" in change or "hashes" in change or found is None


def test_a_line_that_is_ours_counts(tmp_path: Path) -> None:
    """The test above can fail."""
    with pytest.raises(AssertionError):
        test_a_line_of_a_ledger_that_is_not_ours_harms_nobody({}, tmp_path)
