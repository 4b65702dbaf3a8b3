"""The one table of the files that a piece is written to, and the one way to write them."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from solids.layout.assembly import PieceName
from solids.layout.box import BOARD_KINDS
from solids.layout.box_loose import BOTTOM
from solids.layout.cut_list import cut_list
from solids.model.kernel import mesh
from solids.model.parts import Part
from solids.recipe.box_resolved import SIDES
from solids.write import note, step, stl
from solids.write.box import cut_list_file
from solids.write.box import note as box_note
from solids.write.job import (
    AIDS_FOLDER,
    BOX_NOTE,
    BOX_SHEET,
    NOTE,
    SETUP_SHEET,
    FileKind,
    Group,
    Job,
    JointJob,
    prove_layout,
)
from solids.write.paper_files import drawing_dxf, drawing_pdf, drawing_svg, setup_sheet, sheet_of_box, template
from solids.write.publish import Kept
from solids.write.report.pieces import report_of_proof
from solids.write.report.record import Record
from solids.write.report.records import FileRecord
from solids.write.view_files import model, page, picture
from solids.write.writing import File, Written, answers, refuse_passing_over, with_cautions, write_set

__all__ = ["FILES", "NOTE", "PAPER", "FileKind", "Group", "Job", "Written", "files_of", "prove_layout", "write_files"]


# --- solids --------------------------------------------------------------------------------------


def _step(of: PieceName, name: str, holds: str, pick: Callable[[Job], Sequence[Part]]) -> FileKind:
    """All parts in one file; those of one shape are one part, placed more than once."""

    def parts(job: Job) -> list[step.Part]:
        shapes: dict[str, list[Part]] = {}
        for part in pick(job):
            shapes.setdefault(part.shape, []).append(part)
        return [
            step.Part(
                " and ".join(part.name for part in alike),
                alike[0].solid,
                alike[0].wood,
                tuple((part.name, part.rows) for part in alike),
            )
            for alike in shapes.values()
        ]

    return FileKind(
        name,
        holds,
        lambda job: step.step_bytes(job.title, holds, parts(job)),
        lambda path, job: step.reread(path, job.title, parts(job)),
        scope="piece",
        of=(of,),
    )


def _board_step(job: Job, part: Part) -> bytes:
    return step.step_bytes(f"{job.title}, {part.name}", f"the {part.name} as cut", [_alone(part)])


def _alone(part: Part) -> step.Part:
    return step.Part(part.name, part.solid, part.wood)


def _board_stl(of: PieceName, holds: str) -> FileKind:
    return FileKind(
        "{board}.stl",
        holds,
        lambda _, part: stl.stl_bytes(f"{part.name} as cut", mesh(part.in_place)),
        lambda path, job, part: stl.reread(path, job.proof.assembly.volume(part.name, finished=False)),
        scope="board",
        of=(of,),
    )


# --- notes ---------------------------------------------------------------------------------------


def _note(joint: JointJob) -> bytes:
    return note.note_bytes(joint.layout, joint.proof, beside(joint.job, "corner"))


def _note_of_kind(joint: JointJob) -> bytes:
    """With the models of the boards that meet at such corners."""
    box, slug = joint.job.proof.box, joint.kind.slug
    met = [side for side in SIDES if any(side in name for name in joint.kind.names)]
    models = {file.name: file.holds for file in files_of(joint.job, "corner")}
    tails, pins = ([f"{side}.stl" for side in met if box.kind_of(side) == kind] for kind in BOARD_KINDS)
    names = [*(f"{side}.stl" for side in met), f"{slug}-{NOTE}"]
    files = [(name, models[name]) for name in names]
    return note.note_bytes(joint.layout, joint.proof, files, (tails, pins), f"{slug}/drawing.dxf")


def _reread_note(path: Path, _: object) -> None:
    note.reread(path)


FILES: tuple[FileKind, ...] = (
    _step("corner", "corner.step", "both boards as cut, put together", lambda job: job.proof.cut),
    _step("corner", "corner-finished.step", "both boards as finished, put together", lambda job: job.proof.finished),
    _step("box", "box.step", "the box as cut, every board in its place", lambda job: job.proof.cut),
    _step("box", "box-finished.step", "the box as finished", lambda job: job.proof.finished),
    FileKind(
        "{board}.step",
        "the {board} as cut",
        _board_step,
        lambda path, _, part: step.reread(path, part.name, [_alone(part)]),
        scope="board",
        of=("corner",),
    ),
    _board_stl("corner", "the {board} as cut, as a mesh in mm"),
    _board_stl("box", "the {board} as cut, as a mesh in mm, in its place in the box"),
    FileKind(
        "cut-list.csv",
        "the cut list, finished and rough, for a spreadsheet",
        lambda job: cut_list_file.csv_bytes(cut_list(job.proof.box)),
        lambda path, job: cut_list_file.reread(path, cut_list(job.proof.box)),
        scope="piece",
        of=("box",),
    ),
    FileKind(
        NOTE,
        "how to cut this joint with a router and a jig, and the cautions",
        _note,
        _reread_note,
        cautions=NOTE,
        of=("corner",),
    ),
    FileKind(
        NOTE, "how to cut {kind} with a router and a jig", _note_of_kind, _reread_note, cautions=NOTE, of=("box",)
    ),
    FileKind(
        BOX_NOTE,
        "cut list, marks, corners, the order of work, and the cautions",
        lambda job: box_note.note_bytes(job.proof, beside(job, "corner")),
        _reread_note,
        scope="piece",
        of=("box",),
    ),
    FileKind(
        BOX_SHEET,
        "cut list, marks and the order of work, on one page",
        *sheet_of_box,
        "paper",
        BOX_SHEET,
        scope="piece",
        of=("box",),
    ),
    FileKind(SETUP_SHEET, "what to set, saw, chop and plane, on one page", *setup_sheet, "paper", SETUP_SHEET),
    FileKind("template.pdf", "both boards at 1:1, to fold over their ends", *template, "paper", SETUP_SHEET),
    FileKind("drawing.dxf", "the shop drawing, with outlines for CAM", *drawing_dxf, "paper", SETUP_SHEET),
    FileKind("drawing.svg", "the shop drawing as a picture", *drawing_svg, "paper", SETUP_SHEET),
    FileKind("drawing.pdf", "the shop drawing, to print", *drawing_pdf, "paper", SETUP_SHEET),
    FileKind(
        "corner.glb",
        "both boards as cut, for viewers: in metres, the tail board slides home",
        *model(with_gaps=False),
        "model",
        scope="piece",
        of=("corner",),
    ),
    FileKind(
        "box.glb",
        "the box as cut, for viewers, in metres; its boards come home",
        *model(with_gaps=False),
        "model",
        scope="piece",
        of=("box",),
    ),
    FileKind(
        "corner-gaps.glb",
        "the same, each face coloured by how it meets its mate",
        *model(with_gaps=True),
        "gaps",
        scope="piece",
        of=("corner",),
    ),
    FileKind(
        "corner.html",
        "a page to turn the joint, take it apart and cut it open",
        *page(lambda job: beside(job, "corner", "model")),
        "page",
        "corner.html",
        scope="piece",
        of=("corner",),
    ),
    FileKind(
        "box.html",
        "a page to turn the box, take it apart and cut it open",
        *page(lambda job: beside(job, "corner", "model")),
        "page",
        "box.html",
        scope="piece",
        of=("box",),
    ),
    FileKind(
        "corner.png",
        "a picture of the joint, put together and apart",
        *picture,
        "picture",
        scope="piece",
        of=("corner",),
    ),
    FileKind(
        "box.png", "a picture of the box, put together and apart", *picture, "picture", scope="piece", of=("box",)
    ),
)
"""Every file but the report, which lists them, and the shop aids, whose number depends on the joint."""

PAPER: tuple[FileKind, ...] = tuple(kind for kind in FILES if kind.group == "paper" and kind.scope == "joint")
"""The papers of one joint."""

GROUPS: tuple[Group, ...] = ("corner", "paper", "model", "gaps", "page", "picture")


# --- from rows to files --------------------------------------------------------------------------


def files_of(job: Job, group: Group) -> list[File]:
    """The files of a group in a piece, in the order of the table; what each kind of joint has of its own, joint by
    joint."""
    if group == "aids":
        return list(_aids(job))
    rows = [kind for kind in FILES if kind.group == group and job.piece in kind.of]
    found: list[File] = []
    for scope, run in itertools.groupby(rows, key=lambda kind: kind.scope):
        kinds = list(run)
        if scope == "piece":
            found += [_of_piece(kind, job) for kind in kinds]
        elif scope == "board":
            found += [_of_board(kind, job, part) for kind in kinds for part in job.proof.cut]
        else:
            found += [_of_joint(kind, joint) for joint in job.joints for kind in kinds]
    return found


def beside(job: Job, *groups: Group) -> list[tuple[str, str]]:
    """What lies in the folder: names, and what each holds."""
    return [(file.name, file.holds) for group in groups for file in files_of(job, group)]


def _cautions(kind: FileKind, job: Job) -> str:
    return kind.cautions or (NOTE if job.piece == "corner" else BOX_NOTE)


def _of_piece(kind: FileKind, job: Job) -> File:
    return File(
        kind.name, kind.holds, lambda: kind.make(job), lambda path: kind.reread(path, job), _cautions(kind, job)
    )


def _of_board(kind: FileKind, job: Job, part: Part) -> File:
    return File(
        kind.name.format(board=part.name.replace(" ", "-")),
        kind.holds.format(board=part.name),
        lambda: kind.make(job, part),
        lambda path: kind.reread(path, job, part),
        _cautions(kind, job),
    )


def _of_joint(kind: FileKind, joint: JointJob) -> File:
    """In a piece with several joints, in a folder of that kind of joint, or under its name."""
    slug, title = joint.kind.slug, joint.kind.title
    holds = kind.holds.format(kind=title) if not slug or kind.name == NOTE else f"{title}: {kind.holds}"
    return File(
        _name_at(slug, kind.name),
        holds,
        lambda: kind.make(joint),
        lambda path: kind.reread(path, joint),
        _name_at(slug, kind.cautions),
    )


def _name_at(slug: str, name: str) -> str:
    """The name of a joint's own file in the folder of its piece."""
    if not slug:
        return name
    return f"{slug}-{name}" if name == NOTE or name.startswith(AIDS_FOLDER) else f"{slug}/{name}"


