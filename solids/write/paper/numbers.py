"""What stands on top of the setup sheet, and of a joint's page in the booklet: what the joint is, the numbers to set,
large, and both boards drawn beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from reportlab.lib.units import mm

from solids.base.cautions import FAILS
from solids.base.fonts import fitted
from solids.base.geometry import as_compared
from solids.base.lengths import CALIPER, MOST, RULE
from solids.bench.listing import pitch_of
from solids.bench.place_words import place_words, tails_told
from solids.bench.settings import Bench, bench_of
from solids.bench.told import say
from solids.layout import Layout
from solids.layout.joint.shape.slopes import all_slopes, angle_words
from solids.write.drafting.paper import PaperSize
from solids.write.drafting.sheet import Item, Label, placed
from solids.write.drafting.template import Strip, strips
from solids.write.paper.typesetting.letters import BOLD, PLAIN, in_font, width_of
from solids.write.paper.typesetting.pdf import EDGE, INK, PALE, Pages

NUMBERS_WIDTH = 66.0
TITLE_HEIGHT = 5.0
NUMBERS_SIZE, CAPTION_SIZE = 19.0, 8.5
"""In points. Numbers are read at arm's length, captions from closer by."""

NAME_HEIGHT, LEAST_LETTERS = 2.1, 1.3
"""Heights of capitals in the small drawings, in mm: those of names, and the smallest that are drawn."""


def put_heading(file: Pages, layout: Layout, paper: PaperSize, *, failing: bool) -> float:
    """The title, and what the joint is. Returns the height below which the page is free (mm)."""
    canvas, recipe = file.canvas, layout.recipe
    room = paper.width - 2 * EDGE
    lines, height = fitted(recipe.title, room, TITLE_HEIGHT, most_lines=2, bold=True)
    y = paper.height - EDGE - 6.0
    file.draw(Label(text, (EDGE, y - 1.5 * height * row), height, "left", bold=True) for row, text in enumerate(lines))
    y -= 1.5 * height * (len(lines) - 1)
    y -= 6.0
    woods = f"Tails: {recipe.tail_board.wood.told}; pins: {recipe.pin_board.wood.told}"
    alike = len({as_compared(tail.width) for tail in layout.tails}) == 1
    sizes = f"{say(layout, layout.tails[0].width)} each" if alike else recipe.spacing_told
    what = f"{recipe.kind} dovetail, {tails_told(layout)}, {sizes}"
    line = in_font(f"{what}, {say(layout, layout.width, CALIPER)} wide. {woods}.")
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
        yield f"gauge, {gauge.name}", say(layout, gauge.setting)
    listed = "" if len(bench.bevels) == 1 else ", flank by flank as listed"
    yield f"sliding bevel and marker{listed}", f"{all_slopes(layout)}  ({angle_words(layout)})"
    if bench.mitred:
        angles = dict.fromkeys(f"{math.degrees(line.angle_rad):.1f}" for line in bench.mitre)
        caption = "mitre, both boards" if len(angles) == 1 else "mitre, tail board / pin board"
        yield caption, f"{' / '.join(angles)} degrees"
    if (pitch := pitch_of(layout)) is not None:
        yield "dividers, from a tail to the next", say(layout, pitch, RULE)
    for cut in bench.cut_lengths:
        behind = cut.board == "pin board" and layout.standing.lip
        yield f"{cut.board} behind its lip" if behind else f"saw {cut.board} to", say(layout, cut.saw_to)
    for groove in layout.grooves:
        away, where = groove.gauged
        figures = (groove.width, groove.depth, *(() if groove.is_rebate else (away,)))
        sizes = " / ".join(say(layout, size, CALIPER) for size in figures)
        caption = "bottom's rebate: high / deep" if groove.is_rebate else f"{groove.name}: wide / deep / {where}"
        yield caption, sizes
    yield "chisels", _chisels(layout, bench)


def _chisels(layout: Layout, bench: Bench) -> str:
    """The maker's own chisels that fit, else the widest that would go between the tails and into the sockets."""
    own = sorted({fit.own for fit in bench.chisels if fit.own is not None and not fit.is_open})
    if own:
        return ", ".join(say(layout, width, CALIPER) for width in own)
    narrowest = min((fit.widest for fit in bench.chisels if not fit.is_open), default=None)
    return "any" if narrowest is None else f"up to {say(layout, narrowest, MOST)}"


def put_numbers(file: Pages, layout: Layout, paper: PaperSize, top: float) -> float:
    """The numbers, the drawings, and a line below both. Returns the height below which the page is free (mm)."""
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
    both = strips(layout)
    scale = min(min(room[0] / strip.width, room[1] / strip.height) for strip in both)
    for row, strip in enumerate(both):
        low = top - (row + 1) * room[1] - 3.0 * row
        at = left + (room[0] - scale * strip.width) / 2, low + (room[1] - scale * strip.height) / 2
        file.draw(placed(smaller(strip, scale), scale, at))
    canvas.setLineWidth(0.25 * mm)
    canvas.line(EDGE * mm, (y - 1.0) * mm, (paper.width - EDGE) * mm, (y - 1.0) * mm)
    return y - 3.0


def smaller(strip: Strip, scale: float) -> list[Item]:
    """What is drawn of a strip of the template at a smaller scale: its places in mm of the work, its words as high as
    on paper (mm)."""
    items = [_smaller(item, scale) for item in strip.items]
    most = min(NAME_HEIGHT, 0.6 * strip.baselines[0] * scale)
    names = (replace(name, height=name.height * scale) for name in strip.names(0.0, strip.width, most / scale))
    return [item for item in (*items, *names) if not isinstance(item, Label) or item.height >= LEAST_LETTERS]


def _smaller(item: Item, scale: float) -> Item:
    """Words shrink with the drawing, though not as fast."""
    if not isinstance(item, Label):
        return item
    return replace(item, height=min(0.75 * item.height, 1.4 * scale * item.height))
