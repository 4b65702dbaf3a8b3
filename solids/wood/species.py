"""The American woods and two imported ones: where each number of each row is printed.

- Specific gravity at 12 % moisture, shear along the grain, compression across it and modulus of rupture, in the
  handbook's own pounds per square inch: Wood Handbook, FPL-GTR-282 (2021), Table 5-3b, row by row from a public copy.
- Imported woods: Table 5-5b of the same book, at 12 %. It prints no compression across the grain, and specific gravity
  on green volume only.
- Change of size for 1 % of moisture: Wood Handbook, FPL-GTR-190 (2010), Table 13-5. Its hardwoods were read on the
  page. Rows read in a second-hand copy say so, and rows recalled say "from memory".
- Botanical names: from memory; those of the two imported woods are printed in Table 5-5b.
- Colours: our own choice, for pictures only.

Where the metric Table 5-3a disagrees with Table 5-3b, Table 5-3b stands. That is so for western white pine, whose
specific gravity is 0.38 in Table 5-3b and 0.35 in Table 5-3a. White ash has a modulus of rupture of 15400 psi here; an
article that quotes an edition before gives 15000 psi.
"""

from __future__ import annotations

from dataclasses import replace

from solids.wood.record import MPA_PER_PSI, Kind, Movement, Strength, Wood, density_from_gravity

GRAVITY = "specific gravity at 12 % moisture: Wood Handbook, FPL-GTR-282 (2021), Table 5-3b"
GREEN_GRAVITY = (
    "basic specific gravity (green volume): Wood Handbook, FPL-GTR-282 (2021), Table 5-5b; density at 12 % from it by "
    "rho = 1000 G_12 (1.12) with G_12 = G_b / (1 - 0.265 a G_b), a = (30 - 12)/30: chapter 4, the formulas from memory"
)

STRENGTH = "small clear pieces at 12 % moisture: Wood Handbook, FPL-GTR-282 (2021), Table 5-3b"
IMPORTED_STRENGTH = "small clear pieces at 12 % moisture: Wood Handbook, FPL-GTR-282 (2021), Table 5-5b"

PRINTED = "Wood Handbook, FPL-GTR-190 (2010), Table 13-5"
SECOND = f"{PRINTED}, read in a second-hand copy"
MEMORY = (
    "Wood Handbook, FPL-GTR-190 (2010): Table 13-5 from memory, and equal to C = S/(3000 - 20 S) from the shrinkage in "
    "Table 4-3"
)
MEMORY_TWICE = f"{MEMORY}, itself from memory"
MEMORY_REDWOOD = (
    'Wood Handbook, FPL-GTR-190 (2010): Table 13-5, row "Redwood, old-growth", from memory, and equal to '
    "C = S/(2200 - 12 S) from the shrinkage in Table 4-3, itself from memory"
)
MEMORY_WHITE_FIR = (
    f"{PRINTED}: C_T in a second-hand copy of the example in chapter 13; C_R from memory, and equal to "
    "C = S/(3000 - 20 S) from the shrinkage in Table 4-3"
)
RED_OAK = f'{PRINTED}, row "Red oak, commercial"'
WHITE_OAK = f'{PRINTED}, row "White oak, commercial"'
PECAN = f'{PRINTED}, row "Hickory, pecan", a group of species'
HICKORY = f'{SECOND}, row "Hickory, true", a group of species'
LONGLEAF = f'{SECOND}, there as yellow pine; the row is "Pine, longleaf"'

FIBRE_SATURATION = 30.0
"""Moisture in % where shrinkage begins, as the relation between green and dry specific gravity takes it."""

Movements = tuple[float, float] | tuple[float, float, str]
"""C_R, C_T, and where they are read if not on the page."""

Strengths = tuple[float, float | None, float]
"""Shear, compression across the grain and bending, in psi."""

Row = tuple[str, str, float, str, Movements, Strengths]
"""Trade name, botanical name, specific gravity, colour, movement, strength."""

