"""The lining of a box that a lid is sawn off: thin boards that stand on the bottom and above the edge, so that the lid,
which goes over them, stays where it lies. Mitred where they meet, they hold each other and stay dry. Pure arithmetic,
lengths in mm."""

from __future__ import annotations

from solids.base.geometry import PlanePoint, Span
from solids.layout.box.fitted.bodies import Body, Fitted, Fitting
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.tables.lid_resolved import Lining

STEP = "With the lid sawn off, press in the {}, its mitres against those beside it."
GLUE = "It stays dry."
MARK = "good face in; mitred at both ends"

TO_SHOOT = 2.0
"""How much longer each is sawn than it will be, to be shot to its place in the box. Common practice."""

ORDER: tuple[Side, ...] = ("front", "back", "left", "right")
"""The last two are sprung in between the first two."""


def lining_name(side: Side) -> str:
    """What the part of a lining before a board is called."""
    return f"{side} lining"


def lining(box: BoxLayout) -> Fitting:
    """The lining, if there is one."""
    asked = box.recipe.lining
    if asked is None:
        return Fitting()
    return Fitting(tuple(_board(box, asked, side) for side in ORDER))


def room_within(box: BoxLayout) -> tuple[float, float]:
    """How long and how wide the box is inside: between its boards, or within its lining."""
    asked, (long, wide) = box.recipe.lining, box.recipe.inside
    taken = 2 * asked.thickness if asked else 0.0
    return long - taken, wide - taken


def width_of(box: BoxLayout, asked: Lining) -> float:
    """How wide its boards are, from the bottom up to their upper edges."""
    return box.recipe.rim + asked.stands - box.recipe.floor


def _board(box: BoxLayout, asked: Lining, side: Side) -> Fitted:
    low, rim, high = box.recipe.floor, box.recipe.rim, box.recipe.rim + asked.stands
    long = box.recipe.inside[0 if side in ("front", "back") else 1]
    size = (long, width_of(box, asked), asked.thickness)
    name = lining_name(side)
    saw_to = (size[0] + TO_SHOOT, *size[1:])
    row = CutListRow(name, larger(saw_to, box.recipe.rough), saw_to, size, asked.wood.told, "along its length", MARK)
    bodies: tuple[Body, ...] = (_raised(box, asked, side, 0.0, (low, high), "lower edge", "upper edge"),)
    if asked.clearance:
        bodies = (
            _raised(box, asked, side, 0.0, (low, rim), "lower edge", "shoulder"),
            _raised(box, asked, side, asked.clearance, (rim, high), "", "upper edge"),
        )
    return Fitted(name, asked.wood, bodies, row, STEP.format(name), GLUE, "from above", late=True, of_open_box=True)


def _raised(box: BoxLayout, asked: Lining, side: Side, back: float, z: Span, *ends: str) -> Body:
    """What of a board is between two heights, its outer face so far back from the inside of the box. `ends` are the
    names of what it ends with below and above."""
    outer, inner = ring(box, back), ring(box, asked.thickness)
    at, after = SIDES.index(side), (SIDES.index(side) + 1) % len(SIDES)
    outline = (outer[at], outer[after], inner[after], inner[at])
    low, high = (tuple((x, y, height) for x, y in outline) for height in z)
    return Body(low, high, (*ends, "eased face" if back else "outer face", "far mitre", "inner face", "near mitre"))


def ring(box: BoxLayout, inset: float) -> list[PlanePoint]:
    """The corners of the inside, so far in: from the left end of the front counter-clockwise as seen from above, so
    that each side of the box, in their order, begins at its own."""
    (x0, x1), (y0, y1) = box.inside
    left, right, front, back = x0 + inset, x1 - inset, y0 + inset, y1 - inset
    return [(left, front), (right, front), (right, back), (left, back)]
