"""The solid of a bar that rises over its plan. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable

from solids.base.geometry import Polygon
from solids.base.polygons import at_height, inset, sides, walls
from solids.model.kernel import Face, Solid, solid_from_faces


def raised(outline: Polygon, foot: float, top: float, pads: Iterable[tuple[Polygon, float]] = ()) -> Solid:
    """A plate over a counter-clockwise outline with a chamfer of `foot` round its bed side, and pads on it that rise to
    heights of their own. Built face by face: chamfering the edges of a finished solid takes a hundred times as long."""
    under = inset(outline, foot)
    faces: list[Face] = [[at_height(reversed(under), 0.0)]]
    for (a, b), (low_a, low_b) in zip(sides(outline), sides(under), strict=True):
        faces.append([[(*low_a, 0.0), (*low_b, 0.0), (*b, foot), (*a, foot)]])
        faces.append([[(*a, foot), (*b, foot), (*b, top), (*a, top)]])
    cover = [at_height(outline, top)]
    for pad, height in pads:
        cover.append(at_height(reversed(pad), top))
        faces += [[at_height(pad, height)], *walls(sides(pad), top, height)]
    return solid_from_faces([*faces, cover])
