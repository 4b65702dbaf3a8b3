"""A board with a joint at both ends, from the faces of its two halves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solids.base.geometry import Point, cross, minus
from solids.base.polygons import sides
from solids.base.tolerances import ROUNDING
from solids.model.kernel import Face

Loop = Sequence[Point]


def end_to_end(near: Sequence[Face], far: Sequence[Face]) -> list[Face] | None:
    """Two halves as one: the section in which they meet is left out, and each face that runs on across it is one face.
    None where they do not meet in one section, the whole of both, or where a line bends there."""
    meeting = [(one, other) for one in near for other in far if _is_same(one, other)]
    if len(meeting) != 1:
        return None
    ((near_end, far_end),) = meeting
    (section,), (other,) = near_end, far_end
    found = [face for face in near if face is not near_end] + [face for face in far if face is not far_end]
    for a, b in sides(section):
        c, d = (next(point for point in other if _is_at(point, corner)) for corner in (a, b))
        one, two = _with_edge(found, b, a), _with_edge(found, c, d)
        if one is None or two is None:
            return None
        first, second = _from(one[0], a), _from(two[0], d)  # from a to b, and on from d, which is there too, to c
        if not (_in_line(second[-2], a, first[1]) and _in_line(first[-2], b, second[1])):
            return None
        found = [face for face in found if face is not one and face is not two]
        found.append([[*first[1:-1], *second[1:-1]], *one[1:], *two[1:]])
    return found


def _is_at(one: Point, other: Point) -> bool:
    return math.dist(one, other) <= ROUNDING


def _is_same(one: Face, other: Face) -> bool:
    """Whether two faces without holes are back to back."""
    if len(one) != 1 or len(other) != 1 or len(one[0]) != len(other[0]):
        return False
    loop, back = list(one[0]), list(reversed(other[0]))
    turns = (back[at:] + back[:at] for at in range(len(back)))
    return any(all(map(_is_at, loop, turned)) for turned in turns)


def _with_edge(faces: Sequence[Face], start: Point, end: Point) -> Face | None:
    """The face that an outer edge from one point to another is of."""
    return next((face for face in faces if (start, end) in sides(face[0])), None)


def _from(loop: Loop, start: Point) -> list[Point]:
    """The corners of a loop from one of them on."""
    at = list(loop).index(start)
    return [*loop[at:], *loop[:at]]


def _in_line(before: Point, corner: Point, after: Point) -> bool:
    """Whether a corner lies on the line between its neighbours."""
    way = minus(after, before)
    return math.hypot(*cross(way, minus(corner, before))) <= ROUNDING * math.hypot(*way)
