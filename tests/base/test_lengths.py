"""Lengths read and printed. One inch is exactly 25.4 mm (international yard and pound agreement, 1959; ISO 31-1)."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.errors import LengthError
from solids.base.forces import NEWTONS_PER_POUND_FORCE, format_force, format_moment
from solids.base.lengths import (
    CALIPER,
    LEAST,
    MM_PER_INCH,
    MOST,
    Reading,
    bare_length,
    format_accepted,
    format_area,
    format_both,
    format_decimal,
    format_dimension,
    format_gap,
    format_in_mm,
    format_inch,
    format_length,
    format_mm,
    format_range,
    format_volume,
    length_cells,
    length_heads,
)
from solids.base.messages import Units
from solids.base.parsing import parse_length, unit_written

INCH = Fraction(254, 10)
HALF_A_THOUSANDTH = 0.0005 * 25.4


def mm_of(inches: Fraction | int) -> float:
    return float(inches * INCH)


# --- in ------------------------------------------------------------------------------------------


def test_an_inch_is_exactly_25_4_mm() -> None:
    assert Fraction(127, 5) == MM_PER_INCH
    assert parse_length("1 in") == 25.4
    assert parse_length(1, "in") == 25.4


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("19", 19.0),
        ("19 mm", 19.0),
        ("19.5mm", 19.5),
        ("  19.05  mm ", 19.05),
        (".5 mm", 0.5),
        ("5. mm", 5.0),
        ("1e-3 mm", 0.001),
        ("1.5E+1 mm", 15.0),
        ("19 millimetres", 19.0),
        ("19 millimetre", 19.0),
        ("19 millimeters", 19.0),
        ("19 MM", 19.0),
        ("1 millimeter", 1.0),
        ("+3 mm", 3.0),
        ("-3 mm", -3.0),
        ("- 3 mm", -3.0),
        ("3/4 in", mm_of(Fraction(3, 4))),
        ("3/4in", mm_of(Fraction(3, 4))),
        ("1 1/8 in", mm_of(Fraction(9, 8))),
        ("1-1/8 in", mm_of(Fraction(9, 8))),
        ('1-1/8"', mm_of(Fraction(9, 8))),
        ("2 inches", mm_of(2)),
        ("1 inch", mm_of(1)),
        ("-1 1/8 in", mm_of(Fraction(-9, 8))),
        ("1/3 mm", 1 / 3),
        ("3/4 in - 0.002 in", mm_of(Fraction(3, 4) - Fraction(2, 1000))),
        ("3/4 in + 0.002 in", mm_of(Fraction(3, 4) + Fraction(2, 1000))),
        ("-1/64 in + 0.001 in", mm_of(Fraction(-1, 64) - Fraction(1, 1000))),
        ("-1/64 in - 0.001 in", mm_of(Fraction(-1, 64) + Fraction(1, 1000))),
        ("1 in + 1 mm", 26.4),
    ],
)
def test_a_text_becomes_millimetres(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, rel=1e-15, abs=0)


def test_a_text_without_unit_and_a_number_are_in_the_recipes_units() -> None:
    assert parse_length("3", "in") == parse_length(3, "in") == 76.2
    assert parse_length("1/2", "in") == 12.7
    assert parse_length("3", "mm") == parse_length(3.0) == 3.0


def test_a_text_with_a_unit_keeps_it_in_any_recipe() -> None:
    assert parse_length("3 mm", "in") == 3.0
    assert parse_length("1 in", "mm") == 25.4


@pytest.mark.parametrize("value", [True, False, None, [3], {"mm": 3}, (3,), b"3 mm"])
def test_what_is_neither_number_nor_text_is_no_length(value: object) -> None:
    with pytest.raises(LengthError, match="is not a length"):
        parse_length(value)


@pytest.mark.parametrize("text", ["", " ", "mm", "three", "1/2/3", "1 2 mm", "--3", "1 -1/2 in", "3 mm 4 mm", "1_0"])
def test_a_text_that_reads_two_ways_or_none_is_no_length(text: str) -> None:
    with pytest.raises(LengthError, match="is not a length"):
        parse_length(text)


def test_a_decimal_comma_is_named() -> None:
    with pytest.raises(LengthError, match="'19,5 mm' has a comma; write the decimals after a point"):
        parse_length("19,5 mm")


def test_an_unknown_unit_is_named_with_those_known() -> None:
    with pytest.raises(LengthError, match="'3 ft' has the unit 'ft'; known are mm and in"):
        parse_length("3 ft")
    with pytest.raises(LengthError, match="has the unit 'cm'"):
        parse_length("3 in + 1 cm")


@pytest.mark.parametrize("text", ["1/0 in", "1 1/0 in", "3 in - 1/0 in"])
def test_a_division_by_zero_is_named(text: str) -> None:
    with pytest.raises(LengthError, match="divides by zero"):
        parse_length(text)


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), float("nan")])
def test_what_is_not_finite_is_no_length(value: float) -> None:
    with pytest.raises(LengthError, match="is not a finite number"):
        parse_length(value)


@pytest.mark.parametrize("value", ["1e999", "1e308 in", 10**400])
def test_what_no_number_can_hold_is_too_large(value: object) -> None:
    with pytest.raises(LengthError, match="too large"):
        parse_length(value)


def test_a_long_wrong_text_is_cut_short_in_the_message() -> None:
    with pytest.raises(LengthError) as caught:
        parse_length("x" * 500)
    assert str(caught.value) == repr("x" * 500)[:57] + "... is not a length"
    with pytest.raises(LengthError, match=r"^'x{58}' is not a length$"):
        parse_length("x" * 58)
    with pytest.raises(LengthError, match=r"^'x{56}\.\.\. is not a length$"):
        parse_length("x" * 59)


# --- out -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("mm", "step", "text"),
    [
        (18.5, "0.1", "18.5 mm"),
        (18.0, "0.1", "18 mm"),
        (18.04, "0.1", "18 mm"),
        (18.06, "0.1", "18.1 mm"),
        (100.0, "1.0", "100 mm"),
        (104.0, "10.0", "100 mm"),
        (0.123, "0.01", "0.12 mm"),
        (3.07, "0.05", "3.05 mm"),
        (-0.01, "0.1", "0 mm"),
        (-0.26, "0.1", "-0.3 mm"),
        (0.0, "0.01", "0 mm"),
    ],
)
def test_millimetres_are_rounded_to_the_step_without_needless_zeros(mm: float, step: str, text: str) -> None:
    assert format_mm(mm, Reading(step)) == text


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (mm_of(Fraction(3, 4)), "3/4 in"),
        (mm_of(Fraction(9, 8)), "1 1/8 in"),
        (mm_of(2), "2 in"),
        (0.0, "0 in"),
        (mm_of(Fraction(-3, 4)), "-3/4 in"),
        (mm_of(Fraction(3, 4) - Fraction(2, 1000)), "3/4 in (0.748 in)"),
        (mm_of(Fraction(3, 4) + Fraction(2, 1000)), "3/4 in (0.752 in)"),
        (mm_of(Fraction(3, 4) + Fraction(4, 10000)), "3/4 in"),
        (mm_of(Fraction(3, 4) + Fraction(6, 10000)), "3/4 in (0.751 in)"),
        (mm_of(Fraction(3, 1000)), "0.003 in"),
        (mm_of(Fraction(-3, 1000)), "-0.003 in"),
        (mm_of(Fraction(-3, 64) - Fraction(1, 1000)), "-3/64 in (-0.048 in)"),
        (mm_of(Fraction(-3, 64) + Fraction(1, 1000)), "-3/64 in (-0.046 in)"),
        (mm_of(Fraction(1, 64) - Fraction(1, 1000)), "0.015 in"),
        (mm_of(Fraction(-20, 1000)), "-0.020 in"),
        (mm_of(Fraction(1, 64)), "1/64 in"),
    ],
)
def test_inches_are_sixty_fourths_with_thousandths_behind_where_those_say_more(mm: float, text: str) -> None:
    assert format_inch(mm) == text


@pytest.mark.parametrize(
    ("mm", "units", "text"),
    [
        (18.504, "mm", "18.5"),
        (mm_of(Fraction(3, 4)), "in", "0.750 [3/4]"),
        (mm_of(Fraction(3, 4) - Fraction(2, 1000)), "in", "0.748 [3/4]"),
        (mm_of(Fraction(11, 12)), "in", "0.917 [59/64]"),
        (mm_of(Fraction(3, 1000)), "in", "0.003 [0]"),
    ],
)
def test_a_dimension_leaves_its_unit_to_the_title_block(mm: float, units: Units, text: str) -> None:
    assert format_dimension(mm, units, CALIPER) == text


def test_a_length_is_printed_in_the_makers_units() -> None:
    assert format_length(19.05, "in") == "3/4 in"
    assert format_length(19.06, "mm") == "19.05 mm"
    assert format_length(19.06, "mm", CALIPER) == "19.06 mm"


def test_a_length_in_both_systems_has_the_makers_own_first() -> None:
    assert format_both(19.0, "mm") == "19 mm (0.748 in)"
    assert format_both(19.02, "in") == "3/4 in (0.749 in, 19 mm)"
    assert format_both(12.7, "in") == "1/2 in (12.7 mm)"
    assert format_both(19.05, "in", CALIPER) == "3/4 in (19.05 mm)"
    assert format_both(25.4, "mm") == "25.4 mm (1 in)"


def test_half_a_step_is_rounded_up_as_on_a_rule() -> None:
    """3/4 in is 19.05 mm, and to a tenth 19.1 mm, though its double lies below."""
    assert format_both(19.05, "in", Reading("0.1")) == "3/4 in (19.1 mm)"


def test_a_most_is_rounded_down_and_a_least_up_in_both_systems() -> None:
    """17.0357 mm is 0.67070 in."""
    assert format_both(17.0357, "mm", MOST) == "17.03 mm (0.67 in)"
    assert format_both(17.0357, "mm", LEAST) == "17.04 mm (0.671 in)"
    assert format_length(17.0357, "in", MOST) == "0.67 in"
    assert format_length(17.0357, "in", LEAST) == "0.671 in"
    assert format_length(17.0357, "mm") == "17.05 mm", "as it is marked"
    assert format_length(0.5 * 25.4 / 1000, "in", MOST) == "0 in"


@pytest.mark.parametrize("reading", [MOST, LEAST])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_limit_on_a_step_stays_as_it_is_though_its_double_is_a_hair_off(units: Units, reading: Reading) -> None:
    near = 43 / 64 * 25.4 if units == "in" else 17.04
    for mm in (math.nextafter(near, 0.0), near, math.nextafter(near, 99.0)):
        assert format_length(mm, units, reading) == {"mm": "17.04 mm", "in": "43/64 in"}[units]


@given(st.floats(0.0, 2000.0), st.sampled_from(["mm", "in"]))
def test_a_most_is_never_over_its_length_and_a_least_never_under(mm: float, units: Units) -> None:
    most, least = (parse_length(format_length(mm, units, reading)) for reading in (MOST, LEAST))
    assert mm - 0.0255 < most < mm + 1e-6
    assert mm - 1e-6 < least < mm + 0.0255


def test_a_limit_is_printed_with_six_figures() -> None:
    assert format_decimal(3.0, "mm") == "3 mm"
    assert format_decimal(44.45, "mm") == "44.45 mm"
    assert format_decimal(25.4 / 8, "in") == "0.125 in"
    assert format_decimal(1 / 3, "mm") == "0.333333 mm"


@pytest.mark.parametrize(
    ("inches", "nearest", "too_much", "too_little"),
    [
        (1.6640625, "1 43/64 in (1.664 in)", "1.665 in", "1.664 in"),
        (3.28907, "3 19/64 in (3.289 in)", "3.29 in", "3.289 in"),
        (3 / 128, "0.023 in", "0.024 in", "0.023 in"),
        (0.0201285, "0.02 in", "0.021 in", "0.02 in"),
        (0.00012345, "0.00012 in", "0.00013 in", "0.00012 in"),
        (0.118, "0.118 in", "0.118 in", "0.118 in"),
        (3 / 64, "3/64 in", "3/64 in", "3/64 in"),
    ],
)
def test_what_arithmetic_makes_is_told_in_inches_as_a_rule_reads(
    inches: float, nearest: str, too_much: str, too_little: str
) -> None:
    """No rule has "1.66406 in". What a maker would type stays as it was typed."""
    assert format_decimal(inches * 25.4, "in") == nearest
    assert format_decimal(inches * 25.4, "in", ROUND_CEILING) == too_much
    assert format_decimal(inches * 25.4, "in", ROUND_FLOOR) == too_little


def test_a_range_with_a_single_value_that_a_rule_has_is_told_as_that_one() -> None:
    """19/64 in is 7.540625 mm."""
    assert format_accepted(7.5, 7.6, "in") == "only 19/64 in"
    assert format_accepted(7.5, 8, "in") == "from 19/64 in to 5/16 in"
    assert format_accepted(7.5, 7.5, "mm") == "only 7.5 mm"
    assert format_accepted(7.5, 7.6, "mm") == "from 7.5 mm to 7.6 mm"
    assert format_accepted(7.46, 7.51, "in") == "from 0.294 in to 0.295 in", "no 64th lies there"


@given(st.floats(0.5, 300), st.floats(0.001, 3), st.sampled_from(["mm", "in"]))
def test_what_is_told_of_a_range_lies_in_it(least: float, wide: float, units: Units) -> None:
    told = format_accepted(least, least + wide, units)
    for text in told.removeprefix("only ").removeprefix("from ").split(" to "):
        assert least - 1e-4 <= parse_length(text) <= least + wide + 1e-4


# --- there and back ------------------------------------------------------------------------------


@given(st.floats(-10_000, 10_000))
def test_a_printed_inch_reads_back_within_half_a_thousandth_or_a_64th(mm: float) -> None:
    nearest, _, thousandths = format_inch(mm).removesuffix(")").partition(" (")
    assert abs(parse_length(thousandths or nearest) - mm) <= HALF_A_THOUSANDTH * (1 + 1e-9)
    assert abs(parse_length(nearest) - mm) <= 25.4 / 128 * (1 + 1e-9)


@given(st.floats(0, 3000))
def test_a_cell_in_inches_has_thousandths_and_the_nearest_64th(mm: float) -> None:
    """61/64 in is 0.953 in."""
    assert length_cells(61 / 64 * 25.4, "in") == ("0.953", "61/64")
    assert length_cells(61 / 64 * 25.4, "mm") == ("24.2 mm",)
    thousandths, nearest = (parse_length(cell, "in") for cell in length_cells(mm, "in"))
    assert abs(thousandths - mm) <= HALF_A_THOUSANDTH * (1 + 1e-9)
    assert abs(nearest - mm) <= 25.4 / 128 * (1 + 1e-9)
    assert len(length_heads("width", "in")) == len(length_cells(mm, "in"))


def test_a_length_for_a_narrow_column_is_a_64th_or_thousandths() -> None:
    assert [bare_length(inches * 25.4, "in") for inches in (3 / 4, 11 / 12)] == ["3/4", "0.917"]


@given(st.floats(-1e6, 1e6))
def test_millimetres_written_in_full_read_back_exactly(mm: float) -> None:
    assert parse_length(f"{mm!r} mm", "in") == mm


@given(st.integers(0, 999), st.integers(0, 999), st.integers(1, 999))
def test_fractions_of_an_inch_are_exact(whole: int, num: int, den: int) -> None:
    """The nearest double to the exact rational number, whatever the fraction."""
    assert parse_length(f"{whole} {num}/{den} in") == mm_of(whole + Fraction(num, den))
    assert parse_length(f"-{whole}-{num}/{den}", "in") == -mm_of(whole + Fraction(num, den))


@given(st.integers(-(10**6), 10**6), st.sampled_from(["1", "0.5", "0.1", "0.05", "0.01", "0.001"]))
def test_millimetres_on_a_step_read_back_equal(steps: int, step: str) -> None:
    mm = steps * float(step)
    assert parse_length(format_mm(mm, Reading(step))) == pytest.approx(mm, rel=1e-12, abs=1e-12)


@given(st.integers(1, 640))
def test_sixty_fourths_print_without_a_rest(parts: int) -> None:
    assert parse_length(format_inch(mm_of(Fraction(parts, 64)))) == mm_of(Fraction(parts, 64))


@given(st.text(max_size=30))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    try:
        mm = parse_length(text)
    except LengthError:
        return
    assert isinstance(mm, float)


# --- forces ----------------------------------------------------------------------------------------


def test_a_pound_force_is_the_pull_of_a_pound_at_standard_gravity() -> None:
    """0.45359237 kg (international yard and pound agreement, 1959) times 9.80665 m/s2 (3rd CGPM, 1901)."""
    assert pytest.approx(0.45359237 * 9.80665, rel=1e-15) == NEWTONS_PER_POUND_FORCE


@pytest.mark.parametrize(
    ("newtons", "metric", "inch"),
    [
        (0.0, "0 N", "0 lbf"),
        (4.4482216152605, "4.4 N", "1 lbf"),
        (449.0, "450 N", "100 lbf"),
        (994.0, "990 N", "220 lbf"),
        (1000.0, "1 kN", "220 lbf"),
        (1949.0, "1.9 kN", "440 lbf"),
        (12345.0, "12 kN", "2800 lbf"),
        (123456.0, "120 kN", "28000 lbf"),
    ],
)
def test_a_force_is_told_in_two_figures(newtons: float, metric: str, inch: str) -> None:
    assert format_force(newtons, "mm") == metric
    assert format_force(newtons, "in") == inch


@given(st.floats(1, 9e5), st.sampled_from(["mm", "in"]))
def test_a_force_that_is_told_is_within_a_twentieth_of_itself(newtons: float, units) -> None:
    """Two figures: 1.0 stands for 0.95 to 1.05."""
    number, unit = format_force(newtons, units).split()
    assert float(number) * {"N": 1, "kN": 1000, "lbf": NEWTONS_PER_POUND_FORCE}[unit] == pytest.approx(
        newtons, rel=0.051
    )
    assert (unit == "lbf") == (units == "in")
    assert "e" not in number


def test_what_a_machine_makes_is_told_in_mm_with_inches_behind_for_who_thinks_in_them() -> None:
    assert format_in_mm(12.0, 30.0, units="mm") == "12 x 30 mm"
    assert format_in_mm(12.0, 30.0, units="in") == "12 x 30 mm (0.472 x 1.181 in)"
    assert format_in_mm(25.4, units="in") == "25.4 mm (1.000 in)"


@pytest.mark.parametrize(
    ("mm", "metric", "inch"),
    [
        (0.08, "0.08 mm", "0.0031 in"),
        (0.001, "0.001 mm", "0.000039 in"),
        (2e-9, "0.000000002 mm", None),
        (0.0, "0 mm", "0 in"),
    ],
)
def test_a_gap_is_never_told_as_nothing(mm: float, metric: str, inch: str | None) -> None:
    assert format_gap(mm, "mm") == metric
    assert inch is None or format_gap(mm, "in") == inch


def test_areas_and_volumes_are_told_in_the_makers_units() -> None:
    assert (format_area(645.16, "mm"), format_area(645.16, "in")) == ("645 mm2 (1.00 sq in)", "1.00 sq in (645 mm2)")
    assert (format_volume(16387.064, "mm"), format_volume(16387.064, "in")) == ("16387.1 mm3", "1 cu in")


def test_moments_are_told_in_two_figures_in_the_makers_units() -> None:
    """A pound-force inch is 4.4482216 x 0.0254 = 0.112985 N m; 2.4 N m are 21 lbf in."""
    assert format_moment(24.3, "mm") == "24 N m"
    assert format_moment(5.44, "mm") == "5.4 N m"
    assert format_moment(2.4, "in") == "21 lbf in"


def test_a_range_names_a_unit_once_where_both_ends_have_it() -> None:
    assert format_range("2.8 kN", "5.2 kN") == "2.8 to 5.2 kN"
    assert format_range("750 N", "1.4 kN") == "750 N to 1.4 kN"
    assert format_range("5.4 N m", "9.9 N m") == "5.4 to 9.9 N m"
    assert format_range("12 kN", "12 kN") == "12 kN"
    assert format_range("1 1/2 in", "2 1/2 in") == "1 1/2 to 2 1/2 in"
    assert format_range("3/64 in", "1 1/4 in") == "3/64 to 1 1/4 in"


@pytest.mark.parametrize(
    ("text", "unit"), [("3/4 in", "in"), ('1-1/8"', "in"), ("19mm", "mm"), ("19", None), (".5", None), ("five", None)]
)
def test_the_unit_that_a_length_carries(text: str, unit: str | None) -> None:
    assert unit_written(text) == unit
