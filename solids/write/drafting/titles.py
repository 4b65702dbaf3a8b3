"""The strip at the foot of a drawing: list of parts on the left, title block on the right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids import __version__
from solids.base.cautions import IN_SHORT
from solids.base.fonts import fitted
from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER
from solids.base.messages import Units
from solids.bench.place_words import place_words
from solids.bench.settings import bench_of
from solids.bench.told import say
from solids.layout import Layout, tails_in_words
from solids.layout.joint.shape.slopes import all_slopes
from solids.write.drafting.paper import PaperSize, scale_in_words, units_in_words
from solids.write.drafting.sheet import Item, Label, Stroke, arc, box, line

BLOCK_WIDTH = 108.0
TITLE_HEIGHT = 4.6
STRIP_HEIGHT = 36.0
LINE_STEP = 4.5


@dataclass(frozen=True)
class Shown:
    """What a title block says of its drawing: the title, what it shows, loud where that is a warning, and the units."""

    title: str
    what: str
    units: Units
    is_warning: bool = False


def title_block(shown: Shown, paper: PaperSize, scale: float | None) -> Iterator[Item]:
    """Title, what it is, scale (None: to none), units, projection, sheet and tool. No date: the same recipe gives the
    same drawing."""
    low, high = paper.frame
    left, foot = high[0] - BLOCK_WIDTH, low[1]
    yield box("frame", (left, foot), (high[0], foot + STRIP_HEIGHT))
    yield line("thin frame", (left, foot + 17), (high[0], foot + 17))
    lines, height = fitted(shown.title, BLOCK_WIDTH - 6, TITLE_HEIGHT, most_lines=2, bold=True)
    top = foot + (26.5 if len(lines) == 1 else 30.0)
    for row, text in enumerate(lines):
        yield Label(
            text, (left + 3, top - 5.0 * row), min(height, 3.4) if len(lines) > 1 else height, "left", bold=True
        )
    _, fits = fitted(shown.what, BLOCK_WIDTH - 6, 2.8, bold=shown.is_warning)
    yield Label(shown.what, (left + 3, foot + 20), fits, "left", bold=shown.is_warning)
    words = (
        (f"scale {scale_in_words(scale)}" if scale else "not to scale", units_in_words(shown.units)),
        (paper.name, f"halfpin {__version__}"),
    )
    for row, (first, second) in enumerate(words):
        y = foot + 11 - 7.0 * row
        yield Label(first, (left + 3, y), 2.8, "left")
        yield Label(second, (left + 28, y), 2.8, "left")
    yield from _projection_symbol((high[0] - 34, foot + 8.5))


def frame(paper: PaperSize) -> list[Item]:
    """The frame of a sheet, and the line above its strip."""
    low, high = paper.frame
    return [
        box("frame", low, high),
        line("thin frame", (low[0], low[1] + STRIP_HEIGHT), (high[0], low[1] + STRIP_HEIGHT)),
    ]


def _projection_symbol(at: PlanePoint) -> Iterator[Item]:
    """Third-angle: both circles beside the narrow end of the cone (ISO 5456-2)."""
    x, y = at
    for radius in (2.0, 4.0):
        yield Stroke("visible edges", arc("visible edges", at, radius, 0.0, 360.0, 48).points[:-1], closed=True)
    cone = ((x + 9, y - 2), (x + 20, y - 4), (x + 20, y + 4), (x + 9, y + 2))
    yield Stroke("visible edges", cone, closed=True)
    yield line("thin frame", (x - 5.5, y), (x + 22, y))
    yield line("thin frame", (x, y - 5.5), (x, y + 5.5))


def parts_list(layout: Layout, paper: PaperSize, slopes: Sequence[str] = ()) -> Iterator[Item]:
    """Both boards, the tails, with the rows of a table of their `slopes` where the drawing does not show them, and the
    two gauge settings."""
    recipe, bench = layout.recipe, bench_of(layout)
    rows = []
    for cut, board in zip(bench.cut_lengths, (recipe.tail_board, recipe.pin_board), strict=True):
        proud = f", ends {say(layout, board.proud, CALIPER)} proud" if board.proud else ""
        rows.append(
            f"{cut.board}: {board.wood.told}, {board.told(lambda mm: say(layout, mm, CALIPER))} thick, "
            f"{_to(layout, cut.board)} {say(layout, cut.saw_to)}{proud}"
        )
    rows.append(f"{tails_in_words(len(layout.tails))}, {recipe.spacing_told}, slope {all_slopes(layout)}")
    rows += slopes
    rows.append("gauge: " + ", ".join(f"{g.name} {say(layout, g.setting)}" for g in bench.gauges))
    rows += [told for told in (_rebate(layout), _mitre(layout)) if told]
    for groove in layout.grooves:
        high = "high" if groove.is_rebate else "wide"
        sizes = f"{say(layout, groove.width, CALIPER)} {high}, {say(layout, groove.depth, CALIPER)} deep"
        edges = ", drawn at both edges" if len(groove.spans) > 1 else ""
        away, words = groove.gauged
        where = f"{say(layout, away, CALIPER)} {words}" if away else "along the reference edge"
        rows.append(f"{groove.name}: {sizes}, {where}, inside faces{edges}")
    rows.append("Boards are drawn broken off. Widths are at the finished face.")
    rows.append("The template shows all of them.")
    rows += place_words(layout)
    rows.append(IN_SHORT)
    yield from rows_in_strip(rows, paper)


def _rebate(layout: Layout) -> str:
    """The rebate in words; "" for none."""
    if not layout.rebate:
        return ""
    return f"rebate: {say(layout, layout.rebate, CALIPER)} deep, across the tail board's inside face"


def _mitre(layout: Layout) -> str:
    """The mitred shoulders in words; "" for none."""
    wide = zip(layout.recipe.mitre, ("reference", "other"), strict=True)
    told = [f"{say(layout, mm)} at the {edge} edge" for mm, edge in wide if mm]
    return f"mitred shoulder: {', '.join(told)}" if told else ""


def rows_in_strip(rows: Sequence[str], paper: PaperSize) -> Iterator[Item]:
    """Rows of words at the left of the strip, all of one size but for the last, which holds the caution."""
    low = paper.frame[0]
    step = min(LINE_STEP, (STRIP_HEIGHT - LINE_STEP) / len(rows))
    width = paper.inner_width - BLOCK_WIDTH - 6
    height = min(fitted(text, width, 2.8)[1] for text in rows[:-1])
    for row, text in enumerate(rows):
        size = min(height, fitted(text, width, 0.63 * step)[1])
        yield Label(text, (low[0] + 3, low[1] + STRIP_HEIGHT - 5.5 - step * row), size, "left")


def _to(layout: Layout, board: str) -> str:
    """What the length of a board is: of one with a lip, that of what the joint is cut on."""
    return "behind its lip" if board == "pin board" and layout.standing.lip else "saw to"
