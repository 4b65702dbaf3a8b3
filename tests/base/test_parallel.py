"""Work dealt out to processes: the same results in the same order, errors raised, nobody left behind."""

from __future__ import annotations

import multiprocessing
import os
import signal
import struct
import subprocess
import sys
import threading
import time
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from solids.base.errors import FaultError, FileError, InputError
from solids.base.parallel import (
    WAITERS,
    WORTH_FORKING,
    _dealt,
    _fork,
    _received,
    meanwhile,
    parallel_map,
    waited_for,
)

MANY = list(range(3 * WORTH_FORKING + 1))

cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
several = pytest.mark.skipif(cores < 2 or sys.platform != "linux", reason="one core, or a system that does not fork")


def processes(items: list[int]) -> list[int]:
    return parallel_map(lambda _: os.getpid(), items)


@pytest.mark.parametrize("count", [0, 1, 2, WORTH_FORKING - 1, WORTH_FORKING, WORTH_FORKING + 1, 100])
def test_results_come_in_the_order_of_the_items(count: int) -> None:
    assert parallel_map(lambda item: item * item, range(count)) == [item * item for item in range(count)]


@several
def test_many_items_are_dealt_to_every_core_evenly() -> None:
    found = processes(MANY)
    shares = sorted(found.count(pid) for pid in set(found))
    assert len(shares) == cores
    assert shares[-1] - shares[0] <= 1
    assert os.getpid() in found


@several
def test_neither_every_second_item_nor_a_run_of_them_falls_to_one_process() -> None:
    found = processes(list(range(20 * cores)))
    assert len(set(found[::2])) > 1
    assert all(len(set(found[begin : begin + 4])) > 1 for begin in range(len(found) - 4))


def test_few_items_are_done_here() -> None:
    assert set(processes(list(range(WORTH_FORKING - 1)))) == {os.getpid()}


def test_with_other_threads_about_nothing_is_forked() -> None:
    """A fork takes over the locks that other threads hold, and not the threads."""
    done = threading.Event()
    thread = threading.Thread(target=done.wait)
    thread.start()
    try:
        assert set(processes(MANY)) == {os.getpid()}
    finally:
        done.set()
        thread.join()


def test_a_process_that_was_started_to_help_forks_no_further() -> None:
    receiving, sending = multiprocessing.get_context("fork").Pipe(duplex=False)
    child = multiprocessing.get_context("fork").Process(target=lambda: sending.send((os.getpid(), processes(MANY))))
    child.start()
    pid, found = receiving.recv()
    child.join()
    assert set(found) == {pid}


@pytest.mark.parametrize("error", [InputError("bad"), FileError("gone"), ValueError("odd")])
@pytest.mark.parametrize("bad", [0, 1, 2, 3, len(MANY) - 1])
def test_an_error_of_any_share_is_raised_here(error: Exception, bad: int) -> None:
    def work(item: int) -> int:
        if item == bad:
            raise error
        return item

    with pytest.raises(type(error), match=str(error)):
        parallel_map(work, MANY)
    assert multiprocessing.active_children() == []


@several
def test_a_process_that_dies_is_a_fault_of_ours_and_not_a_wait_for_ever() -> None:
    here = os.getpid()
    with pytest.raises(FaultError, match="has ended before"):
        parallel_map(lambda _: os.getpid() == here or os._exit(9), MANY)


@several
def test_results_larger_than_a_pipe_holds_come_through() -> None:
    found = parallel_map(lambda item: bytes([item]) * 300_000, MANY)
    assert [(data[0], len(data)) for data in found] == [(item, 300_000) for item in MANY]


def test_it_tells_of_the_items_of_this_process_and_then_of_those_of_others() -> None:
    told: list[int] = []
    found = parallel_map(lambda _: os.getpid(), MANY, told.append)
    own = [item for item in MANY if found[item] == os.getpid()]
    assert told[: len(own)] == own
    assert sorted(told) == sorted(MANY)


@several
def test_an_error_here_does_not_wait_for_the_others() -> None:
    here, started = os.getpid(), time.monotonic()

    def work(_: int) -> None:
        if os.getpid() == here:
            raise InputError("bad")
        time.sleep(60)

    with pytest.raises(InputError):
        parallel_map(work, MANY)
    assert time.monotonic() - started < 30
    assert multiprocessing.active_children() == []


