"""Volume, area and centroid of the plane-faced solids in a STEP file, by the divergence theorem, without a kernel.

Topology as ISO 10303-42 has it: an oriented edge runs from its edge's first vertex to the second, or back where its
flag is false; a bound whose flag is false is walked backwards; a face's normal is its plane's, turned where its
same_sense is false, and points out of the solid; loops run counter-clockwise seen from outside, holes clockwise.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from tests.part21 import Record, Ref, StepFile, Word


@dataclass(frozen=True)
class Measured:
    """Size of one solid (mm), its bounding box, and how many faces it has."""

    volume: float
    area: float
    centroid: np.ndarray
    low: np.ndarray
    high: np.ndarray
    faces: int


def solids_of(file: StepFile) -> dict[str, Measured]:
    """Every MANIFOLD_SOLID_BREP of a file by its name."""
    return {record.values[0]: _measure(file, record) for record in file.all("MANIFOLD_SOLID_BREP")}


def _measure(file: StepFile, brep: Record) -> Measured:
    volume = area = 0.0
    moment = np.zeros(3)
    used: Counter[tuple[int, int]] = Counter()
    points: list[np.ndarray] = []
    faces = file.get(brep.values[1], "CLOSED_SHELL").values[1]
    for ref in faces:
        _, bounds, surface, same_sense = file.get(ref, "ADVANCED_FACE").values
        origin, normal = _plane(file, surface, same_sense)
        turned = np.zeros(3)
        for bound in bounds:
            loop = _loop(file, bound)
            used.update(zip(loop, loop[1:] + loop[:1], strict=True))
            corners = np.array([_vertex(file, number) for number in loop])
            assert np.max(np.abs((corners - origin) @ normal)) < 1e-9, "a corner off its plane"
            points.extend(corners)
            # A fan of triangles from the loop's first corner; each makes a tetrahedron with the frame's origin.
            a, b, c = corners[0], corners[1:-1], corners[2:]
            crosses = np.cross(b - a, c - a)
            turned += crosses.sum(axis=0) / 2
            parts = np.einsum("ij,j->i", crosses, a) / 6
            volume += parts.sum()
            moment += ((a + b + c) / 4 * parts[:, None]).sum(axis=0)
        assert np.linalg.norm(np.cross(turned, normal)) < 1e-6, "a loop that is not in its plane"
        assert turned @ normal > 0, "a face whose loops turn against its normal"
        area += float(turned @ normal)
    assert all(count == 1 and used[end, start] == 1 for (start, end), count in used.items()), "not closed"
    corners = np.array(points)
    return Measured(volume, area, moment / volume, corners.min(axis=0), corners.max(axis=0), len(faces))


def _plane(file: StepFile, surface: Ref, same_sense: Word) -> tuple[np.ndarray, np.ndarray]:
    place = file.get(file.get(surface, "PLANE").values[1], "AXIS2_PLACEMENT_3D")
    axis = np.array(file.get(place.values[2], "DIRECTION").values[1])
    return _point(file, place.values[1]), axis / np.linalg.norm(axis) * (1.0 if same_sense == Word("T") else -1.0)


def _loop(file: StepFile, bound: Ref) -> list[int]:
    """The numbers of a bound's vertices in order."""
    (record,) = file.data[bound.number]
    assert record.keyword in ("FACE_BOUND", "FACE_OUTER_BOUND")
    _, loop, forward = record.values
    starts, ends = [], []
    for ref in file.get(loop, "EDGE_LOOP").values[1]:
        _, _, _, edge, along = file.get(ref, "ORIENTED_EDGE").values
        first, second = (vertex.number for vertex in file.get(edge, "EDGE_CURVE").values[1:3])
        starts.append(first if along == Word("T") else second)
        ends.append(second if along == Word("T") else first)
    assert ends == starts[1:] + starts[:1], "an edge loop that does not join up"
    return starts if forward == Word("T") else starts[::-1]


def _vertex(file: StepFile, number: int) -> np.ndarray:
    return _point(file, file.get(Ref(number), "VERTEX_POINT").values[1])


def _point(file: StepFile, ref: Ref) -> np.ndarray:
    return np.array(file.get(ref, "CARTESIAN_POINT").values[1], dtype=np.float64)
