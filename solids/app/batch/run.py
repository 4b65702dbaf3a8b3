"""Runs tasks on any executor of `concurrent.futures`: local processes, or a cluster's scheduler."""

from __future__ import annotations

import logging
import multiprocessing
import os
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, wait
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import Any

from pebble import ProcessExpired, ProcessPool

from solids.app.batch.tasks import Task
from solids.app.batch.worker import Outcome, do_task, load_kernel, outcome_of
from solids.base.errors import InputError
from solids.base.findings import REPORT
from solids.base.scratch import sweep
from solids.base.signals import ignored_by_children

AHEAD = 4
"""How many tasks are queued per worker: enough to keep it busy, few enough that finished files take little memory."""

ADDRESS = re.compile(r"((tcp|tls|ws|wss|ucx)://)?[^\s/]+:\d+")

ANSWERS_WITHIN = 10.0
"""How long a scheduler may take for its first answer (s)."""

CHECK_EVERY = 2.0
"""How often we check that the cluster is still there (s)."""

GONE = "the scheduler went away; start one again and continue with --resume"

SAFE_PATH = "PYTHONSAFEPATH"

TASKS_A_WORKER = 5000
"""A worker is replaced after this many tasks, in case the kernel leaks memory."""


class TimedPool(Executor):
    """A pool of processes that each load the kernel once. If a task takes too long or crashes its process, only that
    task is lost and its worker is replaced. (The standard library's pool breaks as a whole.)"""

    def __init__(self, workers: int, limit_s: float) -> None:
        # Otherwise a new process looks for modules in the current folder first, where a stranger's may be. It stays
        # set until shutdown, as a worker may be replaced at any time.
        self._before = os.environ.get(SAFE_PATH)
        os.environ[SAFE_PATH] = "1"
        if sys.platform != "win32":
            # Otherwise the library starts this process with the first worker, and then lets Ctrl-C through again.
            from multiprocessing import resource_tracker

            resource_tracker.ensure_running()
        context: Any = multiprocessing.get_context("spawn")
        self._limit = limit_s
        self._pool: Any = ProcessPool(workers, max_tasks=TASKS_A_WORKER, initializer=load_kernel, context=context)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Schedules a call, as `Executor.submit` does."""
        # The first task starts the pool. Its workers, and the threads that replace them, then ignore Ctrl-C for good.
        with ignored_by_children():
            future: Future[Any] = self._pool.schedule(fn, args=args, kwargs=kwargs, timeout=self._limit)
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Ends the workers, at once if pending tasks are cancelled."""
        if cancel_futures:
            self._pool.stop()
        else:
            self._pool.close()
        if wait:
            self._pool.join()
            sweep()  # a stopped worker cannot remove its own scratch folders
        os.environ.pop(SAFE_PATH, None)
        if self._before is not None:
            os.environ[SAFE_PATH] = self._before


@dataclass(frozen=True)
class Crew:
    """An executor, its number of workers, and a check that it is still there."""

    executor: Executor
    workers: int
    is_there: Callable[[], bool] = lambda: True


@contextmanager
def executor_for(cluster: str, workers: int, limit_s: float) -> Iterator[Crew]:
    """The crew to work with: local processes, or a Dask scheduler at an address. InputError if none answers there."""
    if not cluster:
        pool = TimedPool(workers, limit_s)
        finished = False
        try:
            yield Crew(pool, workers)
            finished = True
        finally:
            pool.shutdown(cancel_futures=not finished)
        return
    try:
        from distributed import Client
    except ImportError:
        raise InputError("--cluster needs the package `distributed`; install halfpin[cluster]") from None
    if not ADDRESS.fullmatch(cluster):
        raise InputError(f"--cluster {cluster!r} is not an address; write one as in tcp://127.0.0.1:8786")
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # errors are reported joint by joint
    try:
        client: Any = Client(cluster, timeout=ANSWERS_WITHIN, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError, TimeoutError) as err:
        raise InputError(f"--cluster {cluster!r}: no scheduler answers there ({type(err).__name__})") from None
    try:
        count = sum(client.nthreads().values())
        if not count:
            raise InputError(f"--cluster {cluster!r}: the scheduler has no workers")
        executor = client.get_executor(pure=False, retries=2)
        yield Crew(executor, count, lambda: client.status in ("running", "connecting"))
    finally:
        client.close()


def outcomes(tasks: Sequence[Task], crew: Crew | None, *, check_only: bool, anyway: bool) -> Iterator[Outcome]:
    """Yields the outcome of each task as it finishes. Tasks that cannot be done are refused here, without a worker. If
    there is no crew, all tasks must be of that kind."""
    work = partial(do_task, check_only=check_only, anyway=anyway)
    waiting: dict[Future[Outcome], Task] = {}
    for task in tasks:
        if task.wrong or crew is None:
            yield outcome_of(task, "refused", task.wrong)
            continue
        while len(waiting) >= AHEAD * crew.workers:
            yield from _finished(waiting, crew)
        try:
            waiting[crew.executor.submit(work, task)] = task
        except Exception as err:  # each executor raises errors of its own
            yield outcome_of(task, "crashed", f"no worker took it: {type(err).__name__}: {str(err)[:200]}")
    while waiting:
        yield from _finished(waiting, crew)


def _finished(waiting: dict[Future[Outcome], Task], crew: Crew | None) -> Iterator[Outcome]:
    """Yields outcomes that are finished within CHECK_EVERY. If the crew is gone, yields all its tasks as crashed."""
    done, _ = wait(waiting, timeout=CHECK_EVERY, return_when=FIRST_COMPLETED)
    for future in done:
        yield _outcome(future, waiting.pop(future))
    if not done and crew and not crew.is_there():
        for task in waiting.values():
            yield outcome_of(task, "crashed", GONE)
        waiting.clear()


def _outcome(future: Future[Outcome], task: Task) -> Outcome:
    try:
        return future.result()
    except TimeoutError:
        return outcome_of(task, "too slow", "it took longer than --limit allows; try it by itself with halfpin check")
    except ProcessExpired as err:
        words = f"the process working on it ended ({err}). {REPORT}"
        return outcome_of(task, "crashed", words)
    except CancelledError:
        return outcome_of(task, "crashed", GONE)
    except Exception as err:
        return outcome_of(task, "crashed", f"{type(err).__name__}: {str(err)[:300]}")
