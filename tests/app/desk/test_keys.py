"""The controls of the page follow from the keys of a recipe, so that a new key needs no new page."""

from __future__ import annotations

from typing import Any

import pytest

from solids.app.desk.keys import FIRST, KINDS, controls, values_of
from solids.base.errors import RecipeError
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.fields import Rule
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.shop_file import shop_of

CONTROLS = {one["key"]: one for one in controls(NO_SHOP)}


def every_rule(of: type[Rule] = Rule) -> set[type[Rule]]:
    return {found for each in of.__subclasses__() for found in (each, *every_rule(each))}


def test_every_key_has_a_control_and_every_control_a_key() -> None:
    assert list(CONTROLS) == list(known_keys())
    assert set(CONTROLS) >= FIRST, "what is shown first is there at all"


def test_every_control_says_what_it_is_in_words() -> None:
    for key, one in CONTROLS.items():
        assert one["about"], key
        assert one["example"], key
        assert one["words"][0].isupper(), key
        assert "_" not in one["words"] + one["group"], key
        assert set(one) == set(CONTROLS["title"])


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
        ("kit.chisels", "list", None, None, True, "both"),
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
