"""Hatching of wood that is cut: thin lines at equal distances (ISO 128-3, from memory), in another direction where two
parts meet. Pure arithmetic."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.base.geometry import PlanePoint
from solids.base.polygons import sides
from solids.write.drafting.sheet import Stroke

Outlines = Sequence[Sequence[PlanePoint]]

ANGLES = (45.0, 135.0, 60.0, 120.0, 30.0, 150.0, 75.0, 105.0)
"""The directions of hatching in degrees, in the order in which parts take them."""

APART = 1.6
"""The distance between two lines, on paper."""

NEAR = 1.0
"""Parts whose outlines come so near to each other meet (mm)."""


def hatched(outlines: Outlines, angle_deg: float, step: float) -> Iterator[Stroke]:
    """Lines `step` apart within closed outlines; what lies within two of them is a hole."""
    turn = math.radians(angle_deg)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))
    turned = [[(_dot(point, along), _dot(point, across)) for point in loop] for loop in outlines]
    heights = [y for loop in turned for _, y in loop]
    for row in range(math.ceil(min(heights) / step), math.floor(max(heights) / step) + 1):
        met = sorted(_crossings(turned, row * step))
        for start, end in zip(met[::2], met[1::2], strict=True):
            yield Stroke("hatching", tuple(_back(x, row * step, along, across) for x in (start, end)))


def _crossings(loops: Outlines, height: float) -> Iterator[float]:
    """Where outlines cross a level line. A corner on it counts once, or twice where the outline only touches it."""
    for loop in loops:
        for (ax, ay), (bx, by) in sides(loop):
            if (ay <= height) != (by <= height):
                yield ax + (bx - ax) * (height - ay) / (by - ay)


def _dot(a: PlanePoint, b: PlanePoint) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _back(x: float, y: float, along: PlanePoint, across: PlanePoint) -> PlanePoint:
    return x * along[0] + y * across[0], x * along[1] + y * across[1]


def hatch_angles(cut: Sequence[Outlines]) -> list[float]:
    """The direction for each part that is cut: the first that no part before it has which meets it; where so many meet
    that none is left, they are dealt out in turn."""
    found: list[float] = []
    for number, outlines in enumerate(cut):
        taken = {angle for angle, other in zip(found, cut[:number], strict=True) if _meet(outlines, other)}
        found.append(next((angle for angle in ANGLES if angle not in taken), ANGLES[number % len(ANGLES)]))
    return found


def _meet(first: Outlines, second: Outlines) -> bool:
    """Whether the rectangles about two parts come near each other."""
    (low, high), (other_low, other_high) = _reach(first), _reach(second)
    return all(low[i] - NEAR < other_high[i] and other_low[i] - NEAR < high[i] for i in (0, 1))


def _reach(outlines: Outlines) -> tuple[PlanePoint, PlanePoint]:
    xs, ys = zip(*(point for loop in outlines for point in loop), strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))
