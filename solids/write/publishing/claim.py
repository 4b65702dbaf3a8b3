"""A folder held by one run at a time. The lock ends with the process, however that ends (`base/locks.py`)."""

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
"""How often we try to make and lock a folder before we conclude that somebody else keeps removing it."""

_held: dict[Path, Lock | None] = {}
"""The folders that this process holds, with their locks. It may claim a folder that it holds already."""


def _let_go() -> None:
    """A forked child shares the locks. If it outlived its parent with them, the folder would stay locked."""
    for held in _held.values():
        if held is not None:
            held.let_go()
    _held.update(dict.fromkeys(_held))


if sys.platform != "win32":
    os.register_at_fork(after_in_child=_let_go)


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Holds a folder for this process alone, and makes it if need be. FileError where another run holds it. A folder
    that is new and still empty at the end is removed again. The file system's own errors come out as OSError."""
    place = folder.absolute()
    if place in _held:
        yield
        return
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        # A signal waits until we know what was made and what is held.
        with signals_wait():
            _held[place] = _locked(folder)
        yield
    finally:
        with signals_wait():
            if place in _held:
                _end(_held.pop(place), new)


def _end(held: Lock | None, new: list[Path]) -> None:
    """Releases a folder and removes what is new and empty. A lock on the folder itself is released last, as another run
    may take the folder at once. A lock that is a file in the folder is released first: another run would have put its
    own file there, and then the folder stays."""
    if held and held.is_a_file:
        held.let_go()
    for path in new:
        with suppress(OSError):  # not empty, or already gone
            path.rmdir()
    if held and not held.is_a_file:
        held.let_go()


def _locked(folder: Path) -> Lock | None:
    """Locks a folder, and makes it if need be. Another run may remove it in between."""
    for _ in range(TRIES):
        folder.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            try:
                return lock(folder)
            except BlockingIOError:
                raise FileError(
                    f"{folder} is being written by another run. Wait until it has ended, or write to another folder"
                ) from None
    raise FileError(f"{folder} keeps disappearing. Wait until other runs have ended, or write to another folder")
