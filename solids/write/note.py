"""The note on CNC and jig use, in plain English, with this joint's own numbers and every caution."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from solids.base.cautions import CAUTIONS
from solids.base.lengths import format_both
from solids.bench.milling import SPINDLE_RPM, Cut, cuts
from solids.layout import Layout, tails_in_words
from solids.proof.corner import Proof
from solids.write.cutter_words import cutter_words, feed_rows, round_words
from solids.write.markdown import escaped, note

JOINT_FRAME = (
    "They share one frame, the frame of the joint. X runs across the boards from the edge you mark from. Y points out "
    "of the pin board's show face. Z points out of the tail board's show face."
)
BOX_FRAME = "Each board stands where it is in the box, with both its ends cut. This note is for one end."


def note_bytes(
    layout: Layout,
    proof: Proof,
    files: Sequence[tuple[str, str]],
    of_box: tuple[Sequence[str], Sequence[str]] | None = None,
    drawing: str = "drawing.dxf",
) -> bytes:
    """The note for a joint; `files` names every file beside it and what it holds, `drawing` the DXF file with paths.
    For a corner of a box, `of_box` names the models of its tail boards and of its pin boards."""
    words = {**_words(layout, proof, drawing), **_model_words(layout, of_box)}
    return note("cnc-jig-note.md.jinja", **words, files=files, cautions=CAUTIONS)


def _words(layout: Layout, proof: Proof, drawing: str) -> dict[str, Any]:
    recipe = layout.recipe
    tails, pins = cuts(layout)
    say = _Say(layout)
    return {
        "title": escaped(recipe.title),
        "kind": recipe.kind,
        "tails": tails_in_words(len(layout.tails)),
        "width": say.length(layout.width),
        "slope": f"1:{layout.ratio:.4g}, which is {math.degrees(layout.slope_rad):.1f} degrees",
        "tail_thickness": say.length(recipe.tail_board.thickness),
        "tail_wood": escaped(recipe.tail_board.wood.name),
        "pin_thickness": say.length(recipe.pin_board.thickness),
        "pin_wood": escaped(recipe.pin_board.wood.name),
        "place": [escaped(words) for words in layout.in_box.words],
        "edge": layout.in_box.edge,
        "open_edges": "open edge" if any(layout.in_box.strips) else "two edges",
        "tail_edge": "line where the joint begins" if layout.in_box.strips[0] else layout.in_box.edge,
        "pin_length": say.length(recipe.pin_board.length),
        "proud_words": _proud_words(layout, say),
        "tail_depth": say.length(tails.depth),
        "pin_depth": say.length(pins.depth),
        "tail_opening_words": _tail_opening_words(layout, tails, say),
        "pin_opening_words": f"They are narrowest at the inside face, {say.length(pins.opening or 0.0)}.",
        "tail_cutter_words": cutter_words(layout, tails, drawing),
        "pin_cutter_words": cutter_words(layout, pins, drawing),
        "tail_rounds": round_words(layout, tails),
        "pin_rounds": round_words(layout, pins),
        "tail_reaches": tails.best is not None,
        "pin_reaches": pins.best is not None,
        "tail_corner_words": _tail_corner_words(layout, tails, say),
        "pin_corner_words": _pin_corner_words(layout, pins, say),
        "pin_backing_words": _pin_backing_words(layout),
        "tail_by_hand": _tail_by_hand(layout, say),
        "pin_by_hand": _hollow_by_hand(layout, say),
        "rpm": SPINDLE_RPM,
        "drawing": drawing,
        "feeds": feed_rows(layout),
        "passes": proof.passes,
        "fit_words": _fit_words(layout, say) if proof.passes else "This joint fails its proof.",
        "tail_shoulder": say.length(layout.as_cut.tail_end),
        "pin_floor": say.length(layout.as_cut.pin_end),
        "proof_words": _proof_words(proof),
    }


def _model_words(layout: Layout, of_box: tuple[Sequence[str], Sequence[str]] | None) -> dict[str, str]:
    """In which frame the models are, and how each is brought to the machine's zero."""
    if of_box:
        tails, pins = (" or ".join(f"`{name}`" for name in names) for names in of_box)
        return {
            "frame_words": BOX_FRAME,
            "tail_model_words": f"In your program, turn {tails} so that the board lies like this.",
            "pin_model_words": f"In your program, turn {pins} so that the board stands like this.",
            "aids_note": "The note",
        }
    cut, say = layout.as_cut, _Say(layout)
    tails, pins = say.move(0.0, -cut.tail_end, -cut.show_z), say.move(0.0, 0.0, -cut.pin_end)
    return {
        "frame_words": JOINT_FRAME,
        "tail_model_words": f"To bring `tail-board.stl` there, move it by {tails}.",
        "pin_model_words": f"To bring `pin-board.stl` there, move it by {pins}.",
        "aids_note": "`aids-note.md`",
    }


