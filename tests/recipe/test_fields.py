"""The kinds of value a key can hold: each limit from both sides, and what the message says would be accepted.

A value just inside a limit is read, one just outside is refused. Limits stand in `tolerances.py` with their reasons.
"""

from __future__ import annotations

import math
import re
import time
import tomllib

import jsonschema
import pytest
import tomlkit
from pydantic_core import PydanticCustomError

from solids.base.messages import said
from solids.recipe.tables.air import Air
from solids.recipe.tables.fields import (
    OWN_WOOD,
    Length,
    Number,
    OneOf,
    Rule,
    Slope,
    Spacing,
    Title,
    Whole,
    WoodField,
    YesNo,
    shown,
)
from solids.recipe.tables.schema import Asked, recipe_schema
from solids.recipe.text.reading import ask
from solids.recipe.text.toml import apply_override
from solids.wood import Climate, Movement, Strength, find_wood, wood_names
from tests.recipes import MINIMAL, only_problem, problems


def in_toml(value: object) -> str:
    """A value as a maker writes it: yes and no are small words there."""
    return str(value).lower() if isinstance(value, bool) else repr(value)


def refused(rule: Rule, value: object, units: str = "mm") -> tuple[str, str]:
    """What is wrong with a value, and what would be accepted."""
    with pytest.raises(PydanticCustomError) as caught:
        rule.read(value, units)
    context = caught.value.context
    assert caught.value.type == "recipe"
    return said(context["wrong"], units), said(context["remedy"], units)


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
    ("joint.seed", "1", "999999", "0", "1000000"),
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
    ("kit.cutters", "[0.5, 50]", "[50]", "[0.499]", "[6, 50.1]"),
    ("print.bed", "[10, 10]", "[10000, 10000]", "[220, 9.99]", "[10001, 220]"),
    ("print.nozzle", "0.05", "5", "0.0499", "5.01"),
    ("print.clearance", "0", "1", "0.0099", "1.01"),
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


def test_a_long_number_where_another_value_belongs_is_shown_with_no_more_digits_than_it_takes() -> None:
    """As it stands for a maker: no row of zeros."""
    values = (1e9, "1e9"), (2.5e20, "2.5e20"), (3.0, "3.0"), (0.1, "0.1"), (1e9 + 0.5, "1000000000.5")
    for value, told in values:
        assert refused(WoodField(), value)[0] == f"{told} is not a wood"


def test_a_list_of_tails_has_one_to_a_hundred_widths_of_at_least_a_knife_line() -> None:
    spacing = Spacing()
    assert spacing.read([0.05], "mm") == (0.05,)
    assert len(spacing.read([12] * 100, "mm")) == 100
    assert refused(spacing, [12] * 101) == ("the list has 101 tails", "accepted are at most 100")
    assert "under the least" in refused(spacing, [12, 0.049])[0]
    for none in ([], "odd", 3, {}):
        wrong, remedy = refused(spacing, none)
        assert wrong == f"{none!r} is not a spacing"
        assert remedy == 'accepted is "even", "graduated", "by eye" or a list of tail widths'


# --- lengths ---------------------------------------------------------------------------------------


def test_zero_switches_off_only_where_the_key_says_so() -> None:
    assert Length(0.01, 50, zero=True).read("0 in", "mm") == 0.0
    assert "under the least" in refused(Length(0.01, 50), 0)[0]


def test_a_sign_is_accepted_only_where_the_key_says_so() -> None:
    assert Length(0.0005, 1, signed=True).read("-0.03 mm", "mm") == -0.03
    assert refused(Length(0.5, 1), -0.7) == ("-0.7 mm is under the least", "it takes from 0.5 mm to 1 mm")
    assert refused(Length(0.5, 1, zero=True, signed=True), -2) == (
        "-2 mm is over the most",
        "it takes 0, or from 0.5 mm to 1 mm, either sign",
    )


def test_limits_are_said_in_the_recipes_units() -> None:
    assert refused(Length(25.4, 254), 11, "in") == ("11 in is over the most", "it takes from 1 in to 10 in")
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
        remedy = problem.remedy.removesuffix(", either sign").removeprefix("it takes ").removeprefix("0, or ")
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
    assert refused(Slope(), value) == (f"{in_toml(value)} is not a slope", 'give a text such as "1:7" or "8 deg"')


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
        f"{in_toml(value)} is not a whole number",
        "accepted is a whole number from 1 to 100",
    )


def test_a_count_beyond_its_limits_says_on_which_side() -> None:
    assert refused(Whole(1, 100), 0)[0] == "0 is under the limit"
    assert refused(Whole(1, 100), 101)[0] == "101 is over the limit"


