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
from solids.bench.place_words import place_words
from solids.bench.procedure import WorkStep, order_of_work
from solids.bench.worktime import time_words
from solids.layout import Layout, tails_in_words
from solids.layout.setups import MachineBoard
from solids.proof.joint.corner import Proof
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
        "most": most,
        "plain": escaped,
        "degrees": math.degrees,
        "tail_count": tails_in_words(len(layout.tails)),
        "place": [escaped(words) for words in place_words(layout)],
        "settings": [escaped(words) for words in bench_words(layout)],
        "minutes": time_words([layout]),
        "steps": [WorkStep(step.what, escaped(step.how)) for step in order_of_work(layout)],
        "open_edges": "open edge" if layout.below else "two edges",
        "tail_opening_words": _tail_opening_words(layout, tails, most, marked),
        "tail_corner_words": _tail_corner_words(layout, tails, say),
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


def _tail_opening_words(layout: Layout, cut: Cut, most: Callable[[float], str], marked: Callable[[float], str]) -> str:
    if cut.opening is None:
        return "With one tail, both sockets are open at the edge of the board. So any cutter can get in."
    face = min(layout.closed_gaps(layout.depth))
    between = "between the tails" if not layout.below else "that has wood on both sides"
    words = f"The cutter must pass the gap {between} at the raw end, which is {most(cut.opening)}."
    if layout.recipe.tail_board.proud:
        words += f" That is less than the {marked(face)} that shows on the finished face, as the ends stand proud."
    return words


def _tail_corner_words(layout: Layout, cut: Cut, say: Callable[[float], str]) -> str:
    n = len(layout.tails)
    where = (
        "one in each of the two sockets at the edges"
        if n == 1
        else "two in each socket between tails, and one in each socket at the edge"
    )
    words = (
        "Each socket is wider at the baseline than at the end. So its corners there are sharp, "
        f"{math.degrees(cut.corner_rad):.1f} degrees inside. A round cutter cannot reach into them. This board has "
        f"{cut.acute_corners} such corners: {where}."
    )
    if layout.below:
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
        f"With the {last.size} cutter each corner keeps {rest.area:.2g} mm² ({rest.area / 25.4**2:.2g} sq in) of wood. "
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
