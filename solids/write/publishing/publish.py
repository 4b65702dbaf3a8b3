"""Puts a set of files on disk: all or none, and never over anything that is not ours.

All files are written to a staging folder on the same disk and read back there, then moved into place one by one, the
report last. If a move fails, the earlier ones are undone. If the process is killed between two moves, the next run that
writes to the folder completes them: before the first move, a list of all moves is on disk.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import sys
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from pydantic import BaseModel, ValidationError

from solids.base import tolerances as tol
from solids.base.errors import FileError, ReadBackError
from solids.base.parallel import waited_for
from solids.base.signals import signals_wait
from solids.base.windows import move, why_not
from solids.write.publishing.claim import claimed
from solids.write.publishing.stale import has_changed
from solids.write.report.records.record import NAME as REPORT
from solids.write.report.records.record import FileRecord, sha256
from solids.write.report.records.reports import SCHEMA_ID

MOVE_AWAY = "Move it away, or write to another folder"

STAGING = ".halfpin-"
BEFORE = "before"
MOVES = "moves.json"
"""In the staging folder: copies of the files being replaced, and the list of all moves."""

LONGEST_NAME = 200
"""Our own names are a fifth of this; a report that was tampered with may hold any."""


class NotPutBackError(FileError):
    """A move failed, and undoing the earlier ones failed too. The message says where the old files are."""


def publish(
    folder: Path, title: str, files: Mapping[str, bytes], check: Callable[[Path], None] = lambda _: None
) -> None:
    """Writes `files` (name -> bytes, the report among them) into `folder`.

    `check` is called with the staging folder once everything is in it, and raises if a file does not read back. Raises
    ReadBackError where the disk holds other bytes, and FileError where the folder belongs to another title, holds files
    of these names that are not ours, or cannot be written; what was there before is then still there, whole. A signal
    that comes during the moves waits until they are done.
    """
    with held(folder):
        below = [path for path in sorted({(folder / name).parent for name in files} - {folder}) if not path.exists()]
        ours = _ours(folder, title, files)
        # Inside the folder itself, so that it is on the same disk even where the folder is a mount point.
        staging, keep = None, False
        try:
            with signals_wait():
                staging = _new_staging(folder)
            waited_for(lambda name: _write(staging / name, files[name]), list(files))
            for name, data in files.items():
                if (staging / name).read_bytes() != data:
                    raise ReadBackError(f"{name} is not on the disk as it was made")
            check(staging)
            with signals_wait():
                _move_all(staging, folder, [*(name for name in files if name != REPORT), REPORT], ours)
        except NotPutBackError:
            keep = True
            raise
        finally:
            with signals_wait():
                if staging is not None and not keep:
                    _take_away(staging)
                for path in below:
                    if path.exists() and not any(path.iterdir()):
                        path.rmdir()


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Holds the folder of a piece for this run, and completes what a run that was killed had begun there. Errors of the
    file system come out as FileError."""
    with as_file_errors(folder):
        _refuse_a_file(folder)
        with claimed(folder):
            for staging in sorted(folder.glob(f"{STAGING}*")):
                if staging.is_dir() and not staging.is_symlink():
                    _end_of(staging, folder)
            yield


