"""How drawings, models, pages and pictures are made and read back. Their libraries load where one is asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from solids.write.files.demand import on_demand
from solids.write.named import Made
from solids.write.report.records.record import NAME as REPORT

if TYPE_CHECKING:
    from solids.base.messages import Units
    from solids.recipe.tables.resolved import DxfVersion
    from solids.write.files.job import Job
    from solids.write.formats.gltf import Model


@on_demand
def drawing_pdf() -> Made:
    """The shop drawing of a joint, to print."""
    from solids.write.paper.typesetting import pdf

    words = "shop drawing of the corner as cut"
    return lambda job, kind: pdf.sheet_pdf(job.joint(kind).drawing, words), lambda path, *_: pdf.reread(path)


@on_demand
def drawing_svg() -> Made:
    """The same as a picture."""
    from solids.write.paper import svg

    return (
        lambda job, kind: svg.svg_bytes(job.joint(kind).drawing),
        lambda path, job, kind: svg.reread(path, job.joint(kind).drawing),
    )


@on_demand
def drawing_dxf() -> Made:
    """The same for CAD and CAM."""
    from solids.write.paper import dxf

    return (
        lambda job, kind: dxf.dxf_bytes(job.joint(kind).drawing, *kind.layout.recipe.paper.dxf),
        lambda path, job, kind: dxf.reread(path, job.joint(kind).drawing, *kind.layout.recipe.paper.dxf),
    )


@on_demand
def whole_pdf() -> Made:
    """All drawings of a whole box, to print."""
    from solids.write.paper.typesetting import pdf

    words = "drawings of the whole box"
    return lambda job: pdf.sheet_pdf(
        job.drawings.pages[0], words, *job.drawings.pages[1:], title=job.title
    ), lambda path, _: pdf.reread(path)


def whole_svg(name: str) -> Made:
    """One drawing of a whole box as a picture."""

    @on_demand
    def made() -> Made:
        from solids.write.paper import svg

        return lambda job: svg.svg_bytes(job.drawings.sheet(name)), lambda path, job: svg.reread(
            path, job.drawings.sheet(name)
        )

    return made


def whole_dxf(name: str) -> Made:
    """The same for CAD."""

    @on_demand
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


def model(*, with_gaps: bool) -> Made:
    """A GLB model, its faces in the colour of their wood, or `with_gaps` in that of how they meet."""

    @on_demand
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

    @on_demand
    def made() -> Made:
        from solids.write.page.page import page_bytes, reread

        def make(job: Job) -> bytes:
            beside, more = links(job)
            return page_bytes(job.proof, job.scene, [*beside, (REPORT, "every number, for programs")], more)

        return make, lambda path, _: reread(path)

    return made


@on_demand
def picture() -> Made:
    """A picture of a piece."""
    from solids.write.formats import picture

    return lambda job: picture.png_bytes(job.scene), lambda path, job: picture.reread(path, job.scene)
