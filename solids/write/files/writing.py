"""The one way to write a set of files: they are made, read back, and published with a report that lists them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from solids.base.errors import FaultError, InputError
from solids.base.likeness import likest
from solids.base.parallel import Takes, parallel_map
from solids.base.scratch import scratch
from solids.write import report
from solids.write.named import BOARDS, File
from solids.write.publishing.publish import Kept, as_file_errors, held, publish, still_there
from solids.write.report.records.record import FileRecord, Record

if TYPE_CHECKING:
    from solids.write.files.ahead import Ahead


def with_cautions(chosen: Sequence[File], every: Iterable[File]) -> list[File]:
    """The chosen files, and after them those of `every` that hold their cautions and were not chosen."""
    needed = {file.cautions for file in chosen} - {file.name for file in chosen}
    return [*chosen, *(file for file in every if file.name in needed)]


@dataclass(frozen=True)
class Written:
    """What was written: the folder, how many files were made, which older ones are stale, and what a maker should know
    about the paper."""

    folder: Path
    count: int
    stale: tuple[str, ...]
    notices: tuple[str, ...] = ()


def answers(name: str, group: str, asked: str) -> bool:
    """Whether a file is what was asked for: by its name, by its group, or as one that each kind of corner of a box has,
    as "front-corner/template.pdf" answers "template.pdf"."""
    return asked in (name, group) or name.endswith((f"/{asked}", f"-{asked}"))


def refuse_passing_over(asked: Collection[str], there: Iterable[tuple[str, str]], what: str) -> None:
    """InputError where no file, by its name and group, answers what was asked for."""
    files = list(there)
    there_are = [file for file, _ in files]
    missing = [name for name in asked if not any(answers(file, group, name) for file, group in files)]
    if missing:
        near = likest(missing[0], there_are)
        hint = f"; the nearest that it has is {near[0]}" if near else ""
        raise InputError(f"{what} has no {' and no '.join(missing)}{hint}. Nothing was written")


TAKES = {
    ".pdf": (0.19, 0.09),
    ".dxf": (0.16, 0.014),
    ".step": (0.0, 0.15),
    ".stl": (0.0, 0.007),
    ".svg": (0.02, 0.002),
    ".md": (0.02, 0.005),
    ".html": (0.1, 0.05),
    ".png": (0.2, 0.3),
}
"""How long a file of a usual box takes to make and read back, by the end of its name (s): what the first takes besides,
and what each takes. Measured; they only have to be right enough to share the work out."""

OF_A_BOARD = 0.25
"""The share of a STEP file of the whole piece that one of a board takes."""


def takes(file: File) -> Takes:
    """How long a file takes."""
    suffix = Path(file.name).suffix
    first, each = TAKES.get(suffix, (0.0, 0.02))
    return suffix, first, each * (OF_A_BOARD if suffix == ".step" and file.name.startswith(BOARDS) else 1.0)


def make_all(
    files: Sequence[File], progress: Callable[[str], None] = lambda _: None, ahead: Sequence[Ahead] = ()
) -> dict[str, bytes]:
    """The bytes of each file by its name, once its own reader has read it back from a scratch folder; of those that are
    made `ahead`, as they come from there. ReadBackError where one is not what was meant; FaultError where a file of our
    own is missing, such as a template or a font."""
    names = {file.name for file in files}
    coming = [one for one in ahead if names & one.names]
    here = [file for file in files if not any(file.name in one.names for one in coming)]
    with scratch() as folder, as_file_errors(folder):
        made = parallel_map(partial(_made, folder), here, lambda file: progress(file.name), takes)
    every = {file.name: content for file, content in zip(here, made, strict=True)}
    for one in coming:
        every |= one.made()
    return {file.name: every[file.name] for file in files}


def each_made(files: Iterable[File]) -> dict[str, bytes]:
    """The same, one after another."""
    with scratch() as folder, as_file_errors(folder):
        return {file.name: _made(folder, file) for file in files}


def _made(folder: Path, file: File) -> bytes:
    try:
        content, path = file.make(), folder / file.name
    except FileNotFoundError as err:  # none of the maker's own is read here
        raise FaultError(f"{file.name}: {err.filename} is missing; is halfpin installed whole?") from err
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)
    file.reread(path)
    path.unlink()
    return content


def write_set(
    folder: Path,
    title: str,
    files: Sequence[File],
    report_of: Callable[[Mapping[str, FileRecord], Kept], tuple[Record, Sequence[FileRecord]]],
    progress: Callable[[str], None] = lambda _: None,
    ahead: Sequence[Ahead] = (),
) -> Written:
    """Makes, re-reads and publishes files. Some may be under way, see `ahead.py`.

    `report_of` gets the records of what was made, and what stays in the folder. It makes the report and the list of
    records in it. Raises FileError as `publish` does, ReadBackError where a file does not read back as what was meant,
    and FaultError where a file that holds another's cautions is left out.
    """
    if missing := {file.cautions for file in files} - {file.name for file in files}:
        raise FaultError(f"files would be written without their cautions: {', '.join(sorted(missing))} is left out")
    made = make_all(files, progress, ahead)
    with held(folder):
        kept = still_there(folder, title, made)
        fresh = {file.name: report.file_record(file.name, file.holds, made[file.name]) for file in files}
        whole, records = report_of(fresh, kept)

        def check(staging: Path) -> None:
            report.reread(staging / report.NAME, {record.name: record.sha256 for record in records}, type(whole))

        publish(folder, title, {**made, report.NAME: report.report_bytes(whole)}, check)
    return Written(folder, len(made) + 1, tuple(record.name for record in records if record.stale))
