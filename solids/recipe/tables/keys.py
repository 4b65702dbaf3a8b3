"""The keys of nested tables by their dotted names, and the known key that a text is most like. In a list of tables a
number names one, from 1: "box.divider.2.at"."""

from __future__ import annotations

import difflib
import types
from collections.abc import Collection, Iterable, Mapping
from typing import Any, get_args, get_origin

from pydantic import BaseModel


def nearest(key: str, keys: Collection[str]) -> str:
    """The key among `keys` that a text is most like."""
    known = list(keys)
    wanted = key.lower()[:80]
    table, _, word = wanted.rpartition(".")
    same_word = [name for name in known if name.rpartition(".")[2] == word]
    in_table = {name.rpartition(".")[2]: name for name in known if name.rpartition(".")[0] == table}
    part_of_one = [name for key, name in in_table.items() if word and word in key]
    near_in_table = [in_table[name] for name in difflib.get_close_matches(word, in_table, n=1, cutoff=0.5)]
    near = difflib.get_close_matches(wanted, known, n=1, cutoff=0.0)
    return (same_word or part_of_one or near_in_table or near)[0]


def keys_of(model: type[BaseModel], prefix: str = "") -> Iterable[tuple[str, Any]]:
    """Every key of a model with its example value, as ("joint.width", 96)."""
    for name, field in model.model_fields.items():
        table = table_type(field.annotation)
        if table is not None:
            yield from keys_of(table, f"{prefix}{name}.")
        else:
            example = (field.examples or [None])[0]
            yield prefix + name, example
            if isinstance(example, dict):  # a value that may be a table too
                yield from ((f"{prefix}{name}.{key}", value) for key, value in example.items())


def table_type(annotation: Any) -> type[BaseModel] | None:
    """The model of a field that is a table, else None."""
    candidates = get_args(annotation) if isinstance(annotation, types.UnionType) else (annotation,)
    return next((c for c in candidates if isinstance(c, type) and issubclass(c, BaseModel)), None)


def tables_listed(model: type[BaseModel], prefix: str = "") -> Iterable[tuple[str, type[BaseModel]]]:
    """Every key of a model that holds a list of tables, with the model of one."""
    for name, field in model.model_fields.items():
        table = table_type(field.annotation)
        if table is not None:
            yield from tables_listed(table, f"{prefix}{name}.")
        else:
            lists = (one for one in get_args(field.annotation) if get_origin(one) is tuple)
            each = next((get_args(one)[0] for one in lists), None)
            if isinstance(each, type) and issubclass(each, BaseModel):
                yield prefix + name, each


def value_at(tables: Mapping[str, Any], key: str) -> Any:
    """The value at a dotted key of nested tables, None where there is none."""
    found: Any = tables
    for part in key.split("."):
        found = inside(found, part)
    return found


def inside(tables: Any, part: str) -> Any:
    """What a table has under a name, or a list of tables under a number from 1; None where there is no such thing."""
    if isinstance(tables, Mapping):
        return tables.get(part)
    if is_tables(tables) and part.isdecimal() and 0 < int(part) <= len(tables):
        return tables[int(part) - 1]
    return None


def is_tables(value: Any) -> bool:
    """Whether a value is a list of tables."""
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) for item in value)


def take_at(tables: Any, key: str) -> None:
    """Takes out the value at a dotted key that is there, of nested tables or of a TOML document."""
    *path, last = key.split(".")
    for part in path:
        tables = inside(tables, part)
    del tables[last]


def put_at(tables: dict[str, Any], key: str, value: Any) -> None:
    """Puts a value at a dotted key, and makes the tables on the way, but none of a list."""
    *path, last = key.split(".")
    for part in path:
        tables = inside(tables, part) if isinstance(tables, list) else tables.setdefault(part, {})
    tables[last] = value
