"""Advice holds when it is taken: each value that a refusal tells is typed in as it is told, and is one that a person
would type. `tests/campaign/` does it by the thousand."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR

import pytest
from hypothesis import given

from solids.base.errors import Problem, RecipeError
from solids.base.lengths import format_decimal, format_least, format_limits, format_most
from solids.layout.plan import plan, tried
from tests.advice import BOX_CASES, CORNER_CASES, PIECES, advice_holds, refused_of, what_is_told_is_accepted
from tests.drawers import OAK
from tests.lids import CHEST
from tests.properties import examples


@examples(200)
@given(CORNER_CASES)
def test_what_a_corner_is_told_to_take_is_accepted(case: tuple[str, Sequence[str]]) -> None:
    what_is_told_is_accepted(case)


@examples(100)
@given(BOX_CASES)
def test_what_a_box_is_told_to_take_is_accepted(case: tuple[str, Sequence[str]]) -> None:
    what_is_told_is_accepted(case)


@pytest.mark.parametrize(
    ("name", "override"),
    [
        ("corner", "finish.planing=6.5"),
        ("corner in inches", 'finish.planing="1 in"'),
        ("corner in inches", 'entry_chamfer.width="1/4 in"'),
        ("corner", "joint.lap=14"),
        ("box", "box.groove.up=30"),
        ("box in inches", 'box.groove.up="30 mm"'),
        ("box from inside", "box.groove.up=1"),
        ("box", "box.groove.depth=9"),
        ("box in inches", 'box.length="1/2 in"'),
    ],
)
def test_values_are_told(name: str, override: str) -> None:
    """That the sweeps above find something to take."""
    more = ["joint.kind=half-blind", "tail_board.proud=0"] if "lap" in override else []
    assert advice_holds(PIECES[name], [*more, override])


IN_INCHES = """
units = "in"
[tail_board]
thickness = "3/8"
[pin_board]
thickness = "1/2"
[box]
length = "9 1/2"
width = "6 1/4"
height = "3 1/8"
[box.groove]
"""


@pytest.mark.parametrize(
    ("more", "override", "key", "wrong", "remedy"),
    [
        # 3.281 + 1/4 in: no line of a rule, and no decimals that nobody can set.
        ("[[box.divider]]", 'box.divider.1.height="81.6 mm"', "box.divider.1.height",
         "81.6 mm takes its upper edge to 3 3/4 in (3.744 in), over the boards, which are 3.125 in high",
         "accepted is up to 2 19/32 in"),
        ('[box.front]\nthickness = "1/8"', 'box.groove.up="2 31/32"', "box.groove.up",
         "2 31/32 in puts the groove off the edge of boards that are 3.125 in wide",
         "shift it: accepted is only 2 19/32 in"),
    ],
)  # fmt: skip
def test_what_the_tool_worked_out_in_inches_is_told_as_a_rule_reads(
    more: str, override: str, key: str, wrong: str, remedy: str
) -> None:
    refused = refused_of(IN_INCHES + more)
    (problem,) = [problem for problem in refused([override]) if problem.key == key]
    assert (problem.wrong, problem.remedy) == (wrong, remedy)
    assert advice_holds(refused, [override])


def test_a_groove_whose_boards_grow_with_it_is_shifted_until_it_lies_in_a_tail() -> None:
    """With the inside height given, each millimetre that the groove goes up makes the boards one wider and the tails a
    third of that: a place worked out once would be missed again, and again by less. The first tail's neck ends at
    (70 + u - 18)/3 + 6 - 12/7, and a groove of 5 mm that begins at u must end there at most: u is 24.93."""
    (problem,) = PIECES["box from inside"](["box.groove.up=26"])
    assert problem.tries == ("7.72 mm", "24.92 mm")
    for value in (*problem.tries, "16 mm"):
        assert PIECES["box from inside"]([f'box.groove.up="{value}"']) == ()


def test_where_a_told_value_is_refused_what_is_said_then_is_told_at_once() -> None:
    """An undercut that needs its land, under a lap: the lap gives 1.75 mm, the land 1.95."""
    hollow = ("joint.kind=half-blind", "tail_board.proud=0", "undercut.depth=1")
    found = {problem.key: problem for problem in PIECES["corner"]([*hollow, "finish.planing=2"])}
    assert found["finish.planing"].remedy == "accepted is 0 to 1.75 mm"
    standing = ("finish.ends=proud", "finish.planing=7")
    first, second = PIECES["corner"](standing)
    assert first.remedy == second.remedy == 'take 0, or finish.ends = "flush"'


def refusals(preset: str, *overrides: str) -> list[tuple[str, str]]:
    with pytest.raises(RecipeError) as caught:
        plan(preset, overrides)
    return [(told.key, told.remedy) for told in caught.value.told]


def test_where_a_told_value_spoils_another_key_the_value_that_spoils_none_is_told() -> None:
    """Half of the back's 11 mm board is 5.5 mm; what planing so much leaves takes grooves of 2/3 x 5.5 = 3.67 mm, and
    the drawer's is 5. Half of the front's lap of 5 mm is less: 8.5 mm are left then, and take grooves of 5.67."""
    assert refusals("desk-drawer", "finish.planing=9") == [("finish.planing", "accepted is 0 to 2.5 mm")] * 2
    assert plan("desk-drawer", ["finish.planing=2.5"])


def test_where_no_told_value_leaves_the_other_keys_in_peace_they_are_named() -> None:
    """Boards of 10 mm: half of one is 5 mm, which leaves 5 and takes grooves of 3.33 mm; the box's is 5."""
    remedy = "accepted is 0 to 5 mm; then box.groove.depth must change too"
    assert refusals("keepsake-box", "finish.planing=9", "box.groove.depth=5") == [("finish.planing", remedy)]
    assert plan("keepsake-box", ["finish.planing=5", "box.groove.depth=3"])


