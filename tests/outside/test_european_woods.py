"""The European woods against printings that they were not typed from.

Sources, each named again beside its check:

- Rijsdijk and Laming: J. F. Rijsdijk and P. B. Laming, Physical and Related Properties of 145 Timbers (1994), read
  second-hand.
- Hoadley: R. B. Hoadley, Chemical and Physical Properties of Wood, in The Structural Conservation of Panel Paintings
  (1998), Table 1, shrinkage of genera from green to dry.
- Wagenfuehr: R. Wagenfuehr, Holzatlas (1996), read second-hand.
- Data sheets: "European Oak" of European Wood, and those of the timber merchant Frey-Amon.
- Niemz: P. Niemz, Physik des Holzes und der Holzwerkstoffe (1993), read second-hand.
- Bauwerk: Bauwerk Parkett, Holzeigenschaften.
"""

from __future__ import annotations

import pytest

from solids.base.errors import InputError
from solids.wood import WOODS, find_wood
from solids.wood.european import EUROPEAN

# Shrinkage from green to dry in %, radial and tangential, and where it is printed.
SHRINKAGE = {
    "european oak": (4.3, 8.9),  # the data sheet of European Wood
    "european beech": (5.8, 11.8),  # Wagenfuehr, and Hoadley for the genus
    "european ash": (4.8, 8.2),  # Wagenfuehr
    "lime": (6.8, 9.5),  # Hoadley for the genus
    "scots pine": (4.0, 7.7),  # Hoadley
    "norway spruce": (3.6, 7.4),  # Hoadley for the genus
    "sycamore maple": (3.9, 8.25),  # Frey-Amon: the middle of 3.3 to 4.5 and of 8.0 to 8.5
}

# Change in % for 1 % of moisture, radial and tangential: Rijsdijk and Laming.
DUTCH = {
    "european beech": (0.19, 0.34),
    "european oak": (0.15, 0.26),
    "european ash": (0.19, 0.34),
    "norway spruce": (0.15, 0.32),
    "scots pine": (0.15, 0.30),
}

# The same: Frey-Amon; of sycamore maple the middle of 0.10 to 0.20 and of 0.22 to 0.30.
AUSTRIAN = {"european ash": (0.21, 0.38), "sycamore maple": (0.15, 0.26)}

# Density at 12 % moisture in kg/m3.
DENSITY = {
    "european oak": 702,  # the data sheet of European Wood
    "european beech": 690,  # Wagenfuehr
    "european ash": 702,  # Frey-Amon
    "scots pine": 520,  # Niemz
    "norway spruce": 470,  # Niemz
    "sycamore maple": 640,  # Frey-Amon
}

# Density of oven-dry wood in kg/m3, and change in % for 1 % of moisture, tangential and radial: Bauwerk.
OVEN_DRY = {
    "european oak": (650, 0.35, 0.18),
    "european beech": (640, 0.42, 0.20),
    "european ash": (630, 0.28, 0.17),
    "scots pine": (480, 0.26, 0.13),
    "norway spruce": (430, 0.34, 0.16),
    "pear": (630, 0.30, 0.15),
    "sycamore maple": (590, 0.30, 0.15),
}

# Shear and bending in MPa: Niemz, for the two that were typed from another table.
NIEMZ = {"norway spruce": (7.5, 68.0), "scots pine": (10.0, 80.0)}


def test_the_eight_woods_are_there_and_keep_apart_from_the_american_ones() -> None:
    """A plain name that recipes could always give means what it meant; the European wood has its own."""
    assert {wood.name for wood in EUROPEAN} == {*OVEN_DRY, "lime"}
    assert len(EUROPEAN) == 8
    for plain, american in {"beech": "Fagus grandifolia", "ash": "Fraxinus americana", "spruce": "Picea sitchensis",
                            "sycamore": "Platanus occidentalis", "maple": "Acer saccharum"}.items():  # fmt: skip
        assert find_wood(plain).botanical == american
    assert find_wood("European Beech").botanical == "Fagus sylvatica"
    assert find_wood("european sycamore").botanical == find_wood("sycamore maple").botanical == "Acer pseudoplatanus"
    assert len({wood.botanical for wood in WOODS}) == len(WOODS)
    with pytest.raises(InputError):
        find_wood("oak")


