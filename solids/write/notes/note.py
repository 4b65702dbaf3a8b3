"""The note for a joint, in plain English, with its own numbers: by hand first, then with a printer, then with a router
that is moved by numbers; and every caution."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from functools import partial
from typing import Any

from solids.base.cautions import CAUTIONS
from solids.base.lengths import MOST, format_both, format_fine
from solids.bench.listing import bench_words
from solids.bench.milling import SPINDLE_RPM, Cut, cuts
from solids.bench.place_words import place_words, tails_told
from solids.bench.procedure import WorkStep, order_of_work
from solids.bench.settings import mitre_lines, mitred_shoulders
from solids.bench.worktime import time_words
from solids.layout import Layout
from solids.layout.box.kinds import and_so_on
from solids.layout.joint.shape.slopes import all_slopes, angle_words
from solids.layout.setups import MachineBoard
from solids.proof.joint.corner import Proof
from solids.recipe.completing.choosing import round_up
from solids.write.drafting.cutter_words import cutter_words, feed_rows, round_words
from solids.write.notes.machine_words import machine_words
from solids.write.notes.markdown import escaped, note

JOINT_FRAME = (
    "`corner.step` and `corner-finished.step` are in the frame of the joint. X runs across the boards from the "
    "reference edge. Y points out of the pin board's show face. Z points out of the tail board's show face."
)
FACES_NAMED = (
    'every face has its name, as "flank 3 left" or "show face", and the reference edge is blue. Tails, pins and '
    "shoulders are counted from there, and left is the side toward it."
)
BOX_FRAME = "The boards have both their ends cut. This note is for one end."

AT_CORNERS = " A face at one end has the name of its corner before it."
DIMENSIONED = (
    "Those of single boards carry dimensions too, for programs that read them: sizes, gauge settings, slope, and the "
    "place of each flank."
)

NOTES_TOLD = ("cup",)
"""Notes of the proof that stand here too, beside its warnings: what to know before a board is milled."""


def note_bytes(
    layout: Layout,
    proof: Proof,
    boards: Collection[MachineBoard],
    files: Sequence[tuple[str, str]],
    more: Sequence[tuple[str, str, Sequence[str]]] = (),
) -> bytes:
    """The note for a joint. `boards` are those that meet there, as they lie in the machine; `files` are the names of
    the files beside it, and what each holds; `more` are the commands that write more, what that is, and its files."""
    words = {**_words(layout, proof), **machine_words(layout, boards)}
    return note("cnc-jig-note.md.jinja", **words, files=files, more=more, cautions=CAUTIONS)


CLEAR_OF_STOP = 10.0
"""How far behind the baseline a stop begins on the machine (mm): no cutter comes so far. Common practice."""


def _words(layout: Layout, proof: Proof) -> dict[str, Any]:
    tails, pins = cuts(layout)
    say, marked = (partial(how, units=layout.recipe.units) for how in (format_fine, format_both))
    most = partial(format_both, units=layout.recipe.units, reading=MOST)
    return {
        "layout": layout,
        "recipe": layout.recipe,
        "tails": tails,
        "pins": pins,
        "say": say,
        "marked": marked,
        "stop_from": marked(round_up(layout.as_cut.tail_end + CLEAR_OF_STOP, layout.recipe.units)),
        "most": most,
        "plain": escaped,
        "tail_count": tails_told(layout),
        "slope_words": _slope_words(layout),
        "place": [escaped(words) for words in place_words(layout)],
        "settings": [escaped(words) for words in bench_words(layout)],
        "minutes": time_words([layout]),
        "steps": [WorkStep(step.what, escaped(step.how)) for step in order_of_work(layout)],
        "first_cuts": _first_cuts(layout),
        "mitre_words": _mitre_words(layout),
        "tail_opening_words": _tail_opening_words(layout, tails, most, marked),
        "tail_corner_words": _tail_corner_words(layout, tails, say),
        "pin_opening_words": _pin_opening_words(layout, pins, most),
        "pin_corner_words": _pin_corner_words(pins, is_even=_is_even(layout)),
        "pin_rest_words": _rest_words(pins, say),
        "tail_cutter_words": cutter_words(layout, tails),
        "pin_cutter_words": cutter_words(layout, pins),
        "tail_rounds": round_words(layout, tails),
        "pin_rounds": round_words(layout, pins),
        "rpm": SPINDLE_RPM,
        "frame_words": BOX_FRAME if layout.standing.corners else JOINT_FRAME,
        "step_words": f"In the STEP files {FACES_NAMED}{AT_CORNERS if layout.standing.corners else ''} {DIMENSIONED}",
        "aids_note": "The note" if layout.standing.corners else "`aids-note.md`",
        "feeds": feed_rows(layout),
        "passes": proof.passes,
        "proof_words": _proof_words(proof),
    }


def _slope_words(layout: Layout) -> str:
    slopes, are = ("slope", "is") if len(layout.ratios) == 1 else ("slopes", "are")
    return f"The {slopes} {are} {all_slopes(layout)}, which {are} {angle_words(layout)}."


def _is_even(layout: Layout) -> bool:
    """Whether every tail has two flanks that lean into it, between two half pins."""
    return all(flank.lean > 0 for flank in layout.flanks) and not any(tail.is_half for tail in layout.tails)


def _first_cuts(layout: Layout) -> str:
    """Which sockets of the tail board come first: those that are open at an edge."""
    opened = sum(gap.is_half and not layout.is_closed(gap) for gap in layout.gaps)
    first = {
        2: "First cut the sockets at the two edges. Then cut",
        1: "First cut the socket at the open edge. Then cut",
    }
    beside = " and beside the mitred strip" if any(layout.mitred) else ""
    if any(layout.strips):
        first[1] = "First cut the sockets at the open edge. Then cut"
        beside = " and beside the wood that stays" if all(layout.strips) else beside
    return f"{first.get(opened, 'Cut')} the sockets between the tails{beside}, one by one."


def _mitre_words(layout: Layout) -> str:
    """What the machine leaves of a mitred shoulder; empty where there is none."""
    shoulders = mitred_shoulders(layout)
    if not shoulders:
        return ""
    at = and_so_on([f"{format_fine(each.width, layout.recipe.units)} at the {each.edge}" for each in shoulders])
    angles = and_so_on([f"{line.angle_words} on the {line.board}" for line in mitre_lines(layout)])
    return (
        f"The shoulder is mitred, {at}. The router leaves that strip whole: keep the path out of it, and saw and pare "
        f"it by hand, {angles}."
    )


def _pin_opening_words(layout: Layout, cut: Cut, most: Callable[[float], str]) -> str:
    if cut.opening is None:
        return "Every socket is open at an edge of the board, so any cutter can get in."
    if _is_even(layout):
        return f"They are narrowest at the inside face, {most(cut.opening)}."
    return f"Where they are narrowest the cutter must pass {most(cut.opening)}."


def _pin_corner_words(cut: Cut, *, is_even: bool) -> str:
    """The corners of a half-blind pin board."""
    where = "two at the lap of each socket" if is_even else "one at the lap for each flank that leans"
    sharp = "" if is_even else " the sharpest"
    return (
        f"The sockets end at the lap, and they are wider there. So this board has {cut.acute_corners} sharp corners, "
        f"{where},{sharp} {math.degrees(cut.corner_rad):.1f} degrees inside."
    )


def _tail_opening_words(layout: Layout, cut: Cut, most: Callable[[float], str], marked: Callable[[float], str]) -> str:
    if cut.opening is None:
        if _is_even(layout):
            return "With one tail, both sockets are open at the edge of the board. So any cutter can get in."
        return "Every socket is open at an edge of the board. So any cutter can get in."
    face = min(layout.closed_gaps(layout.depth))
    between = "that has wood on both sides" if any(layout.strips) or any(layout.mitred) else "between the tails"
    words = f"The cutter must pass the gap {between} at the raw end, which is {most(cut.opening)}."
    if layout.recipe.tail_board.proud and face > cut.opening:
        words += f" That is less than the {marked(face)} that shows on the finished face, as the ends stand proud."
    return words


def _tail_corner_words(layout: Layout, cut: Cut, say: Callable[[float], str]) -> str:
    n, degrees = len(layout.tails), f"{math.degrees(cut.corner_rad):.1f} degrees inside"
    where = (
        "one in each of the two sockets at the edges"
        if n == 1
        else "two in each socket between tails, and one in each socket at the edge"
    )
    sharp = f"Each socket is wider at the baseline than at the end. So its corners there are sharp, {degrees}."
    if not _is_even(layout) or len(layout.ratios) > 1:
        sharp = f"At each flank that leans into its tail the corner at the baseline is sharp, the sharpest {degrees}."
    if not _is_even(layout):
        where = "one at each such flank"
    words = f"{sharp} A round cutter cannot reach into them. This board has {cut.acute_corners} such corners: {where}."
    walls = sum(bool(strip) and wall for strip, wall in zip(layout.strips, layout.walls, strict=True))
    if walls > 1:
        words += " Two further corners, beside the wood that stays, are square."
    elif walls:
        words += " A further corner, beside the wood that stays, is square."
    if cut.best is None:
        return words
    return words + (
        f" {_rest_words(cut, say)} Pare what is left with a chisel. Or let the cutter go a little past the baseline in "
        "each corner. That leaves a small round hole that shows."
    )


def _rest_words(cut: Cut, say: Callable[[float], str]) -> str:
    if not cut.runs:
        return ""
    last = cut.runs[-1].cutter
    rest = last.rest
    return (
        f"With the {last.size} cutter each corner keeps {rest.area:.2g} mm2 ({rest.area / 25.4**2:.2g} sq in) of wood. "
        f"It reaches {say(rest.along)} along both sides."
    )


def _proof_words(proof: Proof) -> str:
    marks = {"fail": "**FAILS.** ", "warning": "**Take care.** ", "pass": "", "note": ""}
    lines = [
        f"- {marks[finding.severity]}{escaped(finding.words)}"
        for finding in proof.findings
        if (finding.severity != "note" or finding.code in NOTES_TOLD)
        and (finding.code != "solid" or finding.severity != "pass")
    ]
    solids = sum(finding.code == "solid" and finding.severity == "pass" for finding in proof.findings)
    lines.insert(0, f"- {solids} solids are closed and valid, and their volumes are exact.")
    return "\n".join(lines)