@several
def test_ctrl_c_ends_all_of_them(tmp_path: Path) -> None:
    """As a terminal sends it: to every process of the group."""
    script = tmp_path / "long.py"
    script.write_text(
        "import signal, time\n"
        "from solids.base.parallel import parallel_map\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "print('ready', flush=True)\n"
        "parallel_map(lambda _: time.sleep(2), range(60))\n"
    )
    with subprocess.Popen(
        [sys.executable, script], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "ready\n"
        time.sleep(0.5)
        os.killpg(run.pid, signal.SIGINT)
        _, said = run.communicate(timeout=30)
    assert said.count("KeyboardInterrupt") == 1, "the others say nothing"
    with pytest.raises(ProcessLookupError):
        os.killpg(run.pid, 0)


@pytest.mark.parametrize("count", [0, 1, 2, WAITERS, 3 * WAITERS])
def test_each_item_is_waited_for_once(count: int) -> None:
    done: list[int] = []
    waited_for(done.append, range(count))
    assert sorted(done) == list(range(count))


def test_items_that_wait_for_each_other_are_waited_for_at_once() -> None:
    together, before = threading.Barrier(WAITERS, timeout=60), threading.active_count()
    waited_for(lambda _: together.wait(), range(WAITERS))
    assert threading.active_count() == before


def test_an_error_and_a_signal_are_heard_once_all_have_ended() -> None:
    done: list[int] = []

    def work(item: int) -> None:
        if item == 1:
            os.kill(os.getpid(), signal.SIGINT)
            raise FileError("no more room")
        time.sleep(0.1)
        done.append(item)

    with pytest.raises(KeyboardInterrupt):
        waited_for(work, range(4))
    assert sorted(done) == [0, 2, 3]
    with pytest.raises(FileError, match="no more room"):
        waited_for(lambda item: done.append(item) if item else _raise(), range(4))
    assert sorted(done) == [0, 1, 2, 2, 3, 3]


def _raise() -> None:
    raise FileError("no more room")


@several
def test_what_takes_long_goes_to_one_share_and_all_of_its_kind_that_loads_for_long_to_another() -> None:
    """A paper takes 28 hundredths of a second, the first drawing 17 and a further one 1, and a model 3: by hand, over
    two shares, the paper and one model against the drawings and the rest."""
    times = {"paper": ("pdf", 0.19, 0.09), "model": ("step", 0.0, 0.03), "drawing": ("dxf", 0.16, 0.01)}
    items = ["model", "paper", "drawing", "model", "drawing", "model", "model", "model"]
    dealt = _dealt([times[item] for item in items], 2)
    assert [[items[place] for place in places] for places in dealt] == [
        ["paper", "model"],
        ["model", "drawing", "model", "drawing", "model", "model"],
    ]


# --- meanwhile -------------------------------------------------------------------------------------------


@several
def test_another_process_works_and_hears_what_it_is_told_later() -> None:
    with meanwhile(lambda hear: (os.getpid(), hear())) as other:
        assert other is not None
        other.tell("proved")
        pid, heard = other.result()
    assert (pid != os.getpid(), heard) == (True, "proved")
    assert multiprocessing.active_children() == []


@several
@pytest.mark.parametrize("does_hear", [True, False])
def test_neither_waits_for_ever_for_the_other_to_take_what_it_sends(does_hear: bool) -> None:
    """Far more than a pipe holds, both ways at once."""
    with meanwhile(lambda hear: (hear() if does_hear else b"")[:1] + bytes(5_000_000)) as other:
        assert other is not None
        other.tell(bytes(5_000_000))
        assert len(other.result()) == 5_000_000 + does_hear


@several
def test_what_goes_wrong_meanwhile_is_raised_here() -> None:
    def work(_: object) -> None:
        raise InputError("the paper is too small")

    with meanwhile(work) as other:
        assert other is not None
        with pytest.raises(InputError, match="too small"):
            other.result()


@several
def test_a_process_that_dies_while_it_answers_is_a_fault_of_ours_too() -> None:
    def half_an_answer(own: Connection) -> None:
        os.write(own.fileno(), struct.pack("!i", 1000) + b"some of the 1000 bytes")
        os._exit(9)

    process, results = _fork(half_an_answer)
    with results, pytest.raises(FaultError, match="has ended before"):
        _received(results)
    process.join()


@several
def test_one_that_has_died_is_a_fault_of_ours() -> None:
    with meanwhile(lambda _: os._exit(9)) as other:
        assert other is not None
        time.sleep(0.2)
        other.tell(bytes(1_000_000))
        with pytest.raises(FaultError, match="has ended before"):
            other.result()


@several
def test_work_that_nobody_asks_for_ends_with_the_block() -> None:
    started = time.monotonic()
    with pytest.raises(InputError), meanwhile(lambda hear: hear()):
        raise InputError("the joint fails its proof")
    assert multiprocessing.active_children() == []
    assert time.monotonic() - started < 30


def test_with_other_threads_about_no_process_works_meanwhile() -> None:
    done = threading.Event()
    thread = threading.Thread(target=done.wait)
    thread.start()
    try:
        with meanwhile(lambda hear: hear()) as other:
            assert other is None
    finally:
        done.set()
        thread.join()
