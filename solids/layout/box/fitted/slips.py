"""Grooved slips, glued to the inside of sides that are too thin for a groove. The bottom slides in between them from
the back, and its front edge goes into a groove of the front. Lengths in mm."""

from __future__ import annotations

from typing import Literal

from solids.base.geometry import Span
from solids.layout.box.fitted.bodies import AIR, Body, Fitted, Fitting, GluedOn, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger

LOWER, FLOOR = "lower groove wall", "groove floor"
NAMES = {"left": "left slip", "right": "right slip"}
STEP = "Glue the {} to its side {{}}, its groove in line with that of the front."
GLUE = "Its grain runs with that of the side, so glue it over its whole length."
MARK = "groove toward the other slip; notched end to the back"


def slips(box: BoxLayout) -> Fitting:
    """Both, if the bottom is held by them."""
    if box.panel is None or not box.has_slips:
        return Fitting()
    return Fitting((_slip(box, "left"), _slip(box, "right")))


def _slip(box: BoxLayout, side: Literal["left", "right"]) -> Fitted:
    """It runs from the front to the outside of the back, notched under the back, where its groove is open above."""
    groove, thick = box.recipe.groove, box.recipe.panel.slip
    (left, right), (front, back) = box.inside
    far, high = box.outside[1], box.recipe.slip_top

    def x(start: float, end: float) -> Span:
        """From the board's inside face inward."""
        return (left + start, left + end) if side == "left" else (right - end, right - start)

    def made(x: Span, y: Span, z: Span, inner: str, outer: str, *names: str) -> Body:
        """A block with the names of its faces: inside, outside, from below, from above, at the front and the back."""
        low, high, near, end = names
        return block(x, y, z, (low, high, near, *((inner, end, outer) if side == "left" else (outer, end, inner))))

    whole, behind, hollow = x(0.0, thick), x(0.0, thick - groove.depth), x(thick - groove.depth, thick)
    z, both = (groove.up, groove.top), ("inner face", "outer face")
    bodies = (
        made(whole, (front, back), (0.0, high), *both, "lower edge", "upper edge", "front end", "end of the notch"),
        made(whole, (back, far), (0.0, groove.up), *both, "lower edge", LOWER, "", "back end"),
        made(behind, (back, far), z, FLOOR, "outer face", "", "floor of the notch", "", "back end"),
    )
    cut = made(hollow, (front, back), z, "", FLOOR, LOWER, "upper groove wall", "", "")
    reach = x(thick - groove.depth, thick + AIR)
    tool = block(reach, (front - AIR, back + AIR), z)
    size = (far - front, high, thick)
    board = box.boards[side].board
    row = CutListRow(NAMES[side], larger(size, box.recipe.rough), size, size, board.wood.told, "along its length", MARK)
    step = STEP.format(NAMES[side])
    glued = GluedOn(side, (back - front) * high + (far - back) * groove.top)
    return Fitted(NAMES[side], board.wood, bodies, row, step, GLUE, "from below", (cut,), (tool,), glued=glued)
