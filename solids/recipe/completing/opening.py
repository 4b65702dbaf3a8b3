"""A drawer from the opening that it slides into: the sizes of its box that the recipe leaves out, and how such a drawer
is made. Lengths in mm.

Front and sides move across their height, the opening between upright sides does not. They are made so high that the
play above them is left at the dampest time: height = (opening - play) / (1 + C (M_damp - M_shop)), Wood Handbook,
chapter 13."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from solids.base import tolerances as tol
from solids.base.amounts import at_least, typed
from solids.base.errors import Problem
from solids.base.lengths import format_both, format_fine
from solids.base.messages import Key, message
from solids.base.sources import OWN_SIZES, WOOD_HANDBOOK
from solids.recipe.completing.box_keys import merged
from solids.recipe.completing.choosing import Choosing, round_up, wood_rule
from solids.recipe.tables.accepted import no_less_than, up_to
from solids.recipe.tables.box_resolved import Side, moves_across
from solids.recipe.tables.box_schema import BackTable, GrooveTable, PanelTable, SideTable
from solids.recipe.tables.lip_resolved import NO_LIP, Lip
from solids.recipe.tables.opening_resolved import Opening, Stick, StickName
from solids.recipe.tables.opening_schema import OpeningTable, StickTable
from solids.recipe.tables.resolved import Choice, thickest
from solids.recipe.tables.schema import Asked, BoxTable, CornerTable, JointsTable
from solids.wood import DEFAULT, Sawn, Wood, find_wood

PLAY, SIDE_PLAY, BACK_PLAY, BEHIND_BOTTOM = 1.0, 0.5, 10.0, 2.0
"""The room above a drawer at the dampest, at each side, and behind it; and the least behind a bottom that has grown out
under the back. Common practice."""

BACK_DOWN, BACK_DOWN_SHARE = 5.0, 1 / 20
"""How far the back ends below the sides, and its largest share of their height. Common practice."""

STICK_THICK, STICK_OVER, GUIDE_HIGH, GUIDE_THICK = 15.0, 5.0, 20.0, 10.0
"""How thick runners and kickers are, how far they reach past the side of the drawer, and the size of a guide. Common
practice."""

HIGH: tuple[Side, ...] = ("front", "left", "right")
"""The boards that are as high as the drawer."""


@dataclass(frozen=True)
class FromOpening:
    """What the recipe asks for with what follows from the opening put in; the opening, if there is one; and what was
    chosen."""

    asked: Asked
    opening: Opening | None = None
    choices: tuple[Choice, ...] = ()


def fit_to_opening(asked: Asked, lip: Lip = NO_LIP) -> FromOpening:
    """The box fitted to its opening, if it has one; a lip of its front stays before it. RecipeError holds all that is
    wrong with the opening."""
    if asked.opening is None or asked.box is None:
        return FromOpening(asked)
    return _Fitting(asked, asked.box, asked.opening, lip).fitted()


class _Fitting(Choosing):
    """Goes through the keys of the opening once. Each key by itself is sound."""

    def __init__(self, asked: Asked, box: BoxTable, table: OpeningTable, lip: Lip) -> None:
        super().__init__(asked.units)
        self.asked, self.box, self.table, self.lip = asked, box, table, lip
        self.on_sides = box.tails_on in (None, "sides")
        self.planing = asked.finish.planing or 0.0
        self.shop, self.home = Choosing(asked.units)._air(asked.climate)  # its choices are noted with the boards

    def fitted(self) -> FromOpening:
        for key in ("width", "height", "depth"):
            if getattr(self.table, key) is None:
                self._problem(f"opening.{key}", "is missing", f"give it, as in {key} = {EXAMPLES[key]}")
        if self.box.feet:
            self._problem("box.feet", "a drawer slides on its sides and has no feet", "leave one of them out")
        if self.box.lid:
            self._problem("box.lid", "a drawer slides into its opening without a lid", "leave one of them out")
        self._stop_if_wrong()
        grows = self._most_grown()
        opening = self._opening(grows)
        sizes = self._sizes(opening, grows)
        self._stop_if_wrong()
        made = merged(self.asked, {"box": sizes | self._made(opening, sizes)})
        gives = tuple((f"box.{word}", f"opening.{OF_OPENING[word]}") for word in sizes)
        return FromOpening(made, replace(opening, gives=gives), tuple(self.choices))

    # --- the boards ------------------------------------------------------------------------------

    def _of(self, side: Side, part: str) -> Any:
        """What the recipe says of a board, itself or in the table that it belongs to."""
        own: SideTable | None = getattr(self.box, side)
        value = getattr(own, part) if own else None
        table = self.asked.tail_board if (side in ("left", "right")) == self.on_sides else self.asked.pin_board
        return getattr(table, part) if value is None else value

    def _thick(self, *sides: Side) -> float:
        """The thickness of some boards together, finished; of those that are known."""
        known = [self._of(side, "thickness") for side in sides]
        return sum(thickest(thick) - self.planing for thick in known if thick is not None)

    def _most_grown(self) -> float:
        """The largest share by which front or sides grow across their height until the dampest."""
        usual = self.asked.tail_board.wood or self.asked.pin_board.wood or DEFAULT
        made: list[tuple[Wood, Sawn]] = [
            (self._of(side, "wood") or usual, self._of(side, "sawn") or "flat") for side in HIGH
        ]
        return max(self._moves(wood, sawn)[0] for wood, sawn in made)

    def _moves(self, wood: Wood, sawn: Sawn) -> tuple[float, float]:
        return moves_across(wood, sawn, self.shop, self.home)

    # --- the opening -----------------------------------------------------------------------------

    def _opening(self, grown: float) -> Opening:
        table = self.table
        wide, high, deep = float(table.width or 0.0), float(table.height or 0.0), float(table.depth or 0.0)
        rail = self._or(table.rail, "opening.rail", 0.0, "its sides' grain runs up, so that it does not move", "0")
        wood, sawn = table.wood or DEFAULT, table.sawn or "flat"
        if rail:
            wood = self._or(table.wood, "opening.wood", DEFAULT, wood_rule(None), DEFAULT.name)
            sawn = self._or(table.sawn, "opening.sawn", "flat", "most boards are")
        grows, shrinks = self._moves(wood, sawn)
        plane = self._or(table.plane, "opening.plane", 0.0, "nothing is added for the plane", "0")
        given = self.box.height or self.asked.joint.width
        left = None if given is None else high - rail * grows - (given - plane) * (1.0 + grown)
        play = self._play("play", PLAY, "so that it does not bind at the dampest", left, "the height")
        left = None if self.box.length is None else (wide - self.box.length) / 2
        side_play = self._play("side_play", SIDE_PLAY, "wood does not move in length", left, "box.length")
        left = None if self.box.width is None else deep + self.lip.thickness - self.box.width
        behind, rule = BACK_PLAY, "so that it comes to rest on stops at the front"
        if self.lip.thickness:
            rule = "so that its lip comes to rest on the face"
        if (needed := self._bottom_grows(deep) + BEHIND_BOTTOM) > behind:
            behind, rule = needed, "so that the bottom may grow out under the back"
        back_play = self._play("back_play", behind, rule, left, "box.width")
        return Opening(
            *(wide, high, deep, play, side_play, back_play, plane, rail, wood, sawn, grows, shrinks),
            sticks=self._sticks(side_play, deep),
        )

    def _play(self, part: str, usual: float, rule: str, left: float | None, size: str) -> float:
        """The play given, or the usual one, or what a size that is given leaves where that is less."""
        given, key = getattr(self.table, part), f"opening.{part}"
        if given is None and left is not None and 0.0 <= left < round_up(usual, self.units):
            rest = left if left >= tol.LEAST_STEP else 0.0
            return self._or(None, key, rest, f"what {size} leaves", format_both(rest, self.units), OWN_SIZES)
        return self._length(given, key, usual, rule)

    def _bottom_grows(self, deep: float) -> float:
        """How far a solid bottom grows out under the back until the dampest, at most."""
        panel = self.box.panel or PanelTable()
        if panel.kind == "plywood" or panel.grain == "width" or not self._slides_under():
            return 0.0
        return deep * self._moves(panel.wood or DEFAULT, panel.sawn or "flat")[0]

    def _sticks(self, side_play: float, deep: float) -> tuple[tuple[StickName, Stick], ...]:
        found: dict[StickName, Stick] = {}
        aside = side_play + max(self._thick("left"), self._thick("right"))
        if self.table.guide:
            found["guide"] = self._stick("guide", self.table.guide, GUIDE_HIGH, GUIDE_THICK, deep)
            aside += found["guide"].across
        for name in ("runner", "kicker"):
            table: StickTable | None = getattr(self.table, name)
            if table:
                found[name] = self._stick(name, table, aside + STICK_OVER, STICK_THICK, deep)
        return tuple(found.items())

    def _stick(self, name: StickName, table: StickTable, wide: float, thick: float, deep: float) -> Stick:
        is_guide, key = name == "guide", f"opening.{name}"
        rule = "beside the lower part of the side" if is_guide else "past the side of the drawer by a little"
        width = self._length(table.width, f"{key}.width", wide, rule)
        thickness = self._length(table.thickness, f"{key}.thickness", thick, f"a usual {name}")
        behind = self._or(table.behind, f"{key}.behind", 0.0, "it begins at the front of the opening", "0")
        hard = find_wood("beech")
        wood = self._or(table.wood, f"{key}.wood", hard, "hard and smooth, as wood slides on it", hard.name)
        if behind > deep - tol.LEAST_WIDTH + tol.ROUNDING:
            wrong = message("{} leaves nothing of the {}s in an opening {} deep", typed(behind), name, typed(deep))
            self._problem(f"{key}.behind", message("{} ({})", wrong, Key("opening.depth")), *up_to(deep / 2))
        across, up = (thickness, width) if is_guide else (width, thickness)
        return Stick(across, up, behind, wood)

    # --- the box ---------------------------------------------------------------------------------

    def _sizes(self, opening: Opening, grown: float) -> dict[str, float]:
        """The outside sizes of the box that nothing in the recipe says."""
        box, found = self.box, dict[str, float]()
        if box.length is None and box.inside_length is None:
            long = opening.width - 2 * opening.side_play
            found["length"] = self._size("length", long, "opening.width less opening.side_play at each side", OWN_SIZES)
            boards = self._thick("left", "right") + tol.LEAST_WIDTH
            self._has_room("width", "side_play", opening.width, long, boards)
        if box.width is None and box.inside_width is None:
            deep = opening.depth - opening.back_play + self.lip.thickness
            rule = "opening.depth less opening.back_play" + (", and the lip before it" if self.lip else "")
            found["width"] = self._size("width", deep, rule, OWN_SIZES)
            self._has_room("depth", "back_play", opening.depth, deep, self._thick("front", "back") + tol.LEAST_WIDTH)
        if box.height is None and self.asked.joint.width is None and box.inside_height is None:
            high = (opening.least_height - opening.play) / (1.0 + grown) + opening.plane
            rule = "opening.height less opening.play at the dampest time, by how front and sides move"
            found["height"] = self._size("height", high, rule, WOOD_HANDBOOK)
            self._has_room("height", "play", opening.height, high, tol.LEAST_WIDTH)
        return found

    def _size(self, word: str, mm: float, rule: str, source: str) -> float:
        self.choices.append(Choice(f"box.{word}", format_fine(mm, self.units), rule, mm, source))
        return mm

    def _has_room(self, word: str, play: str, size: float, left: float, needed: float) -> None:
        """Refuses an opening that its own boards fill, or a play that leaves them no room in it."""
        if left >= needed - tol.ROUNDING:
            return
        if size > needed and getattr(self.table, play) is not None:
            given = getattr(self.table, play)
            wrong = "{} leaves {} of an opening of {} ({}) for a drawer that takes {} or more"
            told = message(wrong, *map(typed, (given, max(left, 0.0), size)), Key(f"opening.{word}"), at_least(needed))
            usual = typed(self._rounded(USUAL[play]))
            self._problem(f"opening.{play}", told, message("take less: {} is usual", usual))
            return
        wrong = "{} leaves {} for a drawer, less its play ({}), and its boards take {} or more"
        told = message(wrong, typed(size), typed(max(left, 0.0)), Key(f"opening.{play}"), at_least(needed))
        self._problem(f"opening.{word}", told, *no_less_than(needed + size - left))

    def _slides_under(self) -> bool:
        """Whether the bottom slides in under the back: as a drawer's does, unless the recipe has it otherwise."""
        if self.box.back_above_bottom is not None:
            return self.box.back_above_bottom
        groove, panel = self.box.groove or GrooveTable(), self.box.panel or PanelTable()
        return self.on_sides and groove.width != 0 and panel.held != "rebate"

    def _made(self, opening: Opening, sizes: Mapping[str, float]) -> dict[str, Any]:
        """What a drawer has that a box has not, where the recipe says nothing of it."""
        box, found = self.box, dict[str, Any]()
        if box.back_above_bottom is None and self._slides_under():
            rule = "a drawer's bottom slides in under the back"
            found["back_above_bottom"] = self._or(None, "box.back_above_bottom", True, rule, "true")
        if (box.back is None or box.back.down is None) and self.on_sides:
            high = sizes.get("height") or box.height or opening.height
            usual, rule = min(BACK_DOWN, high * BACK_DOWN_SHARE), "so that air gets out as it is pushed in"
            down = self._length(None, "box.back.down", usual, rule)
            found["back"] = (box.back or BackTable()).model_copy(update={"down": down})
        joints = box.joints or JointsTable()
        of_front = (joints.front, joints.front_left, joints.front_right)
        kinds = [self.asked.joint.kind, *(corner.given().get("kind") for corner in of_front if corner)]
        if not any(kinds) and self.on_sides:
            rule = "a drawer's front shows no end grain"
            kind = self._or(None, "box.joints.front.kind", "half-blind", rule)
            front = (joints.front or CornerTable()).model_copy(update={"kind": kind})
            found["joints"] = joints.model_copy(update={"front": front})
        return found


