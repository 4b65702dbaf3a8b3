"""How what there is to look at is made and read back: models, pages, pictures. Their libraries load where one is asked
for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from solids.write.job import Job, Made
from solids.write.report import NAME as REPORT

if TYPE_CHECKING:
    from solids.write import gltf


def _model(job: Job, *, with_gaps: bool) -> gltf.Model:
    from solids.write import gltf

    return gltf.Model(job.scene, tuple(part.in_place for part in job.proof.cut), with_gaps)


def model(*, with_gaps: bool) -> Made:
    """A GLB model, its faces in the colour of their wood or of how they meet."""

    def make(job: Job) -> bytes:
        from solids.write import gltf

        return gltf.glb_bytes(_model(job, with_gaps=with_gaps))

    def reread(path: Path, job: Job) -> None:
        from solids.write import gltf

        gltf.reread(path, _model(job, with_gaps=with_gaps))

    return make, reread


def live_page(job: Job, version: int) -> bytes:
    """The page of a piece as a server shows it, which asks for later versions."""
    from solids.write.page.pieces import piece_page_bytes

    return piece_page_bytes(job, (), live=version)


def page(beside: Callable[[Job], list[tuple[str, str]]]) -> Made:
    """A page with links to what lies beside it."""

    def make(job: Job) -> bytes:
        from solids.write.page.pieces import piece_page_bytes

        return piece_page_bytes(job, [*beside(job), (REPORT, "every number, for programs")])

    def reread(path: Path, _: object) -> None:
        from solids.write.page.page import reread as reread_page

        reread_page(path)

    return make, reread


def _picture(job: Job) -> bytes:
    from solids.write.picture import png_bytes

    return png_bytes(job.scene)


def _reread_picture(path: Path, _: object) -> None:
    from solids.write.picture import reread

    reread(path)


picture: Made = (_picture, _reread_picture)
