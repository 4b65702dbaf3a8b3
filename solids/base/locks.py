"""A folder that one process holds at a time. A lock ends with its process, however that ends.

The folder itself is locked where a system can do that, so nothing is written into it and nothing is left behind.
filelock would do less there: it locks files only, empties them, and leaves them where they are. Windows can lock
files only; there filelock locks one inside the folder, and takes it away again.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

WITHOUT_LOCKS = {errno.EBADF, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL}
"""Errors of a file system that cannot lock a folder, as some on a network cannot. There we do without."""

NAME = ".halfpin.lock"
"""The file that is locked where a folder cannot be."""


@dataclass(frozen=True)
class Lock:
    """A lock that is held: how it is let go, and whether it is a file in the folder, which stays as long as it does."""

    let_go: Callable[[], None]
    is_a_file: bool


def lock(folder: Path) -> Lock | None:
    """Locks a folder that is there, without waiting; None where the file system has no locks. BlockingIOError where
    another process holds it, FileNotFoundError where it is not there any more, other OSErrors as the system gives
    them."""
    if sys.platform == "win32":
        return lock_by_file(folder)
    import fcntl

    number = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        try:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except PermissionError as err:  # some file systems say it so
            raise BlockingIOError(*err.args) from None
        if not os.path.samestat(os.fstat(number), folder.stat()):
            raise FileNotFoundError(errno.ENOENT, "another process took it away", str(folder))
    except OSError as err:
        os.close(number)
        if err.errno in WITHOUT_LOCKS:
            return None
        raise
    return Lock(lambda: os.close(number), is_a_file=False)


def lock_by_file(folder: Path) -> Lock:
    """The same by a file inside the folder. What stands under its name and is not ours is left alone: FileExistsError.
    A process that is killed leaves the file, empty and not locked, and the next one takes it."""
    from filelock import FileLock, Timeout

    file = folder / NAME
    if file.is_symlink() or (file.exists() and (not file.is_file() or file.stat().st_size)):
        raise FileExistsError(errno.EEXIST, f"{NAME} in it is not of this tool; move it away", str(file))
    held = FileLock(file, timeout=0, thread_local=False)
    try:
        held.acquire()
    except Timeout:
        raise BlockingIOError(errno.EAGAIN, "another process holds it", str(folder)) from None
    return Lock(held.release, is_a_file=True)
