"""The sheet of the box in pictures, isometric: put together, and apart with the numbers of its parts, beside the list
of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base.geometry import PlanePoint, Point, Segment
from solids.model.kernel import bounds, moved, project_apart
from solids.proof.assembly import PieceProof
from solids.write.drafting.fitted import TOGETHER, above_words, fitted_in
from solids.write.drafting.pictorial import ISOMETRIC, right_of
from solids.write.drafting.segments import tidy
from solids.write.drafting.sheet import Item, Label, Stroke, line
from solids.write.drafting.sheet import bounds as bounds_of
from solids.write.drafting.titles import BLOCK_WIDTH
from solids.write.drafting.whole.framed import Page, paper_of, room_of
from solids.write.drafting.whole.looks import Ends, ends_of, thin_axis
from solids.write.drafting.whole.numbers import ROUND, list_height, list_of_parts, numbered, numbers_of

APART = 0.34
"""How far a part is moved out of the box, as a share of the longest side of the box."""

OUTSIDE = 0.5
"""A part whose middle is more than this share of the way from the middle of the box to its side is moved to that side;
what stands further inside is lifted out."""

LEFT_SHARE = 0.4
"""The share of the width that the box put together takes."""

LEADER = 7.0
"""How far the middle of a number stands out from its part."""

ROOM = LEADER + 2 * ROUND
"""Room round the parts for their numbers."""

LONG = 0.3
"""An edge that is numbered is at least this share of the longest edge of its part that is in sight."""


def pictures_page(proof: PieceProof, picture: Sequence[Stroke]) -> Page:
    """The sheet; `picture` is the box in isometric projection, put together."""
    box = proof.box
    (left, foot), (right, head) = room_of(paper_of(box))
    middle = left + LEFT_SHARE * (right - left)
    above = foot + list_height(box)
    items = [
        *above_words(picture, (left, foot + 2.0), (middle, head - 2.0), TOGETHER),
        *_apart(proof, (middle + ROOM, above + 5.0 + ROOM), (right - ROOM, head - ROOM)),
        Label("apart, not to scale", ((middle + right) / 2, above + 3.0), 2.5),
        *list_of_parts(box, (right - BLOCK_WIDTH, foot), BLOCK_WIDTH),
    ]
    return Page("put together and apart", None, tuple(items), tuple(_rows()))


def _apart(proof: PieceProof, low: PlanePoint, high: PlanePoint) -> Iterator[Item]:
    """All parts moved apart, with the number of each on a line to the edge in sight that is furthest out."""
    ways, numbers = ways_apart(proof), numbers_of(proof.box)
    solids = [moved(part.in_place, ways[part.name]) for part in proof.finished]
    seen = project_apart(solids, ISOMETRIC, right_of(ISOMETRIC))
    # A part that others hide altogether is dashed, so that its number has a place too.
    hidden = [segment for picture in seen if not picture.visible for segment in picture.hidden]
    whole, dashed = tidy([segment for picture in seen for segment in picture.visible], hidden)
    strokes: list[Item] = [Stroke("visible edges", segment) for segment in whole]
    strokes += [Stroke("hidden edges", segment) for segment in dashed]
    middle = _middle(*bounds_of(strokes))
    # The places that are numbered go through the same motion as the strokes.
    places: list[Item] = [
        Label(str(numbers[part.name]), _outermost(tidy(picture.visible or picture.hidden, [])[0], middle), 0.0)
        for part, picture in zip(proof.finished, seen, strict=True)
        if part.name in numbers
    ]
    drawn = fitted_in([*strokes, *places], low, high)
    yield from drawn[: len(strokes)]
    anchors = [(int(item.text), item.at) for item in drawn[len(strokes) :] if isinstance(item, Label)]
    yield from _balloons(anchors, _middle(low, high))


def _middle(low: PlanePoint, high: PlanePoint) -> PlanePoint:
    return (low[0] + high[0]) / 2, (low[1] + high[1]) / 2


def _outermost(edges: Sequence[Segment], middle: PlanePoint) -> PlanePoint:
    """The middle of the edge that is furthest from the middle of the picture, of those that are no small detail."""
    least = LONG * max(math.dist(*edge) for edge in edges)
    middles = [_middle(*edge) for edge in edges if math.dist(*edge) >= least]
    return max(middles, key=lambda at: math.dist(at, middle))


def _balloons(anchors: Sequence[tuple[int, PlanePoint]], middle: PlanePoint) -> Iterator[Item]:
    """Each number in a circle, outward of the place that it is led to, and clear of the others."""
    taken: list[PlanePoint] = []
    for number, at in anchors:
        out = math.dist(at, middle) or 1.0
        along = (at[0] - middle[0]) / out, (at[1] - middle[1]) / out
        reaches = (LEADER + step * ROUND for step in range(2 * len(anchors)))
        tried = [(at[0] + reach * along[0], at[1] + reach * along[1]) for reach in reaches]
        centre = next((c for c in tried if all(math.dist(c, other) > 2.4 * ROUND for other in taken)), tried[0])
        taken.append(centre)
        yield line("dimensions", (centre[0] - ROUND * along[0], centre[1] - ROUND * along[1]), at)
        yield from numbered(number, centre)


def ways_apart(proof: PieceProof) -> dict[str, Point]:
    """How far each part is moved to draw the box apart, by its name: to the side of the box where it is, up or down
    where it lies flat, and up where it stands inside. Of those that go one way, the outer ones go further."""
    piece = ends_of(proof.finished)
    far = APART * max(high - low for low, high in zip(*piece, strict=True))
    ends = {part.name: bounds(part.in_place) for part in proof.finished}
    ways = {name: _way(own, piece) for name, own in ends.items()}
    found = {}
    for name, (axis, sign) in ways.items():
        alike = {_out(ends[other], axis, sign) for other, way in ways.items() if way == (axis, sign)}
        steps = 1 + sorted(alike).index(_out(ends[name], axis, sign))
        by = [0.0, 0.0, 0.0]
        by[axis] = sign * far * steps
        found[name] = (by[0], by[1], by[2])
    return found


def _out(ends: Ends, axis: int, sign: float) -> float:
    """How far out the middle of a part is."""
    return round(sign * (ends[0][axis] + ends[1][axis]) / 2, 3)


def _way(part: Ends, piece: Ends) -> tuple[int, float]:
    """The axis that a part is moved along, and whether forward or back."""
    axis = thin_axis(part)
    middle, own = ((ends[0][axis] + ends[1][axis]) / 2 for ends in (piece, part))
    half = (piece[1][axis] - piece[0][axis]) / 2
    if axis == 2:
        return 2, -1.0 if own < middle else 1.0
    return (axis, 1.0 if own > middle else -1.0) if abs(own - middle) > OUTSIDE * half else (2, 1.0)


def _rows() -> Iterator[str]:
    yield "Isometric, seen from the front, the right and above."
    yield "The numbers are those of the rows of the cut list."
