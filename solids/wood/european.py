"""The European woods: where each number of each row is printed. What no source was found for is left out.

- Density, shear along the grain and bending of oak, beech and ash: P. Niemz, Physik des Holzes und der Holzwerkstoffe
  (DRW-Verlag, 1993), read second-hand in a table on treeland.de.
- Density, shear, bending and compression across the grain of Scots pine and spruce: averages of clear pieces at 12 %
  moisture from national standards, printed by Woodproducts.fi.
- Density of lime, pear and sycamore maple at 12 %: trade data sheets, each named with its wood. No shear strength was
  found for the three, so they have no strength here.
- Change of size for 1 % of moisture: Bauwerk Parkett, Holzeigenschaften, averages of that maker's own tests. Lime is
  not in it; its data sheet prints a range, and the middle of it stands here.
- Botanical names: as printed in the sources, or from memory.
- Colours: our own choice, for pictures only.

The screening of strength takes bending and shear of different tests together. It compares layouts; between a European
and an American row it says no more than the tests do.
"""

from __future__ import annotations

from solids.wood.record import Kind, Movement, Strength, Wood

NIEMZ = "P. Niemz, Physik des Holzes und der Holzwerkstoffe (1993), read second-hand on treeland.de"
FINNISH = "clear pieces at 12 % moisture, national standards, printed by Woodproducts.fi"
LIME = "at 12 % moisture: R. Wagenfuehr, Holzatlas (1996), read second-hand on espen.de"
PEAR = "average of dried wood: a data sheet on oakbrookwoodturningsupply.com"
SYCAMORE = "at 12 % moisture: a data sheet of the timber merchant Frey-Amon"

BAUWERK = "Bauwerk Parkett, Holzeigenschaften, averages of the maker's own tests"
LIME_MOVES = "mdh-content.de, Linde: the middle of 0.15 to 0.23 % radial and 0.24 to 0.32 % tangential"

Strengths = tuple[float, float | None, float] | None
"""Shear, compression across the grain and bending, in MPa, printed beside the density; None where no shear is."""

Row = tuple[Kind, str, str, float, str, str, tuple[float, float, str], Strengths]
"""Kind, trade name, botanical name, density in kg/m3 and its source, colour, change in % of the size for 1 % of
moisture, radial and tangential, and its source, strength."""

ROWS: tuple[Row, ...] = (
    ("hardwood", "european ash", "Fraxinus excelsior", 690, NIEMZ, "#dfcca9", (0.17, 0.28, BAUWERK), (13, None, 105)),
    ("hardwood", "european beech", "Fagus sylvatica", 690, NIEMZ, "#d6ae86", (0.20, 0.42, BAUWERK), (10, None, 120)),
    ("hardwood", "european oak", "Quercus robur", 670, NIEMZ, "#bd9c6c", (0.18, 0.35, BAUWERK), (11.5, None, 95)),
    ("hardwood", "lime", "Tilia cordata", 490, LIME, "#e8d9ba", (0.19, 0.28, LIME_MOVES), None),
    ("hardwood", "pear", "Pyrus communis", 690, PEAR, "#c79a80", (0.15, 0.30, BAUWERK), None),
    ("hardwood", "sycamore maple", "Acer pseudoplatanus", 640, SYCAMORE, "#eadcc0", (0.15, 0.30, BAUWERK), None),
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
