"""The setup sheet: one upright page for the bench. Numbers come first and large, with drawings beside them, then the
order of work with boxes to tick, what the wood will do, and the cautions.

Set with reportlab's platypus. The text below the numbers is set as large as will fit on the page.
"""

from __future__ import annotations

from functools import partial

from reportlab.platypus import Flowable, Paragraph, Spacer

from solids.bench.facts import wood_facts
from solids.bench.listing import scale_words
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.bench.worktime import time_words
from solids.layout import Layout
from solids.write.drafting.cutter_words import cutter_lines
from solids.write.drafting.paper import PAPERS, PaperSize
from solids.write.paper.lists import is_long, long_lists, short_lists
from solids.write.paper.numbers import put_heading, put_numbers
from solids.write.paper.typesetting.columns import one_column, put_text
from solids.write.paper.typesetting.flow import (
    cautions_flow,
    flow_height,
    head,
    largest,
    put,
    safe,
    small,
    style,
    to_tick,
)
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import EDGE, Pages

BODY_SIZES = (10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
LEFT_SHARES = (0.58, 0.52, 0.46, 0.4)
"""Shares of the width that the order of work may take, the widest first; the one that allows the largest letters is
used."""

CAUTION_SHARE = 0.82


def setup_sheet_bytes(layout: Layout, failing: bool) -> bytes:
    """The PDF file. `failing` puts a warning at the top, for a joint that did not pass its proof."""
    size = layout.recipe.paper.size
    paper = PAPERS["A4" if size == "A3" else size]
    file = Pages(in_font(layout.recipe.title), "setup sheet for the bench", paper.width, paper.height)
    top = put_heading(file, layout, paper, failing=failing)
    file.stamp()
    top = put_numbers(file, layout, paper, top)
    _text(file, layout, paper, top)
    file.next_page()
    return file.bytes()


def _text(file: Pages, layout: Layout, paper: PaperSize, top: float) -> None:
    """Order of work on the left, tables and wood on the right, cautions below, as large as the page allows. Where long
    names and many remarks leave no room, the cautions go on a page of their own, then the remarks as well, and at worst
    all text."""
    room = (paper.width - 2 * EDGE, top, EDGE)
    if not is_long(layout) and (columns := largest(BODY_SIZES, partial(_over_cautions, layout, room))):
        _put_columns(file, columns)
        return
    for remarked in (True, False):
        if columns := largest(BODY_SIZES, partial(_columns, layout, room, remarked=remarked)):
            _put_columns(file, columns)
            file.next_page()
            _second_page(file, layout, remarked=remarked)
            return
    file.next_page()
    _second_page(file, layout, remarked=False, worked=False)


def _second_page(file: Pages, layout: Layout, *, remarked: bool, worked: bool = True) -> None:
    """Long lists, what the first page has no room for, and the cautions; on further pages where it must. `remarked`
    says that the remarks stand on the first page, `worked` that the order of work and the tables do."""
    width = file.width - 2 * EDGE

    def text(size: float) -> list[Flowable]:
        remarks_here = [] if remarked else [head("Boards and wood", size), *_remarked(layout, size)]
        work_here = [] if worked else [*_work(layout, size), *_side(layout, size, width)]
        return [*work_here, *long_lists(layout, size, width), *remarks_here, *cautions_flow(size)]

    put_text(file, text, file.height - EDGE, BODY_SIZES, one_column)


Room = tuple[float, float, float]
"""The whole width, and the heights at which columns begin and end."""

Columns = list[tuple[list[Flowable], tuple[float, float], tuple[float, float]]]
"""Each with its lower left corner and its size."""


def _put_columns(file: Pages, columns: Columns) -> None:
    for flow, at, size in columns:
        put(file, flow, at, size)


def _over_cautions(layout: Layout, room: Room, size: float) -> Columns | None:
    """Both columns and the cautions below them, in letters of a size; None where they do not fit."""
    width, top, foot = room
    cautions = cautions_flow(size * CAUTION_SHARE)
    high = flow_height(cautions, width) - 1.0
    columns = _columns(layout, (width, top, foot + high), size)
    return columns and [*columns, (cautions, (EDGE, foot - 2.0), (width, high + 2.0))]


def _columns(layout: Layout, room: Room, size: float, *, remarked: bool = True) -> Columns | None:
    """Both columns in letters of a size; None where they do not fit. `remarked` puts the remarks there too."""
    width, top, foot = room
    height = top - foot
    for share in LEFT_SHARES:
        left, right = share * width, width - share * width
        work = _work(layout, size)
        if flow_height(work, left - 4.0) > height:
            return None  # nor does it in the narrower ones, which come next
        side = [*_side(layout, size, right), *(_remarked(layout, size) if remarked else [])]
        if flow_height(side, right) <= height:
            return [(work, (EDGE, foot), (left - 4.0, height)), (side, (EDGE + left, foot), (right, height))]
    return None


def _work(layout: Layout, size: float) -> list[Flowable]:
    flow: list[Flowable] = [
        head("Order of work", size),
        Paragraph(safe(time_words([layout])), style(size * 0.92, after=size * 0.3)),
    ]
    for step in order_of_work(layout):
        words = Paragraph(f"<b>{safe(step.what)}.</b> {safe(step.how)}", style(size))
        flow.append(to_tick(words, size))
    return flow


def _side(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Where the tails are, which chisels fit, which lines stay."""
    bench = bench_of(layout)
    flow = short_lists(layout, size, width)
    flow += [Paragraph(safe(words), style(size * 0.92)) for words in scale_words(layout)]
    machine = cutter_lines(layout)
    if machine:
        flow += [Spacer(1, size * 0.5), head("Router cutters, see the note for CNC", size)]
        flow += [Paragraph(safe(words), style(size * 0.92)) for words in machine]
    flow += [Spacer(1, size * 0.5), head("Lines and wood", size)]
    return [*flow, *small(bench.lines_left, size)]


def _remarked(layout: Layout, size: float) -> list[Flowable]:
    """What to watch, and what the wood does."""
    return small((found.words for found in (*remarks(layout), *wood_facts(layout))), size)
