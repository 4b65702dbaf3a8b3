"""Boards as they are: thickness at several places, and a hollow; what is refused, and that the advice holds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base import tolerances as tol
from solids.recipe.tables.box_schema import MOST_PLACES, odd_one_out
from solids.recipe.text.reading import read_box
from tests.advice import PIECES, advice_holds
from tests.recipes import MINIMAL, WHOLE, laid_out, only_problem, recipe

TAILS, PINS = "tail_board.thickness", "pin_board.thickness"


def test_geometry_follows_the_thickest_place_and_planing_the_thinnest() -> None:
    """By hand: a pin board of 12 mm that is 11.6 mm at its thinnest, half-blind with a lap of 3 mm, has sockets 9 mm
    deep all along; there 2.6 mm are left of the lap."""
    made = recipe(f"{PINS}=[11.8, 12, 11.6]", "joint.kind=half-blind", "joint.lap=3")
    assert (made.pin_board.thickness, made.depth) == (12, 9)
    assert made.pin_board.thinnest == pytest.approx(11.6)
    assert made.least_lap == pytest.approx(2.6)


def test_a_list_is_laid_out_as_its_thickest_place() -> None:
    """Every edge, the gauges and the chosen values are those of a board that is so thick all over."""
    uneven, even = laid_out(f"{TAILS}=[9.7, 10]"), laid_out(f"{TAILS}=10")
    assert (uneven.tails, uneven.as_cut, uneven.as_finished) == (even.tails, even.as_cut, even.as_finished)
    assert uneven.recipe.choices == even.recipe.choices


@pytest.mark.parametrize("written", ["[10]", "[10, 10, 10]", "['10 mm', 10.0]"])
def test_places_that_are_alike_are_one_thickness(written: str) -> None:
    assert recipe(f"{TAILS}={written}").tail_board == recipe(f"{TAILS}=10").tail_board


def test_places_may_have_units_of_their_own() -> None:
    made = recipe("units=in", "joint.width=4", f"{TAILS}=['3/8 in', '9.3 mm', 0.37]", f"{PINS}=0.5")
    assert made.tail_board.thickness == pytest.approx(9.525)
    assert made.tail_board.uneven == pytest.approx(9.525 - 9.3)


def test_nothing_said_is_even_and_flat() -> None:
    assert [(board.uneven, board.cup) for board in (recipe().tail_board, recipe().pin_board)] == [(0, 0), (0, 0)]


# --- a slip of the rule --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lengths", "place"),
    [
        ((19, 18.8, 19.1, 15, 19), 4),
        ((19, 19, 25), 3),
        ((19, 19, 15, 15), 1),
        ((15, 19), 1),
        ((19,), None),
        ((19, 17.1), None),  # 17.1 = 0.9 x 19, from both sides
        ((19, 17.09), 1),
        ((3, 3.5), None),  # half a millimetre is allowed to a thin board too
        ((3, 3.51), 1),
    ],
)
def test_the_odd_one_out(lengths: tuple[float, ...], place: int | None) -> None:
    odd = odd_one_out(lengths)
    assert (odd and odd[0]) == place


@given(st.lists(st.floats(1, 500), min_size=1, max_size=8))
def test_a_length_within_its_limits_is_taken(lengths: list[float]) -> None:
    """Where one length alone is wrong, any length in the limits that are told mends the list."""
    odd = odd_one_out(lengths)
    if odd is None:
        return
    place, others, _ = odd
    mended = [*lengths[: place - 1], others, *lengths[place:]]
    assert (again := odd_one_out(mended)) is None or again[0] != place


REFUSED = [
    (
        f"{TAILS}=[19, 18.8, 19.1, 15, 19]",
        "place 4, 15 mm, is far from the others, near 19 mm",
        "measure it again: beside the others it takes 17.1 mm to 21.11 mm; plane a board that is so uneven first",
    ),
    (f"{TAILS}=[]", "the list is empty", "give a length, or one for each place that you measured, as in [12, 11.8]"),
    (f"{TAILS}=[{', '.join(['9'] * 101)}]", "the list has 101 lengths", f"accepted are at most {MOST_PLACES}"),
    (f"{TAILS}=[10, 0.5]", "0.5 mm is under the least", "it takes from 1 mm to 500 mm"),
    (
        "pin_board.cup=-1",
        "-1 mm is under the least",
        "it takes 0, or from 0.01 mm to 50 mm; say how deep the hollow is, in whichever face",
    ),
    (
        "pin_board.cup=12",
        "12 mm is as much as the board is thick, 12 mm, or more",
        "accepted is 0 to 11.99 mm; measure with a straightedge across the width",
    ),
]


@pytest.mark.parametrize(("override", "wrong", "remedy"), REFUSED, ids=[case[0][:40] for case in REFUSED])
def test_what_is_refused_and_what_would_be_accepted(override: str, wrong: str, remedy: str) -> None:
    problem = only_problem(override)
    assert (problem.key, problem.wrong, problem.remedy) == (override.partition("=")[0], wrong, remedy)


def test_the_limits_of_a_slip_can_be_typed() -> None:
    for length in ("17.1 mm", "21.11 mm"):
        assert recipe(f"{TAILS}=[19, 18.8, 19.1, '{length}', 19]", f"{PINS}=19").tail_board.uneven > 0


def test_something_that_is_no_length_is_told_as_ever() -> None:
    assert "is not a length" in only_problem(f"{TAILS}=[10, 'thick']").wrong


# --- planing, laps and grooves -------------------------------------------------------------------


def test_planing_is_limited_by_the_thinnest_place() -> None:
    """Half of 9.4 mm is 4.7 mm."""
    assert recipe(f"{TAILS}=[10, 9.4]", "finish.planing=4.7")
    problem = only_problem(f"{TAILS}=[10, 9.4]", "finish.planing=4.8")
    assert problem.wrong == "4.8 mm takes more than half of a board where it is thinnest, 9.4 mm"
    assert problem.tries == ("4.7 mm",)


def test_the_lap_is_planed_where_it_is_thinnest() -> None:
    """A lap of 3 mm, 2.6 mm where the board is 0.4 mm thinner: 1.3 mm may be planed."""
    half_blind = (f"{PINS}=[12, 11.6]", "joint.kind=half-blind", "joint.lap=3")
    assert recipe(*half_blind, "finish.planing=1.3")
    problem = only_problem(*half_blind, "finish.planing=1.4")
    assert problem.wrong == "1.4 mm takes more than half of the lap where it is thinnest, 2.6 mm"


def test_an_even_board_is_refused_in_the_words_it_always_was() -> None:
    assert only_problem("finish.planing=6").wrong == "6 mm takes more than half of a board"


def test_a_lap_must_be_left_at_every_place() -> None:
    worn = (f"{PINS}=[12, 11.2]", "joint.kind=half-blind", "joint.lap=0.82")
    problem = only_problem(*worn)
    assert problem.wrong == "0.82 mm leaves nothing where the pin board is 0.8 mm thinner"
    assert problem.tries == ("0.85 mm",)
    assert recipe(*worn[:2], "joint.lap=0.85")


KEEPSAKE = ("box.left.thickness=[10, 9.1]", "box.front.cup=0.2")


def test_a_box_has_the_same_by_the_same_code() -> None:
    box = read_box("keepsake-box", KEEPSAKE)
    front, back = box.corners["front left"], box.corners["back right"]
    assert (front.tail_board.thickness, front.tail_board.uneven) == (10, pytest.approx(0.9))
    assert (front.pin_board.cup, back.pin_board.cup, back.tail_board.uneven) == (0.2, 0, 0)
    assert box.inside == read_box("keepsake-box").inside, "which the thickest places take from the outside"


@pytest.mark.parametrize(
    ("override", "told"),
    [
        ("box.front.cup=13", "box.front.cup: 13 mm is as much as the board is thick, 12 mm, or more"),
        ("box.front.thickness=[12, 9]", "box.front.thickness: place 1, 12 mm, is far from the others, near 9 mm"),
        # Two thirds of 9.1 mm.
        ("box.groove.depth=6.1", "box.groove.depth: 6.1 mm is too deep for the left board, which is 9.1 mm thick"),
    ],
)
def test_a_box_refuses_under_the_keys_that_were_written(override: str, told: str) -> None:
    with pytest.raises(ValueError, match="box") as refused:
        read_box("keepsake-box", (*KEEPSAKE, override))
    assert told in str(refused.value)


@pytest.mark.parametrize("piece", ["corner", "corner in inches", "box", "box in inches"])
def test_the_advice_holds(piece: str) -> None:
    """Every value that is told beside hollow and uneven boards is accepted when it is typed in."""
    uneven = (f"{PINS}=['14 mm', '13.2 mm']", f"{TAILS}=['12 mm', '11.3 mm']")
    half_blind = ("joint.kind=half-blind", "tail_board.proud=0")
    told = advice_holds(PIECES[piece], (*uneven, "tail_board.cup=30 mm"))
    told += advice_holds(PIECES[piece], (*uneven, "finish.planing=8 mm"))
    told += advice_holds(PIECES[piece], (*uneven, *half_blind, "joint.lap=0.81 mm"))
    told += advice_holds(PIECES[piece], (*uneven, *half_blind, "joint.lap=2 mm", "finish.planing=1 mm"))
    assert told == 4


def test_both_texts_take_both_keys() -> None:
    for text in (MINIMAL, WHOLE):
        assert recipe(f"{TAILS}=[10, 9.9]", "tail_board.cup=0.1", text=text).tail_board.cup == 0.1
    assert tol.UNEVEN_SLIP <= tol.UNEVEN_MOST, "what is not refused as a slip may still be better planed first"
