"""What is set and drawn before a saw is taken up: gauges, bevels, baselines and saw lines. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.bench.settings.records import (
    BESIDE_MITRE,
    BESIDE_WOOD,
    EDGES,
    MOST_NUMBERS,
    Bevel,
    BoardName,
    GaugeSetting,
    MitredShoulder,
    MitreLine,
    SawLine,
    ScribeLine,
)
from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitre_of

BOTH = "edges"


def bevels(layout: Layout) -> tuple[Bevel, ...]:
    """One for each slope that occurs, steepest first."""
    flanks = layout.counted(layout.flanks)
    return tuple(
        Bevel(ratio, tuple(flank for flank in flanks if abs(flank.lean - 1.0 / ratio) <= tol.ROUNDING))
        for ratio in layout.ratios
    )


def who_has(told: Sequence[Bevel]) -> tuple[str, ...]:
    """The flanks of each bevel in words: "both flanks of tails 1, 3; left flank of tail 2". Where one of them has most
    flanks, and more than anybody reads, they are "all other flanks"; "all flanks" where there is one bevel."""
    most = max(told, key=lambda bevel: len(bevel.flanks))
    if len(told) > 1 and len(most.flanks) <= MOST_NUMBERS:
        return tuple(map(_its_flanks, told))
    return tuple(("all other flanks" if len(told) > 1 else "all flanks") if b is most else _its_flanks(b) for b in told)


def _its_flanks(bevel: Bevel) -> str:
    sides: dict[int, list[str]] = {}
    for flank in bevel.flanks:
        sides.setdefault(flank.tail, []).append(flank.hand)
    groups: dict[str, list[int]] = {}
    for tail, hands in sides.items():
        groups.setdefault("both" if len(hands) > 1 else hands[0], []).append(tail)
    return "; ".join(
        f"{which} {'flanks' if which == 'both' or len(tails) > 1 else 'flank'} of "
        f"{'tails' if len(tails) > 1 else 'tail'} {', '.join(map(str, tails))}"
        for which, tails in groups.items()
    )


def mitred_shoulders(layout: Layout) -> tuple[MitredShoulder, ...]:
    """Those that there are, from the reference edge."""
    by_edge = zip(EDGES, layout.recipe.mitre, strict=True)
    return tuple(MitredShoulder(edge, width) for edge, width in by_edge if width)


def mitre_lines(layout: Layout) -> tuple[MitreLine, MitreLine]:
    """That on the edge of the tail board, and that on the edge of the pin board."""
    mitre, cut = mitre_of(layout), layout.as_cut
    return (
        _mitre_line("tail board", mitre.on_tail_board, layout.tail_thickness, cut.tail_end),
        _mitre_line("pin board", mitre.on_pin_board, cut.show_y, cut.pin_end - layout.rebate),
    )


def _mitre_line(board: BoardName, angle: float, thick: float, long: float) -> MitreLine:
    """On a board so `thick` where it is cut, and so `long` from the baseline to its raw end."""
    along, up = thick / math.tan(angle), long * math.tan(angle)
    if along <= long + tol.ROUNDING:
        return MitreLine(board, angle, "show face", long - along)
    return MitreLine(board, angle, "raw end", thick - up)


def gauge_settings(layout: Layout) -> tuple[GaugeSetting, ...]:
    """Two settings, which differ where the boards do, and a third for a rebate. A half-blind joint takes the first
    round its tail board and on the pin board's end grain, from the inside face; the second on the pin board's inside
    face alone."""
    sides = (edges_gauged(layout, board) for board in ("tail board", "pin board"))
    round_it, beside = ("" if not edges else ", edges" if edges == BOTH else f", the {edges}" for edges in sides)
    tails = f"from the tail board's end: inside face{round_it}, and the waste of the show face"
    pins = f"from the pin board's end: inside face{beside}, and the waste of the show face"
    if layout.is_half_blind:
        tails = (
            f"from the tail board's end: inside face{round_it}, and the waste of the show face; and on the pin board's "
            "end grain from its inside face"
        )
        pins = f"on the pin board's inside face{beside}, from its end"
    settings = (
        GaugeSetting("tail board", layout.as_cut.tail_end, tails, "tail board"),
        GaugeSetting("pin board", layout.as_cut.pin_end - layout.rebate, pins, "pin board"),
    )
    if not layout.rebate:
        return settings
    floor = "from the tail board's inside face, on its end and both edges: floor of the rebate"
    return (*settings, GaugeSetting("tail board", layout.rebate, floor, "rebate"))


def edges_gauged(layout: Layout, board: BoardName) -> str:
    """The edges of a board that lose wood at the baseline and take a line: "edges", "reference edge", "" for none. The
    tail board's do beside a half pin, unless the board runs on there; the pin board's beside a half tail. At a mitred
    shoulder the mitre is drawn."""
    loses: str = "half tail"
    strips: Sequence[float] = (0.0, 0.0)
    if board == "tail board":
        loses, strips = "half pin", layout.counted(layout.strips)
    by_edge = zip(EDGES, layout.recipe.listed.edges, layout.recipe.mitre, strips, strict=True)
    taken = [name for name, stands, mitre, strip in by_edge if stands == loses and not (mitre or strip)]
    return BOTH if len(taken) == len(EDGES) else "".join(taken)


def scribe_lines(layout: Layout) -> Iterator[ScribeLine]:
    """On a show face only in the waste; on an inside face, and on edges that lose wood, the whole width. A half-blind
    pin board's show face stays: it takes no line."""
    whole: tuple[Span, ...] = ((0.0, layout.width),)
    yield ScribeLine("tail board", "show face", False, _measured(layout, layout.gap_spans(0.0)))
    yield ScribeLine("tail board", "inside face", True, whole)
    yield from _edge_lines(layout, "tail board")
    if not layout.is_half_blind:
        sockets = [layout.socket_edges(tail, layout.depth) for tail in layout.tails]
        yield ScribeLine("pin board", "show face", False, _measured(layout, sockets))
    yield ScribeLine("pin board", "inside face", True, whole)
    yield from _edge_lines(layout, "pin board")


