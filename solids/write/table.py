"""The one table of the files that a corner is written to, and the one way to write them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from solids.corner import PIN_BOARD, TAIL_BOARD, Corner, make_corner
from solids.errors import ReadBackError
from solids.fit import Proof, prove
from solids.layout import Layout
from solids.write import note, report, step, stl
from solids.write.publish import publish


@dataclass(frozen=True)
class Job:
    """Everything that a file can be made from: one proved corner in both states."""

    layout: Layout
    cut: Corner
    finished: Corner
    proof: Proof

    def parts(self, corner: Corner) -> list[step.Part]:
        """Both boards as a STEP file takes them."""
        recipe = self.layout.recipe
        woods = (recipe.tail_board.wood, recipe.pin_board.wood)
        return [step.Part(name, solid, wood) for (name, solid), wood in zip(corner.boards, woods, strict=True)]


def prove_layout(layout: Layout) -> Job:
    """Builds both states of a corner and proves them."""
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    return Job(layout, cut, finished, prove(cut, finished))


@dataclass(frozen=True)
class FileKind:
    """One file of the set: its name, what it holds, how its bytes are made, and how the written file is re-read."""

    name: str
    holds: str
    make: Callable[[Job], bytes]
    reread: Callable[[Path, Job], None]


def _corner_step(name: str, holds: str, pick: Callable[[Job], Corner]) -> FileKind:
    return FileKind(
        name,
        holds,
        lambda job: step.step_bytes(job.layout.recipe.title, holds, job.parts(pick(job))),
        lambda path, job: step.reread(path, job.layout.recipe.title, job.parts(pick(job))),
    )


def _board_step(name: str, holds: str, board: str) -> FileKind:
    def part(job: Job) -> list[step.Part]:
        return [part for part in job.parts(job.cut) if part.name == board]

    return FileKind(
        name,
        holds,
        lambda job: step.step_bytes(f"{job.layout.recipe.title}, {board}", holds, part(job)),
        lambda path, job: step.reread(path, board, part(job)),
    )


FILES: tuple[FileKind, ...] = (
    _corner_step("corner.step", "both boards as cut, put together", lambda job: job.cut),
    _corner_step("corner-finished.step", "both boards as finished, put together", lambda job: job.finished),
    _board_step("tail-board.step", "the tail board as cut", TAIL_BOARD),
    _board_step("pin-board.step", "the pin board as cut", PIN_BOARD),
    FileKind(
        "tail-board.stl",
        "the tail board as cut, as a mesh in mm",
        lambda job: stl.stl_bytes("tail board as cut", job.proof.tail_mesh),
        lambda path, job: stl.reread(path, job.layout.tail_board_volume(job.cut.state)),
    ),
    FileKind(
        "pin-board.stl",
        "the pin board as cut, as a mesh in mm",
        lambda job: stl.stl_bytes("pin board as cut", job.proof.pin_mesh),
        lambda path, job: stl.reread(path, job.layout.pin_board_volume(job.cut.state)),
    ),
    FileKind(
        "cnc-jig-note.md",
        "how to cut this joint with a router and a jig, and the cautions",
        lambda job: note.note_bytes(job.layout, job.proof, [(kind.name, kind.holds) for kind in FILES]),
        lambda path, _: note.reread(path),
    ),
)
"""Every file but the report, which lists them."""


def write_files(job: Job, out: Path, progress: Callable[[str], None] = lambda _: None) -> Path:
    """Makes, re-reads and publishes all files of a corner; returns the folder they are in.

    `progress` is told what is being made. Raises FileError as `publish` does, and ReadBackError where a file does not
    read back as what was meant.
    """
    made: dict[str, bytes] = {}
    for kind in FILES:
        progress(kind.name)
        made[kind.name] = kind.make(job)
    records = [report.file_record(kind.name, kind.holds, made[kind.name]) for kind in FILES]
    whole = report.make_report(job.layout, job.proof, records)

    def check(staging: Path) -> None:
        for kind in FILES:
            progress(f"{kind.name}, reading back")
            if (staging / kind.name).read_bytes() != made[kind.name]:
                raise ReadBackError(f"{kind.name} is not on the disk as it was made")
            kind.reread(staging / kind.name, job)
        report.reread(staging / report.NAME, made)

    recipe = job.layout.recipe
    folder = out / recipe.slug
    publish(folder, recipe.title, {**made, report.NAME: report.report_bytes(whole)}, check)
    return folder
