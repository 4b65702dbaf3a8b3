"""What is known of one wood: names, hard or soft, density, how it moves and what it holds, each with its source."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from solids.base import tolerances as tol

Kind = Literal["hardwood", "softwood"]
Sawn = Literal["flat", "quarter"]

MOISTURE_PERCENT = 12.0
MPA_PER_PSI = 0.006894757293168361
"""One pound-force in 4.4482216152605 N on a square inch of 645.16 mm2."""


@dataclass(frozen=True)
class Movement:
    """Change of size as a share of the size, for 1 % of moisture content: along the rays and along the rings."""

    radial: float
    tangential: float
    source: str

    def across(self, sawn: Sawn) -> float:
        """Across the width of a board: flat-sawn boards lie along the rings, quarter-sawn ones along the rays."""
        return self.tangential if sawn == "flat" else self.radial

    def through(self, sawn: Sawn) -> float:
        """Through the thickness of a board."""
        return self.radial if sawn == "flat" else self.tangential


@dataclass(frozen=True)
class Strength:
    """Averages of small clear pieces at 12 % moisture, in MPa: shear along the grain, bending (modulus of rupture), and
    compression across the grain at the proportional limit, None where the table prints none. No design values."""

    shear_mpa: float
    bending_mpa: float
    compression_mpa: float | None
    source: str


@dataclass(frozen=True)
class Wood:
    """One wood. `density` is in kg/m3 at 12 % moisture and `source` says where it is from; `colour` is sRGB as
    "#rrggbb". Movement and strength are None where no source gives them. A wood `is_assumed` where a rule chose it, as
    the recipe names none."""

    name: str
    botanical: str
    kind: Kind
    density: float
    source: str
    colour: str
    movement: Movement | None = None
    strength: Strength | None = None
    is_assumed: bool = field(default=False, compare=False)

    @property
    def told(self) -> str:
        """Its name for people, who are to know that nobody chose it."""
        return f"{self.name} (assumed)" if self.is_assumed else self.name

    @property
    def is_soft(self) -> bool:
        """Whether it gives across the grain, whatever its tree: by its compression, or where that is unknown by its
        density."""
        across = self.strength.compression_mpa if self.strength else None
        return self.density < tol.SOFT_DENSITY if across is None else across < tol.SOFT_ACROSS_MPA

    @property
    def density_g_cm3(self) -> float:
        """Density in grams per cubic centimetre."""
        return self.density / 1000.0

    @property
    def rgb(self) -> tuple[int, int, int]:
        """The colour as three numbers from 0 to 255."""
        return int(self.colour[1:3], 16), int(self.colour[3:5], 16), int(self.colour[5:7], 16)


def density_from_gravity(gravity: float, moisture_percent: float = MOISTURE_PERCENT) -> float:
    """kg/m3 of wood whose specific gravity is based on its volume at this moisture and its oven-dry weight.

    rho = 1000 G (1 + M/100): Wood Handbook chapter 4; the formula from memory.
    """
    return 1000.0 * gravity * (1.0 + moisture_percent / 100.0)


def stock(wood: str, sawn: Sawn) -> str:
    """What to ask for at the yard: a wood by its told name, and how it must be sawn where that is not the usual way."""
    return f"{wood}, quarter sawn" if sawn == "quarter" else wood
