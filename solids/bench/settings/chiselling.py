"""Which chisels fit the sockets, and how deep they are chopped from where. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base import tolerances as tol
from solids.base.geometry import Span, as_compared
from solids.bench.settings.records import (
    BESIDE_MITRE,
    BESIDE_WOOD,
    BETWEEN_TAILS,
    MOST_NUMBERS,
    BoardName,
    ChiselFit,
    Chop,
)
from solids.layout import Layout, Tail
from solids.layout.joint.shape.flanks import Gap


def chisel_fits(layout: Layout) -> Iterator[ChiselFit]:
    """What fits the tail board's sockets: at the edges, beside wood that stays, and between the tails; and what fits
    the pin board's. Sockets of one width are told together."""
    yield from _in_the_tail_board(layout)
    yield from _in_the_pin_board(layout)


def _clear(one: Span, other: Span) -> float:
    """How wide a blade may be that touches no flank between two planes, from where a socket is open at each."""
    return min(one[1], other[1]) - max(one[0], other[0])


def _in_the_tail_board(layout: Layout) -> Iterator[ChiselFit]:
    """The flanks close toward the raw end, so the blade's own thickness counts."""
    spans = layout.gap_spans(0.0), layout.gap_spans(min(tol.BLADE_THICKNESS, layout.depth))
    widths = {gap: _clear(foot, blade) for gap, foot, blade in zip(layout.gaps, *spans, strict=True)}
    halves = [(_beside(layout, gap), width) for gap, width in widths.items() if gap.is_half]
    if at_edges := [width for where, width in halves if not where]:
        where = "at the edges" if len(at_edges) > 1 else "at the edge"
        yield _fit(layout, "tail board", where, "from both faces", min(at_edges), is_open=True)
    for (where, _), width in {(where, as_compared(width)): width for where, width in halves}.items():
        if where:
            yield _fit(layout, "tail board", where, "from both faces", round(width, 6), is_open=False)
    full = layout.counted([gap for gap in layout.gaps if not gap.is_half])
    sizes = [as_compared(widths[gap]) for gap in full]
    for size in dict.fromkeys(sizes):
        same = [gap for gap, other in zip(full, sizes, strict=True) if other == size]
        where = BETWEEN_TAILS if len(same) == len(full) else f"{BETWEEN_TAILS} {_pairs(same)}"
        yield _fit(layout, "tail board", where, "from both faces", min(widths[gap] for gap in same), is_open=False)


def _beside(layout: Layout, gap: Gap) -> str:
    """What closes the socket of a half pin toward the edge of the board; "" where it is open."""
    end = 0 if gap.left is None else 1
    return BESIDE_WOOD if layout.strips[end] else BESIDE_MITRE if layout.mitred[end] else ""


def _pairs(gaps: Sequence[Gap]) -> str:
    """ "1 and 2, 4 and 5"."""
    numbers = [sorted(flank.tail for flank in gap.flanks) for gap in gaps]
    return _numbers([f"{low} and {high}" for low, high in numbers])


def _in_the_pin_board(layout: Layout) -> Iterator[ChiselFit]:
    """The sockets close toward the inside face, so it counts from where and how deep one chops. That of a half tail is
    open at the edge of the board."""
    d = layout.depth
    sides = [("from the inside face and the end", (0.0, d))]
    if not layout.is_half_blind:
        sides = [("from the show face, half-way", (d / 2, d)), ("from the inside face", (0.0, d / 2))]
    tails = layout.counted(layout.tails)

    def widths(tail: Tail) -> list[float]:
        return [_clear(*(layout.socket_edges(tail, y) for y in planes)) for _, planes in sides]

    kinds = [(tail.is_half, *map(as_compared, widths(tail))) for tail in tails]
    for kind in dict.fromkeys(kinds):
        same = [tail for tail, other in zip(tails, kinds, strict=True) if other == kind]
        one = "socket" if len(same) == 1 else "sockets"
        where = "all sockets" if len(same) == len(tails) else f"{one} {_numbers([str(t.number) for t in same])}"
        where += ", open at the edge" if same[0].is_half else ""
        for (side, _), width in zip(sides, widths(same[0]), strict=True):
            yield _fit(layout, "pin board", where, side, width, is_open=same[0].is_half)


def _numbers(names: Sequence[str]) -> str:
    """ "1, 3, 4"; a long list is cut short."""
    shown = ", ".join(names[:MOST_NUMBERS])
    return shown if len(names) <= MOST_NUMBERS else f"{shown} and {len(names) - MOST_NUMBERS} more"


def _fit(layout: Layout, board: BoardName, where: str, side: str, widest: float, *, is_open: bool) -> ChiselFit:
    fitting = [width for width in layout.recipe.kit.chisels if is_open or width <= widest + tol.ROUNDING]
    return ChiselFit(board, where, side, widest, max(fitting, default=None), is_open)


def chops_of(layout: Layout) -> Iterator[Chop]:
    """The tail board from both faces, half-way each; a through pin board the same, from its show face first; a
    half-blind one from its inside face to the lap and from its end to the baseline."""
    half = layout.tail_thickness / 2
    lean = _lean_deg(layout, half)
    for face in ("show face", "inside face"):
        yield Chop("tail board", face, half, lean)
    if layout.is_half_blind:
        yield Chop("pin board", "inside face", layout.depth, _lean_deg(layout, layout.depth))
        yield Chop("pin board", "end", layout.as_cut.pin_end - layout.rebate, 0.0)
        return
    for face in ("show face", "inside face"):
        yield Chop("pin board", face, layout.depth / 2, _lean_deg(layout, layout.depth / 2))


def _lean_deg(layout: Layout, reach: float) -> float:
    """How far a chisel leans out of square that hollows a floor to the recipe's depth over `reach` less the land."""
    if layout.land is None:
        return 0.0
    return math.degrees(math.atan(layout.recipe.undercut.depth / (reach - layout.land)))
