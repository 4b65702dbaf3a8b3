"""The groove for a box's bottom in the three views of the shop drawing: hidden lines, where it lies on the inside
faces. Pure arithmetic, in mm of the work; each view has the coordinates that `views.py` gives it."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.geometry import PlanePoint
from solids.layout import GrooveHere, Layout
from solids.write.drafting.sheet import Item, Stroke

HIDDEN = "hidden edges"


def front_groove(layout: Layout, stub: float) -> Iterator[Item]:
    """On the tail board, X to the right and Y up, from the end of its stub to where the groove stops or runs out."""
    groove = layout.groove
    if groove is None or groove.reach is None:
        return
    top = _reach(layout, groove.reach)
    for low, high in groove.spans:
        yield Stroke(HIDDEN, ((low, -stub), (low, top), (high, top), (high, -stub)))


def top_groove(layout: Layout, stub: float) -> Iterator[Item]:
    """On the pin board, X to the right and -Z up, from the floor of its socket to the end of its stub."""
    groove = layout.groove
    if groove is None or not groove.in_pin_board:
        return
    for x in (x for span in groove.spans for x in span):
        yield Stroke(HIDDEN, ((x, 0.0 - layout.rebate), (x, stub)))


def side_groove(layout: Layout, stubs: tuple[float, float]) -> Iterator[Item]:
    """In both boards, -Z to the right and Y up: how deep it goes."""
    groove = layout.groove
    if groove is None:
        return
    yield from _in_tail_board(layout, groove, stubs[0])
    if groove.in_pin_board:
        yield Stroke(HIDDEN, ((0.0 - layout.rebate, groove.depth), (stubs[1], groove.depth)))


def beside_groove(layout: Layout, foot: float, scale: float, aside: float, half: float) -> float:
    """Where to put words meant to stand `aside` of X = `foot` (on paper, to the right), `half` their width: left of a
    groove whose lines would run through them."""
    groove = layout.groove
    for low, high in groove.spans if groove else ():
        left, right = (low - foot) * scale, (high - foot) * scale
        if aside - half < right and left < aside + half:
            return left - half
    return aside


def _in_tail_board(layout: Layout, groove: GrooveHere, stub: float) -> Iterator[Item]:
    if groove.reach is None:
        return
    top = _reach(layout, groove.reach)
    points: list[PlanePoint] = [
        (-groove.depth, -stub),
        (-groove.depth, top),
        (0.0 - (layout.rebate if top > 0.0 else 0.0), top),
    ]
    yield Stroke(HIDDEN, tuple(points))


def _reach(layout: Layout, reach: float) -> float:
    """A groove that runs out ends with the board."""
    return min(reach, layout.as_cut.tail_end)
