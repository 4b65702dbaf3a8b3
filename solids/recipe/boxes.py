"""From a recipe with a [box] table to a `BoxRecipe`: four corners, each a recipe of its own, which agree on their
boards.

The missing sizes follow from the others, and each that does is told with how. Lengths in mm.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from pydantic_core import PydanticCustomError

from solids import tolerances as tol
from solids.errors import InputError, LengthError, Problem, RecipeError
from solids.lengths import Units, format_both, format_decimal, format_least, parse_length
from solids.recipe.asked import BoxTable
from solids.recipe.box_asked import SideTable, StockTable
from solids.recipe.box_resolved import CORNERS, SIDES, BoxRecipe, CornerName, Groove, Panel, Rough, Side
from solids.recipe.choices import round_up
from solids.recipe.fields import Title
from solids.recipe.reading import Raw, apply_override, check_recipe, parse_toml, source_text, validated_table
from solids.recipe.resolved import Choice, Recipe
from solids.wood import DEFAULT, Wood

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
    raw = parse_toml(source_text(source), str(source))
    return raw, [problem for item in overrides if (problem := apply_override(raw, item))]


def read_box(source: str | Path, overrides: Iterable[str] = ()) -> BoxRecipe:
    """The box of a recipe file or a preset. RecipeError with every problem that can be found."""
    return check_box(*raw_recipe(source, overrides))


def check_box(raw: Raw, problems: Iterable[Problem] = ()) -> BoxRecipe:
    """The resolved box in parsed TOML; RecipeError carries every problem found here and given."""
    found = list(problems)
    if not isinstance(raw.get("box"), dict):
        raise InputError("box: is not a table; write a table, as in [box] with its keys below")
    try:
        recipe = _Boxing(copy.deepcopy(raw)).recipe()
    except RecipeError as err:
        raise RecipeError([*found, *err.problems]) from None
    if found:
        raise RecipeError(found)
    return recipe


class _Boxing:
    """Goes through the keys once, in the order in which they depend on each other."""

    def __init__(self, raw: Raw) -> None:
        units = raw.get("units", "mm")
        self.units: Units = units if units in ("mm", "in") else "mm"
        self.choices: list[Choice] = []
        self.problems: list[Problem] = []
        self.own: Raw = raw.pop("box")
        self.box: BoxTable = self._table(BoxTable, self.own, "box")
        self.stock: StockTable = self._table(StockTable, raw.pop("stock", {}), "stock")
        self.raw = raw
        self.title = self._title(raw.get("title"))
        for name in ("joint", *BOARDS):
            if not isinstance(raw.setdefault(name, {}), dict):
                raise RecipeError([Problem(name, "is not a table", f"write a table, as in [{name}]")])
        self.woods_left_out = [name for name in BOARDS if "wood" not in raw[name]]
        # Settled here, or a corner would choose it by the mate that it has there, and a board would have two woods.
        for name, mate in (("tail_board", "pin_board"), ("pin_board", "tail_board")):
            raw[name].setdefault("wood", raw[mate].get("wood", DEFAULT.name))

    def _table(self, model: type[Any], values: Any, prefix: str) -> Any:
        table, problems = validated_table(model, values, prefix, self.units)
        if table is None:
            raise RecipeError([*self.problems, *problems])
        return table

    def _title(self, given: Any) -> str:
        try:
            return str(Title().read(self._or(given, "title", "box", "no title was given"), self.units))
        except PydanticCustomError as err:
            context = err.context or {}
            raise RecipeError([Problem("title", str(context["wrong"]), str(context["remedy"]))]) from None

    def recipe(self) -> BoxRecipe:
        box = self.box
        tails_on_sides = self._or(box.tails_on, "box.tails_on", "sides", "the joints then show on the sides") == "sides"
        above = self._or(box.back_above_bottom, "box.back_above_bottom", False, "the bottom is held all round")
        self._tell_woods(tails_on_sides=tails_on_sides)
        thick = self._thicknesses(tails_on_sides=tails_on_sides)
        planing = self._length_in("finish", "planing") or 0.0
        inside = (
            self._inside("length", thick["left"] + thick["right"] - 2 * planing),
            self._inside("width", thick["front"] + thick["back"] - 2 * planing),
        )
        groove = self._groove(thick, inside, above=above, tails_on_sides=tails_on_sides)
        height = self._height(groove)
        self._stop_if_wrong()
        rise = groove.top if above else 0.0
        if above and not tails_on_sides:
            self.problems.append(
                Problem("box.back_above_bottom", "needs the tails on the sides", 'set box.tails_on = "sides"')
            )
        if above and not groove.width:
            self.problems.append(Problem("box.back_above_bottom", "needs a groove", "give box.groove.width"))
        corners = {
            name: self._corner(name, inside, height - (rise if name.startswith("back") else 0.0), tails_on_sides)
            for name in CORNERS
        }
        self._stop_if_wrong()
        made = {name: recipe for name, recipe in corners.items() if recipe is not None}
        first = made["front left"]
        return BoxRecipe(
            title=self.title,
            units=first.units,
            inside=inside,
            height=height,
            tails_on_sides=tails_on_sides,
            back_above_bottom=above,
            corners=made,
            groove=groove,
            panel=self._panel(inside, above=above),
            rough=self._rough(),
            stock=(self.stock.length, self.stock.width),
            choices=tuple(self.choices),
            notices=tuple(dict.fromkeys(notice for recipe in made.values() for notice in recipe.notices)),
        )

    def _stop_if_wrong(self) -> None:
        if self.problems:
            raise RecipeError(dict.fromkeys(self.problems))

    def _or(self, given: Any, key: str, usual: Any, rule: str) -> Any:
        """What is given, or the usual value, which is told."""
        if given is not None:
            return given
        told = str(usual)
        if isinstance(usual, Wood):
            told = usual.name
        elif isinstance(usual, bool):
            told = told.lower()
        elif isinstance(usual, float):
            told = format_both(usual, self.units, 0.01)
        self.choices.append(Choice(key, told, rule))
        return usual

    def _length_in(self, table: str, key: str) -> float | None:
        """A length of the corner's own tables, None where it is not there; its check comes with the corners."""
        values = self.raw.get(table, {})
        if not isinstance(values, dict) or key not in values:
            return None
        try:
            return parse_length(values[key], self.units)
        except LengthError:
            return None

    # --- sizes ---------------------------------------------------------------------------------

    def _thicknesses(self, *, tails_on_sides: bool) -> dict[Side, float]:
        """Of each board: its own, or its pair's, or what outside and inside sizes leave."""
        found: dict[Side, float] = {}
        for side in SIDES:
            own: SideTable | None = getattr(self.box, side)
            table = self._table_of(side, tails_on_sides=tails_on_sides)
            thickness: float | None = own.thickness if own else None
            if thickness is None:
                thickness = self._length_in(table, "thickness")
            found[side] = self._thickness_between(side, table) if thickness is None else thickness
        return found

    def _tell_woods(self, *, tails_on_sides: bool) -> None:
        """Which boards have a wood that nobody named."""
        for name in self.woods_left_out:
            sides = [side for side in SIDES if self._table_of(side, tails_on_sides=tails_on_sides) == name]
            if any(getattr(self.box, side) is None or getattr(self.box, side).wood is None for side in sides):
                wood = self.raw[name]["wood"]
                told = str(wood.get("name", "own wood")) if isinstance(wood, dict) else str(wood)
                self.choices.append(Choice(f"{name}.wood", told, "as the other boards, or a plain one"))

    def _table_of(self, side: Side, *, tails_on_sides: bool) -> str:
        return "tail_board" if (side in ("left", "right")) == tails_on_sides else "pin_board"

    def _thickness_between(self, side: Side, table: str) -> float:
        word = "length" if side in ("left", "right") else "width"
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        if outside is None or inside is None or outside <= inside:
            self.problems.append(Problem(f"{table}.thickness", "is missing", "give it, as in thickness = 12"))
            return tol.LEAST_THICKNESS
        both = float(outside - inside) + 2 * (self._length_in("finish", "planing") or 0.0)
        mate: SideTable | None = getattr(self.box, OPPOSITE[side])
        own = mate.thickness if mate else None
        thickness = both / 2 if own is None else both - own
        share = "half of what" if own is None else f"what the {OPPOSITE[side]} board leaves of what"
        rule = f"{share} box.{word} and box.inside_{word} leave"
        told = Choice(f"{table}.thickness", format_both(thickness, self.units, 0.01), rule)
        if told not in self.choices:
            self.choices.append(told)
        self.raw[table]["thickness"] = f"{thickness!r} mm"
        return thickness

    def _height(self, groove: Groove) -> float:
        """Of the boards: named once, or more than once and alike."""
        up = groove.top if groove.width else 0.0
        given = {
            "box.height": self.box.height,
            "joint.width": self._length_in("joint", "width"),
            "box.inside_height": None if self.box.inside_height is None else self.box.inside_height + up,
        }
        named = {key: value for key, value in given.items() if value is not None}
        if not named:
            self.problems.append(Problem("box.height", "is missing", "give it, as in height = 96"))
            return 100.0
        key, height = next(iter(named.items()))
        for other, value in named.items():
            if abs(value - height) > tol.ROUNDING:
                self.problems.append(
                    Problem(
                        key,
                        f"{format_decimal(height, self.units)} does not agree with {other}, which makes the boards "
                        f"{format_decimal(value, self.units)} wide",
                        "give one of them",
                    )
                )
        if "box.height" not in named:
            rule = "as joint.width says" if key == "joint.width" else "box.inside_height and the bottom below it"
            self.choices.append(Choice("box.height", format_both(height, self.units, 0.01), rule))
        return float(height)

    def _inside(self, word: str, boards: float) -> float:
        """Between the inside faces, from the outside size or the inside size or both."""
        outside, inside = getattr(self.box, word), getattr(self.box, f"inside_{word}")
        if outside is None and inside is None:
            self.problems.append(Problem(f"box.{word}", "is missing", f"give it, as in {word} = 300, or inside_{word}"))
            return 100.0
        if inside is None:
            inside = outside - boards
            self.choices.append(
                Choice(f"box.inside_{word}", format_both(inside, self.units, 0.01), f"box.{word} less two boards")
            )
        elif outside is None:
            size = format_both(inside + boards, self.units, 0.01)
            self.choices.append(Choice(f"box.{word}", size, f"box.inside_{word} and two boards"))
        elif abs(outside - inside - boards) > tol.ROUNDING:
            less, left = format_decimal(boards, self.units), format_decimal(inside, self.units)
            wrong = f"{format_decimal(outside, self.units)} less {less} for two boards is not box.inside_{word}, {left}"
            self.problems.append(Problem(f"box.{word}", wrong, "give one of them"))
        if inside < tol.LEAST_WIDTH:
            self.problems.append(
                Problem(
                    f"box.{word}",
                    f"leaves {format_decimal(inside, self.units)} inside between boards that take "
                    f"{format_decimal(boards, self.units)}",
                    f"accepted is {format_least(boards + tol.LEAST_WIDTH, self.units)} or more",
                )
            )
        return float(inside)

    # --- corners -------------------------------------------------------------------------------

    def _corner(
        self, name: CornerName, inside: tuple[float, float], width: float, tails_on_sides: bool
    ) -> Recipe | None:
        """The recipe of one corner, through the one place where recipes are checked."""
        end, hand = name.split()
        raw = copy.deepcopy(self.raw)
        own: dict[str, str] = {}
        for key in (end, f"{end}_{hand}"):
            given = self.own.get("joints", {}).get(key, {})
            raw["joint"] |= given
            own |= {f"joint.{part}": f"box.joints.{key}.{part}" for part in given}
        raw["joint"]["width"] = f"{width!r} mm"
        if "joint.kind" in own and raw["joint"].get("kind") == "half-blind":
            raw["tail_board"].pop("proud", None)  # meant for the through corners; ends in a lap cannot stand proud
        for side in SIDES:
            if side in (end, hand):
                table, given = self._table_of(side, tails_on_sides=tails_on_sides), self.own.get(side, {})
                raw[table] |= {**given, "length": f"{inside[side in ('left', 'right')] / 2!r} mm"}
                own |= {f"{table}.{part}": f"box.{side}.{part}" for part in given}
        raw["title"] = f"{self.title[: tol.TITLE_LONGEST - 20]}, {name}"
        try:
            return check_recipe(raw)
        except RecipeError as err:
            self.problems += [Problem(own.get(p.key, p.key), p.wrong, p.remedy) for p in err.problems]
            return None

    # --- groove and panel ----------------------------------------------------------------------

    def _groove(
        self, thick: Mapping[Side, float], inside: tuple[float, float], *, above: bool, tails_on_sides: bool
    ) -> Groove:
        groove = self.box.groove
        if groove is None and not above:
            self.choices.append(Choice("box.groove.width", "0", "no bottom was asked for"))
            return Groove(0.0, 0.0, 0.0, "stopped")
        width = self._or(groove and groove.width, "box.groove.width", GROOVE_WIDTH, "a usual bottom")
        if not width:
            return Groove(0.0, 0.0, 0.0, "stopped")
        thinnest = min(thick.values())
        deep = max(round(thinnest * GROOVE_SHARE * 2) / 2, 1.0)
        depth = self._or(groove and groove.depth, "box.groove.depth", deep, "a third of the thinnest board")
        up = groove.up if groove else None
        if up is None:
            up = self._usual_up(float(width), inside, above=above, tails_on_sides=tails_on_sides)
        ends = self._or(groove and groove.ends, "box.groove.ends", "stopped", "so that nothing shows outside")
        if not 0 < depth <= tol.GROOVE_DEEPEST * thinnest + tol.ROUNDING:
            thin = min(thick, key=lambda side: thick[side])
            self.problems.append(
                Problem(
                    "box.groove.depth",
                    f"{format_decimal(depth, self.units)} is too deep for the {thin} board, which is "
                    f"{format_decimal(thinnest, self.units)} thick",
                    f"accepted is up to {format_decimal(tol.GROOVE_DEEPEST * thinnest, self.units)}",
                )
            )
        return Groove(float(width), float(depth), float(up), ends)

    def _usual_up(self, width: float, inside: tuple[float, float], *, above: bool, tails_on_sides: bool) -> float:
        """As much below the groove as it is wide, or so much more that it lies within every corner's first tail."""
        usual = max(GROOVE_UP * width, LEAST_UP)
        height = self.box.height or self._length_in("joint", "width")
        before, within = len(self.problems), usual
        if height is not None and not self.problems:
            names = [name for name in CORNERS if not (above and name.startswith("back"))]
            corners = [self._corner(name, inside, height, tails_on_sides) for name in names]
            within = max((_first_neck(corner) for corner in corners if corner), default=usual)
        del self.problems[before:]  # what is wrong with the corners is told when they are made for good
        up = round_up(max(usual, within), self.units)
        rule = "as much below as it is wide" if within <= usual else "within the first tail, so that it cuts no pin"
        return float(self._or(None, "box.groove.up", up, rule))

    def _panel(self, inside: tuple[float, float], *, above: bool) -> Panel:
        panel = self.box.panel
        longer: Any = "length" if above or inside[0] >= inside[1] else "width"
        rule = "so that it moves toward the open back" if above else "along the longer side"
        return Panel(
            wood=self._or(panel and panel.wood, "box.panel.wood", DEFAULT, "a plain wood"),
            sawn=self._or(panel and panel.sawn, "box.panel.sawn", "flat", "most boards are"),
            grain=self._or(panel and panel.grain, "box.panel.grain", longer, rule),
            clearance=self._or(panel and panel.clearance, "box.panel.clearance", CLEARANCE, "so that it goes in"),
        )

    def _rough(self) -> Rough:
        rough = self.box.rough
        return Rough(
            self._or(rough and rough.length, "box.rough.length", ROUGH_LENGTH, "both ends are sawn square"),
            self._or(rough and rough.width, "box.rough.width", ROUGH_WIDTH, "both edges are planed"),
            self._or(rough and rough.thickness, "box.rough.thickness", ROUGH_THICKNESS, "both faces are planed"),
        )


def _first_neck(corner: Recipe) -> float:
    """Where the neck of a corner's first tail begins, less any gap and chamfer."""
    stretch = math.hypot(1.0, 1.0 / corner.slope_ratio)
    aside = abs(corner.flank_gap) * stretch + corner.entry_chamfer.width * stretch
    return corner.half_pin + corner.depth / corner.slope_ratio + aside