class _Say:
    """Lengths in the maker's units with the other system behind, to a hundredth of a millimetre."""

    def __init__(self, layout: Layout) -> None:
        self.units = layout.recipe.units

    def length(self, mm: float) -> str:
        return format_both(mm, self.units, 0.01)

    def move(self, x: float, y: float, z: float) -> str:
        """A move in mm, for a program that places models: no fractions here."""
        return ", ".join(f"{axis} {_decimals(value)} mm" for axis, value in zip("XYZ", (x, y, z), strict=True))


def _decimals(value: float) -> str:
    """Four decimals at the most, and none that are zero."""
    return f"{value + 0.0:.4f}".rstrip("0").rstrip(".")


def _proud_words(layout: Layout, say: _Say) -> str:
    recipe = layout.recipe
    ends = []
    if recipe.tail_board.proud:
        ends.append(f"the tails {say.length(recipe.tail_board.proud)}")
    if recipe.pin_board.proud:
        ends.append(f"the pins {say.length(recipe.pin_board.proud)}")
    if not ends:
        return "Their ends come out flush."
    after = "to be planed flush" if recipe.finish.ends == "flush" else "and stay so, with chamfered edges"
    return f"Their ends stand proud, {' and '.join(ends)}, {after}."


def _tail_opening_words(layout: Layout, cut: Cut, say: _Say) -> str:
    if cut.opening is None:
        return "With one tail, both sockets are open at the edge of the board. So any cutter can get in."
    face = min(layout.closed_gaps(layout.depth))
    between = "between the tails" if not any(layout.in_box.strips) else "that has wood on both sides"
    words = f"The cutter must pass the gap {between} at the raw end, which is {say.length(cut.opening)}."
    if layout.recipe.tail_board.proud:
        words += f" That is less than the {say.length(face)} that shows on the finished face, as the ends stand proud."
    return words


def _tail_corner_words(layout: Layout, cut: Cut, say: _Say) -> str:
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
    if any(layout.in_box.strips):
        words += " A further corner, beside the wood that stays, is square."
    if cut.best is None:
        return words
    return words + (
        f" {_rest_words(cut, say)} Pare what is left with a chisel. Or let the cutter go a little past the baseline in "
        "each corner. That leaves a small round hole that shows."
    )


def _rest_words(cut: Cut, say: _Say) -> str:
    if not cut.runs:
        return ""
    last = cut.runs[-1].cutter
    rest = last.rest
    return (
        f"With the {last.size} cutter each corner keeps {rest.area:.2g} mm² ({rest.area / 25.4**2:.2g} sq in) of wood. "
        f"It reaches {say.length(rest.along)} along both sides."
    )


def _tail_by_hand(layout: Layout, say: _Say) -> str:
    chamfer = layout.recipe.entry_chamfer
    words = ""
    if chamfer.width:
        words = (
            f"The model has an entry chamfer of {say.length(chamfer.width)} on the lower edges of the tails. A router "
            f"leaves them square. Pare the chamfer later. Stop {say.length(layout.chamfer_stop)} short of the raw end. "
        )
    return (words + _hollow_by_hand(layout, say)).strip()


def _hollow_by_hand(layout: Layout, say: _Say) -> str:
    if layout.land is None:
        return ""
    return (
        f"The model has a hollow of {say.length(layout.recipe.undercut.depth)} in the floor of each socket. The router "
        "leaves the floor flat. Pare the hollow later with a chisel that leans a little."
    )


def _pin_corner_words(layout: Layout, cut: Cut, say: _Say) -> str:
    if not layout.is_half_blind:
        return "The cutter runs out through the show face. So it leaves no round corners in this board, none at all."
    words = (
        f"The sockets end at the lap, and they are wider there. So this board has {cut.acute_corners} sharp corners, "
        f"two at the lap of each socket, {math.degrees(cut.corner_rad):.1f} degrees inside."
    )
    return words + (f" {_rest_words(cut, say)} Pare them with a skew chisel." if cut.best else "")


def _pin_backing_words(layout: Layout) -> str:
    if layout.is_half_blind:
        return "Clamp scrap against the inside face, level with the end. It stops the fibres from breaking out."
    return "Clamp scrap against both faces, level with the end. It stops the fibres from breaking out."


def _fit_words(layout: Layout, say: _Say) -> str:
    gap = layout.recipe.flank_gap
    if gap < 0:
        return f"They are drawn {say.length(-gap)} tight on each sloping side. They should go in with light taps."
    if gap > 0:
        return f"They are drawn with a gap of {say.length(gap)} on each sloping side. They should slide in by hand."
    return "They are drawn to meet exactly. They should go in by hand or with light taps. A real cutter is never exact."


def _proof_words(proof: Proof) -> str:
    marks = {"fail": "**FAILS.** ", "warning": "**Take care.** ", "pass": ""}
    lines = [
        f"- {marks[finding.severity]}{escaped(finding.words)}"
        for finding in proof.findings
        if finding.severity != "note" and (finding.code != "solid" or finding.severity != "pass")
    ]
    solids = sum(finding.code == "solid" and finding.severity == "pass" for finding in proof.findings)
    lines.insert(0, f"- {solids} solids are closed and valid, and their volumes are exact.")
    return "\n".join(lines)
