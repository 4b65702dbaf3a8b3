"""A maker's own shop behind a recipe: the recipe's own word goes first, then the shop's, then the tool's rule."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace

import jsonschema
import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings

from solids.base.errors import InputError, RecipeError
from solids.layout.plan import plan_of
from solids.recipe import Recipe, box_preset_names, preset_names, preset_text
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.resolved import Choice, Magnet
from solids.recipe.tables.schema import ShopTables, known_keys, recipe_schema, shop_schema
from solids.recipe.text.frozen import added, frozen_toml
from solids.recipe.text.reading import check_box, check_piece, check_recipe
from solids.recipe.text.shop_file import shop_examples, shop_of
from solids.recipe.text.toml import Raw, apply_override
from solids.wood import Climate
from tests.recipes import MINIMAL, recipe_texts

FULL = """
units = "in"
[kit]
chisels = ["6 mm", "1/2 in"]
saw_kerf = "0.6 mm"
knife = "0.7 mm"
cutters = ["3 mm", "1/4 in"]
bush = "16 mm"
[glue]
kind = "epoxy glue"
open_time = 22
assembly_time = 44
clamp_time = 700
spread = 240
[climate]
shop = "16 C, 60 %"
home = { dry = "20 C, 30 %", damp = "24 C, 70 %" }
[paper]
size = "A3"
corner_relief = true
[print]
bed = ["180 mm", "190 mm"]
nozzle = "0.6 mm"
clearance = "0.25 mm"
magnet = { diameter = "8 mm", thickness = "3 mm" }
[woods]
plum = { kind = "hardwood", density = 750, radial = 0.0019, tangential = 0.0034 }
"bog oak" = { kind = "hardwood", density = 810 }
"""
"""Every key that a shop can have, but for one that goes with air that nobody measured; none as a rule would choose."""


def shop(text: str = FULL) -> Shop:
    return shop_of(tomllib.loads(text))


def raw(*overrides: str, text: str = MINIMAL) -> Raw:
    tables = tomllib.loads(text)
    for item in overrides:
        assert apply_override(tables, item) is None
    return tables


def made(*overrides: str, of: str = FULL) -> Recipe:
    return check_recipe(raw(*overrides), (), shop(of))


def from_shop(recipe: Recipe) -> dict[str, Choice]:
    return {choice.key: choice for choice in recipe.choices if choice.source == "shop.toml"}


IN_MM = 'units = "mm"\n' + FULL.partition("\n")[2].partition("\n")[2]


def test_what_the_recipe_leaves_out_is_the_shops() -> None:
    recipe = made(of=IN_MM)
    assert recipe.kit.chisels == (6.0, 12.7)
    assert (recipe.kit.saw_kerf, recipe.kit.knife, recipe.kit.bush) == (0.6, 0.7, 16.0)
    assert recipe.kit.cutters == (3.0, 6.35)
    assert recipe.shop == Climate(16.0, 60.0)
    assert (recipe.home.dry, recipe.home.damp) == (Climate(20.0, 30.0), Climate(24.0, 70.0))
    assert not recipe.air_is_assumed
    assert (recipe.paper.size, recipe.paper.corner_relief) == ("A3", True)
    assert recipe.printing.bed == (180.0, 190.0)
    assert recipe.printing.magnet == Magnet(8.0, 3.0)
    assert (recipe.printing.nozzle, recipe.printing.clearance) == (0.6, 0.25)


def test_the_recipes_own_word_goes_first() -> None:
    own = ("kit.chisels=[4]", "paper.size=Letter", "climate.shop=10 C, 50 %", "print.nozzle=0.3")
    recipe = made(*own, of=IN_MM)
    assert recipe.kit.chisels == (4.0,)
    assert recipe.paper.size == "Letter"
    assert recipe.shop == Climate(10.0, 50.0)
    assert recipe.printing.nozzle == 0.3
    assert not {"kit.chisels", "paper.size", "climate.shop", "print.nozzle"} & set(from_shop(recipe))
    assert recipe.kit.knife == 0.7, "beside it, the shop still says the rest of the table"


def test_every_value_of_the_shop_is_listed_once_and_as_such() -> None:
    recipe = made(of=IN_MM)
    keys = [choice.key for choice in recipe.choices]
    assert len(keys) == len(set(keys))
    assert all(choice.rule == "from your shop" for choice in from_shop(recipe).values())
    listed = {key: choice.value for key, choice in from_shop(recipe).items()}
    assert listed["kit.chisels"] == "6 mm, 12.7 mm"
    assert listed["kit.saw_kerf"] == "0.6 mm"
    assert listed["climate.shop"] == "16 C, 60 %"
    assert listed["climate.home.dry"] == "20 C, 30 %"
    assert listed["print.bed"] == "180 mm x 190 mm"
    assert listed["print.magnet"] == "8 mm by 3 mm"
    assert listed["paper.corner_relief"] == "true"
    assert listed["units"] == "mm"
    expected = set(known_keys()) & {f"{table}.{key}" for table, keys in shop().tables.items() for key in keys}
    assert expected - {"climate.home"} <= set(listed)


def test_no_shop_leaves_everything_as_it_was() -> None:
    assert check_recipe(raw(), (), NO_SHOP) == check_recipe(raw()) == check_recipe(raw(), (), shop(""))


# --- units ---------------------------------------------------------------------------------------


def test_units_of_the_shop_are_those_of_a_recipe_that_names_none() -> None:
    inches = shop('units = "in"')
    tables = raw("joint.width=4", "tail_board.thickness=0.5", "pin_board.thickness=0.5")
    recipe = check_recipe(tables, (), inches)
    assert (recipe.units, recipe.width, recipe.tail_board.thickness) == ("in", 101.6, 12.7)
    assert check_recipe(tables | {"units": "mm", "joint": {"width": 96}, **BOARDS}, (), inches).width == 96


BOARDS = {"tail_board": {"thickness": 10}, "pin_board": {"thickness": 12}}


def test_plain_numbers_of_a_shop_are_in_its_own_units() -> None:
    """An inch recipe beside a shop that names no units: its saw is measured in millimetres."""
    tables = raw("units=in", "joint.width=4", "tail_board.thickness=0.5", "pin_board.thickness=0.5")
    assert check_recipe(tables, (), shop("[kit]\nsaw_kerf = 0.6")).kit.saw_kerf == 0.6
    assert check_recipe(tables, (), shop('units = "in"\n[kit]\nsaw_kerf = 0.02')).kit.saw_kerf == pytest.approx(0.508)
    assert check_recipe(raw("units=mm"), (), shop('units = "in"\n[kit]\nsaw_kerf = 0.02')).kit.saw_kerf == 0.508


@pytest.mark.parametrize("name", [*preset_names(), *box_preset_names()])
def test_a_preset_is_the_same_size_in_a_shop_of_inches(name: str) -> None:
    tables = tomllib.loads(preset_text(name))
    ours, plain = (check_piece(tables, (), one) for one in (shop('units = "in"'), NO_SHOP))
    assert ours == plain


# --- woods ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["plum", "Plum", "bog oak", "Bog-Oak"])
def test_a_wood_of_the_shop_is_named_as_any_wood(name: str) -> None:
    recipe = made(f"pin_board.wood={name}", of=IN_MM)
    wood = recipe.pin_board.wood
    assert (wood.name, wood.density) == (("plum", 750) if "lum" in name else ("bog oak", 810))
    assert recipe.tail_board.wood == wood, "the other board takes it, as it would any"
    listed = from_shop(recipe)["pin_board.wood"]
    assert (listed.value, listed.chosen) == (wood.name, wood)
    assert "from your shop" in listed.rule


def test_a_wood_of_the_shop_goes_before_one_of_the_list() -> None:
    own = '[woods]\ncherry = { kind = "hardwood", density = 999 }'
    assert made("tail_board.wood=cherry", of=own).tail_board.wood.density == 999
    assert made("tail_board.wood=walnut", of=own).tail_board.wood.density < 800


def test_the_woods_of_a_box() -> None:
    tables = raw(
        "tail_board.wood=plum", "box.front.wood=bog oak", "box.panel.wood=plum", text=preset_text("keepsake-box")
    )
    box = check_box(tables, (), shop())
    assert box.corners["front left"].tail_board.wood.name == "plum"
    assert box.corners["front left"].pin_board.wood.name == "bog oak"
    assert box.panel.wood.density == 750
    keys = [choice.key for choice in box.choices]
    assert all(keys.count(key) == 1 for key in ("tail_board.wood", "box.front.wood", "box.panel.wood", "kit.chisels"))


# --- air -----------------------------------------------------------------------------------------

DRY, DAMP = Climate(20.0, 30.0), Climate(24.0, 70.0)


def test_a_season_that_the_recipe_leaves_out_is_the_shops() -> None:
    recipe = made('climate.home={dry="19 C, 40 %"}', of=IN_MM)
    assert (recipe.home.dry, recipe.home.damp) == (Climate(19.0, 40.0), DAMP)
    assert "climate.home.damp" in from_shop(recipe)
    assert "climate.home.dry" not in from_shop(recipe)
    assert made("climate.home={}", of=IN_MM).home.dry == DRY


def test_one_air_for_the_home_stands_alone() -> None:
    recipe = made("climate.home=19 C, 40 %", of=IN_MM)
    assert recipe.home.dry == Climate(19.0, 40.0)
    assert recipe.home.damp != DAMP
    assert not any(key.startswith("climate.home") for key in from_shop(recipe))


def test_a_season_that_would_turn_the_year_round_is_left_out() -> None:
    recipe = made('climate.home={dry="20 C, 85 %"}', of=IN_MM)
    assert recipe.home.dry == Climate(20.0, 85.0)
    assert recipe.home.damp.moisture >= recipe.home.dry.moisture


def test_one_air_in_the_shop_is_the_season_that_it_names() -> None:
    recipe = made(of='[climate]\nshop = "18 C, 60 %"\nhome = "21 C, 35 %"')
    assert recipe.home.dry == Climate(21.0, 35.0)
    assert "climate.home.dry" in from_shop(recipe)
    assert "climate.home.damp" not in from_shop(recipe), "a rule chose it"
    assert len([choice for choice in recipe.choices if choice.key.startswith("climate.home")]) == 2


def test_air_that_nobody_measured_stays_so_until_a_recipe_names_its_own() -> None:
    assumed = '[climate]\nshop = "18 C, 60 %"\nassumed = true'
    assert made(of=assumed).air_is_assumed
    assert not made("climate.shop=10 C, 50 %", of=assumed).air_is_assumed
    assert not made(of='[climate]\nshop = "18 C, 60 %"').air_is_assumed


# --- frozen --------------------------------------------------------------------------------------

MEASURED = tuple(f"{key} mm" for key in ("joint.width=96", "tail_board.thickness=10", "pin_board.thickness=12"))
"""Lengths that no units change."""

CASES = {
    "minimal": (MINIMAL, (*MEASURED, "tail_board.wood=plum")),
    "own air": (MINIMAL, ("units=mm", 'climate.home={dry="19 C, 40 %"}', "pin_board.wood=bog oak")),
    **{name: (preset_text(name), ()) for name in (*preset_names(), *box_preset_names())},
    "a box of own woods": (preset_text("desk-drawer"), ("box.front.wood=plum", "box.panel.wood=bog oak")),
}
WOODS = FULL[FULL.index("[woods]") :]
SHOPS = {
    "in inches": FULL,
    "in mm": IN_MM,
    "one air": f'[climate]\nhome = "21 C, 35 %"\n{WOODS}',
    "a knife": f"[kit]\nknife = 1\n{WOODS}",
}
ANOTHER = 'units = "in"\n[climate]\nshop = "5 C, 80 %"\n[print]\nnozzle = "0.8 mm"\n[paper]\nsize = "Letter"'


@pytest.mark.parametrize("of", SHOPS)
@pytest.mark.parametrize("case", CASES)
def test_a_frozen_recipe_holds_what_the_shop_said(case: str, of: str) -> None:
    """Read where there is no shop, it is the same with nothing left to choose; nor does another shop change it."""
    text, overrides = CASES[case]
    tables = raw(*overrides, text=text)
    recipe = check_piece(tables, (), shop(SHOPS[of]))
    again = tomllib.loads(frozen_toml(recipe))
    assert bare(check_piece(again)) == bare(recipe)
    assert added(check_piece(again)) == ()
    assert settings(check_piece(again, (), shop(ANOTHER))) == settings(recipe)


def bare(recipe: object) -> object:
    if isinstance(recipe, Recipe):
        return replace(recipe, choices=())
    corners = {name: replace(corner, choices=()) for name, corner in recipe.corners.items()}  # type: ignore[attr-defined]
    return replace(recipe, choices=(), corners=corners, written={})  # type: ignore[type-var]


def settings(recipe: object) -> object:
    """What another shop must not change: sizes, air, paper and printer."""
    if isinstance(recipe, Recipe):
        return recipe.units, recipe.width, recipe.tail_board, recipe.shop, recipe.home, recipe.paper, recipe.printing
    return [settings(corner) for corner in recipe.corners.values()]  # type: ignore[attr-defined]


@given(recipe_texts())
@hypothesis_settings(max_examples=25)
def test_any_frozen_recipe_holds_what_the_shop_said(text: str) -> None:
    try:
        recipe = check_recipe(tomllib.loads(text), (), shop(IN_MM))
    except InputError:
        return
    again = check_recipe(tomllib.loads(frozen_toml(recipe)))
    assert bare(again) == bare(recipe)


# --- errors and schema ---------------------------------------------------------------------------

WOOD = 'woods.plum = { kind = "hardwood", density = 750 }\n'
BAD = {
    "[kit]\nchisels = 3": "shop.toml, kit.chisels: 3 is not a list; write a list, as in [3, 6, 10]",
    "[kit]\nchisel = [3]": "shop.toml, kit.chisel: is not a key of a shop; the nearest known key is kit.chisels",
    "[kit]\ngauge = 1": "shop.toml, kit.gauge: is not a key of a shop; the nearest known key is",
    "[joint]\ntails = 3": "shop.toml, joint: belongs to a single recipe; write it there",
    "kit = 3": "shop.toml, kit: 3 is not a table",
    "woods = 3": "shop.toml, woods: 3 is not a table; write a table, as in [woods.plum]",
    'units = "cm"': 'shop.toml, units: \'cm\' is not known here; accepted is "mm" or "in"',
    '[paper]\nsize = "A5"': 'shop.toml, paper.size: \'A5\' is not known here; accepted is "A4" or "Letter" or "A3"',
    '[woods]\nplum = { kind = "hardwood" }': "shop.toml, woods.plum: {kind = 'hardwood'} names no density of wood",
    '[woods]\n"a\\tb" = { kind = "hardwood", density = 700 }': "shop.toml, woods.'a\\tb': the name of the wood has",
    WOOD + WOOD.replace("plum", "Plum"): "shop.toml, woods.Plum: is told from 'plum' by case, spaces and hyphens alone",
    "[print]\nbed = [220]": "shop.toml, print.bed: has too few values; write as many as in [220, 220]",
    'title = "x"': "shop.toml, title: belongs to a single recipe; write it there",
    "[kit]\nsaw_kerf = 2025-01-01": "shop.toml, kit.saw_kerf: datetime.date(2025, 1, 1) is not a length",
}


@pytest.mark.parametrize("text", BAD)
def test_what_a_shop_cannot_hold_is_refused_by_file_and_key(text: str) -> None:
    with pytest.raises(RecipeError) as caught:
        shop(text)
    (told,) = caught.value.told
    assert str(told).startswith(BAD[text])


@pytest.mark.parametrize(
    "text", ["[kit]\nchisels = 3", "[kit]\nknife = 300", '[climate]\nshop = "20"', "[print]\nnozzle = 9"]
)
def test_a_key_is_refused_in_the_same_words_as_in_a_recipe(text: str) -> None:
    with pytest.raises(RecipeError) as ours:
        shop(text)
    with pytest.raises(RecipeError) as theirs:
        check_recipe(tomllib.loads(MINIMAL + text))
    assert [f"shop.toml, {told}" for told in theirs.value.told] == list(map(str, ours.value.told))


def test_all_that_is_wrong_comes_at_once() -> None:
    with pytest.raises(RecipeError) as caught:
        shop('units = "cm"\n[kit]\nknife = 300\nchisel = 3\n')
    assert [told.key for told in caught.value.told] == [
        "shop.toml, units",
        "shop.toml, kit.knife",
        "shop.toml, kit.chisel",
    ]


def test_the_schema_takes_what_the_tool_takes() -> None:
    validator = jsonschema.Draft202012Validator(shop_schema())
    validator.check_schema(shop_schema())
    for tables in (tomllib.loads(FULL), tomllib.loads(IN_MM), {}, shop_examples()):
        validator.validate(tables)
        shop_of(json.loads(json.dumps(tables)))
    assert not validator.is_valid({"kit": {"gauge": 1}})
    assert not validator.is_valid({"joint": {}})


def test_a_shop_has_the_tables_of_a_recipe_and_no_others() -> None:
    ours, theirs = shop_schema(), recipe_schema()
    for name in set(ShopTables.model_fields) - {"author", "units", "woods"}:
        table = ours["properties"][name]["$ref"].rpartition("/")[2]
        assert ours["$defs"][table] == theirs["$defs"][table]


def test_a_remedy_is_tried_with_the_shop_behind_it() -> None:
    """Without its own wood and units the recipe would be refused for other reasons, and the remedy be lost."""
    tables = raw("joint.width=4", "tail_board.thickness=0.5", "pin_board.thickness=0.5", "finish.planing=1 in")
    with pytest.raises(RecipeError) as caught:
        plan_of(tables, (), shop('units = "in"'))
    (told,) = caught.value.told
    assert told.tries == ("1/4 in",)
