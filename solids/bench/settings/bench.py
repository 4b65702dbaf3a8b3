"""All that the bench needs for one joint, with lengths to saw to, planing, and the lines that stay. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.bench.settings.chiselling import chisel_fits, chops_of
from solids.bench.settings.marking import (
    BOTH,
    bevels,
    edges_gauged,
    gauge_settings,
    mitre_lines,
    mitred_shoulders,
    saw_lines,
    scribe_lines,
)
from solids.bench.settings.records import INWARD, Bench, BoardName, CutLength, Planing
from solids.layout import Layout

FLOORS: dict[BoardName, str] = {"tail board": "shoulder", "pin board": "socket's floor"}
"""What a line on an edge of each board is the edge of."""


def bench_of(layout: Layout) -> Bench:
    """What to set, scribe, saw and chop, with the maker's own saw and chisels where the recipe names them."""
    return layout.once(_bench_of)


def _bench_of(layout: Layout) -> Bench:
    return Bench(
        cut_lengths=_cut_lengths(layout),
        gauges=gauge_settings(layout),
        scribes=tuple(scribe_lines(layout)),
        saw_lines=tuple(saw_lines(layout)),
        bevels=bevels(layout),
        mitred=mitred_shoulders(layout),
        mitre=mitre_lines(layout),
        chisels=tuple(chisel_fits(layout)),
        chops=tuple(chops_of(layout)),
        planing=tuple(_planing(layout)),
        lines_left=_lines_left(layout),
    )


def _cut_lengths(layout: Layout) -> tuple[CutLength, ...]:
    tails, pins, cut = layout.recipe.tail_board, layout.recipe.pin_board, layout.as_cut
    return (
        CutLength("tail board", tails.length, cut.tail_end, tails.proud),
        CutLength("pin board", pins.length, cut.pin_end, pins.proud),
    )


def _planing(layout: Layout) -> Iterator[Planing]:
    """A stroke that runs off the arris breaks it out: each begins there and runs inward, where wood backs the ends."""
    recipe, finish = layout.recipe, layout.recipe.finish
    tails, pins = recipe.tail_board, recipe.pin_board
    over_pins = 0.0 if layout.is_half_blind else pins.uneven
    if finish.ends == "flush":
        if tails.proud or over_pins:
            beside = " and of the wood beside them" if any(layout.strips) else ""
            yield Planing(f"ends of the tails{beside}, on the pin board's show face", tails.proud, INWARD, over_pins)
        if pins.proud or tails.uneven:
            yield Planing("ends of the pins, on the tail board's show face", pins.proud, INWARD, tails.uneven)
    if finish.planing:
        yield Planing("both show faces", finish.planing, INWARD)


def _lines_left(layout: Layout) -> tuple[str, ...]:
    """A line in the waste goes with the waste; the full lines of the inside faces end up in the inner corner."""
    show = "No line stays on a show face: there they lie in the waste only."
    inner = "The lines on the inside faces stay, in the inner corner, where the boards meet."
    edges = tuple(_edges_left(layout))
    if layout.is_half_blind:
        planed = " until you plane them" if layout.recipe.pin_board.proud else ""
        return (show, inner, *edges, f"The line on the pin board's end grain stays on the ends of the pins{planed}.")
    return (show, inner, *edges)


def _edges_left(layout: Layout) -> Iterator[str]:
    for board, floor in FLOORS.items():
        if edges := edges_gauged(layout, board):
            lines, stay = ("lines", "stay") if edges == BOTH else ("line", "stays")
            yield f"The {lines} on the {board}'s {edges} {stay} as the edge of the {floor}."
