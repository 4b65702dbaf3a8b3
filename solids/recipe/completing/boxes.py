"""Completes a recipe that has a [box] table: its sizes, its groove and bottom, and its four corners, each a recipe of
its own. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

from solids.base import tolerances as tol
from solids.base.errors import FaultError, RecipeError
from solids.recipe.completing.box_keys import end_of, has_through_corner, merged, of_corners, of_joints
from solids.recipe.completing.box_sizes import BoxSizes, back_problems, too_deep
from solids.recipe.completing.choosing import round_up, wood_rule
from solids.recipe.completing.corner.choices import resolve_corner
from solids.recipe.tables.box_resolved import (
    CORNERS,
    SIDES,
    BoxRecipe,
    CornerName,
    Groove,
    GrooveEnds,
    Panel,
    PanelKind,
    Rough,
    Side,
    first_place,
    grooved_sides,
    moves_across,
)
from solids.recipe.tables.box_schema import GrooveTable, PanelTable, RoughTable, SideTable, StockTable
from solids.recipe.tables.resolved import Board, Choice, Recipe, thickest, unevenness
from solids.recipe.tables.schema import Asked, BoxTable
from solids.wood import DEFAULT, Sawn, find_wood
from solids.wood.plywood import plywood_of

GROOVE_WIDTH, GROOVE_SHARE, GROOVE_UP, LEAST_UP = 6.0, 1 / 3, 1.0, 6.0
"""The usual groove: its width; its depth as a share of the thinnest board; the wood below it as a share of its width,
and the least. Common practice. NOYES (Handwork in Wood, p. 190) has 1/4 in for a drawer bottom."""

BOARDS = ("tail_board", "pin_board")
CLEARANCE = 0.5
"""Room at each edge of a panel, besides that for movement. Common practice."""

ROUGH_LENGTH, ROUGH_WIDTH, ROUGH_THICKNESS = 10.0, 4.0, 3.0
"""How much larger than finished boards are sawn. Common practice."""


def resolve_box(asked: Asked) -> BoxRecipe:
    """The box with nothing left out. RecipeError holds all that is wrong with it and with its corners."""
    if asked.box is None:
        raise FaultError("a recipe without a box was to be completed as one")
    return _BoxChoices(asked, asked.box).recipe()


class _BoxChoices(BoxSizes):
    """Goes through the keys of a box once, in the order in which they depend on each other."""

    def __init__(self, asked: Asked, box: BoxTable) -> None:
        super().__init__(asked, box)
        self.written: dict[CornerName, dict[str, str]] = {}

    def recipe(self) -> BoxRecipe:
        notices = self._left_aside()
        self._settle_woods()
        measured = self._thicknesses()
        thick = {side: thickest(each) for side, each in measured.items()}
        thin = {side: thickest(each) - unevenness(each) for side, each in measured.items()}
        inside = self._inside("length", thick, ("left", "right")), self._inside("width", thick, ("front", "back"))
        panel = self._panel(inside)
        groove = self._groove(thin, inside, panel)
        height = self._height(groove)
        self._stop_if_wrong()
        stays = {side: thin[side] - self.planing for side in grooved_sides(above=self.above)}
        self.problems += too_deep(groove, stays, self.planing)
        self.problems += back_problems(groove, height, tails_on_sides=self.tails_on_sides) if self.above else []
        self._stop_if_wrong()
        rise = groove.top if self.above else 0.0
        corners = self._corners({name: height - (rise if end_of(name) == "back" else 0.0) for name in CORNERS})
        stock = self.asked.stock or StockTable()
        return BoxRecipe(
            title=self.title,
            units=self.units,
            inside=inside,
            height=height,
            tails_on_sides=self.tails_on_sides,
            back_above_bottom=self.above,
            corners=self._whole_boards(corners, inside),
            written=self.written,
            groove=groove,
            panel=panel,
            rough=self._rough(),
            stock=(stock.length, stock.width),
            choices=tuple(self.choices),
            notices=notices,
            author=self.asked.author or "",
            date=self.asked.date or "",
        )

    # --- boards ----------------------------------------------------------------------------------

    def _left_aside(self) -> tuple[str, ...]:
        """A corner's recipe that was turned into a box may still give lengths of boards, which mean nothing here; a
        bottom that was turned into plywood, how it was sawn."""
        lengths = [name for name in BOARDS if getattr(self.asked, name).length is not None]
        found = [f"{name}.length is ignored, as the box has sizes of its own" for name in lengths]
        panel = self.box.panel or PanelTable()
        if panel.kind == "plywood" and panel.sawn:
            found.append("box.panel.sawn is ignored, as plywood is peeled, not sawn")
        return tuple(found)

    def _settle_woods(self) -> None:
        """Gives tail boards and pin boards a wood, and notes which were not named. Left to the corners, a board would
        take its wood from its mate at each end, and might have two."""
        tails, pins = self.asked.tail_board.wood, self.asked.pin_board.wood
        wood = tails or pins or DEFAULT
        for name in (name for name, own in zip(BOARDS, (tails, pins), strict=True) if own is None):
            sides = [getattr(self.box, side) for side in SIDES if self._table_of(side) == name]
            if any(side is None or side.wood is None for side in sides):
                self._or(None, f"{name}.wood", wood, wood_rule(tails or pins), wood.name)
        self.asked = merged(self.asked, {"tail_board": {"wood": tails or wood}, "pin_board": {"wood": pins or wood}})

    # --- corners -------------------------------------------------------------------------------

    def _corners(self, widths: Mapping[CornerName, float]) -> dict[CornerName, Recipe]:
        """The recipes of all corners. RecipeError holds all that is wrong with any of them."""
        corners, refused = {}, {}
        for name, width in widths.items():
            try:
                corners[name] = self._corner(name, width)
            except RecipeError as err:
                refused[name] = err.problems
        self.problems += of_corners(refused, self.written)
        self._stop_if_wrong()
        return corners

    def _corner(self, name: CornerName, width: float) -> Recipe:
        """The recipe of one corner. `written` keeps where the maker wrote what is special to it."""
        own, written = of_joints(self.box.joints, name)
        kind = own["joint"].get("kind", self.asked.joint.kind)
        mixed = "joint.kind" in written or has_through_corner(self.asked, self.box.joints)
        own["joint"]["width"] = width
        for side in (side for side in SIDES if side in name):
            table, given = self._table_of(side), getattr(self.box, side) or SideTable()
            # The whole board's length follows, see `_whole_boards`.
            own[table] = {"thickness": self.thickness[table], **given.given(), "length": 100.0}
            written |= {f"{table}.{part}": f"box.{side}.{part}" for part in given.given()}
        if mixed and kind == "half-blind" and self.asked.tail_board.proud is not None:
            own["tail_board"]["proud"] = 0.0  # meant for the through corners; ends in a lap cannot stand proud
        title = f"{self.title[: tol.TITLE_LONGEST - 20]}, {name}"
        self.written[name] = {"joint.width": self.height_key} | written
        return resolve_corner(merged(self.asked, own).model_copy(update={"title": title}))

    def _whole_boards(
        self, corners: Mapping[CornerName, Recipe], inside: tuple[float, float]
    ) -> dict[CornerName, Recipe]:
        """The corners with the lengths of their boards: from a corner's baseline to the raw end at the next corner."""

        def board(side: Side, name: CornerName) -> Board:
            own: Board = getattr(corners[name], self._table_of(side))
            far = next(corner for other, corner in corners.items() if side in other and other != name)
            reach = far.tail_board.thickness + far.pin_board.proud
            if self._table_of(side) == "tail_board":
                reach = far.depth + far.tail_board.proud
            return replace(own, length=inside[side in ("left", "right")] + reach)

        def whole(name: CornerName) -> Recipe:
            boards = {self._table_of(side): board(side, name) for side in SIDES if side in name}
            return replace(corners[name], tail_board=boards["tail_board"], pin_board=boards["pin_board"])

        return {name: whole(name) for name in corners}

    # --- groove and panel ----------------------------------------------------------------------

    def _groove(self, thin: Mapping[Side, float], inside: tuple[float, float], panel: Panel) -> Groove:
        if self.box.groove is None and not self.above:
            self.choices.append(Choice("box.groove.width", "0", "no bottom was asked for", 0.0))
            return Groove(0.0, 0.0, 0.0, "stopped")
        groove = self.box.groove or GrooveTable()
        width = self._length(groove.width, "box.groove.width", GROOVE_WIDTH, "a usual bottom")
        if not width:
            return Groove(0.0, 0.0, 0.0, "stopped")
        thinnest = min(thin[side] for side in grooved_sides(above=self.above))
        usual = round_up(max(thinnest * GROOVE_SHARE, 1.0), self.units)
        needed = panel.depth_for(inside[panel.across(inside)], tol.PANEL_HELD)
        # A groove deeper than the boards take would be refused; how to hold such a bottom is said with the layout.
        deepens = usual < round_up(needed, self.units) <= tol.GROOVE_DEEPEST * (thinnest - self.planing)
        rule = "so deep that it holds the bottom as it moves" if deepens else "a third of the thinnest board"
        depth = self._length(groove.depth, "box.groove.depth", needed if deepens else usual, rule)
        up = self._usual_up(width) if groove.up is None else groove.up
        rule = "through where a lap hides it, stopped where it would show"
        ends: GrooveEnds = self._or(groove.ends, "box.groove.ends", "hidden", rule)
        return Groove(width, depth, up, ends)

    def _usual_up(self, width: float) -> float:
        """As much wood below the groove as it is wide, or more, so that it lies within every corner's first tail."""
        wide = GROOVE_UP * width
        usual, rule = wide, "as much below as it is wide"
        if wide < LEAST_UP:
            usual, rule = LEAST_UP, "no less wood below a bottom"
        height = self.box.height or self.asked.joint.width
        if height is None and self.box.inside_height is not None:
            height = self.box.inside_height + width + usual
        within = usual
        if height is not None and not self.problems:
            names = [name for name in CORNERS if not (self.above and end_of(name) == "back")]
            with suppress(RecipeError):  # what is wrong with the corners is reported once they are final
                within = max(first_place(self._corner(name, height), usual, width) for name in names)
        if within > usual:
            usual, rule = within, "within the first tail, so that it cuts no pin"
        return self._length(None, "box.groove.up", usual, rule)

    def _panel(self, inside: tuple[float, float]) -> Panel:
        panel = self.box.panel or PanelTable()
        longer: Any = "length" if self.above or inside[0] >= inside[1] else "width"
        rule = "so that it moves toward the open back" if self.above else "along the longer side"
        kind: PanelKind = self._or(panel.kind, "box.panel.kind", "solid", "boards, as the sides are")
        is_solid = kind == "solid"
        usual, why = (DEFAULT, wood_rule(None)) if is_solid else (find_wood("birch"), "what good plywood is faced with")
        wood = self._or(panel.wood, "box.panel.wood", usual, why, usual.name)
        sawn: Sawn = self._or(panel.sawn, "box.panel.sawn", "flat", "most boards are") if is_solid else "flat"
        wood = wood if is_solid else plywood_of(wood)
        grain = self._or(panel.grain, "box.panel.grain", longer, rule)
        clearance = self._length(panel.clearance, "box.panel.clearance", CLEARANCE, "so that it goes in")
        grows, shrinks = moves_across(wood, sawn, *self._air(self.asked.climate))
        return Panel(kind, wood, sawn, grain, clearance, grows, shrinks, under_back=self.above)

    def _rough(self) -> Rough:
        rough = self.box.rough or RoughTable()
        return Rough(
            self._length(rough.length, "box.rough.length", ROUGH_LENGTH, "both ends are sawn square"),
            self._length(rough.width, "box.rough.width", ROUGH_WIDTH, "both edges are planed"),
            self._length(rough.thickness, "box.rough.thickness", ROUGH_THICKNESS, "both faces are planed"),
        )
