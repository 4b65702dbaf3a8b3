"""What must be exact on an aid, measured on its solid: flat faces, the angles between them, how far they are apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from solids.aids.making.aid import Aid, Measure, Plane
from solids.base.amounts import finest, in_mm, least_in_mm
from solids.base.findings import REPORT, Finding
from solids.base.geometry import Vector, cross, dot, minus, scaled
from solids.base.messages import Words, message
from solids.base.tolerances import ROUNDING
from solids.model.kernel import Face, newell_normal

ANGLE_WITHIN = 0.01
"""How far an angle of the solid may be off (degrees): a fiftieth of what a hand sees, 0.005 mm at the end of a leg of
30 mm."""

FLAT_WITHIN = 0.001
"""How far a corner may stand out of a face that is to be flat (mm)."""

NEAR, LIKE = 0.05, math.cos(math.radians(1.0))
"""How near a plane (mm), and how much alike it, a face must lie to be the one that is meant there."""


def measured(aid: Aid, faces: Sequence[Face]) -> Iterator[Finding]:
    """A finding for everything that is to be measured on an aid. `faces` are those of its solid."""
    for measure in aid.measures:
        first = _in_plane(faces, measure.first)
        second = _in_plane(faces, measure.second) if measure.second else first
        if not first or not second:
            words = message("{}: there is no such face.", measure.words)
            yield _finding(aid, "face", good=False, told=words, figures=(0.0, 0.0), unit="mm2")
            continue
        yield _flat(aid, measure, first)
        if measure.degrees is not None:
            yield _angle(aid, measure, (_look(first), _look(second)), measure.degrees)
        if measure.apart is not None:
            yield _apart(aid, measure, (first, second), measure.apart)


def _flat(aid: Aid, measure: Measure, faces: Sequence[Face]) -> Finding:
    look = _look(faces)
    heights = [dot(look, point) for face in faces for loop in face for point in loop]
    off = max(heights) - min(heights)
    words = message("{}: flat within {}.", measure.words, finest(FLAT_WITHIN))
    return _finding(aid, "flatness", good=off <= FLAT_WITHIN, told=words, figures=(off, FLAT_WITHIN), unit="mm")


def _angle(aid: Aid, measure: Measure, looks: tuple[Vector, Vector], meant: float) -> Finding:
    degrees = math.degrees(math.atan2(math.hypot(*cross(*looks)), dot(*looks)))
    words = message("{}: {} degrees, as meant within {}.", measure.words, f"{degrees:.3f}", f"{ANGLE_WITHIN:g}")
    good = abs(degrees - meant) <= ANGLE_WITHIN
    return _finding(aid, "angle", good=good, told=words, figures=(degrees, meant), unit="deg")


def _apart(aid: Aid, measure: Measure, faces: tuple[Sequence[Face], Sequence[Face]], least: float) -> Finding:
    look = _look(faces[0])
    near, far = ([dot(look, point) for face in some for loop in face for point in loop] for some in faces)
    reach = min(abs(a - b) for a in (min(near), max(near)) for b in (min(far), max(far)))
    words = message("{}: {}, and {} is needed.", measure.words, in_mm(reach), least_in_mm(least))
    return _finding(aid, "reach", good=reach >= least - ROUNDING, told=words, figures=(reach, least), unit="mm")


def _finding(aid: Aid, code: str, *, good: bool, told: Words, figures: tuple[float, float], unit: str) -> Finding:
    return Finding(code, "pass" if good else "fail", told, aid.name, *figures, unit, "" if good else REPORT)


def _in_plane(faces: Sequence[Face], plane: Plane) -> list[Face]:
    return [
        face
        for face in faces
        if dot(_look([face]), plane.normal) > LIKE
        and all(abs(dot(minus(point, plane.point), plane.normal)) < NEAR for point in face[0])
    ]


def _look(faces: Sequence[Face]) -> Vector:
    """Where some faces look, as a unit vector; the larger count more."""
    x, y, z = (math.fsum(normal) for normal in zip(*(newell_normal(face[0]) for face in faces), strict=True))
    return scaled((x, y, z), 1.0 / math.hypot(x, y, z))