HARDWOODS: tuple[Row, ...] = (
    ("alder", "Alnus rubra", 0.41, "#c8946a", (0.00151, 0.00256), (1080, 440, 9800)),
    ("ash", "Fraxinus americana", 0.60, "#dcc7a3", (0.00169, 0.00274), (1910, 1160, 15400)),
    ("aspen", "Populus tremuloides", 0.38, "#eadfc6", (0.00119, 0.00234), (850, 370, 8400)),
    ("basswood", "Tilia americana", 0.37, "#e6d6b4", (0.00230, 0.00330), (990, 370, 8700)),
    ("beech", "Fagus grandifolia", 0.64, "#d9b48c", (0.00190, 0.00431), (2010, 1010, 14900)),
    ("bigleaf maple", "Acer macrophyllum", 0.48, "#e0c4a0", (0.00126, 0.00248), (1730, 750, 10700)),
    ("birch", "Betula alleghaniensis", 0.62, "#e0c599", (0.00256, 0.00338), (1880, 970, 16600)),
    ("black ash", "Fraxinus nigra", 0.49, "#c9ad82", (0.00172, 0.00274), (1570, 760, 12600)),
    ("black cottonwood", "Populus trichocarpa", 0.35, "#d9cbb0", (0.00123, 0.00304), (1040, 300, 8500)),
    ("black locust", "Robinia pseudoacacia", 0.69, "#b79a52", (0.00158, 0.00252), (2480, 1830, 19400)),
    ("black maple", "Acer nigrum", 0.57, "#e4cca4", (0.00165, 0.00353), (1820, 1020, 13300)),
    ("butternut", "Juglans cinerea", 0.38, "#b98f66", (0.00116, 0.00223), (1170, 460, 8100)),
    ("cherry", "Prunus serotina", 0.50, "#b5714a", (0.00126, 0.00248), (1700, 690, 12300)),
    ("chestnut", "Castanea dentata", 0.43, "#b8946a", (0.00116, 0.00234), (1080, 620, 8600)),
    ("cottonwood", "Populus deltoides", 0.40, "#ddd0b4", (0.00133, 0.00327), (930, 380, 8500)),
    ("cucumbertree", "Magnolia acuminata", 0.48, "#cfc29a", (0.00180, 0.00312), (1340, 570, 12300)),
    ("elm", "Ulmus americana", 0.50, "#c09a72", (0.00144, 0.00338), (1510, 690, 11800)),
    ("green ash", "Fraxinus pennsylvanica", 0.56, "#d8c096", (0.00169, 0.00274), (1910, 1310, 14100)),
    ("hackberry", "Celtis occidentalis", 0.53, "#d8c88f", (0.00165, 0.00315), (1590, 890, 11000)),
    ("hickory", "Carya ovata", 0.72, "#cda678", (0.00259, 0.00411, HICKORY), (2430, 1760, 20200)),
    ("magnolia", "Magnolia grandiflora", 0.50, "#d6c8a0", (0.00187, 0.00230), (1530, 860, 11200)),
    ("maple", "Acer saccharum", 0.63, "#e8d3ac", (0.00165, 0.00353), (2330, 1470, 15800)),
    ("oregon ash", "Fraxinus latifolia", 0.55, "#d6bd98", (0.00141, 0.00285), (1790, 1250, 12700)),
    ("overcup oak", "Quercus lyrata", 0.63, "#bf9f70", (0.00183, 0.00462), (2000, 810, 12600)),
    ("paper birch", "Betula papyrifera", 0.55, "#e7d2ab", (0.00219, 0.00304), (1210, 600, 12300)),
    ("pecan", "Carya illinoinensis", 0.66, "#c79b70", (0.00169, 0.00315, PECAN), (2080, 1720, 13700)),
    ("red maple", "Acer rubrum", 0.54, "#e2c7a2", (0.00137, 0.00289), (1850, 1000, 13400)),
    ("red oak", "Quercus rubra", 0.63, "#c79c72", (0.00158, 0.00369, RED_OAK), (1780, 1010, 14300)),
    ("rock elm", "Ulmus thomasii", 0.63, "#bf9668", (0.00165, 0.00285), (1920, 1230, 14800)),
    ("sassafras", "Sassafras albidum", 0.46, "#b98a55", (0.00137, 0.00216), (1240, 850, 9000)),
    ("silver maple", "Acer saccharinum", 0.47, "#e6d0b0", (0.00102, 0.00252), (1480, 740, 8900)),
    ("slippery elm", "Ulmus rubra", 0.53, "#b38660", (0.00169, 0.00315), (1630, 820, 13000)),
    ("sweet birch", "Betula lenta", 0.65, "#d3ae80", (0.00256, 0.00338), (2240, 1080, 16900)),
    ("sweetgum", "Liquidambar styraciflua", 0.52, "#b98565", (0.00183, 0.00365), (1600, 620, 12500)),
    ("sycamore", "Platanus occidentalis", 0.49, "#d2a784", (0.00172, 0.00296), (1470, 700, 10000)),
    ("tupelo", "Nyssa sylvatica", 0.50, "#cdb896", (0.00176, 0.00308), (1340, 930, 9600)),
    ("walnut", "Juglans nigra", 0.55, "#6d4a35", (0.00190, 0.00274), (1370, 1010, 14600)),
    ("water tupelo", "Nyssa aquatica", 0.50, "#d0bd9e", (0.00144, 0.00267), (1590, 870, 9600)),
    ("white oak", "Quercus alba", 0.68, "#c6a878", (0.00180, 0.00365, WHITE_OAK), (2000, 1070, 15200)),
    ("yellow-poplar", "Liriodendron tulipifera", 0.42, "#cfc58f", (0.00158, 0.00289, SECOND), (1190, 500, 10100)),
)
"""Specific gravity at 12 % moisture, strength from Table 5-3b."""

