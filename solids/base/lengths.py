"""Tells lengths, areas and volumes: in millimetres, or in inches and fractions of an inch.

An inch is exactly 25.4 mm (international yard and pound agreement, 1959; ISO 31-1). `parsing.py` reads lengths.

Every output tells a quantity by the same `Reading`, so that it reads alike on the terminal, on paper and in a note:

- RULE: what is marked, sawn or set: places and widths of tails and pins, gauges, lengths to saw to, depths to chop;
- CALIPER: sizes of what is there or was asked for, and small amounts: boards, chisels, grooves, what is planed off;
- FINEST: fits and errors of a hand;
- MOST and LEAST: a limit, rounded to the side that works: the widest chisel, what may be planed off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

from solids.base.messages import Units

MM_PER_INCH = Fraction(254, 10)
SIXTY_FOURTHS = 64


@dataclass(frozen=True)
class Reading:
    """How finely a length is told: as a step in mm, and in inches as parts of one, with thousandths where those say
    more. A limit that is no such part is a decimal. `rounding` is one of decimal's rules."""

    step: str
    rounding: str = ROUND_HALF_UP
    parts: int = SIXTY_FOURTHS


RULE = Reading("0.05")
"""A steel rule shows half millimetres, and an eye reads a tenth of that. Common practice."""

CALIPER, FINEST = Reading("0.01"), Reading("0.001")
MOST, LEAST = Reading("0.01", ROUND_FLOOR), Reading("0.01", ROUND_CEILING)

THOUSANDTH = Decimal("0.001")
LEAST_FRACTION = 1 / 32
"""Below this an odd length is told in thousandths, as feeler gauges are marked, and not as 1/64 in and a rest."""


def format_mm(mm: float, reading: Reading = RULE) -> str:
    """Millimetres without needless zeros: "18.5 mm"."""
    return f"{bare_mm(mm, reading)} mm"


def bare_mm(mm: float, reading: Reading = RULE) -> str:
    """The same without its unit."""
    grid = Decimal(reading.step)
    text = f"{(_plain(mm) / grid).quantize(Decimal(1), reading.rounding) * grid:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _plain(value: float) -> Decimal:
    """Without the hair that arithmetic leaves: equal widths are told alike, and 19.05 is half a step of 0.1."""
    return Decimal(str(round(value, 9)))


def format_sizes(sizes: Sequence[float], units: Units, reading: Reading = RULE) -> str:
    """The sizes of one thing: "18 x 16 mm", or in inches "3/4 in x 5/8 in"."""
    if units == "in":
        return " x ".join(format_inch(mm, reading) for mm in sizes)
    return f"{' x '.join(bare_mm(mm, reading) for mm in sizes)} mm"


def format_inch(mm: float, reading: Reading = RULE) -> str:
    """Inches to the nearest 1/64, or to what the rule has, with thousandths behind where that is not the length itself:
    "3/4 in", "61/64 in (0.946 in)"."""
    nearest, more = _nearest_inch(mm, reading)
    return f"{nearest} in ({more} in)" if more else f"{nearest} in"


def _nearest_inch(mm: float, reading: Reading) -> tuple[str, str]:
    """The nearest 1/64 in, and thousandths where they say more: ("61/64", "0.946"), ("3/4", ""). A limit, and what is
    small, is thousandths alone."""
    inches = round(mm / float(MM_PER_INCH), 9)
    nearest = _part_of_inch(inches, reading.parts)
    if not _plain(inches - float(nearest)).quantize(THOUSANDTH, reading.rounding):
        return _mixed(nearest), ""
    if reading.rounding != ROUND_HALF_UP:
        return f"{float(_plain(inches).quantize(THOUSANDTH, reading.rounding)):g}", ""
    thousandths = thousandths_of_inch(mm)
    return (thousandths, "") if abs(inches) < LEAST_FRACTION else (_mixed(nearest), thousandths)


