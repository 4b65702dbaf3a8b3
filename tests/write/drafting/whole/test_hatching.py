"""Hatching: as much of it as there is wood, none outside, and another direction where parts meet."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from solids.base.geometry import PlanePoint
from solids.write.drafting.whole.hatching import ANGLES, hatch_angles, hatched

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
HOLE = [(3.0, 3.0), (3.0, 6.0), (7.0, 6.0), (7.0, 3.0)]


def lines(outlines: list[list[PlanePoint]], angle: float, step: float) -> list[LineString]:
    return [LineString(stroke.points) for stroke in hatched(outlines, angle, step)]


def test_a_square_by_hand() -> None:
    """Level lines 4 apart cross a square of 10 at 0 (its lower side), 4 and 8, each 10 long."""
    found = lines([SQUARE], 0.0, 4.0)
    assert [line.length for line in found] == pytest.approx([10.0, 10.0, 10.0])
    assert [line.coords[0][1] for line in found] == pytest.approx([0.0, 4.0, 8.0])


@given(
    radii=st.lists(st.floats(5.0, 40.0), min_size=3, max_size=9),
    angle=st.sampled_from(ANGLES),
    step=st.floats(0.05, 0.2),
)
def test_lines_stay_in_the_wood_and_measure_it(radii: list[float], angle: float, step: float) -> None:
    """Lines so far apart are strips: their length times the step is the area, to a strip at each end of the outline."""
    turns = [2 * math.pi * k / len(radii) for k in range(len(radii))]
    outline = [(r * math.cos(turn), r * math.sin(turn)) for r, turn in zip(radii, turns, strict=True)]
    shape = Polygon(outline)
    found = lines([outline], angle, step)
    assert sum(line.length for line in found) * step == pytest.approx(shape.area, abs=2 * step * shape.length)
    assert all(shape.buffer(1e-6).covers(line) for line in found)


def test_a_hole_stays_white() -> None:
    shape = Polygon(SQUARE, [HOLE])
    found = lines([SQUARE, HOLE], 45.0, 0.05)
    assert all(shape.buffer(1e-6).covers(line) for line in found)
    assert sum(line.length for line in found) * 0.05 == pytest.approx(100 - 12, abs=1.0)


def test_parts_that_meet_have_different_directions_and_others_the_first() -> None:
    beside = [[(x + 10.0, y) for x, y in SQUARE]]
    away = [[(x + 50.0, y) for x, y in SQUARE]]
    assert hatch_angles([[SQUARE], beside, away]) == [ANGLES[0], ANGLES[1], ANGLES[0]]


def test_more_parts_in_one_place_than_directions_are_hatched_all_the_same() -> None:
    found = hatch_angles([[SQUARE]] * (len(ANGLES) + 2))
    assert all(a != b for a, b in combinations(found[: len(ANGLES)], 2))
    assert set(found[len(ANGLES) :]) <= set(ANGLES)
