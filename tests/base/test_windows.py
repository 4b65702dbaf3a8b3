"""What Windows does otherwise, as far as it can be played here: errors are raised as it raises them, and the calls that
only POSIX has are taken away. That Windows raises them so can only be seen there."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import pytest

from solids.app.recipe_files import write_new
from solids.base import windows
from solids.base.errors import FileError
from solids.base.parallel import cores, parallel_map
from solids.base.windows import WINDOWS_PATH_LONGEST, is_reserved, move
from solids.recipe import slug
from solids.write.publishing.publish import publish, still_there
from tests.commands import MAIN, ended, whole
from tests.write.test_publish import NEW, OLD, TITLE

OPEN_ELSEWHERE = "The process cannot access the file because it is being used by another process"


@pytest.fixture
def on_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(windows, "PATIENCE_S", (0.0, 0.0, 0.0, 0.0))
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr("solids.write.publishing.claim.lock", lambda _: None)


def busy(monkeypatch: pytest.MonkeyPatch, name: str, times: int) -> list[Path]:
    """Moves to a file of this name fail so many times, as where a program has it open; what was tried."""
    tried: list[Path] = []
    real = os.replace

    def replace(source: Any, target: Any) -> None:
        if Path(target).name == name:
            tried.append(target)
            if len(tried) <= times:
                raise PermissionError(13, OPEN_ELSEWHERE, str(source), None, str(target))
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    return tried


# --- moves -------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("on_windows")
def test_a_file_that_is_open_for_some_moments_is_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish(tmp_path, TITLE, OLD)
    tried = busy(monkeypatch, "corner.step", 4)
    publish(tmp_path, TITLE, NEW)
    assert len(tried) == 5
    assert whole(tmp_path) == NEW


@pytest.mark.usefixtures("on_windows")
def test_a_file_that_stays_open_is_named_and_the_old_set_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish(tmp_path, TITLE, OLD)
    busy(monkeypatch, "corner.step", 5)
    with pytest.raises(FileError) as told:
        publish(tmp_path, TITLE, NEW)
    assert str(told.value) == (
        f"{tmp_path} cannot be written: {OPEN_ELSEWHERE}. Close {tmp_path / 'corner.step'} where another program "
        "shows it, and try again; nothing was changed"
    )
    assert whole(tmp_path) == OLD


def test_elsewhere_nothing_is_tried_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a").write_text("a")
    tried = busy(monkeypatch, "b", 1)
    if sys.platform == "win32":
        pytest.skip("it is, on Windows")
    with pytest.raises(PermissionError):
        move(tmp_path / "a", tmp_path / "b")
    assert len(tried) == 1


@pytest.mark.usefixtures("on_windows")
def test_what_another_program_has_open_in_a_staging_folder_spoils_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A virus scanner looks at the copies of what was replaced, which are taken away last."""
    publish(tmp_path, TITLE, OLD)
    held = [True]
    real = os.unlink

    def unlink(path: Any, *arguments: Any, **more: Any) -> None:
        if held[0] and Path(path).name == "moves.json":
            raise PermissionError(13, OPEN_ELSEWHERE, str(path))
        real(path, *arguments, **more)

    monkeypatch.setattr(os, "unlink", unlink)
    publish(tmp_path, TITLE, NEW)
    held[0] = False
    publish(tmp_path, TITLE, NEW)
    assert whole(tmp_path) == NEW


# --- paths and names ---------------------------------------------------------------------------------


@pytest.mark.usefixtures("on_windows")
@pytest.mark.parametrize("letters", [WINDOWS_PATH_LONGEST, WINDOWS_PATH_LONGEST + 1])
def test_a_path_that_is_too_long_is_told_as_that(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, letters: int) -> None:
    """Windows says only that it cannot find the path. 260 letters, with the closing zero, is its limit."""
    path = "C:\\out\\".ljust(letters - len("\\corner.step"), "x") + "\\corner.step"
    assert len(path) == letters

    def new_staging(_: Path) -> Path:
        raise FileNotFoundError(2, "The system cannot find the path specified", path)

    monkeypatch.setattr("solids.write.publishing.publish._new_staging", new_staging)
    with pytest.raises(FileError) as told:
        publish(tmp_path, TITLE, NEW)
    words = "take a folder with a shorter path, or a shorter title"
    long = f"has {letters} letters, and Windows takes 259: {words}" in str(told.value)
    assert long == (letters > 259)


LONGEST_OF_OURS = ".halfpin-abcdefgh/before/back-left-corner-aids/marking-template-milled-1-8.step"


@pytest.mark.parametrize("title", ["walnut " * 11 + "box", "小" * 80, "㎯" * 80, "ﷺ" * 40 + "a"])
def test_a_title_leaves_room_for_the_path_to_it(title: str) -> None:
    """259 - 87 of the folder - 2 slashes - 79 of our longest name leave 91. C:\\Users\\, a name of 20 letters,
    Documents and exports take 47 of them."""
    assert len(slug(title)) <= 87
    assert 259 - len(slug(title)) - 2 - len(LONGEST_OF_OURS) >= 47


@pytest.mark.parametrize(
    ("title", "folder"),
    [
        ("CON", "con-corner"),
        ("nul", "nul-corner"),
        ("Aux.", "aux-corner"),
        ("COM1 ", "com1-corner"),
        ("com\u00b9", "com1-corner"),
        ("lpt9...", "lpt9-corner"),
        ("console", "console"),
        ("com10", "com10"),
        ("box. ", "box"),
    ],
)
def test_no_folder_is_called_like_a_device_nor_ends_in_a_point(title: str, folder: str) -> None:
    assert slug(title) == folder


