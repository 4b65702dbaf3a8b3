"""Parts cut open by a plane square to an axis of the piece: what is left of each, and where the plane cuts it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.geometry import Point, Span
from solids.model.kernel import Solid, bounds, outlines_of
from solids.model.kernel.shaping import prism, rest
from solids.model.kernel.solid import faces_in_order
from solids.model.parts import Part

AIR = 1.0
"""How far the wood that is taken away reaches past a part (mm), so that no two faces lie in one plane."""

STEPS, CLEAR = 50, 0.5
"""How many places along a span are tried for a plane, and how far it stays from the ends of parts (mm)."""


@dataclass(frozen=True)
class OpenPart:
    """A part cut open: the `solids` left behind the plane, and the closed `outlines` of the wood that the plane cuts;
    those of holes are among them. Both are empty where nothing is."""

    part: Part
    solids: tuple[Solid, ...]
    outlines: tuple[tuple[Point, ...], ...]


def cut_open(parts: Sequence[Part], axis: int, at: float, toward_eye: int) -> tuple[OpenPart, ...]:
    """Every part without what stands between the plane and the eye. The plane is square to an axis (X is 0), `at` so
    many mm; the eye looks from its positive end (1) or its negative end (-1). Faces of parts do not lie in the
    plane."""
    return tuple(_opened(part, axis, at, toward_eye) for part in parts)


def _opened(part: Part, axis: int, at: float, toward_eye: int) -> OpenPart:
    solid = part.in_place
    low, high = bounds(solid)
    if not low[axis] < at < high[axis]:
        behind = (low[axis] < at) == (toward_eye > 0)
        return OpenPart(part, (solid,) if behind else (), ())
    spans = [(low[i] - AIR, high[i] + AIR) for i in range(3)]
    spans[axis] = (at, spans[axis][1]) if toward_eye > 0 else (spans[axis][0], at)
    (x0, x1), (y0, y1), (z0, z1) = spans
    left = rest(solid, [prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)])
    loops = [loop for body in left for face in faces_in_order(body) for loop in _in_plane(outlines_of(face), axis, at)]
    return OpenPart(part, tuple(left), tuple(loops))


def _in_plane(loops: Sequence[Sequence[Point]], axis: int, at: float) -> list[tuple[Point, ...]]:
    """The outlines of a face that lies in the plane; none of any other face."""
    lies = all(abs(point[axis] - at) < tol.FACE_DEPARTS for loop in loops for point in loop)
    return [tuple(loop) for loop in loops] if lies else []


def clear_place(parts: Sequence[Part], axis: int, span: Span, share: float) -> float:
    """Where a plane square to an axis shows most of how parts are joined: at a share of the way through `span`, or as
    near to that as no part ends there, and none that is thinnest along the axis is cut along its flat."""
    low, high = span
    ends = [bounds(part.in_place) for part in parts]
    closed = [reach for each in ends for reach in _closed_to_planes(each, axis)]
    wanted = low + share * (high - low)
    places = sorted((low + (high - low) * step / STEPS for step in range(1, STEPS)), key=lambda at: abs(at - wanted))
    return next((at for at in places if not any(first < at < last for first, last in closed)), places[0])


def _closed_to_planes(ends: tuple[Point, Point], axis: int) -> list[Span]:
    """Where along an axis no plane may cut a part: beside its ends, or all of it."""
    low, high = ends
    sizes = [end - start for start, end in zip(low, high, strict=True)]
    if sizes[axis] == min(sizes):
        return [(low[axis] - CLEAR, high[axis] + CLEAR)]
    return [(end[axis] - CLEAR, end[axis] + CLEAR) for end in ends]
