"""The order of work for one corner, in steps that a maker ticks off. Common practice, with this joint's own numbers.

Tails first: they are cut in the tail board, then knifed onto the pin board.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.lengths import CALIPER, format_length
from solids.base.messages import capital
from solids.bench.hand_error import hand_work
from solids.bench.settings import CHOP_CLEAR, INWARD, Bench, Chop, Planing, bench_of
from solids.layout import Layout, tails_in_words
from solids.recipe.completing.choosing import round_up


@dataclass(frozen=True)
class WorkStep:
    """One step: what to do in a few words, and how, in short sentences."""

    what: str
    how: str


@dataclass(frozen=True)
class Stage:
    """Steps of one part of the work, under a title. A step without a name is part of the one before it."""

    title: str
    steps: tuple[WorkStep, ...]


def order_of_work(layout: Layout) -> tuple[WorkStep, ...]:
    """All steps for this joint, from sawing to length to planing."""
    bench = bench_of(layout)
    return (*_boards(layout, bench), *_joint(layout, bench), *_gluing(layout), *_after(layout))


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
    tails, pins = (_say(layout, cut.saw_to) for cut in bench.cut_lengths)
    yield WorkStep(
        "Saw to length",
        f"Tail board {tails}, pin board {pins}. Square the ends. Mark the reference edge and the show face of both.",
    )
    yield from _grooving(layout)


def _joint(layout: Layout, bench: Bench) -> Iterator[WorkStep]:
    yield _gauging(layout, bench)
    yield WorkStep(
        "Mark and saw the tails",
        f"Knife {tails_in_words(len(layout.tails))} on the raw end, square across. Bevel 1 in {layout.ratio:.3g} on "
        f"both faces. Gauge the show face in the waste only. Saw beside each line, in the waste, down to the "
        f"baseline{_kerf(layout)}.",
    )
    yield _clearing(layout, bench)
    if layout.chamfer_reach:
        width = _fine(layout, layout.recipe.entry_chamfer.width)
        yield WorkStep(
            "Chamfer the tails",
            f"{width} on the inside edges of the flanks, from the baseline to {_fine(layout, layout.chamfer_stop)} "
            "short of the raw end.",
        )
    onto = "the ends of the tails on the gauged line" if layout.is_half_blind else "the baseline over the inside edge"
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
    yield WorkStep(
        "Try it dry",
        "Press it part of the way home, once. Pare where it shines. Do not drive a half pin that is tight.",
    )
    finish = layout.recipe.finish
    if finish.ends == "proud" and finish.chamfer:
        yield WorkStep("Chamfer the ends", f"{_fine(layout, finish.chamfer)} round the ends that stay proud.")


def _gluing(layout: Layout) -> Iterator[WorkStep]:
    yield WorkStep("Glue", f"Glue the flanks. {pressing_words(layout)} Check for square.")


def _after(layout: Layout) -> Iterator[WorkStep]:
    planing = " ".join(planing_words(layout))
    yield WorkStep("Plane", planing or "Nothing: the ends stay as they are.")


LAID_OUT = "Glue and a brush, a damp rag, a square, a mallet and a block"
"""What lies ready before glue is spread. Common practice."""

CAUL = 25.0
"""How thick a caul is, where clamps are chosen that open far enough (mm). Common practice."""

WAXED = "Wax the caul, or tape it, so that no glue holds it."


def _laid_out(layout: Layout) -> WorkStep:
    """Clamps reach over the length of the pin board and press the tails down between its pins."""
    units = layout.recipe.units
    opens = format_length(round_up(layout.recipe.pin_board.length + layout.as_cut.pin_end + CAUL, units), units)
    caul = f"a straight caul of {_fine(layout, layout.width)} or longer over the tails"
    return WorkStep("Lay out", f"{LAID_OUT}; two clamps or more that open {opens}, and {caul}. {WAXED}")


def pressing_words(layout: Layout) -> str:
    """Where the clamps press."""
    if layout.recipe.pin_board.proud:
        return "Press on the tails only: let cauls clear the pins."
    return "Press on the tails."


def planing_words(layout: Layout) -> list[str]:
    """What is planed when the glue has set, a sentence each, after the one that tells which way."""
    planing = bench_of(layout).planing
    amounts = [f"{capital(p.what)}: {_fine(layout, p.amount)}{_more(layout, p)}." for p in planing]
    return [f"Work {INWARD}.", *amounts] if amounts else []


def _more(layout: Layout, planing: Planing) -> str:
    return f", and up to {_fine(layout, planing.more)} more where that board is thinner" if planing.more else ""


def _grooving(layout: Layout) -> Iterator[WorkStep]:
    """Before any joint is laid out: a plough needs the whole edge, and nobody cuts by chance into a groove that is
    there to be seen. Common practice. Stops are measured from the raw ends, as no baseline is drawn yet."""
    groove = layout.groove
    if groove is None:
        return
    width, depth, up = (_fine(layout, size) for size in (groove.width, groove.depth, groove.up))
    boards = {(True, True): "both boards", (True, False): "the tail board", (False, True): "the pin board"}
    where = boards[groove.reach is not None, groove.in_pin_board]
    words = [f"{width} wide, {depth} deep, {up} above the reference edge, in the inside face of {where}."]
    end = layout.as_cut.tail_end
    if groove.reach is not None:
        stops = groove.reach < end - tol.ROUNDING
        short = _fine(layout, end - groove.reach)
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
        words.append("Drawings and template show it at both edges: cut it at the reference edge alone.")
    yield WorkStep("Plough the groove", " ".join(words))


def _gauging(layout: Layout, bench: Bench) -> WorkStep:
    """The faces that take a full line. On a show face the waste is known only once its tails or pins are marked."""
    first, second = (gauge.setting for gauge in bench.gauges)
    alike = (
        "Both settings are the same here."
        if _say(layout, first) == _say(layout, second)
        else "The settings differ: do not mix them up."
    )
    uneven = layout.recipe.tail_board.uneven or layout.recipe.pin_board.uneven
    alike += " They are set by the thickest places of the boards." if uneven else ""
    grain = " Also the pin board's end grain, from its inside face." if layout.is_half_blind else ""
    return WorkStep(
        "Gauge",
        f"{_say(layout, first)}: the tail board's inside face and edges.{grain} {_say(layout, second)}: the pin "
        f"board's inside face. {alike} Leave the show faces alone for now.",
    )


def _pins(layout: Layout, bench: Bench) -> str:
    chopping, left = _chopping(layout, bench, "pin board"), hand_work(layout).beyond_the_line
    fat = f"Leave each flank fat by {_fine(layout, left)}. " if left > tol.ROUNDING else ""
    if layout.is_half_blind:
        return (
            f"Saw at a slant from the inside corner, on the waste side{_kerf(layout)}. {fat}{chopping} Pare the acute "
            "corners with a skew chisel."
        )
    return (
        f"Saw on the waste side of the knife lines{_kerf(layout)}. {fat}{chopping} Lean the chisel with the flank "
        "where you pare beside a pin."
    )


def _clearing(layout: Layout, bench: Bench) -> WorkStep:
    edges = "Saw off the waste at both edges, beside the baseline."
    if layout.below:
        edges = (
            "Saw off the waste at the open edge, beside the baseline. At the other, saw square down beside the wood "
            "that stays, and chop."
        )
    if len(layout.tails) == 1:
        lean = _leaning([chop for chop in bench.chops if chop.board == "tail board"])
        return WorkStep("Clear beside the tail", f"{edges} Pare to the line from both faces{lean}.")
    chopping = _chopping(layout, bench, "tail board")
    return WorkStep("Clear between the tails", f"{edges} Saw out most of the rest. {chopping}")


def _chopping(layout: Layout, bench: Bench, board: str) -> str:
    """With the widest of the maker's own chisels that goes into every closed socket from either side."""
    chops = [chop for chop in bench.chops if chop.board == board]
    narrowest = min(fit.widest for fit in bench.chisels if fit.board == board and not fit.is_open)
    own = max((c for c in layout.recipe.kit.chisels if c <= narrowest + tol.ROUNDING), default=None)
    chisel = "" if own is None else f" with {_fine(layout, own)}"
    cuts = ", then ".join(f"{_say(layout, chop.depth)} from the {chop.face}" for chop in chops)
    clear = f"Stay {format_length(CHOP_CLEAR, layout.recipe.units)} clear of the line, in the waste, then pare to it"
    return f"Chop{chisel}: {cuts}. {clear}{_leaning(chops)}."


def _leaning(chops: list[Chop]) -> str:
    leans = sorted({round(chop.lean_deg, 1) for chop in chops if chop.lean_deg})
    return f". Past the land lean the chisel by {' or '.join(f'{lean:g} degrees' for lean in leans)}" if leans else ""


def _kerf(layout: Layout) -> str:
    kerf = layout.recipe.kit.saw_kerf
    return f" (kerf {_fine(layout, kerf)})" if kerf else ""


def _say(layout: Layout, mm: float) -> str:
    return format_length(mm, layout.recipe.units, layout.recipe.rule)


def _fine(layout: Layout, mm: float) -> str:
    """Sizes and small amounts."""
    return format_length(mm, layout.recipe.units, CALIPER)
