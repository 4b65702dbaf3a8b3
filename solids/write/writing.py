"""The one way to write a set of files: made, re-read in a staging folder, published with a report that lists them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from solids.side_by_side import side_by_side
from solids.write import report
from solids.write.publish import Kept, held, publish, still_there
from solids.write.report.records import FileRecord, Record


@dataclass(frozen=True)
class File:
    """One file: its name, what it holds, how its bytes are made, and how the written file is re-read."""

    name: str
    holds: str
    make: Callable[[], bytes]
    reread: Callable[[Path], None]


@dataclass(frozen=True)
class Written:
    """What came of writing: the folder, how many files were made, which older ones are stale, and what a maker should
    know about the paper."""

    folder: Path
    count: int
    stale: tuple[str, ...]
    notices: tuple[str, ...] = ()


def write_set(
    folder: Path,
    title: str,
    files: Sequence[File],
    report_of: Callable[[Mapping[str, FileRecord], Kept], tuple[Record, Sequence[FileRecord]]],
    progress: Callable[[str], None] = lambda _: None,
) -> Written:
    """Makes, re-reads and publishes files.

    `report_of` makes the report, and the records that it lists, from those of what was made and from what stays in the
    folder. Raises FileError as `publish` does, and ReadBackError where a file does not read back as what was meant.
    """
    data = side_by_side(lambda file: file.make(), files, lambda file: progress(file.name))
    made = {file.name: content for file, content in zip(files, data, strict=True)}
    with held(folder):
        kept = still_there(folder, title, made)
        fresh = {file.name: report.file_record(file.name, file.holds, made[file.name]) for file in files}
        whole, records = report_of(fresh, kept)

        def check(staging: Path) -> None:
            side_by_side(
                lambda file: file.reread(staging / file.name),
                files,
                lambda file: progress(f"{file.name}, reading back"),
            )
            report.reread(staging / report.NAME, {record.name: record.sha256 for record in records}, type(whole))

        publish(folder, title, {**made, report.NAME: report.report_bytes(whole)}, check)
    return Written(folder, len(made) + 1, tuple(record.name for record in records if record.stale))
