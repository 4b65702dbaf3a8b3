"""The faces of a part by their names, each as its outward plane: what tests of names compare."""

from __future__ import annotations

import math
from collections import defaultdict

from solids.base.geometry import IDENTITY, Frame, Point, Vector, dot
from solids.base.polygons import newell_normal
from solids.layout.joint.faces import UNNAMED
from solids.model.kernel import faces_of
from solids.model.parts import Part

Plane = tuple[Vector, float]
"""An outward normal and how far along it the plane lies (mm), both rounded so that equal planes are equal."""


def named_planes(part: Part, rows: Frame = IDENTITY) -> dict[str, set[Plane]]:
    """The planes of a part's faces by name, after a motion."""
    found: dict[str, set[Plane]] = defaultdict(set)
    for outline, *_ in faces_of(part.solid):
        normal = newell_normal(outline)
        length = math.hypot(*normal)
        unit = (normal[0] / length, normal[1] / length, normal[2] / length)
        x, y, z = (sum(values) / len(outline) for values in zip(*outline, strict=True))
        found[part.faces(unit, (x, y, z))].add(plane(rows.turn(unit), rows.apply((x, y, z))))
    return dict(found)


def plane(normal: Vector, point: Point) -> Plane:
    x, y, z = (round(value, 6) + 0.0 for value in normal)
    return (x, y, z), round(dot(normal, point), 6) + 0.0


def against(other: Plane) -> Plane:
    """The same plane seen from its other side: where two boards meet face to face."""
    (x, y, z), far = other
    return (-x + 0.0, -y + 0.0, -z + 0.0), -far + 0.0


def check_names(part: Part) -> None:
    """No face is without a name, and faces that share one lie in one plane, but for what rounding moves."""
    for name, planes in named_planes(part).items():
        assert name.rpartition(", ")[2] != UNNAMED, (part.name, planes)
        for values in zip(*((*normal, far) for normal, far in planes), strict=True):
            assert max(values) - min(values) < 3e-6, (part.name, name, planes)
