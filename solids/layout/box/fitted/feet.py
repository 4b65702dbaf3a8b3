"""Four square feet under the corners of a box. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, message
from solids.layout.box.fitted.bodies import Fitted, Fitting, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger
from solids.recipe.tables.accepted import no_more_than
from solids.recipe.tables.box_resolved import CORNERS, CornerName
from solids.recipe.tables.feet import Feet

MARK = "grain horizontal, as upright it would split off; best side out"
STEP = "Glue and screw the {} under its corner, from below."


def feet(box: BoxLayout) -> Fitting:
    """The feet, if they are asked for."""
    asked = box.recipe.feet
    if asked is None:
        return Fitting()
    return Fitting(tuple(_foot(box, asked, name) for name in CORNERS))


def _foot(box: BoxLayout, asked: Feet, corner: CornerName) -> Fitted:
    end, hand = corner.split()
    long, wide = box.outside
    x0 = asked.inset if hand == "left" else long - asked.inset - asked.width
    y0 = asked.inset if end == "front" else wide - asked.inset - asked.width
    body = block((x0, x0 + asked.width), (y0, y0 + asked.width), (-asked.height, 0.0))
    size = (asked.width, asked.width, asked.height)
    name = f"foot {corner}"
    row = CutListRow(name, larger(size, box.recipe.rough), size, size, asked.wood.told, "along one side", MARK)
    return Fitted(name, asked.wood, (body,), row, STEP.format(name), comes="from below", late=True)


def bearing(box: BoxLayout, corner: CornerName) -> float:
    """How much of the lower edges a foot bears on (mm2): the square less what of it is under the inside, and less the
    back where that stands above the bottom."""
    asked = box.recipe.feet
    if asked is None:
        return 0.0
    side, end = _overlaps(box, asked, corner)
    return asked.width**2 - (asked.width - side) * (asked.width - end)


def _overlaps(box: BoxLayout, asked: Feet, corner: CornerName) -> tuple[float, float]:
    """How far a foot reaches under the side board and under the front or back board there."""
    end, hand = corner.split()
    (x0, x1), (y0, y1) = box.inside
    long, wide = box.outside
    boards = {"left": x0, "right": long - x1, "front": y0, "back": wide - y1}
    cut = box.recipe.groove.depth if box.recipe.panel.in_rebate else 0.0
    under = {name: min(max(thick - cut - asked.inset, 0.0), asked.width) for name, thick in boards.items()}
    if end == "back" and box.recipe.back_above_bottom:
        under["back"] = 0.0
    return under[hand], under[end]


TALLEST = 2.0
"""How high a foot may be, as a multiple of its width: a taller one is a leg, and breaks off its glue. Common
practice."""


def feet_problems(box: BoxLayout) -> Iterator[Problem]:
    """Feet that stand too far in to be fastened, that meet each other, or that are too tall for blocks."""
    asked = box.recipe.feet
    if asked is None:
        return
    if asked.height > TALLEST * asked.width + tol.ROUNDING:
        wrong = message(
            "{} is too high for a block {} wide, which would break off", typed(asked.height), typed(asked.width)
        )
        accepted, tries = no_more_than(TALLEST * asked.width)
        wider = message("{}, or take wider feet ({})", accepted, Key("box.feet.width"))
        yield Problem("box.feet.height", wrong, wider, tries)
    least = min(tol.FOOT_BEARS, min(box.board_of(side).thinnest for side in box.boards) - box.planing)
    reach = min(max(_overlaps(box, asked, corner)) for corner in CORNERS)
    if reach < least - tol.ROUNDING:
        wrong = message("{} leaves {} of a board's edge over a foot", typed(asked.inset), typed(reach))
        yield Problem("box.feet.inset", wrong, *no_more_than(asked.inset - (least - reach)))
        return  # where they would stand, whether they meet says nothing
    room = min(box.outside) / 2 - asked.inset
    if asked.width > room + tol.ROUNDING:
        wrong = message("{} lets feet meet that have {} each", typed(asked.width), typed(max(room, 0.0)))
        yield Problem("box.feet.width", wrong, *no_more_than(room))
