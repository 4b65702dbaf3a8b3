"""The layout in words and rows: heads fit rows, every number is the layout's, in the maker's units."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from solids.base.errors import RecipeError
from solids.base.messages import Units
from solids.base.parsing import parse_length
from solids.bench.listing import (
    Rows,
    bench_words,
    board_rows,
    chisel_rows,
    dividers_words,
    headline,
    pin_rows,
    pitch_of,
    raw_end_rows,
    scale_words,
    tail_rows,
)
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

HALF_A_STEP, FINE = 0.025 + 1e-9, 0.005 + 1e-9
"""What a rule shows, and what a caliper shows of sizes that were asked for."""
HALF_A_THOUSANDTH = 0.0005 * 25.4 + 1e-9
INCHES = ("units=in", "joint.width=4", "tail_board.thickness='1/2'", "pin_board.thickness='1/2'")


def test_the_headline_names_title_kind_tails_slope_and_width() -> None:
    assert headline(laid_out(text=WHOLE)) == (
        "small tray: through dovetail, 4 tails, slope 1:7 (8.1 degrees), 96 mm wide"
    )
    assert headline(laid_out(*HALF_BLIND, "joint.slope=1:6.5", "title=front", text=WHOLE)) == (
        "front: half-blind dovetail, 4 tails, slope 1:6.5 (8.7 degrees), 96 mm wide"
    )


def test_one_tail_is_singular_and_inches_are_inches() -> None:
    assert headline(laid_out("joint.tails=1", "joint.width=1 3/4 in", "units=in", "pin_board.thickness=12 mm",
                             "tail_board.thickness=10 mm")) == (
        "corner: through dovetail, 1 tail, slope 1:8 (7.1 degrees), 1 3/4 in wide"
    )  # fmt: skip


def test_tails_are_listed_from_the_reference_edge_at_three_planes() -> None:
    """w = 18.75 mm; at the raw end 18.75 + 2 x 0.5 / 7 = 18.89; at the baseline 18.75 - 24 / 7 = 15.32; told as a rule
    shows them."""
    head, rows = tail_rows(laid_out(text=WHOLE))
    assert head == ("tail", "from edge", "to", "width", "at baseline")
    assert rows[0] == ("1", "6 mm", "24.75 mm", "18.75 mm", "15.3 mm")
    raw_head, raw_rows = raw_end_rows(laid_out(text=WHOLE))
    assert raw_head == ("tail", "on raw end from", "to", "width")
    assert raw_rows[0] == ("1", "5.95 mm", "24.8 mm", "18.9 mm")
    assert [row[1] for row in rows] == ["6 mm", "27.75 mm", "49.5 mm", "71.25 mm"]


def test_pins_are_listed_with_half_pins_at_both_ends() -> None:
    """p = 3 and 3 + 24/7 = 6.43, gap 3 - 1/7 = 2.86; h = 6 and 6 + 12/7 = 7.71, gap 6 - 0.5/7 = 5.93."""
    head, rows = pin_rows(laid_out(text=WHOLE))
    assert head == ("pin", "show face", "inside face", "gap at raw end")
    assert rows[0] == ("1, half pin", "6 mm", "7.7 mm", "5.95 mm")
    assert rows[1] == ("2", "3 mm", "6.45 mm", "2.85 mm")
    assert [row[0] for row in rows] == ["1, half pin", "2", "3", "4", "5, half pin"]


def test_pins_behind_a_lap_are_not_on_the_show_face() -> None:
    head, _ = pin_rows(laid_out(*HALF_BLIND))
    assert head[1:3] == ("at the lap", "inside face")


def test_boards_are_listed_as_the_recipe_has_them() -> None:
    """Tails 0.5 mm proud, 10 mm thick: 10 (0.5 x 4 x 18.75 + 4 x 0.5^2/7) = 376 mm3. Pins 0.25 mm proud: their ends are
    the board's 96 x 12 mm less 4 tails of 12 x 18.75 - 12^2/7, 0.25 x (1152 - 817.7) = 84 mm3."""
    head, rows = board_rows(laid_out(text=WHOLE))
    assert head == ("board", "wood", "thickness", "length", "saw to", "proud", "planed away")
    assert rows == [
        ("tail board", "cherry", "10 mm", "120 mm", "132.5 mm", "0.5 mm", "0.38 cm3"),
        ("pin board", "maple", "12 mm", "110 mm", "120.25 mm", "0.25 mm", "0.08 cm3"),
    ]


