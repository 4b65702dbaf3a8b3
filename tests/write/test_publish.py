"""A set of files goes to disk whole or not at all, and never over anything that is not ours."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from solids.base.errors import FileError, ReadBackError
from solids.write.publishing.publish import Kept, held, publish, still_there, try_folder
from solids.write.report import NAME, SCHEMA_ID, make_report, sha256
from tests.commands import contents
from tests.corners import layout_of

TITLE = "tool tray"


def a_set(version: str, title: str = TITLE) -> dict[str, bytes]:
    """Three files and their report, as one run of the tool would make them."""
    files = {f"{name}.step": f"{name} {version}".encode() for name in ("corner", "tail-board", "pin-board")}
    listed = [
        {"name": name, "holds": "a board", "bytes": len(data), "sha256": sha256(data)} for name, data in files.items()
    ]
    report = {"schema": SCHEMA_ID, "title": title, "files": listed, "version": version}
    return {**files, NAME: json.dumps(report).encode()}


OLD, NEW = a_set("old"), a_set("new")
MOVES = len(NEW)


def no_check(_: Path) -> None:
    """Everything reads back."""


def nothing_is_left_in(parent: Path) -> bool:
    return not [path for path in parent.iterdir() if path.name != "tray"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "out" / "tray"


@pytest.fixture
def old(folder: Path) -> Path:
    publish(folder, TITLE, OLD, no_check)
    return folder


def failing_on_call(number: int, error: BaseException, real: Callable[..., Any]) -> Callable[..., Any]:
    """`real`, but its call of this number (from 0) raises once."""
    calls = iter(range(1_000))

    def instead(*args: Any, **kwargs: Any) -> Any:
        if next(calls) == number:
            raise error
        return real(*args, **kwargs)

    return instead


# --- what goes well --------------------------------------------------------------------------------


def test_all_files_appear_with_their_bytes_and_no_staging_folder_stays(folder: Path) -> None:
    publish(folder, TITLE, NEW, no_check)
    assert contents(folder) == NEW
    assert nothing_is_left_in(folder.parent)


def test_unchanged_files_of_ours_are_replaced(old: Path) -> None:
    publish(old, TITLE, NEW, no_check)
    assert contents(old) == NEW
    assert nothing_is_left_in(old.parent)


def test_files_under_other_names_are_not_touched(old: Path) -> None:
    (old / "my notes.txt").write_text("mine")
    publish(old, TITLE, NEW, no_check)
    assert contents(old) == {**NEW, "my notes.txt": b"mine"}


def test_a_file_of_ours_that_was_deleted_comes_back(old: Path) -> None:
    (old / "pin-board.step").unlink()
    publish(old, TITLE, NEW, no_check)
    assert contents(old) == NEW


def test_a_file_that_holds_the_very_bytes_to_be_written_is_no_obstacle(folder: Path) -> None:
    folder.mkdir(parents=True)
    (folder / "corner.step").write_bytes(NEW["corner.step"])
    publish(folder, TITLE, NEW, no_check)
    assert contents(folder) == NEW


def test_the_check_sees_all_files_before_any_is_in_place(folder: Path) -> None:
    seen: dict[str, bytes] = {}

    def check(staging: Path) -> None:
        assert list(folder.iterdir()) == [staging], "inside the folder: on the same disk, so that moves are atomic"
        seen.update(contents(staging))

    publish(folder, TITLE, NEW, check)
    assert seen == NEW


def test_the_report_is_moved_last_whatever_the_order_given(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    moved: list[str] = []
    replace = os.replace
    monkeypatch.setattr(os, "replace", lambda a, b: (moved.append(Path(b).name), replace(a, b)))
    publish(folder, TITLE, dict(reversed(NEW.items())), no_check)
    assert sorted(moved) == sorted(NEW)
    assert moved[-1] == NAME


# --- all or none -----------------------------------------------------------------------------------


@pytest.mark.parametrize("error", [ReadBackError("it differs"), KeyboardInterrupt(), OSError(errno.EIO, "broken")])
def test_where_the_check_raises_what_was_there_stays_whole(old: Path, error: BaseException) -> None:
    def check(_: Path) -> None:
        raise error

    with pytest.raises((ReadBackError, KeyboardInterrupt, FileError)):
        publish(old, TITLE, NEW, check)
    assert contents(old) == OLD
    assert nothing_is_left_in(old.parent)


@pytest.mark.parametrize("number", range(MOVES))
@pytest.mark.parametrize(
    ("error", "raised"),
    [(OSError(errno.EACCES, "Permission denied"), FileError), (KeyboardInterrupt(), KeyboardInterrupt)],
)
def test_where_a_move_fails_half_way_the_earlier_ones_are_put_back(
    monkeypatch: pytest.MonkeyPatch, old: Path, number: int, error: BaseException, raised: type[BaseException]
) -> None:
    (old / "pin-board.step").unlink()  # so that one of the moves replaces nothing
    before = contents(old)
    monkeypatch.setattr(os, "replace", failing_on_call(number, error, os.replace))
    with pytest.raises(raised):
        publish(old, TITLE, NEW, no_check)
    assert contents(old) == before
    assert nothing_is_left_in(old.parent)


@pytest.mark.parametrize("number", range(MOVES))
def test_a_folder_that_was_not_there_is_not_there_after_a_failure(
    monkeypatch: pytest.MonkeyPatch, folder: Path, number: int
) -> None:
    monkeypatch.setattr(os, "replace", failing_on_call(number, KeyboardInterrupt(), os.replace))
    with pytest.raises(KeyboardInterrupt):
        publish(folder, TITLE, NEW, no_check)
    assert not folder.parent.exists()


@pytest.mark.parametrize("number", range(MOVES))
def test_a_full_disk_leaves_what_was_there_and_says_so(monkeypatch: pytest.MonkeyPatch, old: Path, number: int) -> None:
    full = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    monkeypatch.setattr(os, "fsync", failing_on_call(number, full, os.fsync))
    with pytest.raises(FileError, match=os.strerror(errno.ENOSPC) + ".*nothing was changed"):
        publish(old, TITLE, NEW, no_check)
    assert contents(old) == OLD
    assert nothing_is_left_in(old.parent)


def test_where_the_out_folder_is_a_file_the_error_names_it(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(FileError, match="out"):
        publish(tmp_path / "out" / "tray", TITLE, NEW, no_check)
    assert (tmp_path / "out").read_text() == "a file"


# --- what is not ours ------------------------------------------------------------------------------


def refused(folder: Path, match: str, files: Mapping[str, bytes] = NEW, title: str = TITLE) -> None:
    with pytest.raises(FileError, match=match):
        publish(folder, title, files, no_check)
    assert nothing_is_left_in(folder.parent)


@pytest.mark.parametrize("name", [name for name in NEW if name != NAME])
def test_a_file_of_someone_else_is_refused_and_stays(folder: Path, name: str) -> None:
    folder.mkdir(parents=True)
    (folder / name).write_text("mine")
    refused(folder, "was not written by this tool")
    assert contents(folder) == {name: b"mine"}


@pytest.mark.parametrize("name", [name for name in NEW if name != NAME])
def test_a_file_of_ours_that_was_changed_since_is_refused_and_stays(old: Path, name: str) -> None:
    (old / name).write_bytes(OLD[name] + b" and my own lines")
    before = contents(old)
    refused(old, "was changed since it was written")
    assert contents(old) == before


def test_a_folder_of_another_title_is_refused(old: Path) -> None:
    refused(old, "holds the files of 'tool tray', not of 'Tool-tray'", a_set("new", "Tool-tray"), "Tool-tray")
    assert contents(old) == OLD


FOREIGN_REPORTS = {
    "another tool's": b'{"schema": "urn:other:1", "title": "tool tray", "files": []}',
    "no schema": b'{"title": "tool tray", "files": []}',
    "no title": json.dumps({"schema": SCHEMA_ID, "files": []}).encode(),
    "files of another form": json.dumps({"schema": SCHEMA_ID, "title": TITLE, "files": [1]}).encode(),
    "a list": b"[1, 2]",
    "a number": b"12",
    "no JSON": b"my report",
    "no text": b"\xff\xfe\x00",
    "empty": b"",
    "nested without end": b"[" * 100_000,
    "a size beyond all numbers": json.dumps({"schema": SCHEMA_ID, "title": TITLE, "files": [{"name": "a.stl"}]})
    .replace('"a.stl"', '"a.stl", "bytes": 1e999, "sha256": "0"')
    .encode(),
}


@pytest.mark.parametrize("kind", FOREIGN_REPORTS)
def test_a_report_that_is_not_ours_is_refused_and_stays(folder: Path, kind: str) -> None:
    folder.mkdir(parents=True)
    (folder / NAME).write_bytes(FOREIGN_REPORTS[kind])
    refused(folder, "is not a report of this tool")
    assert contents(folder) == {NAME: FOREIGN_REPORTS[kind]}


@pytest.mark.parametrize("name", NEW)
def test_a_folder_under_a_files_name_is_refused(old: Path, name: str) -> None:
    (old / name).unlink()
    (old / name).mkdir()
    (old / name / "inside").write_text("mine")
    refused(old, name)
    assert (old / name / "inside").read_text() == "mine"


@pytest.mark.parametrize("leads", ["to our bytes", "nowhere"])
@pytest.mark.parametrize("name", NEW)
def test_a_symbolic_link_under_a_files_name_is_refused_and_stays(
    tmp_path: Path, old: Path, name: str, leads: str
) -> None:
    elsewhere = tmp_path / "elsewhere"
    (old / name).unlink()
    if leads == "to our bytes":
        elsewhere.write_bytes(OLD[name])
    (old / name).symlink_to(elsewhere)
    refused(old, str(old))
    assert (old / name).is_symlink()
    assert not elsewhere.exists() or elsewhere.read_bytes() == OLD[name]


def test_a_file_under_the_folders_name_is_refused_and_stays(folder: Path) -> None:
    folder.parent.mkdir()
    folder.write_text("mine")
    refused(folder, "a folder is needed")
    assert folder.read_text() == "mine"


# --- what stays ------------------------------------------------------------------------------------


def with_report(folder: Path, change: Callable[[dict[str, Any]], Any]) -> None:
    """Changes the report of a folder by hand."""
    report = json.loads((folder / NAME).read_bytes())
    change(report)
    (folder / NAME).write_text(json.dumps(report), "utf-8")


def test_files_of_ours_that_are_not_made_anew_stay(old: Path) -> None:
    kept = still_there(old, TITLE, ["corner.step"])
    assert kept.names == ["tail-board.step", "pin-board.step"]
    for name in kept.names:
        record = kept.records[name]
        assert (record.name, record.holds, record.stale) == (name, "a board", False)
        assert (record.bytes, record.sha256) == (len(OLD[name]), sha256(OLD[name]))


def test_nothing_stays_where_all_is_made_anew_or_nothing_was_there(folder: Path, old: Path) -> None:
    assert still_there(old, TITLE, OLD).names == []
    assert still_there(folder.parent / "elsewhere", TITLE, []).names == []
    assert not (folder.parent / "elsewhere").exists()


@pytest.mark.parametrize(
    "change",
    [
        lambda path: path.unlink(),
        lambda path: path.write_bytes(path.read_bytes() + b" and mine"),
        lambda path: path.write_bytes(path.read_bytes().swapcase()),
        lambda path: (path.rename(path.with_suffix(".was")), path.symlink_to(path.with_suffix(".was"))),
        lambda path: (path.unlink(), path.mkdir()),
    ],
    ids=["deleted", "longer", "of the same size", "a link to itself elsewhere", "a folder"],
)
def test_what_is_no_longer_as_it_was_written_does_not_stay(old: Path, change: Callable[[Path], Any]) -> None:
    change(old / "tail-board.step")
    assert still_there(old, TITLE, ["corner.step"]).names == ["pin-board.step"]


@pytest.mark.parametrize(
    "name", ["../elsewhere.txt", "inside/deep/own.txt", "inside/../own.txt", "..", ".", "", "inside"]
)
def test_a_listed_name_outside_the_folder_is_ignored(tmp_path: Path, old: Path, name: str) -> None:
    data = b"mine"
    (old.parent / "elsewhere.txt").write_bytes(data)
    (old / "inside" / "deep").mkdir(parents=True)
    for path in (old / "own.txt", old / "inside" / "deep" / "own.txt"):
        path.write_bytes(data)
    item = {"name": name, "holds": "x", "bytes": len(data), "sha256": sha256(data)}
    with_report(old, lambda report: report["files"].append(item))
    assert still_there(old, TITLE, OLD).names == []


def test_an_absolute_name_is_ignored(old: Path) -> None:
    path = old.parent / "elsewhere.txt"
    path.write_bytes(b"mine")
    item = {"name": str(path), "holds": "x", "bytes": 4, "sha256": sha256(b"mine")}
    with_report(old, lambda report: report["files"].append(item))
    assert still_there(old, TITLE, OLD).names == []


def test_what_is_there_of_another_title_or_of_another_tool_is_refused(old: Path) -> None:
    with pytest.raises(FileError, match="holds the files of 'tool tray', not of 'tea box'"):
        still_there(old, "tea box", [])
    with_report(old, lambda report: report.update(schema="urn:other:1"))
    with pytest.raises(FileError, match="is not a report of this tool"):
        still_there(old, TITLE, [])


@pytest.mark.parametrize(
    "change",
    [
        lambda item: item.update(colour="red"),
        lambda item: item.pop("holds"),
        lambda item: item.update(stale="a little"),
        lambda item: item.update(holds=None),
        lambda item: item.update(bytes=str(item["bytes"])),
    ],
    ids=["a key more", "a key less", "no yes or no", "no text", "a number as text"],
)
def test_a_list_of_files_of_another_form_is_told_of_or_passed_over_and_no_fault_of_ours(
    old: Path, change: Callable[[dict[str, Any]], Any]
) -> None:
    with_report(old, lambda report: change(report["files"][1]))
    try:
        kept = still_there(old, TITLE, ["corner.step"])
    except FileError as err:
        assert "is not a report of this tool" in str(err)
    else:
        assert set(kept.names) <= {"tail-board.step", "pin-board.step"}


def as_old(stale: bool, **change: Any) -> Kept:
    """What stays of a folder whose report is that of the tool tray, or with other tables."""
    now = make_report(layout_of()).model_dump(mode="json", by_alias=True)
    tables = {**now, **change}
    record = {"name": "drawing.svg", "holds": "x", "bytes": 1, "sha256": sha256(b"x"), "stale": stale}
    whole = make_report(layout_of()).model_validate({**now, "files": [record]})
    return Kept({"drawing.svg": whole.files[0]}, tables["recipe"], tables["tool"])


@pytest.mark.parametrize(
    ("was", "change", "stale"),
    [
        (False, {}, False),
        (True, {}, True),
        (False, {"tool": {"name": "halfpin", "version": "0.0.1"}}, True),
        (False, {"recipe": {"title": "tool tray"}}, True),
        (False, {"recipe": None}, True),
        (False, {"tool": None}, True),
        (False, {"layout": {}}, False),
    ],
)
def test_what_stays_is_stale_where_it_was_or_where_recipe_or_version_changed(
    was: bool, change: dict[str, Any], stale: bool
) -> None:
    now = make_report(layout_of())
    assert as_old(was, **change).record("drawing.svg", now).stale is stale


def test_any_key_of_the_recipe_makes_what_stays_stale_but_notices_do_not() -> None:
    kept = as_old(False)
    assert not kept.record(
        "drawing.svg", make_report(layout_of()).model_copy(update={"notices": ("a letter is lacking",)})
    ).stale
    for override in ("joint.width=97", "tail_board.sawn=quarter", "kit.knife=0.7", 'climate.shop="19 C, 50 %"'):
        assert kept.record("drawing.svg", make_report(layout_of("tool-tray", override))).stale, override


def test_a_trial_leaves_everything_as_it_was(tmp_path: Path, old: Path) -> None:
    before = contents(old)
    try_folder(old, TITLE)
    try_folder(tmp_path / "new" / "tray", TITLE)
    with held(old):  # by this run, or by another that may have ended by then
        try_folder(old, TITLE)
    assert contents(old) == before
    assert list(tmp_path.iterdir()) == [old.parent]


def test_a_trial_tells_what_writing_would_tell(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, old: Path) -> None:
    before = contents(old)
    (tmp_path / "file").write_text("mine")

    def no_right(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), "here")

    def told(do: Callable[[], None]) -> str:
        with pytest.raises(FileError) as caught:
            do()
        return str(caught.value)

    for folder in (tmp_path / "file", tmp_path / "file" / "tray"):
        assert told(lambda: try_folder(folder, TITLE)) == told(lambda: publish(folder, TITLE, NEW))  # noqa: B023
    assert told(lambda: try_folder(old, "another")) == told(lambda: publish(old, "another", NEW))
    monkeypatch.setattr(Path, "mkdir", no_right)
    for folder in (old, tmp_path / "new"):
        said = told(lambda: try_folder(folder, TITLE))  # noqa: B023
        assert said == told(lambda: publish(folder, TITLE, NEW))  # noqa: B023
        assert "Permission denied; nothing was changed" in said
    assert contents(old) == before
