"""The output folder of a run. It holds the files of every joint, each set written whole; a ledger of finished joints,
so that a stopped run can continue; and the index. Files that are not ours are never touched."""

from __future__ import annotations

import errno
import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from solids.app.batch.tasks import Task
from solids.app.batch.worker import Outcome
from solids.base.errors import FileError
from solids.base.windows import move, why_not
from solids.write.publishing.publish import Record, may_replace, publish, record_of
from solids.write.report import sha256

LEDGER = "batch.jsonl"
"""A header, then one line of JSON for each finished joint, in the order they finished, and for each index."""

LISTS = ("index.csv", "index.html")
HEAD = {"ledger": "halfpin batch 1"}


@dataclass(frozen=True)
class KeptJoint:
    """A joint that is done: its outcome without the files' contents, and their hashes."""

    outcome: Outcome
    hashes: Mapping[str, str]


class Ledger:
    """The joints finished in a folder, by this run and earlier ones. A joint is entered once its files are in place.

    The folder must be claimed. FileError if it holds a ledger that is not ours, or cannot be written.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kept: dict[str, KeptJoint] = {}
        self._lists: dict[str, list[Record]] = {}
        self._path = folder / LEDGER
        _check_ordinary(self._path)
        try:
            before = self._path.read_bytes() if self._path.exists() else b""
            self._read(before.decode("utf-8", "replace"))
            for name in LISTS:
                self._check_replaceable(name)  # fail now, not after an hour of work
            self._file = self._path.open("a", encoding="utf-8", newline="\n")
        except OSError as err:
            raise FileError(f"{self._path} cannot be used: {err.strerror or err}") from None
        if not before:
            self._append(HEAD)
        elif not before.endswith(b"\n"):
            self._file.write("\n")  # the last line was cut off

    def close(self) -> None:
        """Closes the ledger's file."""
        self._file.close()

    def still_good(self, task: Task, *, check_only: bool, anyway: bool) -> Outcome | None:
        """The outcome of a task from an earlier run. None unless recipe and version are the same and every file asked
        for is there unchanged."""
        kept = self.kept.get(task.key)
        if kept is None or kept.outcome.slug != task.slug or kept.outcome.verdict not in ("passes", "fails"):
            return None
        asks_for_files = not check_only and (anyway or kept.outcome.verdict == "passes")
        if asks_for_files and not kept.hashes:
            return None
        for name, digest in kept.hashes.items() if asks_for_files else ():
            path = self.folder / task.slug / name
            if not path.is_file() or sha256(path.read_bytes()) != digest:
                return None
        return replace(kept.outcome, origin=task.origin, title=task.title)

    def put(self, outcome: Outcome) -> Outcome:
        """Puts a joint's files on disk, all or none, and enters the joint in the ledger. If its files cannot be put
        there, the joint is refused. FileError if the disk is full or read-only."""
        if outcome.files:
            try:
                publish(self.folder / outcome.slug, _title_of(outcome.files), outcome.files)
            except FileError as err:
                if _is_full(err):
                    raise
                outcome = replace(outcome, verdict="refused", message=str(err), files={})
        hashes = {name: sha256(data) for name, data in outcome.files.items()}
        outcome = replace(outcome, files={})
        plain = {**asdict(outcome), "hashes": hashes}
        plain.pop("files")
        self._append(plain)
        return outcome

    def put_index(self, files: Mapping[str, bytes]) -> None:
        """Writes the index of a run. It may replace the index of an earlier run and nothing else. FileError if another
        file has its name."""
        for name, data in files.items():
            self._check_replaceable(name, record_of(data))
        # Entered first: if the run is killed here, the next one still knows the index as ours.
        self._append({"lists": {name: record_of(data) for name, data in files.items()}})
        for name, data in files.items():
            _replace(self.folder / name, data)

    def _check_replaceable(self, name: str, *known: Record) -> None:
        path = self.folder / name
        _check_ordinary(path)
        if path.exists() and not may_replace(path, [*self._lists.get(name, ()), *known]):
            changed = "was changed since it was written" if name in self._lists else "was not written by this tool"
            raise FileError(f"{path} {changed}. Move it away, or give another --out")

    def _append(self, plain: Mapping[str, Any]) -> None:
        try:
            self._file.write(json.dumps(plain) + "\n")
            self._file.flush()
        except OSError as err:
            raise FileError(f"{self._path} cannot be written: {err.strerror or err}") from None

    def _read(self, text: str) -> None:
        """Reads the entries of earlier runs. A line that was cut off is ignored; the last entry of a joint counts."""
        lines = list(_objects(text))
        if text and lines[:1] != [HEAD]:
            raise FileError(f"{self._path} was not written by this tool. Move it away, or give another --out")
        for plain in lines[1:]:
            with suppress(KeyError, TypeError, ValueError, AttributeError, OverflowError):
                if "lists" in plain:
                    for name, (size, digest) in plain["lists"].items():
                        self._lists.setdefault(str(name), []).append((int(size), str(digest)))
                    continue
                hashes = {str(name): str(digest) for name, digest in plain.pop("hashes").items()}
                outcome = Outcome(**{**plain, "warnings": tuple(plain["warnings"])})
                if _is_sound(outcome):
                    self.kept[outcome.key] = KeptJoint(outcome, hashes)


def _is_sound(outcome: Outcome) -> bool:
    """Whether an entry has the types we write. A ledger may come from a stranger."""
    words = (outcome.origin, outcome.title, outcome.slug, outcome.key, outcome.verdict, outcome.message)
    return (
        all(isinstance(word, str) for word in (*words, *outcome.warnings))
        and isinstance(outcome.size, dict)
        and isinstance(outcome.seconds, int | float)
    )


def _objects(text: str) -> Iterator[dict[str, Any]]:
    for line in text.splitlines():
        with suppress(ValueError, RecursionError):
            plain = json.loads(line)
            if isinstance(plain, dict):
                yield plain


def _check_ordinary(path: Path) -> None:
    """FileError if the path is a link, a folder or the like: we neither read nor write through it."""
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise FileError(f"{path} is not an ordinary file. Move it away, or give another --out")


def _replace(path: Path, data: bytes) -> None:
    """Writes a file whole, in place of any older one. Removes what a killed run left beside it."""
    beside = path.with_name(f".{path.name}.new")
    try:
        beside.unlink(missing_ok=True)
        try:
            with beside.open("xb") as file:
                file.write(data)
            move(beside, path)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
    except OSError as err:
        raise FileError(f"{path} cannot be written: {why_not(err)}") from None


def _title_of(files: Mapping[str, bytes]) -> str:
    """The title in a joint's own report."""
    return str(json.loads(files["report.json"])["title"])


def _is_full(err: FileError) -> bool:
    cause = err.__cause__
    return isinstance(cause, OSError) and cause.errno in (errno.ENOSPC, errno.EDQUOT, errno.EROFS)
