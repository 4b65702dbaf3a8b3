"""Each key of a recipe as its control shows it: what the maker wrote, or what a rule or the shop says in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from solids.base.errors import Told
from solids.base.sources import SHOP_FILE
from solids.recipe import Recipe
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.keys import value_at
from solids.recipe.tables.resolved import Choice
from solids.recipe.tables.schema import NEEDED, known_keys, list_of
from solids.recipe.text.frozen import added, inline_toml


def typed_value(value: Any) -> str:
    """A value of a recipe as a maker types it: a text without its quotes, anything else as TOML has it."""
    return value if isinstance(value, str) else inline_toml(value)


def values_of(
    tables: Mapping[str, Any], recipe: Recipe | BoxRecipe | None, problems: Iterable[Told], *, is_box: bool
) -> dict[str, dict[str, Any]]:
    """Every key that such a piece has. `recipe` is the last one that could be resolved: what it chose is shown until
    there is another."""
    keys = [key for key in known_keys() if is_box or not key.startswith(("box.", "opening."))]
    found = values_at(keys, tables, recipe, problems)
    return {key: {**one, "needed": is_needed(key, tables, is_box=is_box)} for key, one in found.items()}


def values_at(
    keys: Iterable[str], tables: Mapping[str, Any], recipe: Recipe | BoxRecipe | None, problems: Iterable[Told]
) -> dict[str, dict[str, Any]]:
    """These keys, as if none of them were needed. A value that is a list has its `items` too, as they are typed."""
    wrong: dict[str, Told] = {}
    for told in problems:
        wrong.setdefault(list_of(told.key) or told.key, told)
    chosen = dict(_chosen(recipe)) if recipe else {}
    return {key: {**_one(key, tables, chosen), "needed": False, "problem": _problem(wrong.get(key))} for key in keys}


WAYS: tuple[tuple[str, ...], ...] = (
    ("box.length", "box.inside_length"),
    ("box.width", "box.inside_width"),
    ("box.height", "joint.width", "box.inside_height"),
)
"""The sizes of a box that can be given in more than one way: one of each is needed."""

OPENING = ("opening.width", "opening.height", "opening.depth")
"""The sizes of an opening: all are needed where there is one, and then no size of the box is."""

TOGETHER = (("print.magnet.diameter", "print.magnet.thickness"),)
"""Keys that are needed as soon as one of them is given."""

OF_WHAT_IS_THERE = ("box.feet.height", *(f"box.lid.hinge.{size}" for size in ("leaf", "width", "thickness", "barrel")))
"""Sizes that nobody but the maker can know, needed where there are feet or hinges."""


def is_needed(key: str, tables: Mapping[str, Any], *, is_box: bool) -> bool:
    """Whether the joint cannot be laid out without a value for this key, whatever stands there now."""

    def given(other: str) -> bool:
        return value_at(tables, other) is not None

    if any(key in keys and any(given(other) for other in keys) for keys in TOGETHER):
        return True
    table, _, name = key.rpartition(".")
    if not is_box:
        return NEEDED.get(table) == name
    if table in NEEDED and name == "thickness":
        return not _follows_from_sides(table, given, tables)
    if key in OPENING:
        return given("opening")
    if key in OF_WHAT_IS_THERE:
        return given(table) or (table == "box.lid.hinge" and value_at(tables, "box.lid.kind") == "hinged")
    ways = () if given("opening") else next((ways for ways in WAYS if key in ways), ())
    # Where none is given the first is asked for.
    return bool(ways) and (given(key) or key == ways[0]) and not any(given(other) for other in ways if other != key)


def _follows_from_sides(table: str, given: Callable[[str], bool], tables: Mapping[str, Any]) -> bool:
    """Whether a thickness for two boards is given by each of them, or is what the sizes of the box leave."""
    on_ends = value_at(tables, "box.tails_on") == "ends"
    is_of_sides = (table == "tail_board") != on_ends
    sides, size = (("left", "right"), "length") if is_of_sides else (("front", "back"), "width")
    both = given(f"box.{size}") and given(f"box.inside_{size}")
    return both or all(given(f"box.{side}.thickness") for side in sides)


def _one(key: str, tables: Mapping[str, Any], chosen: Mapping[str, dict[str, Any]]) -> dict[str, Any]:
    written = value_at(tables, key)
    if written is not None:
        value = typed_value(written)
        return {"value": value, "shown": value, "items": _items(written), "by": "you", "rule": ""}
    return {"value": "", **chosen.get(key, {"shown": "", "items": [], "by": "rule", "rule": ""})}


def _items(value: Any) -> list[str]:
    return [typed_value(item) for item in value] if isinstance(value, list) else []


def _chosen(recipe: Recipe | BoxRecipe) -> Iterator[tuple[str, dict[str, Any]]]:
    """What stands for each key that was left out, whose word that is, and by which rule."""
    said = {choice.key: choice for choice in _choices(recipe)}
    for item in added(recipe):
        choice = said.get(item.key)
        shown = choice.value if choice else typed_value(item.value)
        is_shops = choice is not None and choice.source == SHOP_FILE
        rule = choice.rule if choice and is_shops else item.why
        by = "shop" if is_shops else "rule"
        yield item.key, {"shown": shown, "items": _items(item.value), "by": by, "rule": rule}


def _choices(recipe: Recipe | BoxRecipe) -> Iterator[Choice]:
    for corner in recipe.corners.values() if isinstance(recipe, BoxRecipe) else ():
        yield from corner.choices
    yield from recipe.choices


def _problem(told: Told | None) -> dict[str, Any] | None:
    return {"wrong": told.wrong, "accepted": told.remedy, "tries": list(told.tries)} if told else None