def thousandths_of_inch(mm: float, reading: Reading = RULE) -> str:
    """Decimal inches: "0.946", "0.750"."""
    return f"{_plain(round(mm / float(MM_PER_INCH), 9)).quantize(THOUSANDTH, reading.rounding)}"


def fraction_of_inch(mm: float, reading: Reading = RULE) -> str:
    """The line of a rule that is nearest, by default a 64th: "61/64", "3/4"; a limit's is the next on its side."""
    return _mixed(_part_of_inch(round(mm / float(MM_PER_INCH), 9), reading.parts, reading.rounding))


def _part_of_inch(inches: float, parts: int, rounding: str = ROUND_HALF_UP) -> Fraction:
    if rounding == ROUND_HALF_UP:
        return Fraction(math.floor(inches * parts + 0.5), parts)
    return Fraction(int(_plain(inches * parts).to_integral_value(rounding)), parts)


def _mixed(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if part == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def bare_length(mm: float, units: Units, reading: Reading = RULE) -> str:
    """A length for a narrow column whose head names the unit: "18.5", "3/4", "0.946"."""
    if units == "mm":
        return bare_mm(mm, reading)
    nearest, more = _nearest_inch(mm, reading)
    return more or nearest


def format_dimension(mm: float, units: Units, reading: Reading = RULE) -> str:
    """A length on a drawing whose title block names the unit: "18.5", and in inches thousandths with the nearest 1/64
    in the brackets of a second dimension: "0.946 [61/64]", "0.750 [3/4]"."""
    if units == "mm":
        return bare_mm(mm, reading)
    return "{} [{}]".format(*length_cells(mm, units, reading))


def format_cell(mm: float, units: Units, reading: Reading = RULE) -> str:
    """A length in one cell, with its unit: "18.5 mm", "3/4 in", "0.946 in"."""
    return f"{bare_length(mm, units, reading)} {units}"


def length_cells(mm: float, units: Units, reading: Reading = RULE) -> tuple[str, ...]:
    """A length in a table: one cell with its unit, or in inches two, thousandths and the nearest 1/64."""
    if units == "mm":
        return (format_mm(mm, reading),)
    return thousandths_of_inch(mm, reading), fraction_of_inch(mm, reading)


def length_heads(head: str, units: Units, reading: Reading = RULE) -> tuple[str, ...]:
    """The heads of the columns that `length_cells` fills."""
    return (head,) if units == "mm" else (head, f"1/{reading.parts} in")


def rule_of(scale: float, units: Units) -> Reading:
    """How a maker reads a rule with lines so far apart (mm); RULE where it is 0 or not of these units."""
    parts = round(float(MM_PER_INCH) / scale) if scale else 0
    in_inches = parts > 0 and math.isclose(parts * scale, float(MM_PER_INCH), rel_tol=1e-9)
    if units == "in":
        return Reading(RULE.step, parts=parts) if in_inches else RULE
    return Reading(f"{_plain(scale)}") if scale and not in_inches else RULE


def off_the_rule(mm: float, units: Units, reading: Reading) -> float:
    """How far a length (mm) is from the line of the rule that it is told by."""
    if units == "in":
        return abs(float(_part_of_inch(mm / float(MM_PER_INCH), reading.parts) * MM_PER_INCH) - mm)
    return abs(float(bare_mm(mm, reading)) - mm)


TYPED_STEPS: dict[Units, Decimal] = {"mm": Decimal("0.01"), "in": Decimal("0.001")}
"""The finest steps in which a person types a length."""

HUGE = 1e9
"""Nobody types a length like this in fine steps, so it is told in six figures at once."""

FINER_STEPS = 4
"""How many times finer than that a limit is told, where a range is narrower than such a step."""


def format_decimal(mm: float, units: Units, rounding: str = ROUND_HALF_EVEN) -> str:
    """A length that was given, as it was typed: "0.118 in", "3 mm"; in an inch recipe "1 mm" too. One that nobody would
    type comes from arithmetic: in inches it is told as a rule reads, "1 45/64 in (1.695 in)", in mm in six figures.
    `rounding` is one of decimal's rules."""
    values = [(own, _in_units(mm, own)) for own in (units, "in" if units == "mm" else "mm")]
    for own, value in values if abs(mm) < HUGE else ():
        if own == "in" and value * SIXTY_FOURTHS % 1 == 0 and value * 1000 % 1:
            return format_inch(mm)
        if value == value.quantize(TYPED_STEPS[own] / 10):
            return _told(value, own)
    is_read = units == "in" and abs(mm) < HUGE
    return _read_in_inches(mm, rounding) if is_read else _six_figures(mm, units, rounding)


def _six_figures(mm: float, units: Units, rounding: str) -> str:
    """So fine that it hides nothing, rounded by one of decimal's rules."""
    value = _in_units(mm, units)
    return _told(value.quantize(Decimal(1).scaleb(value.adjusted() - 5), rounding), units)


def _read_in_inches(mm: float, rounding: str) -> str:
    """An odd length as a rule reads it; one that is rounded to a side in thousandths alone, and one that is too small
    for a rule in two figures at least, so that it is never told as nothing."""
    if abs(mm) < LEAST_FRACTION * float(MM_PER_INCH):
        return _told(_rounded(mm, "in", rounding), "in")
    return format_inch(mm, CALIPER if rounding == ROUND_HALF_EVEN else Reading(CALIPER.step, rounding))


def format_least(mm: float, units: Units) -> str:
    """The least length that is accepted, as a person would type it and never too small: in inches a 64th."""
    return _limit(mm, units, ROUND_CEILING)


def format_most(mm: float, units: Units) -> str:
    """The greatest length that is accepted, as a person would type it and never too large: in inches a 64th."""
    return _limit(mm, units, ROUND_FLOOR)


def format_limits(least: float, most: float, units: Units) -> tuple[str, str]:
    """Both limits of a range, in steps so fine that the range has one at all: in inches 64ths where one lies in it."""
    if units == "in" and _typed_inches(least, ROUND_CEILING) <= _typed_inches(most, ROUND_FLOOR):
        return format_least(least, units), format_most(most, units)
    for finer in range(FINER_STEPS):
        low = _rounded(least, units, ROUND_CEILING, finer=finer)
        high = _rounded(most, units, ROUND_FLOOR, finer=finer)
        if low <= high:
            return _told(low, units), _told(high, units)
    return _six_figures(least, units, ROUND_CEILING), _six_figures(most, units, ROUND_FLOOR)


def format_accepted(least: float, most: float, units: Units) -> str:
    """The same as words: "from 3 mm to 5 mm"; "only 19/64 in" where both limits are told alike."""
    low, high = format_limits(least, most, units)
    return f"only {low}" if low == high else f"from {low} to {high}"


def _limit(mm: float, units: Units, rounding: str) -> str:
    inches = _typed_inches(mm, rounding) if units == "in" else Fraction(0)
    if not inches or abs(mm) >= HUGE:
        return _told(_rounded(mm, units, rounding), units)
    return f"{_mixed(inches)} in" if SIXTY_FOURTHS % inches.denominator == 0 else f"{float(inches):g} in"


def _typed_inches(mm: float, rounding: str) -> Fraction:
    """Inches to the 64th on one side; to the thousandth where a 64th is too coarse for a length so small."""
    inches = _in_units(mm, "in")
    steps = SIXTY_FOURTHS if abs(inches) >= LEAST_FRACTION else 1000
    return Fraction(int((inches * steps).to_integral_value(rounding)), steps)


def _in_units(mm: float, units: Units) -> Decimal:
    """Eleven figures: 9.525 mm is 0.375 in, and not a hair more that would be told as 0.375001 in."""
    return Decimal(f"{mm / float(MM_PER_INCH) if units == 'in' else mm:.11g}")


def _rounded(
    mm: float, units: Units, rounding: str, steps: dict[Units, Decimal] = TYPED_STEPS, finer: int = 0
) -> Decimal:
    """In steps, by default those that a person types; what is smaller than ten of them has two figures."""
    value = _in_units(mm, units)
    two_figures = Decimal(1).scaleb(value.adjusted() - 1) if value else steps[units]
    return value.quantize(min(steps[units], two_figures).scaleb(-finer), rounding)


def _told(value: Decimal, units: Units) -> str:
    return f"{float(value):.10g} {units}"


def format_length(mm: float, units: Units, reading: Reading = RULE) -> str:
    """The length in the maker's own units."""
    return format_inch(mm, reading) if units == "in" else format_mm(mm, reading)


GAP_STEPS: dict[Units, Decimal] = {"mm": Decimal("0.001"), "in": Decimal("0.0001")}
"""The steps in which a gap is told."""


def format_gap(mm: float, units: Units) -> str:
    """A small gap in the maker's own units; one that is smaller than ten steps has two figures."""
    return f"{_rounded(mm, units, ROUND_HALF_UP, GAP_STEPS).normalize():f} {units}"


def format_in_mm(*sizes: float, units: Units, reading: Reading = CALIPER) -> str:
    """The sizes of something that a machine makes. Machines are set in mm, so a maker who thinks in inches is told
    both: "12 x 30 mm (0.472 x 1.181 in)"."""
    told = format_sizes(sizes, "mm", reading)
    if units == "mm":
        return told
    return f"{told} ({' x '.join(f'{mm / float(MM_PER_INCH):.3f}' for mm in sizes)} in)"


def format_area(mm2: float, units: Units) -> str:
    """An area in both systems, the maker's own first: "1240 mm2 (1.92 sq in)", "1.92 sq in (1240 mm2)"."""
    other: Units = "in" if units == "mm" else "mm"
    return f"{own_area(mm2, units)} ({own_area(mm2, other)})"


def own_area(mm2: float, units: Units) -> str:
    """The same in the maker's own units alone."""
    return f"{mm2:.0f} mm2" if units == "mm" else f"{mm2 / float(MM_PER_INCH) ** 2:.2f} sq in"


def format_volume(mm3: float, units: Units) -> str:
    """A volume in six figures, in the maker's own units: "12.4 mm3", "0.000757 cu in"."""
    return f"{mm3 / float(MM_PER_INCH) ** 3:.6g} cu in" if units == "in" else f"{mm3:.6g} mm3"


def format_range(least: str, most: str) -> str:
    """Two amounts as a range, "2.8 to 5.2 kN", "1 1/2 to 2 1/2 in"; one where they are told alike."""
    if least == most:
        return least
    low, unit = _apart(least)
    return f"{low} to {most}" if unit == _apart(most)[1] else f"{least} to {most}"


def _apart(amount: str) -> tuple[str, str]:
    """A number, which may be a mixed one, and its unit, which may be of two words: "1 1/2" and "in", "24" and "N m"."""
    start = next(place for place, letter in enumerate(amount) if letter.isalpha())
    return amount[:start].rstrip(), amount[start:]


def format_both(mm: float, units: Units, reading: Reading = RULE) -> str:
    """The length in the maker's own units, with the other system behind it in brackets: "19 mm (0.748 in)",
    "3/4 in (19.05 mm)"."""
    if units == "in":
        nearest, more = _nearest_inch(mm, reading)
        return f"{nearest} in ({more + ' in, ' if more else ''}{format_mm(mm, reading)})"
    inches = f"{_plain(mm / float(MM_PER_INCH)).quantize(THOUSANDTH, reading.rounding)}".rstrip("0").rstrip(".")
    return f"{format_mm(mm, reading)} ({inches} in)"


def format_fine(mm: float, units: Units) -> str:
    """The same as a caliper reads it."""
    return format_both(mm, units, CALIPER)


def format_spread(least: float, most: float, units: Units) -> str:
    """A range of lengths, "0.65 to 1.34 mm", each end rounded outward."""
    return format_range(format_length(least, units, MOST), format_length(most, units, LEAST))
