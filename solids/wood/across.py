"""How stiff and how strong wood is across its grain, from its density and how it was sawn. Averages of small clear
pieces at 12 % moisture; a board may be off by a third. No design values.

With G = density/1120, the specific gravity at 12 %, stiffness along the grain and tension strength across it are, in
MPa (Wood Handbook, FPL-GTR-190 (2010), Table 5-11, from memory):

    hardwoods:  E_L = 16 500 G^0.70,  f = 10.1 G^1.30
    softwoods:  E_L = 20 500 G^0.84,  f = 6.0 G^1.11

Across the grain a board is E_T/E_L or E_R/E_L as stiff: means of the woods of Table 5-1 there. Its rows of five woods
were read second-hand in the edition of 2021, the others are from memory.
"""

from __future__ import annotations

from solids.wood.record import MOISTURE_PERCENT, Kind, Sawn, Wood, density_from_gravity

ALONG: dict[Kind, tuple[float, float]] = {"hardwood": (16_500.0, 0.70), "softwood": (20_500.0, 0.84)}
TENSION: dict[Kind, tuple[float, float]] = {"hardwood": (10.1, 1.30), "softwood": (6.0, 1.11)}
"""Factor (MPa) and exponent of G."""

SHARES: dict[tuple[Kind, Sawn], float] = {
    ("hardwood", "flat"): 0.06,
    ("hardwood", "quarter"): 0.12,
    ("softwood", "flat"): 0.055,
    ("softwood", "quarter"): 0.095,
}
"""E_T/E_L in flat-sawn boards, which lie along the rings, and E_R/E_L in quarter-sawn ones."""


def stiffness_across(wood: Wood, sawn: Sawn) -> float:
    """Modulus of elasticity across the width of a board (MPa)."""
    return SHARES[wood.kind, sawn] * _of_gravity(wood, ALONG)


def tension_across(wood: Wood) -> float:
    """Tension strength across the grain (MPa)."""
    return _of_gravity(wood, TENSION)


def _of_gravity(wood: Wood, relation: dict[Kind, tuple[float, float]]) -> float:
    factor, exponent = relation[wood.kind]
    return float(factor * (wood.density / density_from_gravity(1.0, MOISTURE_PERCENT)) ** exponent)
