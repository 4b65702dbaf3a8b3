"""A board with a joint at both ends, from the faces of its two halves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solids.base.geometry import Point, Vector, cross, plus, scaled
from solids.base.polygons import sides
from solids.base.tolerances import ROUNDING
from solids.model.kernel import Face

Loop = Sequence[Point]


def end_to_end(near: Sequence[Face], far: Sequence[Face]) -> list[Face] | None:
    """Two halves as one: the section in which they meet is left out, and each face that runs on across it is one face.
    None where they do not meet in one section, the whole of both."""
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
        joined = _straightened([*_from(one[0], a), *_from(two[0], d)], (a, b, c, d))
        found = [face for face in found if face is not one and face is not two]
        found.append([joined, *one[1:], *two[1:]])
    return found


def _is_at(one: Point, other: Point) -> bool:
    return math.dist(one, other) <= ROUNDING


def _is_same(one: Face, other: Face) -> bool:
    """Whether two faces without holes have the same corners."""
    if len(one) != 1 or len(other) != 1 or len(one[0]) != len(other[0]):
        return False
    return all(any(_is_at(point, corner) for corner in other[0]) for point in one[0])


def _with_edge(faces: Sequence[Face], start: Point, end: Point) -> Face | None:
    """The face that an outer edge from one point to another is of."""
    return next((face for face in faces if (start, end) in sides(face[0])), None)


def _from(loop: Loop, start: Point) -> list[Point]:
    """The corners of a loop from one of them on."""
    at = list(loop).index(start)
    return [*loop[at:], *loop[:at]]


def _straightened(loop: Loop, seam: Sequence[Point]) -> list[Point]:
    """A loop without those corners of a seam in which it runs straight on."""
    found = list(loop)
    for corner in [point for point in loop if point in seam]:
        at = found.index(corner)
        before, after = found[at - 1], found[(at + 1) % len(found)]
        if _is_at(before, corner) or _runs_straight(before, corner, after):
            del found[at]
    return found


def _way(start: Point, end: Point) -> Vector:
    return plus(end, scaled(start, -1.0))


def _runs_straight(a: Point, b: Point, c: Point) -> bool:
    """Whether b lies on the line from a to c."""
    away = cross(_way(a, b), _way(a, c))
    return math.hypot(*away) <= ROUNDING * math.dist(a, c)