def test_two_gauges_and_the_bevel_are_told() -> None:
    """12 + 0.5 on the tail board, 10 + 0.25 on the pin board; different, as the boards are (common practice)."""
    first, second, bevel, _ = bench_words(laid_out(text=WHOLE))
    assert first == "Gauge 12.5 mm: from the tail board's end: inside face, edges, and the waste of the show face."
    assert second == "Gauge 10.25 mm: from the pin board's end: inside face, and the waste of the show face."
    assert bevel == "Bevel 8.1 degrees, 1 in 7."


def test_chisels_are_listed_with_the_makers_own_where_the_kit_names_some() -> None:
    head, rows = chisel_rows(laid_out(text=WHOLE))
    assert head == ("sockets", "chop", "widest chisel")
    own_head, own_rows = chisel_rows(laid_out("kit.chisels=[10]", text=WHOLE))
    assert own_head == (*head, "your own")
    assert [row[:3] for row in own_rows] == rows
    assert [row[3] for row in own_rows] == ["10 mm", "none fits", "10 mm", "10 mm"]


def test_a_gap_thins_the_pins_but_not_the_gaps_between_tails() -> None:
    thin, plain = (pin_rows(laid_out(gap, text=WHOLE))[1] for gap in ("fit.flank_gap=0.2", "fit.flank_gap=0"))
    assert [row[3] for row in thin] == [row[3] for row in plain]
    assert all(parse_length(a[1]) < parse_length(b[1]) for a, b in zip(thin, plain, strict=True))


def without_last(rows: Rows) -> Rows:
    """The table but for its last column, which is a volume."""
    head, body = rows
    return head[:-1], [row[:-1] for row in body]


def read(cell: str, units: Units = "mm") -> float:
    """A cell as a length. Of a range its greater end."""
    return parse_length(cell.rpartition(" to ")[2], units)


def test_a_length_in_inches_takes_two_columns() -> None:
    """Tails of (4 - 2 x 7/32 - 2 x 1/8)/3 = 1.104 in, which is nearest to 1 7/64."""
    inches = laid_out(*INCHES)
    head, rows = tail_rows(inches)
    assert head == ("tail", "from edge", "1/64 in", "to", "1/64 in", "width", "1/64 in", "at baseline", "1/64 in")
    assert rows[0][5:7] == ("1.104", "1 7/64")
    assert board_rows(inches)[0][4:6] == ("saw to", "1/64 in")


