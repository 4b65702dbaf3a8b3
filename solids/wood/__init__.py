"""Woods, and what moisture does to them. `record` says what is known of one, `species` and `european` hold the
published rows, `moisture` the arithmetic of rooms and change. Pure: lengths in mm, strengths in MPa."""

from __future__ import annotations

from dataclasses import replace

from solids.base.errors import InputError
from solids.base.likeness import likest, plain, sharing_a_word, words_of
from solids.wood.european import EUROPEAN
from solids.wood.moisture import Climate, Seasons, change, equilibrium_moisture, in_published_range
from solids.wood.record import Kind, Movement, Sawn, Strength, Wood, density_from_gravity, stock
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
    "stock",
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


MOST_LIKES = 9
"""How many woods are named where one is not known: more than there are of any one kind."""

KINDS_OF_WOOD = tuple(dict.fromkeys(words_of(wood.name)[-1] for wood in WOODS))
"""What the woods are called without what tells them apart: "oak", "pine"."""


def wood_names() -> tuple[str, ...]:
    """The trade names of all woods that ship with the tool."""
    return tuple(_BY_NAME)


def find_wood(name: str) -> Wood:
    """The wood of this trade name; spelling is forgiven in case, spaces and hyphens. InputError names the nearest."""
    wanted = plain(name)
    for known, short in ALSO_CALLED.items():
        if plain(known) == wanted:
            return _BY_NAME[short]
    for wood in WOODS:
        if plain(wood.name) == wanted:
            return wood
    raise InputError(f"{name[:40]!r} is not a wood we know; {_likes(name)}, or give name, kind and density")


def _likes(name: str) -> str:
    """The woods that a name may be meant for: those of that kind, as "oak" is red oak and more, else in spelling."""
    *_, kind = words_of(name) or [""]
    whole = sharing_a_word(name, _BY_NAME) or likest(name, [*_BY_NAME, *ALSO_CALLED])
    same_kind = sharing_a_word(kind, _BY_NAME) or [
        wood for near in likest(kind, KINDS_OF_WOOD) for wood in sharing_a_word(near, _BY_NAME)
    ]
    likes = list(dict.fromkeys([*(ALSO_CALLED.get(wood, wood) for wood in whole), *same_kind]))[:MOST_LIKES]
    if not likes:
        return "see the list of woods"
    return f"the nearest {'is' if len(likes) == 1 else 'are'} {', '.join(map(repr, likes))}"


def own_wood(
    name: str, kind: Kind, density: float, movement: Movement | None = None, strength: Strength | None = None
) -> Wood:
    """A wood with the maker's own figures: density in kg/m3, and movement and strength where they are known."""
    return Wood(name, "", kind, density, OWN_SOURCE, OWN_COLOUR[kind], movement, strength)
