"""The setup sheet: one upright page for the bench. Numbers come first and large, with drawings beside them, then the
order of work with boxes to tick, what the wood will do, and the cautions.

Set with reportlab's platypus. The text below the numbers is set as large as will fit on the page.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table, TableStyle

from solids import __version__
from solids.base.cautions import FAILS
from solids.base.errors import FaultError
from solids.base.fonts import fitted
from solids.base.lengths import CALIPER, MOST, RULE, Reading, format_length
from solids.bench.facts import wood_facts
from solids.bench.listing import cells_of, heads_of, pitch_of, scale_words
from solids.bench.place_words import measured_from, place_words
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import Bench, bench_of
from solids.bench.worktime import time_words
from solids.layout import Layout, Tail, tails_in_words
from solids.write.drafting.cutter_words import cutter_lines
from solids.write.drafting.paper import PAPERS, PaperSize
from solids.write.drafting.sheet import Item, Label, placed
from solids.write.drafting.template import Strip, strips
from solids.write.paper.flow import cautions_flow, flow_height, head, put, safe, style, to_tick
from solids.write.paper.letters import BOLD, PLAIN, in_font, width_of
from solids.write.paper.pdf import Pages

EDGE = 12.0
NUMBERS_WIDTH = 66.0
TITLE_HEIGHT = 5.0
NUMBERS_SIZE, CAPTION_SIZE = 19.0, 8.5
"""In points. Numbers are read at arm's length, captions from closer by."""

NAME_HEIGHT, LEAST_LETTERS = 2.1, 1.3
"""Heights of capitals in the small drawings, in mm: those of names, and the smallest that are drawn."""

BODY_SIZES = (10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5)
LEFT_SHARES = (0.58, 0.52, 0.46, 0.4)
"""Shares of the width that the order of work may take; the one that allows the largest letters is used."""

CAUTION_SHARE = 0.82

ROWS_SHOWN, FITS_SHOWN = 12, 9
"""How many tails, and kinds of socket, the first page lists one by one."""

BLOCK_ROWS = 50
"""How many tails stand in one column of the second page."""

INK, PALE = HexColor("#000000"), HexColor("#666666")


def setup_sheet_bytes(layout: Layout, failing: bool) -> bytes:
    """The PDF file. `failing` puts a warning at the top, for a joint that did not pass its proof."""
    size = layout.recipe.paper.size
    paper = PAPERS["A4" if size == "A3" else size]
    file = Pages(in_font(layout.recipe.title), "setup sheet for the bench", paper.width, paper.height)
    top = _heading(file, layout, paper, failing=failing)
    top = _numbers_and_drawings(file, layout, paper, top)
    _text(file, layout, paper, top)
    file.next_page()
    return file.bytes()


# --- heading, numbers, drawings ------------------------------------------------------------------


def _heading(file: Pages, layout: Layout, paper: PaperSize, *, failing: bool) -> float:
    """The title, and what the joint is. Returns the height below which the page is free (mm)."""
    canvas, recipe = file.canvas, layout.recipe
    room = paper.width - 2 * EDGE
    lines, height = fitted(recipe.title, room, TITLE_HEIGHT, most_lines=2, bold=True)
    y = paper.height - EDGE - 6.0
    file.draw(Label(text, (EDGE, y - 1.5 * height * row), height, "left", bold=True) for row, text in enumerate(lines))
    y -= 1.5 * height * (len(lines) - 1)
    canvas.setFont(PLAIN, CAPTION_SIZE)
    canvas.setFillColor(PALE)
    canvas.drawRightString((paper.width - EDGE) * mm, (EDGE - 6.5) * mm, f"halfpin {__version__}")
    canvas.setFillColor(INK)
    y -= 6.0
    woods = f"Tails: {recipe.tail_board.wood.told}; pins: {recipe.pin_board.wood.told}"
    alike = len({round(tail.width, 6) for tail in layout.tails}) == 1
    sizes = f"{_say(layout, layout.tails[0].width)} each" if alike else recipe.spacing
    what = f"{recipe.kind} dovetail, {tails_in_words(len(layout.tails))}, {sizes}"
    line = in_font(f"{what}, {_say(layout, layout.width, CALIPER)} wide. {woods}.")
    canvas.setFont(PLAIN, min(10.5, 10.5 * room * mm / width_of(line, 10.5)))
    canvas.drawString(EDGE * mm, y * mm, line)
    for words in place_words(layout):
        y -= 5.0
        text = in_font(words)
        canvas.setFont(BOLD, min(10.5, 10.5 * room * mm / width_of(text, 10.5, bold=True)))
        canvas.drawString(EDGE * mm, y * mm, text)
    if failing:
        y -= 6.5
        canvas.setFont(BOLD, 12)
        canvas.drawString(EDGE * mm, y * mm, FAILS)
    return y - 4.0


