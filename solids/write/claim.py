"""A folder held by one run at a time, and set right where an earlier run was killed in the middle of it.

The lock is on the folder itself, so nothing is left behind; it goes with the process, however that ends.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from solids.errors import FileError

WITHOUT_LOCKS = {errno.EBADF, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL}
"""What a file system says that cannot lock a folder, such as some that lie on a network. There we do without."""

_held: set[Path] = set()
"""The folders that this process holds: who has one may claim it again."""


@contextmanager
def claimed(folder: Path) -> Iterator[None]:
    """Holds a folder, made if need be, for this process alone. FileError where another run has it. A folder that was
    not there before and is empty at the end is taken away again. OSError as the file system gives it."""
    place = folder.absolute()
    if place in _held:
        yield
        return
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    lock = _lock(folder)
    _held.add(place)
    try:
        yield
    finally:
        _held.discard(place)
        if lock is not None:
            os.close(lock)
        for path in new:
            if path.exists() and not any(path.iterdir()):
                path.rmdir()


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
