"""What wood takes up from the air, and what a change of moisture does to a size: shape of both, and the range told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.wood import Climate, change, equilibrium_moisture, in_published_range

TEMPERATURES = st.floats(-1.2, 48.9)
HUMIDITIES = st.floats(5, 95)
SIZES = st.floats(1, 1000)
COEFFICIENTS = st.floats(0.0005, 0.005)
MOISTURES = st.floats(2, 25)


# --- moisture that wood comes to --------------------------------------------------------------------


@given(TEMPERATURES, HUMIDITIES, HUMIDITIES)
def test_damper_air_makes_damper_wood(degrees: float, one: float, other: float) -> None:
    dry, damp = sorted((one, other))
    if damp - dry < 1e-6:
        return
    assert equilibrium_moisture(degrees, dry) < equilibrium_moisture(degrees, damp)


@given(st.floats(5, 48.9), st.floats(5, 48.9), HUMIDITIES)
def test_warmer_air_of_the_same_humidity_makes_drier_wood(one: float, other: float, humidity: float) -> None:
    """From 5 C upward; below that the published table itself is level."""
    cold, warm = sorted((one, other))
    if warm - cold < 1e-3:
        return
    assert equilibrium_moisture(warm, humidity) < equilibrium_moisture(cold, humidity)


@given(st.floats(-1.2, 5), HUMIDITIES)
def test_in_the_cold_temperature_hardly_matters(degrees: float, humidity: float) -> None:
    """Wood Handbook, FPL-GTR-190 (2010), Table 4-2 prints the same row, to 0.1, for 30 and 40 F (-1 and 4 C)."""
    assert equilibrium_moisture(degrees, humidity) == pytest.approx(equilibrium_moisture(4.4, humidity), abs=0.1)


@given(TEMPERATURES, HUMIDITIES)
def test_moisture_lies_between_dry_and_the_point_where_shrinkage_begins(degrees: float, humidity: float) -> None:
    """30 % is where the handbook's shrinkage begins (Wood Handbook, FPL-GTR-190, chapter 4, from memory)."""
    assert 0 < equilibrium_moisture(degrees, humidity) < 30


def test_dry_air_leaves_nothing_in_the_wood() -> None:
    """Every term of the equation has h as a factor."""
    assert equilibrium_moisture(20, 0) == 0


def test_the_air_of_a_room_knows_its_moisture() -> None:
    assert Climate(20, 65).moisture == equilibrium_moisture(20, 65)


@pytest.mark.parametrize(
    ("climate", "metric", "inch"),
    [
        (Climate(20, 55), "20 C, 55 %", "68 F, 55 %"),
        (Climate(-1, 7.5), "-1 C, 7.5 %", "30.2 F, 7.5 %"),
        (Climate((70 - 32) / 1.8, 30), "21.11 C, 30 %", "70 F, 30 %"),
    ],
)
def test_air_is_told_as_a_recipe_writes_it(climate: Climate, metric: str, inch: str) -> None:
    """F = 1.8 C + 32."""
    assert climate.words("mm") == metric
    assert climate.words("in") == inch


# --- change of size -----------------------------------------------------------------------------------


def test_a_change_worked_by_hand() -> None:
    """100 mm, 0.002 for each percent, three percent up: 0.6 mm; and a shrinking one is negative."""
    assert change(100, 0.002, 7, 10) == pytest.approx(0.6, rel=1e-12)
    assert change(100, 0.002, 10, 7) == pytest.approx(-0.6, rel=1e-12)


@given(SIZES, COEFFICIENTS, MOISTURES, MOISTURES)
def test_there_and_back_is_no_change(size: float, coefficient: float, one: float, other: float) -> None:
    assert change(size, coefficient, one, other) == -change(size, coefficient, other, one)
    assert change(size, coefficient, one, one) == 0


@given(SIZES, COEFFICIENTS, MOISTURES, MOISTURES, MOISTURES)
def test_two_steps_add_up_to_one(size: float, coefficient: float, a: float, b: float, c: float) -> None:
    steps = change(size, coefficient, a, b) + change(size, coefficient, b, c)
    assert steps == pytest.approx(change(size, coefficient, a, c), abs=1e-9)


@given(SIZES, COEFFICIENTS, MOISTURES, MOISTURES, st.floats(0.1, 10))
def test_change_is_in_proportion_to_size_coefficient_and_step(
    size: float, coefficient: float, one: float, other: float, times: float
) -> None:
    plain = change(size, coefficient, one, other)
    assert change(times * size, coefficient, one, other) == pytest.approx(times * plain, rel=1e-9)
    assert change(size, times * coefficient, one, other) == pytest.approx(times * plain, rel=1e-9)
    stretched = one + times * (other - one)
    assert change(size, coefficient, one, stretched) == pytest.approx(times * plain, abs=1e-9)


@given(SIZES, COEFFICIENTS, MOISTURES, MOISTURES)
def test_damper_wood_is_larger(size: float, coefficient: float, one: float, other: float) -> None:
    if abs(one - other) < 1e-6:
        return
    assert (change(size, coefficient, one, other) > 0) == (other > one)


@pytest.mark.parametrize(("moisture", "known"), [(5.999, False), (6, True), (10, True), (14, True), (14.001, False)])
def test_coefficients_are_published_from_6_to_14_percent(moisture: float, known: bool) -> None:
    """Wood Handbook, FPL-GTR-190 (2010), Table 13-5, its caption: "within moisture content limits of 6% to 14%"."""
    assert in_published_range(moisture) is known
