"""The chapter on the glue-up: the page that is written by itself too. Every caution stands in the last chapter."""

from __future__ import annotations

from reportlab.platypus import Flowable, Paragraph

from solids.base.cautions import IN_A_BOOKLET
from solids.proof.verdict import Verdict
from solids.write.paper.glue_up import put_glue_up
from solids.write.paper.typesetting.flow import safe, style
from solids.write.paper.typesetting.pdf import Pages


def put_glue_chapter(file: Pages, proof: Verdict, larger: float) -> None:
    """The chapter, on as few pages as it takes."""
    file.chapter("Glue-up")
    put_glue_up(file, proof, "Glue-up", _caution, larger)
    file.next_page()


def _caution(size: float) -> list[Flowable]:
    return [Paragraph(safe(IN_A_BOOKLET), style(size))]
