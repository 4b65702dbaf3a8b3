"""What the tests of shop aids share: a printer, an aid in the joint's frame, its faces, and what fails of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from solids.aids.making.aid import Aid
from solids.aids.proof import prove_aid
from solids.model.kernel import Face, Solid, common, faces_of, newell_normal, volume_of
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import Magnet, Printing

PRINTING = Printing((220.0, 220.0), 0.4, 0.2, Magnet(10.0, 2.0))


def failing(aid: Aid, printing: Printing = PRINTING) -> set[str]:
    return {finding.code for finding in prove_aid(aid, printing) if finding.severity == "fail"}


def in_place(aid: Aid, use: int = 0) -> Solid:
    return placed(aid.solid, aid.uses[use].place)


def faces_in_place(aid: Aid, use: int = 0) -> list[Face]:
    return faces_of(in_place(aid, use))


def first_use(aid: Aid, *by: float, solid: Solid | None = None) -> Aid:
    """The aid with its first place only, a little off, perhaps with another solid."""
    use = replace(aid.uses[0], place=aid.uses[0].place.shifted((by[0], by[1], by[2])))
    return replace(aid, uses=(use,), solid=solid or aid.solid)


def shared(first: Solid, second: Solid) -> float:
    """The volume that both take (mm3)."""
    return sum(volume_of(piece) for piece in common(first, second))


def unit(face: Face) -> np.ndarray:
    normal = np.array(newell_normal(face[0]))
    return np.asarray(normal / np.linalg.norm(normal))


def area(face: Face) -> float:
    return float(np.linalg.norm(newell_normal(face[0])) / 2)


def coplanar(first: Face, second: Face, within: float = 1e-9) -> bool:
    normal = unit(first)
    points = np.array([*second[0], *first[0]]) - np.array(first[0][0])
    return abs(abs(unit(second) @ normal) - 1) < 1e-9 and float(np.abs(points @ normal).max()) < within
