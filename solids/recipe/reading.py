"""TOML in and out: reads a recipe from a file, a preset or a text, with overrides, and reports every problem at once.

TOML is version 1.0 (toml.io). A recipe is data; nothing in it is ever run.
"""

from __future__ import annotations

import copy
import difflib
import tomllib
import types
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, cast, get_args

from pydantic import BaseModel, ValidationError

from solids.base.errors import InputError, Problem, RecipeError
from solids.base.messages import Units
from solids.recipe.air import HomeAsked
from solids.recipe.choices import resolve
from solids.recipe.depth import DEEPEST, TOO_DEEP, has_long_key, is_deep
from solids.recipe.fields import shown
from solids.recipe.resolved import Recipe
from solids.recipe.schema import Asked
from solids.recipe.texts import source_text
from solids.wood import OWN_SOURCE, Climate, Wood

Raw = dict[str, Any]

MOST_PROBLEMS = 40
"""More than a person reads in one go; a file with more is rarely a recipe at all."""

SHAPING = ("joint", "tail_board", "pin_board", "fit", "finish", "units")
"""The tables that shape the joint. When they are sound, the joint's own arithmetic can be checked as well."""

FOLLOWS_IN_A_BOX = {
    ("joint",),
    ("joint", "width"),
    ("tail_board",),
    ("tail_board", "thickness"),
    ("pin_board",),
    ("pin_board", "thickness"),
}
"""What a corner needs and a box may leave out, where it follows from the other sizes."""


# --- in ------------------------------------------------------------------------------------------


