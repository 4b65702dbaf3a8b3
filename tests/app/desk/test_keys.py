"""The controls of the page follow from the keys of a recipe, so that a new key needs no new page."""

from __future__ import annotations

import copy
from typing import Any

import pytest
import tomlkit

from solids.app.desk.keys import controls, values_of
from solids.app.desk.keys.controls import FIRST, KINDS, field_of, rule_of
from solids.app.desk.piece.state import read, state_of
from solids.base.errors import RecipeError
from solids.base.messages import Units
from solids.recipe import box_preset_names, preset_names, preset_text
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.fields import Rule
from solids.recipe.tables.keys import take_at
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.frozen import frozen_toml
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.toml import parse_toml

CONTROLS = {one["key"]: one for one in controls(NO_SHOP)}


def every_rule(of: type[Rule] = Rule) -> set[type[Rule]]:
    return {found for each in of.__subclasses__() for found in (each, *every_rule(each))}


def test_every_key_has_a_control_and_every_control_a_key() -> None:
    assert list(CONTROLS) == list(known_keys())
    assert set(CONTROLS) >= FIRST, "what is shown first is there at all"


def test_every_control_says_what_it_is_in_words() -> None:
    for key, one in CONTROLS.items():
        assert one["about"], key
        assert all(one["examples"].values()), key
        assert one["words"][0].isupper(), key
        assert "_" not in one["words"] + one["group"], key
        assert set(one) == set(CONTROLS["title"])


@pytest.mark.parametrize(
    ("key", "group", "words"),
    [
        ("title", "", "Title"),
        ("joint.mitre.other", "Joint, Mitre", "Other"),
        ("box.length", "Box", "Length"),
        ("box.groove.up", "Groove", "Above the reference edge"),
        ("box.panel.wood", "Bottom", "Wood"),
        ("box.front.wood", "Front", "Wood"),
        ("box.joints.front.tails", "Front corners", "Tails"),
        ("box.joints.back_left.undercut.depth", "Back left corner, Undercut", "Depth"),
        ("aids.marker.leg", "Marking template", "Leg"),
    ],
)
def test_keys_are_told_in_words_of_the_trade(key: str, group: str, words: str) -> None:
    assert (CONTROLS[key]["group"], CONTROLS[key]["words"]) == (group, words)


def test_every_kind_of_value_of_a_recipe_has_a_kind_of_control() -> None:
    used = {type(rule) for rule in KINDS}
    assert used
    here = {
        rule for rule in every_rule() if rule.__module__.startswith("solids.") and not rule.__name__.startswith("_")
    }
    assert here <= set(KINDS), "a rule without a control has a plain field; name it all the same"


@pytest.mark.parametrize(
    ("key", "kind", "least", "most", "rare", "piece"),
    [
        ("joint.tails", "whole", 1, 100, False, "both"),
        ("joint.slope", "slope", None, None, False, "both"),
        ("tail_board.proud", "length", 0.0, 50.0, True, "both"),
        ("fit.flank_gap", "length", -1.0, 1.0, True, "both"),
        ("joint.look", "choice", None, None, False, "both"),
        ("paper.corner_relief", "yes-no", None, None, True, "both"),
        ("kit.chisels", "sizes", None, None, True, "both"),
        ("print.bed", "pair", None, None, True, "both"),
        ("joint.flanks", "list", None, None, True, "both"),
        ("climate.home.dry", "air", None, None, True, "both"),
        ("box.groove.width", "length", 0.0, 500.0, False, "box"),
        ("author", "text", None, None, True, "both"),
    ],
)
def test_single_controls(key: str, kind: str, least: Any, most: Any, rare: bool, piece: str) -> None:
    one = CONTROLS[key]
    assert (one["kind"], one["least"], one["most"], one["rare"], one["piece"]) == (kind, least, most, rare, piece)


