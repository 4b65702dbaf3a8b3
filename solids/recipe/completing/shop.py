"""The maker's own shop, which stands behind every recipe: a recipe's own word goes first, then the shop's, then the
rule of the trade.

What came from the shop is listed among the choices, so that a report alone says what was used, and freezing writes it
into the recipe.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from operator import attrgetter
from typing import Any, TypeVar

from solids.base.lengths import CALIPER, format_decimal, format_sizes
from solids.base.likeness import plain
from solids.base.messages import Units, counted
from solids.base.sources import SHOP_FILE
from solids.recipe.completing.box_keys import merged
from solids.recipe.tables.air import HomeAsked
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.keys import put_at, value_at
from solids.recipe.tables.resolved import Choice, Magnet, Recipe
from solids.recipe.tables.schema import Asked, ClimateTable, ShopTables, known_keys, listed_tables
from solids.recipe.tables.tools_schema import MagnetTable
from solids.wood import Climate, Wood
from solids.wood.glues import USUAL, glue_words
from solids.wood.rack import RackBoard

Raw = dict[str, Any]
Resolved = TypeVar("Resolved", bound=Recipe | BoxRecipe)

FROM_SHOP = "from your shop"
OWN_WOOD = "your own figures, from your shop"
TOLD_ALONE = ("kit", "paper", "print", "aids.marker", "stock")
"""Tables whose keys each stand for themselves; those of the climate are read together."""


@dataclass(frozen=True)
class Shop:
    """What holds in the maker's shop: `asked` as it was checked, `tables` as it was written."""

    asked: ShopTables = field(default_factory=ShopTables)
    tables: Mapping[str, Any] = field(default_factory=dict)

    @property
    def woods(self) -> tuple[Wood, ...]:
        """The maker's own woods, under the names that recipes give."""
        return tuple(replace(wood, name=name) for name, wood in self.asked.woods.items())


NO_SHOP = Shop()
"""The shop of a maker who set nothing, and of a run that leaves it out."""


def in_words_of(shop: Shop, raw: Raw) -> Raw:
    """A recipe's tables with the units of the shop where they name none, and the shop's figures for its own woods."""
    units, named = _units_for(shop, raw), dict(_named_woods(shop, raw))
    if shop.asked.woods:
        raw = with_own_woods(raw, shop.tables["woods"])
    if units is None and not named:
        return raw
    found = copy.deepcopy(raw)
    if units is not None:
        found["units"] = units
    for key, wood in named.items():
        put_at(found, key, wood)
    return found


def complete(shop: Shop, raw: Raw, asked: Asked, resolve: Callable[[Asked], Resolved]) -> Resolved:
    """The recipe, completed by what the shop says and then by `resolve`, with what came from the shop before the other
    choices. `asked` was read from `raw` in the words of the shop. Raises as `resolve` does."""
    if not shop.tables:
        return resolve(asked)
    added = {name: _left_out(asked, shop.asked, name) for name in TOLD_ALONE}
    added["climate"] = _climate(asked.climate, shop.asked.climate)
    added["glue"] = _glue(asked, shop.asked)
    author = None if asked.author else shop.asked.author
    whole = merged(asked, added).model_copy(update={"author": author} if author else {})
    recipe = resolve(whole)
    home = added["climate"].pop("home", None)
    alone = {"author": author, "units": _units_for(shop, raw)}
    found = [Choice(key, value, FROM_SHOP, value, SHOP_FILE) for key, value in alone.items() if value]
    for key in _named_woods(shop, raw):
        wood: Wood = _asked_at(whole, key)
        found.append(Choice(key, wood.name, OWN_WOOD, wood, SHOP_FILE))
    for table, values in added.items():
        found += [_choice(f"{table}.{key}", value, recipe.units) for key, value in values.items()]
    found += _seasons(recipe, asked.climate.home) if home else []
    return replace(recipe, choices=(*found, *recipe.choices))


# --- units and woods -----------------------------------------------------------------------------


def _units_for(shop: Shop, raw: Raw) -> Units | None:
    """The shop's units, for a recipe that names none."""
    return None if "units" in raw else shop.asked.units


def _named_woods(shop: Shop, raw: Raw) -> dict[str, Any]:
    """The shop's woods that a recipe names, by the keys where it does, as a recipe gives a wood of one's own."""
    if not shop.asked.woods:
        return {}
    own, found = _by_plain_name(shop.tables["woods"]), {}
    for key in _wood_keys(raw):
        said = value_at(raw, key)
        if isinstance(said, str) and plain(said) in own:
            found[key] = own[plain(said)]
    return found


