"""The sheet of a box for the bench: one upright page with a picture of it, the cut list, the marks, the order of work
with boxes to tick, what to watch, and the cautions. Where there is much to watch, a second page. PDF, set with
reportlab's platypus."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from solids.base.cautions import FAILS
from solids.base.messages import joined, said
from solids.bench.box_procedure import box_work
from solids.bench.listing import summary_in_place
from solids.bench.materials import weight_words
from solids.bench.procedure import WorkStep
from solids.bench.worktime import corners_of, time_words
from solids.layout.box.bottom import bottom_words
from solids.layout.box.cut_list import TALLIED, Rows, cut_list, cut_list_rows, glue_ups_told
from solids.layout.box.kinds import box_headline
from solids.layout.box.lid_words import lid_words, top_words
from solids.proof.verdict import Verdict
from solids.write.drafting.fitted import fitted_in
from solids.write.drafting.paper import PAPERS
from solids.write.drafting.sheet import Item
from solids.write.paper.typesetting.columns import one_column, put_text
from solids.write.paper.typesetting.flow import (
    cautions_flow,
    flow_height,
    head,
    largest,
    no_padding,
    put,
    safe,
    style,
    to_tick,
    told_table,
)
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import EDGE, Pages
from solids.write.paper.typesetting.picture import Picture

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
CAUTION_SHARE = 0.82

PICTURE = (4.6, 3.1)
"""Width and height of the picture beside the title in mm, for letters of one point: it shrinks with them."""


def box_sheet_bytes(proof: Verdict, picture: Sequence[Item]) -> bytes:
    """The PDF file, with letters as large as will fit on one page; where none will, with the cautions on a second one,
    or what to watch as well; and where even that is too little, on as many pages as it takes."""
    recipe = proof.box.recipe
    size = recipe.corners["front left"].paper.size
    paper = PAPERS["A4" if size == "A3" else size]
    file = Pages(in_font(recipe.title), "sheet of a box for the bench", paper.width, paper.height)
    room = paper.width - 2 * EDGE, paper.height - 2 * EDGE
    for split in range(3):
        if pages := largest(SIZES, partial(_split, proof, picture, room, split)):
            for flow, foot in pages:
                _put_page(file, flow, foot, room)
            return file.bytes()
    put_text(file, lambda letters: _whole(proof, picture, letters, room[0]), file.height - EDGE, SIZES, one_column)
    file.next_page()
    return file.bytes()


def _whole(proof: Verdict, picture: Sequence[Item], size: float, width: float) -> list[Flowable]:
    return [*_text(proof, picture, size, width), *watched(proof, size), *cautions_flow(size)]


def _split(
    proof: Verdict, picture: Sequence[Item], room: tuple[float, float], split: int, size: float
) -> tuple[tuple[list[Flowable], list[Flowable]], ...] | None:
    """One of three ways to divide it in letters of a size: each page, and what stands at its foot. None where one is
    too full."""
    width, height = room
    text, grave = _text(proof, picture, size, width), watched(proof, size)
    cautions = cautions_flow(size * CAUTION_SHARE)
    pages: tuple[tuple[list[Flowable], list[Flowable]], ...] = (
        (([*text, *grave], cautions),),
        (([*text, *grave], []), (cautions, [])),
        ((text, []), ([*grave, *cautions], [])),
    )[split]
    if any(flow_height(flow, width) + flow_height(foot, width) > height for flow, foot in pages):
        return None
    return pages


def _put_page(file: Pages, flow: list[Flowable], foot: list[Flowable], room: tuple[float, float]) -> None:
    """Puts text on a page of its own, `foot` at its lower edge; no page where there is none."""
    if not flow:
        return
    below = flow_height(foot, room[0])
    put(file, flow, (EDGE, EDGE + below), (room[0], room[1] - below))
    put(file, foot, (EDGE, EDGE), (room[0], below))
    file.next_page()


def _opening(proof: Verdict, picture: Sequence[Item], size: float, width: float) -> Table:
    """Title, headline and verdict, with the picture on their right."""
    words: list[Flowable] = [
        Paragraph(f"<b>{safe(proof.box.recipe.title)}</b>", style(size * 1.9, after=size * 0.4)),
        Paragraph(safe(box_headline(proof.box)), style(size, after=size * 0.2)),
    ]
    if not proof.passes:
        words.append(Paragraph(f"<b>{safe(FAILS)}</b>", style(size * 1.2, after=size * 0.3)))
    wide, high = (share * size for share in PICTURE)
    thin = [replace(item, layer="small picture") for item in picture]
    shown = Picture(fitted_in(thin, (4.0, 0.0), (wide, high)), wide, high)
    table = Table([[words, shown]], colWidths=[(width - wide) * mm, wide * mm])
    table.setStyle(no_padding(0))
    return table


def _text(proof: Verdict, picture: Sequence[Item], size: float, width: float) -> list[Flowable]:
    box = proof.box
    body, gap = style(size, after=size * 0.2), Spacer(1, size * 0.6)
    flow: list[Flowable] = [_opening(proof, picture, size, width)]
    flow += [gap, head("Cut list", size), cut_list_table(cut_list_rows(box), size, width)]
    flow.append(Paragraph(safe(f"{TALLIED[box.recipe.units]}{glue_ups_told(box)}"), body))
    flow.append(Paragraph(safe(weight_words(proof.assembly)), body))
    flow += [gap, head("Marks", size)]
    flow += [Paragraph(f"<b>{safe(row.name)}</b>: {safe(row.mark)}.", body) for row in cut_list(box)]
    flow += [gap, head("Corners", size)]
    for corner in proof.joints:
        flow.append(Paragraph(f"<b>{safe(corner.kind.title)}</b>: {safe(summary_in_place(corner.layout))}", body))
    flow.append(Paragraph(safe(time_words(corners_of(proof.assembly))), body))
    if bottom := bottom_words(box):
        flow += [gap, head("Bottom", size), Paragraph(safe(said(bottom, box.recipe.units)), body)]
    if lid := lid_words(box):
        told = said(joined(filter(None, (lid, top_words(box)))), box.recipe.units)
        flow += [gap, head("Lid", size), Paragraph(safe(told), body)]
    work = box_work(box, [joint.layout for joint in proof.joints], proof.steps, proof.parts)
    flow += [gap, head("Order of work", size), *(ticked(step, size) for step in work.before)]
    flow += [to_tick(Paragraph(safe(step), style(size)), size, indent=6.0) for step in work.together]
    return [*flow, *(ticked(step, size) for step in work.after)]


def watched(proof: Verdict, size: float) -> list[Flowable]:
    """What fails, and what to take care with."""
    grave = [finding for finding in proof.findings if finding.severity in ("fail", "warning")]
    return [Paragraph(safe(finding.words), style(size, after=size * 0.2)) for finding in grave]


def ticked(step: WorkStep, size: float) -> Table:
    """A step with a box to tick."""
    return to_tick(Paragraph(f"<b>{safe(step.what)}.</b> {safe(step.how)}", style(size)), size)


def cut_list_table(rows: Rows, size: float, width: float) -> Table:
    """A cut list as `told_rows` tells it, as wide as given (mm)."""
    heads, told = rows
    return told_table((heads, *told), (0.08, 0.13, 0.21, 0.21, 0.21, 0.07, 0.09), size * 0.92, width)
