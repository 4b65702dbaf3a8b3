"""The controls of the page, made from the keys that a recipe can have, and what a maker types into one as a value."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic.fields import FieldInfo

from solids.base.errors import Problem, RecipeError
from solids.base.messages import capital
from solids.recipe.completing.shop import Shop
from solids.recipe.tables.air import Air, Home
from solids.recipe.tables.box_schema import Thickness
from solids.recipe.tables.dates import Date
from solids.recipe.tables.fields import (
    SPACINGS,
    Length,
    Number,
    OneOf,
    Rule,
    Slope,
    Spacing,
    Title,
    Whole,
    WoodField,
    YesNo,
    shown,
)
from solids.recipe.tables.keys import table_type, value_at
from solids.recipe.tables.listed_fields import Edges, Flanks, FlankSlopes, HalfPins, Pins
from solids.recipe.tables.marker_schema import EngravedWords, Slopes
from solids.recipe.tables.schema import Asked, known_keys
from solids.recipe.text.nearest_keys import keys_meant
from solids.recipe.text.toml import TOO_DEEP, apply_override, is_deep
from solids.wood import wood_names

KINDS: dict[type[Rule], str] = {
    Air: "air",
    Date: "text",
    Edges: "list",
    EngravedWords: "text",
    FlankSlopes: "slope",
    Flanks: "list",
    HalfPins: "length",
    Home: "air",
    Length: "length",
    Number: "other",
    OneOf: "choice",
    Pins: "length",
    Slope: "slope",
    Slopes: "list",
    Spacing: "choice",
    Thickness: "length",
    Title: "text",
    Whole: "whole",
    WoodField: "wood",
    YesNo: "yes-no",
}
"""The kind of control by the kind of value. A kind of value that is not named here has a plain field for words."""

FIRST = {
    *("title", "units", "joint.kind", "joint.width", "joint.look", "joint.tails", "joint.slope", "joint.pin"),
    *("joint.half_pin", "joint.spacing", "tail_board.thickness", "tail_board.wood", "pin_board.thickness"),
    *("pin_board.wood", "joint.lap", "box.length", "box.width", "box.height", "box.inside_length"),
    *("box.inside_width", "box.inside_height", "box.tails_on", "box.groove.width", "box.groove.depth"),
    *("box.groove.up", "box.panel.kind", "box.panel.wood"),
}
"""The keys that most pieces ask for. All others are rare, and folded away."""

LONGEST_TYPED = 20_000
"""What a maker may type into one control, in letters: the flanks of a hundred tails take a tenth."""

OF_A_BOX = ("box.", "stock.")


def controls(shop: Shop) -> list[dict[str, Any]]:
    """A record for every key of a recipe, in the order of the tables. Least and most are in mm where the kind is a
    length."""
    return [_control(key, field, example, shop) for key, field, example in _keys()]


def _control(key: str, field: FieldInfo, example: Any, shop: Shop) -> dict[str, Any]:
    table, _, name = key.rpartition(".")
    rule = _rule(field)
    return {
        "key": key,
        "table": table,
        "words": _words(name),
        "group": ", ".join(_words(part) for part in table.split(".")) if table else "",
        "about": field.description or "",
        "kind": KINDS.get(type(rule), "other") if rule else "list",
        "choices": _choices(rule, shop),
        "least": _least(rule),
        "most": getattr(rule, "most", None),
        "example": example if isinstance(example, str) else shown_value(example),
        "rare": key not in FIRST,
        "piece": "box" if key.startswith(OF_A_BOX) else "both",
    }


def _keys() -> Iterator[tuple[str, FieldInfo, Any]]:
    for key, example in known_keys().items():
        if key != "box.joints":
            yield key, _field(key), example


def _field(key: str) -> FieldInfo:
    """The field that reads a key; that of the value it is in, where a value may be a table."""
    model: Any = Asked
    for part in key.split("."):
        field: FieldInfo = model.model_fields[part]
        inner = table_type(field.annotation)
        if inner is None:
            return field
        model = inner
    raise KeyError(key)


def _rule(field: FieldInfo) -> Rule | None:
    """What reads a single value; None for a list of values that are each read alone."""
    return next((each for each in field.metadata if isinstance(each, Rule)), None)


def _choices(rule: Rule | None, shop: Shop) -> list[str]:
    match rule:
        case OneOf():
            return list(rule.words)
        case Spacing():
            return list(SPACINGS)
        case WoodField():
            return [*(wood.name for wood in shop.woods), *wood_names()]
        case YesNo():
            return ["true", "false"]
    return []


def _least(rule: Rule | None) -> float | None:
    """The least that a number can be, 0 where that switches it off."""
    if isinstance(rule, Length) and rule.zero:
        return -rule.most if rule.signed else 0.0
    return getattr(rule, "least", None)


def _words(name: str) -> str:
    return capital(name.replace("_", " ").replace("dxf", "DXF"))


def shown_value(value: Any) -> str:
    """A value as a maker would type it into a control."""
    from solids.recipe.text.editing import toml_value

    return value if isinstance(value, str) else toml_value(value)


# --- what is typed ---------------------------------------------------------------------------------


def values_of(changes: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, by keys, as values that TOML holds; None gives a choice back to the rule, and so does nothing but
    blanks. RecipeError lists the keys that no recipe has, and values that none can hold."""
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for key, given in changes.items():
        try:
            values[key] = _value(key, given)
        except RecipeError as err:
            problems += err.problems
    if problems:
        raise RecipeError(problems)
    return values


def _value(key: str, given: Any) -> Any:
    if key not in known_keys():
        raise RecipeError([Problem(key[:80] or '""', "is not a key of a recipe", keys_meant(key))])
    if given is None or (isinstance(given, str) and not given.strip()):
        return None
    if isinstance(given, str):
        if len(given) > LONGEST_TYPED:
            raise RecipeError([Problem(key, f"{len(given)} letters are too many", f"accepted are {LONGEST_TYPED}")])
        if KINDS.get(type(_rule(_field(key)))) == "text":  # type: ignore[arg-type]
            return given.strip()
        raw: dict[str, Any] = {}
        if problem := apply_override(raw, f"{key}={given}"):
            raise RecipeError([problem])
        given = value_at(raw, key)
    if is_deep(given) or not _can_be_written(given):
        raise RecipeError([Problem(key, f"{shown(given)} is no value for it", f"give no {TOO_DEEP}, no null inside")])
    return given


def _can_be_written(value: Any) -> bool:
    """Whether TOML can hold a value; a number that is not finite is none."""
    if isinstance(value, dict):
        return all(isinstance(key, str) and _can_be_written(inner) for key, inner in value.items())
    if isinstance(value, list):
        return all(_can_be_written(inner) for inner in value)
    return isinstance(value, str | bool | int) or (isinstance(value, float) and math.isfinite(value))
