"""What a maker types into a control, as a value that a recipe can hold."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from solids.app.desk.keys.controls import KINDS, field_of, is_list_of_tables, rule_of
from solids.app.desk.keys.lists import list_in
from solids.base.errors import Problem, RecipeError
from solids.base.parsing import shown
from solids.recipe.tables.fields import Rule
from solids.recipe.tables.keys import value_at
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.nearest_keys import keys_meant
from solids.recipe.text.toml import TOO_DEEP, apply_override, is_deep

LONGEST_TYPED = 20_000
"""What a maker may type into one control, in letters: the flanks of a hundred tails take a tenth."""


def values_of(changes: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, by keys, as values that TOML holds; None gives a choice back to the rule, and so does nothing but
    blanks. RecipeError lists the keys that no recipe has, and values that none can hold."""
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for key, given in changes.items():
        try:
            values[key] = _value(key, given)
        except RecipeError as err:
            problems += err.problems
    if problems:
        raise RecipeError(problems)
    return values


def _value(key: str, given: Any) -> Any:
    if key not in known_keys():
        raise RecipeError([Problem(key[:80] or '""', "is not a key of a recipe", keys_meant(key))])
    field = field_of(key)
    rule = rule_of(field)
    if isinstance(given, str) and given.strip().startswith("{") and is_list_of_tables(field):
        given = f"[{given}]"
    return value_of(key, given, rule, is_list_alone=rule is None)


def value_of(key: str, given: Any, rule: Rule | None = None, *, is_list_alone: bool = False) -> Any:
    """What was typed for a key that `rule` reads, as a value that TOML holds. RecipeError where it can be none."""
    if given is None or (isinstance(given, str) and not given.strip()):
        return None
    if isinstance(given, str):
        if len(given) > LONGEST_TYPED:
            raise RecipeError([Problem(key, f"{len(given)} letters are too many", f"accepted are {LONGEST_TYPED}")])
        if rule and KINDS.get(type(rule)) == "text":
            return given.strip()
        given = _read(key, given)
        if not isinstance(given, list) and (is_list_alone or (rule and isinstance(given, str))):
            listed = list_in(str(given), rule, lambda part: _read(key, part))
            given = given if listed is None else listed
    if isinstance(given, float) and not math.isfinite(given):
        raise RecipeError([Problem(key, f"{given} is not a finite number", "give a number")])
    if is_deep(given) or not _can_be_written(given):
        raise RecipeError([Problem(key, f"{shown(given)} is no value for it", f"give no {TOO_DEEP}, no null inside")])
    return given


def _read(key: str, typed: str) -> Any:
    """A text as a recipe would read it at a key: as TOML, or else as a text."""
    raw: dict[str, Any] = {}
    if problem := apply_override(raw, f"{key}={typed}"):
        raise RecipeError([problem])
    return value_at(raw, key)


def _can_be_written(value: Any) -> bool:
    """Whether TOML can hold a value; a number that is not finite is none."""
    if isinstance(value, dict):
        return all(isinstance(key, str) and _can_be_written(inner) for key, inner in value.items())
    if isinstance(value, list):
        return all(_can_be_written(inner) for inner in value)
    return isinstance(value, str | bool | int) or (isinstance(value, float) and math.isfinite(value))
