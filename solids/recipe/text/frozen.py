"""A recipe with every choice written in, so that no better rule of tomorrow moves a joint that is half cut.

What the rules chose is added to what the maker wrote, which stays as it is. Each value is written so that it reads back
as the same number, to the last bit.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from fractions import Fraction
from functools import cache
from typing import Any

from solids.base.lengths import MM_PER_INCH, SIXTY_FOURTHS
from solids.base.messages import Units
from solids.base.parsing import parse_length
from solids.recipe.completing.box_keys import SHAPING_TABLES, scopes_of
from solids.recipe.tables.air import Air
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe, CornerName
from solids.recipe.tables.keys import put_at, value_at
from solids.recipe.tables.resolved import Choice, Magnet, Recipe
from solids.recipe.tables.schema import known_keys, list_of
from solids.recipe.text.toml import NUMBERS, Added, Raw, plain_value
from solids.wood import Climate
from solids.wood.rack import RackBoard

OFF: dict[str, Any] = {
    "units": "mm",
    "joint.allow_thin_half_pin": False,
    "fit.shift": 0,
    "entry_chamfer.width": 0,
    "undercut.depth": 0,
    "finish.chamfer": 0,
    "paper.corner_relief": False,
    "paper.dxf_units": "mm",
    "paper.dxf_version": "R2010",
    "aids.marker.body": "plain",
    "aids.marker.hang_hole": 0,
}
"""What holds unless the maker asks for something else. It is written too, as a later rule or a shop might change it."""

ASSUMED = "climate.assumed"
"""Air that a rule chose causes no warnings. Once it is written in the recipe, this key says that a rule chose it."""

FIGURES_IN_INCH = 6
"""The most figures of an inch that a person reads; a length that needs more is written in mm."""


def added(recipe: Recipe | BoxRecipe) -> tuple[Added, ...]:
    """What freezing adds to a recipe, in the order of the keys; empty where nothing is left to choose."""
    corners = _of_corners(recipe.corners) if isinstance(recipe, BoxRecipe) else {}
    chosen = {choice.key: choice for choice in recipe.choices} | corners
    found = [*_home(recipe, chosen)]
    found += [Added(key, written(key, choice.chosen, recipe.units), choice.why) for key, choice in chosen.items()]
    still = OFF | ({ASSUMED: True} if _air_is_assumed(recipe) else {})
    missing = [key for key in still if key not in chosen and value_at(recipe.tables, key) is None]
    whys = {ASSUMED: "nobody named the air of a room", "units": "plain numbers are millimetres"}
    found += [Added(key, still[key], whys.get(key, "not asked for")) for key in missing]
    return tuple(_in_order(found))


HOME = "climate.home"


def _home(recipe: Recipe | BoxRecipe, chosen: dict[str, Choice]) -> Iterable[Added]:
    """Both seasons of the home as one value, where the recipe has no table of them to add to; a single air that the
    maker wrote is one of them. Their choices are taken out of `chosen`."""
    asked = value_at(recipe.tables, HOME)
    seasons = {key: choice for key, choice in chosen.items() if key.startswith(f"{HOME}.")}
    if not seasons or isinstance(asked, Mapping):
        return
    for key in seasons:
        del chosen[key]
    corner = recipe if isinstance(recipe, Recipe) else next(iter(recipe.corners.values()))
    both = {name: written(name, getattr(corner.home, name), recipe.units) for name in ("dry", "damp")}
    whys = [f"{key.rpartition('.')[2]}: {choice.why}" for key, choice in seasons.items()]
    yield Added(HOME, both, "; ".join(whys))


def _air_is_assumed(recipe: Recipe | BoxRecipe) -> bool:
    corners = recipe.corners.values() if isinstance(recipe, BoxRecipe) else (recipe,)
    return any(corner.air_is_assumed for corner in corners)


def frozen_tables(recipe: Recipe | BoxRecipe) -> Raw:
    """The recipe's tables with nothing left to choose, the keys in the order in which a recipe has them."""
    tables = copy.deepcopy(dict(recipe.tables))
    for item in added(recipe):
        put_at(tables, item.key, item.value)
    return _sorted(tables, "")


def frozen_toml(recipe: Recipe | BoxRecipe) -> str:
    """The same as TOML: values before tables, a blank line above each table."""
    return _toml(frozen_tables(recipe), "")


def _toml(table: Raw, path: str) -> str:
    """A table and those below it. tomlkit writes the same in ten times the time, which a batch feels."""
    values = [f"{name} = {inline_toml(value)}\n" for name, value in table.items() if not isinstance(value, dict)]
    head = [f"[{path}]\n"] if path and (values or not table) else []
    below = [_toml(value, f"{path}.{name}".lstrip(".")) for name, value in table.items() if isinstance(value, dict)]
    return "\n".join(part for part in ("".join(head + values), *below) if part)


def inline_toml(value: Any) -> str:
    """A value as TOML has it on one line: of plain texts, numbers and lists it is JSON too."""
    if isinstance(value, str) and value.isprintable():
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, int | float):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(inline_toml, value))}]"
    if isinstance(value, dict):  # in a list; others are tables
        return f"{{{', '.join(f'{name} = {inline_toml(item)}' for name, item in value.items())}}}"
    import tomlkit

    return str(tomlkit.item(value).as_string())


