"""What is proved of a box alone: that its boards close the ring, that it is square, that its bottom stays in its groove
and its groove does not show."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.amounts import at_least, fine, gap
from solids.base.findings import REPORT, Finding
from solids.base.messages import Key, Words, message
from solids.layout.box.bottom import bottom_words
from solids.layout.box.cut_list import glue_up_words
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import MOVES_UNKNOWN, Side

RING: dict[Side, tuple[float, float]] = {
    "front": (1.0, 0.0),
    "right": (0.0, 1.0),
    "back": (-1.0, 0.0),
    "left": (0.0, -1.0),
}
"""The boards as they follow each other from the front left corner, seen from above, and which way each runs."""


def ring_findings(box: BoxLayout) -> Iterator[Finding]:
    """Whether the four boards close the ring, and whether it is square."""
    first, second = diagonals(box)
    off, apart = ring_gap(box), abs(first - second)
    is_open = "The boards form no ring." if off == math.inf else message("The ring of boards is open by {}.", gap(off))
    square = message("It is square: both diagonals inside measure {}.", fine(first))
    yield _ring("ring", off, "The four boards close the ring.", is_open)
    yield _ring("square", apart, square, message("Its diagonals differ by {}.", gap(apart)))


def _ring(code: str, off: float, good: Words, bad: Words) -> Finding:
    if off <= tol.RING_CLOSED:
        return Finding(code, "pass", good, "", off, tol.RING_CLOSED, "mm")
    return Finding(code, "fail", bad, "", off, tol.RING_CLOSED, "mm", REPORT)


def ring_gap(box: BoxLayout) -> float:
    """How far the ring is from closing: from corner to corner along each board by its own length, all the way round."""
    start = corner = box.corners["front left"]
    x, y = corner.rows[0][3], corner.rows[1][3]
    farthest = 0.0
    for side, (along_x, along_y) in RING.items():
        board = box.boards[side]
        x, y = x + along_x * board.length, y + along_y * board.length
        corner = board.down if corner is board.up else board.up
        farthest = max(farthest, math.dist((x, y), (corner.rows[0][3], corner.rows[1][3])))
    return farthest if corner is start else math.inf


def diagonals(box: BoxLayout) -> tuple[float, float]:
    """Both diagonals between the corners' inside edges."""
    at = {name: (corner.rows[0][3], corner.rows[1][3]) for name, corner in box.corners.items()}
    return math.dist(at["front left"], at["back right"]), math.dist(at["front right"], at["back left"])


def bottom_findings(box: BoxLayout) -> Iterator[Finding]:
    """What the bottom does through the year."""
    if box.panel is None:
        return
    yield Finding("bottom", "pass", bottom_words(box), BOTTOM, box.panel_hold, tol.PANEL_HELD, "mm")
    panel = box.recipe.panel
    if panel.kind == "plywood" and panel.edge == "fielded":
        yield Finding("bottom-plies", "note", "Its bevels are cut through the plies, which show there.", BOTTOM)
    if panel.wood.movement is None:
        words = (
            f"How {panel.wood.name} moves is not known; it is taken to move as much as hard maple, "
            f"{MOVES_UNKNOWN:g} of its width for 1 % of moisture (common practice)."
        )
        yield Finding("bottom-movement", "note", words, BOTTOM)


def glue_up_findings(box: BoxLayout) -> Iterator[Finding]:
    """How panels that are wider than the stock are glued up."""
    for name, words in glue_up_words(box).items():
        yield Finding(f"{name}-glue-up", "note", words, name)


def groove_findings(box: BoxLayout) -> Iterator[Finding]:
    """Whether the groove shows outside."""
    if not box.recipe.groove.width:
        return
    shown, what = [name for name, corner in box.corners.items() if box.shows(corner)], _groove(box)
    if shown:
        yield Finding(
            "groove-shows",
            "warning",
            f"The {what} shows as a notch in the end of a tail at {', '.join(shown)}.",
            ", ".join(shown),
            remedy=message(
                'Stop it in the tail boards (box.groove.ends = "hidden"), plug it ("plugged"), mitre the shoulder '
                "there, {} wide or more ({}), or shift it and let it run out in a socket of the pin boards alone.",
                at_least(box.recipe.groove.top + tol.LEAST_FEATURE),
                Key("joint.mitre.reference"),
            ),
        )
        return
    back = " At the back it runs out below the back board." if box.recipe.back_above_bottom else ""
    yield Finding("groove-shows", "pass", f"The {what} does not show outside: it {_hidden_by(box)}.{back}")


def _groove(box: BoxLayout) -> str:
    return "rebate" if box.recipe.panel.in_rebate else "groove"


def _hidden_by(box: BoxLayout) -> str:
    """What keeps the ends of the groove out of sight, corner by corner."""
    closed = [corner for corner in box.corners.values() if not box.is_open(corner)]
    in_pins = [corner for corner in closed if box.in_half_pin(corner)]
    in_tails = [corner for corner in closed if not (box.has_slips or box.in_half_pin(corner))]
    mitred = [corner for corner in in_tails if box.is_mitred(corner)]
    shallow = [corner for corner in in_tails if corner not in mitred and box.ends_at_rebate(corner)]
    others = [corner for corner in in_tails if corner not in (*mitred, *shallow)]
    ways = {
        "ends in the half pins at the edge": bool(in_pins),
        "runs in the front alone, from socket to socket": box.has_slips,
        "stops in the tail boards and runs out in the sockets of the pin boards": not all(map(box.runs_out, others)),
        "is plugged where it would show": bool(plug_slabs(box)),
        "is hidden by the laps": any(box.runs_out(corner) and corner.layout.is_half_blind for corner in others),
        "runs from board to board within the mitred shoulder": bool(mitred),
        "ends at the shoulder of the rebate": bool(shallow),
    }
    return "; elsewhere it ".join(way for way, is_so in ways.items() if is_so)
