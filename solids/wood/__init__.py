"""Woods, and what moisture does to them. `record` says what is known of one, `species` and `european` hold the
published rows, `moisture` the arithmetic of rooms and change. Pure: lengths in mm, strengths in MPa."""

from __future__ import annotations

import difflib
from dataclasses import replace

from solids.base.errors import InputError
from solids.wood.european import EUROPEAN
from solids.wood.moisture import Climate, Seasons, change, equilibrium_moisture, in_published_range
from solids.wood.record import Kind, Movement, Sawn, Strength, Wood, density_from_gravity
from solids.wood.species import HANDBOOK

__all__ = [
    "COMMON",
    "DEFAULT",
    "OWN_SOURCE",
    "WOODS",
    "Climate",
    "Kind",
    "Movement",
    "Sawn",
    "Seasons",
    "Strength",
    "Wood",
    "change",
    "density_from_gravity",
    "equilibrium_moisture",
    "find_wood",
    "in_published_range",
    "own_wood",
    "plain_name",
    "wood_names",
]

OWN_SOURCE = "given in the recipe"
OWN_COLOUR = {"hardwood": "#c9a27a", "softwood": "#e6cf9f"}

ALSO_CALLED = {
    "american beech": "beech",
    "american basswood": "basswood",
    "black cherry": "cherry",
    "black walnut": "walnut",
    "eastern white pine": "white pine",
    "hard maple": "maple",
    "red alder": "alder",
    "sitka spruce": "spruce",
    "soft maple": "red maple",
    "sugar maple": "maple",
    "western red cedar": "red cedar",
    "white ash": "ash",
    "yellow birch": "birch",
    "american sycamore": "sycamore",
    "english oak": "european oak",
    "european lime": "lime",
    "european pear": "pear",
    "european spruce": "norway spruce",
    "european sycamore": "sycamore maple",
}
"""Full names of the tables, and names of the trade, for woods that have a shorter one here. Common practice.
A plain name that two continents share, as beech, means the American wood."""

WOODS: tuple[Wood, ...] = tuple(sorted((*HANDBOOK, *EUROPEAN), key=lambda wood: (wood.kind, wood.name)))
"""All woods: hardwoods first, each kind by name."""

_BY_NAME = {wood.name: wood for wood in WOODS}

DEFAULT = replace(_BY_NAME["beech"], is_assumed=True)
"""What a board is taken to be made of when the recipe names no wood: the bench's own plain hardwood. It is marked as
assumed, and what hangs on it is told with its range over COMMON."""

_IN_USE = "white pine, scots pine, yellow-poplar, cherry, walnut, ash, maple, european oak, beech"
COMMON = tuple(_BY_NAME[name] for name in _IN_USE.split(", "))
"""What boxes, drawers and cases are often made of, from light to heavy. Common practice."""


def wood_names() -> tuple[str, ...]:
    """The trade names of all woods that ship with the tool."""
    return tuple(_BY_NAME)


def find_wood(name: str) -> Wood:
    """The wood of this trade name; spelling is forgiven in case, spaces and hyphens. InputError names the nearest."""
    wanted = plain_name(name)
    for known, short in ALSO_CALLED.items():
        if plain_name(known) == wanted:
            return _BY_NAME[short]
    for wood in WOODS:
        if plain_name(wood.name) == wanted:
            return wood
    near = difflib.get_close_matches(wanted, [plain_name(known) for known in _BY_NAME], n=1, cutoff=0.5)
    hint = next((known for known in _BY_NAME if near and plain_name(known) == near[0]), None)
    tail = f"the nearest is {hint!r}" if hint else "see `halfpin woods`"
    raise InputError(f"{name[:40]!r} is not a wood we know; {tail}, or give name, kind and density")


def own_wood(
    name: str, kind: Kind, density: float, movement: Movement | None = None, strength: Strength | None = None
) -> Wood:
    """A wood with the maker's own figures: density in kg/m3, and movement and strength where they are known."""
    return Wood(name, "", kind, density, OWN_SOURCE, OWN_COLOUR[kind], movement, strength)


def plain_name(name: str) -> str:
    """A name without what spelling is forgiven: case, spaces and hyphens."""
    return "".join(ch for ch in name.lower() if ch.isalnum())
