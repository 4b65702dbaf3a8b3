"""The one table of the files that a corner is written to, and the one way to write them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from solids.corner import PIN_BOARD, TAIL_BOARD, Corner, make_corner
from solids.errors import ReadBackError
from solids.fit import Proof, prove
from solids.layout import Layout
from solids.write import note, report, step, stl
from solids.write.publish import publish, still_there

if TYPE_CHECKING:
    from solids.drafting.sheet import Sheet

Group = Literal["corner", "paper"]


@dataclass(frozen=True)
class Job:
    """Everything that a file can be made from: one proved corner in both states."""

    layout: Layout
    cut: Corner
    finished: Corner
    proof: Proof

    @cached_property
    def drawing(self) -> Sheet:
        """The shop drawing, which three files share. InputError where it does not fit the paper."""
        from solids.drafting.views import shop_drawing

        return shop_drawing(self.layout, self.layout.recipe.paper.size)

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
    """One file: its name, what it holds, how its bytes are made, how the written file is re-read, and whether it comes
    with every corner or with the paper for the bench."""

    name: str
    holds: str
    make: Callable[[Job], bytes]
    reread: Callable[[Path, Job], None]
    group: Group = "corner"


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


# The libraries for paper load only where paper is asked for.


def _setup_sheet(job: Job) -> bytes:
    from solids.write.paper.setup_sheet import setup_sheet_bytes

    return setup_sheet_bytes(job.layout, failing=not job.proof.passes)


def _template(job: Job) -> bytes:
    from solids.write.paper.template import template_bytes

    return template_bytes(job.layout)


def _drawing_pdf(job: Job) -> bytes:
    from solids.write.paper.pdf import sheet_pdf

    return sheet_pdf(job.drawing, "shop drawing of the corner as cut")


def _drawing_svg(job: Job) -> bytes:
    from solids.write.paper.svg import svg_bytes

    return svg_bytes(job.drawing)


def _drawing_dxf(job: Job) -> bytes:
    from solids.write.paper.dxf import dxf_bytes

    return dxf_bytes(job.drawing)


def _reread_pdf(path: Path, _: Job) -> None:
    from solids.write.paper.pdf import reread

    reread(path)


def _reread_svg(path: Path, job: Job) -> None:
    from solids.write.paper.svg import reread

    reread(path, job.drawing)


def _reread_dxf(path: Path, job: Job) -> None:
    from solids.write.paper.dxf import reread

    reread(path, job.drawing)


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
        lambda job: note.note_bytes(job.layout, job.proof, [(kind.name, kind.holds) for kind in CORNER]),
        lambda path, _: note.reread(path),
    ),
    FileKind("setup-sheet.pdf", "what to set, saw, chop and plane, on one page", _setup_sheet, _reread_pdf, "paper"),
    FileKind("template.pdf", "both boards at 1:1, to fold over their ends", _template, _reread_pdf, "paper"),
    FileKind("drawing.dxf", "the shop drawing, with outlines for CAM", _drawing_dxf, _reread_dxf, "paper"),
    FileKind("drawing.svg", "the shop drawing as a picture", _drawing_svg, _reread_svg, "paper"),
    FileKind("drawing.pdf", "the shop drawing, to print", _drawing_pdf, _reread_pdf, "paper"),
)
"""Every file but the report, which lists them."""

CORNER: tuple[FileKind, ...] = tuple(kind for kind in FILES if kind.group == "corner")
PAPER: tuple[FileKind, ...] = tuple(kind for kind in FILES if kind.group == "paper")


@dataclass(frozen=True)
class Written:
    """What came of writing: the folder, how many files were made, which older ones are stale, and what a maker should
    know about the paper."""

    folder: Path
    count: int
    stale: tuple[str, ...]
    notices: tuple[str, ...]


def write_files(
    job: Job,
    out: Path,
    progress: Callable[[str], None] = lambda _: None,
    groups: Sequence[Group] = ("corner",),
) -> Written:
    """Makes, re-reads and publishes the files of some groups.

    `progress` is told what is being made. Files of ours that are in the folder already and are not made anew stay; the
    report lists them too, as stale where the recipe has changed since. Raises FileError as `publish` does, InputError
    where the paper is too small, and ReadBackError where a file does not read back as what was meant.
    """
    recipe = job.layout.recipe
    folder = out / recipe.slug
    kinds = [kind for kind in FILES if kind.group in groups]
    made: dict[str, bytes] = {}
    for kind in kinds:
        progress(kind.name)
        made[kind.name] = kind.make(job)
    fresh = {kind.name: report.file_record(kind.name, kind.holds, made[kind.name]) for kind in kinds}
    kept = still_there(folder, recipe.title, made)
    notices = _paper_notices(job, groups)
    whole = report.make_report(job.layout, job.proof, notices=notices)
    listed = {**{name: kept.record(name, whole) for name in kept.names}, **fresh}
    records = [listed[kind.name] for kind in FILES if kind.name in listed]
    whole = whole.model_copy(update={"files": tuple(records)})

    def check(staging: Path) -> None:
        for kind in kinds:
            progress(f"{kind.name}, reading back")
            if (staging / kind.name).read_bytes() != made[kind.name]:
                raise ReadBackError(f"{kind.name} is not on the disk as it was made")
            kind.reread(staging / kind.name, job)
        report.reread(staging / report.NAME, {record.name: record.sha256 for record in records})

    publish(folder, recipe.title, {**made, report.NAME: report.report_bytes(whole)}, check)
    stale = tuple(record.name for record in records if record.stale)
    return Written(folder, len(made) + 1, stale, tuple(notices))


def _paper_notices(job: Job, groups: Sequence[Group]) -> tuple[str, ...]:
    if "paper" not in groups:
        return ()
    from solids.write.paper.notices import paper_notices

    return paper_notices(job.layout)