def _numbers(layout: Layout, bench: Bench) -> Iterator[tuple[str, str]]:
    """What to set and saw: a caption and its number."""
    for gauge in bench.gauges:
        yield f"gauge, {gauge.board}", _say(layout, gauge.setting)
    yield "sliding bevel and marker", f"1:{layout.ratio:.4g}  ({math.degrees(layout.slope_rad):.1f} degrees)"
    if (pitch := pitch_of(layout)) is not None:
        yield "dividers, from a tail to the next", _say(layout, pitch, RULE)
    for cut in bench.cut_lengths:
        yield f"saw {cut.board} to", _say(layout, cut.saw_to)
    if groove := layout.groove:
        sizes = " / ".join(_say(layout, size, CALIPER) for size in (groove.width, groove.depth, groove.up))
        yield "groove: wide / deep / above the reference edge", sizes
    yield "chisels", _chisels(layout, bench)


def _chisels(layout: Layout, bench: Bench) -> str:
    """The maker's own chisels that fit, else the widest that would go between the tails and into the sockets."""
    own = sorted({fit.own for fit in bench.chisels if fit.own is not None and not fit.is_open})
    if own:
        return ", ".join(_say(layout, width, CALIPER) for width in own)
    between = [fit.widest for fit in bench.chisels if not fit.is_open]
    return f"up to {_say(layout, min(between), MOST)}"


def _numbers_and_drawings(file: Pages, layout: Layout, paper: PaperSize, top: float) -> float:
    canvas = file.canvas
    y = top
    for caption, number in _numbers(layout, bench_of(layout)):
        size = min(NUMBERS_SIZE, NUMBERS_SIZE * NUMBERS_WIDTH * mm / width_of(number, NUMBERS_SIZE, bold=True))
        canvas.setFont(PLAIN, CAPTION_SIZE)
        canvas.setFillColor(PALE)
        canvas.drawString(EDGE * mm, (y - 3.0) * mm, caption)
        canvas.setFillColor(INK)
        canvas.setFont(BOLD, size)
        canvas.drawString(EDGE * mm, (y - 10.5) * mm, number)
        y -= 13.6
    left = EDGE + NUMBERS_WIDTH + 4.0
    room = paper.width - EDGE - left, (top - y - 3.0) / 2
    for row, strip in enumerate(strips(layout)):
        _draw_strip(file, strip, (left, top - (row + 1) * room[1] - 3.0 * row), room)
    canvas.setLineWidth(0.25 * mm)
    canvas.line(EDGE * mm, (y - 1.0) * mm, (paper.width - EDGE) * mm, (y - 1.0) * mm)
    return y - 3.0


def _draw_strip(file: Pages, strip: Strip, low: tuple[float, float], room: tuple[float, float]) -> None:
    """A strip of the template, scaled down to fit a place."""
    scale = min(room[0] / strip.width, room[1] / strip.height)
    at = low[0] + (room[0] - scale * strip.width) / 2, low[1] + (room[1] - scale * strip.height) / 2
    items = [_smaller(item, scale) for item in strip.items]
    most = min(NAME_HEIGHT, 0.6 * strip.baselines[0] * scale)
    names = [replace(name, height=min(most, name.height * scale)) for name in strip.names(0.0, strip.width, 99.0)]
    kept = [item for item in (*items, *names) if not isinstance(item, Label) or item.height >= LEAST_LETTERS]
    file.draw(placed(kept, scale, at))


def _smaller(item: Item, scale: float) -> Item:
    """Words shrink with the drawing, though not as fast."""
    if not isinstance(item, Label):
        return item
    return replace(item, height=min(0.75 * item.height, 1.4 * scale * item.height))


# --- the text ------------------------------------------------------------------------------------


def _text(file: Pages, layout: Layout, paper: PaperSize, top: float) -> None:
    """Order of work on the left, tables and wood on the right, cautions below, as large as the page allows. Where long
    names and many remarks leave no room, the cautions go on a page of their own, and at worst the remarks as well."""
    width = paper.width - 2 * EDGE
    for size, share in () if is_long(layout) else product(BODY_SIZES, LEFT_SHARES):
        cautions = cautions_flow(size * CAUTION_SHARE)
        foot = EDGE - 2.0 + flow_height(cautions, width) + 1.0
        if _put_columns(file, layout, size, share * width, (width, top, foot)):
            put(file, cautions, (EDGE, EDGE - 2.0), (width, foot - EDGE + 2.0))
            return
    for remarked, size, share in product((True, False), BODY_SIZES, LEFT_SHARES):
        if _put_columns(file, layout, size, share * width, (width, top, EDGE), remarked=remarked):
            file.next_page()
            _second_page(file, layout, (width, paper.height - 2 * EDGE), remarked=remarked)
            return
    raise FaultError("the setup sheet does not fit its pages")


def _second_page(file: Pages, layout: Layout, room: tuple[float, float], *, remarked: bool) -> None:
    """Long lists, the remarks that the first page has no room for, and the cautions."""
    for size in BODY_SIZES:
        remarks_here = [] if remarked else [head("Boards and wood", size), *_remarked(layout, size)]
        flow = [*long_lists(layout, size, room[0]), *remarks_here, *cautions_flow(size)]
        if flow_height(flow, room[0]) <= room[1]:
            put(file, flow, (EDGE, EDGE), room)
            return
    raise FaultError("the setup sheet does not fit its second page")


