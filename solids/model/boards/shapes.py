"""What both boards are made of: points in a plane of the joint's frame, and ends that taper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from solids.base.geometry import PlanePoint, Point
from solids.model.kernel import Face

Corner = TypeVar("Corner", PlanePoint, Point)


def at_y(y: float, points: Sequence[PlanePoint]) -> list[Point]:
    """Points (x, z) in a plane Y = y."""
    return [(x, y, z) for x, z in points]


def at_x(x: float, points: Sequence[PlanePoint]) -> list[Point]:
    """Points (y, z) in a plane X = x."""
    return [(x, y, z) for y, z in points]


def frustum(base: Sequence[Point], end: Sequence[Point]) -> list[Face]:
    """The end face and the chamfers between two loops, both counter-clockwise seen from the end."""
    faces: list[Face] = [[end]]
    for i in range(len(base)):
        j = (i + 1) % len(base)
        faces.append([[base[i], base[j], end[j], end[i]]])
    return faces


def without_repeats(loop: Sequence[Corner]) -> list[Corner]:
    """The loop without points that follow themselves, where two features meet in one point."""
    return [point for i, point in enumerate(loop) if point != loop[i - 1]]
