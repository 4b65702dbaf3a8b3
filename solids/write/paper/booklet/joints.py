"""The chapters on each kind of joint: what to set and gauge, and the templates at full size."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from solids.base.cautions import IN_A_BOOKLET
from solids.base.errors import InputError
from solids.bench.listing import bench_words
from solids.bench.settings import bench_of
from solids.layout import Layout
from solids.proof.verdict import JointVerdict
from solids.write.drafting.cutter_words import cutter_lines
from solids.write.drafting.paper import PaperSize
from solids.write.drafting.tiling import Page
from solids.write.paper.lists import chisel_lines, pin_table, tail_table, tails_head
from solids.write.paper.numbers import put_heading, put_numbers
from solids.write.paper.template import put_template, template_pages
from solids.write.paper.typesetting.columns import put_text, two_columns
from solids.write.paper.typesetting.flow import head, small
from solids.write.paper.typesetting.pdf import Pages

SIZES = (12.0, 11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0)


def put_joint(file: Pages, joint: JointVerdict, paper: PaperSize, larger: float) -> None:
    """Both chapters of one kind of joint."""
    layout, failing = joint.layout, not joint.passes
    named = f": {joint.kind.title}" if joint.kind.title else ""
    sheet, pages, without = _template(layout)
    file.chapter(f"Setup{named}")
    top = put_heading(file, layout, paper, failing=failing)
    top = put_numbers(file, layout, paper, top)
    column = two_columns(file, top)[0].width
    put_text(file, lambda size: _lists(layout, size, column, without), top, [size * larger for size in SIZES])
    file.next_page()
    if pages:
        file.turn(sheet.width, sheet.height)
        file.chapter(f"Template{named}")
        put_template(file, layout, pages, "sheet", IN_A_BOOKLET, failing=failing)
        file.turn(paper.width, paper.height)


def _template(layout: Layout) -> tuple[PaperSize, tuple[Page, ...], str]:
    """The sheet and the pages of the template; where it takes more than anybody glues together, none, and why."""
    try:
        return *template_pages(layout), ""
    except InputError as err:
        return PaperSize("A4", 0.0, 0.0), (), f"There is no template here. {err}."


def _lists(layout: Layout, size: float, width: float, without: str) -> list[Flowable]:
    """What to set and which lines to gauge, which chisels fit, and where all tails and pins lie."""
    machine = cutter_lines(layout)
    flow: list[Flowable] = [
        head("Set and gauge", size),
        *small((*bench_words(layout), *bench_of(layout).lines_left), size),
        *_apart(size, head("Chisels", size), *chisel_lines(layout, size)),
    ]
    if machine:
        flow += _apart(size, head("Router cutters, see the note for CNC", size), *small(machine, size))
    if without:
        flow += _apart(size, head("Template", size), *small([without], size))
    tails = tail_table(layout, layout.counted(layout.tails), size, width)
    flow += _apart(size, tails_head(layout, size), tails)
    return [*flow, *_apart(size, head("Pins as cut, from the same edge", size), pin_table(layout, size, width))]


def _apart(size: float, *parts: Flowable) -> list[Flowable]:
    return [Spacer(1, size * 0.6), *parts]
