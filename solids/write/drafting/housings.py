"""Housings on a sketched board of a box, and notches on a sketched divider. Pure arithmetic, lengths in mm on the
board, as it is sketched: X from its left raw end, Y up from its lower edge, those of its lip where it has one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from solids.base.geometry import Span
from solids.base.lengths import format_length
from solids.base.tolerances import ROUNDING
from solids.layout.box.fitted.dividers import crossed_by, faces_at, length_of, name_of
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.dividers import ENDS_IN, Divider, numbered
from solids.recipe.tables.lip_resolved import NO_LIP
from solids.write.drafting.sheet import Item, Label, Stroke, line

NUMBER = 1.8
"""How high the number of a housing is, on paper."""


GAP = 1.5
"""Half of what a break leaves out, on paper."""


@dataclass(frozen=True)
class SketchedCut:
    """A cut as a rectangle, and the number of the divider that it is for. A housing lies on the inside face, behind
    the board; a notch goes through."""

    x: Span
    y: Span
    number: int
    is_notch: bool = False


def housings_on(box: BoxLayout, side: Side) -> tuple[SketchedCut, ...]:
    """The housings of a board, seen on its show face: the front and the right with their own left ends at the left or
    the front of the box, the others the other way round."""
    board = box.boards[side]
    is_turned = side in ("back", "left")
    near, far = sorted((board.up, board.down), key=lambda corner: "right" in corner.name or "back" in corner.name)
    if side in ("left", "right"):
        near, far = sorted((board.up, board.down), key=lambda corner: "back" in corner.name)
    lip = box.recipe.lip if side == "front" else NO_LIP
    start = board.reach(far if is_turned else near, finished=False) + lip.left
    found = []
    for number, divider in _ending_in(box, side):
        low, high = (board.length - divider.far, board.length - divider.at) if is_turned else (divider.at, divider.far)
        foot, head = divider.up - board.low, min(divider.housing_top(box.recipe.height) - board.low, board.width)
        found.append(SketchedCut((start + low, start + high), (foot + lip.bottom, head + lip.bottom), number))
    return tuple(found)


def _ending_in(box: BoxLayout, side: Side) -> Iterator[tuple[int, Divider]]:
    for number, divider in numbered(box.recipe.dividers):
        if side in ENDS_IN[divider.runs]:
            yield number, divider


def housing_words(box: BoxLayout, side: Side) -> str:
    """Where they are, from the inside corner at the left or the front of the box; "" where there are none."""
    end = "left" if side in ("front", "back") else "front"
    rule = box.recipe.corners["front left"].rule
    places = [
        f"{format_length(divider.opens_at, box.recipe.units, rule)} ({number})"
        for number, divider in _ending_in(box, side)
    ]
    return f"Housings from the {end} baseline: {and_so_on(places)}" if places else ""


def notches_on(box: BoxLayout, name: str) -> tuple[SketchedCut, ...]:
    """The notches of a divider, seen on its near face with its lower edge down. None for any other part."""
    found = next((each for number, each in numbered(box.recipe.dividers) if name_of(number) == name), None)
    return tuple(_notches(box, found)) if found else ()


def _notches(box: BoxLayout, divider: Divider) -> Iterator[SketchedCut]:
    along = box.inside[1 - divider.axis][0] - divider.depth
    for number, other, shared in crossed_by(box, divider):
        low, high = (at - along for at in faces_at(box, other))
        if divider.runs == "across":  # seen from the left, its back end is on the left
            low, high = length_of(box, divider) - high, length_of(box, divider) - low
        middle = sum(shared) / 2 - divider.up
        y = (middle, divider.height) if divider.runs == "across" else (0.0, middle)
        yield SketchedCut((low, high), y, number, is_notch=True)


def drawn_cuts(cuts: tuple[SketchedCut, ...], length: float, shown: float, scale: float) -> Iterator[Item]:
    """The cuts of a board so long, of which so much is shown, its middle left out. What lies there is not drawn."""
    for cut, (x0, x1) in _in_sight(cuts, length, shown, scale):
        y0, y1 = cut.y
        if cut.is_notch:
            yield Stroke("kept edges", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)
            yield line("waste", (x0, y0), (x1, y1))
            yield line("waste", (x0, y1), (x1, y0))
        else:
            yield Stroke("hidden edges", ((x0, y1), (x0, y0), (x1, y0), (x1, y1)))
        if y1 - y0 > 2 * NUMBER / scale:
            yield Label(str(cut.number), (x1 + NUMBER / scale, y1 - 1.6 * NUMBER / scale), NUMBER)


def _in_sight(
    cuts: tuple[SketchedCut, ...], length: float, shown: float, scale: float
) -> Iterator[tuple[SketchedCut, Span]]:
    """Those that are drawn, and where."""
    for cut in cuts:
        x0, x1 = cut.x
        if shown >= length - ROUNDING or x1 < shown / 2 - GAP / scale:
            yield cut, (x0, x1)
        elif x0 > length - shown / 2 + GAP / scale:
            yield cut, (x0 - length + shown, x1 - length + shown)


def free_of(cuts: tuple[SketchedCut, ...], stretch: Span) -> Span:
    """The widest part of a stretch at the left of a board in which no cut lies, with its number."""
    places, start = [], stretch[0]
    for low, high in sorted(cut.x for cut in cuts):
        places.append((start, min(low, stretch[1])))
        start = max(start, high)
    return max([*places, (start, stretch[1])], key=lambda place: place[1] - place[0])
