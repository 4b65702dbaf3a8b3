"""How each file of the table (`named.py`) is made and read back, and how the files of a piece are written."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from solids.base.messages import capital
from solids.bench.cutting_words import missing_words
from solids.layout.assembly import JointKind, assembly_of
from solids.recipe.tables.box_resolved import SIDES
from solids.write.files import on_demand
from solids.write.files.job import Job, JointJob, prove_layout
from solids.write.files.listing import JobOf, file_of, listed, rows_of
from solids.write.files.papers import PAPERS
from solids.write.files.solid_files import SOLIDS
from solids.write.files.writing import Written, answers, refuse_passing_over, with_cautions, write_set
from solids.write.named import (
    AIDS_FOLDER,
    AIDS_NOTE,
    BOOKLET,
    BOX_NOTE,
    DRAWINGS,
    DRAWN,
    GROUPS,
    NOTE,
    PIECES,
    ROWS,
    File,
    Group,
    Made,
    Row,
    group_of,
    in_piece,
    name_at,
    offered,
)
from solids.write.notes import box_note, markdown, note
from solids.write.publishing.publish import Kept, still_there
from solids.write.publishing.stale import keys_of_others
from solids.write.report import piece_report
from solids.write.report.records.record import FileRecord, Record

if TYPE_CHECKING:
    from solids.write.files.ahead import Ahead

__all__ = ["GROUPS", "NOTE", "File", "Group", "Job", "Written", "files_of", "papers", "prove_layout", "write_files"]


# --- notes ---------------------------------------------------------------------------------------


def _note(job: Job, kind: JointKind) -> bytes:
    """The note for one kind of joint, with the boards that meet there as they lie in the machine."""
    proof = job.joint(kind).proof
    if job.proof.assembly.box is None:
        return note.note_bytes(kind.layout, proof, job.boards.values(), beside(job, "corner"), not_asked(job))
    met = [side for side in SIDES if any(side in name for name in kind.names)]
    own = name_at(kind.slug, NOTE)
    files = [(name, holds) for name, holds in beside(job, "corner") if name == own or Path(name).stem in met]
    return note.note_bytes(kind.layout, proof, [job.boards[side] for side in met], files)


def _reread_note(path: Path, *_: object) -> None:
    markdown.reread(path)


_page = on_demand.page(lambda job: (beside(job, "corner", "model"), not_asked(job, "model", "page")))

MADE: dict[str, Made] = {
    NOTE: (_note, _reread_note),
    BOX_NOTE: (
        lambda job: box_note.note_bytes(job.proof, beside(job, "corner"), not_asked(job), job.cutting),
        _reread_note,
    ),
    "drawings.pdf": on_demand.whole_pdf,
    **{f"{DRAWINGS}{kind}.dxf": on_demand.whole_dxf(kind) for kind in DRAWN},
    **{f"{DRAWINGS}{kind}.svg": on_demand.whole_svg(kind) for kind in DRAWN},
    "drawing.dxf": on_demand.drawing_dxf,
    "drawing.svg": on_demand.drawing_svg,
    "drawing.pdf": on_demand.drawing_pdf,
    "corner.glb": on_demand.model(with_gaps=False),
    "box.glb": on_demand.model(with_gaps=False),
    "corner-gaps.glb": on_demand.model(with_gaps=True),
    "corner.html": _page,
    "box.html": _page,
    "corner.png": on_demand.picture,
    "box.png": on_demand.picture,
}
"""How the file of each row is made and read back that takes every figure of the proof; all others are in `papers.py`
and `solid_files.py`."""


# --- from rows to files --------------------------------------------------------------------------


def _job_of(job: Job) -> JobOf:
    def of(row: Row) -> tuple[Made, object]:
        if row.name in PAPERS:
            return PAPERS[row.name], job.paper
        if row.name in SOLIDS:
            return SOLIDS[row.name], job.solids
        return MADE[row.name], job

    return of


def papers(joint: JointJob) -> list[File]:
    """The papers of one joint, by their plain names."""
    rows = [row for row in ROWS if row.group == "paper" and row.scope == "joint"]
    return [file_of(row, assembly_of(joint.layout), _job_of(joint.job), joint.kind) for row in rows]


def files_of(job: Job, group: Group) -> list[File]:
    """The files of a group in a piece, in the order of the table. Files of joints come joint by joint."""
    if group == "aids":
        return list(_aids(job))
    assembly = job.proof.assembly
    return listed(assembly, rows_of(assembly, group), _job_of(job))


def beside(job: Job, *groups: Group) -> list[tuple[str, str]]:
    """The names of some groups of files, and what each file holds; where single files were asked for, of those that
    are there, with what there is of single boards."""
    if job.there is None:
        return [(file.name, file.holds) for group in groups for file in files_of(job, group)]
    files = (file for group in (*groups, "board") for file in files_of(job, group))
    return [(file.name, file.holds) for file in files if file.name in job.there]


def not_asked(job: Job, *made: Group) -> list[tuple[str, str, list[str]]]:
    """What a plain build leaves out, but for some groups that were `made`: the command that writes it, what it is, and
    its files, of the aids their notes. Where single files were asked for, only those that are there are named."""
    found, plain = [], {name for name, _ in beside(job, "corner")}
    if job.there is not None and not {file.name for file in files_of(job, "corner")} <= job.there:
        found.append(("halfpin build", "the whole set", list[str]()))
    notes = [name_at(joint.kind.slug, AIDS_FOLDER + AIDS_NOTE) for joint in job.joints]
    if job.there is not None:
        notes = [name for name in notes if name in job.there]
    for group, command, words in offered(job.piece, made):
        names = notes if group == "aids" else [name for name, _ in beside(job, group)]
        found.append((command, words, [name for name in names if name not in plain]))
    return found


def _aids(job: Job) -> Iterator[File]:
    """The aids of each kind of joint. An aid that an earlier joint has too is not made again."""
    from solids.write.files.aid_files import aid_files

    for joint in job.joints:
        if not joint.has_no_aids_of_its_own:
            yield from (in_piece(file, joint.kind) for file in aid_files(joint))


# --- writing -------------------------------------------------------------------------------------


def write_files(
    job: Job,
    out: Path,
    progress: Callable[[str], None] = lambda _: None,
    groups: Sequence[Group] = ("corner",),
    only: Collection[str] = (),
    ahead: Sequence[Ahead] = (),
) -> Written:
    """Makes, re-reads and publishes the files of some groups: all of them, or `only` those with certain names or in
    certain groups. The file that holds another's cautions comes with it.

    `progress` is told what is being made. Some may be made `ahead`. Files of ours that are in the folder already and
    are not made anew stay; the report lists them too, as stale where the recipe has changed since. Raises FileError as
    `publish` does, InputError where the paper is too small, and ReadBackError where a file does not read back as what
    was meant.
    """
    recipe = job.proof.assembly.recipe
    if only:
        job = _knowing_what_is_there(job, out, groups, only)
    _ = job.cutting  # made here once, as the files are made by processes of their own
    by_group = {group: files_of(job, group) for group in GROUPS if group != "aids" or group in groups}
    there = [(file, group) for group, files in by_group.items() if group in groups for file in files]
    refuse_passing_over(only, ((file.name, group) for file, group in there), PIECES[job.piece].called)
    asked = _once(file for file, group in there if not only or any(answers(file.name, group, name) for name in only))
    every = _once(file for group, files in by_group.items() if group != "aids" for file in files)
    chosen, order = with_cautions(asked, every), [file.name for file in every]

    def report_of(fresh: Mapping[str, FileRecord], kept: Kept) -> tuple[Record, list[FileRecord]]:
        notices = (*whole.notices, *_paper_notices(job, {*kept.names, *fresh}), *_missing(job))
        # A corner and a box of one title share a folder, and each lists what the other has made.
        known = {name: group for name in kept.names if (group := group_of(name))}
        old = {name: kept.record(name, whole, keys_of_others(group, name)) for name, group in known.items()}
        listed = {**old, **fresh}
        records = sorted(listed.values(), key=lambda record: _place(order, record.name))
        return whole.model_copy(update={"files": tuple(records), "notices": notices}), records

    for one in ahead:
        one.tell(job)
    whole = piece_report(job.proof.assembly, job.proof, job.cutting)
    written = write_set(out / recipe.slug, recipe.title, chosen, report_of, progress, ahead)
    return replace(written, notices=(*_paper_notices(job, {file.name for file in chosen}), *_missing(job)))


def _knowing_what_is_there(job: Job, out: Path, groups: Sequence[Group], only: Collection[str]) -> Job:
    """The job with the names of what lies in the folder once single files are written, but for aids, which notes do not
    name one by one."""
    every = [(file, group) for group in GROUPS if group != "aids" for file in files_of(job, group)]
    asked = [file for file, group in every if group in groups and any(answers(file.name, group, name) for name in only)]
    made = {file.name for file in with_cautions(asked, (file for file, _ in every))}
    recipe = job.proof.assembly.recipe
    return replace(job, there=frozenset(made.union(still_there(out / recipe.slug, recipe.title, made).names)))


def _once(files: Iterable[File]) -> list[File]:
    """Each file once, though it come with two groups."""
    return list({file.name: file for file in files}.values())


def _paper_notices(job: Job, names: Collection[str]) -> tuple[str, ...]:
    """What a maker should know about the paper of each kind of joint, where there are such files. What holds for all
    kinds is said once. A booklet has no paths of cutters."""
    groups = {group_of(name) for name in names}
    drawn = "paper" in groups
    if not drawn and "board" not in groups and BOOKLET not in names:
        return ()
    from solids.write.paper.notices import letter_notices, paper_notices

    told: dict[str, list[str]] = {}
    for joint in job.joints:
        for notice in (paper_notices if drawn else letter_notices)(joint.layout):
            told.setdefault(notice, []).append(joint.kind.title)
    return tuple(
        notice if len(titles) == len(job.joints) else f"{capital(' and '.join(titles))}: {notice}"
        for notice, titles in told.items()
    )


def _missing(job: Job) -> tuple[str, ...]:
    """The pieces for which the maker's rack has no board."""
    units, missing = job.proof.assembly.recipe.units, job.cutting.missing if job.cutting else ()
    return tuple(missing_words(one, units) for one in missing)


def _place(order: Sequence[str], name: str) -> tuple[int, str]:
    """Where a file stands in the report: as in the table, then by name."""
    return (order.index(name), "") if name in order else (len(order), name)
