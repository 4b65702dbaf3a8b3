"""The directions that a piece and its parts are looked at from, in third-angle projection (ISO 5456-2)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Point, Span, Vector, cross, dot, scaled
from solids.model.kernel import Solid, bounds, project
from solids.model.parts import Part
from solids.write.drafting.pictorial import projected
from solids.write.drafting.sheet import Stroke

Ends = tuple[Point, Point]
"""The least and the greatest X, Y and Z."""

OFF_MIDDLE = 1e-6
"""A part whose middle is less than this from that of the piece (mm) lies in the middle."""


@dataclass(frozen=True)
class Look:
    """A direction to look from: `toward_eye` points from the piece to the eye, `right` to the right of the picture."""

    toward_eye: Vector
    right: Vector

    @property
    def up(self) -> Vector:
        """What points up in the picture."""
        return cross(self.toward_eye, self.right)

    @property
    def from_above(self) -> Look:
        """The view that third-angle projection puts above this one."""
        return Look(self.up, self.right)

    @property
    def from_right(self) -> Look:
        """The view that it puts on the right of this one."""
        return Look(self.right, scaled(self.toward_eye, -1.0))

    def flat(self, point: Point) -> PlanePoint:
        """Where a point is seen."""
        return dot(point, self.right), dot(point, self.up)

    def spans(self, ends: Ends) -> tuple[Span, Span]:
        """From where to where something is seen, across and up."""
        across, up = zip(*(self.flat(end) for end in ends), strict=True)
        return (min(across), max(across)), (min(up), max(up))


FRONT = Look((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
PLAN, RIGHT = FRONT.from_above, FRONT.from_right

Z_AXIS = (0.0, 0.0, 1.0)


def strokes_of(solids: Sequence[Solid], look: Look, *, hidden: bool = True) -> list[Stroke]:
    """The edges of some solids as they are seen, in mm of the work; those behind wood too where `hidden`."""
    strokes = projected(project(solids, look.toward_eye, look.right))
    return [stroke for stroke in strokes if hidden or stroke.layer == "visible edges"]


def ends_of(parts: Iterable[Part]) -> Ends:
    """From where to where some parts reach together."""
    lows, highs = zip(*(bounds(part.in_place) for part in parts), strict=True)
    (x0, y0, z0), (x1, y1, z1) = map(min, zip(*lows, strict=True)), map(max, zip(*highs, strict=True))
    return (x0, y0, z0), (x1, y1, z1)


def thin_axis(ends: Ends) -> int:
    """The axis along which a part is thinnest; X is 0."""
    sizes = [high - low for low, high in zip(*ends, strict=True)]
    return sizes.index(min(sizes))


def face_look(part: Ends, piece: Ends) -> Look:
    """How a part is looked at on its face: from outside the piece; from above where it lies flat, from the front or
    the right where it stands in the middle."""
    axis = thin_axis(part)
    if axis == 2:
        return PLAN
    off = sum(part[end][axis] - piece[end][axis] for end in (0, 1)) / 2
    sign = -1.0 if off < -OFF_MIDDLE or (axis == 1 and off <= OFF_MIDDLE) else 1.0
    toward_eye = (sign, 0.0, 0.0) if axis == 0 else (0.0, sign, 0.0)
    return Look(toward_eye, cross(Z_AXIS, toward_eye))
