"""All steps for one corner, from sawing to length to planing. Common practice."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.lengths import format_length
from solids.base.messages import capital
from solids.bench.gluing.clamping import clamping
from solids.bench.gluing.goes import gluing_of
from solids.bench.gluing.words import amount_words, laid_out_words
from solids.bench.hand_error import hand_work
from solids.bench.place_words import tails_told
from solids.bench.procedure.shoulders import beside_mitres, marking_mitres, rebating, sawing_mitres
from solids.bench.procedure.steps import Stage, WorkStep, kerf
from solids.bench.settings import BOTH, CHOP_CLEAR, INWARD, Bench, Chop, Planing, bench_of, edges_gauged
from solids.bench.told import fine, say
from solids.layout import GrooveHere, Layout
from solids.layout.assembly import assembly_of


def order_of_work(layout: Layout) -> tuple[WorkStep, ...]:
    """All steps for this joint, from sawing to length to planing."""
    bench = bench_of(layout)
    return (*_boards(layout, bench), *_joint(layout, bench), *_gluing(layout), *_after(layout))


SAW_TAILS = "Mark and saw the tails"


def joint_work(layout: Layout) -> tuple[WorkStep, ...]:
    """The steps that cut the joint: from boards sawn to length to a joint that was tried dry."""
    return tuple(_joint(layout, bench_of(layout)))


def corner_stages(layout: Layout) -> tuple[Stage, ...]:
    """The work on a corner alone, part by part."""
    return (
        Stage("Prepare the boards", tuple(_boards(layout, bench_of(layout)))),
        Stage("Cut the joint", joint_work(layout)),
        Stage("Glue up", (_laid_out(layout), *_gluing(layout))),
        Stage("After the glue", tuple(_after(layout))),
    )


def _boards(layout: Layout, bench: Bench) -> Iterator[WorkStep]:
    tails, pins = (say(layout, cut.saw_to) for cut in bench.cut_lengths)
    lip = layout.standing.lip
    if lip:
        whole = say(layout, bench.cut_lengths[1].saw_to + lip.long)
        pins = f"{whole}, of which {pins} stay behind the lip"
    yield WorkStep(
        "Saw to length",
        f"Tail board {tails}, pin board {pins}. Square the ends. Mark the reference edge and the show face of both.",
    )
    yield from _grooving(layout)


def _joint(layout: Layout, bench: Bench) -> Iterator[WorkStep]:
    yield _gauging(layout, bench)
    if layout.rebate:
        yield rebating(layout)
    if bench.mitred:
        yield marking_mitres(layout, bench)
    yield WorkStep(
        SAW_TAILS,
        f"Knife {tails_told(layout)} on the raw end, square across. {_bevelling(bench)} Gauge the show face in the "
        f"waste only. Saw beside each line, in the waste, down to the baseline{kerf(layout)}.",
    )
    yield _clearing(layout, bench)
    if layout.chamfer_reach:
        width = fine(layout, layout.recipe.entry_chamfer.width)
        yield WorkStep(
            "Chamfer the tails",
            f"{width} on the inside edges of the flanks, from the baseline to {fine(layout, layout.chamfer_stop)} "
            "short of the raw end.",
        )
    onto = "the ends of the tails on the gauged line" if layout.is_half_blind else "the baseline over the inside edge"
    if layout.rebate:
        tight = "the shoulder of the rebate tight against the inside face"
        onto = f"{tight}, {onto}" if layout.is_half_blind else tight
    flush = "reference edges flush"
    if layout.below:
        flush = "the pin board's reference edge on the line where the joint begins"
    yield WorkStep(
        "Mark the pins",
        f"Lay the tail board on the pin board's end, show face up: {flush}, {onto}. Hold both square. "
        "Knife along every flank. Square the lines down to the baseline."
        + ("" if layout.is_half_blind else " Gauge the show face in the waste only."),
    )
    yield WorkStep("Saw and chop the pins", _pins(layout, bench))
    if bench.mitred:
        yield sawing_mitres(layout, bench)
    tight = " Do not drive a half pin that is tight." if any(gap.is_half for gap in layout.gaps) else ""
    yield WorkStep("Try it dry", f"Press it part of the way home, once. Pare where it shines.{tight}")
    finish = layout.recipe.finish
    if finish.ends == "proud" and finish.chamfer:
        yield WorkStep("Chamfer the ends", f"{fine(layout, finish.chamfer)} round the ends that stay proud.")


def _gluing(layout: Layout) -> Iterator[WorkStep]:
    amount = amount_words(gluing_of(assembly_of(layout)))
    yield WorkStep("Glue", f"Glue the flanks. {amount} {pressing_words(layout)} Check for square.")


def _after(layout: Layout) -> Iterator[WorkStep]:
    planing = " ".join(planing_words(layout))
    yield WorkStep("Plane", planing or "Nothing: the ends stay as they are.")


def _laid_out(layout: Layout) -> WorkStep:
    return WorkStep("Get ready", laid_out_words(clamping(layout), layout.recipe.units))


def pressing_words(layout: Layout) -> str:
    """Where the clamps press."""
    if layout.recipe.pin_board.proud:
        return "Press on the tails only: let cauls clear the pins."
    return "Press on the tails."


def planing_words(layout: Layout) -> list[str]:
    """What is planed when the glue has set, a sentence each, after the one that tells which way."""
    bench = bench_of(layout)
    amounts = [f"{capital(p.what)}: {fine(layout, p.amount)}{_more(layout, p)}." for p in bench.planing]
    inward = [f"Work {INWARD}."] if amounts else []
    return [*inward, *beside_mitres(layout, bench), *amounts]


def _more(layout: Layout, planing: Planing) -> str:
    return f", and up to {fine(layout, planing.more)} more where that board is thinner" if planing.more else ""


def _grooving(layout: Layout) -> Iterator[WorkStep]:
    """Before any joint is laid out: a plough needs the whole edge, and nobody cuts by chance into a groove that is
    there to be seen. Common practice. Stops are measured from the raw ends, as no baseline is drawn yet."""
    for groove in layout.grooves:
        yield _rebating(layout, groove) if groove.is_rebate else _ploughing(layout, groove)


def _ploughing(layout: Layout, groove: GrooveHere) -> WorkStep:
    away, from_edge = groove.gauged
    width, depth, away_words = (fine(layout, size) for size in (groove.width, groove.depth, away))
    boards = {(True, True): "both boards", (True, False): "the tail board", (False, True): "the pin board"}
    where = boards[groove.reach is not None, groove.in_pin_board]
    words = [f"{width} wide, {depth} deep, {away_words} {from_edge}, in the inside face of {where}."]
    end = layout.as_cut.tail_end
    if groove.reach is not None:
        stops = groove.reach < end - tol.ROUNDING
        short = fine(layout, end - groove.reach)
        words.append(
            f"In the tail board stop it {short} short of the raw end: chop that end first."
            if stops
            else "In the tail board plough right through: the lap hides it."
            if layout.is_half_blind
            else "In the tail board it runs out at the end."
        )
    if groove.in_pin_board:
        words.append("In the pin board plough right through: it ends in a socket.")  # a box that cuts a pin is refused
    words.append("At the least lay it out now.")
    if len(groove.spans) > 1:
        edge = "upper" if groove.is_top else "reference"
        words.append(f"Drawings and template show it at both edges: cut it at the {edge} edge alone.")
    return WorkStep(f"Plough the groove{' for the top' * groove.is_top}", " ".join(words))


def _rebating(layout: Layout, groove: GrooveHere) -> WorkStep:
    """A rebate for the bottom is planed where it runs out, and chopped where it stops: in a half pin, or in a tail."""
    high, deep = (fine(layout, size) for size in (groove.width, groove.depth))
    words = [f"{high} high and {deep} deep, along the reference edge, in the inside faces."]
    end, ends = layout.as_cut.tail_end, layout.as_cut.pin_end
    if groove.stops_in_pin:
        short = fine(layout, ends - groove.pin_reach)
        words.append(f"In the pin board stop it {short} short of the raw end, in the half pin: chop that end first.")
        words.append("In the tail board plane it right through: it ends in the socket of the half pin.")
    elif layout.recipe.mitre[0] > groove.width:
        words.append("Plane it right through: at the mitred shoulder it runs from board to board.")
    elif groove.reach is not None and groove.reach < end - tol.ROUNDING:
        short = fine(layout, end - groove.reach)
        words.append(f"In the tail board stop it {short} short of the raw end: chop that end first.")
    else:
        words.append("It runs out at the ends of the tail board.")
    words.append("At the least lay it out now.")
    if len(groove.spans) > 1:
        words.append("Drawings and template show it at both edges: cut it at the reference edge alone.")
    return WorkStep("Plane the rebate for the bottom", " ".join(words))


def _gauging(layout: Layout, bench: Bench) -> WorkStep:
    """The faces that take a full line. On a show face the waste is known only once its tails or pins are marked."""
    first, second, *_ = (gauge.setting for gauge in bench.gauges)
    alike = (
        "Both settings are the same here."
        if say(layout, first) == say(layout, second)
        else "The settings differ: do not mix them up."
    )
    uneven = layout.recipe.tail_board.uneven or layout.recipe.pin_board.uneven
    alike += " They are set by the thickest places of the boards." if uneven else ""
    grain = " Also the pin board's end grain, from its inside face." if layout.is_half_blind else ""
    tails, pins = (_and(edges_gauged(layout, board)) for board in ("tail board", "pin board"))
    return WorkStep(
        "Gauge",
        f"{say(layout, first)}: the tail board's inside face{tails}.{grain} {say(layout, second)}: the pin "
        f"board's inside face{pins}. {alike} Leave the show faces alone for now.",
    )


def _and(edges: str) -> str:
    return f" and {edges}" if edges else ""


def _bevelling(bench: Bench) -> str:
    """The slopes on both faces; where there are several, by the list of bevels."""
    if len(bench.bevels) > 1:
        return "Draw each flank on both faces at its own slope, as listed with the bevels."
    return f"Bevel 1 in {bench.bevels[0].ratio:.3g} on both faces."


def _pins(layout: Layout, bench: Bench) -> str:
    chopping, left = _chopping(layout, bench, "pin board"), hand_work(layout).beyond_the_line
    fat = f"Leave each flank fat by {fine(layout, left)}. " if left > tol.ROUNDING else ""
    if layout.is_half_blind:
        return (
            f"Saw at a slant from the inside corner, on the waste side{kerf(layout)}. {fat}{chopping} Pare the acute "
            "corners with a skew chisel."
        )
    return (
        f"Saw on the waste side of the knife lines{kerf(layout)}. {fat}{chopping} Lean the chisel with the flank "
        "where you pare beside a pin."
    )


def _clearing(layout: Layout, bench: Bench) -> WorkStep:
    edges = " ".join(_clearing_edges(layout, bench))
    if len(layout.tails) == 1:
        lean = _leaning([chop for chop in bench.chops if chop.board == "tail board"])
        return WorkStep("Clear beside the tail", f"{edges} Pare to the line from both faces{lean}.")
    chopping = _chopping(layout, bench, "tail board")
    rest = f"{edges} Saw out most of the rest." if edges else "Saw out most of the waste."
    return WorkStep("Clear between the tails", f"{rest} {chopping}")


def _clearing_edges(layout: Layout, bench: Bench) -> Iterator[str]:
    """How the waste goes beside half pins: sawn off where the edge is open. Beside a half tail there is none."""
    opened = edges_gauged(layout, "tail board")
    if all(layout.strips):
        yield "At both edges saw square down beside the wood that stays, and chop."
    elif any(layout.strips):
        yield (
            "Saw off the waste at the open edge, beside the baseline. At the other, saw square down beside the wood "
            "that stays, and chop."
        )
    elif opened:
        yield f"Saw off the waste at {'both edges' if opened == BOTH else f'the {opened}'}, beside the baseline."
    if bench.mitred:
        at = " and ".join(f"the {each.edge}" for each in bench.mitred)
        yield (
            f"At {at} saw square down beside the strip that is mitred, on the side of the half pin, and chop; leave "
            "the strip itself for now."
        )


def _chopping(layout: Layout, bench: Bench, board: str) -> str:
    """With the widest of the maker's own chisels that goes into every closed socket from either side."""
    chops = [chop for chop in bench.chops if chop.board == board]
    fits = (fit.widest for fit in bench.chisels if fit.board == board and not fit.is_open)
    narrowest = min(fits, default=math.inf)
    own = max((c for c in layout.recipe.kit.chisels if c <= narrowest + tol.ROUNDING), default=None)
    chisel = "" if own is None else f" with {fine(layout, own)}"
    cuts = ", then ".join(f"{say(layout, chop.depth)} from the {chop.face}" for chop in chops)
    clear = f"Stay {format_length(CHOP_CLEAR, layout.recipe.units)} clear of the line, in the waste, then pare to it"
    return f"Chop{chisel}: {cuts}. {clear}{_leaning(chops)}."


def _leaning(chops: list[Chop]) -> str:
    leans = sorted({round(chop.lean_deg, 1) for chop in chops if chop.lean_deg})
    return f". Past the land lean the chisel by {' or '.join(f'{lean:g} degrees' for lean in leans)}" if leans else ""
