"""What is wrong with single keys, in a maker's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from solids.base.errors import Problem
from solids.base.messages import Units
from solids.recipe.tables.fields import shown
from solids.recipe.tables.schema import known_keys

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


_PLAIN_WORDS = {
    "tuple_type": ("is not a list", "write a list, as in [3, 6, 10]"),
    "model_type": ("is not a table", "write a table, as in [joint] with its keys below"),
    "too_long": ("has too many values", "see `halfpin new` for an example"),
    "model_attributes_type": ("is not a table", "write a table, as in [joint] with its keys below"),
    "dict_type": ("is not a table", "write a table, as in [woods.plum] with its keys below"),
}


def _problem(error: Mapping[str, Any], unknown: Unknown) -> Problem:
    """A pydantic error in a maker's words."""
    location = [str(part) for part in error["loc"]]
    key = ".".join(location)
    kind, context = error["type"], error.get("ctx", {})
    if kind == "recipe":
        return Problem(key, context["wrong"], context["remedy"])
    if kind == "missing":
        return is_missing(location)
    if kind == "extra_forbidden":
        return unknown(key)
    wrong, remedy = _PLAIN_WORDS.get(kind, (f"is not accepted ({error['msg']})", "see `halfpin new` for an example"))
    return Problem(key, f"{shown(error['input'])} {wrong}", remedy)


def is_missing(location: list[str]) -> Problem:
    """What is said of a key or a table that must be there."""
    if location[-1].isdigit():
        key = ".".join(location[:-1])
        return Problem(key, "has too few values", f"write as many as in {known_keys()[key]}")
    key = ".".join(location)
    example = known_keys().get(key)
    remedy = f"give it, as in {location[-1]} = {example}" if example is not None else f"add the table [{key}]"
    return Problem(key, "is missing", remedy)
