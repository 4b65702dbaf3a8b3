"""Settles the feet of a box. Lengths in mm."""

from __future__ import annotations

from solids.base import tolerances as tol
from solids.recipe.completing.choosing import Choosing, round_down
from solids.recipe.tables.feet import Feet, FeetTable
from solids.wood import Wood

WIDTH_OF_THICKNESS, INSET_OF_THICKNESS = 3.0, 0.2
"""How wide a foot is, and how far it stands back, as shares of the thickest board. Common practice: wide enough to
stand well, and set back so that its edge is not knocked and the glue line does not show."""


def feet_of(asked: FeetTable | None, choosing: Choosing, thickest: float, edge: float, wood: Wood) -> Feet | None:
    """The feet with nothing left out; None where none were asked for. `edge` is how wide the narrowest edge is that
    they are fastened to."""
    if asked is None:
        return None
    if asked.height is None:
        choosing._problem("box.feet.height", "is missing", "give it, as in height = 20, or leave box.feet out")
        return None
    width = choosing._length(asked.width, "box.feet.width", WIDTH_OF_THICKNESS * thickest, "three boards thick")
    usual, rule = INSET_OF_THICKNESS * thickest, "a fifth of a board back"
    if usual > edge - tol.FOOT_BEARS:
        usual, rule = max(round_down(edge - tol.FOOT_BEARS, choosing.units), 0.0), "so little that they can be fastened"
    inset = choosing._length(asked.inset, "box.feet.inset", usual, rule)
    return Feet(
        asked.height,
        width,
        inset,
        choosing._or(asked.wood, "box.feet.wood", wood, "as the boards that carry tails", wood.name),
    )
