"""The starter recipe: the preset it came from, with every known key in sight and a comment to each."""

from __future__ import annotations

import itertools
import re

import pytest

from solids.base.errors import InputError
from solids.recipe import (
    Recipe,
    ask,
    box_preset_names,
    parse_recipe,
    preset_names,
    preset_text,
    read_recipe,
)
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.keys import value_at
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.reading import check_piece
from solids.recipe.text.starter import starter_text
from solids.recipe.text.toml import parse_toml

OFF = re.compile(r"^# (\w+ = \S.*|\[[\w.]+\])$", re.MULTILINE)
"""A key, or the name of a table, that is written but commented out."""

ALL_PRESETS = (*preset_names(), *box_preset_names())
LIKE_ANOTHER = ("opening.kicker.", "box.right.", "box.joints.back", "box.joints.front_")
"""Tables of which a starter says that they take the same keys as one written out."""


def with_all_keys_on(name: str) -> str:
    return OFF.sub(r"\1", starter_text(name))


def flat(table: dict, prefix: str = "") -> set[str]:
    """Every key of nested tables by its whole path; woods are values, not tables."""
    keys: set[str] = set()
    for key, value in table.items():
        keys |= flat(value, f"{prefix}{key}.") if isinstance(value, dict) and key != "wood" else {prefix + key}
    return keys


def resolved(text: str) -> Recipe | BoxRecipe:
    return check_piece(parse_toml(text, "recipe"))


@pytest.mark.parametrize("name", ALL_PRESETS)
def test_a_starter_parses_to_the_same_recipe_as_its_preset(name: str) -> None:
    assert resolved(starter_text(name)) == resolved(preset_text(name))


@pytest.mark.parametrize("name", ALL_PRESETS)
def test_every_known_key_appears_in_a_starter_once(name: str) -> None:
    """With the # taken away from every key that is off, TOML finds all known keys and refuses none as twice there."""
    like = tuple(table for table in LIKE_ANOTHER if f"[{table.removesuffix('.')}]" not in preset_text(name))
    known = {key for key in known_keys() if not key.startswith(like) and ".wood." not in key}
    one = "[climate]" in preset_text(name)  # which gives one air for the home, where a starter shows the table of two
    other = {"climate.home.dry", "climate.home.damp"} if one else {"climate.home"}
    assert flat(parse_toml(with_all_keys_on(name), name)) == known - other


@pytest.mark.parametrize("name", ALL_PRESETS)
def test_every_key_that_is_off_holds_a_value_that_would_be_read(name: str) -> None:
    asked = ask(with_all_keys_on(name))
    assert asked.entry_chamfer.width is not None
    assert asked.print.magnet is not None
    assert value_at(asked.model_dump(), "box.groove.depth") is not None
    assert value_at(asked.model_dump(), "stock.length") is not None


@pytest.mark.parametrize("name", ALL_PRESETS)
def test_every_key_and_table_stands_under_a_comment_and_lines_fit_a_page(name: str) -> None:
    lines = starter_text(name).splitlines()
    for before, line in itertools.pairwise(lines):
        if re.match(r"(# )?(\w+ = |\[)", line):
            assert before.startswith("# "), line
            assert not OFF.match(before), "two keys in a row have no words between them"
        if line.startswith("# ") and not OFF.match(line):
            assert len(line) <= 90
    assert starter_text(name).endswith("\n")


def test_one_key_of_a_corner_is_turned_on_by_its_own_sign_alone() -> None:
    text = starter_text("tool-tray").replace("# flank_gap = ", "flank_gap = ").replace("# saw_kerf = ", "saw_kerf = ")
    assert parse_recipe(text) == read_recipe("tool-tray", ["fit.flank_gap=0", "kit.saw_kerf=0.6"])


def test_a_starter_says_how_to_turn_a_key_on() -> None:
    words = " ".join(line.removeprefix("# ") for line in starter_text("tool-tray").splitlines())
    assert "Take the # away to choose your own." in words


def test_a_starter_of_an_unknown_preset_names_the_nearest() -> None:
    with pytest.raises(InputError, match="did you mean 'tea-box'"):
        starter_text("teabox")