def _wood_keys(raw: Raw) -> Iterator[str]:
    """Every key of a recipe that may name a wood, with those of the tables that it lists."""
    yield from (key for key in known_keys() if key.endswith(".wood"))
    for name, model in listed_tables().items():
        count = len(found) if isinstance(found := value_at(raw, name), list) else 0
        yield from (f"{name}.{number}.wood" for number in range(1, count + 1) if "wood" in model.model_fields)


def _asked_at(asked: Asked, key: str) -> Any:
    """What was asked for at a key of which tables and lists are there."""
    found: Any = asked
    for part in key.split("."):
        found = found[int(part) - 1] if isinstance(found, tuple) else getattr(found, part)
    return found


def with_own_woods(raw: Raw, woods: Mapping[str, Any]) -> Raw:
    """Tables of a recipe or a shop, in which the boards of the rack have the figures of the maker's own `woods`."""
    stock = raw.get("stock")
    boards = stock.get("board") if isinstance(stock, dict) else None
    if not isinstance(stock, dict) or not isinstance(boards, list):
        return raw
    own = _by_plain_name(woods)

    def told(board: Any) -> Any:
        said = board.get("wood") if isinstance(board, dict) else None
        return {**board, "wood": own[plain(said)]} if isinstance(said, str) and plain(said) in own else board

    return {**raw, "stock": {**stock, "board": [told(board) for board in boards]}}


def _by_plain_name(woods: Mapping[str, Any]) -> dict[str, Any]:
    """The maker's own woods as a recipe gives a wood of one's own, by their plain names."""
    return {plain(name): {"name": name, **table} if isinstance(table, dict) else table for name, table in woods.items()}


# --- settings ------------------------------------------------------------------------------------


def _left_out(asked: Asked, shop: ShopTables, name: str) -> dict[str, Any]:
    """What the shop says in a table and the recipe does not."""
    own, usual = (attrgetter(name)(tables).given() for tables in (asked, shop))
    return {key: value for key, value in usual.items() if key not in own}


def _climate(own: ClimateTable, usual: ClimateTable) -> dict[str, Any]:
    """The same for the air of the rooms. A recipe that names air of its own also says whether it is only
    assumed."""
    given = own.given()
    found = {key: value for key, value in usual.given().items() if key not in given}
    if own.shop or own.home:
        found.pop("assumed", None)
    if own.home and usual.home and (home := _home(own.home, usual.home)) != own.home:
        found["home"] = home
    return found


def _glue(asked: Asked, shop: ShopTables) -> dict[str, Any]:
    """The same for the glue. A recipe that asks for another kind takes nothing from the shop's bottle."""
    is_another = asked.glue.kind not in (None, shop.glue.kind or USUAL)
    return {} if is_another else _left_out(asked, shop, "glue")


def _home(own: HomeAsked, usual: HomeAsked) -> HomeAsked:
    """A home with the shop's season where the recipe leaves one out. One air for the whole home stands alone; so does a
    season beside which the shop's would make the dry time damper than the damp one."""
    if own == HomeAsked():
        return usual
    dry, damp = own.dry or usual.dry, own.damp or usual.damp
    turned = dry and damp and dry.moisture > damp.moisture
    return own if own.one or turned else HomeAsked(dry=dry, damp=damp)


def _seasons(recipe: Recipe | BoxRecipe, own: HomeAsked | None) -> Iterator[Choice]:
    """The seasons of the home that are the shop's: neither the recipe's own nor chosen by a rule."""
    ruled = {choice.key for choice in recipe.choices}
    home = recipe.home if isinstance(recipe, Recipe) else next(iter(recipe.corners.values())).home
    for season in ("dry", "damp"):
        key = f"climate.home.{season}"
        if key not in ruled and getattr(own, season, None) is None:
            yield _choice(key, getattr(home, season), recipe.units)


def _choice(key: str, value: Any, units: Units) -> Choice:
    if isinstance(value, MagnetTable):
        value = Magnet(value.diameter, value.thickness)
    return Choice(key, _words(key, value, units), FROM_SHOP, value, SHOP_FILE)


def _words(key: str, value: Any, units: Units) -> str:
    """A setting as it is listed, in the reader's units."""
    say = partial(format_decimal, units=units)
    if key.endswith(".slopes"):
        return ", ".join(f"1:{slope:.4g}" for slope in value)
    if isinstance(value, tuple):
        boards = sum(item.count for item in value if isinstance(item, RackBoard))
        return counted(boards, "board") if boards else (" x " if key == "print.bed" else ", ").join(map(say, value))
    if isinstance(value, Magnet):
        return f"{say(value.diameter)} by {say(value.thickness)}"
    if isinstance(value, Climate):
        return value.words(units)
    if isinstance(value, float):
        table, _, name = key.partition(".")
        return glue_words(name, value) if table == "glue" else format_sizes([value], units, CALIPER)
    return str(value).lower() if isinstance(value, bool) else str(value)
