"""A folder held by one run at a time, and set right where an earlier run was killed in the middle of it.

The lock is on the folder itself, so nothing is left behind; it goes with the process, however that ends.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from solids.base.errors import FileError
from solids.base.signals import signals_wait

WITHOUT_LOCKS = {errno.EBADF, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL}
"""What a file system says that cannot lock a folder, such as some that lie on a network. There we do without."""

TRIES = 20
"""So often a folder is made and locked before it counts as one that somebody else takes away again and again."""

_held: dict[Path, int | None] = {}
"""The folders that this process holds, and their locks: who has one may claim it again."""


def _let_go() -> None:
    """A forked process shares the locks; were it to outlive the one that claimed, the folder would stay locked."""
    for lock in _held.values():
        if lock is not None:
            os.close(lock)
    _held.update(dict.fromkeys(_held))


if hasattr(os, "register_at_fork"):
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
                for path in new:
                    if path.exists() and not any(path.iterdir()):
                        path.rmdir()
                lock = _held.pop(place)
                if lock is not None:
                    os.close(lock)


def _locked(folder: Path) -> int | None:
    """The lock of a folder, which is made if need be. Another run may take its own folder away just before."""
    for _ in range(TRIES):
        folder.mkdir(parents=True, exist_ok=True)
        with suppress(FileNotFoundError):
            lock = _lock(folder)
            if lock is None or sys.platform == "win32" or os.path.samestat(os.fstat(lock), folder.stat()):
                return lock
            os.close(lock)
    raise FileError(f"{folder} comes and goes. Wait until other runs have ended, or give another --out")


def _lock(folder: Path) -> int | None:
    """A descriptor that holds the lock until it is closed; None where the file system has no locks."""
    in_use = FileError(f"{folder} is being written by another run. Wait until it has ended, or give another --out")
    if sys.platform == "win32":
        # The system takes the file away when the process ends, however that comes.
        try:
            return os.open(folder / ".halfpin.lock", os.O_CREAT | os.O_EXCL | os.O_RDWR | os.O_TEMPORARY)
        except (FileExistsError, PermissionError):
            raise in_use from None
    import fcntl

    lock = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as err:
        os.close(lock)
        if err.errno in WITHOUT_LOCKS:
            return None
        raise in_use from None
    return lock