IMPORTED: tuple[Row, ...] = (
    ("mahogany", "Swietenia macrophylla", 0.45, "#9a5a3c", (0.00172, 0.00238, SECOND), (1230, None, 11500)),
    ("teak", "Tectona grandis", 0.55, "#a67c45", (0.00101, 0.00186, SECOND), (1890, None, 14600)),
)
"""Hardwoods of Table 5-5b, whose specific gravity is on green volume."""

SOFTWOODS: tuple[Row, ...] = (
    ("baldcypress", "Taxodium distichum", 0.46, "#d0a673", (0.00130, 0.00216, MEMORY_TWICE), (1000, 730, 10600)),
    ("douglas-fir", "Pseudotsuga menziesii", 0.48, "#cd8f5e", (0.00165, 0.00267, SECOND), (1130, 800, 12400)),
    ("engelmann spruce", "Picea engelmannii", 0.35, "#efe0bd", (0.00130, 0.00248, SECOND), (1200, 410, 9300)),
    ("incense cedar", "Calocedrus decurrens", 0.37, "#c08a62", (0.00112, 0.00180, MEMORY), (880, 590, 8000)),
    ("loblolly pine", "Pinus taeda", 0.51, "#dfb170", (0.00165, 0.00259, SECOND), (1390, 790, 12800)),
    ("longleaf pine", "Pinus palustris", 0.59, "#d9a562", (0.00176, 0.00263, LONGLEAF), (1510, 960, 14500)),
    ("ponderosa pine", "Pinus ponderosa", 0.40, "#e7c286", (0.00133, 0.00216, MEMORY_TWICE), (1130, 580, 9400)),
    ("port-orford cedar", "Chamaecyparis lawsoniana", 0.43, "#e9d6a8", (0.00158, 0.00241, MEMORY), (1370, 720, 12700)),
    ("red cedar", "Thuja plicata", 0.32, "#a8664a", (0.00111, 0.00234, SECOND), (990, 460, 7500)),
    ("redwood", "Sequoia sempervirens", 0.40, "#9c4f36", (0.00120, 0.00205, MEMORY_REDWOOD), (940, 700, 10000)),
    ("spruce", "Picea sitchensis", 0.40, "#ead7ae", (0.00148, 0.00263, SECOND), (1150, 580, 10200)),
    ("sugar pine", "Pinus lambertiana", 0.36, "#ead0a0", (0.00099, 0.00194, SECOND), (1130, 500, 8200)),
    ("western white pine", "Pinus monticola", 0.38, "#e9cd94", (0.00141, 0.00259, SECOND), (1040, 470, 9700)),
    ("white fir", "Abies concolor", 0.39, "#ead9b6", (0.00112, 0.00245, MEMORY_WHITE_FIR), (1100, 530, 9800)),
    ("white pine", "Pinus strobus", 0.35, "#ecd29c", (0.00071, 0.00212, SECOND), (900, 440, 8600)),
    ("white spruce", "Picea glauca", 0.36, "#eedfb8", (0.00130, 0.00274, SECOND), (970, 430, 9400)),
    ("yellow cedar", "Callitropsis nootkatensis", 0.44, "#ecdc96", (0.00095, 0.00208, MEMORY), (1130, 620, 11100)),
)
"""As the hardwoods."""


def _mpa(psi: float) -> float:
    return round(psi * MPA_PER_PSI, 2)


def _wood(
    kind: Kind, name: str, botanical: str, gravity: float, colour: str, movement: Movements, strength: Strengths
) -> Wood:
    density = round(density_from_gravity(gravity), 1)
    shear, compression, bending = strength
    moves = Movement(movement[0], movement[1], movement[2] if len(movement) == 3 else PRINTED)
    holds = Strength(_mpa(shear), _mpa(bending), None if compression is None else _mpa(compression), STRENGTH)
    return Wood(name, botanical, kind, density, GRAVITY, colour, moves, holds)


def _imported(row: Row) -> Wood:
    """See GREEN_GRAVITY for the formulas."""
    name, botanical, green, colour, movement, strength = row
    dried = (FIBRE_SATURATION - 12.0) / FIBRE_SATURATION
    gravity = green / (1 - 0.265 * dried * green)
    made = _wood("hardwood", name, botanical, gravity, colour, movement, strength)
    holds = made.strength and replace(made.strength, source=IMPORTED_STRENGTH)
    return replace(made, source=GREEN_GRAVITY, strength=holds)


HANDBOOK: tuple[Wood, ...] = (
    *(_wood("hardwood", *row) for row in HARDWOODS),
    *map(_imported, IMPORTED),
    *(_wood("softwood", *row) for row in SOFTWOODS),
)
"""All woods of the handbook."""