# --- a box ---------------------------------------------------------------------------------------


def _of_corners(corners: Mapping[CornerName, Recipe]) -> dict[str, Choice]:
    """The choices of four corners as keys of the box. A value on which all agree goes into the tables for all corners,
    any other into that of the front, the back, or one corner."""
    by_key: dict[str, dict[CornerName, Choice]] = {}
    for name, recipe in corners.items():
        for choice in recipe.choices:
            by_key.setdefault(choice.key, {})[name] = choice
    _leave_out_laps(by_key, corners)
    found: dict[str, Choice] = {}
    for key, choices in by_key.items():
        table = key.partition(".")[0]
        own = table in ("joint", *SHAPING_TABLES)
        if not own or (len(choices) == len(CORNERS) and _agree(choices.values())):
            found[key] = next(iter(choices.values()))
        else:
            found |= {
                f"box.joints.{scope}.{key.removeprefix('joint.')}": choice for scope, choice in _scoped(choices).items()
            }
    return found


def _leave_out_laps(by_key: dict[str, dict[CornerName, Choice]], corners: Mapping[CornerName, Recipe]) -> None:
    """Ends enclosed by a lap stand 0 proud. In a box that has through corners too, the recipe's value is for those."""
    standing = by_key.get("tail_board.proud", {})
    through = {name: choice for name, choice in standing.items() if corners[name].kind == "through"}
    if through:
        by_key["tail_board.proud"] = through


def _scoped(choices: Mapping[CornerName, Choice]) -> dict[str, Choice]:
    """The choices by table under [box.joints]: that of an end where both its corners agree, else that of a corner."""
    found: dict[str, Choice] = {}
    for name, choice in choices.items():
        end, corner = scopes_of(name)
        mates = [choices.get(mate) for mate in CORNERS if scopes_of(mate)[0] == end]
        alike = all(mates) and _agree(mate for mate in mates if mate)
        found[end if alike else corner] = choice
    return found


def _agree(choices: Iterable[Choice]) -> bool:
    first, *others = (choice.chosen for choice in choices)
    return all(other == first for other in others)


# --- values --------------------------------------------------------------------------------------


def written(key: str, value: object, units: Units) -> Any:
    """A chosen value as a recipe writes it, so that it reads back the same."""
    name = key.rpartition(".")[2]
    if name in ("slope", "slopes") and isinstance(value, float):
        short = f"{value:g}"
        return f"1:{short if float(short) == value else repr(value)}"
    if isinstance(value, Climate):
        return _air(value, units)
    if isinstance(value, Magnet | RackBoard):
        parts = asdict(value) if isinstance(value, Magnet) else value.given()
        return {part: written(part, size, units) for part, size in parts.items()}
    if isinstance(value, tuple):
        return [written(key, item, units) for item in value]
    if isinstance(value, float):
        return value if name in NUMBERS else written_length(value, units)
    return plain_value(name, value)


def written_length(mm: float, units: Units) -> Any:
    """A length as a maker would write it: a plain number in a metric recipe; in an inch recipe a fraction or a short
    decimal of an inch where that reads back as the same length, to the last bit, or else millimetres."""
    if units == "mm":
        return int(mm) if mm.is_integer() else mm
    whole, part = divmod(Fraction(round(mm / float(MM_PER_INCH) * SIXTY_FOURTHS), SIXTY_FOURTHS), 1)
    mixed = " ".join(str(amount) for amount in (whole, part) if amount) or "0"
    short = f"{mm / float(MM_PER_INCH):.{FIGURES_IN_INCH}g}"
    texts = (f"{mixed} in", f"{short} in")
    exact = f"{mm!r}".removesuffix(".0")
    return next((text for text in texts if "e" not in text and parse_length(text) == mm), f"{exact} mm")


def _air(air: Climate, units: Units) -> str:
    """The air in the recipe's own degrees, where they read back as the same air."""
    usual = air.words(units)
    return usual if Air().read(usual, units) == air else str(plain_value("air", air))


# --- order ---------------------------------------------------------------------------------------


@cache
def _rank(key: str) -> int:
    """The place of a key, or of the first key of a table, among all keys."""
    key = list_of(key) or key
    return next(number for number, known in enumerate(known_keys()) if f"{known}.".startswith(f"{key}."))


def _in_order(items: Iterable[Added]) -> list[Added]:
    return sorted(items, key=lambda item: _rank(item.key))


def _sorted(tables: Raw, prefix: str) -> Raw:
    """Nested tables with their keys in that order, values before tables. A value may be a table itself, as a wood."""
    known = known_keys()

    def is_table(name: str) -> bool:
        return isinstance(tables[name], dict) and prefix + name not in known

    return {
        name: _sorted(tables[name], f"{prefix}{name}.") if is_table(name) else tables[name]
        for name in sorted(tables, key=lambda name: (is_table(name), _rank(prefix + name)))
    }
