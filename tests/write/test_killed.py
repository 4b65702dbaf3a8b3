"""A run that is killed at any moment of putting its files in place leaves one whole set behind, at the latest after the
next run; and two runs never mix theirs."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from solids.base.errors import FileError
from solids.write.publishing.publish import held, publish, still_there
from tests.commands import whole
from tests.write.test_publish import NEW, OLD, TITLE, a_set, failing_on_call

THIRD = a_set("third")
CALLS = ("replace", "fsync", "mkdir", "rmdir", "link", "unlink")
"""What publishing asks of the system one after the other; a kill may come before each."""


def run(work: Callable[[], None]) -> int:
    """The exit code of a process of its own that does the work."""
    child = multiprocessing.get_context("fork").Process(target=work)
    child.start()
    child.join()
    return child.exitcode or 0


def killed_at(folder: Path, number: int, *, failing: int | None = None) -> bool:
    """Publishes NEW in a process that dies before its call of a number; whether it got that far. `failing` is the move
    that fails first, so that the kill may come while files are put back."""

    def work() -> None:
        calls = iter(range(1_000))

        def dying(real: Callable[..., Any]) -> Callable[..., Any]:
            def instead(*args: Any, **kwargs: Any) -> Any:
                if next(calls) == number:
                    os._exit(9)
                return real(*args, **kwargs)

            return instead

        if failing is not None:
            os.replace = failing_on_call(failing, OSError("broken"), os.replace)
        for name in CALLS:
            setattr(os, name, dying(getattr(os, name)))
        try:
            publish(folder, TITLE, NEW)
        except FileError:
            os._exit(0)

    return run(work) == 9


@pytest.mark.parametrize("failing", [None, 0, 2, 3])
@pytest.mark.parametrize("there", [True, False])
@pytest.mark.whole
def test_after_a_kill_at_any_moment_the_next_run_finds_one_whole_set(
    tmp_path: Path, there: bool, failing: int | None
) -> None:
    number, forward = 0, 0
    while True:
        folder = tmp_path / str(number) / "tray"
        if there:
            publish(folder, TITLE, OLD)
        else:
            folder.mkdir(parents=True)
        (folder / "mine.txt").write_text("mine")
        if not killed_at(folder, number, failing=failing):
            break
        with held(folder):
            found = whole(folder)
        assert found.pop("mine.txt") == b"mine"
        assert found in (OLD if there else {}, NEW), f"killed before call {number}"
        forward += found == NEW
        publish(folder, TITLE, THIRD)
        assert whole(folder) == {**THIRD, "mine.txt": b"mine"}
        number += 1
    assert number > 10
    assert forward >= len(NEW), "once all are checked, the next run goes on, it does not go back"


@pytest.mark.whole
def test_what_the_maker_changed_after_a_kill_is_not_overwritten(tmp_path: Path) -> None:
    folder = tmp_path / "tray"
    publish(folder, TITLE, OLD)
    number = next(n for n in range(50) if killed_at(folder, n) and any(folder.glob(".halfpin-*/moves.json")))
    assert number
    (folder / "corner.step").write_bytes(b"mine")
    with pytest.raises(FileError, match=r"corner\.step was changed after an earlier run was cut off"):
        publish(folder, TITLE, THIRD)
    assert (folder / "corner.step").read_bytes() == b"mine"
    (folder / "corner.step").unlink()
    publish(folder, TITLE, THIRD)
    assert whole(folder) == THIRD


@pytest.mark.parametrize("names", [["../outside.txt"], ["/etc/passwd"], "corner.step", [1], [["corner.step"]]])
def test_a_list_of_moves_that_is_not_ours_leads_nowhere(tmp_path: Path, names: Any) -> None:
    import json

    folder = tmp_path / "tray"
    staging = folder / ".halfpin-x"
    (staging / "before").mkdir(parents=True)
    (tmp_path / "outside.txt").write_text("mine")
    (staging / "moves.json").write_text(json.dumps(names))
    (staging / "corner.step").write_text("planted")
    publish(folder, TITLE, NEW)
    assert whole(folder) == NEW
    assert (tmp_path / "outside.txt").read_text() == "mine"


def test_a_link_in_place_of_a_staging_folder_is_left_alone(tmp_path: Path) -> None:
    folder, elsewhere = tmp_path / "tray", tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "mine.txt").write_text("mine")
    folder.mkdir()
    (folder / ".halfpin-x").symlink_to(elsewhere)
    publish(folder, TITLE, NEW)
    assert (elsewhere / "mine.txt").read_text() == "mine"


def test_of_two_runs_at_once_one_is_told_and_the_other_s_set_is_whole(tmp_path: Path) -> None:
    folder = tmp_path / "tray"
    context = multiprocessing.get_context("fork")
    checking, done = context.Event(), context.Event()

    def first() -> None:
        publish(folder, TITLE, NEW, lambda _: (checking.set(), done.wait(30))[0])

    child = context.Process(target=first)
    child.start()
    assert checking.wait(30)
    with pytest.raises(FileError, match=r"is being written by another run\. Wait until it has ended"):
        publish(folder, TITLE, THIRD)
    done.set()
    child.join()
    assert child.exitcode == 0
    assert whole(folder) == NEW
    publish(folder, TITLE, THIRD)
    assert whole(folder) == THIRD


def test_the_lock_goes_with_a_process_that_is_killed(tmp_path: Path) -> None:
    folder = tmp_path / "tray"

    def work() -> None:
        with held(folder):
            os._exit(9)

    assert run(work) == 9
    with held(folder):
        assert still_there(folder, TITLE, []).names == []


@pytest.mark.parametrize("linked", ["the folder it goes to", "the folder it comes from", "the file itself"])
def test_a_list_of_moves_follows_no_link(tmp_path: Path, linked: str) -> None:
    """A folder may come from a stranger, who could have left an unfinished run in it."""
    folder, elsewhere = tmp_path / "tray", tmp_path / "elsewhere"
    staging = folder / ".halfpin-x"
    elsewhere.mkdir()
    (elsewhere / "mine.txt").write_text("mine")
    staging.mkdir(parents=True)
    (staging / "moves.json").write_text('["aids/mine.txt", "aids/planted.txt"]')
    if linked == "the folder it comes from":
        (staging / "aids").symlink_to(elsewhere)
    else:
        (staging / "aids").mkdir()
        (staging / "aids" / "planted.txt").write_text("planted")
    if linked == "the folder it goes to":
        (folder / "aids").symlink_to(elsewhere)
    if linked == "the file itself":
        (staging / "aids" / "mine.txt").symlink_to(elsewhere / "mine.txt")
    try:
        publish(folder, TITLE, NEW)
    except FileError as err:
        assert linked == "the folder it goes to"
        assert "aids is not an ordinary folder" in str(err)
    assert whole(elsewhere) == {"mine.txt": b"mine"}
    assert not (folder / "aids" / "mine.txt").is_symlink()


def test_a_helper_that_outlives_a_killed_run_does_not_keep_its_folder(tmp_path: Path) -> None:
    folder = tmp_path / "tray"
    reading, writing = os.pipe()
    begun, begins = os.pipe()

    def work() -> None:
        with held(folder):
            if os.fork() == 0:
                os.write(begins, b"x")
                os.close(writing)
                os.read(reading, 1)  # until the test lets it end
                os._exit(0)
            os._exit(9)

    try:
        assert run(work) == 9
        assert os.read(begun, 1) == b"x"
        with held(folder):
            assert still_there(folder, TITLE, []).names == []
    finally:
        for end in (writing, reading, begun, begins):
            os.close(end)


def test_a_folder_that_another_run_takes_away_just_then_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its lock would hold a folder that nobody finds any more."""
    folder, real, gone = tmp_path / "tray", os.open, []

    def late(path: Any, *arguments: Any, **more: Any) -> int:
        lock = real(path, *arguments, **more)
        if path == folder and not gone:
            gone.append(path)
            folder.rmdir()
        return lock

    monkeypatch.setattr(os, "open", late)
    publish(folder, TITLE, NEW)
    assert gone
    assert whole(folder) == NEW
