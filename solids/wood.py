"""Woods: trade and botanical name, hard or soft, density, and a colour to draw it in.

Density at 12 % moisture follows from the specific gravity printed for 12 % by rho = 1000 G (1 + M/100)
(Wood Handbook chapter 4; the formula from memory). The specific gravities are those of the Wood Handbook,
FPL-GTR-282 (2021), Table 5-3b. Botanical names are from memory. Colours are our own choice, for pictures only.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Literal

from solids.errors import InputError

Kind = Literal["hardwood", "softwood"]

MOISTURE_PERCENT = 12.0
GRAVITY_SOURCE = "specific gravity at 12 % moisture: Wood Handbook, FPL-GTR-282 (2021), Table 5-3b"
OWN_SOURCE = "given in the recipe"


@dataclass(frozen=True)
class Wood:
    """One wood. `density` is in kg/m3 at 12 % moisture; `colour` is sRGB as "#rrggbb"."""

    name: str
    botanical: str
    kind: Kind
    density: float
    source: str
    colour: str

    @property
    def is_hardwood(self) -> bool:
        """As the trade calls it: from a broad-leaved tree."""
        return self.kind == "hardwood"

    @property
    def density_g_cm3(self) -> float:
        """Density in grams per cubic centimetre."""
        return self.density / 1000.0

    @property
    def rgb(self) -> tuple[int, int, int]:
        """The colour as three numbers from 0 to 255."""
        return int(self.colour[1:3], 16), int(self.colour[3:5], 16), int(self.colour[5:7], 16)


def density_from_gravity(gravity: float, moisture_percent: float = MOISTURE_PERCENT) -> float:
    """kg/m3 of wood whose specific gravity is based on its volume at this moisture and its oven-dry weight."""
    return 1000.0 * gravity * (1.0 + moisture_percent / 100.0)


def _wood(name: str, botanical: str, kind: Kind, gravity: float, colour: str) -> Wood:
    return Wood(name, botanical, kind, round(density_from_gravity(gravity), 1), GRAVITY_SOURCE, colour)


WOODS: tuple[Wood, ...] = (
    _wood("alder", "Alnus rubra", "hardwood", 0.41, "#c8946a"),
    _wood("ash", "Fraxinus americana", "hardwood", 0.60, "#dcc7a3"),
    _wood("basswood", "Tilia americana", "hardwood", 0.37, "#e6d6b4"),
    _wood("beech", "Fagus grandifolia", "hardwood", 0.64, "#d9b48c"),
    _wood("birch", "Betula alleghaniensis", "hardwood", 0.62, "#e0c599"),
    _wood("cherry", "Prunus serotina", "hardwood", 0.50, "#b5714a"),
    _wood("maple", "Acer saccharum", "hardwood", 0.63, "#e8d3ac"),
    _wood("red oak", "Quercus rubra", "hardwood", 0.63, "#c79c72"),
    _wood("white oak", "Quercus alba", "hardwood", 0.68, "#c6a878"),
    _wood("walnut", "Juglans nigra", "hardwood", 0.55, "#6d4a35"),
    _wood("yellow-poplar", "Liriodendron tulipifera", "hardwood", 0.42, "#cfc58f"),
    _wood("douglas-fir", "Pseudotsuga menziesii", "softwood", 0.48, "#cd8f5e"),
    _wood("white pine", "Pinus strobus", "softwood", 0.35, "#ecd29c"),
    _wood("ponderosa pine", "Pinus ponderosa", "softwood", 0.40, "#e7c286"),
    _wood("red cedar", "Thuja plicata", "softwood", 0.32, "#a8664a"),
    _wood("spruce", "Picea sitchensis", "softwood", 0.40, "#ead7ae"),
)

_BY_NAME = {wood.name: wood for wood in WOODS}

DEFAULT = _BY_NAME["beech"]
"""What a board is taken to be made of when the recipe names no wood: the bench's own plain hardwood."""

OWN_COLOUR = {"hardwood": "#c9a27a", "softwood": "#e6cf9f"}


def wood_names() -> tuple[str, ...]:
    """The trade names of all woods that ship with the tool."""
    return tuple(_BY_NAME)


def find_wood(name: str) -> Wood:
    """The wood of this trade name; spelling is forgiven in case, spaces and hyphens. InputError names the nearest."""
    wanted = _plain(name)
    for wood in WOODS:
        if _plain(wood.name) == wanted:
            return wood
    near = difflib.get_close_matches(wanted, [_plain(known) for known in _BY_NAME], n=1, cutoff=0.5)
    hint = next((known for known in _BY_NAME if near and _plain(known) == near[0]), None)
    tail = f"the nearest is {hint!r}" if hint else "see `halfpin woods`"
    raise InputError(f"{name[:40]!r} is not a wood we know; {tail}, or give name, kind and density")


def own_wood(name: str, kind: Kind, density: float) -> Wood:
    """A wood with the maker's own density (kg/m3)."""
    return Wood(name, "", kind, density, OWN_SOURCE, OWN_COLOUR[kind])


def _plain(name: str) -> str:
    return "".join(ch for ch in name.lower() if ch.isalnum())
