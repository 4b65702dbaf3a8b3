"""How each paper is made and read back. The libraries for paper load only where paper is asked for."""

from __future__ import annotations

from pathlib import Path

from solids.write.job import Job, JointJob, Made


def _sheet_of_box(job: Job) -> bytes:
    from solids.write.box.sheet import box_sheet_bytes

    return box_sheet_bytes(job.proof)


def _setup_sheet(joint: JointJob) -> bytes:
    from solids.write.paper.setup_sheet import setup_sheet_bytes

    return setup_sheet_bytes(joint.layout, failing=not joint.proof.passes)


def _template(joint: JointJob) -> bytes:
    from solids.write.paper.template import template_bytes

    return template_bytes(joint.layout, failing=not joint.proof.passes)


def _drawing_pdf(joint: JointJob) -> bytes:
    from solids.write.paper.pdf import sheet_pdf

    return sheet_pdf(joint.drawing, "shop drawing of the corner as cut")


def _drawing_svg(joint: JointJob) -> bytes:
    from solids.write.paper.svg import svg_bytes

    return svg_bytes(joint.drawing)


def _drawing_dxf(joint: JointJob) -> bytes:
    from solids.write.paper.dxf import dxf_bytes

    return dxf_bytes(joint.drawing)


def _reread_pdf(path: Path, _: object) -> None:
    from solids.write.paper.pdf import reread

    reread(path)


def _reread_svg(path: Path, joint: JointJob) -> None:
    from solids.write.paper.svg import reread

    reread(path, joint.drawing)


def _reread_dxf(path: Path, joint: JointJob) -> None:
    from solids.write.paper.dxf import reread

    reread(path, joint.drawing)


sheet_of_box: Made = (_sheet_of_box, _reread_pdf)
setup_sheet: Made = (_setup_sheet, _reread_pdf)
template: Made = (_template, _reread_pdf)
drawing_dxf: Made = (_drawing_dxf, _reread_dxf)
drawing_svg: Made = (_drawing_svg, _reread_svg)
drawing_pdf: Made = (_drawing_pdf, _reread_pdf)
