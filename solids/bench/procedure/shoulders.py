"""The steps of a rebate and of mitred shoulders. Common practice."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.messages import capital
from solids.bench.procedure.steps import WorkStep, kerf
from solids.bench.settings import Bench, MitreLine
from solids.bench.told import fine
from solids.layout import Layout


def rebating(layout: Layout) -> WorkStep:
    """Before the tails are laid out: they are as thick as the rebate leaves them, and it registers the boards."""
    deep = fine(layout, layout.rebate)
    return WorkStep(
        "Cut the rebate",
        f"{deep} deep across the tail board's whole inside face, from the baseline to the end. Gauge its floor on the "
        f"end and both edges, {deep} from the inside face. Clamp the board down, with scrap behind the far edge so "
        "that it does not break out. Knife the baseline deep, or saw along it down to the gauged lines; then plane or "
        "rout to them. The shoulder must be square and the floor flat across: try both with a square, and the depth at "
        "both edges and in the middle. It makes the tails as thick as they are to be, and its shoulder places the "
        "boards on each other.",
    )


def marking_mitres(layout: Layout, bench: Bench) -> WorkStep:
    """On the edges and faces of both boards, before anything is sawn that would take the lines away."""
    wide = " and ".join(f"{fine(layout, each.width)} wide at the {each.edge}" for each in bench.mitred)
    begins = "the baseline on the inside face"
    if layout.rebate:
        begins += " (on the tail board from the inner corner of the rebate)"
    lines = " ".join(
        f"On the {line.board}: {line.angle_words} to its faces; it comes out {_out(layout, line)}."
        for line in bench.mitre
    )
    return WorkStep(
        "Mark the mitre",
        f"{capital(wide)}. On both boards square a line so far from that edge across the end and down both faces. On "
        f"the edge draw the mitre outward from {begins}. {lines}",
    )


def _out(layout: Layout, line: MitreLine) -> str:
    """Where the line of a mitre comes out."""
    if line.from_arris <= tol.ROUNDING:
        return "at the outer arris of the end"
    far = fine(layout, line.from_arris)
    return (
        f"on the show face, {far} from the end" if line.out == "show face" else f"on the end, {far} under the show face"
    )


def sawing_mitres(layout: Layout, bench: Bench) -> WorkStep:
    """When tails and pins are cut: the strips of both boards, and the block to pare them on."""
    tails, pins = (f"{math.degrees(line.angle_rad):.1f}" for line in bench.mitre)
    block = f"{tails} degrees" if tails == pins else f"{tails} degrees for the tail board, {pins} for the pin board"
    return WorkStep(
        "Saw the mitre",
        "Clamp the board. Saw each strip from its edge as far as the squared line, along the mitre from the inside "
        f"corner to the outer arris, the kerf in the waste{kerf(layout)}: neither strip is cut at its baseline. In "
        "the pin board first saw square down beside the half pin, on the side of the strip, no deeper than the mitre. "
        f"Pare to the line on a block planed to {block}.",
    )


def beside_mitres(layout: Layout, bench: Bench) -> Iterator[str]:
    """Nothing stands proud in a mitred strip, whatever the ends beside it do."""
    proud = layout.recipe.tail_board.proud or layout.recipe.pin_board.proud
    if not bench.mitred or not proud:
        return
    if layout.recipe.finish.ends == "proud":
        yield (
            "Finish the mitred shoulder flush with both show faces, below the ends that stay proud: with a chisel or a "
            "small block, as no plane gets in beside them."
        )
    else:
        yield "The mitred shoulder lies below the ends that stand proud: bring those down to it first."