@pytest.mark.parametrize("value", ["0.1", True, None, [0.1]])
def test_a_number_is_not_a_text_or_a_truth(value: object) -> None:
    assert refused(Number(-0.5, 2), value) == (
        f"{in_toml(value)} is not a number",
        "accepted is a number from -0.5 to 2",
    )


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


@pytest.mark.parametrize(
    "title",
    [
        "tool tray",
        "a",
        "Küchenschublade 2",
        "x" * 80,
        "no. 3 (left), 50 %",
        "дом",
        "7/8 drawer",
        "a\\b: c",
        "!!/::",
        "../up",
    ],
)
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
    assert remedy.startswith("accepted are up to 80 letters, digits, spaces and signs")


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
        f"{in_toml(density)} is not a valid density of wood",
        "accepted is 50 to 1500 (kg/m3 at 12 % moisture)",
    )


def own(**figures: object) -> dict[str, object]:
    """A wood of one's own with kind and density, and figures more."""
    return {"name": "pear", "kind": "hardwood", "density": 690, **figures}


def test_an_own_wood_may_tell_how_it_moves_and_what_it_holds() -> None:
    """Radial and tangential, shear and bending go together; each pair may be left out, and compression too."""
    moves, holds = {"radial": 0.0016, "tangential": 0.0031}, {"shear": 14, "bending": 98}
    source = "given in the recipe"
    bare = WoodField().read(own(), "mm")
    assert (bare.movement, bare.strength) == (None, None)
    moving = WoodField().read(own(**moves), "mm")
    assert (moving.movement, moving.strength) == (Movement(0.0016, 0.0031, source), None)
    holding = WoodField().read(own(**holds), "mm")
    assert (holding.movement, holding.strength) == (None, Strength(14.0, 98.0, None, source))
    whole = WoodField().read(own(**moves, **holds, compression=8.5), "mm")
    assert (whole.movement, whole.strength) == (Movement(0.0016, 0.0031, source), Strength(14.0, 98.0, 8.5, source))


@pytest.mark.parametrize("units", ["mm", "in"])
def test_an_own_woods_figures_are_metric_in_every_recipe(units: str) -> None:
    wood = WoodField().read(own(shear=14, bending=98), units)
    assert (wood.density, wood.strength) == (690.0, Strength(14.0, 98.0, None, "given in the recipe"))


@pytest.mark.parametrize(
    ("key", "first", "second"),
    [
        ("radial", "radial", "tangential"),
        ("tangential", "radial", "tangential"),
        ("shear", "shear", "bending"),
        ("bending", "shear", "bending"),
    ],
)
def test_one_figure_of_a_pair_alone_is_refused(key: str, first: str, second: str) -> None:
    value = own(**{key: 0.01 if key in ("radial", "tangential") else 20})
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} gives only one of {first} and {second}"
    assert remedy == "give both, or neither"


def test_compression_alone_is_refused_even_beside_movement() -> None:
    for value in (own(compression=8), own(compression=8, radial=0.0016, tangential=0.0031)):
        assert refused(WoodField(), value) == (
            f"{shown(value)} gives compression alone",
            "give shear and bending too, or leave it out",
        )


FIGURES = [
    # key, what else it needs, least, most: the limits of `fields.OWN_WOOD_LIMITS`, from outside and inside
    ("radial", {"tangential": 0.003}, 0.0001, 0.02),
    ("tangential", {"radial": 0.002}, 0.0001, 0.02),
    ("shear", {"bending": 98}, 0.5, 60),
    ("bending", {"shear": 14}, 5, 400),
    ("compression", {"shear": 14, "bending": 98}, 0.2, 60),
]


@pytest.mark.parametrize(("key", "beside", "least", "most"), FIGURES)
def test_every_figure_of_an_own_wood_has_its_limits_from_both_sides(
    key: str, beside: dict[str, float], least: float, most: float
) -> None:
    for inside in (least, most):
        WoodField().read(own(**beside, **{key: inside}), "mm")
    for outside in (least * 0.999, most * 1.001, 0, -least, math.nan, math.inf, "1", True, None, [least]):
        wrong, remedy = refused(WoodField(), own(**beside, **{key: outside}))
        assert wrong == f"{in_toml(outside)} is not a valid {key} of wood"
        assert remedy.startswith(f"accepted is {least:g} to {most:g} (")


@pytest.mark.parametrize(("key", "beside", "least", "most"), FIGURES)
def test_every_wood_of_the_list_would_be_accepted_as_ones_own(
    key: str, beside: dict[str, float], least: float, most: float
) -> None:
    """The limits shut out no wood that is printed: beech and red cedar are near both ends."""
    for name in ("beech", "red cedar", "hickory", "white pine"):
        wood = find_wood(name)
        assert wood.movement is not None
        assert wood.strength is not None
        figure = {
            "radial": wood.movement.radial,
            "tangential": wood.movement.tangential,
            "shear": wood.strength.shear_mpa,
            "bending": wood.strength.bending_mpa,
            "compression": wood.strength.compression_mpa,
        }[key]
        assert figure is not None
        assert least < figure < most
        WoodField().read(own(**beside, **{key: figure}), "mm")


