"""The kernel's few operations, held against a body with no symmetry whose every figure is known."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from solids.base.errors import KernelError
from solids.base.geometry import Point
from solids.model.kernel import (
    Face,
    Solid,
    bounds,
    common,
    faces_of,
    is_valid,
    measure,
    mesh,
    newell_normal,
    solid_from_faces,
    topology,
    volume_of,
)
from solids.model.manifold import body_of, examine, overlap_volume


def prism(outline: list[tuple[float, float]], low: float, high: float) -> list[Face]:
    """A right prism on a counter-clockwise outline."""
    bottom = [(x, y, low) for x, y in outline]
    top = [(x, y, high) for x, y in outline]
    ring = [*range(len(outline)), 0]
    sides: list[Face] = [[[bottom[i], bottom[j], top[j], top[i]]] for i, j in pairwise(ring)]
    return [[bottom[::-1]], [top], *sides]


def box(x: float, y: float, z: float, at: Point = (0.0, 0.0, 0.0)) -> list[Face]:
    left, front, low = at
    outline = [(left, front), (left + x, front), (left + x, front + y), (left, front + y)]
    return prism(outline, low, low + z)


WEDGE = [(0.0, 0.0), (7.0, 0.0), (5.0, 3.0), (0.0, 2.0)]
"""No symmetry. Its area by the shoelace: (7*3 - 5*0 + 5*2 - 0*3 + 0) / 2 = 15.5."""
WEDGE_AREA = 15.5


def holed_box() -> list[Face]:
    """A box 10 x 8 x 2 with a square hole 3 x 2 through it in Z."""
    outer, hole = [(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)], [(2.0, 3.0), (5.0, 3.0), (5.0, 5.0), (2.0, 5.0)]
    walls = prism(outer, 0.0, 2.0)[2:] + prism(hole[::-1], 0.0, 2.0)[2:]
    top = [[(x, y, 2.0) for x, y in outer], [(x, y, 2.0) for x, y in hole[::-1]]]
    bottom = [[(x, y, 0.0) for x, y in outer[::-1]], [(x, y, 0.0) for x, y in hole]]
    return [top, bottom, *walls]


def test_a_prism_has_the_figures_of_its_outline() -> None:
    solid = solid_from_faces(prism(WEDGE, 1.0, 5.0))
    figures, counts = measure(solid), topology(solid)
    around = sum(math.dist(a, b) for a, b in zip(WEDGE, [*WEDGE[1:], WEDGE[0]], strict=True))
    assert is_valid(solid)
    assert figures.volume == pytest.approx(WEDGE_AREA * 4, rel=1e-12)
    assert volume_of(solid) == pytest.approx(figures.volume, rel=1e-14)
    assert figures.area == pytest.approx(2 * WEDGE_AREA + 4 * around, rel=1e-12)
    assert figures.centroid[2] == pytest.approx(3.0)
    assert (counts.solids, counts.shells, counts.faces, counts.edges, counts.vertices) == (1, 1, 6, 12, 8)
    assert counts.closed


def test_bounds_keep_each_axis_apart() -> None:
    low, high = bounds(solid_from_faces(box(2, 3, 5, at=(-1.0, 10.0, 100.0))))
    assert low == pytest.approx((-1, 10, 100))
    assert high == pytest.approx((1, 13, 105))


def test_a_hole_is_read_back_as_the_second_loop() -> None:
    solid = solid_from_faces(holed_box())
    assert is_valid(solid)
    assert volume_of(solid) == pytest.approx((80 - 6) * 2)
    assert sorted(len(face) for face in faces_of(solid)) == [1] * 8 + [2] * 2


@pytest.mark.parametrize("faces", [prism(WEDGE, 0.0, 3.0), holed_box()], ids=["wedge", "holed"])
def test_faces_read_back_build_the_same_solid(faces: list[Face]) -> None:
    solid = solid_from_faces(faces)
    again = solid_from_faces(faces_of(solid))
    assert volume_of(again) == pytest.approx(volume_of(solid), rel=1e-14)
    assert topology(again) == topology(solid)
    assert volume_of(again) > 0, "read-back faces look outward"


def test_faces_of_a_boolean_result_look_outward() -> None:
    """Open CASCADE may hand out reversed faces; what is read from them still builds a positive solid."""
    (piece,) = common(solid_from_faces(box(4, 4, 4)), solid_from_faces(box(4, 4, 4, at=(1.0, 2.0, 3.0))))
    assert volume_of(solid_from_faces(faces_of(piece))) == pytest.approx(3 * 2 * 1)


def test_an_open_shell_is_refused() -> None:
    with pytest.raises(KernelError, match="open at the edge"):
        solid_from_faces(box(1, 1, 1)[:-1])


def test_a_flipped_face_is_refused() -> None:
    faces = box(1, 1, 1)
    faces[0] = [list(reversed(faces[0][0]))]
    with pytest.raises(KernelError, match="twice in one direction"):
        solid_from_faces(faces)


def test_common_is_the_shared_volume_and_nothing_where_they_touch() -> None:
    first = solid_from_faces(box(10, 10, 10))
    assert volume_of(common(first, solid_from_faces(box(10, 10, 10, at=(7.0, 8.0, 9.0))))[0]) == pytest.approx(
        3 * 2 * 1
    )
    assert common(first, solid_from_faces(box(10, 10, 10, at=(10.0, 0.0, 0.0)))) == []
    assert common(first, solid_from_faces(box(1, 1, 1, at=(20.0, 0.0, 0.0)))) == []


def test_common_finds_a_thousandth_of_a_millimetre() -> None:
    first = solid_from_faces(box(10, 10, 10))
    (piece,) = common(first, solid_from_faces(box(10, 10, 10, at=(9.999, 0.0, 0.0))))
    assert volume_of(piece) == pytest.approx(0.1, rel=1e-9)


def test_mesh_is_closed_exact_and_shares_its_points() -> None:
    solid = solid_from_faces(holed_box())
    triangles = mesh(solid)
    report = examine(triangles.points, triangles.triangles)
    assert report.closed
    assert (report.bodies, len(triangles.points)) == (1, 16)
    assert report.volume == pytest.approx(volume_of(solid), rel=1e-12)


def test_second_opinion_on_an_overlap_and_on_a_broken_mesh() -> None:
    def triangles(solid: Solid) -> tuple[np.ndarray, np.ndarray]:
        found = mesh(solid)
        return found.points, found.triangles

    points, corners = triangles(solid_from_faces(box(4, 4, 4)))
    second = body_of(*triangles(solid_from_faces(box(4, 4, 4, at=(1.0, 2.0, 3.0)))))
    assert overlap_volume(body_of(points, corners), second) == pytest.approx(6.0, rel=1e-12)
    assert math.isnan(overlap_volume(body_of(points, corners[1:]), second))
    assert not examine(points, corners[1:]).closed


def test_newell_normal_is_twice_the_area_and_right_handed() -> None:
    assert newell_normal([(0, 0, 5), (4, 0, 5), (4, 3, 5), (0, 3, 5)]) == pytest.approx((0, 0, 24))
