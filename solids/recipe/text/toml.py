"""TOML in and out: a text to nested tables, with overrides, and what was asked for to a text.

TOML is version 1.0 (toml.io). A recipe is data; nothing in it is ever run.
"""

from __future__ import annotations

import datetime
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from typing import Any

from solids.base.errors import InputError, Problem
from solids.base.parsing import shown
from solids.base.quotes import lines_without_quotes
from solids.base.typed_lists import typed_parts
from solids.recipe.tables.air import HomeAsked
from solids.recipe.tables.keys import inside, is_tables, value_at
from solids.recipe.tables.schema import list_of
from solids.recipe.tables.table import Table
from solids.wood import OWN_SOURCE, Climate, Wood
from solids.wood.rack import RackBoard

Raw = dict[str, Any]
"""Tables as TOML or JSON holds them, unchecked."""


@dataclass(frozen=True)
class Added:
    """A key to write, its value as TOML or JSON holds it, and the reason for the value, which may be empty."""

    key: str
    value: Any
    why: str


DEEPEST = 16
TOO_DEEP = "tables or brackets nested too deep for a recipe"
"""How deep a recipe's tables may go. A recipe needs three levels. Anything much deeper is not a recipe, and would keep
the TOML reader busy for many seconds, or overflow the stack of whatever walks through it."""

_PART = r"""(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*\.[ \t]*"""
_LONG_KEY = re.compile(rf"(?:^|[{{,\[])[ \t]*(?:{_PART}){{{DEEPEST}}}", re.MULTILINE)
"""A dotted key of more parts than that, wherever a key may begin. The reader's time grows with their square."""


# --- in ------------------------------------------------------------------------------------------


def raw_in(text: str, name: str = "recipe", overrides: Iterable[str] = ()) -> tuple[Raw, list[Problem]]:
    """The unchecked tables of a TOML text with overrides, and a problem for each override that has no place.
    Messages call the text `name`."""
    raw = parse_toml(text, name)
    return raw, [problem for item in overrides if (problem := apply_override(raw, item))]


@lru_cache(maxsize=16)
def loaded(text: str) -> Raw:
    """The tables of a TOML text as the reader gives them, to look at and not to change. Kept for a while: a change is
    tried, compared and read again. ValueError where it is no TOML."""
    return tomllib.loads(text)


def parse_toml(text: str, name: str) -> Raw:
    """The tables of a TOML text, the caller's own. InputError names line and column."""
    try:
        if not has_long_key(text) and not is_deep(raw := loaded(text)):
            return {key: _with_plain_dates(value) for key, value in raw.items()}
    except RecursionError:
        pass
    except ValueError as err:  # TOMLDecodeError, and numbers with more digits than Python reads
        raise InputError(f"{name} is not TOML: {_told_of(text, err)}") from None
    raise InputError(f"{name}: {TOO_DEEP}")


def _told_of(text: str, err: ValueError) -> str:
    """What is wrong with a text that is not TOML; where quotes are missing, each such line with them."""
    lines = lines_without_quotes(text)
    mended = "; ".join(f"in line {number} write {line}" for number, line in lines)
    if lines:
        return f"text needs quotes; {mended}"
    return str(err) if isinstance(err, tomllib.TOMLDecodeError) else "a number in it has more digits than any length"


def apply_override(raw: Raw, item: str, example: str = "joint.tails=5") -> Problem | None:
    """Puts one KEY=VALUE into `raw`. The value is read as TOML, or else as text or a list of texts. A
    Problem if it has no place, whose remedy names an `example`."""
    key, equals, value = item.partition("=")
    key = key.strip()
    path, named = key.split("."), example.partition("=")[0]
    if not equals or not all(path):
        return Problem(f"--set {shown(item)}", "is not KEY=VALUE", f"write it as in --set {example}")
    found = _override_value(value.strip())
    if len(path) > DEEPEST or is_deep(found):
        return Problem(f"--set {shown(item)}", f"has {TOO_DEEP}", f"name a key as in {named}")
    table = _table_for(raw, key, named)
    if isinstance(table, Problem):
        return table
    table[path[-1]] = found
    return None


