"""A temporary folder, for programs that know files only. It goes with the process that made it, however that ends: what
a killed process leaves behind, the next sweep removes.

Each folder is locked by its maker (`locks.py`). A lock goes with its process, so a folder that nobody holds is a
leftover.
"""

from __future__ import annotations

import os
import shutil
import stat
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path

from solids.base.locks import Lock, lock
from solids.base.signals import signals_wait

PREFIX = "halfpin-scratch-"
MEMORY = "/dev/shm"  # noqa: S108  a folder of its own is made there


def place() -> Path:
    """Where such folders are made: where TMPDIR says, else in memory, where a system has such a place. (The standard
    library tries a place by writing to it, and a process that is stopped just then leaves what it wrote.)"""
    for folder in (os.environ.get("TMPDIR"), MEMORY):
        if folder and os.access(folder, os.W_OK | os.X_OK):
            return Path(folder).absolute()
    return Path(tempfile.gettempdir())


@contextmanager
def scratch() -> Iterator[Path]:
    """A new folder, gone at the end."""
    _swept_once()
    folder, held = None, None
    try:
        # A signal is heard once both names are set, so that what is made is known.
        with signals_wait():
            folder, held = _made()
        yield folder
    finally:
        with signals_wait():
            if folder is not None:
                _take_away(folder, held)


def sweep() -> None:
    """Takes away folders whose makers are gone. It costs a look at one folder's names."""
    with suppress(OSError):
        for folder in place().glob(f"{PREFIX}*"):
            with suppress(OSError):
                held = lock(folder) if _is_mine(folder) else None
                if held:
                    _take_away(folder, held)


@cache
def _swept_once() -> None:
    """On a cluster's machine nobody else sweeps behind a worker that was killed."""
    sweep()


def _made() -> tuple[Path, Lock | None]:
    """A folder and its lock. A sweep may come between the two; then the next folder is taken."""
    while True:
        folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=place()))
        with suppress(FileNotFoundError, BlockingIOError):
            return folder, lock(folder)


def _is_mine(folder: Path) -> bool:
    """Whether it is a folder of this user's, and no link to one. On Windows the place itself is the user's own."""
    found = folder.lstat()
    return stat.S_ISDIR(found.st_mode) and (sys.platform == "win32" or found.st_uid == os.getuid())


def _take_away(folder: Path, held: Lock | None) -> None:
    """Removes a folder and lets go of it. A lock that is a file in it goes last, and the empty folder with it."""
    shutil.rmtree(folder, ignore_errors=True)
    if held:
        held.let_go()
        with suppress(OSError):
            folder.rmdir()
