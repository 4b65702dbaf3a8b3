"""How dimensions are drawn: between their points, with words over the line where they fit and beyond it where not."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.write.drafting.dimensions import BEYOND, LETTERS, TICK, dimension_line, drawn, words_at
from solids.write.drafting.sheet import Angle, Distance, Label, Stroke, line, placed
from tests.write.drafting.flat import labels, strokes, words_box

TEXTS = ("3", "18.75 (4x)", "13 13/64 - 0.002", "59/64 - 0.005 (3x)")

spans = st.floats(0.05, 300.0)
offsets = st.floats(5.0, 30.0) | st.floats(-30.0, -5.0)


def across(span: float, text: str, offset: float = 8.0) -> Distance:
    return Distance((10.0, 20.0), (10.0 + span, 20.0), offset, text)


def up(span: float, text: str, offset: float = -9.0) -> Distance:
    return Distance((10.0, 20.0), (10.0, 20.0 + span), offset, text, "up")


@given(spans, offsets, st.sampled_from(TEXTS), st.booleans())
def test_the_line_runs_between_the_points_at_its_offset(span: float, offset: float, text: str, is_up: bool) -> None:
    dim = up(span, text, offset) if is_up else across(span, text, offset)
    ends = dimension_line(dim)
    expected = [(10 + offset, 20), (10 + offset, 20 + span)] if is_up else [(10, 20 + offset), (10 + span, 20 + offset)]
    for end, meant in zip(ends, expected, strict=True):
        assert end == pytest.approx(meant)


@given(spans, st.sampled_from(TEXTS), st.booleans())
def test_words_fit_between_the_ticks_or_stand_beyond_them(span: float, text: str, is_up: bool) -> None:
    """Measured with the font itself: the words never lie on a tick."""
    dim = up(span, text) if is_up else across(span, text)
    (label,) = labels([dim])
    assert label.text == text
    assert label.at == words_at(dim)
    assert label.turn_deg == (90.0 if is_up else 0.0)
    box = words_box(label).bounds
    low, high = (box[1], box[3]) if is_up else (box[0], box[2])
    start, end = (20.0, 20.0 + span) if is_up else (10.0, 10.0 + span)
    is_between = start + TICK <= low and high <= end - TICK
    assert is_between or low >= end + TICK


@given(st.sampled_from(TEXTS), st.booleans())
def test_words_stand_in_the_middle_of_a_long_line(text: str, is_up: bool) -> None:
    dim = up(120.0, text) if is_up else across(120.0, text)
    assert words_at(dim)[1 if is_up else 0] == pytest.approx(80.0 if is_up else 70.0)


@given(spans, st.sampled_from(TEXTS), st.booleans())
def test_words_stand_over_their_line_from_end_to_end(span: float, text: str, is_up: bool) -> None:
    """The dimension line reaches under the words, so that they belong to it, and the words do not touch it."""
    dim = up(span, text) if is_up else across(span, text)
    (label,) = labels([dim])
    low_x, low_y, high_x, high_y = words_box(label).bounds
    along = [s for s in strokes([dim]) if abs(s.points[0][0 if is_up else 1] - s.points[1][0 if is_up else 1]) < 1e-9]
    at = max(along, key=lambda s: math.dist(*s.points))
    reach = sorted(point[1 if is_up else 0] for point in at.points)
    words = (low_y, high_y) if is_up else (low_x, high_x)
    assert reach[0] - 0.01 <= words[0]
    assert words[1] <= reach[1] + 0.01
    if is_up:
        assert label.at[0] < at.points[0][0]
    else:
        assert label.at[1] > at.points[0][1]


@given(spans, offsets)
def test_ticks_cross_the_line_at_both_ends_at_forty_five_degrees(span: float, offset: float) -> None:
    dim = across(span, "3", offset)
    found = [s.points for s in strokes([dim]) if abs(math.dist(*s.points) - 2 * TICK * math.sqrt(2)) < 1e-9]
    ticks = [(a, b) for a, b in found if abs((b[0] - a[0]) - (b[1] - a[1])) < 1e-9]
    middles = sorted(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in ticks)
    assert middles == [pytest.approx(end) for end in sorted(dimension_line(dim))]


@given(offsets)
def test_extension_lines_start_beside_the_part_and_end_past_the_dimension_line(offset: float) -> None:
    dim = across(40.0, "40", offset)
    side = math.copysign(1.0, offset)
    lines = [s.points for s in strokes([dim]) if abs(s.points[0][0] - s.points[1][0]) < 1e-9]
    assert len(lines) == 2
    for (_, y1), (_, y2) in lines:
        assert 0 < side * (y1 - 20.0) < 2.0
        assert side * (y2 - 20.0 - offset) == pytest.approx(BEYOND)


def test_a_dimension_that_touches_its_part_has_no_extension_line() -> None:
    dim = across(40.0, "40", 0.0)
    assert len(strokes([dim])) == 3


def test_nothing_but_strokes_and_labels_is_left() -> None:
    items = [
        across(40.0, "40"),
        up(5.0, "5"),
        Angle((0.0, 0.0), 262.0, 270.0, 13.0, "8.1"),
        line("frame", (0, 0), (1, 1)),
    ]
    pieces = list(drawn(items))
    assert {type(piece) for piece in pieces} == {Stroke, Label}
    assert items[-1] in pieces
    assert {piece.layer for piece in pieces} == {"dimensions", "frame"}


def test_an_angle_is_drawn_from_its_first_direction_to_its_second() -> None:
    dim = Angle((5.0, 7.0), 255.0, 270.0, 13.0, "15.0°")
    found = strokes([dim])
    (arc,) = [stroke for stroke in found if len(stroke.points) > 2]
    assert all(math.dist(point, (5.0, 7.0)) == pytest.approx(13.0) for point in arc.points)
    turns = [math.degrees(math.atan2(y - 7.0, x - 5.0)) % 360 for x, y in (arc.points[0], arc.points[-1])]
    assert turns == pytest.approx([255.0, 270.0])
    (label,) = labels([dim])
    assert words_box(label).distance(arc_of(arc)) > 0.3


def arc_of(stroke: Stroke) -> object:
    from shapely.geometry import LineString

    return LineString(stroke.points)


def test_letters_and_offsets_keep_their_size_when_a_drawing_is_made_smaller() -> None:
    (small,) = placed([across(40.0, "40")], 0.5, (0.0, 0.0))
    assert isinstance(small, Distance)
    (label,) = labels([small])
    assert label.height == LETTERS
    start, _ = dimension_line(small)
    assert start[1] - small.start[1] == pytest.approx(8.0)
    assert small.end[0] - small.start[0] == pytest.approx(20.0)