def test_advice_that_leads_in_a_circle_is_given_up() -> None:
    """Two limits that leave nothing between them: each value is refused for the sake of the other."""
    low, high = Problem("joint.pin", "too low", "take 5", ("5",)), Problem("joint.pin", "too high", "take 3", ("3",))
    asked: list[str] = []

    def refused(override: str) -> list[Problem]:
        asked.append(override)
        return [high if override.endswith("=5") else low]

    (found,) = tried([low], refused)
    assert (found.wrong, found.tries) == ("too low", ())
    assert found.remedy == "no value helps by itself; change the values it depends on"
    assert asked == ["joint.pin=5", "joint.pin=3"], "each value once"


@pytest.mark.parametrize(
    ("mm", "units", "least", "most"),
    [
        (7.71429, "mm", "7.72 mm", "7.71 mm"),
        (19.9523, "mm", "19.96 mm", "19.95 mm"),
        (1.0, "in", "3/64 in", "1/32 in"),
        (7.3706, "in", "19/64 in", "9/32 in"),
        (0.5, "in", "0.02 in", "0.019 in"),
        (0.01, "in", "0.001 in", "0.00039 in"),
        (25.4, "in", "1 in", "1 in"),
        (0.05, "in", "0.002 in", "0.001 in"),
        (9.525, "in", "3/8 in", "3/8 in"),
        (0.0123, "mm", "0.013 mm", "0.012 mm"),
        (0.0, "mm", "0 mm", "0 mm"),
    ],
)
def test_limits_are_rounded_inward_to_what_a_person_types(mm: float, units: str, least: str, most: str) -> None:
    """By hand: 1 mm is 0.03937 in or 2.52/64, 7.3706 mm is 0.29018 in or 18.57/64, 0.05 mm is 0.0019685 in."""
    assert (format_least(mm, units), format_most(mm, units)) == (least, most)  # type: ignore[arg-type]


def test_a_narrow_range_is_told_as_finely_as_it_needs() -> None:
    assert format_limits(3.141, 3.149, "mm") == ("3.141 mm", "3.149 mm")
    assert format_limits(3.1411, 3.1419, "mm") == ("3.1411 mm", "3.1419 mm")
    assert format_limits(3.141, 9.999, "mm") == ("3.15 mm", "9.99 mm")


def test_in_inches_a_range_is_told_in_64ths_where_one_lies_in_it_and_else_in_thousandths() -> None:
    """By hand: 7.37 mm is 0.29016 in, 18.57/64; 7.6 mm is 0.29921 in, 19.15/64; 7.5 mm is 0.29528 in, 18.9/64;
    50 mm is 125.98/64."""
    assert format_limits(7.37, 7.6, "in") == ("19/64 in", "19/64 in")
    assert format_limits(7.37, 7.5, "in") == ("0.291 in", "0.295 in")
    assert format_limits(0.01, 50.0, "in") == ("0.001 in", "1 61/64 in")


def test_what_was_given_is_told_as_it_was_typed() -> None:
    assert format_decimal(1.0, "in") == "1 mm"
    assert format_decimal(25.4 / 64, "mm") == "1/64 in"
    assert format_decimal(16.5, "mm") == "16.5 mm"
    assert format_decimal(9.5250001, "mm", ROUND_CEILING) == "9.52501 mm"
    assert format_decimal(9.5249999, "mm", ROUND_FLOOR) == "9.52499 mm"
    assert format_decimal(1e300, "mm") == "1e+300 mm"


@pytest.mark.parametrize(
    ("piece", "override"), [("corner in inches", 'finish.planing="1 in"'), ("box in inches", 'box.groove.depth="2 in"')]
)
def test_what_is_advised_in_inches_is_a_fraction_and_holds(piece: str, override: str) -> None:
    told = [value for problem in PIECES[piece]([override]) for value in problem.tries]
    assert told
    assert all("/" in value for value in told if value != "0"), told
    assert advice_holds(PIECES[piece], [override]) == len(told)


@pytest.mark.parametrize(
    ("text", "override", "remedy"),
    [
        (CHEST, "box.lid.at=8", "accepted is 19 mm or more"),
        (CHEST, "box.lid.at=12", "accepted is 19 mm or more"),
        (OAK, "opening.height=3", "accepted is 34.25 mm or more"),
    ],
)
def test_a_limit_that_would_need_another_key_to_change_is_sought_further_on(
    text: str, override: str, remedy: str
) -> None:
    """A cut at 14.05 leaves the box a tail, but one so narrow that the groove for the bottom cuts the pin beside it."""
    refused = refused_of(text)
    (problem,) = refused([override])
    assert problem.remedy == remedy
    assert problem.wrong.startswith(override.partition("=")[2]), "of the value that was given"
    (value,) = problem.tries
    assert refused([f"{problem.key}={value}"]) == ()
