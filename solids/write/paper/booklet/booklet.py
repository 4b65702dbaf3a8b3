"""The booklet of a piece, in the order of the work: cover, cut list, setup and templates of each kind of joint, the
glue-up, and the order of work with every caution. All of it stands on the paper that the templates take."""

from __future__ import annotations

from collections.abc import Sequence

from solids.proof.verdict import Verdict
from solids.write.drafting.paper import PAPERS
from solids.write.drafting.sheet import Item
from solids.write.paper.booklet.boards import put_boards
from solids.write.paper.booklet.cover import put_cover
from solids.write.paper.booklet.gluing import put_glue_chapter
from solids.write.paper.booklet.joints import put_joint
from solids.write.paper.booklet.work import put_work
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import Pages


def booklet_bytes(proof: Verdict, drawn: Sequence[Item]) -> bytes:
    """The PDF file, its pages numbered, with a bookmark for each chapter, and on the cover the piece as it is `drawn`.
    One that fails its proof says so there, and over each joint that fails."""
    paper = PAPERS[proof.joints[0].layout.recipe.paper.size]
    larger = paper.width / PAPERS["A4"].width if paper.name == "A3" else 1.0
    title = in_font(proof.assembly.recipe.title)
    file = Pages(title, "booklet for the bench; print at 100 %", paper.width, paper.height, numbered=True)
    put_cover(file, proof, drawn, larger)
    put_boards(file, proof.assembly.plan, larger)
    for joint in proof.joints:
        put_joint(file, joint, paper, larger)
    put_glue_chapter(file, proof, larger)
    put_work(file, proof, larger)
    return file.bytes()