def test_an_own_wood_without_density_says_so() -> None:
    value = {"name": "pear", "kind": "hardwood", "radial": 0.0016, "tangential": 0.0031}
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} names no density of wood"
    assert remedy.startswith("accepted is a table {")


def test_a_wood_with_a_key_too_many_names_it() -> None:
    value = {"name": "x", "kind": "hardwood", "density": 600, "colour": "red"}
    assert refused(WoodField(), value)[0] == "'colour' is not a property of a wood"
    two = own(tangental=0.003, radial=0.002, colour="red")
    assert refused(WoodField(), two)[0] == "'colour, tangental' is not a property of a wood"


@pytest.mark.parametrize("value", [3, ["beech"]])
def test_what_is_no_wood_says_what_is(value: object) -> None:
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} is not a wood"
    assert remedy.startswith("accepted is a name from the list of woods, or a table {")


@pytest.mark.parametrize("value", [{"density": 600}, {"kind": "wood", "density": 600}, {"name": 3, "kind": "hardwood"}])
def test_an_own_wood_says_hard_or_soft(value: object) -> None:
    wrong, remedy = refused(WoodField(), value)
    assert wrong == f"{shown(value)} names no kind of wood"
    assert remedy.startswith("accepted is a table {")


def test_the_name_of_an_own_wood_is_held_to_the_rules_of_titles() -> None:
    assert r"'\n'" in refused(WoodField(), {"name": "a\nb", "kind": "hardwood", "density": 600})[0]


def test_a_misspelt_wood_is_refused_with_the_nearest_and_the_table() -> None:
    problem = only_problem("tail_board.wood=mapel")
    assert "the nearest are 'maple', 'bigleaf maple'" in problem.wrong
    assert "density = 750" in problem.remedy


@pytest.mark.parametrize(
    ("name", "likes"),
    [
        ("oak", "the nearest are 'european oak', 'overcup oak', 'red oak', 'white oak', or"),
        ("wite oak", "the nearest are 'white oak', 'european oak', 'overcup oak', 'red oak', or"),
        ("Poplar", "the nearest is 'yellow-poplar', or"),
        ("english walnut", "the nearest is 'walnut', or"),
        ("quercus", "see the list of woods, or"),
        ("", "see the list of woods, or"),
    ],
)
def test_a_wood_that_is_not_known_lists_its_likes(name: str, likes: str) -> None:
    assert likes in refused(WoodField(), name)[0]


def test_a_wood_may_be_named_as_assumed() -> None:
    found = WoodField().read({"assumed": "Scots pine"}, "mm")
    assert found == find_wood("scots pine")
    assert (found.is_assumed, found.told) == (True, "scots pine (assumed)")
    assert not find_wood("scots pine").is_assumed


@pytest.mark.parametrize("value", [{"assumed": "beech", "density": 690}, {"assumed": True}, {"assumed": {"name": "x"}}])
def test_an_assumed_wood_is_a_name_and_nothing_more(value: dict[str, object]) -> None:
    wrong, remedy = refused(WoodField(), value)
    assert "the name of one wood and nothing more" in wrong
    advised = re.search(r"{.*?}", remedy)
    assert advised
    assert WoodField().read(tomllib.loads(f"wood = {advised[0]}")["wood"], "mm").is_assumed


def test_a_misspelt_wood_that_is_assumed_is_refused_with_the_nearest() -> None:
    assert "the nearest are 'beech', 'european beech'" in refused(WoodField(), {"assumed": "beach"})[0]


def test_the_example_of_an_own_wood_is_no_wood_of_the_list() -> None:
    """The list has pear, so nobody needs to type its figures."""
    name = re.search(r'name = "(.*?)"', OWN_WOOD)
    assert name
    assert name[1] not in wood_names()
    assert name[0] in str(recipe_schema())


# --- the air of a room -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "20 C, 50 %",
        " 20 C , 50 % ",
        "20C, 50%",
        "20 c 50 %",
        "20 C; 50.0 %",
        "20.0 °C, 50 % RH",
        "20 deg C, 50 % rh",
        "68 F, 50 %",
        "68 f, 50%",
        "68°F, 50 %",
        "68.0 deg F, 50 %",
    ],
)
def test_the_air_of_a_room_is_read_in_celsius_and_fahrenheit(text: str) -> None:
    """68 F are (68 - 32) / 1.8 = 20 C."""
    air = Air().read(text, "mm")
    assert (air.temperature_c, air.humidity) == (pytest.approx(20, rel=1e-12), 50.0)


