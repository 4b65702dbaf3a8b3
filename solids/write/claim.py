"""A folder held by one run at a time, and set right where an earlier run was killed in the middle of it.

The lock goes with the process, however that ends (`base/locks.py`).
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from solids.base.errors import FileError
from solids.base.locks import Lock, lock
from solids.base.signals import signals_wait

TRIES = 20
"""So often a folder is made and locked before it counts as one that somebody else takes away again and again."""

_held: dict[Path, Lock | None] = {}
"""The folders that this process holds, and their locks: who has one may claim it again."""


def _let_go() -> None:
    """A forked process shares the locks; were it to outlive the one that claimed, the folder would stay locked."""
    for held in _held.values():
        if held is not None:
            held.let_go()
    _held.update(dict.fromkeys(_held))


if sys.platform != "win32":
    os.register_at_fork(after_in_child=_let_go)


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Holds a folder, made if need be, for this process alone. FileError where another run has it. A folder that was
    not there before and is empty at the end is taken away again. OSError as the file system gives it."""
    place = folder.absolute()
    if place in _held:
        yield
        return
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        # A signal is heard once it is known what was made and what is held.
        with signals_wait():
            _held[place] = _locked(folder)
        yield
    finally:
        with signals_wait():
            if place in _held:
                _end(_held.pop(place), new)


def _end(held: Lock | None, new: list[Path]) -> None:
    """Lets go of a folder, and takes away what is new and empty: before that where the folder itself is locked, as
    another run may hold it at once; after it where the lock is a file in it, which that other run would have there."""
    if held and held.is_a_file:
        held.let_go()
    for path in new:
        with suppress(OSError):  # it is not empty, or gone
            path.rmdir()
    if held and not held.is_a_file:
        held.let_go()


def _locked(folder: Path) -> Lock | None:
    """The lock of a folder, which is made if need be. Another run may take its own folder away just before."""
    for _ in range(TRIES):
        folder.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            try:
                return lock(folder)
            except BlockingIOError:
                raise FileError(
                    f"{folder} is being written by another run. Wait until it has ended, or give another --out"
                ) from None
    raise FileError(f"{folder} comes and goes. Wait until other runs have ended, or give another --out")
