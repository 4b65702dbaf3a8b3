"""Stiffness and strength across the grain, which follow from density, against printed figures of single woods.

- 5-1: Wood Handbook, FPL-GTR-282 (2021), Table 5-1, elastic ratios E_T/E_L and E_R/E_L, read second-hand.
- 5-3: the same book, Tables 5-3a and 5-3b at 12 %, modulus of elasticity and tension across the grain; those of both
  oaks are second-hand, from a list that cites the edition of 2010.
"""

from __future__ import annotations

import pytest

from solids.wood import find_wood
from solids.wood.across import stiffness_across, tension_across

# 5-3: modulus of elasticity along the grain (MPa). 5-1: E_T/E_L, E_R/E_L.
STIFF = {
    "douglas-fir": (13_400, 0.050, 0.068),
    "loblolly pine": (12_300, 0.078, 0.113),
    "red oak": (12_500, 0.082, 0.154),
    "white oak": (12_300, 0.072, 0.163),
    "maple": (12_600, 0.065, 0.132),
}


@pytest.mark.parametrize("name", STIFF)
def test_stiffness_is_within_a_third_of_the_printed_one(name: str) -> None:
    along, tangential, radial = STIFF[name]
    wood = find_wood(name)
    assert stiffness_across(wood, "flat") == pytest.approx(along * tangential, rel=0.36)
    assert stiffness_across(wood, "quarter") == pytest.approx(along * radial, rel=0.36)


# 5-3: tension across the grain (MPa).
HOLDS = {
    "alder": 2.9,
    "ash": 6.5,
    "basswood": 2.4,
    "beech": 7.0,
    "birch": 6.3,
    "butternut": 3.0,
    "cherry": 3.9,
    "elm": 4.6,
    "red oak": 5.5,
    "white oak": 5.5,
    "sweetgum": 5.2,
    "sycamore": 5.0,
    "walnut": 4.8,
    "yellow-poplar": 3.7,
    "douglas-fir": 2.3,
    "white fir": 2.1,
    "white pine": 2.1,
    "loblolly pine": 3.2,
    "longleaf pine": 3.2,
    "sugar pine": 2.4,
    "yellow cedar": 2.5,
}


@pytest.mark.parametrize("name", HOLDS)
def test_tension_strength_is_within_a_quarter_of_the_printed_one(name: str) -> None:
    assert tension_across(find_wood(name)) == pytest.approx(HOLDS[name], rel=0.25)


def test_on_the_whole_it_is_neither_high_nor_low() -> None:
    ratios = [tension_across(find_wood(name)) / printed for name, printed in HOLDS.items()]
    assert sum(ratios) / len(ratios) == pytest.approx(1.0, abs=0.06)
