"""Frames: applied, inverted, shifted and joined, against the sums written out."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.base.geometry import IDENTITY, Frame, Point, Slab, Vector, as_compared, cross, dot

angles = st.floats(-math.pi, math.pi)
steps = st.floats(-500, 500)
points = st.tuples(steps, steps, steps)


def turned(about_z: float, about_x: float, shift: Vector) -> Frame:
    """A rotation about Z, then about X, then a shift, by hand."""
    c, s, d, t = math.cos(about_z), math.sin(about_z), math.cos(about_x), math.sin(about_x)
    return Frame((c, -s, 0.0, shift[0]), (d * s, d * c, -t, shift[1]), (t * s, t * c, d, shift[2]))


frames = st.builds(turned, angles, angles, points)


def near(first: Point, second: Point) -> bool:
    return math.dist(first, second) < 1e-9


def test_a_frame_says_where_axes_and_origin_go() -> None:
    frame = Frame.of((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (10.0, 20.0, 30.0))
    assert frame.apply((0.0, 0.0, 0.0)) == frame.origin == (10.0, 20.0, 30.0)
    assert frame.apply((1.0, 0.0, 0.0)) == (10.0, 21.0, 30.0)
    assert frame.apply((0.0, 1.0, 0.0)) == (10.0, 20.0, 31.0)
    assert frame.apply((0.0, 0.0, 1.0)) == (11.0, 20.0, 30.0)
    assert frame.axes == ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))


@settings(max_examples=60, deadline=None)
@given(frames, points)
def test_a_frame_and_its_inverse_bring_every_point_back(frame: Frame, point: Point) -> None:
    assert near(frame.inverse().apply(frame.apply(point)), point)
    assert near(frame.apply(frame.inverse().apply(point)), point)
    assert near(frame.then(frame.inverse()).apply(point), point)


@settings(max_examples=60, deadline=None)
@given(frames, frames, points)
def test_one_frame_then_another_is_both_in_turn(first: Frame, second: Frame, point: Point) -> None:
    assert near(first.then(second).apply(point), second.apply(first.apply(point)))
    assert near(first.then(IDENTITY).apply(point), first.apply(point))


@settings(max_examples=60, deadline=None)
@given(frames, points, points)
def test_a_shifted_frame_ends_farther_on_by_the_shift(frame: Frame, by: Vector, point: Point) -> None:
    x, y, z = (a + b for a, b in zip(frame.apply(point), by, strict=True))
    assert near(frame.shifted(by).apply(point), (x, y, z))


def test_products_by_hand() -> None:
    assert dot((1.0, 2.0, 3.0), (4.0, -5.0, 6.0)) == 12.0
    assert cross((1.0, 2.0, 3.0), (4.0, -5.0, 6.0)) == (27.0, 6.0, -13.0)
    assert dot(cross((1.0, 2.0, 3.0), (4.0, -5.0, 6.0)), (1.0, 2.0, 3.0)) == pytest.approx(0.0)


def test_blocks_that_share_a_face_touch_and_those_a_hair_apart_do_not() -> None:
    one = Slab.between((0.0, 0.0, 0.0), (2.0, 1.0, 1.0))
    assert one == Slab((0.0, 2.0), (0.0, 1.0), (0.0, 1.0))
    assert one.touches(Slab((2.0, 3.0), (0.5, 4.0), (0.0, 1.0)))
    assert not one.touches(Slab((2.001, 3.0), (0.5, 4.0), (0.0, 1.0)))
    assert not one.touches(Slab((0.0, 2.0), (0.0, 1.0), (-3.0, -0.001)))


def test_the_least_block_round_two_by_hand() -> None:
    found = Slab.around([Slab((0.0, 2.0), (0.0, 1.0), (-1.0, 0.0)), Slab((-3.0, 1.0), (0.5, 4.0), (-1.0, -0.5))])
    assert found == Slab((-3.0, 2.0), (0.0, 4.0), (-1.0, 0.0))


@pytest.mark.parametrize("step", [25.4 / 64, 25.4 / 128, 25.4 / 192, 25.4 / 256, 0.05, 0.001, 1 / 3, 1e-6])
def test_what_differs_by_rounding_alone_is_one_length_wherever_a_rule_has_a_line(step: float) -> None:
    for count in range(-500, 2000):
        length = count * step
        assert as_compared(length - 1e-11) == as_compared(length) == as_compared(length + 1e-11)


def test_a_hundredth_of_what_a_hand_can_do_is_another_length() -> None:
    assert len({as_compared(19.05 + count * 1e-5) for count in range(1000)}) == 1000
