"""The folder of a run: one run at a time, every joint's files put there whole, and what was done, so that a run that
was stopped can go on."""

from __future__ import annotations

import json
import os
import socket
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any, TextIO

from solids.batch.tasks import Task
from solids.batch.work import Outcome
from solids.errors import FileError
from solids.write.publish import publish
from solids.write.report import sha256

LOCK = ".halfpin-batch.lock"
DONE = "batch.jsonl"
"""One line of JSON for each joint that is done, in the order in which they were."""


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Holds a folder for this run alone; the lock goes with the process, however that ends. FileError says who has
    it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / LOCK
        file = path.open("a+", encoding="utf-8")
    except OSError as err:
        raise FileError(f"{folder} cannot be written: {err.strerror or err}") from None
    with file:
        try:
            _take(file)
        except OSError:
            file.seek(0)
            holder = file.read().strip() or "another run"
            raise FileError(f"{folder} is in use by {holder}; wait, or give another --out") from None
        file.truncate(0)
        file.write(f"process {os.getpid()} on {socket.gethostname()} since {time.strftime('%Y-%m-%d %H:%M:%S')}\n")
        file.flush()
        try:
            yield
        finally:
            # The file itself stays: whoever has it open already must meet the same one.
            file.truncate(0)


def _take(file: TextIO) -> None:
    """OSError where another process has the lock."""
    import fcntl

    fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


@dataclass(frozen=True)
class Kept:
    """A joint that is done: its outcome without the files' contents, and their hashes."""

    outcome: Outcome
    hashes: Mapping[str, str]


class Ledger:
    """What is done in a folder. Each line is written when the joint's files are in place."""

    def __init__(self, folder: Path, *, resume: bool) -> None:
        self.folder = folder
        self._path = folder / DONE
        self.kept = self._read() if resume else {}
        self._file = self._path.open("a" if resume else "w", encoding="utf-8")

    def close(self) -> None:
        """Ends it."""
        self._file.close()

    def still_good(self, task: Task) -> Outcome | None:
        """The outcome of an earlier run, where recipe, version and files are unchanged."""
        kept = self.kept.get(task.key)
        if kept is None or kept.outcome.slug != task.slug or kept.outcome.verdict not in ("passes", "fails"):
            return None
        for name, digest in kept.hashes.items():
            path = self.folder / task.slug / name
            if not path.is_file() or sha256(path.read_bytes()) != digest:
                return None
        return kept.outcome

    def put(self, outcome: Outcome) -> Outcome:
        """Puts a joint's files on disk, all or none, and writes it down. An outcome whose files cannot be put there is
        refused; FileError where the disk takes nothing more."""
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
        try:
            self._file.write(json.dumps(plain, ensure_ascii=False) + "\n")
            self._file.flush()
        except OSError as err:
            raise FileError(f"{self._path} cannot be written: {err.strerror or err}") from None
        return outcome

    def _read(self) -> dict[str, Kept]:
        """What an earlier run wrote down; a line that was cut off counts for nothing."""
        found: dict[str, Kept] = {}
        if not self._path.is_file():
            return found
        for line in self._path.read_text("utf-8", "replace").splitlines():
            try:
                plain: dict[str, Any] = json.loads(line)
                hashes = plain.pop("hashes")
                outcome = Outcome(**{**plain, "warnings": tuple(plain["warnings"])})
            except (ValueError, KeyError, TypeError):
                continue
            found[outcome.key] = Kept(outcome, hashes)
        return found


def _title_of(files: Mapping[str, bytes]) -> str:
    """The title that a joint's own report names."""
    return str(json.loads(files["report.json"])["title"])


def _is_full(err: FileError) -> bool:
    import errno

    cause = err.__cause__
    return isinstance(cause, OSError) and cause.errno in (errno.ENOSPC, errno.EDQUOT, errno.EROFS)