@pytest.mark.parametrize("name", ["con", "NUL.toml", "com1.tar.gz", "lpt\u00b2", "aux .txt", "CONIN$"])
def test_names_of_devices(name: str) -> None:
    assert is_reserved(name)
    assert not is_reserved(f"my-{name}")


@pytest.mark.parametrize("platform", ["win32", "linux"])
def test_a_recipe_is_not_written_to_a_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, platform: str) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    file = tmp_path / "nul.toml"
    if platform == "win32":
        with pytest.raises(FileError, match=r"nul\.toml is the name of a device on Windows; give another name"):
            write_new(file, "x")
    else:
        write_new(file, "x")
    assert file.exists() == (platform != "win32")


@pytest.mark.parametrize("name", ["..\\outside.txt", "C:outside.txt", "C:\\outside.txt", "aids\\x.stl", "a:stream"])
def test_a_list_of_moves_has_no_way_out_on_windows(tmp_path: Path, name: str) -> None:
    """Here such a name is one of a file in the folder, so that its being moved would be seen."""
    import json

    staging = tmp_path / ".halfpin-x"
    (staging / "before").mkdir(parents=True)
    (staging / "moves.json").write_text(json.dumps([name]))
    (staging / name).write_text("planted")
    publish(tmp_path, TITLE, NEW)
    assert whole(tmp_path) == NEW


def test_a_report_has_no_way_out_on_windows(tmp_path: Path) -> None:
    import hashlib
    import json

    publish(tmp_path, TITLE, NEW)
    report = json.loads((tmp_path / "report.json").read_text())
    for name in ("..\\outside.txt", "mine.txt"):
        (tmp_path / name).write_text("mine")
        digest = hashlib.sha256(b"mine").hexdigest()
        report["files"].append({"name": name, "holds": "", "bytes": 4, "sha256": digest, "cautions_in": ""})
    (tmp_path / "report.json").write_text(json.dumps(report))
    assert "..\\outside.txt" not in still_there(tmp_path, TITLE, NEW).names


# --- without what only POSIX has -----------------------------------------------------------------------


POOL = """
import multiprocessing.resource_tracker, os, sys
os.environ["TMPDIR"] = {folder!r}  # an empty place, so that no leftover of another run is locked as Windows locks
from solids.app.batch.run import TimedPool
def ensure_running():
    raise ModuleNotFoundError("No module named '_posixsubprocess'")
multiprocessing.resource_tracker.ensure_running = ensure_running
sys.platform = {platform!r}
TimedPool(1, 60.0).shutdown(cancel_futures=True)
"""


def test_a_pool_asks_for_no_process_that_windows_has_not(tmp_path: Path) -> None:
    """The library's process that watches over shared memory is started by a module of POSIX."""
    assert ended(POOL.format(folder=str(tmp_path), platform="win32")).returncode == 0
    other = ended(POOL.format(folder=str(tmp_path), platform="linux"))
    assert "_posixsubprocess" in other.stderr, "the test would see it"


def test_all_is_done_here_where_nothing_can_be_forked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solids.base.parallel.cores", lambda: 2)
    monkeypatch.setattr(sys, "platform", "darwin")
    assert set(parallel_map(lambda _: os.getpid(), range(20))) == {os.getpid()}


def test_cores_are_counted_on_any_system(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    monkeypatch.setattr(sys, "platform", "darwin")
    assert cores() == 1


def test_no_other_program_may_take_the_port_of_the_page() -> None:
    """On Windows the option means just that (Microsoft, Using SO_REUSEADDR and SO_EXCLUSIVEADDRUSE); elsewhere it lets
    a port be used again at once."""
    script = "import socket, sys; from solids.app.desk.serving.start import held_port; sys.platform = {!r}; "
    for platform, reuse in (("win32", False), ("linux", True)):
        done = ended(script.format(platform) + "print(held_port(0).getsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR))")
        assert done.stdout.strip() == str(int(reuse)), done.stderr


BARE = """
import os, signal, sys
import filelock
import solids.base.windows
sys.modules["fcntl"] = None
for place, names in ((os, ("fork", "sched_getaffinity", "getuid", "geteuid", "register_at_fork", "O_DIRECTORY")),
                     (signal, ("pthread_sigmask", "SIG_BLOCK", "SIG_UNBLOCK", "SIGHUP"))):
    for name in names:
        delattr(place, name)
del sys.setdlopenflags, sys.getdlopenflags

class AsOnWindows(filelock.FileLock):
    def _release(self):
        super()._release()
        os.path.exists(self.lock_file) and os.unlink(self.lock_file)

filelock.FileLock = AsOnWindows
sys.platform = "win32"
from solids.app.cli import main
main()
"""


@pytest.mark.parametrize("command", ["build", "paper", "aids"])
@pytest.mark.whole
def test_files_are_the_same_without_what_only_posix_has(tmp_path: Path, command: str) -> None:
    """No fork, no lock of folders, no affinity of cores, no mask of signals, and the branches for Windows taken."""
    more = ("--only", "marking-template") if command == "aids" else ()
    made = {}
    for name, script in (("bare", BARE), ("here", MAIN)):
        (tmp_path / f"{name} moments").mkdir()  # a place of its own: who locks otherwise would sweep it
        where = {"TMPDIR": str(tmp_path / f"{name} moments")}
        done = ended(script, command, "tool-tray", *more, "--out", str(tmp_path / name), **where)
        assert (done.returncode, done.stderr) == (0, "")
        made[name] = whole(tmp_path / name)
        assert list((tmp_path / f"{name} moments").iterdir()) == []
    assert made["bare"] == made["here"]
    assert len(made["here"]) > 2
