"""The face of the woods: names forgiven in spelling, densities that follow from the printed specific gravities, and
your own woods. The rows themselves are checked in `outside/test_species.py`."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from solids import wood
from solids.base import tolerances as tol
from solids.base.errors import InputError
from solids.wood import WOODS, Movement, Strength, density_from_gravity, find_wood, own_wood, wood_names
from solids.wood.species import HANDBOOK

# Specific gravity at 12 % moisture, Wood Handbook, FPL-GTR-282 (2021), Table 5-3b: the woods that recipes of the first
# versions could name, so that those recipes still weigh the same.
GRAVITIES = {
    "alder": 0.41,
    "ash": 0.60,
    "basswood": 0.37,
    "beech": 0.64,
    "birch": 0.62,
    "cherry": 0.50,
    "maple": 0.63,
    "red oak": 0.63,
    "white oak": 0.68,
    "walnut": 0.55,
    "yellow-poplar": 0.42,
    "douglas-fir": 0.48,
    "white pine": 0.35,
    "ponderosa pine": 0.40,
    "red cedar": 0.32,
    "spruce": 0.40,
}

SOFTWOOD_GENERA = {
    "Abies",
    "Callitropsis",
    "Calocedrus",
    "Chamaecyparis",
    "Picea",
    "Pinus",
    "Pseudotsuga",
    "Sequoia",
    "Taxodium",
    "Thuja",
}
"""The trees with needles or scales among ours; common practice."""


def test_density_is_gravity_and_the_water_in_it() -> None:
    """rho = 1000 G (1 + M/100): a gravity of 0.5 at 12 % weighs 500 kg of wood and 60 kg of water a cubic metre."""
    assert density_from_gravity(0.5) == pytest.approx(500 + 60, rel=1e-12)
    assert density_from_gravity(0.5, 0.0) == pytest.approx(500, rel=1e-12)


@pytest.mark.parametrize(("name", "gravity"), GRAVITIES.items())
def test_densities_follow_from_the_handbooks_gravities(name: str, gravity: float) -> None:
    found = find_wood(name)
    assert found.density == pytest.approx(gravity * 1120, abs=0.05), "printed to a tenth of a kg/m3"
    assert found.density_g_cm3 == pytest.approx(gravity * 1.12, abs=0.00005)
    assert "Wood Handbook" in found.source


def test_the_woods_of_the_first_versions_are_still_there_and_none_is_there_twice() -> None:
    assert set(GRAVITIES) < set(wood_names())
    assert wood_names() == tuple(each.name for each in WOODS)
    plain = [re.sub("[^a-z]", "", each.name) for each in WOODS]
    assert len(set(plain)) == len({each.botanical for each in WOODS}) == len(WOODS) == 67


def test_softwoods_are_those_of_conifers() -> None:
    conifers = {each.name for each in WOODS if each.botanical.partition(" ")[0] in SOFTWOOD_GENERA}
    assert {each.botanical.partition(" ")[0] for each in WOODS if each.name in conifers} == SOFTWOOD_GENERA
    assert {each.name for each in WOODS if each.kind == "softwood"} == conifers


@pytest.mark.parametrize("each", WOODS, ids=wood_names())
def test_every_wood_is_found_by_its_own_name_and_says_where_its_figures_are_from(each: wood.Wood) -> None:
    assert find_wood(each.name) is each
    assert each.movement is not None
    assert each.source
    assert each.movement.source
    assert each.strength is None or each.strength.source
    assert (each.strength is None) == (each.name in {"lime", "pear", "sycamore maple"})


def test_flat_sawn_boards_move_along_the_rings_and_quarter_sawn_ones_along_the_rays() -> None:
    """Wood Handbook, FPL-GTR-190 (2010), Table 13-5: beech C_R = 0.00190, C_T = 0.00431."""
    moves = find_wood("beech").movement
    assert moves is not None
    assert (moves.across("flat"), moves.through("flat")) == (0.00431, 0.00190)
    assert (moves.across("quarter"), moves.through("quarter")) == (0.00190, 0.00431)


def test_the_wood_of_a_board_that_names_none_is_a_hardwood_of_the_list() -> None:
    assert find_wood("beech") == wood.DEFAULT
    assert wood.DEFAULT.kind == "hardwood"


@pytest.mark.parametrize("each", WOODS, ids=wood_names())
def test_colours_are_three_bytes(each: wood.Wood) -> None:
    assert re.fullmatch("#[0-9a-f]{6}", each.colour)
    assert "#{:02x}{:02x}{:02x}".format(*each.rgb) == each.colour


def test_rgb_keeps_red_green_and_blue_in_order() -> None:
    assert wood.Wood("x", "", "hardwood", 1.0, "", "#0180ff").rgb == (1, 128, 255)


@pytest.mark.parametrize("text", ["white oak", "White Oak", "WHITE-OAK", " white  oak ", "whiteoak"])
def test_names_are_forgiven_case_spaces_and_hyphens(text: str) -> None:
    assert find_wood(text).name == "white oak"


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("chery", "cherry"),
        ("wallnut", "walnut"),
        ("douglas fur", "douglas-fir"),
        ("poplar", "yellow-poplar"),
        ("mahagony", "mahogany"),
    ],
)
def test_a_misspelt_wood_names_the_nearest(text: str, nearest: str) -> None:
    with pytest.raises(InputError, match=f"is not a wood we know; the nearest is {nearest!r}, or give name, kind and"):
        find_wood(text)


def test_a_kind_of_wood_that_has_several_names_them_all() -> None:
    """Misspelt too; the likest first."""
    with pytest.raises(InputError, match="the nearest are 'european oak', 'overcup oak', 'red oak', 'white oak', or"):
        find_wood("oak")
    with pytest.raises(InputError, match="the nearest are 'maple', 'bigleaf maple', 'black maple', 'red maple', "):
        find_wood("mapel")


def test_a_wood_like_none_of_ours_points_to_the_list() -> None:
    with pytest.raises(InputError, match="'xyzzy' is not a wood we know; see the list of woods"):
        find_wood("xyzzy")


def test_a_very_long_name_is_cut_short_in_the_message() -> None:
    with pytest.raises(InputError) as caught:
        find_wood("q" * 500)
    assert str(caught.value).startswith(repr("q" * 40) + " is not")


def test_a_wood_of_your_own_keeps_your_numbers_and_says_so() -> None:
    pear = own_wood("pear", "hardwood", 690.0)
    assert (pear.name, pear.kind, pear.density, pear.botanical) == ("pear", "hardwood", 690.0, "")
    assert pear.source == "given in the recipe"
    assert own_wood("larch", "softwood", 590.0).kind == "softwood"


def test_a_wood_of_your_own_moves_and_holds_as_you_say_or_is_left_out() -> None:
    bare = own_wood("pear", "hardwood", 690.0)
    assert (bare.movement, bare.strength) == (None, None)
    moves, holds = Movement(0.0016, 0.0031, "measured"), Strength(14.0, 98.0, None, "measured")
    moving = own_wood("pear", "hardwood", 690.0, movement=moves)
    assert (moving.movement, moving.strength) == (moves, None)
    holding = own_wood("pear", "hardwood", 690.0, strength=holds)
    assert (holding.movement, holding.strength) == (None, holds)
    both = own_wood("pear", "hardwood", 690.0, moves, holds)
    assert (both.movement, both.strength) == (moves, holds)


def test_own_hardwoods_and_softwoods_are_told_apart_in_a_picture() -> None:
    assert own_wood("a", "hardwood", 600.0).rgb != own_wood("a", "softwood", 600.0).rgb


@given(st.sampled_from(wood_names()), st.randoms(use_true_random=False))
def test_any_mix_of_capitals_finds_the_wood(name: str, chance) -> None:
    mixed = "".join(chance.choice((ch.upper(), ch.lower())) for ch in name)
    assert find_wood(mixed).name == name


def test_names_botanical_names_and_colours_are_unique() -> None:
    plain = ["".join(ch for ch in each.name if ch.isalnum()) for each in WOODS]
    assert all(name == name.lower() for name in plain)
    for column in (plain, [each.botanical for each in WOODS], [each.colour for each in WOODS]):
        assert len(set(column)) == len(WOODS)


def test_hardwoods_come_first_and_each_kind_is_in_the_order_of_the_alphabet() -> None:
    rows = [(each.kind, each.name) for each in WOODS]
    assert rows == sorted(rows)


@pytest.mark.parametrize(
    ("name", "soft"),
    [
        *(("basswood", True), ("yellow-poplar", True), ("aspen", True), ("white pine", True), ("sweetgum", True)),
        *(("longleaf pine", False), ("douglas-fir", False), ("cherry", False), ("maple", False), ("teak", False)),
    ],
)
def test_a_wood_is_soft_by_how_it_gives_and_not_by_its_tree(name: str, soft: bool) -> None:
    """Compression across the grain in psi: basswood 370, yellow-poplar 500, aspen 370, white pine 440, sweetgum 620;
    longleaf pine 960, douglas-fir 800, cherry 690, maple 1470 (Wood Handbook, FPL-GTR-282, Table 5-3b). Teak has no
    such figure, and 675 kg/m3."""
    assert find_wood(name).is_soft == soft


def test_a_wood_of_unknown_compression_is_soft_by_its_density() -> None:
    """500 kg/m3 is the density at which the woods of Table 5-3b give way at 4.5 MPa: a straight line through the
    logarithms of both."""
    known = [(each.density, each.strength.compression_mpa) for each in HANDBOOK if each.strength.compression_mpa]
    line = stats.linregress(*zip(*((math.log(x), math.log(y)) for x, y in known), strict=True))
    assert math.exp((math.log(tol.SOFT_ACROSS_MPA) - line.intercept) / line.slope) == pytest.approx(500, abs=10)
    assert line.rvalue > 0.8
    assert own_wood("pear", "softwood", 499.0).is_soft
    assert not own_wood("pear", "softwood", 500.0).is_soft
    given = Strength(14.0, 98.0, 4.4, "measured")
    assert own_wood("pear", "hardwood", 690.0, strength=given).is_soft
