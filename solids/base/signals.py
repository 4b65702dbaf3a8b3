"""Lets work that must not be cut in half finish before Ctrl-C, or a request to end the process, takes effect."""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

WAITING_SIGNALS = [signal.SIGINT, signal.SIGTERM]
if sys.platform == "win32":
    WAITING_SIGNALS.append(signal.SIGBREAK)
else:
    WAITING_SIGNALS.append(signal.SIGHUP)


@contextmanager
def signals_wait(numbers: Sequence[int] = WAITING_SIGNALS) -> Iterator[None]:
    """Lets Ctrl-C, and a request to end the process, wait until what is inside is done. It takes milliseconds."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    before = {number: signal.signal(number, lambda n, _: came.append(n)) for number in numbers}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        for number in came:
            signal.raise_signal(number)


@contextmanager
def ignored_by_children(numbers: Sequence[int] = (signal.SIGINT,)) -> Iterator[None]:
    """Processes started inside begin by ignoring some signals: above all Ctrl-C, which is for their parent to handle.
    What arrives meanwhile takes effect at the end. (Python has hooks of its own round a fork, and what a signal raises
    in one of them is lost.)"""
    if sys.platform == "win32":  # no signal reaches a new process there but by its console
        yield
        return
    # The mask is this thread's and goes on to the new process. Another thread of ours may take the signal all the same.
    with signals_wait(numbers):
        before = signal.pthread_sigmask(signal.SIG_BLOCK, numbers)
        try:
            yield
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)
