"""Puts a set of files on disk: all or none, and never over anything that is not ours.

All files are written and re-read in a staging folder on the same disk, then moved into place one by one, the report
last. If a move fails, the earlier ones are put back.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from solids.errors import FileError
from solids.write.report import NAME as REPORT
from solids.write.report import SCHEMA_ID, sha256


def publish(folder: Path, title: str, files: Mapping[str, bytes], check: Callable[[Path], None]) -> None:
    """Writes `files` (name -> bytes, the report among them) into `folder`.

    `check` is called with the staging folder once all are there, and raises if one does not read back. Raises FileError
    where the folder belongs to another title, holds files that are not ours under these names, or cannot be written;
    what stood there before is then still there, whole.
    """
    new_folders = [path for path in (folder, folder.parent) if not path.exists()]
    with _as_file_errors(folder):
        ours = _ours(folder, title, files)
        folder.parent.mkdir(parents=True, exist_ok=True)
        staging = Path(tempfile.mkdtemp(prefix=".halfpin-", dir=folder.parent))
        try:
            for name, data in files.items():
                _write(staging / name, data)
            check(staging)
            _move_all(staging, folder, [*(name for name in files if name != REPORT), REPORT], ours)
        finally:
            shutil.rmtree(staging, ignore_errors=True)
            for path in new_folders:
                if path.exists() and not any(path.iterdir()):
                    path.rmdir()


@contextmanager
def _as_file_errors(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as err:
        if isinstance(err, FileError):
            raise
        where = err.filename or folder
        reason = err.strerror or str(err)
        raise FileError(f"{where} cannot be written: {reason}; nothing was changed") from err


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _ours(folder: Path, title: str, files: Mapping[str, bytes]) -> list[str]:
    """Which of the names stand in the folder already and may be replaced; FileError where one may not."""
    if not folder.exists():
        return []
    if not folder.is_dir():
        raise FileError(f"{folder} is a file; a folder of that name is needed. Move it away, or give another --out")
    written = _written_before(folder, title)
    present = [name for name in files if (folder / name).exists() or (folder / name).is_symlink()]
    for name in present:
        path = folder / name
        if not path.is_file() or path.is_symlink():
            raise FileError(f"{path} is not an ordinary file. Move it away, or give another --out")
        if name == REPORT:
            continue
        found = sha256(path.read_bytes())
        if found not in (written.get(name), sha256(files[name])):
            changed = "was changed since it was written" if name in written else "was not written by this tool"
            raise FileError(f"{path} {changed}. Move it away, or give another --out")
    return present


def _written_before(folder: Path, title: str) -> dict[str, str]:
    """Name and hash of each file that the folder's own report lists; FileError where the report is not ours."""
    path = folder / REPORT
    if not path.exists():
        return {}
    try:
        report = json.loads(path.read_bytes())
        known = report["schema"].startswith(SCHEMA_ID.rpartition(":")[0])
        owner = str(report["title"])
        files = {str(record["name"]): str(record["sha256"]) for record in report["files"]}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        known, owner, files = False, "", {}
    if not known:
        raise FileError(f"{path} is not a report of this tool. Move it away, or give another --out")
    if owner != title:
        raise FileError(
            f"{folder} holds the files of {owner[:80]!r}, not of {title!r}. Give another title, or another --out"
        )
    return files


def _move_all(staging: Path, folder: Path, names: list[str], present: list[str]) -> None:
    """Moves every file into place, keeping a copy of what it replaces until all are there."""
    before = staging / "before"
    before.mkdir()
    folder.mkdir(exist_ok=True)
    for name in present:
        shutil.copy2(folder / name, before / name)
    moved: list[str] = []
    try:
        for name in names:
            moved.append(name)
            os.replace(staging / name, folder / name)
    except BaseException:
        for name in reversed(moved):
            if name in present:
                os.replace(before / name, folder / name)
            else:
                (folder / name).unlink(missing_ok=True)
        raise