def _aids(job: Job) -> Iterator[File]:
    """The aids of each kind of joint; one that an earlier joint has too is not made again."""
    from solids.write.aid_files import aid_files

    seen: set[bytes] = set()
    for joint in job.joints:
        again: set[str] = set()
        for kind in aid_files(joint):
            stem = kind.name.rpartition(".")[0]
            if kind.name.endswith(".stl") and len(job.joints) > 1:
                content = kind.make(joint)
                again |= {stem} if content in seen else set()
                seen.add(content)
            if stem not in again:
                yield _of_joint(kind, joint)


# --- writing -------------------------------------------------------------------------------------


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
    recipe = job.proof.assembly.recipe
    there = [(file, group) for group in GROUPS_AND_AIDS if group in groups for file in files_of(job, group)]
    what = "a single corner" if job.piece == "corner" else "a box like this"
    refuse_passing_over(only, ((file.name, group) for file, group in there), what)
    asked = [file for file, group in there if not only or any(answers(file.name, group, name) for name in only)]
    every = {group: files_of(job, group) for group in GROUPS}
    files = with_cautions(asked, (file for group in GROUPS for file in every[group]))
    order = [file.name for group in GROUPS for file in every[group]]
    notices: tuple[str, ...] = ()

    def report_of(fresh: Mapping[str, FileRecord], kept: Kept) -> tuple[Record, list[FileRecord]]:
        nonlocal notices
        if "paper" in groups or any(group_of(name) == "paper" for name in kept.names):
            notices = _paper_notices(job)
        whole = report_of_proof(job.proof, notices)
        known = [name for name in kept.names if _is_ours(name)]
        listed = {**{name: kept.record(name, whole, keys_of_others(group_of(name), name)) for name in known}, **fresh}
        records = sorted(listed.values(), key=lambda record: _place(order, record.name))
        return whole.model_copy(update={"files": tuple(records)}), records

    written = write_set(out / recipe.slug, recipe.title, files, report_of, progress)
    return replace(written, notices=notices if "paper" in groups else ())


