"""TOML in and out: reads a recipe from a file, a preset or a text, with overrides, and reports every problem at once.

TOML is version 1.0 (toml.io). A recipe is data; nothing in it is ever run.
"""

from __future__ import annotations

import copy
import difflib
import tomllib
import types
from collections.abc import Iterable, Mapping
from importlib import resources
from pathlib import Path
from typing import Any, cast, get_args

from pydantic import BaseModel, ValidationError

from solids import tolerances as tol
from solids.errors import FileError, InputError, Problem, RecipeError
from solids.recipe.asked import Asked
from solids.recipe.choices import resolve
from solids.recipe.fields import shown
from solids.recipe.resolved import Recipe
from solids.wood import OWN_SOURCE, Wood

Raw = dict[str, Any]

NOT_YET = {
    ("entry_chamfer", "width"): "an entry chamfer",
    ("undercut", "depth"): "an undercut",
}
"""Features that shape the solids and come with a later version: off is fine, on is refused plainly."""

NOT_USED_YET = ("kit", "print")
"""Tables that no output of this version reads: kept, and said so."""

SHAPING = ("joint", "tail_board", "pin_board", "fit", "finish", "units")
"""The tables that shape the joint. When they are sound, the joint's own arithmetic can be checked as well."""


# --- in ------------------------------------------------------------------------------------------


def read_recipe(source: str | Path, overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a file, or of a preset's name, with KEY=VALUE overrides applied.

    A Path, and a text that names a file which exists or looks like one, is read as a file. Raises FileError for what
    cannot be read and RecipeError with every problem for what is read.
    """
    return parse_recipe(source_text(source), str(source), overrides)


def source_text(source: str | Path) -> str:
    """The TOML text behind a file name or a preset's name."""
    path = Path(source)
    looks_like_file = isinstance(source, Path) or path.suffix == ".toml" or len(path.parts) != 1
    is_preset_beside_its_files = path.is_dir() and str(source) in preset_names()
    if looks_like_file or (path.exists() and not is_preset_beside_its_files):
        return _file_text(path)
    return preset_text(str(source))


def parse_recipe(text: str, name: str = "recipe", overrides: Iterable[str] = ()) -> Recipe:
    """The recipe in a TOML text. `name` is what messages call it."""
    raw = parse_toml(text, name)
    problems = [problem for item in overrides if (problem := apply_override(raw, item))]
    return check_recipe(raw, problems)


def check_recipe(raw: Raw, problems: Iterable[Problem] = ()) -> Recipe:
    """The resolved recipe in parsed TOML; RecipeError carries every problem found here and given."""
    found = list(problems)
    asked, faults = _validate(raw)
    found += faults
    if asked is None:
        raise RecipeError(found)
    found += _not_yet(asked)
    try:
        recipe = resolve(asked, _notices(asked))
    except RecipeError as err:
        raise RecipeError([*found, *err.problems], usable=err.usable) from None
    if found:
        raise RecipeError(found, usable=recipe)
    return recipe


def _file_text(path: Path) -> str:
    try:
        if path.is_dir():
            raise FileError(f"{path} is a folder, not a recipe; give the TOML file in it")
        if path.exists() and not path.is_file():
            raise FileError(f"{path} is not an ordinary file; give a TOML file")
        with path.open("rb") as file:
            data = file.read(tol.RECIPE_LARGEST_BYTES + 1)
    except FileNotFoundError:
        known = ", ".join(preset_names())
        raise FileError(f"{path} does not exist; give a recipe file, or a preset: {known}") from None
    except (OSError, ValueError) as err:
        if isinstance(err, FileError):
            raise
        reason = err.strerror if isinstance(err, OSError) and err.strerror else str(err)
        raise FileError(f"{str(path)[:200]!r} cannot be read: {reason}") from None
    if len(data) > tol.RECIPE_LARGEST_BYTES:
        limit = tol.RECIPE_LARGEST_BYTES // 1024
        raise FileError(f"{path} is over {limit} KiB, far more than a recipe; is it the right file?")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as err:
        line = data[: err.start].count(b"\n") + 1
        raise FileError(f"{path}, line {line}: not UTF-8 text; save the recipe as UTF-8") from None


def parse_toml(text: str, name: str) -> Raw:
    """The tables of a TOML text; InputError names line and column."""
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError(f"{name}: brackets nested too deep for a recipe") from None
    except ValueError as err:  # TOMLDecodeError, and numbers with more digits than Python reads
        raise InputError(f"{name} is not TOML: {err}") from None


def apply_override(raw: Raw, item: str) -> Problem | None:
    """Puts one KEY=VALUE into `raw`; the value is read as TOML, else as text. A Problem where it cannot go."""
    key, equals, value = item.partition("=")
    key = key.strip()
    path = key.split(".")
    if not equals or not all(path):
        return Problem(f"--set {shown(item)}", "is not KEY=VALUE", "write it as in --set joint.tails=5")
    table = raw
    for part in path[:-1]:
        inner = table.setdefault(part, {})
        if not isinstance(inner, dict):
            return Problem(key, f"{part} is a value, not a table", "name a key of a table, as in joint.tails")
        table = inner
    table[path[-1]] = _override_value(value.strip())
    return None


def _override_value(text: str) -> Any:
    try:
        tables = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return tables["value"] if list(tables) == ["value"] else text


# --- checking ------------------------------------------------------------------------------------


def _validate(raw: Raw) -> tuple[Asked | None, list[Problem]]:
    """The model and every problem of a key on its own.

    Where keys are at fault, the model is of what is left without them, so that more can be checked in the same go; it
    is None where what is left is no recipe or a faulty key shapes the joint.
    """
    units = raw.get("units", "mm")
    context = {"units": units if units in ("mm", "in") else "mm"}
    try:
        return Asked.model_validate(raw, context=context), []
    except ValidationError as err:
        errors = cast(list[Mapping[str, Any]], err.errors(include_url=False))
    problems = [_problem(error) for error in errors]
    if any(error["type"] != "extra_forbidden" and error["loc"][0] in SHAPING for error in errors):
        return None, problems
    rest = copy.deepcopy(raw)
    for error in errors:
        location = error["loc"] if error["type"] == "extra_forbidden" else error["loc"][:1]
        _drop(rest, location)
    return Asked.model_validate(rest, context=context), problems


def _drop(raw: Raw, location: tuple[Any, ...]) -> None:
    """Takes one key, or a whole table, out of nested tables."""
    *path, last = location
    for part in path:
        raw = raw[part]
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
        return Problem(key, "is missing", _example_of(location))
    if kind == "extra_forbidden":
        return _unknown(key)
    wrong, remedy = _PLAIN_WORDS.get(kind, (f"is not accepted ({error['msg']})", "see `halfpin new` for an example"))
    return Problem(key, f"{shown(error['input'])} {wrong}", remedy)


def _example_of(location: list[str]) -> str:
    key = ".".join(location)
    example = known_keys().get(key)
    return f"give it, as in {location[-1]} = {example}" if example is not None else f"add the table [{key}]"


def _unknown(key: str) -> Problem:
    known = known_keys()
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.0)
    same_word = [name for name in known if name.rsplit(".", 1)[-1] == key.rsplit(".", 1)[-1]]
    nearest = (same_word or near)[0]
    return Problem(key[:80], "is not a key of a recipe", f"the nearest known key is {nearest}")


