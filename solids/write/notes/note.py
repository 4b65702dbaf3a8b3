"""The note for a joint, in plain English, with its own numbers: by hand first, then with a printer, then with a router
that is moved by numbers; and every caution."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from solids.base.cautions import CAUTIONS
from solids.base.lengths import MOST, format_both, format_fine
from solids.bench.listing import bench_words
from solids.bench.milling import SPINDLE_RPM, Cut, cuts
from solids.bench.place_words import measured_from, place_words
from solids.bench.procedure import WorkStep, order_of_work
from solids.bench.worktime import time_words
from solids.layout import Layout, tails_in_words
from solids.layout.box.kinds import and_so_on
from solids.proof.joint.corner import Proof
from solids.write.drafting.cutter_words import cutter_words, feed_rows, round_words
from solids.write.notes.markdown import escaped, note

JOINT_FRAME = (
    "They share one frame, the frame of the joint. X runs across the boards from the reference edge. Y points out "
    "of the pin board's show face. Z points out of the tail board's show face."
)
FACES_NAMED = (
    'every face has its name, as "flank 3 left" or "show face", and the reference edge is blue. Tails, pins and '
    "shoulders are counted from there, and left is the side toward it."
)
BOX_FRAME = "Each board stands where it is in the box, with both its ends cut. This note is for one end."

NOTES_TOLD = ("cup",)
"""Notes of the proof that stand here too, beside its warnings: what to know before a board is milled."""


def note_bytes(
    layout: Layout,
    proof: Proof,
    files: Sequence[tuple[str, str]],
    more: Sequence[tuple[str, str, Sequence[str]]] = (),
    of_box: tuple[Sequence[str], Sequence[str]] | None = None,
    drawing: str = "drawing.dxf",
) -> bytes:
    """The note for a joint. `files` are the names of the files beside it, and what each holds; `more` are the commands
    that write more, what that is, and its files; `drawing` names the DXF file with paths. For a corner of a box,
    `of_box` names the models of its tail boards and of its pin boards."""
    words = {**_words(layout, proof, drawing), **_model_words(layout, of_box)}
    return note("cnc-jig-note.md.jinja", **words, files=files, more=more, cautions=CAUTIONS)


def _words(layout: Layout, proof: Proof, drawing: str) -> dict[str, Any]:
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
        "edge_side": layout.edge_side,
        "other_zero": _other_zero(layout),
        "settings": [escaped(words) for words in bench_words(layout)],
        "minutes": time_words([layout]),
        "steps": [WorkStep(step.what, escaped(step.how)) for step in order_of_work(layout)],
        "jig_zero": _jig_zero(layout),
        "open_edges": "open edge" if layout.below else "two edges",
        "tail_edge": measured_from(layout),
        "tail_opening_words": _tail_opening_words(layout, tails, most, marked),
        "tail_corner_words": _tail_corner_words(layout, tails, say),
        "pin_rest_words": _rest_words(pins, say),
        "tail_cutter_words": cutter_words(layout, tails, drawing),
        "pin_cutter_words": cutter_words(layout, pins, drawing),
        "tail_rounds": round_words(layout, tails),
        "pin_rounds": round_words(layout, pins),
        "rpm": SPINDLE_RPM,
        "drawing": drawing,
        "feeds": feed_rows(layout),
        "passes": proof.passes,
        "proof_words": _proof_words(proof),
    }


def _model_words(layout: Layout, of_box: tuple[Sequence[str], Sequence[str]] | None) -> dict[str, str]:
    """The frame that the models are in, and how each is brought to the zero of the machine."""
    if of_box:
        tails, pins = (" or ".join(f"`{name}`" for name in names) for names in of_box)
        return {
            "frame_words": BOX_FRAME,
            "step_words": f"In the STEP files {FACES_NAMED} A face at one end has the name of its corner before it.",
            "tail_model_words": f"In your program, turn {tails} so that the board lies like this.",
            "pin_model_words": f"In your program, turn {pins} so that the board stands like this.",
            "aids_note": "The note",
        }
    cut = layout.as_cut
    tails, pins = _move(0.0, -cut.tail_end, -cut.show_z), _move(0.0, 0.0, -cut.pin_end)
    return {
        "frame_words": JOINT_FRAME,
        "step_words": f"In the STEP files {FACES_NAMED} Those of single boards carry dimensions too, for programs that "
        "read them: sizes, gauge settings, slope, and the place of each flank.",
        "tail_model_words": f"To bring `tail-board.stl` there, move it by {tails}.",
        "pin_model_words": f"To bring `pin-board.stl` there, move it by {pins}.",
        "aids_note": "`aids-note.md`",
    }


def _move(x: float, y: float, z: float) -> str:
    """A move in mm, for a program that places models: no fractions here."""
    return ", ".join(f"{axis} {_decimals(value)} mm" for axis, value in zip("XYZ", (x, y, z), strict=True))


def _decimals(value: float) -> str:
    """A number with four decimals at most, and no zeros at its end."""
    return f"{value + 0.0:.4f}".rstrip("0").rstrip(".")


def _other_zero(layout: Layout) -> str:
    """How the same paths serve corners that are met the other way round."""
    right = layout.standing.mirrored
    if layout.mirrored or not right:
        return ""
    return (
        f"At the {and_so_on(right)} the reference edge is on the right. Put it to the right there, set zero at it, and "
        f"move the paths by X {_decimals(-layout.width)} mm: the joint is the same from both edges."
    )


def _jig_zero(layout: Layout) -> str:
    """How the jig's zero lies to that of the paths: its cradle holds the left edge, wherever the reference edge is."""
    right = layout.standing.mirrored
    if layout.mirrored:
        return f" Its mark, X0 Y0, is at the left edge: set X to {_decimals(-layout.width)} mm there for these paths."
    return f" At the {and_so_on(right)} its mark is zero too, for the paths as they are drawn." if right else ""


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
