"""Completes the dividers of a box. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.lengths import format_both, format_fine
from solids.base.messages import Key, Units, message
from solids.base.sources import OWN_SIZES
from solids.recipe.completing.choosing import Choosing, leave_out_or_take, round_down, round_up
from solids.recipe.tables.box_resolved import Side, moves_across
from solids.recipe.tables.divider_schema import DividerTable
from solids.recipe.tables.dividers import ENDS_IN, Divider, EndJoint, HousingEnd, Runs
from solids.recipe.tables.resolved import Board, Choice
from solids.wood import Climate, Sawn, Seasons, Wood

THICKNESS_SHARE, DEPTH_SHARE = 2 / 3, 1 / 3
"""The usual divider is two thirds as thick as the thinnest board, and goes a third into the boards. Common practice."""

BELOW = 3.0
"""How far a divider stays below the upper edges of the boards. Common practice."""

RATIO, TAPER = 8.0, 1.5
"""The slope and the taper of a sliding dovetail. Common practice: a slope of hardwood joints, and about 1/16 in over
the run."""

PREFIX = "box.divider"


def key_of(number: int, name: str) -> str:
    """The key of a divider, as in "box.divider.2.at": dividers are counted from 1."""
    return f"{PREFIX}.{number}.{name}"


@dataclass(frozen=True)
class Around:
    """The box that dividers stand in: the distances between its inside faces in X and in Y, the heights at which its
    sides and its back end, or its lid is sawn off, how high the upper face of its bottom is (None where it has none),
    its boards, and air. `slips` is how high those for the bottom are, None where there are none; `lid` tells whether
    one is sawn off."""

    inside: tuple[float, float]
    heights: tuple[float, float]
    floor: float | None
    boards: Mapping[Side, Board]
    shop: Climate
    home: Seasons
    slips: float | None = None
    lid: bool = False


class DividerChoices(Choosing):
    """Goes through the dividers of a box. Each key by itself is sound."""

    def __init__(self, asked: Sequence[DividerTable], around: Around, units: Units) -> None:
        super().__init__(units)
        self.asked, self.around = asked, around

    def dividers(self) -> tuple[Divider, ...]:
        """All of them, in the order of the recipe; none where something is wrong, which `problems` then has."""
        if len(self.asked) > tol.MOST_DIVIDERS:
            self._problem(PREFIX, f"there are {len(self.asked)} dividers", f"accepted are up to {tol.MOST_DIVIDERS}")
            return ()
        runs = [self._runs(number, table) for number, table in enumerate(self.asked, start=1)]
        thick = [self._thickness(number, table) for number, table in enumerate(self.asked, start=1)]
        places = self._places(runs, thick)
        found = [
            self._divider(number, table, runs[number - 1], places[number - 1], thick[number - 1])
            for number, table in enumerate(self.asked, start=1)
        ]
        self.choices.sort(key=lambda choice: int(choice.key.split(".")[2]))
        return () if self.problems else tuple(found)

    def _runs(self, number: int, table: DividerTable) -> Runs:
        long, wide = self.around.inside
        shorter: Runs = "across" if long >= wide else "along"
        return self._or(table.runs, key_of(number, "runs"), shorter, "the shorter way")

    def _thickness(self, number: int, table: DividerTable) -> float:
        thinnest = min(board.thinnest for board in self.around.boards.values())
        rule = "two thirds of the thinnest board"
        return self._length(table.thickness, key_of(number, "thickness"), thinnest * THICKNESS_SHARE, rule)

    def _places(self, runs: Sequence[Runs], thick: Sequence[float]) -> list[float]:
        """Where each stands. Those that run the same way stand evenly where none of them has a place."""
        places = [0.0] * len(runs)
        for way in ENDS_IN:
            own = [number for number, each in enumerate(runs) if each == way]
            given = [number for number in own if self.asked[number].at is not None]
            inside = self.around.inside[0 if way == "across" else 1]
            even = (inside - sum(thick[number] for number in own)) / (len(own) + 1)
            at = 0.0
            for number in own:
                at += even
                if not given:
                    rule = "evenly, among those that run the same way"
                    made = Choice(key_of(number + 1, "at"), format_fine(at, self.units), rule, at, OWN_SIZES)
                    self.choices.append(made)
                places[number] = self._place(number, at, given)
                at += thick[number]
        return places

    def _place(self, number: int, even: float, given: Sequence[int]) -> float:
        at = self.asked[number].at
        if at is None and given:
            other = Key(key_of(given[0] + 1, "at"))
            wrong = message("is missing, and {} is given for one that runs the same way", other)
            self._problem(key_of(number + 1, "at"), wrong, "give it, or leave it out of all that run the same way")
        return even if at is None else at

    def _divider(self, number: int, table: DividerTable, runs: Runs, at: float, thickness: float) -> Divider:
        ends = [self.around.boards[side] for side in ENDS_IN[runs]]
        wood = self._or(table.wood, key_of(number, "wood"), ends[0].wood, "as the boards it ends in", ends[0].wood.name)
        sawn: Sawn = self._or(table.sawn, key_of(number, "sawn"), "flat", "most boards are")
        grows, shrinks = self._moves(wood, sawn)
        sides = [self._moves(board.wood, board.sawn) for board in ends]
        sides_grow, sides_shrink = min(grow for grow, _ in sides), max(shrink for _, shrink in sides)
        up = self._up(number, table, runs)
        end = self.around.heights[1 if runs == "across" else 0]
        height = self._height(number, table, up, end, grows - sides_grow)
        joint: EndJoint = self._or(table.joint, key_of(number, "joint"), "housing", "it can be taken out again")
        housing = self._housing(number, table, joint)
        ratio, taper = self._dovetail(number, table, joint)
        return Divider(
            *(runs, at, thickness, height, up, wood, sawn, joint),
            depth=self._depth(number, table, min(board.thinnest for board in ends)),
            housing=housing,
            ratio=ratio,
            taper=taper,
            grows=grows,
            shrinks=shrinks,
            sides_grow=sides_grow,
            sides_shrink=sides_shrink,
            room=round_up(max(height * (grows - sides_grow), 0.0), self.units),
        )

    def _moves(self, wood: Wood, sawn: Sawn) -> tuple[float, float]:
        return moves_across(wood, sawn, self.around.shop, self.around.home)

    def _up(self, number: int, table: DividerTable, runs: Runs) -> float:
        floor, slips = self.around.floor, self.around.slips if runs == "along" else None
        rule = "at the reference edge, as there is no bottom" if floor is None else "on the bottom"
        floor, rule = (slips, "over the slips") if slips else (floor, rule)
        words = format_fine(floor or 0.0, self.units)
        return self._or(table.up, key_of(number, "up"), floor or 0.0, rule, words, OWN_SIZES)

    def _height(self, number: int, table: DividerTable, up: float, end: float, grows_more: float) -> float:
        """Below the upper edges of the boards, also when it has grown."""
        space = end - up
        room = max(round_up(BELOW, self.units), space * grows_more)
        usual = round_down(space - room, self.units)
        if table.height is None and usual <= 0:
            wrong = message("{} leaves no height for a divider in boards {} high", *map(typed, (up, end)))
            self._problem(key_of(number, "up"), wrong, "take a lower place for it, or a higher box")
        rule = "so far below the upper edges that it stays there as it grows"
        return self._or(table.height, key_of(number, "height"), usual, rule, format_both(usual, self.units))

    def _depth(self, number: int, table: DividerTable, thinnest: float) -> float:
        usual = max(thinnest * DEPTH_SHARE, 0.5)
        return self._length(table.depth, key_of(number, "depth"), usual, "a third of the thinner board it ends in")

    def _housing(self, number: int, table: DividerTable, joint: EndJoint) -> HousingEnd:
        if table.housing == "stopped" and joint == "sliding dovetail":
            wrong = "a sliding dovetail goes in along its housing, which must be open where it does"
            self._problem(key_of(number, "housing"), wrong, leave_out_or_take(key_of(number, "joint"), "housing"))
        if self.around.lid and joint == "housing":
            return self._or(table.housing, key_of(number, "housing"), "stopped", "below the cut of the lid")
        rule = "so that it slides in from above when the box is glued"
        return self._or(table.housing, key_of(number, "housing"), "open", rule)

    def _dovetail(self, number: int, table: DividerTable, joint: EndJoint) -> tuple[float, float]:
        """The ratio of its slope and its taper, both 0 where its housing is plain."""
        if joint == "sliding dovetail":
            rule = "a usual slope, which a dovetail plane or a guided saw follows"
            slope = self._or(table.slope, key_of(number, "slope"), RATIO, rule, f"1:{RATIO:g}")
            rule = "so that it draws tight only as it goes home"
            return slope, self._length(table.taper, key_of(number, "taper"), TAPER, rule)
        for name, value in (("slope", table.slope), ("taper", table.taper)):
            if value is not None:
                remedy = leave_out_or_take(key_of(number, "joint"), "sliding dovetail")
                self._problem(key_of(number, name), "a plain housing has none", remedy)
        return 0.0, 0.0