@pytest.mark.parametrize(("name", "shrinkage"), SHRINKAGE.items())
def test_movement_agrees_with_shrinkage_within_a_third(name: str, shrinkage: tuple[float, float]) -> None:
    """C = S/(3000 - 20 S), Wood Handbook, FPL-GTR-190 (2010), chapter 13. Other trees, other laboratories: woods of one
    name differ by this much, and more than this would be a slip of the pen."""
    moves = find_wood(name).movement
    assert moves is not None
    wanted = [s / (3000 - 20 * s) for s in shrinkage]
    assert (moves.radial, moves.tangential) == pytest.approx(wanted, rel=1 / 3)


@pytest.mark.parametrize(("name", "change"), [*DUTCH.items(), *AUSTRIAN.items()])
def test_movement_agrees_with_other_tables_within_35_percent(name: str, change: tuple[float, float]) -> None:
    """Rijsdijk and Laming (1994); Frey-Amon."""
    moves = find_wood(name).movement
    assert moves is not None
    assert (moves.radial, moves.tangential) == pytest.approx([each / 100 for each in change], rel=0.35)


def test_a_board_of_european_beech_by_hand() -> None:
    """A flat-sawn board 200 mm wide, from 9 to 12 %: 200 x 0.0042 x 3 = 2.52 mm; quarter-sawn 200 x 0.002 x 3 = 1.2."""
    moves = find_wood("european beech").movement
    assert moves is not None
    assert 200 * 3 * moves.across("flat") == pytest.approx(2.52)
    assert 200 * 3 * moves.across("quarter") == pytest.approx(1.2)


@pytest.mark.parametrize(("name", "density"), DENSITY.items())
def test_density_agrees_with_another_printing_within_5_percent(name: str, density: float) -> None:
    """Each source is named beside its figure."""
    assert find_wood(name).density == pytest.approx(density, rel=0.05)


@pytest.mark.parametrize(("name", "dry"), OVEN_DRY.items())
def test_density_agrees_with_that_of_oven_dry_wood(name: str, dry: tuple[float, float, float]) -> None:
    """Bauwerk: 12 % of water comes to the mass, and the section swells along rings and rays. Pear by hand: 630 x 1.12 =
    705.6, over 1 + 12 x 0.0045 = 1.054, is 669."""
    density, tangential, radial = dry
    wanted = density * 1.12 / (1 + 12 * (tangential + radial) / 100)
    assert find_wood(name).density == pytest.approx(wanted, rel=0.055)
    if name in {"pear", "sycamore maple"}:
        assert find_wood(name).density == pytest.approx(wanted, abs=0.6)


def test_lime_moves_as_its_shrinkage_says() -> None:
    """Wagenfuehr (1996): 5.9 and 9.6 % from green to dry. 5.9/(3000 - 118) = 0.00205, 9.6/(3000 - 192) = 0.00342."""
    moves = find_wood("lime").movement
    assert moves is not None
    assert (moves.radial, moves.tangential) == pytest.approx((0.00205, 0.00342), abs=5e-6)


@pytest.mark.parametrize(("name", "strength"), NIEMZ.items())
def test_strength_agrees_with_another_table_within_a_third(name: str, strength: tuple[float, float]) -> None:
    """Niemz (1993)."""
    holds = find_wood(name).strength
    assert holds is not None
    assert (holds.shear_mpa, holds.bending_mpa) == pytest.approx(strength, rel=1 / 3)


@pytest.mark.parametrize("wood", EUROPEAN, ids=lambda wood: wood.name)
def test_numbers_are_in_the_order_that_wood_has(wood) -> None:
    """Common practice: along the rings it moves more than along the rays; weakest across the grain or in shear."""
    assert 0.0005 < wood.movement.radial < wood.movement.tangential < 0.005
    assert 300 < wood.density < 900
    if wood.strength is not None:
        assert 5 * wood.strength.shear_mpa < wood.strength.bending_mpa < 15 * wood.strength.shear_mpa
        assert (wood.strength.compression_mpa or 0.0) < wood.strength.shear_mpa


def test_woods_without_a_printed_shear_strength_have_none() -> None:
    assert {wood.name for wood in EUROPEAN if wood.strength is None} == {"lime", "pear", "sycamore maple"}
