"""Changes of the maker's settings, as text: nothing is written here, and nothing bad is handed out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from solids.base.errors import FaultError, Problem
from solids.recipe.completing.shop import TOLD_ALONE, Shop
from solids.recipe.tables.keys import take_at, value_at
from solids.recipe.tables.schema import ShopTables
from solids.recipe.text.editing import toml_value, with_added, without
from solids.recipe.text.shop_file import shop_examples, shop_of
from solids.recipe.text.starter import in_mm
from solids.recipe.text.toml import Added, Raw, apply_override, parse_toml


def edited(text: str, name: str, values: Iterable[str], unset: Iterable[str]) -> tuple[str, Shop]:
    """The text of shop.toml without the keys in `unset` and with each KEY=VALUE of `values`, and the shop in it.
    RecipeError, in which the file is called `name`, lists what has no place and all that is wrong with the shop."""
    after = parse_toml(text, name)
    gone, new = list(dict.fromkeys(unset)), list(values)
    problems = [problem for key in gone if (problem := _take_out(after, key))]
    problems += [problem for item in new if (problem := apply_override(after, item, "kit.saw_kerf=0.6"))]
    shop_of(after, name, problems)
    for key in gone:
        text = without(text, key)
    for key in dict.fromkeys(_key_of(item) for item in new):
        longer = with_added(text, (Added(key, value_at(after, key), ""),))
        text = longer if text else longer.lstrip("\n")
    shop = shop_of(parse_toml(text, name), name)
    if dict(_settings(shop.tables)) != dict(_settings(after)):
        raise FaultError("the changed settings do not read back as they were meant; nothing was written")
    return text, shop


def _key_of(item: str) -> str:
    return item.partition("=")[0].strip()


def _take_out(raw: Raw, key: str) -> Problem | None:
    if value_at(raw, key) is None:
        there = ", ".join(one for one, _ in _settings(raw)) or "nothing"
        return Problem(key[:80] or '""', "is not set", f"what is set is {there}")
    take_at(raw, key)
    return None


# --- as it is shown ------------------------------------------------------------------------------


def settings_lines(shop: Shop) -> Iterator[str]:
    """What is set, as lines of TOML, then what is not, each with an example behind a `#`."""
    found = list(_settings(shop.tables))
    for key, value in found:
        yield f"{_quoted(key)} = {toml_value(value)}"
    there = {_field_of(key) for key, _ in found}
    in_inches = shop.asked.units == "in"
    for key, example in _settings(shop_examples()):
        if _field_of(key) not in there:
            has_lengths = key.startswith(("kit.", "print.", "aids.", "stock."))
            yield f"# {key} = {toml_value(in_mm(example) if in_inches and has_lengths else example)}"


def _settings(tables: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """Each setting with its key, in the order of the keys."""
    for name in ShopTables.model_fields:
        value = tables.get(name)
        if isinstance(value, dict):
            for key, item in value.items():
                place = f"{name}.{key}"
                inside = item.items() if place in TOLD_ALONE and isinstance(item, dict) else None
                yield from ((f"{place}.{part}", each) for part, each in inside) if inside else [(place, item)]
        elif value is not None:
            yield name, value


def _field_of(key: str) -> str:
    """The setting that a key belongs to: a value may be a table itself, and woods are one setting."""
    table, *rest = key.split(".")
    return table if table == "woods" else ".".join([table, *rest[: 1 + _is_deeper(key)]])


def _is_deeper(key: str) -> bool:
    """Whether the table of a setting lies in another."""
    return ".".join(key.split(".")[:2]) in TOLD_ALONE


def _quoted(key: str) -> str:
    """A key as TOML has it."""
    table, dot, name = key.partition(".")
    return (
        key
        if _is_deeper(key) or re.fullmatch(r"[A-Za-z0-9_-]*", name)
        else f"{table}{dot}{json.dumps(name, ensure_ascii=False)}"
    )
