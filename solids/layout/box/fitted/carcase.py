"""The sticks of the carcase that a drawer slides on: runners below its sides, kickers above them, guides beside them.
They lie in the opening as the drawer does when it is shut, its front flush or its lip on the face of the carcase."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.geometry import Span
from solids.layout.box.fitted.bodies import Fitted, Fitting, block
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger
from solids.recipe.tables.opening_resolved import Opening, Stick, StickName

HANDS = ("left", "right")
MARK = "of the carcase"


def carcase(box: BoxLayout) -> Fitting:
    """The sticks that the recipe asks for, a left and a right one of each."""
    opening = box.recipe.opening
    if opening is None:
        return Fitting()
    return Fitting(tuple(part for name, stick in opening.sticks for part in _pair(box, opening, name, stick)))


def _pair(box: BoxLayout, opening: Opening, name: StickName, stick: Stick) -> Iterator[Fitted]:
    size = (opening.depth - stick.behind, max(stick.across, stick.up), min(stick.across, stick.up))
    for hand in HANDS:
        row = CutListRow(
            *(f"{hand} {name}", larger(size, box.recipe.rough), size, size),
            *(stick.wood.told, "along its length", MARK),
        )
        # The face of the carcase, which the opening begins at, lies behind a lip.
        along = (box.recipe.lip.thickness + stick.behind, box.recipe.lip.thickness + opening.depth)
        body = block(_across(box, opening, name, hand), along, _up(opening, name, stick))
        yield Fitted(row.name, stick.wood, (body,), row, step="", of_carcase=True)


def _across(box: BoxLayout, opening: Opening, name: StickName, hand: str) -> Span:
    """From where to where a stick lies in X. A guide stands outside the opening, beside it; runners and kickers begin
    where the guide does."""
    stick, guide = opening.stick(name), opening.stick("guide")
    assert stick is not None
    play = (opening.width - box.outside[0]) / 2
    outer = -play - (guide.across if guide else 0.0)
    if hand == "left":
        return outer, outer + stick.across
    far = box.outside[0] - outer
    return far - stick.across, far


def _up(opening: Opening, name: StickName, stick: Stick) -> Span:
    """From where to where it lies in Z: the drawer's lower edges are at 0."""
    if name == "runner":
        return -stick.up, 0.0
    low = opening.height if name == "kicker" else 0.0
    return low, low + stick.up
