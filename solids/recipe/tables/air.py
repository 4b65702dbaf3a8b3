"""The air of shop and home: how a recipe states it, and what is assumed where it does not.

The air assumed is common practice, close to what the Wood Handbook (FPL-GTR-282, chapter 13) recommends for wood
indoors: an average moisture of 8 % in most of the United States, 6 % in the dry south-west and 11 % on damp coasts; its
ranges for single pieces are 6 to 10, 4 to 9 and 8 to 13 % (from memory). Ours run from 7.0 to 11.9 %.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from solids.base.messages import Units
from solids.base.parsing import shown
from solids.recipe.tables.fields import JsonSchema, Rule, refuse
from solids.wood import Climate, Seasons
from solids.wood.moisture import HUMIDITY_LEAST, HUMIDITY_MOST, TEMPERATURE_LEAST, TEMPERATURE_MOST

SHOP = Climate(20.0, 55.0)
DRIEST, DAMPEST = Climate(21.0, 35.0), Climate(22.0, 65.0)
SHOP_RULE = "a shop that is heated now and then"
DRY_RULE = "a heated room in winter"
DAMP_RULE = "a room in a damp summer"

ALIKE = 1.0
"""In % of moisture. A single air for the home that brings wood this close to the shop's names no season: it is the
middle of the year, and a household hygrometer errs by as much. Common practice."""

TELLS_NO_SEASON = "; the one air you give is like the shop's and names no season"


@dataclass(frozen=True)
class Air(Rule):
    """The air of a room as temperature and relative humidity: "20 C, 50 %"."""

    def read(self, value: object, units: Units) -> Climate:
        accepted = 'give temperature and humidity, as in "20 C, 50 %" or "68 F, 50 %"'
        number = r"(-?\d{1,3}(?:\.\d{0,40})?)"
        pattern = rf"{number} ?(?:°|deg ?)?([CcFf])(?: ?[,;] ?| ){number} ?%(?: ?(?:RH|rh))?"
        # Without doubled spaces, so that there is one way to read a text, however long.
        plain = " ".join(value.split()) if isinstance(value, str) else ""
        found = re.fullmatch(pattern, plain)
        if not found:
            raise refuse(f"{shown(value)} is not the air of a room", accepted)
        degrees, humidity = float(found[1]), float(found[3])
        celsius = degrees if found[2] in "Cc" else (degrees - 32) / 1.8
        if not HUMIDITY_LEAST <= humidity <= HUMIDITY_MOST:
            raise refuse(
                f"a humidity of {humidity:g} % is outside the published table of wood moisture",
                f"accepted is {HUMIDITY_LEAST:g} to {HUMIDITY_MOST:g} %",
            )
        if not TEMPERATURE_LEAST <= celsius <= TEMPERATURE_MOST:
            raise refuse(
                f"a temperature of {degrees:g} {found[2].upper()} is outside the published table of wood moisture",
                "accepted is -1 to 48 C, or 30 to 120 F",
            )
        return Climate(celsius, humidity)

    def schema(self) -> JsonSchema:
        return {"type": "string", "pattern": r"^\s*-?[0-9.]+\s*(°|deg)?\s*[CcFf]\s*[,;]?\s*[0-9.]+\s*%.*$"}


@dataclass(frozen=True)
class HomeAsked:
    """What a recipe says about the home: one air, or the air at its driest and at its dampest."""

    one: Climate | None = None
    dry: Climate | None = None
    damp: Climate | None = None


@dataclass(frozen=True)
class Home(Rule):
    """The air of the home: one air as text, or a table of the driest and the dampest."""

    def read(self, value: object, units: Units) -> HomeAsked:
        accepted = 'give one air, as in "21 C, 35 %", or { dry = "21 C, 35 %", damp = "22 C, 65 %" }'
        if not isinstance(value, dict):
            return HomeAsked(one=Air().read(value, units))
        if unknown := ", ".join(sorted(map(str, set(value) - {"dry", "damp"}))):
            raise refuse(f"{shown(unknown)} is not a season", f"accepted are dry and damp; {accepted}")
        dry, damp = (Air().read(value[key], units) if key in value else None for key in ("dry", "damp"))
        if dry and damp and dry.moisture > damp.moisture:
            wood = f"wood comes to {dry.moisture:.1f} % moisture in one and to {damp.moisture:.1f} % in the other"
            raise refuse(f"dry is damper than damp: {wood}", "swap them")
        return HomeAsked(dry=dry, damp=damp)

    def schema(self) -> JsonSchema:
        air = Air().schema()
        dry = {**air, "description": "The air at the driest time of the year.", "examples": ["21 C, 35 %"]}
        damp = {**air, "description": "The air at the dampest time of the year.", "examples": ["22 C, 65 %"]}
        seasons = {"type": "object", "properties": {"dry": dry, "damp": damp}, "additionalProperties": False}
        return {"anyOf": [seasons, air]}


def seasons_of(shop: Climate, asked: HomeAsked | None) -> tuple[Seasons, dict[str, str]]:
    """The home's two seasons, and the rule for each that was left out.

    A single air is the driest where it is drier than the shop's, the dampest where it is damper, and neither where it
    is like it. A season left out is the usual one, unless the air given lies beyond that.
    """
    given = asked or HomeAsked()
    dry, damp, known, because = given.dry, given.damp, given.one or given.dry or given.damp, ""
    if given.one is not None:
        apart = given.one.moisture - shop.moisture
        dry, damp = given.one if apart < -ALIKE else None, given.one if apart > ALIKE else None
        because = TELLS_NO_SEASON if abs(apart) <= ALIKE else ""
    rules = {}
    if dry is None:
        dry, rules["dry"] = DRIEST, DRY_RULE + because
        if known and known.moisture < DRIEST.moisture:
            dry, rules["dry"] = known, "the air you give is drier than a usual winter" + because
    if damp is None:
        damp, rules["damp"] = DAMPEST, DAMP_RULE + because
        if known and known.moisture > DAMPEST.moisture:
            damp, rules["damp"] = known, "the air you give is damper than a usual summer" + because
    return Seasons(dry, damp), rules
