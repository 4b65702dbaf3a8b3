"""Each key of a recipe as its control shows it: what the maker wrote, or what a rule or the shop says in its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from solids.base.errors import Told
from solids.base.sources import SHOP_FILE
from solids.recipe import Recipe
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.keys import value_at
from solids.recipe.tables.resolved import Choice
from solids.recipe.tables.schema import known_keys
from solids.recipe.text.frozen import added, inline_toml


def typed_value(value: Any) -> str:
    """A value of a recipe as a maker types it: a text without its quotes, anything else as TOML has it."""
    return value if isinstance(value, str) else inline_toml(value)


def values_of(
    tables: Mapping[str, Any], recipe: Recipe | BoxRecipe | None, problems: Iterable[Told], *, is_box: bool
) -> dict[str, dict[str, Any]]:
    """Every key that such a piece has. `recipe` is the last one that could be resolved: what it chose is shown until
    there is another."""
    wrong: dict[str, Told] = {}
    for told in problems:
        wrong.setdefault(told.key, told)
    chosen = dict(_chosen(recipe)) if recipe else {}
    return {
        key: {**_one(key, tables, chosen), "problem": _problem(wrong.get(key))}
        for key in known_keys()
        if is_box or not key.startswith("box.")
    }


def _one(key: str, tables: Mapping[str, Any], chosen: Mapping[str, dict[str, str]]) -> dict[str, str]:
    written = value_at(tables, key)
    if written is not None:
        value = typed_value(written)
        return {"value": value, "shown": value, "by": "you", "rule": ""}
    return {"value": "", **chosen.get(key, {"shown": "", "by": "rule", "rule": ""})}


def _chosen(recipe: Recipe | BoxRecipe) -> Iterator[tuple[str, dict[str, str]]]:
    """What stands for each key that was left out, whose word that is, and by which rule."""
    said = {choice.key: choice for choice in _choices(recipe)}
    for item in added(recipe):
        choice = said.get(item.key)
        shown = choice.value if choice else typed_value(item.value)
        is_shops = choice is not None and choice.source == SHOP_FILE
        rule = choice.rule if choice and is_shops else item.why
        yield item.key, {"shown": shown, "by": "shop" if is_shops else "rule", "rule": rule}


def _choices(recipe: Recipe | BoxRecipe) -> Iterator[Choice]:
    for corner in recipe.corners.values() if isinstance(recipe, BoxRecipe) else ():
        yield from corner.choices
    yield from recipe.choices


def _problem(told: Told | None) -> dict[str, Any] | None:
    return {"wrong": told.wrong, "accepted": told.remedy, "tries": list(told.tries)} if told else None