def known_keys() -> dict[str, Any]:
    """Every key with its example value: {"joint.width": 96, ...}."""
    return dict(_keys_of(Asked, ""))


def _keys_of(model: type[BaseModel], prefix: str) -> Iterable[tuple[str, Any]]:
    for name, field in model.model_fields.items():
        table = table_type(field.annotation)
        if table is not None:
            yield from _keys_of(table, f"{prefix}{name}.")
        else:
            yield prefix + name, (field.examples or [None])[0]


def table_type(annotation: Any) -> type[BaseModel] | None:
    """The model behind a field that is a table, else None."""
    candidates = get_args(annotation) if isinstance(annotation, types.UnionType) else (annotation,)
    return next((c for c in candidates if isinstance(c, type) and issubclass(c, BaseModel)), None)


def _not_yet(asked: Asked) -> list[Problem]:
    return [
        Problem(
            f"{table}.{key}",
            f"asks for {what}, which this version cannot make yet",
            "set it to 0 or leave it out",
        )
        for (table, key), what in NOT_YET.items()
        if getattr(getattr(asked, table), key)
    ]


def _notices(asked: Asked) -> tuple[str, ...]:
    return tuple(
        f"{table}.{key} is kept, but nothing in this version uses it yet"
        for table in NOT_USED_YET
        for key in sorted(getattr(asked, table).model_fields_set)
    )


# --- presets ---------------------------------------------------------------------------------------


def preset_names() -> tuple[str, ...]:
    """The names of the recipes that ship with the tool, in order."""
    folder = resources.files("solids.presets")
    return tuple(sorted(item.name[:-5] for item in folder.iterdir() if item.name.endswith(".toml")))


def preset_text(name: str) -> str:
    """The TOML text of a preset; InputError names the nearest one."""
    names = preset_names()
    if name not in names:
        near = difflib.get_close_matches(name, names, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]!r}?" if near else f"presets are: {', '.join(names)}"
        raise InputError(f"{shown(name)} is neither a recipe file nor a preset; {hint}")
    return (resources.files("solids.presets") / f"{name}.toml").read_text("utf-8")


# --- out -----------------------------------------------------------------------------------------


def toml_of(asked: Asked) -> str:
    """The TOML text of what was asked; lengths are written with their unit, so that it reads back the same."""
    import tomlkit

    return tomlkit.dumps(_plain_table(asked))


def _plain_table(table: BaseModel) -> Raw:
    plain: Raw = {}
    for name in type(table).model_fields:
        if name in table.model_fields_set and (value := getattr(table, name)) is not None:
            plain[name] = _plain_value(name, value)
    return plain


def _plain_value(name: str, value: Any) -> Any:
    if isinstance(value, BaseModel):
        return _plain_table(value)
    if isinstance(value, Wood):
        own = value.source == OWN_SOURCE
        return {"name": value.name, "kind": value.kind, "density": value.density} if own else value.name
    if isinstance(value, tuple):
        return [_plain_value(name, item) for item in value]
    if name == "slope":
        return f"1:{value!r}"
    if isinstance(value, float) and name != "grading":
        return f"{value!r} mm"
    return value


def ask(text: str) -> Asked:
    """What a TOML text asks for, checked key by key but with nothing filled in."""
    raw = parse_toml(text, "recipe")
    asked, problems = _validate(raw)
    if problems or asked is None:
        raise RecipeError(problems)
    return asked


def recipe_schema() -> Raw:
    """The JSON Schema (2020-12) of a recipe, so that an editor can complete and check one."""
    schema = Asked.model_json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": "urn:halfpin:recipe:1", **schema}
