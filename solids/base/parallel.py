"""Work on many items at once: on all cores, by further processes, as the geometry kernel holds Python's lock; and in
threads, where the work is to wait for a disk. And work in another process while this one goes on."""

from __future__ import annotations

import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import cache
from multiprocessing.connection import Connection
from typing import Any, Generic, TypeVar

from solids.base.errors import FaultError
from solids.base.scratch import sweep
from solids.base.signals import WAITING_SIGNALS, ignored_by_children, signals_wait

Item = TypeVar("Item")
Result = TypeVar("Result")

WORTH_FORKING = 6
"""From this many items on, another process saves more than it costs."""

WAITERS = 16
"""So many threads wait for a disk at once, which then takes many files to itself in one go."""


def waited_for(work: Callable[[Item], object], items: Sequence[Item]) -> None:
    """`work(item)` for each item, at once in threads, for work that waits. A signal is heard once all have ended, and
    so is the first error of any. (`concurrent.futures` would do it too, and takes 10 ms to load.)"""
    left, failed = iter(items), list[Exception]()

    def share() -> None:
        for item in left:  # each goes to one thread
            try:
                work(item)
            except Exception as err:
                failed.append(err)

    others = [threading.Thread(target=share) for _ in items[1:WAITERS]]
    with signals_wait():
        for other in others:
            other.start()
        share()
        for other in others:
            other.join()
    if failed:
        raise failed[0]


def cores() -> int:
    """How many processes can work at once: the cores that this one may use, where a system tells."""
    if sys.platform == "linux":
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


Takes = tuple[str, float, float]
"""How long an item takes (s): its kind, what the first of that kind takes besides in any process, as its library loads,
and what each takes."""


def alike(_: object) -> Takes:
    """Of items that take about as long."""
    return "", 0.0, 1.0


def parallel_map(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    tell: Callable[[Item], None] = lambda _: None,
    takes: Callable[[Item], Takes] = alike,
) -> list[Result]:
    """`[work(item) for item in items]`, in shares, one for each core: one share here, the others in forked processes,
    which have everything that this one has loaded and made. `takes` helps to make shares even. Results must pickle;
    an error of any share is raised here. `tell` is called with each item, for other shares once they are done. With
    few items, one core, other threads that a fork would leave behind, or a system that does not fork, all are done
    here."""
    shares = cores() if len(items) >= WORTH_FORKING and _may_fork() else 1
    own, *others = _dealt([takes(item) for item in items], shares)
    forked: list[tuple[list[int], multiprocessing.Process, Connection]] = []
    found: dict[int, Result] = {}
    try:
        with ignored_by_children(WAITING_SIGNALS):
            forked += [(places, *_fork(_doing(work, [items[place] for place in places]))) for places in others]
        for place in own:
            tell(items[place])
            found[place] = work(items[place])
        for places, _, results in forked:
            found.update(zip(places, _received(results), strict=True))
            for place in places:
                tell(items[place])
    finally:
        for _, process, results in forked:
            results.close()
            process.terminate()
            process.join()
        if forked:
            sweep()
    return [found[place] for place in range(len(items))]


def _doing(work: Callable[[Item], Result], items: Sequence[Item]) -> Callable[[Connection], list[Result]]:
    return lambda _: [work(item) for item in items]


def _dealt(takes: Sequence[Takes], shares: int) -> list[list[int]]:
    """The places of the items that each share is dealt: the longest first, each to the share that is done with it
    soonest."""
    dealt: list[list[int]] = [[] for _ in range(shares)]
    busy, kinds = [0.0] * shares, [set[str]() for _ in range(shares)]
    longest_first = sorted(range(len(takes)), key=lambda place: -sum(takes[place][1:]))
    for turn, place in enumerate(longest_first):
        kind, first, each = takes[place]
        ends = [load + each + (0.0 if kind in known else first) for load, known in zip(busy, kinds, strict=True)]
        # Items that take as long are dealt back and forth, as every second of them may be a little heavier.
        back = turn // shares % 2
        number = min(range(shares), key=lambda share: (ends[share], -share if back else share))
        dealt[number].append(place)
        busy[number] = ends[number]
        kinds[number].add(kind)
    return [sorted(places) for places in dealt]


