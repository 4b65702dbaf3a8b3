"""How each file of the table (`named.py`) is made and read back, and the one way to write them."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from solids.base.messages import capital
from solids.layout.assembly import PieceName
from solids.layout.box import BOARD_KINDS
from solids.layout.cut_list import cut_list
from solids.model.kernel import mesh
from solids.model.parts import Part
from solids.recipe.box_resolved import SIDES
from solids.write import note, step, stl
from solids.write.box import cut_list_file
from solids.write.box import note as box_note
from solids.write.job import FileKind, Job, JointJob, Made, prove_layout
from solids.write.named import (
    BOX_NOTE,
    BOX_SHEET,
    GROUPS,
    NAMED,
    NOTE,
    NOTE_OF,
    ROWS,
    SETUP_SHEET,
    Group,
    Row,
    group_of,
    name_at,
)
from solids.write.paper_files import drawing_dxf, drawing_pdf, drawing_svg, setup_sheet, sheet_of_box, template
from solids.write.publish import Kept
from solids.write.report.pieces import report_of_proof
from solids.write.report.record import Record
from solids.write.report.records import FileRecord
from solids.write.view_files import model, page, picture
from solids.write.writing import File, Written, answers, refuse_passing_over, with_cautions, write_set

__all__ = ["GROUPS", "NOTE", "FileKind", "Group", "Job", "Written", "files_of", "papers", "prove_layout", "write_files"]


# --- solids --------------------------------------------------------------------------------------


def _step(name: str, pick: Callable[[Job], Sequence[Part]]) -> Made:
    """All parts in one file; those of one shape are one part, placed more than once."""
    (row,) = NAMED[name]

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

    return (
        lambda job: step.step_bytes(job.title, row.holds, parts(job)),
        lambda path, job: step.reread(path, job.title, parts(job)),
    )


def _board_step(job: Job, part: Part) -> bytes:
    return step.step_bytes(f"{job.title}, {part.name}", f"the {part.name} as cut", [_alone(part)])


def _alone(part: Part) -> step.Part:
    return step.Part(part.name, part.solid, part.wood)


def _board_stl(_: Job, part: Part) -> bytes:
    return stl.stl_bytes(f"{part.name} as cut", mesh(part.in_place))


def _reread_board_stl(path: Path, job: Job, part: Part) -> None:
    stl.reread(path, job.proof.assembly.volume(part.name, finished=False))


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


MADE: dict[str, Made | dict[PieceName, Made]] = {
    "corner.step": _step("corner.step", lambda job: job.proof.cut),
    "corner-finished.step": _step("corner-finished.step", lambda job: job.proof.finished),
    "box.step": _step("box.step", lambda job: job.proof.cut),
    "box-finished.step": _step("box-finished.step", lambda job: job.proof.finished),
    "{board}.step": (_board_step, lambda path, _, part: step.reread(path, part.name, [_alone(part)])),
    "{board}.stl": (_board_stl, _reread_board_stl),
    "cut-list.csv": (
        lambda job: cut_list_file.csv_bytes(cut_list(job.proof.box)),
        lambda path, job: cut_list_file.reread(path, cut_list(job.proof.box)),
    ),
    NOTE: {"corner": (_note, _reread_note), "box": (_note_of_kind, _reread_note)},
    BOX_NOTE: (lambda job: box_note.note_bytes(job.proof, beside(job, "corner")), _reread_note),
    BOX_SHEET: sheet_of_box,
    SETUP_SHEET: setup_sheet,
    "template.pdf": template,
    "drawing.dxf": drawing_dxf,
    "drawing.svg": drawing_svg,
    "drawing.pdf": drawing_pdf,
    "corner.glb": model(with_gaps=False),
    "box.glb": model(with_gaps=False),
    "corner-gaps.glb": model(with_gaps=True),
    "corner.html": page(lambda job: beside(job, "corner", "model")),
    "box.html": page(lambda job: beside(job, "corner", "model")),
    "corner.png": picture,
    "box.png": picture,
}
"""How each file of the table is made, and how the written file is read back: from a `Job`, with the part where its
scope is a board; from a `JointJob` where it is a joint."""


def _kind(row: Row, piece: PieceName) -> FileKind:
    made = MADE[row.name]
    make, reread = made[piece] if isinstance(made, dict) else made
    return FileKind(row.name, row.holds, make, reread, row.group, row.cautions or NOTE_OF[piece], row.scope)


# --- from rows to files --------------------------------------------------------------------------


def papers() -> tuple[FileKind, ...]:
    """The papers of one joint."""
    return tuple(_kind(row, "corner") for row in ROWS if row.group == "paper" and row.scope == "joint")


def files_of(job: Job, group: Group) -> list[File]:
    """The files of a group in a piece, in the order of the table; what each kind of joint has of its own, joint by
    joint."""
    if group == "aids":
        return list(_aids(job))
    kinds = [_kind(row, job.piece) for row in ROWS if row.group == group and job.piece in row.of]
    found: list[File] = []
    for scope, run in itertools.groupby(kinds, key=lambda kind: kind.scope):
        if scope == "piece":
            found += [_of_piece(kind, job) for kind in run]
        elif scope == "board":
            found += [_of_board(kind, job, part) for kind in run for part in job.proof.cut]
        else:
            each = list(run)
            found += [_of_joint(kind, joint) for joint in job.joints for kind in each]
    return found


def beside(job: Job, *groups: Group) -> list[tuple[str, str]]:
    """What lies in the folder: names, and what each holds."""
    return [(file.name, file.holds) for group in groups for file in files_of(job, group)]


def _of_piece(kind: FileKind, job: Job) -> File:
    return File(kind.name, kind.holds, lambda: kind.make(job), lambda path: kind.reread(path, job), kind.cautions)


def _of_board(kind: FileKind, job: Job, part: Part) -> File:
    return File(
        kind.name.format(board=part.name.replace(" ", "-")),
        kind.holds.format(board=part.name),
        lambda: kind.make(job, part),
        lambda path: kind.reread(path, job, part),
        kind.cautions,
    )


def _of_joint(kind: FileKind, joint: JointJob) -> File:
    slug, title = joint.kind.slug, joint.kind.title
    holds = kind.holds.format(kind=title) if not slug or kind.name == NOTE else f"{title}: {kind.holds}"
    return File(
        name_at(slug, kind.name),
        holds,
        lambda: kind.make(joint),
        lambda path: kind.reread(path, joint),
        name_at(slug, kind.cautions),
    )


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
    by_group = {group: files_of(job, group) for group in GROUPS if group != "aids" or group in groups}
    there = [(file, group) for group, files in by_group.items() if group in groups for file in files]
    what = "a single corner" if job.piece == "corner" else "a box like this"
    refuse_passing_over(only, ((file.name, group) for file, group in there), what)
    asked = [file for file, group in there if not only or any(answers(file.name, group, name) for name in only)]
    every = [file for group, files in by_group.items() if group != "aids" for file in files]
    chosen, order = with_cautions(asked, every), [file.name for file in every]
    notices: tuple[str, ...] = ()

    def report_of(fresh: Mapping[str, FileRecord], kept: Kept) -> tuple[Record, list[FileRecord]]:
        nonlocal notices
        if "paper" in groups or any(group_of(name) == "paper" for name in kept.names):
            notices = _paper_notices(job)
        whole = report_of_proof(job.proof, notices)
        # A corner and a box of one title share their folder, and each lists what the other has made.
        known = {name: group for name in kept.names if (group := group_of(name))}
        old = {name: kept.record(name, whole, keys_of_others(group, name)) for name, group in known.items()}
        listed = {**old, **fresh}
        records = sorted(listed.values(), key=lambda record: _place(order, record.name))
        return whole.model_copy(update={"files": tuple(records)}), records

    written = write_set(out / recipe.slug, recipe.title, chosen, report_of, progress)
    return replace(written, notices=notices if "paper" in groups else ())


def _paper_notices(job: Job) -> tuple[str, ...]:
    """What a maker should know about the paper of each kind of joint; what holds for all is told once."""
    from solids.write.paper.notices import paper_notices

    told: dict[str, list[str]] = {}
    for joint in job.joints:
        for notice in paper_notices(joint.layout):
            told.setdefault(notice, []).append(joint.kind.title)
    return tuple(
        notice if len(titles) == len(job.joints) else f"{capital(' and '.join(titles))}: {notice}"
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


def _place(order: Sequence[str], name: str) -> tuple[int, str]:
    """Where a file stands in the report: as in the table, then by name."""
    return (order.index(name), "") if name in order else (len(order), name)