def test_the_letter_and_not_the_recipe_says_which_degrees() -> None:
    assert Air().read("20 C, 50 %", "in") == Climate(20.0, 50.0)
    assert Air().read("50 F, 50 %", "mm").temperature_c == pytest.approx(10, rel=1e-12)


@pytest.mark.parametrize("humidity", ["5", "5.0", "50", "95"])
def test_a_humidity_of_the_published_table_is_read(humidity: str) -> None:
    assert Air().read(f"20 C, {humidity} %", "mm").humidity == float(humidity)


@pytest.mark.parametrize("humidity", ["0", "4.9", "4.999", "-5", "95.001", "95.1", "100", "140", "999"])
def test_a_humidity_beyond_the_published_table_is_refused(humidity: str) -> None:
    assert refused(Air(), f"20 C, {humidity} %") == (
        f"a humidity of {float(humidity):g} % is outside the published table of wood moisture",
        "accepted is 5 to 95 %",
    )


@pytest.mark.parametrize("temperature", ["-1 C", "0 C", "48 C", "30 F", "30.0 F", "119 F", "120 F"])
def test_a_temperature_of_the_published_table_is_read(temperature: str) -> None:
    """The table of the Wood Handbook, FPL-GTR-190 (2010), Table 4-2, reaches from 30 to 120 F."""
    degrees, letter = temperature.split()
    celsius = float(degrees) if letter == "C" else (float(degrees) - 32) * 5 / 9
    assert Air().read(f"{temperature}, 50 %", "mm").temperature_c == pytest.approx(celsius, abs=1e-12)


@pytest.mark.parametrize(
    "temperature", ["-1.3 C", "-40 C", "49 C", "100 C", "29.8 F", "0 F", "120.1 F", "212 F", "999 C"]
)
def test_a_temperature_beyond_the_published_table_is_refused(temperature: str) -> None:
    wrong, remedy = refused(Air(), f"{temperature}, 50 %")
    assert wrong == f"a temperature of {temperature} is outside the published table of wood moisture"
    assert remedy == "accepted is -1 to 48 C, or 30 to 120 F"


@pytest.mark.parametrize("end", ["-1 C", "48 C", "30 F", "120 F"])
def test_the_temperatures_that_a_message_names_are_accepted(end: str) -> None:
    remedy = refused(Air(), "100 C, 50 %")[1]
    assert end.split(maxsplit=1)[0] in remedy
    Air().read(f"{end}, 50 %", "mm")


@pytest.mark.parametrize(
    "value",
    [
        20,
        50.0,
        True,
        None,
        ["20 C", "50 %"],
        {"temperature": 20, "humidity": 50},
        "",
        "20",
        "20 C",
        "50 %",
        "20, 50",
        "20 C, 50",
        "20, 50 %",
        "50 %, 20 C",
        "20 K, 50 %",
        "C 20, 50 %",
        "twenty C, 50 %",
        "nan C, 50 %",
        "inf C, 50 %",
        "1e1 C, 50 %",
        "20,5 C, 50 %",
        "1000 C, 50 %",
        "20 C, 50 %, 20 C",
        "20 C, 50 % dry",
    ],
)
def test_what_is_no_air_says_what_is(value: object) -> None:
    assert refused(Air(), value) == (
        f"{shown(value)} is not the air of a room",
        'give temperature and humidity, as in "20 C, 50 %" or "68 F, 50 %"',
    )


@pytest.mark.parametrize("head", ["20", "20 C", "20 C,", "20 C, 50 %"])
def test_a_long_row_of_spaces_does_not_hold_up_the_reading(head: str) -> None:
    """A recipe may have a quarter of a megabyte; a tenth of that must be read in no time."""
    start = time.perf_counter()
    refused(Air(), head + " " * 20_000 + "x")
    assert time.perf_counter() - start < 1


@pytest.mark.parametrize("key", ["climate.shop", "climate.home"])
def test_a_wrong_air_is_named_with_its_key(key: str) -> None:
    assert str(only_problem(f"{key}=20 C, 140 %")) == (
        f"{key}: a humidity of 140 % is outside the published table of wood moisture; accepted is 5 to 95 %"
    )


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
        (WoodField(), own(radial=0.001, tangential=0.002), own(radial=0.1, tangential=0.2)),
        (WoodField(), own(shear=14, bending=98, compression=8), own(shear=14, bending=980)),
        (Air(), "20 C, 50 %", "20 K, 50 %"),
        (Air(), "68.5 °F; 50 % RH", "68.5"),
        (Air(), "-1 deg C 50 %", 20),
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
