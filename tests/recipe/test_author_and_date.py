"""Who designed a piece, and when: read, refused, carried to corners of a box, taken from a shop, and frozen."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.base.errors import RecipeError
from solids.recipe import parse_recipe
from solids.recipe.tables.resolved import Recipe
from solids.recipe.text.freezing import frozen_text
from solids.recipe.text.reading import check_box, check_piece
from solids.recipe.text.shop_file import shop_of
from solids.recipe.text.texts import preset_text
from solids.recipe.text.toml import parse_toml
from solids.write.report.making.joint import recipe_record
from tests.recipes import MINIMAL

DAY = 'a day as "2026-11-29", or with a time as "2026-11-29 14:30", without a time zone'


def dated(value: str) -> str:
    return parse_recipe(f"date = {value}\n{MINIMAL}").date


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ('"2026-11-29"', "2026-11-29"),
        ("2026-11-29", "2026-11-29"),
        ('" 2026-11-29 "', "2026-11-29"),
        ('"2026-11-29 14:30"', "2026-11-29T14:30:00"),
        ('"2026-11-29T14:30:11"', "2026-11-29T14:30:11"),
        ("2026-11-29T14:30:11", "2026-11-29T14:30:11"),
        ('"2024-02-29"', "2024-02-29"),
    ],
)
def test_a_date_is_read_with_or_without_quotes_and_with_or_without_a_time(written: str, read: str) -> None:
    assert dated(written) == read


@pytest.mark.parametrize(
    ("written", "wrong"),
    [
        ('"tomorrow"', "'tomorrow' is not a date"),
        ('"29.11.2026"', "'29.11.2026' is not a date"),
        ("20261129", "20261129 is not a date"),
        ('"2026-11-29T14:30:00Z"', "'2026-11-29T14:30:00Z' is not a date"),
        ("2026-11-29T14:30:00.5", "'2026-11-29T14:30:00.500000' is not a date"),
        ('"2026-02-30"', "'2026-02-30' is on no calendar or clock"),
        ('"2026-11-29 25:00"', "'2026-11-29 25:00' is on no calendar or clock"),
        ('"２０２６-11-29"', "'２０２６-11-29' is not a date"),
    ],
)
def test_what_is_no_date_is_refused_in_words(written: str, wrong: str) -> None:
    with pytest.raises(RecipeError) as caught:
        dated(written)
    assert str(caught.value) == f"date: {wrong}; accepted is {DAY}"


@pytest.mark.parametrize(
    ("author", "wrong"),
    [
        ('""', "the author is empty"),
        (f'"{81 * "x"}"', "the author has 81 characters"),
        ('"a\\nb"', "the author has the character '\\n'"),
        ("3", "3 is not a text"),
    ],
)
def test_what_is_no_author_is_refused_in_words(author: str, wrong: str) -> None:
    with pytest.raises(RecipeError, match="accepted are up to 80 letters") as caught:
        parse_recipe(f"author = {author}\n{MINIMAL}")
    assert str(caught.value).startswith(f"author: {wrong}; ")


def test_without_them_both_are_empty_and_nothing_is_chosen() -> None:
    recipe = parse_recipe(MINIMAL)
    assert (recipe.author, recipe.date) == ("", "")
    assert not {"author", "date"} & {choice.key for choice in recipe.choices}


def test_a_box_and_its_corners_have_them_too() -> None:
    raw = parse_toml('author = "Ann Joiner"\ndate = 2026-11-29\n' + preset_text("keepsake-box"), "box")
    box = check_box(raw)
    assert {(one.author, one.date) for one in (box, *box.corners.values())} == {("Ann Joiner", "2026-11-29")}


def test_the_report_holds_them() -> None:
    record = recipe_record(parse_recipe(f'author = "Jörg"\ndate = "2026-11-29 14:30"\n{MINIMAL}'))
    assert (record.author, record.date) == ("Jörg", "2026-11-29T14:30:00")


def test_the_author_of_a_shop_stands_behind_that_of_a_recipe_and_is_frozen(tmp_path: Path) -> None:
    shop = shop_of({"author": "Ann Joiner"})
    raw = parse_toml(MINIMAL, "recipe")
    recipe = check_piece(raw, (), shop)
    assert recipe.author == "Ann Joiner"
    assert ("author", "from your shop") in [(choice.key, choice.rule) for choice in recipe.choices]
    assert check_piece(raw | {"author": "Me"}, (), shop).author == "Me"
    file = tmp_path / "recipe.toml"
    file.write_text(MINIMAL, "utf-8")
    assert isinstance(recipe, Recipe)
    assert 'author = "Ann Joiner" # from your shop' in frozen_text(file, recipe)


def test_a_date_without_quotes_is_left_as_it_stands_by_freezing(tmp_path: Path) -> None:
    text = f"date = 2026-11-29 # begun\n{MINIMAL}"
    file = tmp_path / "recipe.toml"
    file.write_text(text, "utf-8")
    frozen = frozen_text(file, parse_recipe(text))
    assert frozen.startswith("date = 2026-11-29 # begun\n")
    assert parse_recipe(frozen).date == "2026-11-29"


def test_a_date_belongs_to_a_single_recipe_and_no_shop() -> None:
    with pytest.raises(RecipeError, match="date: belongs to a single recipe; write it there; a shop has author and"):
        shop_of({"date": "2026-11-29"})
