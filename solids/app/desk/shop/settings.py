"""Settings of a shop by their keys: what is typed for one, at which control a problem is told, and what the tool's
rules say where nothing is set."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from solids.app.desk.keys import WOODS, shop_controls, value_of, values_of
from solids.base.errors import Problem, RecipeError
from solids.layout import Layout
from solids.layout.plan import laid_out
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.fields import OWN_WOOD_LIMITS
from solids.recipe.tables.keys import nearest, value_at
from solids.recipe.text.problems import units_in
from solids.recipe.text.shop_file import shop_keys
from solids.recipe.text.starter import in_units
from solids.recipe.text.toml import Raw

if TYPE_CHECKING:
    from solids.base.messages import Units
    from solids.recipe.tables.resolved import Recipe

OF_A_WOOD = ("kind", *OWN_WOOD_LIMITS)

SIZES = ("length", "sizes", "pair")
"""Kinds of settings whose plain numbers are lengths."""

SAMPLE: Raw = {
    "joint": {"width": "96 mm"},
    "tail_board": {"thickness": "12 mm"},
    "pin_board": {"thickness": "12 mm"},
}
"""A corner from which it is told what the tool's rules say where the shop says nothing; they say so of any other."""

NAME = "give it a name without full stop, quotes and ="


def values_typed(typed: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed, by keys, as values that TOML holds; None gives a choice back."""
    known, of_woods = shop_keys(), {key for key in typed if is_within(key, WOODS)}
    problems = [
        Problem(key[:80] or '""', "is not a setting of a shop", f"the nearest is {nearest(key, known)}")
        for key in typed
        if key not in known and key not in of_woods
    ]
    if problems:
        raise RecipeError(problems)
    others = {key: given for key, given in typed.items() if key not in of_woods}
    return values_of(others) | {key: _of_a_wood(key, typed[key]) for key in of_woods}


def _of_a_wood(key: str, given: Any) -> Any:
    """A wood of one's own, as a table of what was typed, or one thing that is said of it."""
    _, *path = key.split(".")
    if len(path) not in (1, 2) or not is_plain(path[0]):
        raise RecipeError([Problem(key[:80], "is no name for a wood here", NAME)])
    if path[1:] and path[1] not in OF_A_WOOD:
        raise RecipeError([Problem(key[:80], "is not said of a wood", f"accepted are {', '.join(OF_A_WOOD)}")])
    if isinstance(given, dict):
        parts = {part: _of_a_wood(f"{key}.{part}", value) for part, value in given.items()}
        return {part: value for part, value in parts.items() if value is not None}
    return value_of(key, given)


def is_plain(name: str) -> bool:
    """Whether a name of a wood can be part of a dotted key."""
    return bool(name.strip()) and not set(name) & set(".=\"'\n")


def is_within(key: str, other: str) -> bool:
    """Whether a key is another one, or lies in its table or list."""
    return f"{key}.".startswith(f"{other}.")


def place_of(key: str, keys: Iterable[str]) -> str:
    """The control at which a problem is told: that of the key, or of the list or table that it lies in."""
    return max((one for one in keys if is_within(key, one)), key=len, default="")


def sizes_with_units(tables: Raw, units: Units) -> Iterator[tuple[str, Any]]:
    """The sizes that stand as plain numbers, each with its unit behind, where plain numbers will be in others."""
    before = units_in(tables)
    for one in shop_controls(NO_SHOP) if units != before else ():
        value = value_at(tables, one["key"]) if one["kind"] in SIZES else None
        if value is not None and (new := in_units(value, before)) != value:
            yield one["key"], new


def sample_for(shop: Shop) -> Recipe:
    """A corner that says nothing itself, so that all is by the shop or by rule. Where the shop's tools are for other
    boards, it has its units alone."""
    units = {"units": shop.asked.units or "mm"}
    try:
        return _corner(shop)
    except RecipeError:
        return _corner(Shop(NO_SHOP.asked.model_copy(update=units), units))


def _corner(shop: Shop) -> Recipe:
    layout = laid_out(SAMPLE, (), shop)
    assert isinstance(layout, Layout)
    return layout.recipe
