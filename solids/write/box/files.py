"""Every file of a box, and the one way to write them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from solids.aids.asked import AidsAsked
from solids.layout.box import BOARD_KINDS, BoxLayout
from solids.layout.cut_list import cut_list
from solids.model.box import BoxPart
from solids.model.kernel import mesh
from solids.model.kernel.shaping import Rows
from solids.proof.box import BoxProof, ProvedCorner, prove_box
from solids.recipe.box_resolved import SIDES
from solids.write import note, step, stl
from solids.write.box import cut_list_file, report
from solids.write.box import note as box_note
from solids.write.box.records import BoxReport
from solids.write.job import NOTE, FileKind, Group, Job
from solids.write.publish import Kept
from solids.write.report.records import NAME, FileRecord
from solids.write.scene import Scene
from solids.write.table import PAPER, keys_of_others
from solids.write.writing import File, Written, answers, refuse_passing_over, with_cautions, write_set

SHEET, BOX_NOTE, PAGE = "box-sheet.pdf", "box-note.md", "box.html"


@dataclass(frozen=True)
class BoxJob:
    """Everything that the files of a box are made from."""

    proof: BoxProof
    aids: AidsAsked | None = None

    @property
    def box(self) -> BoxLayout:
        """Its layout."""
        return self.proof.box

    @cached_property
    def scene(self) -> Scene:
        """What there is to look at."""
        from solids.write.box.scene import box_scene

        return box_scene(self.proof)

    @cached_property
    def corners(self) -> tuple[tuple[ProvedCorner, Job], ...]:
        """Each kind of corner, and what its own files are made from."""
        return tuple(
            (corner, Job(corner.layout, corner.cut, corner.finished, corner.proof, self.aids))
            for corner in self.proof.corners
        )


def prove_box_layout(box: BoxLayout) -> BoxJob:
    """Makes a box and proves it."""
    return BoxJob(prove_box(box))


def write_box(
    job: BoxJob,
    out: Path,
    progress: Callable[[str], None] = lambda _: None,
    groups: Sequence[Group] = ("corner",),
    only: Collection[str] = (),
) -> Written:
    """Makes, re-reads and publishes the files of a box, and those groups that a corner has of its own. Raises as
    `write_files` does for a corner."""
    recipe = job.box.recipe
    there = [(file, group) for group in groups for file in _files(job, group)]
    refuse_passing_over(only, ((file.name, group) for file, group in there), "a box like this")
    asked = [file for file, group in there if not only or any(answers(file.name, group, name) for name in only)]
    files = with_cautions(asked, (*_files(job, "corner"), *_files(job, "paper")))
    notices: tuple[str, ...] = ()

    def report_of(fresh: Mapping[str, FileRecord], kept: Kept) -> tuple[BoxReport, list[FileRecord]]:
        nonlocal notices
        if "paper" in groups or any(_group_of(name) == "paper" for name in kept.names):
            notices = _paper_notices(job)
        whole = report.make_box_report(job.proof, notices)
        stay = [kept.record(name, whole, keys_of_others(_group_of(name), name)) for name in kept.names if name != NAME]
        records = [*fresh.values(), *stay]
        return whole.model_copy(update={"files": tuple(records)}), records

    written = write_set(out / recipe.slug, recipe.title, files, report_of, progress)
    return replace(written, notices=notices if "paper" in groups else ())


def _paper_notices(job: BoxJob) -> tuple[str, ...]:
    """What a maker should know about the paper of each kind of corner; what holds for all is told once."""
    from solids.write.paper.notices import paper_notices

    told: dict[str, list[str]] = {}
    for corner, of_corner in job.corners:
        for notice in paper_notices(of_corner.layout):
            told.setdefault(notice, []).append(corner.title)
    return tuple(
        notice if len(places) == len(job.corners) else f"{_sentence(' and '.join(places))}: {notice}"
        for notice, places in told.items()
    )


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _group_of(name: str) -> Group:
    """The group of a file in the folder, by where it lies: paper and aids of a kind of corner have folders of their
    own."""
    folder = name.rpartition("/")[0]
    if folder.endswith("-aids"):
        return "aids"
    return "paper" if folder or name == SHEET else "corner"


def _files(job: BoxJob, group: Group) -> Iterator[File]:
    if group == "corner":
        yield from _box_files(job)
    elif group == "paper":
        yield _sheet(job)
        for corner, of_corner in job.corners:
            for kind in PAPER:
                yield _of_corner(f"{corner.slug}/{kind.name}", corner, of_corner, kind)
    elif group == "model":
        yield _model(job)
    elif group == "page":
        yield _page(job)
    elif group == "picture":
        yield _picture(job)
    elif group == "aids":
        yield from _aids(job)


# --- the box itself ------------------------------------------------------------------------------


def _box_files(job: BoxJob) -> Iterator[File]:
    title, proof = job.box.recipe.title, job.proof
    yield _assembly("box.step", "the box as cut, every board in its place", title, proof.cut)
    yield _assembly("box-finished.step", "the box as finished", title, proof.finished)
    for part in proof.cut:
        yield _stl(job, part)
    rows = cut_list(job.box)
    yield File(
        "cut-list.csv",
        "the cut list, finished and rough, for a spreadsheet",
        lambda: cut_list_file.csv_bytes(rows),
        lambda path: cut_list_file.reread(path, rows),
        BOX_NOTE,
    )
    for corner, of_corner in job.corners:
        yield _corner_note(job, corner, of_corner)
    yield File(
        BOX_NOTE,
        "cut list, marks, corners, the order of work, and the cautions",
        lambda: box_note.note_bytes(proof, [(file.name, file.holds) for file in _box_files(job)]),
        note.reread,
        BOX_NOTE,
    )


def _sheet(job: BoxJob) -> File:
    def make() -> bytes:
        from solids.write.box.sheet import box_sheet_bytes

        return box_sheet_bytes(job.proof)

    def reread(path: Path) -> None:
        from solids.write.paper import pdf

        pdf.reread(path)

    return File(SHEET, "cut list, marks and the order of work, on one page", make, reread, SHEET)


def _model(job: BoxJob) -> File:
    from solids.write import gltf

    model = gltf.Model(job.scene, tuple(part.in_place for part in job.proof.cut))
    holds = "the box as cut, for viewers, in metres; its boards come home"
    return File("box.glb", holds, lambda: gltf.glb_bytes(model), lambda path: gltf.reread(path, model), BOX_NOTE)


def _page(job: BoxJob) -> File:
    def make() -> bytes:
        from solids.write.box.page import box_page_bytes

        beside = [(file.name, file.holds) for file in (*_box_files(job), _model(job))]
        return box_page_bytes(job.proof, job.scene, [*beside, (NAME, "every number, for programs")])

    def reread(path: Path) -> None:
        from solids.write.page.page import reread as reread_page

        reread_page(path)

    return File(PAGE, "a page to turn the box, take it apart and cut it open", make, reread, PAGE)


def _picture(job: BoxJob) -> File:
    def make() -> bytes:
        from solids.write.picture import png_bytes

        return png_bytes(job.scene)

    def reread(path: Path) -> None:
        from solids.write.picture import reread as reread_png

        reread_png(path)

    return File("box.png", "a picture of the box, put together and apart", make, reread, BOX_NOTE)


def _assembly(name: str, holds: str, title: str, parts: Sequence[BoxPart]) -> File:
    pieces: dict[str, list[BoxPart]] = {}
    for part in parts:
        pieces.setdefault(part.piece, []).append(part)
    made = [
        step.Part(" and ".join(part.name for part in alike), alike[0].solid, alike[0].wood, _places(alike))
        for alike in pieces.values()
    ]
    return File(
        name, holds, lambda: step.step_bytes(title, holds, made), lambda path: step.reread(path, title, made), BOX_NOTE
    )


def _places(parts: Sequence[BoxPart]) -> tuple[tuple[str, Rows], ...]:
    return tuple((part.name, part.rows) for part in parts)


def _stl(job: BoxJob, part: BoxPart) -> File:
    volume = job.box.panel.volume if job.box.panel and part.name == "bottom" else None
    meant = volume if volume is not None else job.box.board_volume(part.name, finished=False)  # type: ignore[arg-type]
    return File(
        f"{part.name}.stl",
        f"the {part.name} as cut, as a mesh in mm, in its place in the box",
        lambda: stl.stl_bytes(f"{part.name} as cut", mesh(part.in_place)),
        lambda path: stl.reread(path, meant),
        BOX_NOTE,
    )


def _corner_note(job: BoxJob, corner: ProvedCorner, of_corner: Job) -> File:
    """With the models of the boards that meet at such corners."""
    name = f"{corner.slug}-{NOTE}"
    holds = f"how to cut {corner.title} with a router and a jig"
    parts = {part.name: part for part in job.proof.cut}
    models = {side: _stl(job, parts[side]) for side in SIDES if any(side in each for each in corner.names)}
    tails, pins = (
        [file.name for side, file in models.items() if job.box.kind_of(side) == kind] for kind in BOARD_KINDS
    )
    beside = [*((file.name, file.holds) for file in models.values()), (name, holds)]

    def make() -> bytes:
        return note.note_bytes(of_corner.layout, of_corner.proof, beside, (tails, pins), f"{corner.slug}/drawing.dxf")

    return File(name, holds, make, note.reread, name)


# --- what a corner has of its own ----------------------------------------------------------------


def _of_corner(name: str, corner: ProvedCorner, job: Job, kind: FileKind) -> File:
    holds, folder = f"{corner.title}: {kind.holds}", name.rpartition("/")[0]
    cautions = f"{folder}/{kind.cautions.rpartition('/')[2]}"
    return File(name, holds, lambda: kind.make(job), lambda path: kind.reread(path, job), cautions)


def _aids(job: BoxJob) -> Iterator[File]:
    """The aids of each kind of corner; one that an earlier corner has too is not made again."""
    from solids.write.aid_files import aid_files

    seen: set[bytes] = set()
    for corner, of_corner in job.corners:
        again: set[str] = set()
        for kind in aid_files(of_corner):
            base = kind.name.split("/")[1]
            if base.endswith(".stl"):
                content = kind.make(of_corner)
                again |= {base.removesuffix(".stl")} if content in seen else set()
                seen.add(content)
            if base.rpartition(".")[0] not in again:
                yield _of_corner(f"{corner.slug}-aids/{base}", corner, of_corner, kind)