GROUPS_AND_AIDS: tuple[Group, ...] = (*GROUPS, "aids")


def _paper_notices(job: Job) -> tuple[str, ...]:
    """What a maker should know about the paper of each kind of joint; what holds for all is told once."""
    from solids.write.paper.notices import paper_notices

    told: dict[str, list[str]] = {}
    for joint in job.joints:
        for notice in paper_notices(joint.layout):
            told.setdefault(notice, []).append(joint.kind.title)
    at = {notice: " and ".join(titles) for notice, titles in told.items()}
    return tuple(
        notice if len(titles) == len(job.joints) else f"{at[notice][0].upper()}{at[notice][1:]}: {notice}"
        for notice, titles in told.items()
    )


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


def group_of(name: str) -> Group:
    """The group of a file by its name in the folder of a piece. What no row names is one of the boards."""
    folder, _, base = name.rpartition("/")
    if re.fullmatch(r"(.+-)?aids", folder):
        return "aids"
    return next((kind.group for kind in FILES if kind.name == base), "corner")


def _is_ours(name: str) -> bool:
    """Whether a file of any piece has such a name: a corner and a box of one title share their folder."""
    base, boards = name.rpartition("/")[2], ("tail-board", "pin-board", *SIDES, BOTTOM)
    names = {kind.name.format(board=board) for kind in FILES for board in boards}
    return group_of(name) == "aids" or base in names or base.endswith(f"-{NOTE}")


def _place(order: Sequence[str], name: str) -> tuple[int, str]:
    """Where a file stands in the report: as in the table, then by name."""
    return (order.index(name), "") if name in order else (len(order), name)
