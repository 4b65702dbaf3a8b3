"""What air and moisture do to wood, against the handbook's own table, its worked example and a rule of thumb.

Sources, each named again beside its check:

- EXAMPLE: Wood Handbook, FPL-GTR-190 (2010), chapter 13, the example of a flat-grained board of white fir, read in a
  second-hand copy.
- TABLE: the same book, Table 4-2, read on the page.
- FAHRENHEIT: W. Simpson's coefficients for degrees Fahrenheit, read in a second-hand copy that names Table 4-2. Ours
  are those for degrees Celsius, FPL-RN-0268 (1998).
- PLYWOOD: Wood Handbook, FPL-GTR-190 (2010), chapter 12, quoted word for word in a second-hand copy.
- PANELS: APA, The Engineered Wood Association, on the hygroscopic expansion of panels, quoted in a second-hand copy.
- THUMB: G. Wengert, FDMC magazine, a rule of thumb for cabinet makers.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.bench.movement import wood_movement
from solids.wood import change, equilibrium_moisture, find_wood
from solids.wood.plywood import PLYWOOD_MOVES, plywood_of
from tests.recipes import MINIMAL, laid_out

# --- TABLE ------------------------------------------------------------------------------------------

HUMIDITIES = tuple(range(5, 100, 5))

# Wood Handbook, FPL-GTR-190 (2010), Table 4-2: % moisture by degrees Fahrenheit and relative humidity.
PRINTED = """
 30  1.4  2.6  3.7  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3
 40  1.4  2.6  3.7  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3
 50  1.4  2.6  3.6  4.6  5.5  6.3  7.1  7.9  8.7  9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3
 60  1.3  2.5  3.6  4.6  5.4  6.2  7.0  7.8  8.6  9.4 10.2 11.1 12.1 13.3 14.6 16.2 18.2 20.7 24.1
 70  1.3  2.5  3.5  4.5  5.4  6.2  6.9  7.7  8.5  9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9
 80  1.3  2.4  3.5  4.4  5.3  6.1  6.8  7.6  8.3  9.1  9.9 10.8 11.7 12.9 14.2 15.7 17.7 20.2 23.6
 90  1.2  2.3  3.4  4.3  5.1  5.9  6.7  7.4  8.1  8.9  9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3
100  1.2  2.3  3.3  4.2  5.0  5.8  6.5  7.2  7.9  8.7  9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9
110  1.1  2.2  3.2  4.0  4.9  5.6  6.3  7.0  7.7  8.4  9.2 10.0 11.0 12.0 13.2 14.7 16.6 19.1 22.4
120  1.1  2.1  3.0  3.9  4.7  5.4  6.1  6.8  7.5  8.2  8.9  9.7 10.6 11.7 12.9 14.4 16.2 18.6 22.0
"""
ROWS = [(int(row.split()[0]), [float(cell) for cell in row.split()[1:]]) for row in PRINTED.strip().splitlines()]

PRINTED_WITHIN = 0.065
"""The table prints tenths, so half a step and what two sets of coefficients differ by."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def test_the_table_was_typed_whole() -> None:
    assert [degrees for degrees, _ in ROWS] == list(range(30, 130, 10))
    assert {len(cells) for _, cells in ROWS} == {len(HUMIDITIES)}


@pytest.mark.parametrize(("degrees", "cells"), ROWS, ids=[f"{degrees} F" for degrees, _ in ROWS])
def test_the_whole_table_of_moisture_is_met_cell_by_cell(degrees: int, cells: list[float]) -> None:
    """TABLE: Wood Handbook, FPL-GTR-190 (2010), Table 4-2."""
    worked = [equilibrium_moisture(celsius(degrees), humidity) for humidity in HUMIDITIES]
    assert worked == pytest.approx(cells, abs=PRINTED_WITHIN)


# --- FAHRENHEIT -----------------------------------------------------------------------------------------


def by_fahrenheit(t: float, humidity: float) -> float:
    """FAHRENHEIT: the same equation with W. Simpson's coefficients for degrees Fahrenheit."""
    w = 330 + 0.452 * t + 0.00415 * t**2
    k = 0.791 + 0.000463 * t - 0.000000844 * t**2
    k1 = 6.34 + 0.000775 * t - 0.0000935 * t**2
    k2 = 1.09 + 0.0284 * t - 0.0000904 * t**2
    h = humidity / 100
    first = k * h / (1 - k * h)
    second = (k1 * k * h + 2 * k1 * k2 * k**2 * h**2) / (1 + k1 * k * h + k1 * k2 * k**2 * h**2)
    return 1800 / w * (first + second)