def test_choices_are_those_of_the_key_and_woods_of_the_shop_come_first() -> None:
    assert CONTROLS["joint.look"]["choices"] == ["fine", "stout"]
    assert CONTROLS["joint.spacing"]["choices"] == ["even", "graduated", "by eye"]
    shop = shop_of({"woods": {"plum": {"kind": "hardwood", "density": 750}}})
    (wood,) = [one for one in controls(shop) if one["key"] == "pin_board.wood"]
    assert wood["choices"][0] == "plum"
    assert "maple" in " ".join(wood["choices"])


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        ("joint.tails", "5", 5),
        ("joint.tails", 5, 5),
        ("joint.pin", "3/4 in", "3/4 in"),
        ("joint.pin", "[3, 4]", [3, 4]),
        ("joint.slope", "1:7", "1:7"),
        ("joint.allow_thin_half_pin", "true", True),
        ("title", "2026", "2026"),
        ("title", " [a] ", "[a]"),
        ("author", "true", "true"),
        ("date", "2026-11-29", "2026-11-29"),
        ("tail_board.wood", "beech", "beech"),
        ("tail_board.wood", '{ name = "plum", density = 7 }', {"name": "plum", "density": 7}),
        ("joint.pin", "3, 4", [3, 4]),
        ("joint.pin", "3,4", "3,4"),
        ("joint.pin", "[1/8 in, 5/32 in]", ["1/8 in", "5/32 in"]),
        ("joint.pin", "[1/8 in; 5/32 in]", ["1/8 in", "5/32 in"]),
        ("joint.pin", "1/8 in; '5/32 in'", ["1/8 in", "5/32 in"]),
        ("joint.spacing", "even", "even"),
        ("joint.spacing", "18, 19.5; 18", [18, 19.5, 18]),
        ("joint.edges", "half pin, half tail", ["half pin", "half tail"]),
        ("joint.flanks", "[[8, 9.5], [28, 26.5]]", [[8, 9.5], [28, 26.5]]),
        ("kit.chisels", "3, 6, 10", [3, 6, 10]),
        ("kit.chisels", "19,5", ["19,5"]),
        ("kit.chisels", "6", [6]),
        ("climate.shop", "20 C, 50 %", "20 C, 50 %"),
        ("tail_board.wood", "oak, white", "oak, white"),
        ("title", "one, two", "one, two"),
        ("joint.pin", "", None),
        ("joint.pin", None, None),
    ],
)
def test_what_is_typed_is_read_as_in_a_recipe(key: str, typed: Any, value: Any) -> None:
    assert values_of({key: typed}) == {key: value}


@pytest.mark.parametrize("key", ["joint", "joint.", "", "joint.tails.x", "x" * 500, "__class__", "box.joints.front"])
def test_what_is_no_key_is_refused(key: str) -> None:
    with pytest.raises(RecipeError):
        values_of({key: "1"})


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf"])
def test_a_number_without_end_is_told_as_one(typed: str) -> None:
    with pytest.raises(RecipeError) as caught:
        values_of({"box.front.lip.thickness": typed})
    assert str(caught.value.told[0]) == f"box.front.lip.thickness: {typed} is not a finite number; give a number"


@pytest.mark.parametrize(
    ("key", "in_mm", "in_inches"),
    [
        ("joint.width", "96", "4 in"),
        ("joint.pin", "3", "1/8 in"),
        ("tail_board.cup", "0", "0"),
        ("fit.sigma", "0.05", "0.002 in"),
        ("kit.chisels", "3, 6, 10, 12", "1/8 in, 1/4 in, 3/8 in, 1/2 in"),
        ("joint.tails", "4", "4"),
        ("joint.grading", "0.15", "0.15"),
        ("joint.slope", "1:7", "1:7"),
        ("climate.shop", "20 C, 55 %", "68 F, 55 %"),
    ],
)
def test_examples_are_in_the_units_of_the_recipe(key: str, in_mm: str, in_inches: str) -> None:
    assert CONTROLS[key]["examples"] == {"mm": in_mm, "in": in_inches}


@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_example_is_accepted_as_it_is_typed(units: Units) -> None:
    """Each as the value of its key, read as a recipe of those units reads it."""
    for key, one in CONTROLS.items():
        for example in filter(None, (one["examples"], one["lists"])):
            rule = rule_of(field_of(key))
            value = values_of({key: example[units]})[key]
            assert value is not None
            if rule and not key.startswith("climate.home."):
                rule.read(value, units)


def test_only_spacing_is_a_choice_or_a_list() -> None:
    found = {key.rpartition(".")[2] for key, one in CONTROLS.items() if one["lists"]}
    assert found == {"spacing"}
    assert CONTROLS["joint.spacing"]["lists"] == {"mm": "20, 25, 20", "in": "3/4 in, 1 in, 3/4 in"}


def test_what_a_key_means_is_said_without_a_command() -> None:
    assert [key for key, one in CONTROLS.items() if "halfpin" in one["about"] or "`" in one["about"]] == []


@pytest.mark.parametrize("name", [*preset_names(), *box_preset_names()])
def test_what_stands_in_for_a_key_is_told_as_it_is(name: str) -> None:
    """Each key of a recipe in which nothing is left to choose is taken out by itself: it is missing where the control
    said that it is needed; else a value stands in its place where the control spoke of a rule."""
    plan = read(preset_text(name), NO_SHOP).plan
    assert plan
    full = frozen_toml(plan.recipe)
    tables = parse_toml(full, name)
    keys = state_of(read(full, NO_SHOP), None)["keys"]
    tried = 0
    for key, one in keys.items():
        if one["by"] != "you" or key == "joint.look":  # with all that it chooses given, a look chooses nothing
            continue
        less = copy.deepcopy(tables)
        take_at(less, key)
        after = read(tomlkit.dumps(less), NO_SHOP)
        tried += 1
        missing = {told.key for told in after.problems if "is missing" in told.wrong}
        assert one["needed"] == bool(missing & {key, key.replace("inside_", "")}), key
        if after.plan and not key.startswith("box.joints."):
            assert bool(state_of(after, None)["keys"][key]["shown"]) == CONTROLS[key]["has_rule"], key
    assert tried > 30
