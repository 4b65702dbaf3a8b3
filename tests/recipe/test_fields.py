"""The kinds of value a key can hold: each limit from both sides, and what the message says would be accepted.

A value just inside a limit is read, one just outside is refused. Limits stand in `tolerances.py` with their reasons.
"""

from __future__ import annotations

import math
import tomllib

import jsonschema
import pytest
import tomlkit
from pydantic_core import PydanticCustomError

from solids.recipe.asked import Asked
from solids.recipe.fields import Length, Number, OneOf, Rule, Slope, Spacing, Title, Whole, WoodField, YesNo, shown
from solids.recipe.reading import apply_override, ask
from solids.wood import find_wood
from tests.recipes import MINIMAL, only_problem, problems


def refused(rule: Rule, value: object, units: str = "mm") -> tuple[str, str]:
    """What is wrong with a value, and what would be accepted."""
    with pytest.raises(PydanticCustomError) as caught:
        rule.read(value, units)
    context = caught.value.context
    assert caught.value.type == "recipe"
    return context["wrong"], context["remedy"]


def asked(key: str, value: str) -> Asked:
    """MINIMAL with one key more, or with another value for a key it has."""
    raw = tomllib.loads(MINIMAL)
    apply_override(raw, f"{key}={value}")
    return ask(tomlkit.dumps(raw))


# --- limits of every key, from both sides ----------------------------------------------------------

LIMITS = [
    # key, least and most that are read, too little, too much
    ("joint.width", "3", "10000", "2.999", "10000.01"),
    ("joint.pin", "0.05", "10000", "0.0499", "10001"),
    ("joint.half_pin", "0.05", "10000", "0.0499", "10001"),
    ("joint.lap", "0.05", "10000", "0.0499", "10001"),
    ("joint.tails", "1", "100", "0", "101"),
    ("joint.slope", '"1:2"', '"1:30"', '"1:1.99"', '"1:30.01"'),
    ("joint.grading", "-0.5", "2.0", "-0.51", "2.01"),
    ("joint.grading", "0", "2", "-1", "3"),
    ("tail_board.thickness", "1", "500", "0.99", "500.1"),
    ("tail_board.length", "1", "10000", "0.99", "10001"),
    ("tail_board.proud", "0.01", "50", "0.0099", "50.1"),
    ("pin_board.proud", "0", "50", "-0.01", "50.1"),
    ("fit.flank_gap", "0.0005", "1", "0.00049", "1.001"),
    ("fit.flank_gap", "-1", "-0.0005", "-1.001", "-0.00049"),
    ("entry_chamfer.width", "0.01", "50", "0.0099", "50.1"),
    ("undercut.depth", "0", "50", "0.0099", "50.1"),
    ("finish.chamfer", "0.01", "50", "0.0099", "50.1"),
    ("finish.planing", "0", "50", "0.0099", "50.1"),
    ("kit.saw_kerf", "0.05", "200", "0.0499", "200.1"),
    ("kit.knife", "0.05", "200", "0.0499", "200.1"),
    ("kit.chisels", "[0.05, 200]", "[200]", "[0.0499]", "[6, 200.1]"),
    ("print.bed", "[10, 10]", "[10000, 10000]", "[220, 9.99]", "[10001, 220]"),
    ("print.nozzle", "0.05", "200", "0.0499", "200.1"),
    ("print.clearance", "0", "50", "0.0099", "50.1"),
    ("print.magnet", "{diameter = 0.05, thickness = 200}", "{diameter = 200, thickness = 0.05}",
     "{diameter = 0.0499, thickness = 2}", "{diameter = 10, thickness = 200.1}"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "least", "most", "under", "over"), LIMITS)
def test_a_limit_is_read_and_what_lies_beyond_is_refused(key, least, most, under, over) -> None:
    table, name = key.split(".")
    for inside in (least, most):
        assert getattr(getattr(asked(key, inside), table), name) is not None
    for outside in (under, over):
        with pytest.raises(ValueError, match=key):
            asked(key, outside)


def test_a_list_of_tails_has_one_to_a_hundred_widths_of_at_least_a_knife_line() -> None:
    spacing = Spacing()
    assert spacing.read([0.05], "mm") == (0.05,)
    assert len(spacing.read([12] * 100, "mm")) == 100
    assert refused(spacing, [12] * 101) == ("the list has 101 tails", "accepted are at most 100")
    assert "under the least" in refused(spacing, [12, 0.049])[0]
    for none in ([], "odd", 3, {}):
        wrong, remedy = refused(spacing, none)
        assert wrong == f"{none!r} is no spacing"
        assert remedy == 'accepted is "even", "graduated" or a list of tail widths'


# --- lengths ---------------------------------------------------------------------------------------


def test_zero_switches_off_only_where_the_key_says_so() -> None:
    assert Length(0.01, 50, zero=True).read("0 in", "mm") == 0.0
    assert "under the least" in refused(Length(0.01, 50), 0)[0]