class Meanwhile(Generic[Result]):
    """A process at work while this one goes on. It is told one thing, if anything, and then gives its result."""

    def __init__(self, connection: Connection) -> None:
        self._connection, self._told = connection, False

    def tell(self, what: object) -> None:
        """Tells it what it may be waiting for. `what` must pickle."""
        self._told = True
        with suppress(OSError):  # if it is gone, its result says so
            self._connection.send(what)

    def result(self) -> Result:
        """What its work gives, or the error that ended it. FaultError where it has died."""
        if not self._told:
            self.tell(None)
        found: Result = _received(self._connection)
        return found


@contextmanager
def meanwhile(work: Callable[[Callable[[], Any]], Result]) -> Iterator[Meanwhile[Result] | None]:
    """Begins `work` in a forked process, which ends with the block. The work is given a function that waits for what
    this process will tell. The result must pickle. None with one core, other threads that a fork would leave behind, or
    a system that does not fork."""
    if cores() == 1 or not _may_fork():
        yield None
        return

    def told_and_done(connection: Connection) -> Result:
        hear = cache(connection.recv)
        try:
            return work(hear)
        finally:
            hear()  # or each would wait for the other to take what it sends

    begun: list[tuple[multiprocessing.Process, Connection]] = []
    try:
        with ignored_by_children(WAITING_SIGNALS):
            begun.append(_fork(told_and_done))
        yield Meanwhile(begun[0][1])
    finally:
        for process, connection in begun:
            connection.close()
            process.terminate()
            process.join()
        sweep()


def _may_fork() -> bool:
    """Not in a process that is itself a helper."""
    return sys.platform == "linux" and threading.active_count() == 1 and multiprocessing.parent_process() is None


def _fork(work: Callable[[Connection], object]) -> tuple[multiprocessing.Process, Connection]:
    """A process that sends the result of `work`, which gets its end of the connection."""
    fork: Any = multiprocessing.get_context("fork")  # a type that only some systems have
    here, there = fork.Pipe()
    process = fork.Process(target=_forked, args=(work, here, there), daemon=True)
    process.start()
    there.close()
    return process, here


def _forked(work: Callable[[Connection], object], parents: Connection, own: Connection) -> None:
    """What a forked process does. Ctrl-C reaches it too, but is for its parent to handle. It ignores that signal, and
    from here on no other."""
    for number in WAITING_SIGNALS:
        signal.signal(number, signal.SIG_IGN if number == signal.SIGINT else signal.SIG_DFL)
    if sys.platform != "win32":
        signal.pthread_sigmask(signal.SIG_UNBLOCK, set(WAITING_SIGNALS) - {signal.SIGINT})
    parents.close()
    try:
        answer: tuple[bool, object] = (True, work(own))
    except Exception as err:
        answer = (False, err)
    with suppress(OSError):  # who asked may be gone
        own.send_bytes(_pickled(answer))
    own.close()


def _pickled(answer: tuple[bool, object]) -> bytes:
    """An answer that can be taken in, or that it cannot."""
    try:
        data = pickle.dumps(answer)
        if isinstance(answer[1], Exception):
            pickle.loads(data)  # noqa: S301  our own; one that wants more than a message does not come back
    except Exception:
        return pickle.dumps((False, FaultError(f"{type(answer[1]).__name__}: {answer[1]}")))
    return data


def _received(results: Connection) -> Any:
    try:
        good, answer = results.recv()
    except (EOFError, OSError):  # of what it was sending, a part may have come
        raise FaultError("a process that was to help has ended before its work was done") from None
    if not good:
        raise answer
    return answer
