"""Folders for a moment are gone when their process is, however it ends."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import Future
from pathlib import Path

import pytest

from solids.app.batch.run import TimedPool
from solids.base.parallel import parallel_map
from solids.base.scratch import PREFIX, scratch, sweep
from tests.commands import MAIN

HEARS_CTRL_C = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"
"""Tests may be run in the background, where processes are born deaf to it."""


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where such folders are made in a test, and nothing else is."""
    folder = tmp_path / "moments"
    folder.mkdir()
    monkeypatch.setenv("TMPDIR", str(folder))
    return folder


def run(work: Callable[[], None]) -> None:
    child = multiprocessing.get_context("fork").Process(target=work)
    child.start()
    child.join()


def stay_in_a_folder(seconds: float = 60.0) -> None:
    with scratch() as folder:
        (folder / "large").write_bytes(bytes(1000))
        time.sleep(seconds)


def die_in_a_folder() -> None:
    with scratch() as folder:
        (folder / "large").write_bytes(bytes(1000))
        os._exit(9)


def test_it_is_gone_at_the_end_also_after_an_error(place: Path) -> None:
    def work() -> None:
        with scratch() as folder:
            (folder / "below").mkdir()
            assert folder.parent == place
            raise ValueError("here")

    with pytest.raises(ValueError, match="here"):
        work()
    assert list(place.iterdir()) == []


def test_what_a_killed_process_left_is_swept_and_nothing_else(place: Path, tmp_path: Path) -> None:
    run(die_in_a_folder)
    (left,) = place.iterdir()
    (place / "mine").mkdir()
    (tmp_path / "elsewhere").mkdir()
    (place / f"{PREFIX}link").symlink_to(tmp_path / "elsewhere")
    (place / f"{PREFIX}file").write_text("mine")
    with scratch() as folder:
        sweep()
        assert folder.exists(), "it is in use"
    assert not left.exists()
    assert {path.name for path in place.iterdir()} == {"mine", f"{PREFIX}link", f"{PREFIX}file"}
    assert (tmp_path / "elsewhere").exists()


def test_one_that_is_swept_before_it_is_locked_is_made_again(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, swept = os.open, []

    def late(path: Path, *arguments: int, **more: int | None) -> int:
        lock = real(path, *arguments, **more)
        if not swept and PREFIX in str(path):
            swept.append(path)
            path.rmdir()
        return lock

    monkeypatch.setattr(os, "open", late)
    with scratch() as folder:
        assert folder.is_dir()
        assert folder not in swept
    assert list(place.iterdir()) == []


@pytest.mark.whole
def test_a_joint_that_is_too_slow_leaves_nothing(place: Path) -> None:
    pool = TimedPool(1, 3.0)
    future: Future[None] = pool.submit(stay_in_a_folder)
    with pytest.raises(TimeoutError):
        future.result(60)
    assert len(list(place.iterdir())) == 1, "the worker that was stopped could not take it away"
    pool.shutdown()
    assert list(place.iterdir()) == []


@pytest.mark.whole
def test_a_pool_that_is_stopped_leaves_nothing(place: Path) -> None:
    pool = TimedPool(2, 60.0)
    for _ in range(4):
        pool.submit(stay_in_a_folder)
    waited = time.monotonic()
    while len(list(place.iterdir())) < 2 and time.monotonic() - waited < 30:
        time.sleep(0.02)
    assert len(list(place.iterdir())) == 2
    pool.shutdown(cancel_futures=True)
    assert list(place.iterdir()) == []


def test_work_that_is_shared_out_leaves_nothing_when_one_share_fails(place: Path) -> None:
    def work(number: int) -> None:
        if multiprocessing.parent_process() is None:
            while not list(place.iterdir()):
                time.sleep(0.01)
            raise ValueError("here")
        stay_in_a_folder()

    if len(os.sched_getaffinity(0)) < 2:
        pytest.skip("one core: nothing is shared out")
    with pytest.raises(ValueError, match="here"):
        parallel_map(work, range(8))
    assert list(place.iterdir()) == []


@pytest.mark.parametrize(
    ("command", "number", "code"),
    [
        ("build", signal.SIGINT, 130),
        ("aids", signal.SIGTERM, 143),
        ("batch", signal.SIGINT, 130),
        ("batch", signal.SIGTERM, 143),
    ],
)
@pytest.mark.whole
def test_a_command_that_is_stopped_leaves_nothing(
    place: Path, tmp_path: Path, command: str, number: int, code: int
) -> None:
    """Stopped as soon as it has a folder of its own, in the place for moments or in the joint's folder."""
    (tmp_path / "joints.csv").write_text("title,joint.width\n" + "".join(f"n{n},{96 + n}\n" for n in range(40)))
    out = tmp_path / "out"
    arguments = ["joints.csv", "--jobs", "2", "--files", "model"] if command == "batch" else ["tool-tray"]
    arguments += ["--model"] if command == "build" else []
    with subprocess.Popen(
        [sys.executable, "-c", HEARS_CTRL_C + MAIN, command, *arguments, "--out", str(out)],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    ) as process:
        while process.poll() is None and not (list(place.iterdir()) or list(out.rglob(".halfpin-*"))):
            time.sleep(0.001)
        os.killpg(process.pid, number) if number == signal.SIGINT else process.send_signal(number)
        said = process.communicate(timeout=60)[0]
    assert process.returncode == code, said
    assert "Traceback" not in said
    assert list(place.iterdir()) == []
    assert not list(out.rglob(".halfpin-*"))
