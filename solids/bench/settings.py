"""What the bench needs to set, scribe, saw and chop. Pure arithmetic on a layout, lengths in mm.

The rules are common practice. Places are told as a maker measures them, from the reference edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout import Layout

CHOP_CLEAR = 25.4 / 32
"""How far from the line one begins to chop, in the waste: 1/32 in. The blade is pushed back as it goes in, and must not
be pushed past the line. Common practice."""

INWARD = "from the arris inward, along the board, never off the arris"
"""Which way the outside of a corner is planed. Common practice."""

MOST_NUMBERS = 8
"""Of sockets named one by one."""

BETWEEN_TAILS = "between tails"

BoardName = Literal["tail board", "pin board"]


@dataclass(frozen=True)
class GaugeSetting:
    """One setting of a marking gauge, from the end of a board: how far, and for which lines."""

    board: BoardName
    setting: float
    lines: str


@dataclass(frozen=True)
class ScribeLine:
    """One baseline on one face: the spans in X to scribe. Where it is not `full` they lie in waste only, so that no
    line is left on what stays."""

    board: BoardName
    face: str
    full: bool
    spans: tuple[Span, ...]


@dataclass(frozen=True)
class SawLine:
    """One flank to saw: its X where the saw starts, its X at the other plane, and the span of the kerf where the saw
    starts, which lies in the waste; None where no kerf is known."""

    board: BoardName
    name: str
    start: float
    end: float
    kerf: Span | None


@dataclass(frozen=True)
class ChiselFit:
    """What fits some sockets of one kind: the widest blade that touches no flank, and the widest of the maker's own,
    None where none fits or none was named. At an open socket the blade may hang over the edge of the board."""

    board: BoardName
    where: str
    side: str
    widest: float
    own: float | None
    is_open: bool

    @property
    def sockets(self) -> str:
        """The sockets in words: "tail board, between tails"."""
        return f"{self.board}, {self.where}"


@dataclass(frozen=True)
class CutLength:
    """How long a board is sawn: from the baseline, the joint, and what stands proud."""

    board: BoardName
    length: float
    joint: float
    proud: float

    @property
    def saw_to(self) -> float:
        """The whole length; `joint` holds what stands proud already."""
        return self.length + self.joint


@dataclass(frozen=True)
class Chop:
    """One cut with the chisel: from which face, how deep, and how far it leans to undercut the floor (0: square)."""

    board: BoardName
    face: str
    depth: float
    lean_deg: float


@dataclass(frozen=True)
class Planing:
    """What is planed after the glue has set: which ends or face, how much, and in which direction. `more` is how much
    more of the ends it is at most, where the board beside them is thinner."""

    what: str
    amount: float
    direction: str
    more: float = 0.0


@dataclass(frozen=True)
class Bench:
    """All of it for one joint. `bevel_deg` is the angle between a flank and square, for marker and sliding bevel.
    `lines_left` tells which gauge lines stay on the finished corner."""

    cut_lengths: tuple[CutLength, ...]
    gauges: tuple[GaugeSetting, ...]
    scribes: tuple[ScribeLine, ...]
    saw_lines: tuple[SawLine, ...]
    bevel_deg: float
    chisels: tuple[ChiselFit, ...]
    chops: tuple[Chop, ...]
    planing: tuple[Planing, ...]
    lines_left: tuple[str, ...]


def bench_of(layout: Layout) -> Bench:
    """What to set, scribe, saw and chop, with the maker's own saw and chisels where the recipe names them."""
    return Bench(
        cut_lengths=_cut_lengths(layout),
        gauges=gauge_settings(layout),
        scribes=tuple(_scribe_lines(layout)),
        saw_lines=tuple(_saw_lines(layout)),
        bevel_deg=math.degrees(layout.slope_rad),
        chisels=tuple(_chisels(layout)),
        chops=tuple(_chops(layout)),
        planing=tuple(_planing(layout)),
        lines_left=_lines_left(layout),
    )


def _cut_lengths(layout: Layout) -> tuple[CutLength, ...]:
    tails, pins, cut = layout.recipe.tail_board, layout.recipe.pin_board, layout.as_cut
    return (
        CutLength("tail board", tails.length, cut.tail_end, tails.proud),
        CutLength("pin board", pins.length, cut.pin_end, pins.proud),
    )


