"""Dividers in a recipe: what is chosen where the maker leaves it out, and how one of a list of tables is named."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.errors import RecipeError
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.keys import put_at, value_at
from solids.recipe.tables.schema import is_key, list_of
from solids.recipe.text.editing import with_added, without
from solids.recipe.text.freezing import frozen_text
from solids.recipe.text.frozen import added
from solids.recipe.text.reading import check_box
from solids.recipe.text.shop_file import settings_in
from solids.recipe.text.toml import Added, apply_override, parse_toml
from tests.boxes import raw_from
from tests.dividers import TRAY, recipe_of

INCHES = """
title = "divided tray"
units = "in"
[tail_board]
thickness = "7/16 in"
[pin_board]
thickness = "1/2 in"
[box]
length = 12
width = 8
height = "3 1/4 in"
[box.groove]
[[box.divider]]
at = 3
[[box.divider]]
at = "7 5/8 in"
joint = "sliding dovetail"
[[box.divider]]
runs = "along"
"""


def test_what_is_left_out_follows_by_rule() -> None:
    """Boards of 10 mm: two thirds of them is 6.67, so 7 mm; a third is 3.33, so 3.5 mm. The boards are 80 high and the
    bottom's face is 6.5 + 6 = 12.5 up: 80 - 12.5 - 3 = 64.5. One divider alone runs along: (180 - 7) / 2 = 86.5."""
    one, two, three = recipe_of(TRAY).dividers
    assert (one.runs, two.runs, three.runs) == ("across", "across", "along")
    assert {(each.thickness, each.depth, each.up, each.height) for each in (one, two, three)} == {(7, 3.5, 12.5, 64.5)}
    assert three.at == 86.5
    assert {each.wood.name for each in (one, two, three)} == {"cherry"}
    assert (one.ratio, one.taper) == (0, 0)
    assert (two.ratio, two.taper) == (8, 1.5)


def test_dividers_without_a_place_stand_evenly() -> None:
    """280 mm less three times 7 is 259, in four spaces: 64.75 each."""
    text = TRAY.replace("at = 90\n", "").replace("at = 190\n", "").replace('runs = "along"', 'runs = "across"')
    assert [each.at for each in recipe_of(text).dividers] == pytest.approx([64.75, 136.5, 208.25])


def test_a_divider_that_moves_more_than_the_boards_is_made_lower() -> None:
    """Beech between cherry, in boards so high that it grows over 3 mm more than they do."""
    high = recipe_of(TRAY.replace("= 80", "= 1900"), "box.divider.1.wood=beech").dividers[0]
    assert high.grows > high.sides_grow
    assert 1900 - high.top == pytest.approx((1900 - 12.5) * (high.grows - high.sides_grow), abs=0.5)
    assert 1900 - high.top > 3


def test_every_choice_is_told_with_its_rule() -> None:
    told = {choice.key for choice in recipe_of(TRAY).choices if choice.key.startswith("box.divider")}
    assert {"box.divider.1.runs", "box.divider.2.taper", "box.divider.3.at", "box.divider.3.wood"} <= told
    assert not told & {"box.divider.1.at", "box.divider.1.slope", "box.divider.3.runs"}


@pytest.mark.parametrize("text", [TRAY, INCHES])
def test_a_frozen_recipe_reads_back_to_the_last_bit(text: str, tmp_path: Path) -> None:
    """`frozen_text` itself refuses to hand out another box; and each comment of the maker is still there."""
    file = tmp_path / "tray.toml"
    file.write_text(text.replace("[[box.divider]]", "[[box.divider]] # from the sketch"), "utf-8")
    frozen = frozen_text(file, recipe_of(text))
    assert "# from the sketch" in frozen
    again = check_box(parse_toml(frozen, "frozen"))
    assert again.dividers == recipe_of(text).dividers
    assert not added(again)


def test_the_units_of_the_recipe_hold_in_every_table_of_a_list() -> None:
    dividers = recipe_of(
        TRAY.replace("[tail_board]", 'units = "in"\n[tail_board]')
        .replace("= 10\n", '= "10 mm"\n')
        .replace("300", '"300 mm"')
        .replace("200", '"200 mm"')
        .replace("80", '"80 mm"')
        .replace("up = 6.5", 'up = "6.5 mm"')
        .replace("at = 90", "at = 3")
        .replace("at = 190", "at = 7.5")
    ).dividers
    assert [each.at for each in dividers[:2]] == [76.2, 190.5]


def test_a_wood_of_the_shop_has_its_figures_in_a_divider_too() -> None:
    shop = settings_in({"woods": {"plum": {"kind": "hardwood", "density": 750}}})
    assert isinstance(shop, Shop)
    box = check_box(raw_from(TRAY, "tray", "box.divider.2.wood=plum"), shop=shop)
    assert box.dividers[1].wood.density == 750
    with pytest.raises(RecipeError, match="plum"):
        check_box(raw_from(TRAY, "tray", "box.divider.2.wood=plum"), shop=NO_SHOP)


