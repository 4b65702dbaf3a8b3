"""What a maker may ask for of the marking template, which is a tool to keep, or to sell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.base.messages import Units
from solids.base.parsing import shown
from solids.recipe.tables.fields import JsonSchema, Length, OneOf, Rule, Slope, Title, refuse
from solids.recipe.tables.table import Table


@dataclass(frozen=True)
class Slopes(Rule):
    """The slopes of a marking template, one or two, each as a slope of the joint is given."""

    def read(self, value: object, units: Units) -> tuple[float, ...]:
        accepted = 'give one slope or two in a list, as in ["1:6", "1:8"]'
        if not isinstance(value, list | tuple):
            raise refuse(f"{shown(value)} is not a list of slopes", accepted)
        if len(value) not in (1, 2):
            raise refuse(f"the list has {len(value)} slopes", accepted)
        found = tuple(Slope().read(item, units) for item in value)
        if len(set(found)) < len(found):
            raise refuse("both slopes are the same", accepted)
        return found

    def schema(self) -> JsonSchema:
        return {"type": "array", "items": Slope().schema(), "minItems": 1, "maxItems": 2}


@dataclass(frozen=True)
class EngravedWords(Rule):
    """Words to engrave: each character must be one that the font has."""

    def read(self, value: object, units: Units) -> str:
        words = Title("the text to engrave").read(value, units)
        if not words.isascii():
            from solids.base.fonts import replaced  # which takes a moment to load

            lacking = "".join(replaced(words))
            if lacking:
                raise refuse(f"the font for engraving lacks {lacking}", "write it in letters that Roboto has")
        return words

    def schema(self) -> JsonSchema:
        return Title().schema()


class MarkerTable(Table):
    """The marking template: a tool for one slope or two, to print or to mill."""

    body: Annotated[Literal["plain", "waisted"] | None, OneOf(("plain", "waisted"))] = Field(
        None, description='"plain", or "waisted": hollowed on both sides for finger and thumb.', examples=["waisted"]
    )
    slopes: Annotated[tuple[float, ...] | None, Slopes()] = Field(
        None, description="Its slope, or two of them, one at each end; left out, that of the joint.", examples=[["1:6"]]
    )
    thickest: Annotated[float | None, Length(tol.LEAST_THICKNESS, tol.THICKEST_MARKED)] = Field(
        None,
        description="The thickest board that its legs must reach across; left out, the boards of this recipe.",
        examples=[25],
    )
    leg: Annotated[float | None, Length(tol.LEAST_THICKNESS, tol.LONGEST_LEG)] = Field(
        None,
        description="Length of both legs from the inside corner; left out, as long as the boards need.",
        examples=[30],
    )
    words: Annotated[str | None, EngravedWords()] = Field(
        None, description="Your own words, to engrave.", examples=["my name"]
    )
    hang_hole: Annotated[float | None, Length(tol.LEAST_HANG_HOLE, tol.WIDEST_HANG_HOLE, zero=True)] = Field(
        None, description="Diameter of a hole to hang it by; 0 for none.", examples=[5]
    )


class AidsTable(Table):
    """How shop aids are to be made, where there is a choice."""

    marker: MarkerTable = Field(default_factory=MarkerTable, description=MarkerTable.__doc__)
