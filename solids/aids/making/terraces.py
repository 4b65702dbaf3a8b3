"""Solids built from outlines at several heights, face by face and with no boolean: prisms with eased edges, plates with
windows, and lips that stand on them. An outline may change its size from height to height but not its corners."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from solids.base.geometry import Point, Polygon
from solids.base.polygons import at_height, inset
from solids.model.kernel import Face, Solid, solid_from_faces

Stations = Sequence[tuple[Polygon, float]]
"""An outline at each height, counter-clockwise seen from above, from the lowest up."""


def eased(outline: Polygon, low: float, high: float, *, foot: float = 0.0, top: float = 0.0) -> Stations:
    """A prism's stations, its lower edges chamfered by `foot` and its upper ones by `top`. For a window, which lies
    the other way round, both are negative."""
    lower = [(inset(outline, foot), low), (outline, low + abs(foot))] if foot else [(outline, low)]
    upper = [(outline, high - abs(top)), (inset(outline, top), high)] if top else [(outline, high)]
    return [*lower, *upper]


def terraced(body: Stations, windows: Sequence[Stations] = (), lips: Sequence[Stations] = ()) -> Solid:
    """A body with windows right through it and lips on its top; a lip whose stations go down is a pocket. Windows and
    lips touch neither each other nor the body's edge."""
    holes = [[(list(reversed(loop)), z) for loop, z in window] for window in windows]
    through = [body, *holes]
    bottom = [at_height(reversed(stations[0][0]), stations[0][1]) for stations in through]
    top = [at_height(loop, z) for loop, z in (stations[-1] for stations in through)]
    feet = [at_height(reversed(lip[0][0]), lip[0][1]) for lip in lips]
    faces: list[Face] = [bottom, [*top, *feet]]
    faces += [[at_height(*lip[-1])] for lip in lips]
    faces += [[side] for stations in (*through, *lips) for side in _sides(stations)]
    return solid_from_faces(faces)


def _sides(stations: Stations) -> Iterator[list[Point]]:
    for (lower, low), (upper, high) in pairwise(stations):
        for number in range(len(lower)):
            a, b = number - 1, number
            yield [(*lower[a], low), (*lower[b], low), (*upper[b], high), (*upper[a], high)]
