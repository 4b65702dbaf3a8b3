"""From a file, a preset or a text to a resolved recipe, of a corner or of a box, with every problem at once."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar, cast

from pydantic import ValidationError

from solids.base.errors import InputError, Problem, RecipeError
from solids.base.messages import Units
from solids.recipe.completing.boxes import resolve_box
from solids.recipe.completing.corner.choices import resolve_corner
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.fields import shown
from solids.recipe.tables.resolved import Recipe
from solids.recipe.tables.schema import NEEDED, Asked, known_keys
from solids.recipe.text.nearest_keys import keys_meant
from solids.recipe.text.texts import source_text
from solids.recipe.text.toml import TOO_DEEP, Raw, raw_in

Resolved = TypeVar("Resolved", bound=Recipe | BoxRecipe)

MOST_PROBLEMS = 40
"""More than a person reads at once; a file with more is rarely a recipe at all."""

SHAPING = ("joint", "tail_board", "pin_board", "fit", "finish", "units", "box")
"""The tables that shape the joint. While they are sound, the joint's own arithmetic can be checked as well."""


def read_recipe(source: str | Path, overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a file or a preset, with KEY=VALUE overrides applied.

    A Path is read as a file, and so is a text that names an existing file or looks like a file name. Raises FileError
    where nothing can be read, and RecipeError with every problem of what is read.
    """
    return parse_recipe(source_text(source), str(source), overrides)


def parse_recipe(text: str, name: str = "recipe", overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a TOML text, which messages call `name`."""
    try:
        return check_recipe(*raw_in(text, name, overrides))
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


def check_recipe(raw: Raw, problems: Iterable[Problem] = ()) -> Recipe:
    """The corner in parsed TOML, completed. RecipeError holds `problems` and every one found here."""
    if is_box(raw):
        raise InputError(
            "box: this is a recipe for a whole box, and a single corner is wanted here; leave out the table [box], or "
            "use halfpin layout, check, build, watch, paper or aids"
        )
    return _resolved(raw, problems, resolve_corner)


def check_box(raw: Raw, problems: Iterable[Problem] = ()) -> BoxRecipe:
    """The box in parsed TOML, completed. RecipeError holds `problems` and every one found here."""
    if not isinstance(raw.get("box"), dict):
        raise InputError("box: is not a table; write a table, as in [box] with its keys below")
    return _resolved(raw, problems, resolve_box)


def ask(text: str) -> Asked:
    """What a TOML text asks for, checked key by key, with nothing filled in."""
    raw, _ = raw_in(text)
    asked, problems = _validate(raw)
    if problems or asked is None:
        raise RecipeError(problems, units_in(raw))
    return asked


def units_in(raw: Raw) -> Units:
    """The units that a recipe names; millimetres where it names none that we know."""
    return "in" if raw.get("units") == "in" else "mm"


# --- checking ------------------------------------------------------------------------------------


def _resolved(raw: Raw, problems: Iterable[Problem], resolve: Callable[[Asked], Resolved]) -> Resolved:
    """The recipe in parsed TOML, completed by `resolve`. RecipeError holds all that is wrong with it."""
    asked, faults = _validate(raw)
    found = [*problems, *faults]
    if asked is None:
        raise RecipeError(found, units_in(raw))
    try:
        recipe = replace(resolve(asked), tables=raw)
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
    missing = [] if is_box(raw) else [_missing(location) for location in _needed(raw)]
    try:
        asked = Asked.model_validate(raw, context=context)
    except ValidationError as err:
        errors = cast(Sequence[Mapping[str, Any]], err.errors(include_url=False))
        rest = _without(raw, errors)
        sound = None if rest is None or missing else Asked.model_validate(rest, context=context)
        return sound, [*missing, *_problems(errors)]
    return None if missing else asked, missing


def _needed(raw: Raw) -> Iterator[list[str]]:
    """Where a corner's recipe lacks a size that no rule can choose."""
    for table, key in NEEDED.items():
        if table not in raw:
            yield [table]
        elif isinstance(raw[table], dict) and key not in raw[table]:
            yield [table, key]


def _problems(errors: Sequence[Mapping[str, Any]]) -> list[Problem]:
    problems = [_problem(error) for error in errors[:MOST_PROBLEMS]]
    if len(errors) > MOST_PROBLEMS:
        more = f"has {len(errors) - MOST_PROBLEMS} more problems"
        problems.append(Problem("the recipe", more, "mend these first"))
    return problems


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
        raw = raw.get(part, {})
    raw.pop(last, None)


_PLAIN_WORDS = {
    "tuple_type": ("is not a list", "write a list, as in [3, 6, 10]"),
    "model_type": ("is not a table", "write a table, as in [joint] with its keys below"),
    "too_long": ("has too many values", "see `halfpin new` for an example"),
    "model_attributes_type": ("is not a table", "write a table, as in [joint] with its keys below"),
}


def _problem(error: Mapping[str, Any]) -> Problem:
    """A pydantic error in a maker's words."""
    location = [str(part) for part in error["loc"]]
    key = ".".join(location)
    kind, context = error["type"], error.get("ctx", {})
    if kind == "recipe":
        return Problem(key, context["wrong"], context["remedy"])
    if kind == "missing":
        return _missing(location)
    if kind == "extra_forbidden":
        return _unknown(key)
    wrong, remedy = _PLAIN_WORDS.get(kind, (f"is not accepted ({error['msg']})", "see `halfpin new` for an example"))
    return Problem(key, f"{shown(error['input'])} {wrong}", remedy)


def _missing(location: list[str]) -> Problem:
    if location[-1].isdigit():
        key = ".".join(location[:-1])
        return Problem(key, "has too few values", f"write as many as in {known_keys()[key]}")
    key = ".".join(location)
    example = known_keys().get(key)
    remedy = f"give it, as in {location[-1]} = {example}" if example is not None else f"add the table [{key}]"
    return Problem(key, "is missing", remedy)


def _unknown(key: str) -> Problem:
    return Problem(key[:80] or '""', "is not a key of a recipe", keys_meant(key))