def _put_columns(
    file: Pages,
    layout: Layout,
    size: float,
    left_width: float,
    room: tuple[float, float, float],
    *,
    remarked: bool = True,
) -> bool:
    """Puts both columns in place if they fit. `room` is the whole width, and the heights at which the columns begin and
    end; `remarked` puts the remarks there too."""
    width, top, foot = room
    columns = (
        (_work(layout, size), EDGE, left_width - 4.0),
        (
            [*_side(layout, size, width - left_width), *(_remarked(layout, size) if remarked else [])],
            EDGE + left_width,
            width - left_width,
        ),
    )
    if any(flow_height(flow, wide) > top - foot for flow, _, wide in columns):
        return False
    for flow, x, wide in columns:
        put(file, flow, (x, foot), (wide, top - foot))
    return True


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
    return [*flow, *_small(bench.lines_left, size)]


def _remarked(layout: Layout, size: float) -> list[Flowable]:
    """What to watch, and what the wood does."""
    return _small((found.words for found in (*remarks(layout), *wood_facts(layout))), size)


def _small(texts: Iterable[str], size: float) -> list[Flowable]:
    return [Paragraph(safe(text), style(size * 0.92, after=size * 0.15)) for text in texts]


# --- the lists ------------------------------------------------------------------------------------


def is_long(layout: Layout) -> bool:
    """Whether tails or sockets are so many that they take a page of their own."""
    return len(layout.tails) > ROWS_SHOWN or len(bench_of(layout).chisels) > FITS_SHOWN


def short_lists(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Both lists in a column of the first page, or where they stand."""
    if is_long(layout):
        where = Paragraph("All tails and chisels are listed on the second page.", style(size * 0.92))
        return [_tails_head(layout, size), where, Spacer(1, size * 0.5)]
    return _both_lists(layout, size, tail_table(layout, layout.counted(layout.tails), size, width))


def long_lists(layout: Layout, size: float, width: float) -> list[Flowable]:
    """Both lists in full, the tails in columns side by side; empty where the first page has them."""
    if not is_long(layout):
        return []
    tails = layout.counted(layout.tails)
    blocks = [tails[low : low + BLOCK_ROWS] for low in range(0, len(tails), BLOCK_ROWS)]
    side = width / max(2, len(blocks))
    tables = Table([[tail_table(layout, block, size, side - 6.0) for block in blocks]], [side * mm] * len(blocks))
    tables.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]))
    tables.hAlign = "LEFT"
    return [*_both_lists(layout, size, tables), Spacer(1, size)]


def _both_lists(layout: Layout, size: float, tails: Table) -> list[Flowable]:
    chisels = head("Chisels", size), *chisel_lines(layout, size)
    return [_tails_head(layout, size), tails, Spacer(1, size * 0.5), *chisels]


def _tails_head(layout: Layout, size: float) -> Flowable:
    return head(f"Tails on the raw end, from the {measured_from(layout)}", size)


def tail_table(layout: Layout, tails: Sequence[Tail], size: float, width: float) -> Table:
    """Each tail's edges on the raw end, where it is knifed, and its width on the finished face."""
    end = layout.as_cut.tail_end
    rows = [["", *heads_of(layout, "from", "to", "shows as")]]
    for tail in tails:
        lengths = (*layout.measured(*layout.tail_edges(tail, end)), tail.width)
        rows.append([str(tail.number), *cells_of(layout, *lengths)])
    small, columns = size * 0.92, len(rows[0]) - 1
    table = Table(
        rows, colWidths=[7 * mm, *[(width - 7) / columns * mm] * columns], rowHeights=[small * 1.25] * len(rows)
    )
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), PLAIN, small if layout.recipe.units == "mm" else small * 0.85),
                ("TEXTCOLOR", (0, 0), (-1, 0), PALE),
                ("ALIGN", (1, 0), (-1, -1), "RIGHT"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 1),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
                ("LINEBELOW", (0, 0), (-1, 0), 0.18 * mm, INK),
            ]
        )
    )
    return table


def chisel_lines(layout: Layout, size: float) -> list[Flowable]:
    """For each kind of socket the widest chisel, and the widest of the maker's own where the kit names some."""
    units, named = layout.recipe.units, bool(layout.recipe.kit.chisels)
    lines = list[Flowable]()
    for fit in bench_of(layout).chisels:
        widest = "any" if fit.is_open else f"up to {format_length(fit.widest, units, MOST)}"
        mine = "none fits" if fit.own is None else format_length(fit.own, units, CALIPER)
        own = f"; yours: {mine}" if named else ""
        lines.append(Paragraph(safe(f"{fit.sockets}, {fit.side}: {widest}{own}."), style(size * 0.92)))
    return lines


def _say(layout: Layout, length: float, reading: Reading | None = None) -> str:
    return format_length(length, layout.recipe.units, reading or layout.recipe.rule)
