"""What is wrong with single keys, in a maker's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from solids.base.errors import Problem
from solids.base.messages import Units
from solids.base.parsing import shown
from solids.recipe.tables.schema import known_keys, list_of, listed_tables

MOST_PROBLEMS = 40
"""More than a person reads at once; a file with more is rarely a recipe at all."""

Unknown = Callable[[str], Problem]
"""Says what is wrong with a key that is not known."""


def units_in(raw: Mapping[str, Any]) -> Units:
    """The units that a recipe names; millimetres where it names none that we know."""
    return "in" if raw.get("units") == "in" else "mm"


def problems_of(errors: Sequence[Mapping[str, Any]], unknown: Unknown, whole: str = "the recipe") -> list[Problem]:
    """A problem for each of pydantic's errors. `whole` is what more of them are a problem of."""
    problems = [_problem(error, unknown) for error in errors[:MOST_PROBLEMS]]
    if len(errors) > MOST_PROBLEMS:
        more = f"has {len(errors) - MOST_PROBLEMS} more problems"
        problems.append(Problem(whole, more, "mend these first"))
    return problems


ANY_EXAMPLE = "a new recipe from a preset shows how each key is written"
_PLAIN_WORDS = {
    "tuple_type": ("is not a list", "write a list, as in [3, 6, 10]"),
    "model_type": ("is not a table", "write a table, as in [{key}] with its keys below"),
    "model_attributes_type": ("is not a table", "write a table, as in [{key}] with its keys below"),
    "dict_type": ("is not a table", "write a table, as in [woods.plum] with its keys below"),
}


def _problem(error: Mapping[str, Any], unknown: Unknown) -> Problem:
    """A pydantic error in a maker's words."""
    location = _counted(error["loc"])
    key = ".".join(location)
    kind, context = error["type"], error.get("ctx", {})
    if kind == "recipe":
        return Problem(key, context["wrong"], context["remedy"])
    if kind == "missing":
        return is_missing(location)
    if kind == "extra_forbidden":
        return unknown(key)
    if kind == "too_long":
        return Problem(key, f"{shown(error['input'])} has too many values", f"give at most {context['max_length']}")
    wrong, remedy = _PLAIN_WORDS.get(kind, (f"is not accepted ({error['msg']})", ANY_EXAMPLE))
    remedy = remedy.format(key=key)
    if name := key if key in listed_tables() else list_of(f"{key}."):
        remedy = f"write each as [[{name}]], its keys below it"
        if isinstance(error["input"], dict):
            return Problem(key, "is a single table, and there may be several", remedy)
        wrong = "is no list of tables" if key == name else wrong
    return Problem(key, f"{shown(error['input'])} {wrong}", remedy)


def _counted(location: Sequence[str | int]) -> list[str]:
    """Where an error is. Tables of a list are counted from 1, values of other lists as the reader does."""
    found: list[str] = []
    for part in location:
        is_table = isinstance(part, int) and ".".join(found) in listed_tables()
        found.append(str(part + 1) if is_table and isinstance(part, int) else str(part))
    return found


def is_missing(location: list[str]) -> Problem:
    """What is said of a key or a table that must be there."""
    if location[-1].isdigit():
        key = ".".join(location[:-1])
        return Problem(key, "has too few values", f"write as many as in {known_keys()[key]}")
    key = ".".join(location)
    example = known_keys().get(key)
    remedy = f"give it, as in {location[-1]} = {example}" if example is not None else f"add the table [{key}]"
    return Problem(key, "is missing", remedy)
