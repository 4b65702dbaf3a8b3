"""Plane faces as loops: normals and enclosed volumes, against bodies worked out by hand."""

from __future__ import annotations

import pytest

from solids.base.polygons import Face, enclosed_volume, newell_normal
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