def _table_for(raw: Raw, key: str, named: str) -> Raw | Problem:
    """The table that a key belongs in, which is made where there is none; a Problem where it has no place."""
    if (name := list_of(key)) and not is_tables(value_at(raw, name)):
        return Problem(key, f"there is no [[{name}]] in the recipe", f"write [[{name}]], its keys below it")
    table: Any = raw
    for part, following in pairwise(key.split(".")):
        inner = inside(table, part) if is_tables(table) else table.setdefault(part, {})
        if is_tables(inner) and inside(inner, following) is None:
            wrong = f"{part} is a list of tables, and has no number {shown(following)}"
            return Problem(key, wrong, f"name one by its number, 1 to {len(inner)}")
        if not (isinstance(inner, dict) or is_tables(inner)):
            return Problem(key, f"{part} is a value, not a table", f"name a key of a table, as in {named}")
        table = inner
    if is_tables(table):
        return Problem(key, "is one of a list of tables", f"name a key of it, as in {key}.at")
    owner: Raw = table
    return owner


def _override_value(text: str) -> Any:
    try:
        tables = {} if has_long_key(text) else tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return _listed(text)
    return _with_plain_dates(tables["value"]) if list(tables) == ["value"] else text


def _listed(text: str) -> Any:
    """A list of lengths as a maker writes them, which in a file would stand in quotes; else the text."""
    parts = typed_parts(text)
    return text if parts is None else [_override_value(part) for part in parts]


def _with_plain_dates(value: Any) -> Any:
    """The same, its dates as texts: a recipe may have one without quotes, and goes on as JSON."""
    if isinstance(value, dict):
        return {key: _with_plain_dates(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_with_plain_dates(inner) for inner in value]
    return value.isoformat() if isinstance(value, datetime.date | datetime.time) else value


def has_long_key(text: str) -> bool:
    """Whether a TOML text has a dotted key that goes too deep."""
    return _LONG_KEY.search(text) is not None


def is_deep(value: object) -> bool:
    """Whether tables and lists go too deep."""
    level: list[object] = [value]
    for _ in range(DEEPEST):
        level = [inner for outer in level for inner in _within(outer)]
        if not level:
            return False
    return True


def _within(value: object) -> Iterable[object]:
    if isinstance(value, dict):
        return value.values()
    return value if isinstance(value, list) else ()


# --- out -----------------------------------------------------------------------------------------


def toml_of(asked: Table) -> str:
    """The TOML text of what was asked for. Lengths carry their unit, so that it reads back the same."""
    import tomlkit

    return tomlkit.dumps(plain_value("", asked))


NUMBERS = frozenset(("grading", "open_time", "assembly_time", "clamp_time", "spread"))
"""The keys, without their tables, whose numbers are no lengths."""


def plain_value(name: str, value: Any) -> Any:
    """The value of a key as TOML or JSON holds it. Lengths carry their unit, so that it reads back the same."""
    if isinstance(value, Table | RackBoard):
        return {key: plain_value(key, item) for key, item in value.given().items()}
    if isinstance(value, tuple):
        return [plain_value(name, item) for item in value]
    if isinstance(value, HomeAsked | Climate | Wood):
        return _plain_record(value)
    if name == "slope":
        return f"1:{value!r}"
    if isinstance(value, float) and name not in NUMBERS:
        return f"{value!r} mm"
    return value


def _plain_record(value: HomeAsked | Climate | Wood) -> Any:
    if isinstance(value, HomeAsked):
        seasons = {key: air for key in ("dry", "damp") if (air := getattr(value, key))}
        return _plain_record(value.one) if value.one else {key: _plain_record(air) for key, air in seasons.items()}
    if isinstance(value, Climate):
        temperature, humidity = (f"{Decimal(repr(number)):f}" for number in (value.temperature_c, value.humidity))
        return f"{temperature} C, {humidity} %"
    if value.is_assumed:
        return {"assumed": value.name}
    return _own_wood_table(value) if value.source == OWN_SOURCE else value.name


def _own_wood_table(wood: Wood) -> Raw:
    table: Raw = {"name": wood.name, "kind": wood.kind, "density": wood.density}
    if wood.movement:
        table |= {"radial": wood.movement.radial, "tangential": wood.movement.tangential}
    if wood.strength:
        table |= {"shear": wood.strength.shear_mpa, "bending": wood.strength.bending_mpa}
        if wood.strength.compression_mpa is not None:
            table["compression"] = wood.strength.compression_mpa
    return table
