"""From a recipe with a [box] table to a `BoxRecipe`: four corners, each a recipe of its own, which agree on their
boards.

The missing sizes follow from the others, and each that does is told with how. Lengths in mm.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import InputError, Problem, RecipeError
from solids.base.lengths import format_fine
from solids.base.messages import Key, Units, message
from solids.base.parsing import parse_length
from solids.base.sources import OWN_SIZES
from solids.recipe.accepted import no_less_than
from solids.recipe.box_checks import back_problems, too_deep
from solids.recipe.box_keys import end_of, has_through_corner, of_corners, put_joint
from solids.recipe.box_resolved import (
    CORNERS,
    SIDES,
    BoxRecipe,
    CornerName,
    Groove,
    GrooveEnds,
    Panel,
    Rough,
    Side,
    first_neck,
    grooved_sides,
    moves_across,
)
from solids.recipe.box_schema import GrooveTable, PanelTable, RoughTable, SideTable, StockTable
from solids.recipe.choices import Choosing, round_up
from solids.recipe.fields import Title
from solids.recipe.reading import Raw, box_faults, check_recipe, raw_in, units_in
from solids.recipe.resolved import Choice, Recipe
from solids.recipe.schema import BoxTable, ClimateTable
from solids.recipe.texts import source_text
from solids.wood import DEFAULT, Sawn

GROOVE_WIDTH, GROOVE_SHARE, GROOVE_UP, LEAST_UP = 6.0, 1 / 3, 1.0, 6.0
"""Width of a usual groove; its depth by the thinnest board's thickness; what stays below it, by its width and at the
least. Common practice. NOYES (Handwork in Wood, p. 190) has 1/4 in for a drawer bottom."""

BOARDS = ("tail_board", "pin_board")
OPPOSITE: dict[Side, Side] = {"front": "back", "back": "front", "left": "right", "right": "left"}

CLEARANCE = 0.5
"""Room at each edge of a panel, beside that for movement. Common practice."""

ROUGH_LENGTH, ROUGH_WIDTH, ROUGH_THICKNESS = 10.0, 4.0, 3.0
"""What boards are sawn larger. Common practice."""


def is_box(raw: Raw) -> bool:
    """Whether a recipe is one for a whole box."""
    return "box" in raw


def raw_recipe(source: str | Path, overrides: Iterable[str] = ()) -> tuple[Raw, list[Problem]]:
    """The tables of a recipe with its overrides, unchecked, and what is wrong with overrides that cannot be read."""
    return raw_in(source_text(source), str(source), overrides)


def read_box(source: str | Path, overrides: Iterable[str] = ()) -> BoxRecipe:
    """The box of a recipe file or a preset. RecipeError with every problem that can be found."""
    return check_box(*raw_recipe(source, overrides))


def check_box(raw: Raw, problems: Iterable[Problem] = ()) -> BoxRecipe:
    """The resolved box in parsed TOML; RecipeError carries every problem found here and given."""
    found = list(problems)
    if not isinstance(raw.get("box"), dict):
        raise InputError("box: is not a table; write a table, as in [box] with its keys below")
    rest, faults = box_faults(raw)
    found += faults
    if rest is None:
        raise RecipeError(found, units_in(raw))
    try:
        recipe = _BoxChoices(rest).recipe()
    except RecipeError as err:
        raise RecipeError([*found, *err.problems], err.units) from None
    if found:
        raise RecipeError(found, units_in(raw))
    return replace(recipe, tables=raw)


class _BoxChoices(Choosing):
    """Goes through the keys once, in the order in which they depend on each other. Each key by itself is sound. The
    tables are its own to change."""

    def __init__(self, raw: Raw) -> None:
        units: Units = raw.get("units", "mm")
        super().__init__(units)
        self.raw = raw
        context = {"units": units}
        self.own: Raw = raw.pop("box")
        self.box = BoxTable.model_validate(self.own, context=context)
        self.stock = StockTable.model_validate(raw.pop("stock", {}), context=context)
        self.climate = ClimateTable.model_validate(raw.get("climate", {}), context=context)
        self.title = str(Title().read(self._or(raw.get("title"), "title", "box", "no title was given"), units))
        self.height_key = "box.height"
        self.unknown: set[Side] = set()
        self.written: dict[CornerName, dict[str, str]] = {}
        for name in ("joint", *BOARDS):
            raw.setdefault(name, {})
        self.planing = self._length_in("finish", "planing") or 0.0
        self.woods_left_out = [name for name in BOARDS if "wood" not in raw[name]]
        # Settled here, or a corner would choose it by the mate that it has there, and a board would have two woods.
        for name, mate in (("tail_board", "pin_board"), ("pin_board", "tail_board")):
            raw[name].setdefault("wood", raw[mate].get("wood", DEFAULT.name))

    def recipe(self) -> BoxRecipe:
        box = self.box
        on = self._or(box.tails_on, "box.tails_on", "sides", "the joints then show on the sides")
        self.tails_on_sides = on == "sides"
        rule = "the bottom is held all round"
        above = self._or(box.back_above_bottom, "box.back_above_bottom", False, rule, "false")
        notices = self._lengths_left_aside()
        self._tell_woods()
        thick = self._thicknesses()
        inside = self._inside("length", thick, ("left", "right")), self._inside("width", thick, ("front", "back"))
        panel = self._panel(inside, above=above)
        groove = self._groove(thick, inside, panel, above=above)
        height = self._height(groove)
        self._stop_if_wrong()
        stays = {side: thick[side] - self.planing for side in grooved_sides(above=above)}
        self.problems += too_deep(groove, stays, self.planing)
        self.problems += back_problems(groove, height, tails_on_sides=self.tails_on_sides) if above else []
        self._stop_if_wrong()
        rise = groove.top if above else 0.0
        corners = self._corners({name: height - (rise if end_of(name) == "back" else 0.0) for name in CORNERS})
        first = corners["front left"]
        return BoxRecipe(
            title=self.title,
            units=first.units,
            inside=inside,
            height=height,
            tails_on_sides=self.tails_on_sides,
            back_above_bottom=above,
            corners=self._whole_boards(corners, inside),
            written=self.written,
            groove=groove,
            panel=panel,
            rough=self._rough(),
            stock=(self.stock.length, self.stock.width),
            choices=tuple(self.choices),
            notices=tuple(dict.fromkeys([*notices, *(note for corner in corners.values() for note in corner.notices)])),
        )

    def _stop_if_wrong(self) -> None:
        if self.problems:
            raise RecipeError(dict.fromkeys(self.problems), self.units)

    def _follows(self, key: str, mm: float, rule: str) -> None:
        """Tells once of a size that the others leave no choice."""
        made = Choice(key, format_fine(mm, self.units), rule, mm, OWN_SIZES)
        self.choices += [] if made in self.choices else [made]

    def _length_in(self, table: str, key: str) -> float | None:
        """A length of the corner's own tables, None where it is not there."""
        values = self.raw.get(table, {})
        return parse_length(values[key], self.units) if key in values else None

    # --- sizes ---------------------------------------------------------------------------------

    def _table_of(self, side: Side) -> str:
        return "tail_board" if (side in ("left", "right")) == self.tails_on_sides else "pin_board"

    def _lengths_left_aside(self) -> list[str]:
        """A corner's recipe that was made a box of may hold lengths of its boards, which say nothing here."""
        return [
            f"{table}.length is left aside, as the box has sizes of its own"
            for table in BOARDS
            if self._length_in(table, "length") is not None
        ]

    def _tell_woods(self) -> None:
        """Which boards have a wood that nobody named."""
        for name in self.woods_left_out:
            sides = [side for side in SIDES if self._table_of(side) == name]
            if any(getattr(self.box, side) is None or getattr(self.box, side).wood is None for side in sides):
                wood = self.raw[name]["wood"]
                told = str(wood.get("name", "own wood")) if isinstance(wood, dict) else str(wood)
                self.choices.append(Choice(f"{name}.wood", told, "as the other boards, or a plain one", wood))

    def _thicknesses(self) -> dict[Side, float]:
        """Of each board: its own, or its pair's, or what outside and inside sizes leave."""
        found: dict[Side, float] = {}
        for side in SIDES:
            own: SideTable | None = getattr(self.box, side)
            thickness = own.thickness if own else None
            if thickness is None:
                thickness = self._length_in(self._table_of(side), "thickness")
            found[side] = self._thickness_between(side) if thickness is None else thickness
        return found

    def _thickness_between(self, side: Side) -> float:
        word, table = "length" if side in ("left", "right") else "width", self._table_of(side)
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        if outside is None or inside is None:
            self.unknown.add(side)
            self._problem(f"{table}.thickness", "is missing", "give it, as in thickness = 12")
            return tol.LEAST_THICKNESS
        both = float(outside - inside) + 2 * self.planing
        mate: SideTable | None = getattr(self.box, OPPOSITE[side])
        own = mate.thickness if mate else None
        thickness = both / 2 if own is None else both - own
        if thickness < tol.LEAST_THICKNESS:
            self.unknown.add(side)
            if OPPOSITE[side] in self.unknown:
                return tol.LEAST_THICKNESS  # told for the other
            other = OPPOSITE[side]
            wrong = message(
                "{} less {}, {}, leaves {} for the {} and the {} board{}",
                typed(outside),
                Key(f"box.inside_{word}"),
                typed(inside),
                typed(max(both, 0.0)),
                side,
                other,
                message(", of which the {} takes {}", other, typed(own)) if own else "",
            )
            remedy = f"make them differ by more, or leave one out and give {table}.thickness"
            self._problem(f"box.{word}", wrong, remedy)
            return tol.LEAST_THICKNESS
        share = "half of what" if own is None else f"what the {OPPOSITE[side]} board leaves of what"
        rule = f"{share} box.{word} and box.inside_{word} leave"
        self._follows(f"{table}.thickness", thickness, rule)
        self.raw[table]["thickness"] = f"{thickness!r} mm"
        return thickness

    def _height(self, groove: Groove) -> float:
        """Of the boards: named once, or more than once and alike."""
        inside = self.box.inside_height
        said = {
            "box.height": self.box.height,
            "joint.width": self._length_in("joint", "width"),
            "box.inside_height": None if inside is None else inside + groove.top,
        }
        named = {key: float(value) for key, value in said.items() if value is not None}
        if not named:
            self._problem("box.height", "is missing", "give it, as in height = 96")
            return 100.0
        key, height = next(iter(named.items()))
        self.height_key = key
        for other, value in named.items():
            if abs(value - height) > tol.ROUNDING:
                wrong = message(
                    "{} does not agree with {}, which makes the boards {} wide", typed(height), Key(other), typed(value)
                )
                self._problem(key, wrong, "give one of them")
        if key != "box.height":
            rule = "as joint.width says" if key == "joint.width" else "box.inside_height and the bottom below it"
            self._follows("box.height", height, rule)
        return height

    def _inside(self, word: str, thick: Mapping[Side, float], sides: tuple[Side, Side]) -> float:
        """Between the inside faces, from the outside size or the inside size or both."""
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        boards = sum(thick[side] for side in sides) - 2 * self.planing
        if outside is None and inside is None:
            self._problem(f"box.{word}", "is missing", f"give it, as in {word} = 300, or inside_{word}")
            return 100.0
        if self.unknown & set(sides):
            return 100.0  # what is wrong with the boards is told already
        if inside is None:
            inside = outside - boards
            self._follows(f"box.inside_{word}", inside, f"box.{word} less two boards")
        elif outside is None:
            told = format_fine(inside + boards, self.units)
            self.choices.append(
                Choice(f"box.{word}", told, f"box.inside_{word} and two boards", inside + boards, OWN_SIZES)
            )
        elif abs(outside - inside - boards) > tol.ROUNDING:
            wrong = message(
                "{} less {} for two boards is not {}, {}",
                typed(outside),
                typed(boards),
                Key(f"box.inside_{word}"),
                typed(inside),
            )
            self._problem(f"box.{word}", wrong, "give one of them")
        if inside < tol.LEAST_WIDTH:
            wrong = message("leaves {} inside between boards that take {}", typed(inside), typed(boards))
            self._problem(f"box.{word}", wrong, *no_less_than(boards + tol.LEAST_WIDTH))
        return float(inside)

    # --- corners -------------------------------------------------------------------------------

    def _corners(self, widths: Mapping[CornerName, float]) -> dict[CornerName, Recipe]:
        """The recipes of all corners, or all that is wrong with any of them."""
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
        """The recipe of one corner, through the one place where recipes are checked. It is kept under which keys the
        maker wrote what is special to it."""
        end, hand = name.split()
        raw = copy.deepcopy(self.raw)
        joints = self.own.get("joints", {})
        written = {"joint.width": self.height_key} | put_joint(raw, joints, name)
        mixed = "joint.kind" in written or has_through_corner(self.raw["joint"], joints)
        raw["joint"]["width"] = f"{width!r} mm"
        if mixed and raw["joint"].get("kind") == "half-blind" and "proud" in raw["tail_board"]:
            raw["tail_board"]["proud"] = 0  # meant for the through corners; ends in a lap cannot stand proud
        for side in SIDES:
            if side in (end, hand):
                table, given = self._table_of(side), self.own.get(side, {})
                raw[table] |= {**given, "length": "100 mm"}  # the whole board's follows, see `_whole_boards`
                written |= {f"{table}.{part}": f"box.{side}.{part}" for part in given}
        raw["title"] = f"{self.title[: tol.TITLE_LONGEST - 20]}, {name}"
        self.written[name] = written
        return check_recipe(raw)

    def _whole_boards(
        self, corners: Mapping[CornerName, Recipe], inside: tuple[float, float]
    ) -> dict[CornerName, Recipe]:
        """The corners with the lengths of their boards: from a corner's baseline to the raw end at the next corner."""

        def length(side: Side, name: CornerName) -> float:
            far = next(corner for other, corner in corners.items() if side in other and other != name)
            is_tail_board = self._table_of(side) == "tail_board"
            reach = far.depth + far.tail_board.proud
            if not is_tail_board:
                reach = far.tail_board.thickness + far.pin_board.proud
            return inside[side in ("left", "right")] + reach

        whole: dict[CornerName, Recipe] = {}
        for name, corner in corners.items():
            boards = {self._table_of(side): length(side, name) for side in SIDES if side in name}
            whole[name] = replace(
                corner,
                tail_board=replace(corner.tail_board, length=boards["tail_board"]),
                pin_board=replace(corner.pin_board, length=boards["pin_board"]),
                tables={},  # nobody wrote the recipe of this corner alone
            )
        return whole

    # --- groove and panel ----------------------------------------------------------------------

    def _groove(self, thick: Mapping[Side, float], inside: tuple[float, float], panel: Panel, *, above: bool) -> Groove:
        if self.box.groove is None and not above:
            self.choices.append(Choice("box.groove.width", "0", "no bottom was asked for", 0.0))
            return Groove(0.0, 0.0, 0.0, "stopped")
        groove = self.box.groove or GrooveTable()
        width = self._length(groove.width, "box.groove.width", GROOVE_WIDTH, "a usual bottom")
        if not width:
            return Groove(0.0, 0.0, 0.0, "stopped")
        thinnest = min(thick[side] for side in grooved_sides(above=above))
        usual = round_up(max(thinnest * GROOVE_SHARE, 1.0), self.units)
        needed = panel.depth_for(inside[panel.across], tol.PANEL_HELD)
        # Deeper than the boards take, it would be refused for that; what holds such a bottom is told with the layout.
        deepens = usual < round_up(needed, self.units) <= tol.GROOVE_DEEPEST * (thinnest - self.planing)
        rule = "so deep that it holds the bottom as it moves" if deepens else "a third of the thinnest board"
        depth = self._length(groove.depth, "box.groove.depth", needed if deepens else usual, rule)
        up = self._usual_up(width, above=above) if groove.up is None else groove.up
        ends: GrooveEnds = self._or(groove.ends, "box.groove.ends", "stopped", "so that nothing shows outside")
        return Groove(width, depth, up, ends)

    def _usual_up(self, width: float, *, above: bool) -> float:
        """As much below the groove as it is wide, or so much more that it lies within every corner's first tail."""
        wide = GROOVE_UP * width
        usual, rule = wide, "as much below as it is wide"
        if wide < LEAST_UP:
            usual, rule = LEAST_UP, "no less wood below a bottom"
        height = self.box.height or self._length_in("joint", "width")
        if height is None and self.box.inside_height is not None:
            height = self.box.inside_height + width + usual
        within = usual
        if height is not None and not self.problems:
            names = [name for name in CORNERS if not (above and end_of(name) == "back")]
            with suppress(RecipeError):  # what is wrong with the corners is told when they are made for good
                within = max(first_neck(self._corner(name, height)) for name in names)
        if within > usual:
            usual, rule = within, "within the first tail, so that it cuts no pin"
        return self._length(None, "box.groove.up", usual, rule)

    def _panel(self, inside: tuple[float, float], *, above: bool) -> Panel:
        panel = self.box.panel or PanelTable()
        longer: Any = "length" if above or inside[0] >= inside[1] else "width"
        rule = "so that it moves toward the open back" if above else "along the longer side"
        wood = self._or(panel.wood, "box.panel.wood", DEFAULT, "a plain wood", DEFAULT.name)
        sawn: Sawn = self._or(panel.sawn, "box.panel.sawn", "flat", "most boards are")
        grain = self._or(panel.grain, "box.panel.grain", longer, rule)
        clearance = self._length(panel.clearance, "box.panel.clearance", CLEARANCE, "so that it goes in")
        shop = self._shop(self.climate)
        grows, shrinks = moves_across(wood, sawn, shop, self._home(self.climate, shop))
        return Panel(wood, sawn, grain, clearance, grows, shrinks, free=above and grain == "length")

    def _rough(self) -> Rough:
        rough = self.box.rough or RoughTable()
        return Rough(
            self._length(rough.length, "box.rough.length", ROUGH_LENGTH, "both ends are sawn square"),
            self._length(rough.width, "box.rough.width", ROUGH_WIDTH, "both edges are planed"),
            self._length(rough.thickness, "box.rough.thickness", ROUGH_THICKNESS, "both faces are planed"),
        )