def gauge_settings(layout: Layout) -> tuple[GaugeSetting, ...]:
    """Two settings, which differ where the boards do. A half-blind joint takes the first round its tail board and on
    the pin board's end grain, from the inside face; the second on the pin board's inside face alone."""
    tails = "from the tail board's end: inside face, edges, waste of the show face"
    pins = "from the pin board's end: inside face, and the waste of the show face"
    if layout.is_half_blind:
        tails = (
            "from the tail board's end: inside face, edges, and the waste of the show face; and on the pin board's end "
            "grain from its inside face"
        )
        pins = "on the pin board's inside face, from its end"
    cut = layout.as_cut
    return GaugeSetting("tail board", cut.tail_end, tails), GaugeSetting("pin board", cut.pin_end, pins)


def _scribe_lines(layout: Layout) -> Iterator[ScribeLine]:
    """On a show face only in the waste; on an inside face, and on edges that lose wood, the whole width. The pin
    board's edges stay, and so does a half-blind one's show face: they take no line."""
    whole: tuple[Span, ...] = ((0.0, layout.width),)
    yield ScribeLine("tail board", "show face", False, _measured(layout, layout.gap_spans(0.0)))
    yield ScribeLine("tail board", "inside face", True, whole)
    yield ScribeLine("tail board", "both edges", True, ())
    if not layout.is_half_blind:
        sockets = [layout.socket_edges(tail, layout.depth) for tail in layout.tails]
        yield ScribeLine("pin board", "show face", False, _measured(layout, sockets))
    yield ScribeLine("pin board", "inside face", True, whole)


def _measured(layout: Layout, spans: Sequence[Span]) -> tuple[Span, ...]:
    return tuple((low, high) for low, high in (layout.measured(*span) for span in layout.counted(spans)))


def _saw_lines(layout: Layout) -> Iterator[SawLine]:
    """Every flank: of the tails from the raw end to the baseline; of the sockets on the end grain from the show face,
    or from the lap, to the inside face."""
    for tail in layout.counted(layout.tails):
        start, end = layout.tail_edges(tail, layout.as_cut.tail_end), layout.tail_edges(tail, 0.0)
        yield _saw_line(layout, "tail board", f"tail {tail.number}, left flank", start[0], end[0], -1.0)
        yield _saw_line(layout, "tail board", f"tail {tail.number}, right flank", start[1], end[1], 1.0)
    for x, strip, waste in zip((0.0, layout.width), layout.strips, (1.0, -1.0), strict=True):
        if strip:
            yield _saw_line(layout, "tail board", "beside the wood that stays", x, x, waste)
    for tail in layout.counted(layout.tails):
        start, end = layout.socket_edges(tail, layout.depth), layout.socket_edges(tail, 0.0)
        yield _saw_line(layout, "pin board", f"socket {tail.number}, left flank", start[0], end[0], 1.0)
        yield _saw_line(layout, "pin board", f"socket {tail.number}, right flank", start[1], end[1], -1.0)


def _saw_line(layout: Layout, board: BoardName, name: str, start: float, end: float, waste: float) -> SawLine:
    """`waste` is the direction in X in which the waste lies. A leaning kerf is wider in X than the saw's own."""
    kerf = layout.recipe.kit.saw_kerf
    far = start + waste * kerf * (1.0 if start == end else layout.flank_stretch)
    (begins,), (ends,), (low, high) = (layout.measured(*xs) for xs in ((start,), (end,), sorted((start, far))))
    return SawLine(board, name, begins, ends, (low, high) if kerf else None)


