"""A folder for a moment, for programs that know files only. It goes with the process that made it, however that ends:
what a killed one could not take away, the next sweep does.

Each folder is locked by its maker. A lock goes with its process, so a folder that nobody holds is left over.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path

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
    folder, lock = None, None
    try:
        # A signal is heard once both names are set, so that what is made is known.
        with signals_wait():
            folder, lock = _made()
        yield folder
    finally:
        with signals_wait():
            if folder is not None:
                shutil.rmtree(folder, ignore_errors=True)
            if lock is not None:
                os.close(lock)


def sweep() -> None:
    """Takes away folders whose makers are gone. It costs a look at one folder's names."""
    if sys.platform == "win32":
        return
    with suppress(OSError):
        for folder in place().glob(f"{PREFIX}*"):
            with suppress(OSError):
                _swept(folder)


@cache
def _swept_once() -> None:
    """On a cluster's machine nobody else sweeps behind a worker that was killed."""
    sweep()


def _made() -> tuple[Path, int | None]:
    """A folder and its lock. A sweep may come between the two; then the next folder is taken."""
    while True:
        folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=place()))
        if sys.platform == "win32":
            return folder, None
        import fcntl

        with suppress(OSError):
            lock = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
            with suppress(OSError):  # some file systems have no locks; then nobody sweeps either
                fcntl.flock(lock, fcntl.LOCK_EX)
            if folder.exists():
                return folder, lock
            os.close(lock)


def _swept(folder: Path) -> None:
    """Takes one away if it is this user's and nobody holds it; OSError where that is not so."""
    import fcntl

    lock = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC)
    try:
        if os.fstat(lock).st_uid == os.getuid():
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            shutil.rmtree(folder, ignore_errors=True)
    finally:
        os.close(lock)