def test_an_uneven_board_has_both_ends_of_its_range() -> None:
    (_, rows) = board_rows(laid_out("tail_board.thickness=[10, 9.7, 9.8]"))
    assert [row[2] for row in rows] == ["9.7 mm to 10 mm", "12 mm"]
    (_, rows) = board_rows(laid_out("units=in", "joint.width=4", "tail_board.thickness=['3/8 in', '11/32 in']"))
    assert rows[0][2] == "11/32 in to 3/8 in"


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_every_listed_number_is_the_layouts(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    close = HALF_A_THOUSANDTH if layout.recipe.units == "in" else HALF_A_STEP
    raw = layout.as_cut.tail_end
    tails = [(tail.left, tail.right, tail.width, layout.tail_width(tail, 0)) for tail in layout.tails]
    on_raw_end = [(*layout.tail_edges(tail, raw), layout.tail_width(tail, raw)) for tail in layout.tails]
    pins = zip(layout.pin_widths(layout.depth), layout.pin_widths(0), layout.tail_board_gaps(raw), strict=True)
    joints = ((layout.recipe.tail_board, raw), (layout.recipe.pin_board, layout.as_cut.pin_end))
    boards = [(b.thickness, b.length, b.length + joint, b.proud) for b, joint in joints]
    for (head, rows), numbers, first in (
        (tail_rows(layout), tails, 1),
        (raw_end_rows(layout), on_raw_end, 1),
        (pin_rows(layout), list(pins), 1),
        (without_last(board_rows(layout)), boards, 2),
    ):
        assert len(rows) == len(numbers)
        for row, wanted in zip(rows, numbers, strict=True):
            told = [cell for name, cell in zip(head, row, strict=True) if name != "1/64 in"][first:]
            lengths = [read(cell, layout.recipe.units) for cell in told]
            assert lengths == pytest.approx(wanted, rel=1e-9, abs=close)
    if layout.recipe.units == "mm":
        for row, (thickness, length, _, proud) in zip(board_rows(layout)[1], boards, strict=True):
            asked = (thickness, length, proud)
            assert [read(row[i]) for i in (2, 3, 5)] == pytest.approx(asked, rel=1e-9, abs=FINE)


# --- the maker's own rule --------------------------------------------------------------------------


def test_places_are_given_to_the_lines_of_a_rule_and_how_far_off_that_is() -> None:
    """On the raw end tails begin at 6 - 0.5/7 = 5.929 mm and 21.75 further on: 27.679, 49.429 and 71.179, and end at
    24.821, 46.571, 68.321, 90.071. To half millimetres 24.821 is 25 and 68.321 is 68.5, each 0.179 off."""
    plain, half = laid_out(text=WHOLE), laid_out("kit.scale=0.5", text=WHOLE)
    assert [row[1] for row in raw_end_rows(half)[1]] == ["6 mm", "27.5 mm", "49.5 mm", "71 mm"]
    assert list(scale_words(half)) == ["Places to mark are given to your rule's 0.5 mm: at most 0.179 mm off."]
    assert list(scale_words(plain)) == []


def test_a_rule_in_thirty_seconds_has_them_beside_the_decimals() -> None:
    inches = laid_out(*INCHES, "kit.scale='1/32 in'")
    head, rows = tail_rows(inches)
    assert head[2] == "1/32 in"
    assert rows[0][5:7] == ("1.104", "1 3/32")


def test_a_rule_of_the_other_units_leaves_the_figures_as_they_are() -> None:
    assert tail_rows(laid_out("kit.scale='1/32 in'", text=WHOLE)) == tail_rows(laid_out(text=WHOLE))
    assert tail_rows(laid_out(*INCHES, "kit.scale=0.5 mm")) == tail_rows(laid_out(*INCHES))


def test_dividers_are_set_finer_than_a_rule_as_their_steps_add_up() -> None:
    """Tails of 18.75 mm and pins of 3."""
    assert list(dividers_words(laid_out("kit.scale=0.5", text=WHOLE))) == [
        "Dividers 21.75 mm: from a tail to the next, 3 steps."
    ]
    assert pitch_of(laid_out("joint.tails=1", text=WHOLE)) is None
    assert pitch_of(laid_out("joint.spacing=graduated", text=WHOLE)) is None


@pytest.mark.parametrize("scale", ["7", "-1", "0.05"])
def test_no_rule_has_such_a_scale(scale: str) -> None:
    with pytest.raises(RecipeError, match=r"kit\.scale"):
        laid_out(f"kit.scale={scale}")


# --- tails by eye ------------------------------------------------------------------------------------


def test_what_tails_by_eye_were_drawn_from_and_how_far_they_differ_is_told() -> None:
    """Seed 7 draws three tails of 34.957, 32.955 and 34.089 mm on 120 mm; they are told to the 0.05 mm of a rule."""
    joint = ("joint.spacing=by eye", "joint.width=120", "joint.pin=3", "joint.half_pin=6", "joint.tails=3")
    assert bench_words(laid_out(*joint, "joint.seed=7"))[3] == (
        "Tails by eye, drawn from the seed 7: from 32.95 mm to 34.95 mm wide."
    )
    assert not [words for words in bench_words(laid_out()) if "by eye" in words]


def test_tails_by_eye_that_have_no_room_to_differ_are_told_as_such() -> None:
    """Of 49 mm, 21 for pins and half pins leave four tails of 7 mm, with the 3 mm necks of a usual chisel."""
    joint = ("joint.spacing=by eye", "joint.slope=1:6", "joint.pin=3", "joint.half_pin=6", "joint.tails=4")
    assert bench_words(laid_out(*joint, "joint.width=49", "joint.seed=8"))[3] == (
        "Tails by eye, drawn from the seed 8: all 7 mm wide, as there is no room to differ."
    )