def test_a_sign_is_accepted_only_where_the_key_says_so() -> None:
    assert Length(0.0005, 1, signed=True).read("-0.03 mm", "mm") == -0.03
    assert refused(Length(0.5, 1), -0.7) == ("-0.7 mm is under the least", "accepted is from 0.5 mm to 1 mm")
    assert refused(Length(0.5, 1, zero=True, signed=True), -2) == (
        "-2 mm is over the most",
        "accepted is 0, or from 0.5 mm to 1 mm, either sign",
    )


def test_limits_are_said_in_the_recipes_units() -> None:
    assert refused(Length(25.4, 254), 11, "in") == ("11 in is over the most", "accepted is from 1 in to 10 in")
    assert Length(25.4, 254).read(1, "in") == 25.4


def test_a_wrong_text_says_what_a_length_looks_like() -> None:
    wrong, remedy = refused(Length(1), "wide")
    assert wrong == "'wide' is not a length"
    assert remedy == 'give a number, or a text such as "19 mm", "3/4 in" or "1 1/8 in"'


@pytest.mark.parametrize("key", ["joint.width", "joint.pin", "tail_board.thickness", "fit.flank_gap", "kit.knife"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_limits_that_a_message_names_are_themselves_accepted(key: str, units: str) -> None:
    """What would be accepted must be: a limit may not be printed rounded to the wrong side."""
    for value in ("20000 mm", "0.0001 mm"):
        (problem,) = (found for found in problems(f"units={units}", f"{key}={value}") if found.key == key)
        remedy = problem.remedy.removesuffix(", either sign").removeprefix("accepted is ").removeprefix("0, or ")
        for limit in remedy.removeprefix("from ").split(" to "):
            beyond = [found for found in problems(f"{key}={limit}") if found.wrong.endswith(("the least", "the most"))]
            assert not beyond, limit


# --- slopes ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("1:7", 7.0),
        (" 1 : 6.5 ", 6.5),
        ("8 deg", 1 / math.tan(math.radians(8))),
        ("8deg", 1 / math.tan(math.radians(8))),
        ("9.46 degrees", 1 / math.tan(math.radians(9.46))),
        ("9 degree", 1 / math.tan(math.radians(9))),
        ("10°", 1 / math.tan(math.radians(10))),
    ],
)
def test_a_slope_is_a_ratio_or_an_angle(text: str, ratio: float) -> None:
    """An angle a is 1:N with N = 1 / tan a."""
    assert Slope().read(text, "mm") == pytest.approx(ratio, rel=1e-12)


@pytest.mark.parametrize("value", [7, 7.5, True, "7", "2:7", "1:", "0 deg", "90 deg", "95 deg", "-8 deg", "1:7 deg"])
def test_what_is_no_slope_says_what_is(value: object) -> None:
    assert refused(Slope(), value) == (f"{value!r} is not a slope", 'give a text such as "1:7" or "8 deg"')


def test_a_slope_outside_what_wood_holds_names_the_limits() -> None:
    wrong, remedy = refused(Slope(), "1:1")
    assert wrong == "1:1 is outside what wood holds"
    assert remedy.startswith("accepted is from 1:2 (")
    assert "to 1:30 (" in remedy


@pytest.mark.parametrize("end", [0, 1])
def test_the_angles_that_a_slopes_message_names_are_accepted(end: int) -> None:
    angle = refused(Slope(), "1:1")[1].split("(")[end + 1].split(")")[0]
    assert 2 <= Slope().read(angle, "mm") <= 30


# --- plain kinds -------------------------------------------------------------------------------------


@pytest.mark.parametrize("value", [4.0, "4", True, None, [4]])
def test_a_count_is_a_whole_number(value: object) -> None:
    assert refused(Whole(1, 100), value) == (
        f"{value!r} is not a whole number",
        "accepted is a whole number from 1 to 100",
    )


def test_a_count_beyond_its_limits_says_on_which_side() -> None:
    assert refused(Whole(1, 100), 0)[0] == "0 is under the limit"
    assert refused(Whole(1, 100), 101)[0] == "101 is over the limit"


@pytest.mark.parametrize("value", ["0.1", True, None, [0.1]])
def test_a_number_is_not_a_text_or_a_truth(value: object) -> None:
    assert refused(Number(-0.5, 2), value) == (f"{value!r} is not a number", "accepted is a number from -0.5 to 2")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 2.0001])
def test_a_number_lies_within_its_limits(value: float) -> None:
    assert refused(Number(-0.5, 2), value)[0] == f"{value!r} is outside the limits"
    assert Number(-0.5, 2).read(1, "mm") == 1.0


@pytest.mark.parametrize("value", ["true", 1, 0, None])
def test_yes_and_no_are_true_and_false_only(value: object) -> None:
    assert refused(YesNo(), value) == (f"{value!r} is neither yes nor no", "write true or false, without quotes")
    assert YesNo().read(True, "mm") is True
    assert YesNo().read(False, "mm") is False


@pytest.mark.parametrize("value", ["Through", "mitred", 3, None, ["through"]])
def test_a_word_is_one_of_the_few(value: object) -> None:
    rule = OneOf(("through", "half-blind"))
    assert refused(rule, value) == (f"{value!r} is not known here", 'accepted is "through" or "half-blind"')
    assert rule.read("half-blind", "mm") == "half-blind"