def _refuse_a_file(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise FileError(f"{folder} is a file; a folder is needed. {MOVE_AWAY}")


def try_folder(folder: Path, title: str) -> None:
    """Raises FileError where `publish` could not write into a folder at all, before there is anything to write. Leaves
    nothing behind. A folder that another run holds is good: that run may have ended by then."""
    with as_file_errors(folder):
        _refuse_a_file(folder)
        _written_before(folder, title)
        with suppress(FileError), claimed(folder), signals_wait():
            _new_staging(folder).rmdir()


def _end_of(staging: Path, folder: Path) -> None:
    """Completes the moves of an earlier run whose set had been made and checked; otherwise removes what it left."""
    with signals_wait():
        for name in _listed(staging):
            path, before = folder / name, staging / BEFORE / name
            # The folder may come from a stranger: no link is followed, to read or to write.
            if not (staging / name).is_file() or any(map(Path.is_symlink, (staging / name, (staging / name).parent))):
                continue
            if path.parent.is_symlink():
                raise FileError(f"{path.parent} is not an ordinary folder. {MOVE_AWAY}")
            known = [record_of(before.read_bytes())] if before.is_file() else []
            if path.is_symlink() or (path.exists() and not (path.is_file() and may_replace(path, known))):
                raise FileError(f"{path} was changed after an earlier run was cut off here. {MOVE_AWAY}")
            path.parent.mkdir(exist_ok=True)
            move(staging / name, path)
        _take_away(staging)


def _listed(staging: Path) -> list[str]:
    """The names that a run had set out to move, in order; none where it was cut off before that."""
    try:
        names = json.loads((staging / MOVES).read_bytes())
    except (OSError, ValueError, RecursionError):
        return []
    return (
        [name for name in names if isinstance(name, str) and _is_ours_to_name(name)] if isinstance(names, list) else []
    )


def _take_away(staging: Path) -> None:
    """Removes a staging folder, its list of moves last: as long as the list is there, so is everything that it
    names."""
    for path in staging.iterdir():
        if path.name != MOVES:
            with suppress(OSError):  # what another program holds open goes next time
                shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()
    shutil.rmtree(staging, ignore_errors=True)


@contextmanager
def as_file_errors(folder: Path) -> Iterator[None]:
    """Turns errors of the file system into FileError, in plain words."""
    try:
        yield
    except OSError as err:
        if isinstance(err, FileError):
            raise
        in_the_way = next((path for path in (folder, *folder.parents) if path.exists() and not path.is_dir()), None)
        if in_the_way is not None:
            raise FileError(f"{in_the_way} is a file; a folder is needed. {MOVE_AWAY}") from err
        raise FileError(f"{folder} cannot be written: {why_not(err)}; nothing was changed") from err


def _new_staging(folder: Path) -> Path:
    """Makes a staging folder. One made by `tempfile` would be private, and on Windows so would every file moved out of
    it, even into a folder that a workshop shares."""
    staging = folder / f"{STAGING}{secrets.token_hex(4)}"
    staging.mkdir(mode=0o777 if sys.platform == "win32" else 0o700)
    return staging


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _ours(folder: Path, title: str, files: Mapping[str, bytes]) -> list[str]:
    """Which of the names are in the folder already and may be replaced; FileError where one may not."""
    if not folder.exists():
        return []
    for below in {(folder / name).parent for name in files} - {folder}:
        if below.is_symlink() or (below.exists() and not below.is_dir()):
            raise FileError(f"{below} is not an ordinary folder. {MOVE_AWAY}")
    present = [name for name in files if (folder / name).exists() or (folder / name).is_symlink()]
    for name in present:
        if not (folder / name).is_file() or (folder / name).is_symlink():
            raise FileError(f"{folder / name} is not an ordinary file. {MOVE_AWAY}")
    written = _written_before(folder, title)
    for name in present:
        if name != REPORT and not may_replace(folder / name, (written.get(name), record_of(files[name]))):
            changed = "was changed since it was written" if name in written else "was not written by this tool"
            raise FileError(f"{folder / name} {changed}. {MOVE_AWAY}")
    return present


Record = tuple[int, str]
"""Size in bytes, and SHA-256."""


def record_of(data: bytes) -> Record:
    """How a file is recognised."""
    return len(data), sha256(data)


def may_replace(path: Path, known: Iterable[Record | None]) -> bool:
    """Whether a file is one that we wrote, or the very one that we are about to write. A file of another size is not
    read."""
    sizes = {record[0] for record in known if record}
    return path.stat().st_size in sizes and record_of(path.read_bytes()) in known


def _written_before(folder: Path, title: str) -> dict[str, Record]:
    """Size and hash of each file that the folder's own report lists; FileError where that report is not ours."""
    path = folder / REPORT
    if not path.exists():
        return {}
    if path.is_symlink() or not path.is_file():
        raise FileError(f"{path} is not an ordinary file. {MOVE_AWAY}")
    try:
        report = json.loads(path.read_bytes()) if path.stat().st_size <= tol.REPORT_LARGEST_BYTES else {}
        known = report["schema"].startswith(SCHEMA_ID.rpartition(":")[0])
        owner = str(report["title"])
        files = {str(record["name"]): (int(record["bytes"]), str(record["sha256"])) for record in report["files"]}
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError):
        known, owner, files = False, "", {}
    if not known:
        raise FileError(f"{path} is not a report of this tool. {MOVE_AWAY}")
    if owner != title:
        raise FileError(
            f"{folder} holds the files of {owner[:80]!r}, not of {title!r}. Give another title, or write to another "
            "folder"
        )
    return files