REFUSED = [
    ("box.divider=3", "box.divider: 3 is no list of tables; write each as [[box.divider]], its keys below it"),
    ("box.divider={at = 3}", "box.divider: is a single table, and there may be several; write each as [[box.divider]]"),
    ("box.divider=[{at = true}]", "box.divider.1.at: true is not a length"),
    ("box.divider=[{at = [{x = false}]}]", "box.divider.1.at: [{x = false}] is not a length"),
    ("box.divider=[1]", "box.divider.1: 1 is not a table; write each as [[box.divider]]"),
    ("box.divider.3.to=1", "every divider ends in two opposite boards, and where two cross they are halved"),
    ("box.divider.2.hight=3", "the nearest known key is box.divider.2.height"),
    ("box.divider.2.colour=3", "[[box.divider]] takes runs, at, thickness"),
    ("box.divider.2.slope=steep", "box.divider.2.slope: 'steep' is not a slope"),
    ("box.divider.1.slope=1:7", "a plain housing has none; leave it out, or take box.divider.1.joint"),
    ("box.divider.2.housing=stopped", "goes in along its housing, which must be open where it does"),
    ("box.divider.1.runs=along", "box.divider.3.at: is missing, and box.divider.1.at is given"),
    ("box.divider.1.up=79.9", "leaves no height for a divider in boards 80 mm high"),
]


@pytest.mark.parametrize(("override", "words"), REFUSED, ids=[override for override, _ in REFUSED])
def test_what_no_divider_has_is_refused_by_its_number(override: str, words: str) -> None:
    with pytest.raises(RecipeError) as caught:
        recipe_of(TRAY, override)
    assert words in str(caught.value)


def test_an_override_of_a_divider_that_is_not_there_names_no_other_tables() -> None:
    problem = apply_override(parse_toml(TRAY.partition("[[")[0], "tray"), "box.divider.1.at=3")
    assert problem is not None
    told = "box.divider.1.at: there is no [[box.divider]] in the recipe; write [[box.divider]], its keys below it"
    assert str(problem.told()) == told


def test_more_dividers_than_a_box_takes_are_refused() -> None:
    with pytest.raises(RecipeError, match="accepted are up to 40"):
        recipe_of(TRAY + "[[box.divider]]\n" * 40)


@pytest.mark.parametrize(
    ("override", "words"),
    [
        ("box.divider.4.at=3", "divider is a list of tables, and has no number '4'; name one by its number, 1 to 3"),
        ("box.divider.first.at=3", "has no number 'first'"),
        ("box.divider.0.at=3", "has no number '0'"),
        ("box.divider.1=3", "is one of a list of tables; name a key of it, as in box.divider.1.at"),
    ],
)
def test_an_override_names_one_of_a_list_by_its_number(override: str, words: str) -> None:
    problem = apply_override(parse_toml(TRAY, "tray"), override)
    assert problem is not None
    told = problem.told()
    assert words in f"{told.wrong}; {told.remedy}"


def test_keys_of_a_list_are_known_by_any_number() -> None:
    assert is_key("box.divider.12.at")
    assert list_of("box.divider.12.at") == "box.divider"
    assert not is_key("box.divider.12.it")
    assert not is_key("box.divider.at")
    assert list_of("box.dividers.1.at") == ""


@given(st.integers(1, 3), st.sampled_from(["at", "height", "wood"]), st.integers(1, 500))
def test_what_is_put_at_a_key_of_a_list_is_found_there(number: int, name: str, value: int) -> None:
    raw = parse_toml(TRAY, "tray")
    key = f"box.divider.{number}.{name}"
    put_at(raw, key, value)
    assert value_at(raw, key) == value
    assert raw["box"]["divider"][number - 1][name] == value


def test_a_key_is_added_to_one_table_of_a_list_and_taken_out_again() -> None:
    longer = with_added(TRAY, (Added("box.divider.2.height", 40, "why not"),))
    assert parse_toml(longer, "tray")["box"]["divider"][1] == {"at": 190, "joint": "sliding dovetail", "height": 40}
    assert "height = 40 # why not" in longer
    assert parse_toml(without(longer, "box.divider.2.height"), "tray") == parse_toml(TRAY, "tray")


def test_a_list_of_tables_that_is_set_whole_replaces_the_one_that_was_there() -> None:
    shorter = with_added(TRAY, (Added("box.divider", [{"at": 50}], ""),))
    assert parse_toml(shorter, "tray")["box"]["divider"] == [{"at": 50}]
    assert parse_toml(without(shorter, "box.divider"), "tray")["box"].keys() == parse_toml(TRAY, "t")["box"].keys() - {
        "divider"
    }
