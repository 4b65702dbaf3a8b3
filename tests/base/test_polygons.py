"""Plane faces as loops: normals and enclosed volumes, against bodies worked out by hand."""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest
import shapely

from solids.base.geometry import PlanePoint
from solids.base.polygons import Face, enclosed_volume, inset, newell_normal
from solids.model.kernel import solid_from_faces, volume_of
from tests.fitted import FITTED, faces_as_cut, layout_of

SQUARE = [(1.0, 2.0, 5.0), (4.0, 2.0, 5.0), (4.0, 6.0, 5.0), (1.0, 6.0, 5.0)]
PYRAMID: list[Face] = [
    [[(0.0, 0.0, 0.0), (0.0, 6.0, 0.0), (6.0, 6.0, 0.0), (6.0, 0.0, 0.0)]],
    [[(0.0, 0.0, 0.0), (6.0, 0.0, 0.0), (3.0, 3.0, 4.0)]],
    [[(6.0, 0.0, 0.0), (6.0, 6.0, 0.0), (3.0, 3.0, 4.0)]],
    [[(6.0, 6.0, 0.0), (0.0, 6.0, 0.0), (3.0, 3.0, 4.0)]],
    [[(0.0, 6.0, 0.0), (0.0, 0.0, 0.0), (3.0, 3.0, 4.0)]],
]


def test_a_normal_is_twice_the_area_and_looks_along_the_loop_s_turn() -> None:
    """3 x 4 mm, seen counter-clockwise from above."""
    assert newell_normal(SQUARE) == (0.0, 0.0, 24.0)
    assert newell_normal(SQUARE[::-1]) == (0.0, 0.0, -24.0)


def test_a_pyramid_holds_a_third_of_base_times_height() -> None:
    assert enclosed_volume(PYRAMID) == pytest.approx(6 * 6 * 4 / 3)


def test_faces_that_look_inward_hold_less_than_nothing() -> None:
    assert enclosed_volume([[loop[::-1] for loop in face] for face in PYRAMID]) == pytest.approx(-48)


@pytest.mark.parametrize("name", FITTED)
def test_a_board_holds_what_the_kernel_says(name: str) -> None:
    for faces in faces_as_cut(layout_of(*FITTED[name])):
        assert enclosed_volume(faces) == pytest.approx(volume_of(solid_from_faces(faces)), rel=1e-12)


# --- inset ---------------------------------------------------------------------------------------

PLATE: list[PlanePoint] = [(0, 0), (30, 0), (30, 0.7), (30, 12.345678901234), (11.1, 17.77), (5.5, 9), (0, 9)]
"""Leaning sides, a corner that points inward at (5.5, 9), and one where two sides run straight on at (30, 0.7)."""


def test_a_right_triangle_is_moved_in_as_by_hand() -> None:
    """3-4-5 of 30, 40 and 50 mm, 5 mm in: half of its inscribed circle of 10 mm, so half as large, about the same
    centre at (10, 10)."""
    moved = np.array(inset([(0, 0), (40, 0), (0, 30)], 5))
    assert moved == pytest.approx(np.array([(5, 5), (25, 5), (5, 20)]), abs=1e-12)


@pytest.mark.parametrize("by", [0.4, -0.4, 0.0, -3.0])
def test_every_side_moves_by_as_much_and_stays_parallel(by: float) -> None:
    moved = inset(PLATE, by)
    assert len(moved) == len(PLATE)
    for number in range(len(PLATE)):
        begin, end = np.array(PLATE[number - 1]), np.array(PLATE[number])
        x, y = (end - begin) / math.dist(begin, end)
        for corner in (moved[number - 1], moved[number]):
            assert (corner - begin) @ (-y, x) == pytest.approx(by, abs=1e-12)


def test_the_libraries_offset_less_exactly_or_drop_a_corner() -> None:
    """Why `inset` is ours. Should this fail after an upgrade, it may go."""
    ours = np.array(inset(PLATE, 0.4))
    (by_manifold,) = (
        manifold3d.CrossSection([np.array(PLATE)]).offset(-0.4, manifold3d.JoinType.Miter, 50.0).to_polygons()
    )
    by_shapely = shapely.Polygon(PLATE).buffer(-0.4, join_style="mitre", mitre_limit=50).exterior.coords[:-1]
    assert len(by_manifold) == len(by_shapely) == len(PLATE) - 1
    off = [min(math.dist(point, other) for other in ours) for point in by_manifold]
    assert 1e-9 < max(off) < 1e-7
