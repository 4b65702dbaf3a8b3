"""The order of work for one corner, in steps that a maker ticks off. Common practice, with this joint's own numbers.

Tails first: they are cut in the tail board, then knifed onto the pin board.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.bench import Bench, Chop, bench_of
from solids.layout import Layout, tails_in_words
from solids.lengths import format_length

STEP = 0.05
"""As fine as a rule or a gauge is set."""


@dataclass(frozen=True)
class WorkStep:
    """One step: what to do in a few words, and how, in short sentences."""

    what: str
    how: str


def order_of_work(layout: Layout) -> tuple[WorkStep, ...]:
    """All steps for this joint, from sawing to length to planing."""
    return tuple(_steps(layout, bench_of(layout)))


def _steps(layout: Layout, bench: Bench) -> Iterator[WorkStep]:
    first, second = (_say(layout, gauge.setting) for gauge in bench.gauges)
    tails, pins = (_say(layout, cut.saw_to) for cut in bench.cut_lengths)
    yield WorkStep(
        "Saw to length",
        f"Tail board {tails}, pin board {pins}. Square the ends. Mark the reference edge and the show face of both.",
    )
    yield _gauging(layout, first, second)
    yield WorkStep(
        "Mark and saw the tails",
        f"Knife {tails_in_words(len(layout.tails))} on the raw end, square across. Bevel 1 in {layout.ratio:.3g} on "
        f"both faces. Saw beside each line, in the waste, down to the baseline{_kerf(layout)}.",
    )
    yield WorkStep("Clear between the tails", f"Saw out most of the waste. {_chopping(layout, bench, 'tail board')}")
    if layout.chamfer_reach:
        chamfer = layout.recipe.entry_chamfer
        yield WorkStep(
            "Chamfer the tails",
            f"{_say(layout, chamfer.width)} on the inside edges of the flanks, ending {_say(layout, chamfer.back)} "
            "short of the finished face.",
        )
    yield WorkStep(
        "Mark the pins",
        "Set the tail board on the pin board's end: reference edges flush, inside face on the line. Hold both square. "
        "Knife along every flank. Square the lines down to the baseline.",
    )
    yield WorkStep("Saw and chop the pins", _pins(layout, bench))
    yield WorkStep(
        "Try it dry",
        "Press it part of the way home, once. Pare where it shines. Do not drive a half pin that is tight.",
    )
    yield WorkStep("Glue", "Glue the flanks. Press on the tails only: let cauls clear the pins. Check for square.")
    planing = " ".join(f"{p.what.capitalize()}: {_say(layout, p.amount)}, {p.direction}." for p in bench.planing)
    standing = "The ends stay proud. Chamfer their edges before you glue."
    nothing = "There is nothing to plane off." if layout.recipe.finish.ends == "flush" else standing
    yield WorkStep("Plane", planing or nothing)


def _gauging(layout: Layout, first: str, second: str) -> WorkStep:
    if layout.is_half_blind:
        return WorkStep(
            "Gauge",
            f"{first}: round the tail board, and on the pin board's end grain from its inside face. {second}: on the "
            "pin board's inside face only. On the tail board's show face mark only in the waste.",
        )
    alike = "Both settings are the same here." if first == second else "Do not mix them up: the boards differ."
    return WorkStep(
        "Gauge",
        f"{first}: round the tail board. {second}: on both faces of the pin board, not on its edges. {alike} On the "
        "show faces mark only in the waste.",
    )


def _pins(layout: Layout, bench: Bench) -> str:
    chopping = _chopping(layout, bench, "pin board")
    if layout.is_half_blind:
        return (
            f"Saw at a slant from the inside corner, on the waste side{_kerf(layout)}. {chopping} Pare the acute "
            "corners with a skew chisel."
        )
    return (
        f"Saw on the waste side of the knife lines{_kerf(layout)}. {chopping} Lean the chisel with the flank where you "
        "pare beside a pin."
    )


def _chopping(layout: Layout, bench: Bench, board: str) -> str:
    chops = [chop for chop in bench.chops if chop.board == board]
    widths = sorted({fit.own for fit in bench.chisels if fit.sockets.startswith(board) and fit.own is not None})
    chisel = f" with {' and '.join(_say(layout, width) for width in widths)}" if widths else ""
    cuts = ", then ".join(f"{_say(layout, chop.depth)} from the {chop.face}" for chop in chops)
    return f"Chop{chisel}: {cuts}{_leaning(chops)}."


def _leaning(chops: list[Chop]) -> str:
    leans = sorted({round(chop.lean_deg, 1) for chop in chops if chop.lean_deg})
    return f". Past the land lean the chisel by {' or '.join(f'{lean:g} deg' for lean in leans)}" if leans else ""


def _kerf(layout: Layout) -> str:
    kerf = layout.recipe.kit.saw_kerf
    return f" (kerf {_say(layout, kerf)})" if kerf else ""


def _say(layout: Layout, mm: float) -> str:
    return format_length(mm, layout.recipe.units, STEP)