def told_of_opening(problems: Iterable[Problem], opening: Opening | None) -> list[Problem]:
    """Problems of a box; where one lies with a size that the maker gave only as that of the opening, it says so."""
    gives = dict(opening.gives) if opening else {}
    return [_of_opening(problem, gives[problem.key]) if problem.key in gives else problem for problem in problems]


def _of_opening(problem: Problem, key: str) -> Problem:
    told = replace(problem, wrong=message("{} ({} follows from {})", problem.wrong, Key(problem.key), Key(key)))
    if not problem.remedy:
        return told
    return replace(told, remedy=message("{}; {} ({})", problem.remedy, LARGER[key.partition(".")[2]], Key(key)))


LARGER = {
    "height": "a higher box takes a higher opening",
    "width": "a longer box takes a wider opening",
    "depth": "a wider box takes a deeper opening",
}
"""What a remedy asks of each size of the opening, where it asks for a larger box."""


USUAL = {"play": PLAY, "side_play": SIDE_PLAY, "back_play": BACK_PLAY}
OF_OPENING = {"length": "width", "width": "depth", "height": "height"}
"""Which size of the opening gives each size of the box."""

EXAMPLES = {"width": 400, "height": 100, "depth": 450}
"""Sizes of an opening, for a maker who has left one out."""
