"""A starter recipe that a person can read: every key with a comment, and those left out commented out."""

from __future__ import annotations

import textwrap
from contextlib import suppress
from typing import Any

import tomlkit
from pydantic import BaseModel
from pydantic_core import PydanticCustomError

from solids.recipe.tables.fields import Title
from solids.recipe.tables.keys import table_type
from solids.recipe.tables.schema import Asked
from solids.recipe.text.texts import preset_text
from solids.recipe.text.toml import parse_toml

WIDTH = 88
COUNTS = ("tails", "grading")
"""Keys whose numbers are not lengths."""

WHOLE_BOX = ("box", "stock")
"""Tables of a recipe for a whole box; a starter for one is the preset as it stands."""

HEAD = """\
A recipe for one dovetailed corner. Lines that begin with # are off: the tool chooses a value by a rule of the trade
and tells you which. Take the # away to choose your own. A length is a number in the units below, or a text with its
own unit: "19 mm", "3/4 in", "1 1/8 in".
"""


def starter_text(preset: str, title: str | None = None) -> str:
    """The TOML of a starter recipe with the values of a preset, under `title` if that can be a title."""
    text = preset_text(preset)
    raw = parse_toml(text, preset)
    with suppress(PydanticCustomError):
        raw["title"] = Title().read(title or raw["title"], "mm")
    if "box" in raw:
        document = tomlkit.parse(text)
        document["title"] = raw["title"]
        return tomlkit.dumps(document)
    lines = [*_comment(HEAD), ""]
    units = raw.get("units", "mm")
    lines += _keys(Asked, raw, units)
    for name, field in Asked.model_fields.items():
        table = table_type(field.annotation)
        if table is not None and name not in WHOLE_BOX:
            lines += ["", *_comment(field.description or ""), f"[{name}]", *_keys(table, raw.get(name, {}), units)]
    return "\n".join(lines) + "\n"


def _keys(model: type[BaseModel], values: dict[str, Any], units: str) -> list[str]:
    lines: list[str] = []
    for name, field in model.model_fields.items():
        if field.description is None or (table_type(field.annotation) and model is Asked):
            continue
        lines += _comment(field.description)
        if name in values:
            lines.append(f"{name} = {_toml(values[name])}")
        else:
            example = (field.examples or [""])[0]
            lines.append(f"# {name} = {_toml(in_mm(example) if units == 'in' and name not in COUNTS else example)}")
    return lines


def in_mm(example: Any) -> Any:
    """An example in mm for an inch recipe, with the unit after every number."""
    if isinstance(example, dict):
        return {key: in_mm(value) for key, value in example.items()}
    if isinstance(example, list):
        return [in_mm(value) for value in example]
    is_number = isinstance(example, int | float) and not isinstance(example, bool)
    return f"{example} mm" if is_number else example


def _comment(text: str) -> list[str]:
    return [f"# {line}" for line in textwrap.wrap(" ".join(text.split()), WIDTH)]


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_toml(item)}" for key, item in value.items()) + " }"
    return str(tomlkit.item(value).as_string())
