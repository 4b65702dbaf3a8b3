"""The sizes of a marking template, with a pencil."""

from __future__ import annotations

import math

import pytest

from solids.aids.marking.sizes import HANDLE, HOLE_LAND, NECK, PLATE, WAIST
from solids.base.tolerances import WIDEST_HANG_HOLE
from tests.aids.marking.helpers import TWO, WAISTED, WHOLE, sizes_of


def test_without_a_key_it_is_a_thin_plate_with_the_slope_of_the_joint() -> None:
    sizes = sizes_of()
    assert (sizes.slopes, sizes.body, sizes.waist, sizes.is_thick) == ((7.0,), PLATE, 0.0, False)
    assert (sizes.reach, sizes.hook) == (12 + 0.5 + 4, 10), "past the baseline, and over the tail board of 10 mm"
    assert sizes.width == pytest.approx(14 + 2 * 16.5 / 7)


@pytest.mark.parametrize(
    "override",
    [
        'aids.marker.body="waisted"',
        'aids.marker.slopes=["1:6","1:8"]',
        'aids.marker.words="x"',
        "aids.marker.hang_hole=3",
    ],
)
def test_what_needs_a_body_makes_it_a_handle_with_a_leg_on_each_side(override: str) -> None:
    sizes = sizes_of(override)
    assert sizes.is_thick
    assert sizes.low == -HANDLE - sizes.reach
    assert sizes.is_square_behind == (len(sizes.slopes) == 1)


def test_both_legs_reach_across_the_thickest_board_that_is_named() -> None:
    sizes = sizes_of("aids.marker.thickest=25")
    assert (sizes.reach, sizes.hook) == (25 + 0.5 + 4, 25)
    assert sizes_of("aids.marker.leg=33.5", "aids.marker.thickest=25").reach == 33.5
    assert sizes_of("aids.marker.leg=33.5").hook == 33.5


def test_a_half_blind_joint_marks_to_its_own_baseline() -> None:
    short, long = sizes_of(preset="drawer-front"), sizes_of("aids.marker.thickest=30", preset="drawer-front")
    assert short.reach < long.reach == 34.0


def test_a_neck_is_left_between_the_hollows_and_wood_round_the_widest_hole() -> None:
    sizes = sizes_of(*WAISTED, 'aids.marker.slopes=["1:30"]', f"aids.marker.hang_hole={WIDEST_HANG_HOLE}")
    assert sizes.neck == NECK
    assert sizes.width == NECK + 2 * WAIST
    assert (sizes.neck - sizes.hole) / 2 >= HOLE_LAND
    assert sizes.hole_at[1] - sizes.hole / 2 == HOLE_LAND - HANDLE


def test_words_and_hole_have_places_apart() -> None:
    sizes = sizes_of(*WHOLE)
    (x, y), (_, along) = sizes.words_room
    assert x == 0.0
    assert y - along / 2 >= sizes.hole_at[1] + sizes.hole / 2 + HOLE_LAND - 1e-9
    assert y + along / 2 == pytest.approx(0.0)


def test_each_leg_has_its_own_slope() -> None:
    sizes = sizes_of(*TWO)
    for rear, ratio in ((False, 6.0), (True, 8.0)):
        assert math.tan(math.radians(sizes.slope_deg(rear=rear))) == pytest.approx(1 / ratio, rel=1e-12)
    assert sizes_of(*WAISTED).slope_deg(rear=True) == 0.0


def test_outlines_run_counter_clockwise_and_are_alike_on_both_sides() -> None:
    sizes = sizes_of(*TWO)
    for rear in (False, True):
        outline = sizes.leg(rear=rear)
        twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, [*outline[1:], outline[0]], strict=True))
        assert twice > 0
        assert sorted((-x, y) for x, y in outline) == sorted(outline)
    points = sorted((round(x, 9), round(y, 9)) for start, _, _ in sizes.body_outline() for x, y in [start])
    ends = sorted((round(-x, 9), round(y, 9)) for _, _, end in sizes.body_outline() for x, y in [end])
    assert points == ends
