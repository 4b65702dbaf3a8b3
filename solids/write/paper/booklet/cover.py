"""The cover: what the piece is, a picture of it, its sizes, what to buy, and the verdict of its proof."""

from __future__ import annotations

from collections.abc import Sequence
from functools import singledispatch

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from solids.base.cautions import FAILS, IN_A_BOOKLET
from solids.base.fonts import fitted
from solids.base.lengths import CALIPER, format_length, format_sizes
from solids.base.messages import capital, counted
from solids.bench.buying import else_to_buy, wood_rows
from solids.bench.listing import summary
from solids.bench.materials import weight_words
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import TALLIED
from solids.layout.box.fitted.lining import room_within
from solids.layout.box.kinds import box_headline
from solids.layout.box.lid_words import inside_z
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.proof.verdict import Verdict
from solids.write.drafting.fitted import APART, TOGETHER, above_words
from solids.write.drafting.sheet import Item, Label
from solids.write.named import PIECES
from solids.write.paper.typesetting.columns import BETWEEN
from solids.write.paper.typesetting.flow import flow_height, head, no_padding, put, safe, style, told_table
from solids.write.paper.typesetting.pdf import EDGE, Pages

TITLE = 8.0
"""Height of the capitals of the title, in mm."""

PICTURE_SHARE = 0.36
"""The share of the page's height that the picture takes at least, where the words allow it."""

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0)


REASONS = 2
"""How many of the reasons for which a piece fails stand on the cover; all of them stand in the last chapter."""


def put_cover(file: Pages, proof: Verdict, drawn: Sequence[Item], larger: float) -> None:
    """The page, with the piece as it is `drawn`. Letters are `larger` on larger paper."""
    file.chapter("Cover")
    width, top = file.width - 2 * EDGE, _put_title(file, proof.assembly.recipe.title)
    for size in (size * larger for size in SIZES):
        above, below = _headline(proof, size), _below(proof, size, width)
        heights = flow_height(above, width), flow_height(below, width)
        picture = top - EDGE - sum(heights)
        if picture >= PICTURE_SHARE * file.height:
            break
    put(file, above, (EDGE, top - heights[0]), (width, heights[0]))
    put(file, below, (EDGE, EDGE), (width, heights[1]))
    if picture > 30.0:
        low, high = (EDGE, EDGE + heights[1] + 2.0), (EDGE + width, top - heights[0])
        file.draw(above_words(drawn, low, high, TOGETHER if proof.assembly.box else APART))
    file.next_page()


def _put_title(file: Pages, title: str) -> float:
    """The title. Returns the height below which the page is free."""
    lines, height = fitted(title, file.width - 2 * EDGE, TITLE, most_lines=2, bold=True)
    y = file.height - EDGE - height
    for row, text in enumerate(lines):
        file.draw([Label(text, (EDGE, y - 1.5 * height * row), height, "left", bold=True)])
    return y - 1.5 * height * (len(lines) - 1) - 4.0


def _headline(proof: Verdict, size: float) -> list[Flowable]:
    what = PIECES[proof.assembly.name]
    checks = counted(sum(finding.severity == "pass" for finding in proof.findings), "check")
    warnings = sum(finding.severity == "warning" for finding in proof.findings)
    watch = f" {capital(counted(warnings, 'warning'))}: see the last pages." if warnings else ""
    verdict = f"Proved: {what.proved}. {checks} passed.{watch}" if proof.passes else FAILS
    wrong = [finding.words for finding in proof.findings if finding.severity == "fail"][:REASONS]
    return [
        Paragraph(safe(_words(proof.assembly.plan)), style(size * 1.1, after=size * 0.4)),
        Paragraph(f"<b>{safe(verdict)}</b>", style(size * 1.1, after=size * 0.4)),
        *(Paragraph(safe(words), style(size, after=size * 0.4)) for words in wrong),
    ]


@singledispatch
def _words(plan: Layout | BoxLayout) -> str:
    """The piece in a sentence."""
    raise TypeError(plan)


@_words.register
def _(plan: Layout) -> str:
    return f"{capital(summary(plan))}."


@_words.register
def _(plan: BoxLayout) -> str:
    return box_headline(plan)


def _below(proof: Verdict, size: float, width: float) -> list[Flowable]:
    """Sizes on the left, what to buy on the right, and a word of caution."""
    plan = proof.assembly.plan
    left, right = 0.42 * width - BETWEEN, 0.58 * width
    sides = Table([[_sizes(proof, size), _to_buy(plan, size, right)]], colWidths=[(left + BETWEEN) * mm, right * mm])
    sides.setStyle(TableStyle([("RIGHTPADDING", (0, 0), (0, 0), BETWEEN * mm)], parent=no_padding(0)))
    return [sides, Spacer(1, size * 0.6), Paragraph(safe(IN_A_BOOKLET), style(size * 0.82))]


def _sizes(proof: Verdict, size: float) -> list[Flowable]:
    plan, body = proof.assembly.plan, style(size, after=size * 0.25)
    flow: list[Flowable] = [head("Sizes", size)]
    flow += [Paragraph(f"{safe(what)}: <b>{safe(told)}</b>", body) for what, told in _told_sizes(plan)]
    flow.append(Paragraph(safe(weight_words(proof.assembly)), body))
    for joint in proof.joints if proof.assembly.box else ():
        words = f"<b>{safe(joint.kind.heading)}</b>: {safe(summary(joint.layout))}."
        flow.append(Paragraph(words, style(size * 0.92, after=size * 0.25)))
    return flow


@singledispatch
def _told_sizes(plan: Layout | BoxLayout) -> list[tuple[str, str]]:
    """What is measured of the finished piece, and how much it is."""
    raise TypeError(plan)


@_told_sizes.register
def _(plan: Layout) -> list[tuple[str, str]]:
    units = plan.recipe.units
    boards = [(f"{capital(row.name)}, finished", format_sizes(row.finished, units)) for row in boards_of(plan)]
    return [("Joint, wide", format_length(plan.width, units, CALIPER)), *boards]


@_told_sizes.register
def _(plan: BoxLayout) -> list[tuple[str, str]]:
    units, height = plan.recipe.units, plan.recipe.closed_height
    low, high = inside_z(plan)
    sizes = {"Outside": (*plan.outside, height), "Inside": (*room_within(plan), high - low)}
    return [(what, format_sizes(size, units, CALIPER)) for what, size in sizes.items()]


def _to_buy(plan: Layout | BoxLayout, size: float, width: float) -> list[Flowable]:
    heads, rows = wood_rows(plan)
    table = told_table((heads, *rows), (0.2, 0.26, 0.34, 0.2), size * 0.92, width)
    tallied = TALLIED[plan.recipe.units]
    words = tallied + " ".join(else_to_buy(plan))
    return [head("To buy", size), table, Paragraph(safe(words), style(size * 0.92))]
