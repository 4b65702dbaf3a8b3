"""How papers, models, pages and pictures are made and read back. Their libraries load where one is asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solids.write.named import CUTTING_PLAN, Made
from solids.write.report.records.record import NAME as REPORT

if TYPE_CHECKING:
    from solids.base.messages import Units
    from solids.model.parts import Part
    from solids.recipe.tables.resolved import DxfVersion
    from solids.write.drafting.sheet import Sheet
    from solids.write.files.job import Job
    from solids.write.formats.gltf import Model


def _on_demand(load: Callable[[], Made]) -> Made:
    """What `load` gives, loaded when a file is made or read back."""

    def make(*of: Any) -> bytes:
        return load()[0](*of)

    def reread(path: Path, *of: Any) -> None:
        load()[1](path, *of)

    return make, reread


@_on_demand
def booklet() -> Made:
    """The booklet of a piece."""
    from solids.write.paper.booklet.booklet import booklet_bytes
    from solids.write.paper.typesetting import pdf

    return lambda job: booklet_bytes(job.proof), lambda path, _: pdf.reread(path)


@_on_demand
def box_sheet() -> Made:
    """The sheet of a box."""
    from solids.write.paper import box_sheet
    from solids.write.paper.typesetting import pdf

    return lambda job: box_sheet.box_sheet_bytes(job.proof), lambda path, _: pdf.reread(path)


@_on_demand
def cutting_plan() -> Made:
    """The cutting plan of a piece."""
    from solids.write.paper.cutting_plan import cutting_plan_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job: cutting_plan_bytes(job.cutting, job.proof.assembly.recipe),
        lambda path, _: pdf.reread(path),
    )


@_on_demand
def cutting_picture() -> Made:
    """The same boards as a picture."""
    from solids.base.cautions import SHARP
    from solids.write.drafting.cutting import picture
    from solids.write.paper import svg

    def sheet(job: Job) -> Sheet:
        caution = f"{SHARP} Read the cautions in {CUTTING_PLAN}."
        assert job.cutting  # its row is of the rack
        return picture(job.cutting, job.title, caution, job.proof.assembly.recipe.units)

    return lambda job: svg.svg_bytes(sheet(job)), lambda path, job: svg.reread(path, sheet(job))


@_on_demand
def glue_up() -> Made:
    """The glue-up page of a piece."""
    from solids.write.paper.glue_up import glue_up_bytes
    from solids.write.paper.typesetting import pdf

    return lambda job: glue_up_bytes(job.proof), lambda path, _: pdf.reread(path)


@_on_demand
def setup_sheet() -> Made:
    """The setup sheet of a joint."""
    from solids.write.paper.setup_sheet import setup_sheet_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda joint: setup_sheet_bytes(joint.layout, failing=not joint.proof.passes),
        lambda path, _: pdf.reread(path),
    )


@_on_demand
def template() -> Made:
    """The template of a joint at 1:1."""
    from solids.write.paper.template import template_bytes
    from solids.write.paper.typesetting import pdf

    return lambda joint: template_bytes(joint.layout, failing=not joint.proof.passes), lambda path, _: pdf.reread(path)


@_on_demand
def board_template() -> Made:
    """The template of one board at 1:1, of the joints at all of its ends."""
    from solids.write.paper.template import board_template_bytes
    from solids.write.paper.typesetting import pdf

    return (
        lambda job, part: board_template_bytes(job.proof.assembly, part.name, failing=not job.proof.passes),
        lambda path, *_: pdf.reread(path),
    )


@_on_demand
def drawing_pdf() -> Made:
    """The shop drawing of a joint, to print."""
    from solids.write.paper.typesetting import pdf

    words = "shop drawing of the corner as cut"
    return lambda joint: pdf.sheet_pdf(joint.drawing, words), lambda path, _: pdf.reread(path)


@_on_demand
def drawing_svg() -> Made:
    """The same as a picture."""
    from solids.write.paper import svg

    return lambda joint: svg.svg_bytes(joint.drawing), lambda path, joint: svg.reread(path, joint.drawing)


@_on_demand
def drawing_dxf() -> Made:
    """The same for CAD and CAM."""
    from solids.write.paper import dxf

    return (
        lambda joint: dxf.dxf_bytes(joint.drawing, *joint.layout.recipe.paper.dxf),
        lambda path, joint: dxf.reread(path, joint.drawing, *joint.layout.recipe.paper.dxf),
    )


@_on_demand
def whole_pdf() -> Made:
    """All drawings of a whole box, to print."""
    from solids.write.paper.typesetting import pdf

    words = "drawings of the whole box"
    return lambda job: pdf.sheet_pdf(
        job.drawings.pages[0], words, *job.drawings.pages[1:], title=job.title
    ), lambda path, _: pdf.reread(path)


def whole_svg(name: str) -> Made:
    """One drawing of a whole box as a picture."""

    @_on_demand
    def made() -> Made:
        from solids.write.paper import svg

        return lambda job: svg.svg_bytes(job.drawings.sheet(name)), lambda path, job: svg.reread(
            path, job.drawings.sheet(name)
        )

    return made


def whole_dxf(name: str) -> Made:
    """The same for CAD."""

    @_on_demand
    def made() -> Made:
        from solids.write.paper import dxf

        def make(job: Job) -> bytes:
            return dxf.dxf_bytes(job.drawings.sheet(name), *_dxf_of(job))

        def reread(path: Path, job: Job) -> None:
            dxf.reread(path, job.drawings.sheet(name), *_dxf_of(job))

        return make, reread

    return made


def _dxf_of(job: Job) -> tuple[Units, DxfVersion]:
    """The unit and the release that the maker asks for; the corners of a box have one paper."""
    return job.joints[0].layout.recipe.paper.dxf


@_on_demand
def board_dxf() -> Made:
    """What a machine takes of a board."""
    from solids.write.drafting.outlines import machine_items
    from solids.write.paper import dxf

    def make(job: Job, part: Part) -> bytes:
        board = job.boards[part.name]
        return dxf.machine_dxf_bytes(machine_items(board), *board.recipe.paper.dxf)

    def reread(path: Path, job: Job, part: Part) -> None:
        board = job.boards[part.name]
        dxf.reread_machine(path, machine_items(board), *board.recipe.paper.dxf)

    return make, reread


@_on_demand
def board_svg() -> Made:
    """The outline of a board at full size."""
    from solids.write.drafting.outlines import picture_at_full_size
    from solids.write.paper import svg

    def sheet(job: Job, part: Part) -> Sheet:
        return picture_at_full_size(job.boards[part.name], f"{job.title}, {part.name}")

    return lambda job, part: svg.svg_bytes(sheet(job, part)), lambda path, job, part: svg.reread(path, sheet(job, part))


def model(*, with_gaps: bool) -> Made:
    """A GLB model, its faces in the colour of their wood, or `with_gaps` in that of how they meet."""

    @_on_demand
    def made() -> Made:
        from solids.write.formats import gltf

        def of(job: Job) -> Model:
            return gltf.Model(job.scene, tuple(part.in_place for part in job.proof.cut), with_gaps)

        return lambda job: gltf.glb_bytes(of(job)), lambda path, job: gltf.reread(path, of(job))

    return made


Beside = list[tuple[str, str]]
More = list[tuple[str, str, list[str]]]


def page(links: Callable[[Job], tuple[Beside, More]]) -> Made:
    """A page with links to what lies beside it, and to what other commands write there."""

    @_on_demand
    def made() -> Made:
        from solids.write.page.page import page_bytes, reread

        def make(job: Job) -> bytes:
            beside, more = links(job)
            return page_bytes(job.proof, job.scene, [*beside, (REPORT, "every number, for programs")], more)

        return make, lambda path, _: reread(path)

    return made


@_on_demand
def picture() -> Made:
    """A picture of a piece."""
    from solids.write.formats import picture

    return lambda job: picture.png_bytes(job.scene), lambda path, job: picture.reread(path, job.scene)
