"""A folder that one process holds: by the folder itself, and, as on Windows, by a file in it.

What filelock does on Windows can only be seen there. Here its lock of POSIX stands in, which is made to take its file
away when it lets go, as the one of Windows does.
"""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import filelock
import pytest

from solids.base import locks
from solids.base.errors import FileError
from solids.base.locks import NAME, Lock, lock, lock_by_file
from solids.base.scratch import PREFIX, scratch, sweep
from solids.write.publishing.claim import claimed
from solids.write.publishing.publish import publish
from tests.commands import whole
from tests.write.test_publish import NEW, OLD, TITLE

HOLDS = """
import sys
from pathlib import Path
from solids.base.locks import {name}
held = {name}(Path(sys.argv[1]))
print("held", flush=True)
sys.stdin.read()
"""


class AsOnWindows(filelock.UnixFileLock):
    def _release(self) -> None:
        super()._release()
        Path(self.lock_file).unlink(missing_ok=True)  # Windows does not let anybody take it away before


@pytest.fixture
def as_on_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(filelock, "FileLock", AsOnWindows)
    for module in ("solids.write.publishing.claim", "solids.base.scratch"):
        monkeypatch.setattr(f"{module}.lock", lock_by_file)


@pytest.fixture(params=[lock, lock_by_file])
def way(request: pytest.FixtureRequest, as_on_windows: None) -> Callable[[Path], Lock | None]:
    found: Callable[[Path], Lock | None] = request.param
    return found


class Other:
    """Another process, which holds a folder until it is killed."""

    def __init__(self, folder: Path, name: str) -> None:
        command = [sys.executable, "-c", HOLDS.format(name=name), str(folder)]
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        assert self.process.stdout
        assert self.process.stdout.readline() == b"held\n"

    def kill(self) -> None:
        self.process.kill()
        self.process.communicate()


def test_one_process_holds_it_and_nothing_is_left(tmp_path: Path, way: Callable[[Path], Lock | None]) -> None:
    held = way(tmp_path)
    assert held
    with pytest.raises(BlockingIOError):
        way(tmp_path)
    held.let_go()
    again = way(tmp_path)
    assert again
    again.let_go()
    assert list(tmp_path.iterdir()) == []


def test_it_goes_with_a_process_that_is_killed(tmp_path: Path, way: Callable[[Path], Lock | None]) -> None:
    other = Other(tmp_path, way.__name__)
    with pytest.raises(BlockingIOError):
        way(tmp_path)
    other.kill()
    held = way(tmp_path)
    assert held
    held.let_go()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("what", ["a file with words", "a link to one", "a link to nothing", "a folder"])
def test_what_is_not_ours_is_neither_emptied_nor_followed_nor_taken_away(tmp_path: Path, what: str) -> None:
    folder, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    folder.mkdir()
    if what == "a file with words":
        (folder / NAME).write_text("mine")
    elif what == "a folder":
        (folder / NAME).mkdir()
    else:
        (folder / NAME).symlink_to(elsewhere)
        if what == "a link to one":
            elsewhere.write_text("mine")
    before = sorted(path.name for path in tmp_path.iterdir())
    with pytest.raises(FileExistsError, match="is not of this tool"):
        lock_by_file(folder)
    assert (folder / NAME).is_symlink() == what.startswith("a link")
    if what in ("a file with words", "a link to one"):
        assert (folder / NAME).read_text() == "mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_a_folder_that_was_taken_away_and_made_anew_is_not_taken_for_the_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, real = tmp_path / "out", os.open
    folder.mkdir()

    def late(path: Path, *arguments: int) -> int:
        number = real(path, *arguments)
        folder.rename(tmp_path / "old")
        folder.mkdir()
        return number

    monkeypatch.setattr(os, "open", late)
    with pytest.raises(FileNotFoundError):
        lock(folder)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows locks no folder")
@pytest.mark.parametrize(
    ("number", "found"),
    [(errno.ENOLCK, None), (errno.EAGAIN, BlockingIOError), (errno.EACCES, BlockingIOError), (errno.EIO, OSError)],
)
def test_what_a_file_system_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, found: type[OSError] | None
) -> None:
    import fcntl

    def says(*_: object) -> None:
        raise OSError(number, "said")

    monkeypatch.setattr(fcntl, "flock", says)
    open_before = len(os.listdir("/dev/fd"))
    if found is None:
        assert lock(tmp_path) is None
    else:
        with pytest.raises(found, match="said"):
            lock(tmp_path)
    assert len(os.listdir("/dev/fd")) == open_before


# --- where a folder cannot be locked, as on Windows --------------------------------------------------


@pytest.mark.usefixtures("as_on_windows")
def test_a_set_is_put_there_whole_and_no_lock_is_left(tmp_path: Path) -> None:
    folder = tmp_path / "out" / "tray"
    publish(folder, TITLE, OLD)
    publish(folder, TITLE, NEW, lambda _: assert_held(folder))
    assert whole(folder) == NEW
    assert [path.name for path in tmp_path.rglob(".*")] == []


def assert_held(folder: Path) -> None:
    assert (folder / NAME).exists()


@pytest.mark.usefixtures("as_on_windows")
def test_another_run_is_told_and_writes_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "tray"
    publish(folder, TITLE, OLD)
    other = Other(folder, "lock_by_file")
    with pytest.raises(FileError, match=r"is being written by another run\. Wait until it has ended"):
        publish(folder, TITLE, NEW)
    other.kill()
    assert whole(folder) == {**OLD, NAME: b""}, "what a killed run leaves: an empty file that nobody holds"
    publish(folder, TITLE, NEW)
    assert whole(folder) == NEW


@pytest.mark.usefixtures("as_on_windows")
def test_a_new_folder_that_stays_empty_is_taken_away(tmp_path: Path) -> None:
    with claimed(tmp_path / "out" / "tray"):
        assert_held(tmp_path / "out" / "tray")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("as_on_windows")
def test_a_users_own_file_under_the_locks_name_is_told(tmp_path: Path) -> None:
    (tmp_path / NAME).write_text("mine")
    with pytest.raises(FileError, match=rf"{NAME} in it is not of this tool; move it away"):
        publish(tmp_path, TITLE, NEW)
    assert whole(tmp_path) == {NAME: b"mine"}


@pytest.mark.usefixtures("as_on_windows")
def test_a_folder_for_a_moment_is_swept_once_its_maker_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    left = tmp_path / f"{PREFIX}left"
    left.mkdir()
    (left / "large").write_bytes(bytes(1000))
    other = Other(left, "lock_by_file")
    with scratch() as folder:
        sweep()
        assert folder.is_dir()
        assert whole(left) == {NAME: b"", "large": bytes(1000)}, "its maker is there"
        other.kill()
        sweep()
        assert folder.is_dir()
        assert not left.exists()
    assert list(tmp_path.iterdir()) == []


def test_on_windows_a_folder_is_locked_by_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(locks.sys, "platform", "win32")
    held = lock(tmp_path)
    monkeypatch.undo()
    assert held
    assert held.is_a_file
    held.let_go()
