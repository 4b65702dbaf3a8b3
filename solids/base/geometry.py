"""Points, vectors, spans and frames, in mm, for all rooms alike."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

Point = tuple[float, float, float]
Vector = tuple[float, float, float]
PlanePoint = tuple[float, float]
Segment = tuple[PlanePoint, PlanePoint]
Polygon = list[PlanePoint]
"""A closed outline in a plane, corner by corner."""

Span = tuple[float, float]
"""From the least to the greatest value along one axis."""

Row = tuple[float, float, float, float]

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
"""The ways along the axes, and against them."""

MINUS_X, MINUS_Y, MINUS_Z = (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)


BESIDE_BORDERS = 1.3e-7
"""Moves the borders of rounding, at half of the last digit, to where lengths off a rule never lie: 1/128 in is
0.1984375 mm."""


def as_compared(value: float) -> float:
    """A number to compare by, to far less than any tool can do: the same for lengths that differ by rounding alone."""
    return round(value + BESIDE_BORDERS, 6)


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def scaled(a: Vector, by: float) -> Vector:
    """A vector times a number."""
    return a[0] * by, a[1] * by, a[2] * by


def minus(a: Vector, b: Vector) -> Vector:
    """The vector from b to a."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def plus(a: Vector, b: Vector) -> Vector:
    """The sum of two vectors."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


@dataclass(frozen=True)
class Slab:
    """A block with edges along the axes, as spans in X, Y and Z."""

    x: Span
    y: Span
    z: Span

    @property
    def size(self) -> Vector:
        """The lengths of its three sides."""
        return self.x[1] - self.x[0], self.y[1] - self.y[0], self.z[1] - self.z[0]

    @property
    def volume(self) -> float:
        """Volume in mm3."""
        a, b, c = self.size
        return a * b * c

    def touches(self, other: Slab) -> bool:
        """Whether both have a point in common, to within rounding."""
        pairs = ((self.x, other.x), (self.y, other.y), (self.z, other.z))
        return all(max(one[0], two[0]) < min(one[1], two[1]) + 1e-6 for one, two in pairs)

    @classmethod
    def between(cls, low: Point, high: Point) -> Slab:
        """The block between its least and its greatest corner."""
        x, y, z = zip(low, high, strict=True)
        return cls(x, y, z)

    @classmethod
    def around(cls, slabs: Iterable[Slab]) -> Slab:
        """The least block that holds some blocks."""
        x, y, z = (
            (min(low for low, _ in spans), max(high for _, high in spans))
            for spans in zip(*((slab.x, slab.y, slab.z) for slab in slabs), strict=True)
        )
        return cls(x, y, z)


class Frame(NamedTuple):
    """A rigid motion, from the frame of a part into the frame of what it belongs to. Each row gives one coordinate
    there: three numbers of a rotation, then a shift."""

    x: Row
    y: Row
    z: Row

    @classmethod
    def of(cls, x_axis: Vector, y_axis: Vector, z_axis: Vector, origin: Point) -> Frame:
        """The motion that takes a part's own axes and origin to these. The axes must be right-handed."""
        return cls(*((x_axis[i], y_axis[i], z_axis[i], origin[i]) for i in range(3)))

    @property
    def origin(self) -> Point:
        """Where the part's own origin lies."""
        return self.x[3], self.y[3], self.z[3]

    @property
    def axes(self) -> tuple[Vector, Vector, Vector]:
        """Where the part's own axes point."""
        return tuple((self.x[i], self.y[i], self.z[i]) for i in range(3))  # type: ignore[return-value]

    def apply(self, point: Point) -> Point:
        """A point of the part, after the motion."""
        x, y, z = (dot(row[:3], point) + row[3] for row in self)
        return x, y, z

    def turn(self, vector: Vector) -> Vector:
        """A direction of the part, after the motion."""
        x, y, z = (dot(row[:3], vector) for row in self)
        return x, y, z

    def inverse(self) -> Frame:
        """The motion back: the turn is orthogonal."""
        return Frame(*((*axis, -dot(axis, self.origin)) for axis in self.axes))

    def shifted(self, by: Vector) -> Frame:
        """This motion, followed by a shift."""
        return Frame(*((row[0], row[1], row[2], row[3] + step) for row, step in zip(self, by, strict=True)))

    def then(self, outer: Frame) -> Frame:
        """This motion, and then another."""
        x, y, z = ([dot(row[:3], axis) for row in outer] for axis in self.axes)
        return Frame(*zip(x, y, z, outer.apply(self.origin), strict=True))


IDENTITY = Frame((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))
"""The motion that leaves everything where it is."""
