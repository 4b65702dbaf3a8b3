"""What must not be cut in half comes to its end before a signal is heard."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from pebble import ProcessExpired

from solids.app.batch.run import TimedPool
from solids.base.parallel import parallel_map
from solids.base.signals import ignored_by_children, signals_wait
from tests.commands import CORNER_FILES, MAIN, ended, halfpin, names_below


def interrupted(done: list[bool]) -> None:
    with signals_wait():
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.01)
        done.append(True)


def test_ctrl_c_waits_until_what_is_inside_is_done() -> None:
    done: list[bool] = []
    with pytest.raises(KeyboardInterrupt):
        interrupted(done)
    assert done == [True]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_nothing_is_raised_where_no_signal_came() -> None:
    with signals_wait():
        pass
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_thread_beside_the_main_one_is_left_alone() -> None:
    """Only the main thread of a process may set how signals are heard."""
    outcome: list[str] = []

    def work() -> None:
        with signals_wait():
            outcome.append("done")

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert outcome == ["done"]


STOPPED_WHILE_MOVING = """
import os, signal, sys
import solids.write.publishing.publish as publish
real, moves = os.replace, []
def replace(source, target):
    real(source, target)
    moves.append(target)
    if len(moves) == 3:
        os.kill(os.getpid(), {signal})
publish.os.replace = replace
from solids.app.cli import main
main()
"""


@pytest.mark.parametrize(("number", "code"), [("signal.SIGINT", 130), ("signal.SIGTERM", 128 + 15)])
@pytest.mark.whole
def test_a_signal_while_files_are_moved_leaves_them_whole(number: str, code: int, tmp_path: Path) -> None:
    """All of them are the new ones, and no staging folder is left."""
    done = ended(STOPPED_WHILE_MOVING.format(signal=number), "build", "tool-tray", "--out", str(tmp_path))
    assert done.returncode == code
    assert "Traceback" not in done.stderr
    folder = tmp_path / "tool-tray"
    assert names_below(folder) == CORNER_FILES
    assert not list(folder.glob(".halfpin-*"))
    again = halfpin("build", "tool-tray", "--out", str(tmp_path))
    assert again.returncode == 0


HEARS = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"

LOADING = """
import sys
class Finder:
    def find_spec(self, name, *_):
        if name == {name!r}:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Finder())
"""


@pytest.mark.parametrize(
    "name", ["solids.app.cli.steps.way_out", "solids.app.cli.commands.group", "click", "solids.app.terminal"]
)
def test_ctrl_c_while_the_command_loads_ends_it_without_a_traceback(name: str) -> None:
    code = LOADING.format(name=name) + MAIN
    done = subprocess.run([sys.executable, "-c", code, "--help"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "")


@pytest.mark.skipif(sys.platform != "linux", reason="a pipe that is full soon, as Linux gives")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_reader_that_does_not_read_keeps_nobody(number: int, tmp_path: Path) -> None:
    """What was said waits in a pipe that is full; the second signal ends the wait, without a traceback."""
    import fcntl

    reading, writing = os.pipe()
    fcntl.fcntl(writing, fcntl.F_SETPIPE_SZ, 4096)
    with (tmp_path / "told").open("w+b") as told:
        process = subprocess.Popen(
            [sys.executable, "-c", HEARS + MAIN, "schema", "report"], stdout=writing, stderr=told
        )
        os.close(writing)
        until = time.monotonic() + 30
        while process.poll() is None and time.monotonic() < until:
            time.sleep(1.0)
            process.send_signal(number)
        assert process.wait(30) in (-number, 128 + number)
        told.seek(0)
        assert b"Traceback" not in told.read()
    os.close(reading)


def mask_of(number: int) -> int:
    (line,) = (line for line in Path(f"/proc/{number}/status").read_text().splitlines() if line.startswith("SigBlk"))
    return int(line.split()[1], 16)


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells which signals a process is deaf to")
@pytest.mark.whole
def test_a_worker_is_deaf_to_ctrl_c_from_its_first_moment_and_so_is_the_one_that_replaces_it() -> None:
    """It reaches every process of a terminal, and one that is still loading would end with a traceback."""
    pool = TimedPool(1, 30.0)
    try:
        first = pool.submit(os.getpid).result(60)
        assert mask_of(first) & 1 << (signal.SIGINT - 1)
        with pytest.raises(ProcessExpired):
            pool.submit(os._exit, 9).result(60)
        second = pool.submit(os.getpid).result(60)
        assert second != first
        assert mask_of(second) & 1 << (signal.SIGINT - 1)
    finally:
        pool.shutdown()
    assert not mask_of(os.getpid()) & 1 << (signal.SIGINT - 1)


@pytest.mark.skipif(sys.platform != "linux", reason="/proc tells which signals a process is deaf to")
def test_a_forked_helper_is_deaf_to_ctrl_c(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solids.base.parallel.cores", lambda: 2)
    masks = parallel_map(lambda _: (os.getpid(), mask_of(os.getpid()) & 1 << (signal.SIGINT - 1)), range(8))
    assert {bool(mask) for number, mask in masks if number != os.getpid()} <= {True}
    assert {bool(mask) for number, mask in masks if number == os.getpid()} == {False}


@pytest.mark.skipif(not hasattr(os, "register_at_fork"), reason="nothing is forked here")
def test_a_wish_to_end_that_comes_while_a_helper_is_forked_is_heard(monkeypatch: pytest.MonkeyPatch) -> None:
    """What a signal raises in a hook round a fork would be lost, and the command would run on to its end."""
    hooks: list[int] = []

    def hook() -> None:
        if hooks:
            os.kill(os.getpid(), hooks.pop())

    def end(*_: object) -> None:
        raise InterruptedError

    os.register_at_fork(after_in_parent=hook)
    monkeypatch.setattr("solids.base.parallel.cores", lambda: 2)
    before = signal.signal(signal.SIGTERM, end)
    try:
        hooks.append(signal.SIGTERM)
        with pytest.raises(InterruptedError):
            parallel_map(lambda item: item, range(8))
    finally:
        signal.signal(signal.SIGTERM, before)
    assert multiprocessing.active_children() == []


def test_ctrl_c_while_helpers_start_is_heard_afterwards() -> None:
    begun: list[bool] = []

    def work() -> None:
        with ignored_by_children():
            os.kill(os.getpid(), signal.SIGINT)
            begun.append(True)

    with pytest.raises(KeyboardInterrupt):
        work()
    assert begun == [True]


REWORDED = """
from solids.app.cli.commands.group import cli
from solids.app.cli.steps import way_out
def work(**_):
    try:
        way_out._terminate({number}, None)
    except BaseException as err:
        err.args = ("while drawing a paragraph",)
        raise
cli.main = work
way_out.main(cli)
"""


@pytest.mark.parametrize("number", [1, 15])
def test_a_wish_to_end_that_a_library_has_put_its_own_words_into_is_still_known(number: int) -> None:
    """As the PDF library does with whatever comes while it sets a paragraph."""
    code = REWORDED.format(number=number)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (128 + number, "")