def read_recipe(source: str | Path, overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a file, or of a preset's name, with KEY=VALUE overrides applied.

    A Path, and a text that names a file which exists or looks like one, is read as a file. Raises FileError for what
    cannot be read and RecipeError with every problem for what is read.
    """
    return parse_recipe(source_text(source), str(source), overrides)


def parse_recipe(text: str, name: str = "recipe", overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a TOML text. `name` is what messages call it."""
    try:
        return check_recipe(*raw_in(text, name, overrides))
    except RecursionError:
        raise InputError(f"{name}: {TOO_DEEP}") from None


def raw_in(text: str, name: str = "recipe", overrides: Iterable[str] = ()) -> tuple[Raw, list[Problem]]:
    """The tables of a TOML text with its overrides, unchecked, and what is wrong with overrides that cannot be read."""
    raw = parse_toml(text, name)
    return raw, [problem for item in overrides if (problem := apply_override(raw, item))]


def check_recipe(raw: Raw, problems: Iterable[Problem] = ()) -> Recipe:
    """The resolved recipe in parsed TOML; RecipeError carries every problem found here and given."""
    if "box" in raw:
        raise InputError(
            "box: this is a recipe for a whole box, and a single corner is wanted here; leave out the table [box], or "
            "use halfpin layout, check, build, watch, paper or aids"
        )
    found = list(problems)
    asked, faults = _validate(raw)
    found += faults
    if asked is None:
        raise RecipeError(found, units_in(raw))
    try:
        recipe = replace(resolve(asked), tables=raw)
    except RecipeError as err:
        raise RecipeError([*found, *err.problems], err.units, usable=err.usable) from None
    if found:
        raise RecipeError(found, recipe.units, usable=recipe)
    return recipe


def parse_toml(text: str, name: str) -> Raw:
    """The tables of a TOML text; InputError names line and column."""
    try:
        if not has_long_key(text) and not is_deep(raw := tomllib.loads(text)):
            return raw
    except RecursionError:
        pass
    except ValueError as err:  # TOMLDecodeError, and numbers with more digits than Python reads
        raise InputError(f"{name} is not TOML: {err}") from None
    raise InputError(f"{name}: {TOO_DEEP}")


def apply_override(raw: Raw, item: str) -> Problem | None:
    """Puts one KEY=VALUE into `raw`; the value is read as TOML, else as text. A Problem where it cannot go."""
    key, equals, value = item.partition("=")
    key = key.strip()
    path = key.split(".")
    if not equals or not all(path):
        return Problem(f"--set {shown(item)}", "is not KEY=VALUE", "write it as in --set joint.tails=5")
    found = _override_value(value.strip())
    if len(path) > DEEPEST or is_deep(found):
        return Problem(f"--set {shown(item)}", f"has {TOO_DEEP}", "name a key as in joint.tails")
    table = raw
    for part in path[:-1]:
        inner = table.setdefault(part, {})
        if not isinstance(inner, dict):
            return Problem(key, f"{part} is a value, not a table", "name a key of a table, as in joint.tails")
        table = inner
    table[path[-1]] = found
    return None


def _override_value(text: str) -> Any:
    try:
        tables = {} if has_long_key(text) else tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return tables["value"] if list(tables) == ["value"] else text


# --- checking ------------------------------------------------------------------------------------


def _validate(raw: Raw) -> tuple[Asked | None, list[Problem]]:
    """The model and every problem of a key on its own.

    Where keys are at fault, the model is of what is left without them, so that more can be checked in the same go; it
    is None where what is left is no recipe or a faulty key shapes the joint.
    """
    asked, errors = _checked(raw)
    if asked is None and (rest := _without(raw, errors, SHAPING)) is not None:
        asked = Asked.model_validate(rest, context={"units": units_in(raw)})
    return asked, _problems(errors)


def box_faults(raw: Raw) -> tuple[Raw | None, list[Problem]]:
    """The same for a recipe of a box, whose sizes may follow from each other: what is left of its tables without the
    keys at fault, None where one of them shapes the box."""
    _, found = _checked(raw)
    errors = [error for error in found if not (error["type"] == "missing" and error["loc"] in FOLLOWS_IN_A_BOX)]
    return _without(raw, errors, (*SHAPING, "box", "stock")), _problems(errors)


def units_in(raw: Raw) -> Units:
    """The units of a recipe, as far as it names any that are known."""
    return "in" if raw.get("units") == "in" else "mm"


def _checked(raw: Raw) -> tuple[Asked | None, list[Mapping[str, Any]]]:
    """The model, or what pydantic says against the recipe."""
    try:
        return Asked.model_validate(raw, context={"units": units_in(raw)}), []
    except ValidationError as err:
        return None, cast(list[Mapping[str, Any]], err.errors(include_url=False))


def _problems(errors: Sequence[Mapping[str, Any]]) -> list[Problem]:
    problems = [_problem(error) for error in errors[:MOST_PROBLEMS]]
    if len(errors) > MOST_PROBLEMS:
        more = f"has {len(errors) - MOST_PROBLEMS} more problems"
        problems.append(Problem("the recipe", more, "mend these first"))
    return problems


def _without(raw: Raw, errors: Sequence[Mapping[str, Any]], shaping: Sequence[str]) -> Raw | None:
    """The tables without what is at fault; None where a table that shapes the rest has a fault."""
    if any(error["type"] != "extra_forbidden" and error["loc"][0] in shaping for error in errors):
        return None
    rest = copy.deepcopy(raw)
    for error in errors:
        location = error["loc"] if error["type"] == "extra_forbidden" else error["loc"][:1]
        _drop(rest, location)
    return rest


def _drop(raw: Raw, location: tuple[Any, ...]) -> None:
    """Takes one key, or a whole table, out of nested tables, if it is there still."""
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
    """One pydantic error in a maker's words."""
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
    return Problem(key[:80] or '""', "is not a key of a recipe", f"the nearest known key is {nearest_key(key)}")


def nearest_key(key: str) -> str:
    """The known key that is most like a text."""
    known = list(known_keys())
    wanted = key.lower()[:80]
    table, _, word = wanted.rpartition(".")
    same_word = [name for name in known if name.rpartition(".")[2] == word]
    in_table = {name.rpartition(".")[2]: name for name in known if name.rpartition(".")[0] == table}
    part_of_one = [name for key, name in in_table.items() if word and word in key]
    near_in_table = [in_table[name] for name in difflib.get_close_matches(word, in_table, n=1, cutoff=0.5)]
    near = difflib.get_close_matches(wanted, known, n=1, cutoff=0.0)
    return (same_word or part_of_one or near_in_table or near)[0]


@cache
def known_keys() -> dict[str, Any]:
    """Every key with its example value: {"joint.width": 96, ...}."""
    return dict(_keys_of(Asked, ""))


def _keys_of(model: type[BaseModel], prefix: str) -> Iterable[tuple[str, Any]]:
    for name, field in model.model_fields.items():
        table = table_type(field.annotation)
        if table is not None:
            yield from _keys_of(table, f"{prefix}{name}.")
        else:
            example = (field.examples or [None])[0]
            yield prefix + name, example
            if isinstance(example, dict):  # a value that may be a table too
                yield from ((f"{prefix}{name}.{key}", value) for key, value in example.items())


def table_type(annotation: Any) -> type[BaseModel] | None:
    """The model behind a field that is a table, else None."""
    candidates = get_args(annotation) if isinstance(annotation, types.UnionType) else (annotation,)
    return next((c for c in candidates if isinstance(c, type) and issubclass(c, BaseModel)), None)


# --- out -----------------------------------------------------------------------------------------


def toml_of(asked: Asked) -> str:
    """The TOML text of what was asked; lengths are written with their unit, so that it reads back the same."""
    import tomlkit

    return tomlkit.dumps(_plain_table(asked))


def _plain_table(table: BaseModel) -> Raw:
    plain: Raw = {}
    for name in type(table).model_fields:
        if name in table.model_fields_set and (value := getattr(table, name)) is not None:
            plain[name] = plain_value(name, value)
    return plain


def plain_value(name: str, value: Any) -> Any:
    """A value of a key as TOML or JSON holds it, so that it reads back the same; lengths carry their unit."""
    if isinstance(value, HomeAsked):
        seasons = {key: _plain_record(air) for key in ("dry", "damp") if (air := getattr(value, key))}
        return _plain_record(value.one) if value.one else seasons
    if isinstance(value, BaseModel | Wood | Climate):
        return _plain_record(value)
    if isinstance(value, tuple):
        return [plain_value(name, item) for item in value]
    if name == "slope":
        return f"1:{value!r}"
    if isinstance(value, float) and name != "grading":
        return f"{value!r} mm"
    return value


def _plain_record(value: BaseModel | Wood | Climate) -> Any:
    if isinstance(value, Climate):
        temperature, humidity = (f"{Decimal(repr(number)):f}" for number in (value.temperature_c, value.humidity))
        return f"{temperature} C, {humidity} %"
    if isinstance(value, Wood):
        return _own_wood_table(value) if value.source == OWN_SOURCE else value.name
    return _plain_table(value)


def _own_wood_table(wood: Wood) -> Raw:
    table: Raw = {"name": wood.name, "kind": wood.kind, "density": wood.density}
    if wood.movement:
        table |= {"radial": wood.movement.radial, "tangential": wood.movement.tangential}
    if wood.strength:
        table |= {"shear": wood.strength.shear_mpa, "bending": wood.strength.bending_mpa}
        if wood.strength.compression_mpa is not None:
            table["compression"] = wood.strength.compression_mpa
    return table


def ask(text: str) -> Asked:
    """What a TOML text asks for, checked key by key but with nothing filled in."""
    raw = parse_toml(text, "recipe")
    asked, problems = _validate(raw)
    if problems or asked is None:
        raise RecipeError(problems, units_in(raw))
    return asked


def recipe_schema() -> Raw:
    """The JSON Schema (2020-12) of a recipe, so that an editor can complete and check one. Only a recipe without the
    table [box] must have what a corner needs: for a box it may follow from the sizes, or from single boards."""
    schema = Asked.model_json_schema()
    tables: list[str] = schema.pop("required")
    models = {table: schema["$defs"][schema["properties"][table]["$ref"].rpartition("/")[2]] for table in tables}
    needs = {table: {"required": model["required"]} for table, model in models.items()}
    for model in models.values():
        model.pop("required", None)  # both boards have one model
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:halfpin:recipe:1",
        **schema,
        "if": {"required": ["box"]},
        "else": {"required": tables, "properties": needs},
    }
