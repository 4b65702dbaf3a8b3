"""How each paper, and what a machine takes of each board, is made and read back, by layout and verdict and without a
solid. Their libraries load where one is asked for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from solids.bench.materials import bill_of_materials
from solids.layout.box.cut_list import cut_list
from solids.write.files.demand import on_demand
from solids.write.named import (
    BILL,
    BOARDS,
    BOOKLET,
    BOX_SHEET,
    CUT_LIST,
    CUTTING_PICTURE,
    CUTTING_PLAN,
    GLUE_UP,
    SETUP_SHEET,
    TEMPLATE,
    Made,
)
from solids.write.notes import bill_file, cut_list_file

if TYPE_CHECKING:
    from solids.layout.box.rows import CutListRow
    from solids.write.drafting.sheet import Sheet
    from solids.write.files.paper_job import PaperJob


@on_demand
def booklet() -> Made:
    """The booklet of a piece."""
    from solids.write.paper.booklet.booklet import booklet_bytes
    from solids.write.paper.typesetting import letters, pdf

    letters.load()  # before the proof is waited for
    return lambda job: booklet_bytes(job.verdict, job.picture), lambda path, _: pdf.reread(path)


@on_demand
def box_sheet() -> Made:
    """The sheet of a box."""
    from solids.write.paper import box_sheet
    from solids.write.paper.typesetting import pdf

    return lambda job: box_sheet.box_sheet_bytes(job.verdict, job.picture), lambda path, _: pdf.reread(path)


@on_demand
def cutting_plan() -> Made:
    """The cutting plan of a piece."""
    from solids.write.paper.cutting_plan import cutting_plan_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job: cutting_plan_bytes(job.cutting, job.assembly.recipe),
        lambda path, _: pdf.reread(path),
    )


@on_demand
def cutting_picture() -> Made:
    """The same boards as a picture."""
    from solids.base.cautions import SHARP
    from solids.write.drafting.cutting import picture
    from solids.write.paper import svg

    def sheet(job: PaperJob) -> Sheet:
        caution = f"{SHARP} Read the cautions in {CUTTING_PLAN}."
        assert job.cutting  # its row is of the rack
        return picture(job.cutting, job.title, caution, job.assembly.recipe.units)

    return lambda job: svg.svg_bytes(sheet(job)), lambda path, job: svg.reread(path, sheet(job))


@on_demand
def glue_up() -> Made:
    """The glue-up page of a piece."""
    from solids.write.paper.glue_up import glue_up_bytes
    from solids.write.paper.typesetting import pdf

    return lambda job: glue_up_bytes(job.verdict), lambda path, _: pdf.reread(path)


@on_demand
def setup_sheet() -> Made:
    """The setup sheet of a joint."""
    from solids.write.paper.setup_sheet import setup_sheet_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job, kind: setup_sheet_bytes(kind.layout, failing=job.fails(kind)),
        lambda path, *_: pdf.reread(path),
    )


@on_demand
def template() -> Made:
    """The template of a joint at 1:1."""
    from solids.write.paper.template import template_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job, kind: template_bytes(kind.layout, failing=job.fails(kind)),
        lambda path, *_: pdf.reread(path),
    )


@on_demand
def board_template() -> Made:
    """The template of one board at 1:1, of the joints at all of its ends."""
    from solids.write.paper.template import board_template_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job, board: board_template_bytes(job.assembly, board, failing=not job.verdict.passes),
        lambda path, *_: pdf.reread(path),
    )


@on_demand
def board_dxf() -> Made:
    """What a machine takes of a board."""
    from solids.write.drafting.outlines import machine_items
    from solids.write.paper import dxf

    def make(job: PaperJob, name: str) -> bytes:
        board = job.boards[name]
        return dxf.machine_dxf_bytes(machine_items(board), *board.recipe.paper.dxf)

    def reread(path: Path, job: PaperJob, name: str) -> None:
        board = job.boards[name]
        dxf.reread_machine(path, machine_items(board), *board.recipe.paper.dxf)

    return make, reread


@on_demand
def board_svg() -> Made:
    """The outline of a board at full size."""
    from solids.write.drafting.outlines import picture_at_full_size
    from solids.write.paper import svg

    def sheet(job: PaperJob, name: str) -> Sheet:
        return picture_at_full_size(job.boards[name], f"{job.title}, {name}")

    return lambda job, name: svg.svg_bytes(sheet(job, name)), lambda path, job, name: svg.reread(path, sheet(job, name))


def _cut_list(job: PaperJob) -> tuple[CutListRow, ...]:
    assert job.assembly.box  # its row is of boxes
    return cut_list(job.assembly.box)


PAPERS: dict[str, Made] = {
    f"{BOARDS}{{board}}.dxf": board_dxf,
    f"{BOARDS}{{board}}.svg": board_svg,
    f"{BOARDS}{{board}}.pdf": board_template,
    BILL: (
        lambda job: bill_file.csv_bytes(bill_of_materials(job.assembly)),
        lambda path, job: bill_file.reread(path, bill_of_materials(job.assembly)),
    ),
    CUTTING_PLAN: cutting_plan,
    CUTTING_PICTURE: cutting_picture,
    CUT_LIST: (
        lambda job: cut_list_file.csv_bytes(_cut_list(job)),
        lambda path, job: cut_list_file.reread(path, _cut_list(job)),
    ),
    BOOKLET: booklet,
    BOX_SHEET: box_sheet,
    GLUE_UP: glue_up,
    SETUP_SHEET: setup_sheet,
    TEMPLATE: template,
}
"""How the file of each row is made and read back: from a `PaperJob`, and from the board, by its name, or the kind of
joint that it is of."""