# --- titles ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("title", ["tool tray", "a", "Küchenschublade 2", "x" * 80, "no. 3 (left), 50 %", "дом"])
def test_a_title_is_kept_as_written(title: str) -> None:
    assert Title().read(f"  {title} ", "mm") == title


def test_a_title_is_composed_so_that_equal_ones_are_equal() -> None:
    assert Title().read("cafe\u0301", "mm") == "caf\u00e9"


@pytest.mark.parametrize(
    ("title", "wrong"),
    [
        (3, "3 is not a text"),
        ("", "the title is empty"),
        ("  ", "the title is empty"),
        ("x" * 81, "the title has 81 characters"),
        ("../up", "the title has the character '/'"),
        ("a\\b", "the title has the character '\\\\'"),
        ("a\nb", "the title has the character '\\n'"),
        ("a\x00b", "the title has the character '\\x00'"),
        ("a\u202eb", "the title has the character '\\u202e'"),
        ("tray \U0001f600", "the title has the character '\\U0001f600'"),
        ("q\u20dd", "the title has the character '\\u20dd'"),
        ("a\u2028b", "the title has the character '\\u2028'"),
    ],
)
def test_a_title_is_never_a_path_nor_breaks_a_line(title: object, wrong: str) -> None:
    found, remedy = refused(Title(), title)
    assert found == wrong
    assert remedy.startswith("accepted are up to 80 letters, digits, spaces and plain punctuation")


# --- woods -------------------------------------------------------------------------------------------


def test_a_wood_is_a_name_or_a_table_of_ones_own() -> None:
    assert WoodField().read("Red Oak", "mm") == find_wood("red oak")
    pear = WoodField().read({"name": "pear", "kind": "hardwood", "density": 690}, "mm")
    assert (pear.name, pear.kind, pear.density) == ("pear", "hardwood", 690.0)
    assert WoodField().read({"kind": "softwood", "density": 400}, "mm").name == "own wood"


@pytest.mark.parametrize("density", [50, 1500])
def test_an_own_density_may_be_as_light_as_balsa_and_heavier_than_any_wood(density: float) -> None:
    assert WoodField().read({"kind": "hardwood", "density": density}, "mm").density == density


@pytest.mark.parametrize("density", [49.9, 1500.1, "690", True, None, math.nan, math.inf])
def test_an_own_density_beyond_that_is_refused(density: object) -> None:
    assert refused(WoodField(), {"kind": "hardwood", "density": density}) == (
        f"{density!r} is no density of wood",
        "accepted is 50 to 1500, in kg/m3",
    )


def test_a_wood_with_a_key_too_many_names_it() -> None:
    value = {"name": "x", "kind": "hardwood", "density": 600, "colour": "red"}
    assert refused(WoodField(), value)[0] == "'colour' is not known of a wood"


@pytest.mark.parametrize("value", [3, ["beech"]])
def test_what_is_no_wood_says_what_is(value: object) -> None:
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} is no wood"
    assert remedy.startswith("accepted is a name from `halfpin woods`, or a table {")


@pytest.mark.parametrize("value", [{"density": 600}, {"kind": "wood", "density": 600}, {"name": 3, "kind": "hardwood"}])
def test_an_own_wood_says_hard_or_soft(value: object) -> None:
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} names no kind of wood"
    assert remedy.startswith("accepted is a table {")


def test_the_name_of_an_own_wood_is_held_to_the_rules_of_titles() -> None:
    assert "'/'" in refused(WoodField(), {"name": "a/b", "kind": "hardwood", "density": 600})[0]


def test_a_misspelt_wood_is_refused_with_the_nearest_and_the_table() -> None:
    problem = only_problem("tail_board.wood=mapel")
    assert "the nearest is 'maple'" in problem.wrong
    assert "density = 690" in problem.remedy


# --- what all have in common ---------------------------------------------------------------------------


def test_a_long_value_is_cut_short() -> None:
    assert shown("x" * 58) == repr("x" * 58)
    assert shown("x" * 59) == repr("x" * 59)[:57] + "..."


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        (Length(1), "3/4 in", [3]),
        (Slope(), "8 deg", 8),
        (Whole(1, 100), 4, 101),
        (Number(-0.5, 2), 0.25, 2.5),
        (YesNo(), True, "yes"),
        (OneOf(("a", "b")), "a", "c"),
        (Spacing(), [12, "3/4 in"], []),
        (Title(), "tray", ""),
        (WoodField(), {"kind": "softwood", "density": 400}, {"kind": "softwood", "density": 4000}),
    ],
)
def test_a_rule_and_its_schema_say_the_same(rule: Rule, good: object, bad: object) -> None:
    validator = jsonschema.Draft202012Validator(rule.schema())
    rule.read(good, "mm")
    refused(rule, bad)
    assert validator.is_valid(good)
    assert not validator.is_valid(bad)


def test_the_base_of_rules_reads_nothing() -> None:
    with pytest.raises(NotImplementedError):
        Rule().read(1, "mm")
    with pytest.raises(NotImplementedError):
        Rule().schema()
