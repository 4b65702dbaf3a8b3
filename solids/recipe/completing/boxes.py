"""Completes a recipe that has a [box] table: its sizes, its groove and bottom, and its four corners, each a recipe of
its own. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.errors import FaultError, RecipeError
from solids.recipe.completing.board_rules import too_deep
from solids.recipe.completing.box_keys import end_of, has_through_corner, merged, of_corners, of_joints
from solids.recipe.completing.box_sizes import BoxSizes
from solids.recipe.completing.choosing import round_up, wood_rule
from solids.recipe.completing.corner.choices import resolve_corner
from solids.recipe.completing.corner.parted import parted
from solids.recipe.completing.dividers import Around, DividerChoices
from solids.recipe.completing.feet import feet_of
from solids.recipe.completing.lid.board import LidBoardChoices
from solids.recipe.completing.lid.lining import lined
from solids.recipe.completing.lid.sawn import LidChoices, kind_of, lid_problems_of, proud_under_hinges
from solids.recipe.completing.lips import Lipped, with_lip
from solids.recipe.completing.opening import FromOpening, fit_to_opening, told_of_opening
from solids.recipe.completing.panels import PanelChoices, panel_faults
from solids.recipe.tables.box_resolved import (
    CORNERS,
    NO_GROOVE,
    SIDES,
    BoxRecipe,
    CornerName,
    Groove,
    GrooveEnds,
    Rough,
    Side,
    first_place,
    grooved_sides,
)
from solids.recipe.tables.box_schema import GrooveTable, PanelTable, RoughTable, SideTable
from solids.recipe.tables.dividers import Divider
from solids.recipe.tables.feet import Feet
from solids.recipe.tables.lid_resolved import LidBoard
from solids.recipe.tables.lip_resolved import NO_LIP
from solids.recipe.tables.panel import SLIP_ABOVE, Panel
from solids.recipe.tables.resolved import Board, Recipe, thickest, unevenness
from solids.recipe.tables.schema import Asked, BoardTable, BoxTable
from solids.recipe.tables.stock_schema import StockTable
from solids.wood import DEFAULT

GROOVE_SHARE, GROOVE_UP, LEAST_UP = 1 / 3, 1.0, 6.0
"""The usual groove: its depth as a share of the thinnest board; the wood below it as a share of its width, and the
least. Common practice."""

BOARDS = ("tail_board", "pin_board")
ROUGH_LENGTH, ROUGH_WIDTH, ROUGH_THICKNESS = 10.0, 4.0, 3.0
"""How much larger than finished boards are sawn. Common practice."""


def resolve_box(asked: Asked) -> BoxRecipe:
    """The box with nothing left out. RecipeError holds all that is wrong with it and with its corners."""
    if asked.box is None:
        raise FaultError("a recipe without a box was to be completed as one")
    lipped = with_lip(asked)
    fitted = fit_to_opening(lipped.asked, lipped.lip)
    try:
        return _BoxChoices(fitted.asked, fitted.asked.box or asked.box).recipe(fitted, lipped)
    except RecipeError as err:
        raise RecipeError(told_of_opening(err.problems, fitted.opening), err.units, usable=err.usable) from None


class _BoxChoices(BoxSizes, PanelChoices):
    """Goes through the keys of a box once, in the order in which they depend on each other."""

    def __init__(self, asked: Asked, box: BoxTable) -> None:
        super().__init__(asked, box)
        self.written: dict[CornerName, dict[str, str]] = {}
        self.lip = NO_LIP
        self.stock = asked.stock
        self.asked = asked.model_copy(update={"stock": StockTable()})  # the box is cut from the rack, not each corner

    def recipe(self, fitted: FromOpening, lipped: Lipped) -> BoxRecipe:
        self.choices += (*lipped.choices, *fitted.choices)
        self.lip = lipped.lip
        notices = self._left_aside()
        self._settle_woods()
        measured = self._thicknesses()
        thick = {side: thickest(each) for side, each in measured.items()}
        thin = {side: thickest(each) - unevenness(each) for side, each in measured.items()}
        inside = self._inside("length", thick, ("left", "right")), self._inside("width", thick, ("front", "back"))
        panel = self._panel(inside)
        groove = self._groove(thin, inside, panel)
        panel = self._shaped(panel, groove)
        height = self._height(groove.top + panel.rises)
        feet = self._feet(thick, thin, groove.depth if panel.in_rebate else 0.0)
        self._stop_if_wrong()
        stays = {side: thin[side] - self.planing for side in grooved_sides(panel.held, above=self.above)}
        self.problems += too_deep(groove, stays, self.planing, "box.groove.depth")
        self.problems += panel_faults(panel, groove, self.box.panel or PanelTable(), inside[0], height)
        back = self._back(groove, height)
        self._stop_if_wrong()
        lids = LidChoices(self.units, self.box.lid) if self.box.lid and self._is_sawn else None
        lid = lids.lid(height) if lids else None
        if lids and lid:
            lids.check(lid, height, groove, back)
            self._take_over(lids)
        corners = self._corners({name: height - (back.narrower if end_of(name) == "back" else 0.0) for name in CORNERS})
        floor = groove.top + panel.rises if groove.width else None
        board = self._lid_board(corners, inside, back.down)
        drop = board.drop if board else 0.0
        planed = height - (fitted.opening.plane if fitted.opening else 0.0)
        heights = (lid.low, lid.low) if lid else (planed - drop, min(planed, height - back.down) - drop)
        slips = groove.top + SLIP_ABOVE if panel.held == "slips" else None
        dividers = self._dividers(corners, inside, heights, floor, slips=slips, lid=lid is not None)
        box = BoxRecipe(
            title=self.title,
            units=self.units,
            inside=inside,
            height=height,
            tails_on_sides=self.tails_on_sides,
            back_above_bottom=self.above,
            back_down=back.down,
            corners=self._whole_boards(corners, inside),
            written=self.written,
            groove=groove,
            panel=panel,
            rough=self._rough(),
            dividers=dividers,
            feet=feet,
            stock=(self.stock.length, self.stock.width),
            rack=self._rack(self.stock),
            choices=tuple(self.choices),
            notices=notices,
            author=self.asked.author or "",
            date=self.asked.date or "",
            lid=lid,
            opening=fitted.opening,
            lid_board=board,
            lip=self.lip,
        )
        return self._with_top(box, lids, thin) if lids else box

    # --- the lid ---------------------------------------------------------------------------------

    @property
    def _is_sawn(self) -> bool:
        """Whether a lid is sawn off the box."""
        return self.box.lid is not None and kind_of(self.box.lid) == "sawn off"

    def _lid_board(
        self, corners: Mapping[CornerName, Recipe], inside: tuple[float, float], down: float
    ) -> LidBoard | None:
        """A lid that is a board of its own, if that is asked for. RecipeError holds all that is wrong with it."""
        if self.box.lid is None or self._is_sawn:
            return None
        lids, first = LidBoardChoices(self.units, self.box.lid), corners["front left"]
        lids.check_back(down)
        board = lids.board(self._boards_of(corners), inside, self.planing, (first.shop, first.home))
        if board.kind == "hinged":
            found = {name: proud_under_hinges(each) for name, each in corners.items()}
            self.problems += of_corners(found, self.written)
        self._take_over(lids)
        return board

    def _with_top(self, box: BoxRecipe, lids: LidChoices, thin: Mapping[Side, float]) -> BoxRecipe:
        """The box with the top of its lid. RecipeError holds all that is wrong with the lid."""
        self.problems += of_corners({name: lid_problems_of(each) for name, each in box.corners.items()}, self.written)
        corner = box.corners["front left"]
        groove, panel = lids.top(box, thin, self.planing, (corner.shop, corner.home))
        whole = lined(replace(box, top_groove=groove, top=panel), lids, min(thin.values()) - self.planing)
        self._take_over(lids)
        return replace(whole, choices=tuple(self.choices))

    def _take_over(self, lids: LidChoices) -> None:
        """What was chosen and found for the lid, so far."""
        self.choices += [made for made in lids.choices if made not in self.choices]
        self.problems += lids.problems
        self._stop_if_wrong()

    # --- boards ----------------------------------------------------------------------------------

    def _left_aside(self) -> tuple[str, ...]:
        """A corner's recipe that was turned into a box may still give lengths of boards, which mean nothing here; a
        bottom that was turned into plywood, how it was sawn."""
        lengths = [name for name in BOARDS if getattr(self.asked, name).length is not None]
        found = [f"{name}.length is ignored, as the box has sizes of its own" for name in lengths]
        opening = self.asked.opening
        if opening and opening.wood and not opening.rail:
            found.append("opening.wood is left aside, as opening.rail says that none of it swells into the opening")
        panel = self.box.panel or PanelTable()
        if panel.kind == "plywood" and panel.sawn:
            found.append("box.panel.sawn is ignored, as plywood is peeled, not sawn")
        found += [f"{key} is ignored, as {no} = 0 asks for no {what}" for key, no, what in self._of_no_panel()]
        return tuple(found)

    def _of_no_panel(self) -> Iterator[tuple[str, str, str]]:
        """Tables that say of what a bottom or a top would be, the key by which there is none, and which it is."""
        groove, lid = self.box.groove, self.box.lid
        if self.box.panel and self.box.panel.given() and groove and groove.width == 0:
            yield "box.panel", "box.groove.width", "bottom"
        if lid and lid.panel and lid.groove and lid.groove.width == 0:
            yield "box.lid.panel", "box.lid.groove.width", "top"

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
            table, asked = self._table_of(side), getattr(self.box, side) or SideTable()
            given = {part: value for part, value in asked.given().items() if part in BoardTable.model_fields}
            # The whole board's length follows, see `_whole_boards`.
            own[table] = {"thickness": self.thickness[table], **given, "length": 100.0}
            written |= {f"{table}.{part}": f"box.{side}.{part}" for part in given}
        if mixed and kind == "half-blind" and self.asked.tail_board.proud is not None:
            own["tail_board"]["proud"] = 0.0  # meant for the through corners; ends in a lap cannot stand proud
        if self.lip and end_of(name) == "front":
            own["pin_board"]["proud"] = 0.0  # no plane reaches ends that lie behind a lip
        title = f"{self.title[: tol.TITLE_LONGEST - 20]}, {name}"
        self.written[name] = {"joint.width": self.height_key} | written
        asked = merged(self.asked, own).model_copy(update={"title": title})
        if self.box.lid is None or not self._is_sawn or self.above:
            return resolve_corner(asked)
        return parted(asked, LidChoices(self.units, self.box.lid).lid(width), resolve_corner)

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
        groove = self.box.groove or GrooveTable()
        if not self._has_bottom:
            self._or(groove.width, "box.groove.width", 0.0, "no bottom was asked for", "0")
            return NO_GROOVE
        width = self._groove_width()
        thinnest = min(thin[side] for side in grooved_sides(panel.held, above=self.above))
        usual = round_up(max(thinnest * GROOVE_SHARE, 1.0), self.units)
        needed = self._needed_depth(panel, inside)
        # A groove deeper than the boards take would be refused; how to hold such a bottom is said with the layout.
        deepens = usual < round_up(needed, self.units) <= tol.GROOVE_DEEPEST * (thinnest - self.planing)
        rule = "so deep that it holds the bottom as it moves" if deepens else "a third of the thinnest board"
        depth = self._length(groove.depth, "box.groove.depth", needed if deepens else usual, rule)
        if panel.in_rebate:
            up = self._or(groove.up, "box.groove.up", 0.0, "a rebate lies at the edge", "0")
        else:
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
        if usual < self._least_up(width):
            usual, rule = self._least_up(width), "so that the bottom does not stand out below the boards"
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

    def _feet(self, thick: Mapping[Side, float], thin: Mapping[Side, float], rebate: float) -> Feet | None:
        edge = min(thin.values()) - self.planing - rebate
        return feet_of(self.box.feet, self, max(thick.values()), edge, self.asked.tail_board.wood or DEFAULT)

    def _dividers(
        self,
        corners: Mapping[CornerName, Recipe],
        inside: tuple[float, float],
        heights: tuple[float, float],
        floor: float | None,
        *,
        slips: float | None,
        lid: bool,
    ) -> tuple[Divider, ...]:
        first, boards = corners["front left"], self._boards_of(corners)
        around = Around(inside, heights, floor, boards, first.shop, first.home, slips, lid)
        choosing = DividerChoices(self.box.divider or (), around, self.units)
        dividers = choosing.dividers()
        self.choices += choosing.choices
        self.problems += choosing.problems
        self._stop_if_wrong()
        return dividers

    def _boards_of(self, corners: Mapping[CornerName, Recipe]) -> dict[Side, Board]:
        return {
            side: getattr(corners[name], self._table_of(side)) for name in CORNERS for side in SIDES if side in name
        }

    def _rough(self) -> Rough:
        rough = self.box.rough or RoughTable()
        return Rough(
            self._length(rough.length, "box.rough.length", ROUGH_LENGTH, "both ends are sawn square"),
            self._length(rough.width, "box.rough.width", ROUGH_WIDTH, "both edges are planed"),
            self._length(rough.thickness, "box.rough.thickness", ROUGH_THICKNESS, "both faces are planed"),
        )
