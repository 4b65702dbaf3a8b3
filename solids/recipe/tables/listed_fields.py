"""Kinds of value that a joint's keys can hold where the maker gives tails, pins or flanks one by one, each from the
reference edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field
from pydantic_core import PydanticCustomError

from solids.base import tolerances as tol
from solids.base.messages import Units, message
from solids.base.parsing import shown
from solids.recipe.tables.fields import LENGTH_SCHEMA, JsonSchema, Length, Rule, Slope, refuse
from solids.recipe.tables.resolved import EdgeName
from solids.recipe.tables.table import Table

FEATURE = Length(tol.LEAST_FEATURE)
PLACE = Length(tol.LEAST_FEATURE, zero=True)
"""The place of a flank: 0 is the reference edge itself."""

GivenFlank = tuple[float, float | None]
"""A flank as the maker gives it: its X at the finished face, and at the baseline; None where it has the joint's
slope."""


def _each(value: list[object] | tuple[object, ...], rule: Rule, units: Units, what: str) -> list[object]:
    """Every item of a list by one rule; what is wrong names the item by its number."""
    return [_one(item, rule, units, f"{what} {number}:") for number, item in enumerate(value, start=1)]


def _one(item: object, rule: Rule, units: Units, name: str) -> object:
    """One item by a rule; what is wrong begins with its name."""
    try:
        return rule.read(item, units)
    except PydanticCustomError as err:
        told = err.context or {}
        raise refuse(message("{} {}", name, told["wrong"]), told["remedy"]) from None


@dataclass(frozen=True)
class Pins(Rule):
    """The width of all full pins, or of each."""

    def read(self, value: object, units: Units) -> float | tuple[float, ...]:
        if not isinstance(value, list | tuple):
            return FEATURE.read(value, units)
        if not 1 <= len(value) < tol.MOST_TAILS:
            raise refuse(f"the list has {len(value)} pins", f"accepted are from 1 to {tol.MOST_TAILS - 1}")
        return tuple(_each(value, FEATURE, units, "pin"))  # type: ignore[arg-type]

    def schema(self) -> JsonSchema:
        each = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 1, "maxItems": tol.MOST_TAILS - 1}
        return {"anyOf": [*LENGTH_SCHEMA["anyOf"], each]}


@dataclass(frozen=True)
class HalfPins(Rule):
    """The width of both half pins, or of each."""

    def read(self, value: object, units: Units) -> float | tuple[float, float]:
        if not isinstance(value, list | tuple):
            return FEATURE.read(value, units)
        if len(value) != 2:
            wrong = f"the list has {len(value)} half pins"
            raise refuse(wrong, "give two: that at the reference edge, and the other, as in [5, 6]")
        first, last = _each(value, FEATURE, units, "half pin")
        return first, last  # type: ignore[return-value]

    def schema(self) -> JsonSchema:
        each = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 2, "maxItems": 2}
        return {"anyOf": [*LENGTH_SCHEMA["anyOf"], each]}


@dataclass(frozen=True)
class FlankSlopes(Rule):
    """The slope of all flanks, or of each: two for each tail."""

    def read(self, value: object, units: Units) -> float | tuple[float, ...]:
        if not isinstance(value, list | tuple):
            return Slope().read(value, units)
        if not 1 <= len(value) <= 2 * tol.MOST_TAILS:
            raise refuse(f"the list has {len(value)} slopes", "give one for each flank, two for each tail")
        return tuple(_each(value, Slope(), units, "slope"))  # type: ignore[arg-type]

    def schema(self) -> JsonSchema:
        one = Slope().schema()
        return {"anyOf": [one, {"type": "array", "items": one, "minItems": 1, "maxItems": 2 * tol.MOST_TAILS}]}


@dataclass(frozen=True)
class _OneFlank(Rule):
    def read(self, value: object, units: Units) -> GivenFlank:
        if not isinstance(value, list | tuple):
            return PLACE.read(value, units), None
        if len(value) != 2:
            accepted = "give its places at the finished face and at the baseline, as in [8, 9.5], or the first alone"
            raise refuse(f"{shown(value)} is no flank", accepted)
        places = zip(value, ("at the finished face,", "at the baseline,"), strict=True)
        face, foot = (_one(item, PLACE, units, name) for item, name in places)
        return face, foot  # type: ignore[return-value]


@dataclass(frozen=True)
class Flanks(Rule):
    """Where every flank lies, two for each tail: its X at the finished face and at the baseline, or at the finished
    face alone."""

    def read(self, value: object, units: Units) -> tuple[GivenFlank, ...]:
        accepted = "give two for each tail, each as [x at the finished face, x at the baseline] or as the first alone"
        if not isinstance(value, list | tuple):
            raise refuse(f"{shown(value)} is no list of flanks", accepted)
        most = 2 * tol.MOST_TAILS
        if not 1 <= len(value) <= most:
            accepted = f"accepted are up to {most}, two for each tail" if len(value) > most else accepted
            raise refuse(f"the list has {len(value)} flanks", accepted)
        return tuple(_each(value, _OneFlank(), units, "flank"))  # type: ignore[arg-type]

    def schema(self) -> JsonSchema:
        pair = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 2, "maxItems": 2}
        flank = {"anyOf": [*LENGTH_SCHEMA["anyOf"], pair]}
        return {"type": "array", "items": flank, "minItems": 1, "maxItems": 2 * tol.MOST_TAILS}


@dataclass(frozen=True)
class Edges(Rule):
    """What stands at the reference edge and at the other: a half pin or a half tail."""

    def read(self, value: object, units: Units) -> tuple[EdgeName, EdgeName]:
        names = ("half pin", "half tail")
        if not isinstance(value, list | tuple) or len(value) != 2 or any(item not in names for item in value):
            accepted = (
                'give "half pin" or "half tail" for the reference edge and the other, as in ["half pin", "half tail"]'
            )
            raise refuse(f"{shown(value)} does not name both edges", accepted)
        first, last = value
        return first, last

    def schema(self) -> JsonSchema:
        names = {"enum": ["half pin", "half tail"]}
        return {"type": "array", "items": names, "minItems": 2, "maxItems": 2}


class MitreTable(Table):
    """Shoulders that are mitred along the edges, in place of half pins there."""

    reference: Annotated[float | None, PLACE] = Field(
        None, description="How wide the mitre is at the reference edge; 0 for none.", examples=[0]
    )
    other: Annotated[float | None, PLACE] = Field(
        None, description="How wide the mitre is at the other edge; 0 for none.", examples=[6]
    )
