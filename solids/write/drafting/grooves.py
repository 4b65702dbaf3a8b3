"""The grooves or the rebate for a box's bottom and top, and the cut of a lid, in the three views of the shop drawing:
grooves as hidden lines on the inside faces. Pure arithmetic, in mm of the work; each view has the coordinates that
`views.py` gives it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Span
from solids.layout import GrooveHere, Layout
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout, with_top
from solids.recipe.tables.box_resolved import Side
from solids.write.drafting.sheet import Item, Stroke, line

HIDDEN = "hidden edges"


def front_groove(layout: Layout, stub: float) -> Iterator[Item]:
    """On the tail board, X to the right and Y up, from the end of its stub to where the groove stops or runs out."""
    for groove in layout.grooves:
        if groove.reach is None:
            continue
        top = _reach(layout, groove.reach)
        for low, high in groove.spans:
            yield Stroke(HIDDEN, ((low, -stub), (low, top), (high, top), (high, -stub)))


def top_groove(layout: Layout, stub: float) -> Iterator[Item]:
    """On the pin board, X to the right and -Z up, from the floor of its socket, or where it stops in a half pin, to the
    end of its stub."""
    for groove in layout.grooves:
        if not groove.in_pin_board:
            continue
        end = 0.0 - groove.pin_reach
        for low, high in groove.spans:
            if groove.stops_in_pin:
                yield Stroke(HIDDEN, ((low, stub), (low, end), (high, end), (high, stub)))
                continue
            for x in (low, high):
                yield Stroke(HIDDEN, ((x, end), (x, stub)))


def side_groove(layout: Layout, stubs: tuple[float, float]) -> Iterator[Item]:
    """In both boards, -Z to the right and Y up: how deep it goes."""
    drawn = [stroke for groove in layout.grooves for stroke in _beside(layout, groove, stubs)]
    yield from dict.fromkeys(drawn)  # grooves of one depth lie behind each other


def _beside(layout: Layout, groove: GrooveHere, stubs: tuple[float, float]) -> Iterator[Stroke]:
    yield from _in_tail_board(layout, groove, stubs[0])
    if groove.in_pin_board:
        end = 0.0 - groove.pin_reach
        closed = ((end, 0.0),) if groove.stops_in_pin else ()
        yield Stroke(HIDDEN, (*closed, (end, groove.depth), (stubs[1], groove.depth)))


def beside_groove(layout: Layout, foot: float, scale: float, aside: float, half: float) -> float:
    """Where to put words meant to stand `aside` of X = `foot` (on paper, to the right), `half` their width: left of a
    groove whose lines would run through them."""
    for low, high in (span for groove in layout.grooves for span in groove.spans):
        left, right = (low - foot) * scale, (high - foot) * scale
        if aside - half < right and left < aside + half:
            return left - half
    return aside


def _in_tail_board(layout: Layout, groove: GrooveHere, stub: float) -> Iterator[Stroke]:
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


# --- on the sketch of a whole board ----------------------------------------------------------------


@dataclass(frozen=True)
class SketchedGroove:
    """A groove of a board: its heights above the board's lower edge, and how far it stops short of the raw ends on the
    left and right."""

    heights: Span
    short: tuple[float, float]


def sketched_grooves(box: BoxLayout, side: Side) -> tuple[SketchedGroove, ...]:
    """The grooves of one board of a box, seen on its show face with the reference edge down: that for the bottom, and
    that for the top of a lid."""
    board, found = box.boards[side], []
    corners = (board.down, board.up) if board.kind == "pin board" else (board.up, board.down)
    for each in (box, with_top(box)):
        if each.is_grooved(side):
            left, right = (_short(each, board, corner) for corner in corners)
            groove = each.recipe.groove
            found.append(SketchedGroove((groove.up - board.low, groove.top - board.low), (left, right)))
    return tuple(found)


def _short(box: BoxLayout, board: BoxBoard, corner: BoxCorner) -> float:
    """How far the groove stops short of one raw end."""
    return board.reach(corner, finished=False) - box.groove_reach(board, corner, corner.layout.as_cut)


def sketched_lines(grooves: Iterable[SketchedGroove], sawn: Span | None, shown: float) -> Iterator[Item]:
    """Grooves behind the show face of a board that is `shown` so long, as hidden lines from where each begins to where
    it ends, and the lines between which a lid is parted from it."""
    for groove in grooves:
        (low, high), start, stop = groove.heights, groove.short[0], shown - groove.short[1]
        for height in (low, high):
            yield line("groove", (start, height), (stop, height))
        for x in (start, stop):
            yield line("groove", (x, low), (x, high))
    for height in sawn or ():
        yield line("lid cut", (0.0, height), (shown, height))
