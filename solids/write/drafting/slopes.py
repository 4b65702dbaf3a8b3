"""The slopes of a joint that has several, on the shop drawing: along the flanks where there is room, else as a table.
Pure arithmetic, in mm of the work; letters and what they stand clear of are on paper."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base.fonts import width_of
from solids.base.geometry import Span
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.slopes import slope_words
from solids.write.drafting.sheet import Item, Label

LETTERS, CLEAR, DESCENT = 2.0, 0.6, 0.6
"""Height of the words along a flank, how far they stand clear of lines, and how far a letter reaches below its line."""

ROW_LETTERS = 100
"""How many letters a row of the table has at most."""


def slopes_along_flanks(layout: Layout, scale: float) -> list[Item]:
    """The slope of each flank, written along it within its tail; empty where some tail has no room for that."""
    if not all(_fits(layout, tail, scale) for tail in layout.tails):
        return []
    return [_written(layout, flank, scale) for flank in layout.flanks]


def _fits(layout: Layout, tail: Tail, scale: float) -> bool:
    """Whether a tail has room for the words of its flanks, and no groove runs there."""
    left, right = layout.tail_edges(tail, 0.0)
    across = len(tail.flanks) * (_stands_in(layout, scale) + LETTERS + DESCENT) + CLEAR
    longest = max(width_of(slope_words(flank.ratio), LETTERS) for flank in tail.flanks)
    grooves = [span for groove in layout.grooves if groove.reach is not None for span in groove.spans]
    fits = across <= (right - left) * scale and longest + 2 * CLEAR <= layout.as_cut.tail_end * scale
    return fits and not any(_meet((tail.left, tail.right), span) for span in grooves)


def _meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def _stands_in(layout: Layout, scale: float) -> float:
    """How far words stand within their tail: clear of its flank and of the lines of an entry chamfer."""
    return CLEAR + layout.recipe.entry_chamfer.width * scale


def _written(layout: Layout, flank: Flank, scale: float) -> Label:
    """Words that run up beside a flank. Their feet are toward X = W."""
    inward = _stands_in(layout, scale) + (LETTERS if flank.side < 0 else DESCENT)
    middle = layout.as_cut.tail_end / 2
    turn = 90.0 - flank.side * math.degrees(flank.slope_rad)
    return Label(
        slope_words(flank.ratio), (flank.x(middle) - flank.side * inward / scale, middle), LETTERS, turn_deg=turn
    )


def table_of_slopes(layout: Layout) -> tuple[str, ...]:
    """The slopes of the flanks, tail by tail from the reference edge, as rows of words."""
    rows = ["slopes:"]
    for told in _by_tail(layout):
        if len(rows[-1]) + len(told) > ROW_LETTERS:
            rows.append("")
        rows[-1] = f"{rows[-1]} {told};".strip()
    return (*rows[:-1], rows[-1].rstrip(";"))


def _by_tail(layout: Layout) -> Iterator[str]:
    """ "tail 2 1:7, 1:9"."""
    for tail in layout.counted(layout.tails):
        ratios = layout.counted([flank.ratio for flank in tail.flanks])
        yield f"tail {tail.number} {', '.join(map(slope_words, ratios))}"
