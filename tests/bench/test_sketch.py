"""The drawing in characters: right size, to scale, the reference edge on the left, the show face on top."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.bench.sketch import ASCII, BLOCKS, sketch
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

UNEQUAL = ("joint.tails=2", "joint.spacing=[20, 60]", "joint.half_pin=6", "joint.pin=4")


def tail_share(row: str) -> float:
    """How much of a row of blocks is tail; half cells count half."""
    return (row.count("█") + (row.count("▌") + row.count("▐")) / 2) / len(row)


@pytest.mark.parametrize(("asked", "columns"), [(80, 80), (40, 40), (10, 10), (9, 10), (0, 10), (-5, 10)])
def test_rows_are_as_wide_as_asked_and_at_least_ten(asked: int, columns: int) -> None:
    assert {len(row) for row in sketch(laid_out(text=WHOLE), asked)} == {columns}


def test_a_row_is_as_high_as_two_columns_are_wide() -> None:
    """96 mm over 96 columns is 1 mm each, so a board of 12 mm is six rows high, with two of the tail board below."""
    assert len(sketch(laid_out(text=WHOLE), 96)) == 6 + 2
    assert len(sketch(laid_out(text=WHOLE), 48)) == 3 + 2
    assert len(sketch(laid_out("joint.width=192", "joint.tails=8", text=WHOLE), 96)) == 3 + 2
    assert len(sketch(laid_out(text=WHOLE), 10)) == 3 + 2, "never fewer than three rows of joint"


def test_the_last_two_rows_are_the_tail_board_alone() -> None:
    for charset in (BLOCKS, ASCII):
        assert sketch(laid_out(text=WHOLE), 30, charset)[-2:] == [charset.tail * 30] * 2


def test_edges_fall_where_the_layout_has_them() -> None:
    """In a fine drawing of the first row, tails start and end within a column of their place at that row's height."""
    layout = laid_out(*UNEQUAL, text=WHOLE)
    columns = 960
    rows = sketch(layout, columns, ASCII)[:-2]
    y = 12 * (1 - 0.5 / len(rows))
    for tail in layout.tails:
        left, right = layout.tail_edges(tail, y)
        assert set(rows[0][int(left * 10) + 2 : int(right * 10) - 2]) == {"#"}
        assert (rows[0][int(left * 10) - 2], rows[0][int(right * 10) + 2]) == (".", ".")


def test_the_reference_edge_is_on_the_left() -> None:
    """A body without symmetry: the narrow tail of 20 mm comes first, then the wide one of 60 mm."""
    row = sketch(laid_out(*UNEQUAL, text=WHOLE), 96, ASCII)[0]
    widths = [len(run) for run in row.split(".") if run]
    assert widths == pytest.approx([20, 60], abs=1)


def test_tails_narrow_downward_from_the_show_face_to_the_baseline() -> None:
    shares = [tail_share(row) for row in sketch(laid_out("joint.slope=1:3", text=WHOLE), 192)[:-2]]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > shares[-1]


@settings(max_examples=60, deadline=None)
@given(recipe_texts(), st.integers(40, 120))
@pytest.mark.whole
def test_a_row_has_the_share_of_tail_that_the_layout_has_at_its_height(text: str, columns: int) -> None:
    """Each edge is off by no more than half a half cell."""
    layout = try_lay_out(text)
    if layout is None:
        return
    rows = sketch(layout, columns)[:-2]
    for number, row in enumerate(rows):
        y = layout.as_cut.show_y * (1 - (number + 0.5) / len(rows))
        wanted = 0 if y > layout.depth else sum(layout.tail_width(tail, y) for tail in layout.tails) / layout.width
        assert abs(tail_share(row) - wanted) <= len(layout.tails) / (2 * columns) + 1e-9


def test_a_lap_is_drawn_above_the_tails_of_a_half_blind_joint() -> None:
    """A lap of 3 mm of 12 mm: of twelve rows, three."""
    rows = sketch(laid_out(*HALF_BLIND, text=WHOLE), 192, ASCII)
    assert rows[:3] == ["." * 192] * 3
    assert "#" in rows[3]


def test_half_cells_sharpen_the_drawing_where_the_characters_allow_it() -> None:
    layout = laid_out(text=WHOLE)
    assert set("".join(sketch(layout, 50))) == set("█░▌▐")
    assert set("".join(sketch(layout, 50, ASCII))) == set("#.")


def test_a_half_cell_has_its_tail_on_the_right_where_a_tail_begins() -> None:
    """One tail from 6.5 mm to 23.5 mm, near the show face, at 1 mm a column: columns 7 and 24 are half tail."""
    straight = laid_out("joint.tails=1", "joint.width=30", "joint.half_pin=6.5", "joint.slope=1:30", text=WHOLE)
    row = sketch(straight, 30)[0]
    assert row == "░" * 6 + "▐" + "█" * 16 + "▌" + "░" * 6
