"""What a maker may say of the wood that a piece is cut from: the largest board there is, and those in the rack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import Field
from pydantic_core import PydanticCustomError

from solids.base import tolerances as tol
from solids.base.amounts import too_much, typed
from solids.base.geometry import Span
from solids.base.messages import Units, Words, joined, message
from solids.base.parsing import shown
from solids.recipe.tables.fields import (
    LENGTH_SCHEMA,
    JsonSchema,
    Length,
    OneOf,
    Rule,
    Title,
    Whole,
    WoodField,
    YesNo,
    refuse,
)
from solids.recipe.tables.table import Table
from solids.wood.rack import RackBoard

MOST_BOARDS, MOST_ALIKE = 200, 1000
"""How many kinds of board a rack holds, and how many boards of one kind. A shop of one person has fewer."""

MOST_AVOIDED = 50
"""Spans to avoid on one board. With more it is firewood."""

MOST_TOLD = 3
"""Of what is wrong with a rack, at once."""

LONG, THICK = Length(tol.LEAST_WIDTH, 20_000.0), Length(tol.LEAST_THICKNESS, 500.0)

Size = Annotated[float | None, LONG]


@dataclass(frozen=True)
class _Avoided(Rule):
    """Spans along a board that no part may lie on, each as a pair of places from its left end; in their order."""

    def read(self, value: object, units: Units) -> tuple[Span, ...]:
        accepted = "give pairs of places from the left end, as in [[310, 360], [900, 940]]"
        if not isinstance(value, list | tuple):
            raise refuse(f"{shown(value)} is no list of spans", accepted)
        if len(value) > MOST_AVOIDED:
            raise refuse(f"the list has {len(value)} spans", f"accepted are at most {MOST_AVOIDED}")
        spans = sorted(self._span(item, units, accepted) for item in value)
        for (low, high), (next_low, next_high) in pairwise(spans):
            if next_low < high:
                wrong = message("the spans {} and {} overlap", told_span(low, high), told_span(next_low, next_high))
                raise refuse(wrong, message("write them as one, {}", told_span(low, max(high, next_high))))
        return tuple(spans)

    def _span(self, item: object, units: Units, accepted: str) -> Span:
        if not isinstance(item, list | tuple) or len(item) != 2:
            raise refuse(f"{shown(item)} is no span", accepted)
        low, high = (Length(tol.LEAST_STEP, 20_000.0, zero=True).read(place, units) for place in item)
        if low >= high:
            wrong = message("the span from {} to {} has no length", typed(low), typed(high))
            raise refuse(wrong, "give where it begins before where it ends, both from the left end")
        return low, high

    def schema(self) -> JsonSchema:
        pair = {"type": "array", "items": LENGTH_SCHEMA, "minItems": 2, "maxItems": 2}
        return {"type": "array", "items": pair, "maxItems": MOST_AVOIDED}


def told_span(low: float, high: float) -> Words:
    """A span as a recipe writes it."""
    return message("[{}, {}]", typed(low), typed(high))


PARTS: dict[str, tuple[Rule, str]] = {
    "name": (Title("the name of the board"), "What you chalked on it, to find it by."),
    "length": (LONG, "Its length, along the grain."),
    "width": (LONG, "Its width, where it is narrowest."),
    "thickness": (THICK, "Its thickness as it lies in the rack, rough or planed."),
    "wood": (WoodField(), "Its wood."),
    "count": (Whole(1, MOST_ALIKE), "How many boards there are like it; 1 where it is left out."),
    "planed": (YesNo(), "Whether it has been planed to thickness, so that a part needs no more for planing."),
    "avoid": (_Avoided(), "Knots and splits: pairs of places along it, from its left end."),
}
"""What is said of a board, how each is read, and what it is."""

NEEDED_OF_A_BOARD = ("length", "width", "thickness", "wood")

EXAMPLE = {"length": 2400, "width": 200, "thickness": 27, "wood": "beech"}

AS_IN = '[[stock.board]] with length, width, thickness and wood below it, as in length = 2400, wood = "beech"'


@dataclass(frozen=True)
class RackBoards(Rule):
    """The boards in a rack: a list of tables."""

    def read(self, value: object, units: Units) -> tuple[RackBoard, ...]:
        if isinstance(value, Mapping):
            raise refuse("one table stands where a list of boards belongs", f"write {AS_IN}; mind both brackets")
        if not isinstance(value, list | tuple) or not value:
            raise refuse(f"{shown(value)} is no list of boards", f"write {AS_IN}")
        if len(value) > MOST_BOARDS:
            more = "write boards that are alike as one, with count"
            raise refuse(f"the list has {len(value)} boards", f"accepted are at most {MOST_BOARDS}; {more}")
        boards, wrong = [], list[tuple[Words, Words]]()
        for number, item in enumerate(value, start=1):
            if isinstance(item, RackBoard):
                boards.append(item)
                continue
            found = _read(item, number, units)
            if isinstance(found, RackBoard):
                boards.append(found)
            else:
                wrong += found
        if wrong:
            more = f"; and {len(wrong) - MOST_TOLD} more" if len(wrong) > MOST_TOLD else ""
            remedies = dict.fromkeys(remedy for _, remedy in wrong[:MOST_TOLD])
            raise refuse(
                message("{}{}", joined((one for one, _ in wrong[:MOST_TOLD]), "; "), more), joined(remedies, "; ")
            )
        return tuple(boards)

    def schema(self) -> JsonSchema:
        parts = {name: {**rule.schema(), "description": about} for name, (rule, about) in PARTS.items()}
        board = {
            "type": "object",
            "properties": parts,
            "required": list(NEEDED_OF_A_BOARD),
            "additionalProperties": False,
        }
        return {"type": "array", "items": board, "minItems": 1, "maxItems": MOST_BOARDS}


def _read(item: object, number: int, units: Units) -> RackBoard | list[tuple[Words, Words]]:
    """One board, or what is wrong with it, each with what would be accepted."""
    if not isinstance(item, Mapping):
        return [(f"board {number}: {shown(item)} is not a table", f"write {AS_IN}")]
    called = f"board {number}" + (f" ({item['name'][:20]})" if isinstance(item.get("name"), str) else "")
    found, wrong = dict[str, Any](), list[tuple[Words, Words]]()
    for key, value in item.items():
        if key not in PARTS:
            wrong.append((f"{called}: {shown(key)} is nothing that a board has", f"a board has {', '.join(PARTS)}"))
            continue
        try:
            found[key] = PARTS[key][0].read(value, units)
        except PydanticCustomError as err:
            told = err.context or {}
            wrong.append((message("{}, {}: {}", called, key, told["wrong"]), told["remedy"]))
    missing = [key for key in NEEDED_OF_A_BOARD if key not in item]
    if missing:
        wrong.append((f"{called} says nothing of {', '.join(missing)}", f"write {AS_IN}"))
    if "avoid" in found and "length" in found:
        wrong += [(message("{}, avoid: {}", called, said), remedy) for said, remedy in _off(**found)]
    return wrong or RackBoard(**found)


def _off(*, length: float, avoid: tuple[Span, ...], **_: object) -> Iterator[tuple[Words, Words]]:
    """Spans beyond the end of the board, and such that leave nothing of it."""
    for low, high in avoid:
        if high > length + tol.ROUNDING:
            span = told_span(low, high)
            wrong = message("the span {} reaches to {}, and the board is {} long", span, too_much(high), typed(length))
            yield wrong, message("end it at {} or before", typed(length))
    if sum(high - low for low, high in avoid) >= length - tol.ROUNDING:
        yield message("the spans cover all {} of the board", typed(length)), "leave a clear length, or the board out"


class StockTable(Table):
    """The wood that you have: the largest board that you can get, and the boards in your rack."""

    length: Size = Field(None, description="Length of the largest board that you can get.", examples=[2400])
    width: Size = Field(None, description="Its width.", examples=[200])
    board: Annotated[tuple[RackBoard, ...] | None, RackBoards()] = Field(
        None,
        description="The boards in your rack, each in a table [[stock.board]] of its own: they get a cutting plan.",
        examples=[[EXAMPLE]],
    )
    kerf: Annotated[float | None, Length(0.3, 10.0)] = Field(
        None, description="Kerf of the saw that you cut boards up with.", examples=[3]
    )
    grain: Annotated[Literal["round", "yield"] | None, OneOf(("round", "yield"))] = Field(
        None,
        description='What goes first where boards are cut up: "round", grain that runs on round the corners, with the '
        'sides in a row from one board; or "yield", the least wood.',
        examples=["round"],
    )
