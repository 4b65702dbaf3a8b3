"""The starter recipe: the preset it came from, with every known key in sight and a comment to each."""

from __future__ import annotations

import itertools
import re

import pytest

from solids.base.errors import InputError
from solids.recipe import ask, parse_recipe, preset_names, preset_text, read_recipe
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.starter import WHOLE_BOX, starter_text
from solids.recipe.text.toml import parse_toml

OFF = re.compile(r"^# (\w+ = \S.*)$", re.MULTILINE)
"""A key that is written but commented out."""


def with_all_keys_on(name: str) -> str:
    return OFF.sub(r"\1", starter_text(name))


def flat(table: dict, prefix: str = "") -> set[str]:
    """Every key of nested tables by its whole path; woods are values, not tables."""
    keys: set[str] = set()
    for key, value in table.items():
        keys |= flat(value, f"{prefix}{key}.") if isinstance(value, dict) and key != "wood" else {prefix + key}
    return keys


@pytest.mark.parametrize("name", preset_names())
def test_a_starter_parses_to_the_same_recipe_as_its_preset(name: str) -> None:
    assert parse_recipe(starter_text(name)) == read_recipe(name)


@pytest.mark.parametrize("name", preset_names())
def test_every_known_key_appears_in_a_starter_once(name: str) -> None:
    """With the # taken away from every key that is off, TOML finds all known keys and refuses none as twice there."""
    known = {key for key in known_keys() if key.partition(".")[0] not in WHOLE_BOX}
    one = "[climate]" in preset_text(name)  # which gives one air for the home, where a starter shows the table of two
    other = {"climate.home.dry", "climate.home.damp"} if one else {"climate.home"}
    assert flat(parse_toml(with_all_keys_on(name), name)) == known - other


@pytest.mark.parametrize("name", preset_names())
def test_every_key_that_is_off_holds_a_value_that_would_be_read(name: str) -> None:
    asked = ask(with_all_keys_on(name))
    assert asked.entry_chamfer.width is not None
    assert asked.print.magnet is not None


@pytest.mark.parametrize("name", preset_names())
def test_every_key_stands_under_a_comment_and_lines_fit_a_page(name: str) -> None:
    lines = starter_text(name).splitlines()
    for before, line in itertools.pairwise(lines):
        if re.match(r"(# )?\w+ = ", line):
            assert before.startswith("# "), line
            assert not OFF.match(before), "two keys in a row have no words between them"
        if line.startswith("# ") and not OFF.match(line):
            assert len(line) <= 90
    assert starter_text(name).endswith("\n")


def test_a_starter_says_how_to_turn_a_key_on() -> None:
    words = " ".join(line.removeprefix("# ") for line in starter_text("tool-tray").splitlines())
    assert "Take the # away to choose your own." in words


def test_a_starter_of_an_unknown_preset_names_the_nearest() -> None:
    with pytest.raises(InputError, match="did you mean 'tea-box'"):
        starter_text("teabox")
