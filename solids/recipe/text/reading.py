"""From a file, a preset or a text to a resolved recipe, of a corner or of a box, with every problem at once."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar, cast

from pydantic import ValidationError

from solids.base.errors import InputError, Problem, RecipeError
from solids.recipe.completing.boxes import resolve_box
from solids.recipe.completing.corner.choices import resolve_corner
from solids.recipe.completing.shop import NO_SHOP, Shop, complete, in_words_of
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.resolved import Recipe
from solids.recipe.tables.schema import NEEDED, Asked
from solids.recipe.text.nearest_keys import keys_meant
from solids.recipe.text.problems import is_missing, problems_of, units_in
from solids.recipe.text.texts import source_text
from solids.recipe.text.toml import TOO_DEEP, Raw, raw_in

Resolved = TypeVar("Resolved", bound=Recipe | BoxRecipe)

SHAPING = ("joint", "tail_board", "pin_board", "fit", "finish", "units", "box", "opening")
"""The tables that shape the joint. While they are sound, the joint's own arithmetic can be checked as well."""


def read_recipe(source: str | Path, overrides: Iterable[str] = (), shop: Shop = NO_SHOP) -> Recipe:
    """The recipe in a file or a preset, with KEY=VALUE overrides applied, and the settings of a shop behind it.

    A Path is read as a file, and so is a text that names an existing file or looks like a file name. Raises FileError
    where nothing can be read, and RecipeError with every problem of what is read.
    """
    return parse_recipe(source_text(source), str(source), overrides, shop)


def parse_recipe(text: str, name: str = "recipe", overrides: Iterable[str] = (), shop: Shop = NO_SHOP) -> Recipe:
    """The recipe in a TOML text, which messages call `name`."""
    try:
        return check_recipe(*raw_in(text, name, overrides), shop)
    except RecursionError:
        raise InputError(f"{name}: {TOO_DEEP}") from None


def raw_recipe(source: str | Path, overrides: Iterable[str] = ()) -> tuple[Raw, list[Problem]]:
    """The unchecked tables of a file or preset with overrides, and a problem for each override that has no place."""
    return raw_in(source_text(source), str(source), overrides)


def read_box(source: str | Path, overrides: Iterable[str] = ()) -> BoxRecipe:
    """The box in a recipe file or a preset. RecipeError holds every problem."""
    return check_box(*raw_recipe(source, overrides))


def is_box(raw: Raw) -> bool:
    """Whether a recipe is for a whole box."""
    return "box" in raw


def check_recipe(raw: Raw, problems: Iterable[Problem] = (), shop: Shop = NO_SHOP) -> Recipe:
    """The corner in parsed TOML, completed, with a shop behind it. RecipeError holds `problems` and all found here."""
    if is_box(raw):
        raise InputError(
            "box: this is a recipe for a whole box, and a single corner is wanted here; leave out the table [box], or "
            "use halfpin layout, check, build, compare, paper or aids"
        )
    if "opening" in raw:
        raise InputError(
            "opening: only a drawer slides into one; write the table [box] beside it, which needs no sizes"
        )
    return _resolved(raw, problems, resolve_corner, shop)


def check_box(raw: Raw, problems: Iterable[Problem] = (), shop: Shop = NO_SHOP) -> BoxRecipe:
    """The box in parsed TOML, completed, with a shop behind it. RecipeError holds `problems` and all found here."""
    if not isinstance(raw.get("box"), dict):
        raise InputError("box: is not a table; write a table, as in [box] with its keys below")
    return _resolved(raw, problems, resolve_box, shop)


def check_piece(raw: Raw, problems: Iterable[Problem] = (), shop: Shop = NO_SHOP) -> Recipe | BoxRecipe:
    """The corner or the box in parsed TOML, completed, with a shop behind it. RecipeError holds `problems` and all
    found here."""
    return check_box(raw, problems, shop) if is_box(raw) else check_recipe(raw, problems, shop)


def ask(text: str) -> Asked:
    """What a TOML text asks for, checked key by key, with nothing filled in."""
    raw, _ = raw_in(text)
    asked, problems = _validate(raw)
    if problems or asked is None:
        raise RecipeError(problems, units_in(raw))
    return asked


# --- checking ------------------------------------------------------------------------------------


def _resolved(raw: Raw, problems: Iterable[Problem], resolve: Callable[[Asked], Resolved], shop: Shop) -> Resolved:
    """The recipe in parsed TOML, completed by `shop` and `resolve`. RecipeError holds all that is wrong with it."""
    worded = in_words_of(shop, raw)
    asked, faults = _validate(worded)
    found = [*problems, *faults]
    if asked is None:
        raise RecipeError(found, units_in(worded))
    try:
        recipe = replace(complete(shop, raw, asked, resolve), tables=raw)
    except RecipeError as err:
        raise RecipeError([*found, *err.problems], err.units, usable=err.usable) from None
    if found:
        raise RecipeError(found, recipe.units, usable=recipe)
    return recipe


def _validate(raw: Raw) -> tuple[Asked | None, list[Problem]]:
    """What the tables ask for, and every problem that a key has by itself.

    Faulty keys are left out, so that the rest can be checked in the same go. None where one of them shapes the joint.
    """
    context = {"units": units_in(raw)}
    missing = [] if is_box(raw) else [is_missing(location) for location in _needed(raw)]
    try:
        asked = Asked.model_validate(raw, context=context)
    except ValidationError as err:
        errors = cast(Sequence[Mapping[str, Any]], err.errors(include_url=False))
        rest = _without(raw, errors)
        sound = None if rest is None or missing else Asked.model_validate(rest, context=context)
        return sound, [*missing, *problems_of(errors, _unknown)]
    return None if missing else asked, missing


def _needed(raw: Raw) -> Iterator[list[str]]:
    """Where a corner's recipe lacks a size that no rule can choose."""
    for table, key in NEEDED.items():
        if table not in raw:
            yield [table]
        elif isinstance(raw[table], dict) and key not in raw[table]:
            yield [table, key]


def _without(raw: Raw, errors: Sequence[Mapping[str, Any]]) -> Raw | None:
    """The tables without what is at fault; None where a table that shapes the joint is at fault."""
    if any(error["type"] != "extra_forbidden" and error["loc"][0] in SHAPING for error in errors):
        return None
    rest = copy.deepcopy(raw)
    for error in errors:
        location = error["loc"] if error["type"] == "extra_forbidden" else error["loc"][:1]
        _drop(rest, location)
    return rest


def _drop(raw: Raw, location: tuple[Any, ...]) -> None:
    """Takes a key, or a whole table, out of nested tables, if it is still there."""
    *path, last = location
    for part in path:
        raw = raw[part] if isinstance(raw, list) else raw.get(part, {})
    raw.pop(last, None)


def _unknown(key: str) -> Problem:
    return Problem(key[:80] or '""', "is not a key of a recipe", keys_meant(key))
