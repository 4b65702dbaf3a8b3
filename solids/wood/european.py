"""The European woods: where each number of each row is printed. What no source was found for is left out.

- Density, shear along the grain and bending of oak, beech and ash: P. Niemz, Physik des Holzes und der Holzwerkstoffe
  (1993), read second-hand.
- Density, shear, bending and compression across the grain of Scots pine and spruce: averages of clear pieces at 12 %
  moisture from the national standards of Finland, read in a table of Woodproducts, the Finnish timber trade.
- Density and change of size of lime: R. Wagenfuehr, Holzatlas (1996), read second-hand: 490 kg/m3 at 12 %, shrinkage
  from green to dry of 5.9 % radial and 9.6 % tangential, which C = S/(3000 - 20 S) turns into change for 1 %.
- Change of size for 1 % of moisture of all others, and density of pear and sycamore maple: Bauwerk Parkett,
  Holzeigenschaften, averages of the tests of that maker of floors. It prints the density of oven-dry wood.
- No shear strength was found for lime, pear and sycamore maple, so they have no strength here.
- Botanical names: as printed in the sources, or from memory.
- Colours: our own choice, for pictures only.

The screening of strength takes bending and shear of different tests together. It compares layouts; between a European
and an American row it says no more than the tests do.
"""

from __future__ import annotations

from solids.wood.record import Kind, Movement, Strength, Wood

NIEMZ = "P. Niemz, Physik des Holzes und der Holzwerkstoffe (1993), read second-hand"
FINNISH = "clear pieces at 12 % moisture, Finnish national standards: a table of Woodproducts"
LIME = "at 12 % moisture: R. Wagenfuehr, Holzatlas (1996), read second-hand"
LIME_MOVES = "R. Wagenfuehr, Holzatlas (1996), read second-hand: shrinkage from green to dry, by C = S/(3000 - 20 S)"
BAUWERK = "Bauwerk Parkett, Holzeigenschaften, averages of the maker's own tests"
OVEN_DRY = f"density of oven-dry wood: {BAUWERK}; at 12 % from it, by the water taken up and the swelling printed there"

Strengths = tuple[float, float | None, float] | None
"""Shear, compression across the grain and bending, in MPa, printed beside the density; None where no shear is."""

Row = tuple[Kind, str, str, float, str, str, tuple[float, float, str], Strengths]
"""Kind, trade name, botanical name, density in kg/m3 and its source, colour, change in % of the size for 1 % of
moisture, radial and tangential, and its source, strength."""

ROWS: tuple[Row, ...] = (
    ("hardwood", "european ash", "Fraxinus excelsior", 690, NIEMZ, "#dfcca9", (0.17, 0.28, BAUWERK), (13, None, 105)),
    ("hardwood", "european beech", "Fagus sylvatica", 690, NIEMZ, "#d6ae86", (0.20, 0.42, BAUWERK), (10, None, 120)),
    ("hardwood", "european oak", "Quercus robur", 670, NIEMZ, "#bd9c6c", (0.18, 0.35, BAUWERK), (11.5, None, 95)),
    ("hardwood", "lime", "Tilia cordata", 490, LIME, "#e8d9ba", (0.205, 0.342, LIME_MOVES), None),
    ("hardwood", "pear", "Pyrus communis", 669, OVEN_DRY, "#c79a80", (0.15, 0.30, BAUWERK), None),
    ("hardwood", "sycamore maple", "Acer pseudoplatanus", 627, OVEN_DRY, "#eadcc0", (0.15, 0.30, BAUWERK), None),
    ("softwood", "norway spruce", "Picea abies", 470, FINNISH, "#eed9ac", (0.16, 0.34, BAUWERK), (6.8, 5.3, 87)),
    ("softwood", "scots pine", "Pinus sylvestris", 540, FINNISH, "#e3bd7f", (0.13, 0.26, BAUWERK), (9.1, 7.0, 91)),
)  # fmt: skip


def _wood(row: Row) -> Wood:
    kind, name, botanical, density, source, colour, (radial, tangential, moves), strength = row
    holds = None
    if strength is not None:
        shear, compression, bending = strength
        holds = Strength(shear, bending, compression, source)
    movement = Movement(round(radial / 100, 6), round(tangential / 100, 6), moves)
    return Wood(name, botanical, kind, float(density), source, colour, movement, holds)


EUROPEAN: tuple[Wood, ...] = tuple(map(_wood, ROWS))
