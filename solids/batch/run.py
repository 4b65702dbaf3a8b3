"""Works tasks off by any executor of `concurrent.futures`: processes of this machine, or a cluster's scheduler."""

from __future__ import annotations

import multiprocessing
import os
import re
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, wait
from contextlib import contextmanager
from functools import partial
from typing import Any

from pebble import ProcessExpired, ProcessPool

from solids.batch.tasks import Task
from solids.batch.work import Outcome, do_task, load_kernel, outcome_of
from solids.errors import InputError

AHEAD = 4
"""How many tasks wait for each worker: enough that none is idle, few enough that a million rows need no memory."""

ADDRESS = re.compile(r"((tcp|tls|ws|wss|ucx)://)?[^\s/]+:\d+")

TASKS_A_WORKER = 5000
"""After so many a worker is replaced, whatever the kernel may have kept of them."""


class TimedPool(Executor):
    """Processes that each load the kernel once. A task that takes too long, or that ends its process, costs itself
    alone: its worker is replaced. (The pool of the standard library gives up as a whole.)"""

    def __init__(self, workers: int, limit_s: float) -> None:
        context = multiprocessing.get_context("spawn")
        self._limit = limit_s
        self._pool: Any = ProcessPool(workers, max_tasks=TASKS_A_WORKER, initializer=load_kernel, context=context)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """As any executor does."""
        future: Future[Any] = self._pool.schedule(fn, args=args, kwargs=kwargs, timeout=self._limit)
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Ends the workers; at once where nothing more is wanted of them."""
        if cancel_futures:
            self._pool.stop()
        else:
            self._pool.close()
        if wait:
            self._pool.join()


@contextmanager
def executor_for(cluster: str, workers: int, limit_s: float) -> Iterator[tuple[Executor, int]]:
    """The executor to use and how many workers it has: processes here, or a Dask scheduler at an address. InputError
    where there is none."""
    if not cluster:
        pool = TimedPool(workers, limit_s)
        finished = False
        try:
            yield pool, workers
            finished = True
        finally:
            pool.shutdown(cancel_futures=not finished)
        return
    try:
        from distributed import Client
    except ImportError:
        raise InputError("--cluster needs the package `distributed`; install halfpin[cluster]") from None
    if not ADDRESS.fullmatch(cluster):
        raise InputError(f"--cluster {cluster!r} is no address; write one as in tcp://127.0.0.1:8786")
    try:
        client: Any = Client(cluster, timeout=10, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as err:
        raise InputError(f"--cluster {cluster!r}: no scheduler answers there ({type(err).__name__})") from None
    try:
        count = sum(client.nthreads().values())
        if not count:
            raise InputError(f"--cluster {cluster!r}: the scheduler has no workers")
        yield client.get_executor(pure=False, retries=2), count
    finally:
        client.close()


def cores() -> int:
    """How many processes can work at once."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def outcomes(
    tasks: Sequence[Task], executor: Executor | None, workers: int, *, check_only: bool, anyway: bool
) -> Iterator[Outcome]:
    """What comes of each task, as it comes. Rows that cannot be done never reach a worker; without an executor there
    must be no others."""
    work = partial(do_task, check_only=check_only, anyway=anyway)
    waiting: dict[Future[Outcome], Task] = {}
    for task in tasks:
        if task.wrong or executor is None:
            yield outcome_of(task, "refused", task.wrong)
            continue
        while len(waiting) >= AHEAD * workers:
            yield from _finished(waiting)
        waiting[executor.submit(work, task)] = task
    while waiting:
        yield from _finished(waiting)


def _finished(waiting: dict[Future[Outcome], Task]) -> Iterator[Outcome]:
    done, _ = wait(waiting, return_when=FIRST_COMPLETED)
    for future in done:
        yield _outcome(future, waiting.pop(future))


def _outcome(future: Future[Outcome], task: Task) -> Outcome:
    try:
        return future.result()
    except TimeoutError:
        return outcome_of(task, "too slow", "it took longer than --limit allows; try it alone with halfpin check")
    except ProcessExpired as err:
        words = f"the process that worked on it ended ({err}); please report it with the recipe"
        return outcome_of(task, "crashed", words)
    except CancelledError:
        return outcome_of(task, "crashed", "the cluster gave it up")
    except Exception as err:
        return outcome_of(task, "crashed", f"{type(err).__name__}: {str(err)[:300]}")
