"""What the maker gave, or what a rule chooses instead; each choice is kept with its rule.

In an inch recipe a chosen length is rounded up to 1/32 in, in a metric one to 0.5 mm, so that it can be set with a
rule.
"""

from __future__ import annotations

import math
from typing import TypeVar

from pydantic_core import PydanticCustomError

from solids.base import tolerances as tol
from solids.base.errors import Problem, RecipeError
from solids.base.lengths import MM_PER_INCH, format_both
from solids.base.messages import Key, Units, Words, message
from solids.base.sources import COMMON_PRACTICE
from solids.recipe.tables.air import SHOP, SHOP_RULE, seasons_of
from solids.recipe.tables.box_schema import PanelTable
from solids.recipe.tables.fields import Rule
from solids.recipe.tables.lid_schema import LidPanelTable
from solids.recipe.tables.panel import PanelKind
from solids.recipe.tables.resolved import Choice
from solids.recipe.tables.schema import ClimateTable
from solids.recipe.tables.stock_schema import StockTable
from solids.wood import Climate, Sawn, Seasons, Wood, find_wood
from solids.wood.plywood import plywood_of
from solids.wood.rack import NO_RACK, GrainPlan, Rack

T = TypeVar("T")

BOARD_KERF = 3.0
"""The kerf of a circular saw, by which boards are mostly cut up. Common practice."""

MM_STEP = 0.5
STEPS_PER_INCH = 32
INCH_STEP = 25.4 / STEPS_PER_INCH


def round_up(mm: float, units: Units) -> float:
    """The next length up that a rule shows, in steps of 0.5 mm or 1/32 in."""
    if units == "in":
        steps = math.ceil(mm / INCH_STEP - 1e-9)
        return float(steps * MM_PER_INCH / STEPS_PER_INCH)  # exact, so that it reads back from a fraction of an inch
    return math.ceil(mm / MM_STEP - 1e-9) * MM_STEP


def round_down(mm: float, units: Units) -> float:
    """The next length down that a rule shows."""
    step = INCH_STEP if units == "in" else MM_STEP
    return round_up(math.floor(mm / step + 1e-9) * step, units)


def usual_lap(thickness: float) -> float:
    """The lap of a half-blind pin board so thick, before it is rounded: a quarter of it, and no thin lap where half of
    it allows that. Common practice."""
    return max(tol.LAP_SHARE * thickness, min(tol.LAP_THIN, thickness / 2))


def leave_out_or_take(key: str, value: str) -> Words:
    """The remedy where a key has no place beside another choice."""
    return message('leave it out, or take {} = "{}"', Key(key), value)


def wood_rule(known: Wood | None) -> str:
    """Why a board whose wood nobody named is of a `known` one, or of the one that is assumed."""
    return "the same wood as the board it meets" if known else "no wood was named; a plain hardwood is assumed"


class Choosing:
    """Collects what was chosen for the maker, and what is wrong."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.choices: list[Choice] = []
        self.problems: list[Problem] = []

    def _or(
        self, value: T | None, key: str, chosen: T, rule: str, words: str | None = None, source: str = COMMON_PRACTICE
    ) -> T:
        """The value given, or else the one chosen, which is noted with its rule."""
        if value is not None:
            return value
        self.choices.append(Choice(key, words or str(chosen), rule, chosen, source))
        return chosen

    def _length(self, value: float | None, key: str, usual: float, rule: str) -> float:
        """The length given, or else the usual one, rounded up to what a rule shows."""
        chosen = self._rounded(usual)
        return self._or(value, key, chosen, rule, self._told(chosen))

    def _rounded(self, mm: float) -> float:
        """The next length up that a rule shows."""
        return round_up(mm, self.units)

    def _told(self, mm: float) -> str:
        """A length in the maker's units, and in the others."""
        return format_both(mm, self.units)

    def _rack(self, stock: StockTable) -> Rack:
        """The boards to cut from; where there are none, nothing is chosen about cutting them."""
        if not stock.board:
            return NO_RACK
        kerf = self._length(stock.kerf, "stock.kerf", BOARD_KERF, "what a circular saw takes")
        rule = "grain that runs on round the corners, where a board allows it"
        grain: GrainPlan = self._or(stock.grain, "stock.grain", "round", rule)
        return Rack(stock.board, kerf, grain)

    def _stuff(
        self, key: str, asked: PanelTable | LidPanelTable, usual: Wood, why: str
    ) -> tuple[PanelKind, Wood, Sawn]:
        """What a bottom or a top is made of, under its key; of boards, that is the `usual` wood."""
        kind: PanelKind = self._or(asked.kind, f"{key}.kind", "solid", "boards, as the sides are")
        if kind == "plywood":
            usual, why = find_wood("birch"), "what good plywood is faced with"
        wood = self._or(asked.wood, f"{key}.wood", usual, why, usual.name)
        if kind == "plywood":
            return kind, plywood_of(wood), "flat"
        return kind, wood, self._or(asked.sawn, f"{key}.sawn", "flat", "most boards are")

    def _air(self, asked: ClimateTable) -> tuple[Climate, Seasons]:
        """The air of the shop, and that of the home at its driest and dampest."""
        shop = self._or(asked.shop, "climate.shop", SHOP, SHOP_RULE, SHOP.words(self.units))
        home, rules = seasons_of(shop, asked.home)
        for season, rule in rules.items():
            air: Climate = getattr(home, season)
            self.choices.append(Choice(f"climate.home.{season}", air.words(self.units), rule, air))
        return shop, home

    def _problem(self, key: str, wrong: Words, remedy: Words, tries: tuple[Words, ...] = ()) -> None:
        self.problems.append(Problem(key, wrong, remedy, tries))

    def _check(self, rule: Rule, key: str, mm: float) -> None:
        """Refuses a length that follows from others, where a recipe could not give it."""
        try:
            rule.read(mm, "mm")
        except PydanticCustomError as err:
            told = err.context or {}
            self._problem(key, told["wrong"], told["remedy"])

    def _stop_if_wrong(self) -> None:
        if self.problems:
            raise RecipeError(dict.fromkeys(self.problems), self.units)
