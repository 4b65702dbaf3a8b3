"""A starter recipe that a person can read: every key with a comment, and those left out commented out."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

import tomlkit
from pydantic import BaseModel
from pydantic_core import PydanticCustomError

from solids.base.messages import Units
from solids.recipe.tables.fields import Title
from solids.recipe.tables.keys import table_type
from solids.recipe.tables.schema import Asked
from solids.recipe.text.texts import preset_text
from solids.recipe.text.toml import NUMBERS, Raw, parse_toml

WIDTH = 88
COUNTS = NUMBERS | {"tails", "lid_tails", "count", "seed"}
"""Keys whose numbers are not lengths."""

BEGUN = "A recipe for one dovetailed corner, or with [box] for a whole box; begun from the preset {preset}."
HOW = """\
Lines that begin with # are off: the tool chooses a value by a rule of the trade and tells you which. Take the # away to
choose your own. Where the name of its table is off, as in # [box], take that # away too. A length is a number in the
units below, or a text with its own unit: "19 mm", "3/4 in", "1 1/8 in".
"""


def starter_text(preset: str, title: str | None = None) -> str:
    """The TOML of a starter recipe with the values of a preset, under `title` if that can be a title."""
    raw = parse_toml(preset_text(preset), preset)
    with suppress(PydanticCustomError):
        raw["title"] = Title().read(title or raw["title"], "mm")
    return commented(raw, BEGUN.format(preset=preset))


def commented(raw: Raw, begun: str) -> str:
    """The TOML of a recipe with these tables, and with all other keys commented out. It says how it was `begun`."""
    lines = [*_comment(f"{begun} {HOW}"), "", *_table("", Asked, raw, raw.get("units", "mm"))]
    return "\n".join(lines) + "\n"


def _table(path: str, model: type[BaseModel], values: Mapping[str, Any], units: str) -> list[str]:
    """The keys of a table and then the tables in it, as TOML wants them. Of tables that take the same keys, such as the
    four boards of a box, the first is written out, and of the others those that the preset gives."""
    lines = _keys(model, values, units)
    written: dict[type[BaseModel], str] = {}
    for name, field in model.model_fields.items():
        inner = table_type(field.annotation)
        if inner is None:
            continue
        place = f"{path}.{name}" if path else name
        words, is_like = field.description or "", "" if name in values else written.get(inner, "")
        if is_like:
            words = f"{words} Takes the same keys as [{is_like}]."
        if any(table_type(key.annotation) is None for key in inner.model_fields.values()):
            is_on = name in values or field.default_factory is not None  # then a recipe may leave it empty
            lines += ["", *_comment(words), f"[{place}]" if is_on else f"# [{place}]"]
        if not is_like:
            lines += _table(place, inner, values.get(name, {}), units)
        written.setdefault(inner, place)
    return lines


def _keys(model: type[BaseModel], values: Mapping[str, Any], units: str) -> list[str]:
    lines: list[str] = []
    for name, field in model.model_fields.items():
        if table_type(field.annotation):
            continue
        lines += _comment(field.description or "")
        if name in values:
            lines.append(f"{name} = {_toml(values[name])}")
        else:
            example = (field.examples or [""])[0]
            lines.append(f"# {name} = {_toml(in_mm(example) if units == 'in' and name not in COUNTS else example)}")
    return lines


def in_mm(example: Any) -> Any:
    """An example in mm for an inch recipe, with the unit after every number."""
    return in_units(example, "mm")


def in_units(value: Any, units: Units) -> Any:
    """A value with the unit after every plain number."""
    if isinstance(value, dict):
        return {key: in_units(inner, units) for key, inner in value.items()}
    if isinstance(value, list):
        return [in_units(inner, units) for inner in value]
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return f"{value} {units}" if is_number else value


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(" ".join(text.split()), WIDTH)]


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return f"[{', '.join(map(_toml, value))}]"
    return str(tomlkit.item(value).as_string())