def _chisels(layout: Layout) -> Iterator[ChiselFit]:
    """In the tail board the flanks close toward the raw end, so the blade's own thickness counts; in the pin board they
    close toward the inside face, so it counts from where and how deep one chops."""
    at_blade = layout.tail_board_gaps(min(tol.BLADE_THICKNESS, layout.depth))
    ends = tuple(zip((at_blade[0], at_blade[-1]), layout.strips, strict=True))
    at_edges = min(width for width, strip in ends if not strip)
    yield _fit(layout, "tail board", "at the edges", "from both faces", at_edges, is_open=True)
    for width in (width for width, strip in ends if strip):
        yield _fit(layout, "tail board", "beside the wood that stays", "from both faces", width, is_open=False)
    if len(layout.tails) > 1:
        yield _fit(layout, "tail board", BETWEEN_TAILS, "from both faces", min(at_blade[1:-1]), is_open=False)
    planes = [("from the inside face and the end", 0.0)]
    if not layout.is_half_blind:
        planes = [("from the show face, half-way", layout.depth / 2), ("from the inside face", 0.0)]
    tails = layout.counted(layout.tails)
    for width in dict.fromkeys(round(tail.width, 6) for tail in tails):
        alike = [tail for tail in tails if round(tail.width, 6) == width]
        numbers = _numbers([tail.number for tail in alike])
        for side, y in planes:
            left, right = layout.socket_edges(alike[0], y)
            one = "socket" if len(alike) == 1 else "sockets"
            where = "all sockets" if len(alike) == len(tails) else f"{one} {numbers}"
            yield _fit(layout, "pin board", where, side, right - left, is_open=False)


def _numbers(numbers: list[int]) -> str:
    """ "1, 3, 4"; a long list is cut short."""
    shown = ", ".join(str(number) for number in numbers[:MOST_NUMBERS])
    return shown if len(numbers) <= MOST_NUMBERS else f"{shown} and {len(numbers) - MOST_NUMBERS} more"


def _fit(layout: Layout, board: BoardName, where: str, side: str, widest: float, *, is_open: bool) -> ChiselFit:
    fitting = [width for width in layout.recipe.kit.chisels if is_open or width <= widest + tol.ROUNDING]
    return ChiselFit(board, where, side, widest, max(fitting, default=None), is_open)


def _chops(layout: Layout) -> Iterator[Chop]:
    """The tail board from both faces, half-way each; a through pin board the same, from its show face first; a
    half-blind one from its inside face to the lap and from its end to the baseline."""
    recipe = layout.recipe
    half = recipe.tail_board.thickness / 2
    lean = _lean_deg(layout, half)
    for face in ("show face", "inside face"):
        yield Chop("tail board", face, half, lean)
    if layout.is_half_blind:
        yield Chop("pin board", "inside face", layout.depth, _lean_deg(layout, layout.depth))
        yield Chop("pin board", "end", layout.as_cut.pin_end, 0.0)
        return
    for face in ("show face", "inside face"):
        yield Chop("pin board", face, layout.depth / 2, _lean_deg(layout, layout.depth / 2))


def _lean_deg(layout: Layout, reach: float) -> float:
    """How far a chisel leans out of square that hollows a floor to the recipe's depth over `reach` less the land."""
    if layout.land is None:
        return 0.0
    return math.degrees(math.atan(layout.recipe.undercut.depth / (reach - layout.land)))


def _planing(layout: Layout) -> Iterator[Planing]:
    """A stroke that runs off the arris breaks it out: each begins there and runs inward, where wood backs the ends."""
    recipe, finish = layout.recipe, layout.recipe.finish
    tails, pins = recipe.tail_board, recipe.pin_board
    over_pins = 0.0 if layout.is_half_blind else pins.uneven
    if finish.ends == "flush":
        if tails.proud or over_pins:
            beside = " and of the wood beside them" if layout.below else ""
            yield Planing(f"ends of the tails{beside}, on the pin board's show face", tails.proud, INWARD, over_pins)
        if pins.proud or tails.uneven:
            yield Planing("ends of the pins, on the tail board's show face", pins.proud, INWARD, tails.uneven)
    if finish.planing:
        yield Planing("both show faces", finish.planing, INWARD)


def _lines_left(layout: Layout) -> tuple[str, ...]:
    """A line in the waste goes with the waste; the full lines of the inside faces end up in the inner corner."""
    show = "No line stays on a show face: there they lie in the waste only."
    inner = "The lines on the inside faces stay, in the inner corner, where the boards meet."
    edges = "The lines on the tail board's edges stay as the edge of the shoulder."
    if layout.is_half_blind:
        planed = " until you plane them" if layout.recipe.pin_board.proud else ""
        return (show, inner, edges, f"The line on the pin board's end grain stays on the ends of the pins{planed}.")
    return (show, inner, edges)
