"""The one table of the files that a corner is written to, and the one way to write them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from solids.model.corner import PIN_BOARD, TAIL_BOARD, Corner
from solids.write import note, report, step, stl
from solids.write.job import AIDS_FOLDER, NOTE, SETUP_SHEET, FileKind, Group, Job, prove_layout
from solids.write.publish import Kept
from solids.write.report.records import FileRecord
from solids.write.writing import File, Written, answers, refuse_passing_over, with_cautions, write_set

if TYPE_CHECKING:
    from solids.write import gltf

__all__ = ["CORNER", "FILES", "NOTE", "PAPER", "FileKind", "Group", "Job", "Written", "prove_layout", "write_files"]


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

    return template_bytes(job.layout, failing=not job.proof.passes)


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


# So do those for what is to be looked at.


def _model(job: Job, *, with_gaps: bool) -> gltf.Model:
    from solids.write import gltf

    return gltf.Model(job.scene, (job.cut.tail_board, job.cut.pin_board), with_gaps)


def _glb(name: str, holds: str, group: Group, *, with_gaps: bool) -> FileKind:
    def make(job: Job) -> bytes:
        from solids.write import gltf

        return gltf.glb_bytes(_model(job, with_gaps=with_gaps))

    def reread(path: Path, job: Job) -> None:
        from solids.write import gltf

        gltf.reread(path, _model(job, with_gaps=with_gaps))

    return FileKind(name, holds, make, reread, group)


def _page(job: Job) -> bytes:
    from solids.write.page.page import page_bytes

    beside = [(kind.name, kind.holds) for kind in FILES if kind.group in ("corner", "model")]
    return page_bytes(job.layout, job.proof, job.scene, [*beside, (report.NAME, "every number, for programs")])


def _reread_page(path: Path, _: Job) -> None:
    from solids.write.page.page import reread

    reread(path)


def _picture(job: Job) -> bytes:
    from solids.write.picture import png_bytes

    return png_bytes(job.scene)


def _reread_picture(path: Path, _: Job) -> None:
    from solids.write.picture import reread

    reread(path)


FILES: tuple[FileKind, ...] = (
    _corner_step("corner.step", "both boards as cut, put together", lambda job: job.cut),
    _corner_step("corner-finished.step", "both boards as finished, put together", lambda job: job.finished),
    _board_step("tail-board.step", "the tail board as cut", TAIL_BOARD),
    _board_step("pin-board.step", "the pin board as cut", PIN_BOARD),
    FileKind(
        "tail-board.stl",
        "the tail board as cut, as a mesh in mm",
        lambda job: stl.stl_bytes("tail board as cut", job.meshes[0]),
        lambda path, job: stl.reread(path, job.layout.tail_board_volume(job.cut.state)),
    ),
    FileKind(
        "pin-board.stl",
        "the pin board as cut, as a mesh in mm",
        lambda job: stl.stl_bytes("pin board as cut", job.meshes[1]),
        lambda path, job: stl.reread(path, job.layout.pin_board_volume(job.cut.state)),
    ),
    FileKind(
        NOTE,
        "how to cut this joint with a router and a jig, and the cautions",
        lambda job: note.note_bytes(job.layout, job.proof, [(kind.name, kind.holds) for kind in CORNER]),
        lambda path, _: note.reread(path),
    ),
    FileKind(
        SETUP_SHEET, "what to set, saw, chop and plane, on one page", _setup_sheet, _reread_pdf, "paper", SETUP_SHEET
    ),
    FileKind(
        "template.pdf", "both boards at 1:1, to fold over their ends", _template, _reread_pdf, "paper", SETUP_SHEET
    ),
    FileKind("drawing.dxf", "the shop drawing, with outlines for CAM", _drawing_dxf, _reread_dxf, "paper", SETUP_SHEET),
    FileKind("drawing.svg", "the shop drawing as a picture", _drawing_svg, _reread_svg, "paper", SETUP_SHEET),
    FileKind("drawing.pdf", "the shop drawing, to print", _drawing_pdf, _reread_pdf, "paper", SETUP_SHEET),
    _glb(
        "corner.glb", "both boards as cut, for viewers: in metres, the tail board slides home", "model", with_gaps=False
    ),
    _glb("corner-gaps.glb", "the same, each face coloured by how it meets its mate", "gaps", with_gaps=True),
    FileKind(
        "corner.html",
        "a page to turn the joint, take it apart and cut it open",
        _page,
        _reread_page,
        "page",
        "corner.html",
    ),
    FileKind("corner.png", "a picture of the joint, put together and apart", _picture, _reread_picture, "picture"),
)
"""Every file but the report, which lists them, and the shop aids, whose number depends on the joint."""

CORNER: tuple[FileKind, ...] = tuple(kind for kind in FILES if kind.group == "corner")
PAPER: tuple[FileKind, ...] = tuple(kind for kind in FILES if kind.group == "paper")


def write_files(
    job: Job,
    out: Path,
    progress: Callable[[str], None] = lambda _: None,
    groups: Sequence[Group] = ("corner",),
    only: Collection[str] = (),
) -> Written:
    """Makes, re-reads and publishes the files of some groups; of those `only` some, by the names of files or groups,
    where any are named. What holds the cautions of a file comes with it.

    `progress` is told what is being made. Files of ours that are in the folder already and are not made anew stay; the
    report lists them too, as stale where the recipe has changed since. Raises FileError as `publish` does, InputError
    where the paper is too small, and ReadBackError where a file does not read back as what was meant.
    """
    recipe = job.layout.recipe
    order = [kind.name for kind in FILES]
    kinds = _kinds(job, groups)
    refuse_passing_over(only, ((kind.name, kind.group) for kind in kinds), "a single corner")
    asked = [kind for kind in kinds if not only or any(answers(kind.name, kind.group, name) for name in only)]
    files = with_cautions([_bound(kind, job) for kind in asked], (_bound(kind, job) for kind in FILES))
    notices: tuple[str, ...] = ()

    def report_of(fresh: Mapping[str, FileRecord], kept: Kept) -> tuple[report.Report, list[FileRecord]]:
        nonlocal notices
        if "paper" in groups or any(kind.name in kept.names for kind in PAPER):
            notices = _paper_notices(job)
        whole = report.make_report(job.layout, job.proof, notices=notices)
        known = [name for name in kept.names if name in order or name.startswith(AIDS_FOLDER)]
        listed = {**{name: kept.record(name, whole, keys_of_others(_group_of(name), name)) for name in known}, **fresh}
        records = sorted(listed.values(), key=lambda record: _place(order, record.name))
        return whole.model_copy(update={"files": tuple(records)}), records

    written = write_set(out / recipe.slug, recipe.title, files, report_of, progress)
    return replace(written, notices=notices if "paper" in groups else ())


def _bound(kind: FileKind, job: Job) -> File:
    return File(kind.name, kind.holds, lambda: kind.make(job), lambda path: kind.reread(path, job), kind.cautions)


OWN_KEYS: dict[Group, tuple[str, ...]] = {
    "corner": (),
    "model": (),
    "gaps": (),
    "page": (),
    "picture": (),
    "paper": ("paper_size", "paper_corner_relief", "kit_cutters_mm"),
    "aids": (
        "print_bed_mm",
        "print_nozzle_mm",
        "print_clearance_mm",
        "print_magnet_mm",
        "kit_bush_mm",
        "kit_cutters_mm",
    ),
}
"""Keys of the recipe, as the report writes them, that only the files of one group depend on."""


def keys_of_others(group: Group, name: str) -> set[str]:
    """The keys that a change of leaves a file of a group as good as it was."""
    own = {*OWN_KEYS[group], *(("kit_cutters_mm",) if name.endswith(NOTE) else ())}
    return {key for keys in OWN_KEYS.values() for key in keys} - own


def _group_of(name: str) -> Group:
    return next((kind.group for kind in FILES if kind.name == name), "aids")


def _kinds(job: Job, groups: Sequence[Group]) -> list[FileKind]:
    """The files of some groups, in the order of the table, the shop aids last."""
    kinds = [kind for kind in FILES if kind.group in groups]
    if "aids" in groups:
        from solids.write.aid_files import aid_files

        kinds += aid_files(job)
    return kinds


def _place(order: Sequence[str], name: str) -> tuple[int, str]:
    """Where a file stands in the report: as in the table, then by name."""
    return (order.index(name), "") if name in order else (len(order), name)


def _paper_notices(job: Job) -> tuple[str, ...]:
    from solids.write.paper.notices import paper_notices

    return paper_notices(job.layout)
