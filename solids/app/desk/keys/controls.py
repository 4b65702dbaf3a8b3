"""The controls of the page, made from the keys that a recipe can have."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo

from solids.app.desk.keys.examples import example_in
from solids.app.desk.keys.lists import takes_list
from solids.base.messages import Units, capital
from solids.recipe.completing.shop import Shop
from solids.recipe.tables.air import Air, Home
from solids.recipe.tables.box_schema import Thickness
from solids.recipe.tables.dates import Date
from solids.recipe.tables.fields import (
    OWN_WOOD_LIMITS,
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
)
from solids.recipe.tables.keys import keys_of, table_type
from solids.recipe.tables.listed_fields import Edges, Flanks, FlankSlopes, HalfPins, Pins
from solids.recipe.tables.marker_schema import EngravedWords, Slopes
from solids.recipe.tables.schema import Asked, ShopTables, known_keys
from solids.recipe.tables.stock_schema import RackBoards
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
    RackBoards: "other",
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
    *("box.groove.up", "box.panel.kind", "box.panel.wood", "box.panel.held", "box.panel.thickness"),
    *("box.panel.edge",),
    *("box.lid.kind", "box.lid.at", "box.lid.kerf", "box.lid.drop", "box.lid.overhang", "box.lid.panel.thickness"),
    "box.lid.lining.thickness",
    *("opening.width", "opening.height", "opening.depth", "opening.play"),
}
"""The keys that most pieces ask for. All others are rare, and folded away."""

FIRST_IN_SHOP = {
    *("author", "units", "kit.chisels", "kit.saw_kerf", "kit.knife", "kit.scale", "climate.shop", "climate.home.dry"),
    *("climate.home.damp", "glue.kind", "glue.open_time", "paper.size", "print.bed", "print.nozzle", "print.clearance"),
}
"""The settings of a shop that most makers have."""

WOODS = "woods"
"""The setting of a shop that holds woods, each with keys of its own."""

OF_A_BOX = ("box.", "opening.", "stock.length", "stock.width")

NOTHING_INSTEAD = re.compile(
    r"author|date|joint\.(flanks|edges)|(.+\.)?mitre\..+|.+\.cup|tail_board\.rebate|kit\..+|climate\.assumed"
    r"|aids\.marker\.(slopes|thickest|leg|words)|stock\..+|box\.joints\..+|print\.magnet\..+|opening\.(width|height|depth)"
    r"|box\.divider|box\.front\.lip\..+"
)
"""Keys for which no rule stands in where they are left out: there is nothing then, or what the maker's shop or a wider
table says."""


NAMES = {
    "assembly_time": "Minutes to the last clamp",
    "behind": "Behind the front",
    "bush": "Guide bush",
    "clamp_time": "Minutes in the clamps",
    "cutters": "Router cutters",
    "drop": "Drops between the boards",
    "down": "Below the sides' edges",
    "lid_tails": "Tails on the lid",
    "lip": "Lip of the front",
    "marker": "Marking template",
    "open_time": "Minutes of open time",
    "panel": "Bottom",
    "print": "Printer",
    "rough": "Rough sizes",
    "scale": "Lines of your rule",
    "shift": "Slip of a board",
    "sigma": "Stray of the flanks",
    "spread": "Spread in g/m2",
    "up": "Above the reference edge",
}
"""Words for parts of keys that say too little by themselves, or what the trade calls otherwise."""

UNSAID = ("box", "joints", "aids")
"""Tables that only hold others: what is in them is told without them."""


def controls(shop: Shop) -> list[dict[str, Any]]:
    """A record for every key of a recipe, in the order of the tables. Least and most are in mm where the kind is a
    length. Where a list can stand in place of a choice, `lists` are examples of one; else there are none."""
    return [_control(key, field, example, shop, FIRST) for key, field, example in _keys()]


def shop_controls(shop: Shop) -> list[dict[str, Any]]:
    """The same for every setting of a shop but its woods."""
    keys = (item for item in keys_of(ShopTables) if item[0].partition(".")[0] != WOODS)
    return [_control(key, field_of(key, ShopTables), example, shop, FIRST_IN_SHOP) for key, example in keys]


def wood_controls() -> list[dict[str, Any]]:
    """The same for what a maker may say of a wood of their own, by the name of each key."""
    nothing = {"examples": {"mm": "", "in": ""}, "lists": None, "has_rule": False}
    alike = {"table": "", "group": "", "piece": "both", **nothing}
    about = "By the tree, not by how hard it is."
    kind: dict[str, Any] = {"key": "kind", "words": "Kind", "about": about, "kind": "choice"}
    kinds = {"choices": ["hardwood", "softwood"], "least": None, "most": None, "rare": False}
    figures: list[dict[str, Any]] = [
        {"key": key, "words": _words(key), "about": what, "kind": "other"}
        | {"choices": [], "least": least, "most": most, "rare": key != "density"}
        for key, (least, most, what) in OWN_WOOD_LIMITS.items()
    ]
    return [one | alike for one in (kind | kinds, *figures)]


def _control(key: str, field: FieldInfo, example: Any, shop: Shop, first: Collection[str]) -> dict[str, Any]:
    table, _, name = key.rpartition(".")
    rule = rule_of(field)
    lists = [each for each in field.examples or () if isinstance(each, list)] if _is_choice_or_list(rule) else []
    return {
        "key": key,
        "table": table,
        "words": _words(name),
        "group": _group(table),
        "about": _about(name, field, rule),
        "kind": KINDS.get(type(rule), "other") if rule else _kind_of_list(field),
        "choices": _choices(rule, shop),
        "least": _least(rule),
        "most": getattr(rule, "most", None),
        "examples": _examples(example, rule),
        "lists": _examples(lists[0], rule) if lists else None,
        "has_rule": NOTHING_INSTEAD.fullmatch(key) is None,
        "rare": key not in first,
        "piece": "box" if key.startswith(OF_A_BOX) else "both",
    }


def _keys() -> Iterator[tuple[str, FieldInfo, Any]]:
    for key, example in known_keys().items():
        if key != "box.joints":
            yield key, field_of(key), example


def field_of(key: str, model: Any = Asked) -> FieldInfo:
    """The field that reads a key; that of the value it is in, where a value may be a table."""
    for part in key.split("."):
        field: FieldInfo = model.model_fields[part]
        inner = table_type(field.annotation)
        if inner is None:
            return field
        model = inner
    raise KeyError(key)


def rule_of(field: FieldInfo) -> Rule | None:
    """What reads a single value; None for a list of values that are each read alone."""
    return next((each for each in field.metadata if isinstance(each, Rule)), None)


def _about(name: str, field: FieldInfo, rule: Rule | None) -> str:
    """What a key is; in a value that may be a table, what its part of that name is."""
    tables = (one.get("properties", {}) for one in rule.schema().get("anyOf", [])) if rule else ()
    part = next((properties[name] for properties in tables if name in properties), None)
    return (part["description"] if part else field.description) or ""


def _kind_of_list(field: FieldInfo) -> str:
    """Any number of sizes, or two; tables are typed as words."""
    if is_list_of_tables(field):
        return "other"
    lists = [one for one in get_args(field.annotation) if get_origin(one) is tuple]
    return "sizes" if lists and get_args(lists[0])[-1] is Ellipsis else "pair"


def is_list_of_tables(field: FieldInfo) -> bool:
    """Whether a key holds a list of tables, each of which a maker types in braces."""
    return any(get_origin(one) is tuple and table_type(get_args(one)[0]) for one in get_args(field.annotation))


def _is_choice_or_list(rule: Rule | None) -> bool:
    return rule is not None and KINDS.get(type(rule)) == "choice" and takes_list(rule)


def _examples(value: Any, rule: Rule | None) -> dict[Units, str]:
    """An example for a recipe of each unit."""
    return {units: example_in(units, value, rule) for units in get_args(Units)}


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


def _group(table: str) -> str:
    """What a table is called: "Joint, Mitre", "Front left corner, Undercut"."""
    first, *more = [part for part in table.split(".") if part not in UNSAID] or [table]
    corners = (" corner" if "_" in first else " corners") if table.startswith("box.joints.") else ""
    return ", ".join((_words(first) + corners, *map(_words, more)))


def _words(name: str) -> str:
    return NAMES.get(name) or capital(name.replace("_", " ").replace("dxf", "DXF"))