@dataclass(frozen=True)
class Kept:
    """Files of ours that the folder's own report lists, that are still there unchanged, and that are not made anew."""

    records: Mapping[str, FileRecord]
    recipe: object
    tool: object

    @property
    def names(self) -> list[str]:
        """Their names."""
        return list(self.records)

    def record(self, name: str, now: BaseModel, of_others: Collection[str] = ()) -> FileRecord:
        """The record of a kept file: stale where it was before, or where recipe or version have changed since. Keys of
        the recipe in `of_others` matter to other files only."""
        plain = now.model_dump(mode="json", by_alias=True)
        changed = plain["tool"] != self.tool or has_changed(self.recipe, plain["recipe"], of_others)
        return self.records[name].model_copy(update={"stale": self.records[name].stale or changed})


def still_there(folder: Path, title: str, made: Iterable[str]) -> Kept:
    """What stays in a folder beside the files that are made anew. FileError where the folder belongs to another title,
    or its report is not ours."""
    with as_file_errors(folder):
        written = _written_before(folder, title)
        if not written:
            return Kept({}, None, None)
        old = json.loads((folder / REPORT).read_bytes())
        records = {}
        for item in old["files"]:
            name = str(item["name"])
            path = folder / name
            ours = _is_ours_to_name(name) and path.is_file() and not path.is_symlink()
            if name not in made and ours and may_replace(path, [written[name]]):
                with suppress(ValidationError):
                    records[name] = FileRecord.model_validate({"stale": False, **item})
        return Kept(records, old.get("recipe"), old.get("tool"))


def _is_ours_to_name(name: str) -> bool:
    """Whether a file name stays in the folder of the piece or one folder below, whatever a report says. Windows has
    more ways out: `..\\x`, `C:x`."""
    parts = PurePosixPath(name).parts
    stays = name == "/".join(parts) and not {"..", "/"} & set(parts) and not {"\\", ":"} & set(name)
    return stays and 1 <= len(parts) <= 2 and len(name) <= LONGEST_NAME


def _move_all(staging: Path, folder: Path, names: list[str], present: list[str]) -> None:
    """Moves every file into place, and keeps a copy of each that is replaced until all are there."""
    before = staging / BEFORE
    for name in present:
        (before / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(folder / name, before / name)
    _write(staging / MOVES, json.dumps(names).encode())
    moved: list[str] = []
    try:
        for name in names:
            (folder / name).parent.mkdir(exist_ok=True)
            move(staging / name, folder / name)
            moved.append(name)
    except BaseException as err:
        stuck = [name for name in reversed(moved) if not _put_back(staging, folder, name)]
        if stuck:
            raise NotPutBackError(
                f"{folder}: {', '.join(stuck)} could not be put back after an error ({err}). "
                f"The old files lie in {before}"
            ) from err
        (staging / MOVES).unlink()
        raise


def _put_back(staging: Path, folder: Path, name: str) -> bool:
    """Undoes one move: the new file goes back to the staging folder, and the one that it replaced comes back as a
    second copy. The first copy stays: if the process were killed now, the next run could still complete all moves."""
    path, copy, back = folder / name, staging / BEFORE / name, staging / "back"
    try:
        move(path, staging / name)
        if copy.exists():
            try:
                os.link(copy, back)
            except OSError:
                shutil.copy2(copy, back)
            move(back, path)
    except OSError:
        return False
    return True