@given(st.floats(30, 120), st.floats(5, 95))
def test_the_other_set_of_coefficients_agrees_everywhere_in_the_table(degrees: float, humidity: float) -> None:
    """FAHRENHEIT, for 30 to 120 F and 5 to 95 % relative humidity."""
    worked = equilibrium_moisture(celsius(degrees), humidity)
    assert worked == pytest.approx(by_fahrenheit(degrees, humidity), abs=0.1)


# The equation worked with the coefficients of FPL-RN-0268 (1998), apart from this project: degrees Celsius, relative
# humidity in %, moisture in %.
POINTS = [
    (20, 50, 9.271),
    (20, 65, 11.996),
    (21.1, 30, 6.170),
    (21.1, 50, 9.243),
    (21.1, 65, 11.958),
    (25, 40, 7.608),
]


@pytest.mark.parametrize(("degrees", "humidity", "moisture"), POINTS)
def test_single_points_of_the_equation(degrees: float, humidity: float, moisture: float) -> None:
    """W. Simpson, FPL-RN-0268 (1998): worked apart from this project."""
    assert equilibrium_moisture(degrees, humidity) == pytest.approx(moisture, abs=0.0006)


# --- THUMB ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("humidity", "moisture"), [(30, 6), (50, 9), (65, 12), (80, 16)])
def test_a_cabinet_makers_rule_of_thumb_holds_in_a_warm_room(humidity: int, moisture: int) -> None:
    """THUMB: G. Wengert, FDMC magazine; at 21 C, to the whole percent that it is told in."""
    assert equilibrium_moisture(21, humidity) == pytest.approx(moisture, abs=0.5)


# --- EXAMPLE ----------------------------------------------------------------------------------------------


def test_the_handbooks_example_of_a_board_that_swells() -> None:
    """EXAMPLE: white fir, flat-grained, 232 mm, from 8 to 11 %: 1.705 mm, so 233.7 mm."""
    grown = change(232, 0.00245, 8, 11)
    assert grown == pytest.approx(1.705, abs=0.0005)
    assert 232 + grown == pytest.approx(233.7, abs=0.05)
    assert change(232, 0.00245, 11, 8) == pytest.approx(-1.705, abs=0.0005)


def test_the_example_comes_out_of_our_own_row_of_white_fir() -> None:
    """EXAMPLE, with the coefficient from our table of woods for a flat-sawn board."""
    movement = find_wood("white fir").movement
    assert movement is not None
    assert change(232, movement.across("flat"), 8, 11) == pytest.approx(1.705, abs=0.0005)


def test_the_example_comes_out_of_a_recipe() -> None:
    """EXAMPLE as a corner: air of 20 C at 41.83 and 60 % is 8 and 11 % moisture (within 0.01, by the equation)."""
    layout = laid_out(
        "joint.width=232",
        'tail_board.wood="white fir"',
        'tail_board.sawn="flat"',
        'climate.shop="20 C, 41.83 %"',
        'climate.home="20 C, 60 %"',
        text=MINIMAL,
    )
    moved = wood_movement(layout)
    assert (moved.shop_moisture, moved.damp.moisture) == (pytest.approx(8, abs=0.01), pytest.approx(11, abs=0.01))
    assert moved.damp.tail_board.width == pytest.approx(1.705, abs=0.01)


# --- PLYWOOD, PANELS --------------------------------------------------------------------------------


def test_plywood_moves_as_the_handbook_says_both_ways() -> None:
    """PLYWOOD: on average 0.0002 of its length and width (0.02 %) for 1 % of moisture. By hand: 1000 mm, 8 to 11 %."""
    moves = plywood_of(find_wood("birch")).movement
    assert moves is not None
    for across in (moves.across("flat"), moves.across("quarter")):
        assert change(1000.0, across, 8.0, 11.0) == pytest.approx(0.6)


@pytest.mark.parametrize("humidity", [40, 50, 60])
def test_that_is_no_less_than_makers_of_panels_say_and_of_the_same_size(humidity: float) -> None:
    """PANELS: about 0.0002 for 10 % of relative humidity, which is 1.5 to 2 % of moisture at 70 F by TABLE."""
    low, high = (equilibrium_moisture(21.1, air) for air in (humidity, humidity + 10))
    assert 1.0 <= PLYWOOD_MOVES.tangential * (high - low) / 0.0002 <= 2.5


def test_plywood_moves_a_small_part_of_what_its_veneers_do_across_their_grain() -> None:
    """Which is why its bottoms need no slots. Birch moves 0.00338 along its rings (Table 13-5)."""
    birch = find_wood("birch").movement
    assert birch is not None
    assert birch.tangential / PLYWOOD_MOVES.tangential == pytest.approx(17, abs=1)
