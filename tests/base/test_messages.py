"""Messages: values until they are said, once, in the reader's units and under the keys that are meant."""

from __future__ import annotations

import pytest

from solids.base.amounts import at_least, at_most, fine, least_in_mm, limits, most_in_mm, too_little, too_much, typed
from solids.base.errors import Problem, RecipeError, Told
from solids.base.messages import Key, Units, counted, in_runs, joined, message, renamed, said, series


@pytest.mark.parametrize(
    ("units", "sentence"),
    [("mm", "12.7 mm is over 9.52 mm (joint.lap)"), ("in", "0.5 in is over 3/8 in (joint.lap)")],
)
def test_a_sentence_is_in_the_readers_units(units: Units, sentence: str) -> None:
    """12.7 mm are 1/2 in and 9.525 mm 3/8 in; as a limit in mm that is told no greater than it is."""
    told = message("{} is over {} ({})", typed(12.7), at_most(9.525), Key("joint.lap"))
    assert said(told, units) == sentence


def test_a_limit_is_rounded_to_the_side_that_is_accepted() -> None:
    told = [said(amount(7.714321)) for amount in (at_least, at_most, too_much, too_little, fine)]
    assert told == ["7.72 mm", "7.71 mm", "7.71433 mm", "7.71432 mm", "7.71 mm (0.304 in)"]
    assert [said(limit) for limit in limits(3.141, 3.149)] == ["3.141 mm", "3.149 mm"], "as finely as the range needs"


def test_the_least_and_the_most_that_work_are_true_in_both_systems() -> None:
    """3.502 mm are 0.13787 in, 8.82/64."""
    assert (said(least_in_mm(3.502)), said(most_in_mm(3.502))) == ("3.51 mm", "3.5 mm")
    assert said(least_in_mm(3.502), "in") == "3.51 mm (9/64 in)"
    assert said(most_in_mm(3.502), "in") == "3.5 mm (1/8 in)"


def test_what_a_maker_typed_is_no_gap() -> None:
    assert said("{0!r} {wood}") == "{0!r} {wood}"
    assert said(message("{} is not known", "'{}'")) == "'{}' is not known"


def test_numbers_have_the_formats_of_their_gaps() -> None:
    assert said(message("tail {} at 1:{:.4g}", 3, 7.123456)) == "tail 3 at 1:7.123"


def test_things_in_a_row() -> None:
    assert said(series(["this"])) == "this"
    assert said(series(["this", message("{} of it", typed(2))])) == "this, or 2 mm of it"
    assert said(series(["a", "b", "c"])) == "a, b, or c"
    assert said(joined(["One.", message("{} more.", 2)])) == "One. 2 more."
    assert said(joined(["a", "b", "c"], "; ")) == "a; b; c"


def test_one_thing_is_told_as_one() -> None:
    assert [counted(count, "joint") for count in (0, 1, 2)] == ["0 joints", "1 joint", "2 joints"]


def test_keys_are_renamed_wherever_they_stand_and_words_that_look_like_keys_are_not() -> None:
    inner = message("pins of {} ({})", typed(3), Key("joint.pin"))
    told = message("{}: take {}", "joint.pin", series([inner, Key("joint.slope")]))
    other = renamed(told, {"joint.pin": "box.joints.front.pin"})
    assert said(other) == "joint.pin: take pins of 3 mm (box.joints.front.pin), or joint.slope"
    assert said(renamed(Key("joint.width"), {"joint.width": message("{} less {}", Key("box.height"), typed(16))})) == (
        "box.height less 16 mm"
    )


def test_equal_messages_are_one() -> None:
    """So that what four corners have in common is told once."""
    first, second = (message("{} ({})", typed(3), Key("joint.pin")) for _ in range(2))
    assert len({first, second, renamed(first, {})}) == 1


def test_a_recipe_error_speaks_in_the_units_of_its_recipe() -> None:
    problem = Problem(
        "joint.pin", message("{} is thin", typed(3.175)), message("take {}", at_least(6.35)), (typed(6.35),)
    )
    error = RecipeError([problem], "in")
    assert error.told == (Told("joint.pin", "0.125 in is thin", "take 1/4 in", ("0.25 in",)),)
    assert str(error) == "joint.pin: 0.125 in is thin; take 1/4 in"
    assert problem.told().wrong == "3.175 mm is thin"


def test_numbers_that_follow_each_other_are_told_as_a_run_where_that_is_shorter() -> None:
    assert [in_runs(numbers) for numbers in ((), (3,), (1, 2), (1, 2, 4, 5, 6, 8))] == [
        "",
        "3",
        "1, 2",
        "1, 2, 4 to 6, 8",
    ]