def _edge_lines(layout: Layout, board: BoardName) -> Iterator[ScribeLine]:
    if edges := edges_gauged(layout, board):
        yield ScribeLine(board, "both edges" if edges == BOTH else edges, True, ())


def _measured(layout: Layout, spans: Sequence[Span]) -> tuple[Span, ...]:
    return tuple((low, high) for low, high in (layout.measured(*span) for span in layout.counted(spans)))


def saw_lines(layout: Layout) -> Iterator[SawLine]:
    """Every flank: of the tails from the raw end to the baseline; of the sockets on the end grain from the show face,
    or from the lap, to the inside face. Beside a mitred shoulder both boards are sawn square: the tail board on the
    side of the half pin, the pin board on that of the strip."""
    flanks = [flank for tail in layout.counted(layout.tails) for flank in tail.flanks]
    edges = tuple(zip((0.0, layout.width), layout.strips, layout.mitred, (1, -1), strict=True))
    mitres = [(x + inward * mitre, inward) for x, _, mitre, inward in edges if mitre]
    for flank in flanks:
        ends = flank.x(layout.as_cut.tail_end), flank.foot
        yield _saw_line(layout, "tail board", flank.name, ends, flank.side, flank.stretch)
    for x, strip, _, inward in edges:
        if strip:
            yield _saw_line(layout, "tail board", BESIDE_WOOD, (x, x), inward)
    for x, inward in mitres:
        yield _saw_line(layout, "tail board", BESIDE_MITRE, (x, x), inward)
    for flank in flanks:
        ends, name = (layout.socket_x(flank, layout.depth), layout.socket_x(flank, 0.0)), f"socket {flank.tail}"
        yield _saw_line(layout, "pin board", f"{name}, {flank.hand} flank", ends, -flank.side, flank.stretch)
    for x, inward in mitres:
        yield _saw_line(layout, "pin board", BESIDE_MITRE, (x, x), -inward)


def _saw_line(layout: Layout, board: BoardName, name: str, ends: Span, waste: int, stretch: float = 1.0) -> SawLine:
    """`ends` are where it starts and ends, `waste` is the direction in X in which the waste lies. A leaning kerf is
    wider in X than the saw's own by its `stretch`."""
    kerf, (start, end) = layout.recipe.kit.saw_kerf, ends
    far = start + waste * kerf * stretch
    (begins,), (stops,), (low, high) = (layout.measured(*xs) for xs in ((start,), (end,), sorted((start, far))))
    return SawLine(board, name, begins, stops, (low, high) if kerf else None)
