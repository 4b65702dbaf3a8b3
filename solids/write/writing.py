"""The one way to write a set of files: made, re-read in a staging folder, published with a report that lists them."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from solids.base.errors import FaultError, InputError
from solids.base.parallel import parallel_map
from solids.base.scratch import scratch
from solids.write import report
from solids.write.publish import Kept, as_file_errors, held, publish, still_there
from solids.write.report.record import Record
from solids.write.report.records import FileRecord


@dataclass(frozen=True)
class File:
    """One file: its name, what it holds, how its bytes are made, how the written file is re-read, and the name of the
    file that holds its cautions, which may be itself."""

    name: str
    holds: str
    make: Callable[[], bytes]
    reread: Callable[[Path], None]
    cautions: str


def with_cautions(chosen: Sequence[File], every: Iterable[File]) -> list[File]:
    """Some files, and after them those of `every` that hold their cautions and were not chosen."""
    needed = {file.cautions for file in chosen} - {file.name for file in chosen}
    return [*chosen, *(file for file in every if file.name in needed)]


@dataclass(frozen=True)
class Written:
    """What came of writing: the folder, how many files were made, which older ones are stale, and what a maker should
    know about the paper."""

    folder: Path
    count: int
    stale: tuple[str, ...]
    notices: tuple[str, ...] = ()


def answers(name: str, group: str, asked: str) -> bool:
    """Whether a file is what was asked for: by its name, by its group, or as one of those that each kind of corner of a
    box has of its own, "front-corner/template.pdf" for "template.pdf"."""
    return asked in (name, group) or name.endswith((f"/{asked}", f"-{asked}"))


def refuse_passing_over(asked: Collection[str], there: Iterable[tuple[str, str]], what: str) -> None:
    """InputError where something was asked for that no file, by its name and group, answers."""
    files = list(there)
    missing = [name for name in asked if not any(answers(file, group, name) for file, group in files)]
    if missing:
        near = difflib.get_close_matches(missing[0], [file for file, _ in files], n=1, cutoff=0.0)
        hint = f"; the nearest that it has is {near[0]}" if near else ""
        raise InputError(f"{what} has no {' and no '.join(missing)}{hint}. Nothing was written")


def make_all(files: Sequence[File], progress: Callable[[str], None]) -> dict[str, bytes]:
    """The bytes of each file by its name, once its own reader has read it back from a disk, or from memory where a
    system has such a place. ReadBackError where it is not what was meant."""
    with scratch() as folder, as_file_errors(folder):

        def make(file: File) -> bytes:
            content, path = file.make(), folder / file.name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
            file.reread(path)
            path.unlink()
            return content

        made = parallel_map(make, files, lambda file: progress(file.name))
    return {file.name: content for file, content in zip(files, made, strict=True)}


def write_set(
    folder: Path,
    title: str,
    files: Sequence[File],
    report_of: Callable[[Mapping[str, FileRecord], Kept], tuple[Record, Sequence[FileRecord]]],
    progress: Callable[[str], None] = lambda _: None,
) -> Written:
    """Makes, re-reads and publishes files.

    `report_of` makes the report, and the records that it lists, from those of what was made and from what stays in the
    folder. Raises FileError as `publish` does, ReadBackError where a file does not read back as what was meant, and
    FaultError where what holds a file's cautions is not among them.
    """
    if missing := {file.cautions for file in files} - {file.name for file in files}:
        raise FaultError(f"files would be written without their cautions: {', '.join(sorted(missing))} is left out")
    made = make_all(files, progress)
    with held(folder):
        kept = still_there(folder, title, made)
        fresh = {file.name: report.file_record(file.name, file.holds, made[file.name]) for file in files}
        whole, records = report_of(fresh, kept)

        def check(staging: Path) -> None:
            report.reread(staging / report.NAME, {record.name: record.sha256 for record in records}, type(whole))

        publish(folder, title, {**made, report.NAME: report.report_bytes(whole)}, check)
    return Written(folder, len(made) + 1, tuple(record.name for record in records if record.stale))
