"""Reads and prints lengths: millimetres, inches, fractions of an inch.

A length becomes millimetres once, here, and leaves as text here. An inch is exactly 25.4 mm
(international yard and pound agreement, 1959; ISO 31-1).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal, get_args

from solids.base.errors import LengthError

Units = Literal["mm", "in"]

MM_PER_INCH = Fraction(254, 10)
SIXTY_FOURTHS = 64
LONGEST_TEXT = 200
"""Letters of the longest text that is read as a length: more than any amount, unit and rest that a maker writes."""

REST_SHOWN_INCH = 0.0005
LEAST_FRACTION = 1 / 32
"""Below this an odd length is told in thousandths, as feeler gauges are marked, and not as 1/64 in and a rest."""

_UNIT_WORDS: dict[str, Units] = {
    "mm": "mm",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "in": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
}

# One amount: "1 1/8", "1-1/8", "3/4", "19", "19.05", ".5", "1e-3". No sign inside a mixed number.
_MIXED = r"(?P<{0}whole>\d{{1,18}})(?:\s+|-)(?P<{0}num>\d{{1,18}})/(?P<{0}den>\d{{1,18}})"
_FRACTION = r"(?P<{0}fnum>\d{{1,18}})/(?P<{0}fden>\d{{1,18}})"
_DECIMAL = r"(?P<{0}dec>(?:\d{{1,40}}(?:\.\d{{0,40}})?|\.\d{{1,40}})(?:[eE][+-]?\d{{1,3}})?)"
_AMOUNT = rf"(?:{_MIXED}|{_FRACTION}|{_DECIMAL})"
_UNIT = r'(?P<{0}unit>[A-Za-z]{{1,12}}|")'

# A rest follows a unit only: "2 -1/2 in" could be read two ways.
_LENGTH = re.compile(
    r"\s*(?P<sign>[+-]?)\s*" + _AMOUNT.format("a") + r"\s*(?:" + _UNIT.format("a") + ""
    r"(?:\s*(?P<restsign>[+-])\s*" + _AMOUNT.format("b") + r"\s*" + _UNIT.format("b") + r")?)?\s*"
)

_TYPOGRAPHIC = str.maketrans("\N{MINUS SIGN}\N{DOUBLE PRIME}\N{RIGHT DOUBLE QUOTATION MARK}", '-""')

ACCEPTED = 'a number, or a text such as "19 mm", "3/4 in" or "1 1/8 in"'


def parse_length(value: object, units: Units = "mm") -> float:
    """A length in mm from a number in `units`, or from a text with or without its own unit.

    Texts: "19", "19.5 mm", "3/4 in", "1 1/8 in", '1-1/8"', and a printed inch with its rest, "3/4 in - 0.002 in".
    Raises LengthError for anything else, for what is not finite, and for a comma used as the decimal point.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise LengthError(f"{_shown(value)} is not a length")
    if isinstance(value, int | float):
        return _to_mm(_fraction_of_number(value), units)
    if len(value) > LONGEST_TEXT:
        raise LengthError(f"{_shown(value)} is not a length")
    match = _LENGTH.fullmatch(value.translate(_TYPOGRAPHIC))
    if match is None:
        if re.fullmatch(r"\s*\d+,\d+.*", value):
            raise LengthError(f"{_shown(value)} has a comma; write the decimals after a point")
        raise LengthError(f"{_shown(value)} is not a length")
    own = _unit(match["aunit"], value) if match["aunit"] else units
    length = _amount(match, "a", value) * _sign(match["sign"])
    total = _to_mm(length, own)
    if match["restsign"]:
        rest = _amount(match, "b", value) * _sign(match["restsign"]) * _sign(match["sign"])
        total += _to_mm(rest, _unit(match["bunit"], value))
    return total


def _shown(value: object) -> str:
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _sign(text: str) -> int:
    return -1 if text == "-" else 1


def _fraction_of_number(value: int | float) -> Fraction:
    if isinstance(value, float) and not math.isfinite(value):
        raise LengthError(f"{value} is not a finite number")
    return Fraction(value)


def _amount(match: re.Match[str], which: str, text: str) -> Fraction:
    try:
        if match[which + "whole"]:
            return int(match[which + "whole"]) + Fraction(int(match[which + "num"]), int(match[which + "den"]))
        if match[which + "fnum"]:
            return Fraction(int(match[which + "fnum"]), int(match[which + "fden"]))
        return Fraction(match[which + "dec"])
    except ZeroDivisionError:
        raise LengthError(f"{_shown(text)} divides by zero") from None


def _unit(word: str, text: str) -> Units:
    unit = _UNIT_WORDS.get(word.lower())
    if unit is None:
        raise LengthError(f"{_shown(text)} has the unit {word!r}; known are {' and '.join(get_args(Units))}")
    return unit


def _to_mm(length: Fraction, units: Units) -> float:
    try:
        return float(length * MM_PER_INCH if units == "in" else length)
    except OverflowError:
        raise LengthError("the number is too large to be a length") from None


def format_mm(mm: float, step: float = 0.1) -> str:
    """Millimetres rounded to `step` (0.1, or what the tool can set), without needless zeros: "18.5 mm"."""
    return f"{bare_mm(mm, step)} mm"


def bare_mm(mm: float, step: float = 0.1) -> str:
    """The same without its unit."""
    # Through the shortest decimal, so that 19.05 is half a step of 0.1 and goes up, as on a rule.
    grid = Decimal(str(step))
    steps = (Decimal(str(mm)) / grid).quantize(Decimal(1), ROUND_HALF_UP)
    text = f"{steps * grid:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def format_sizes(sizes: Sequence[float], units: Units) -> str:
    """The sizes of one thing: "18 x 16 mm", or in inches "3/4 in x 5/8 in"."""
    if units == "in":
        return " x ".join(map(format_inch, sizes))
    return f"{' x '.join(map(bare_mm, sizes))} mm"


def format_inch(mm: float) -> str:
    """Inches to the nearest 1/64 with the rest shown: "3/4 in", "3/4 in - 0.002 in"."""
    return _inches(mm, " in")


def _inches(mm: float, unit: str) -> str:
    nearest, rest = _nearest_inch(mm)
    return f"{nearest}{unit} {rest[0]} {rest[1:]}{unit}" if rest else f"{nearest}{unit}"


def _nearest_inch(mm: float) -> tuple[str, str]:
    """The nearest 1/64 in, and the rest with its sign, empty where it is not shown: ("3/4", "-0.002")."""
    # On a grid first, so that equal widths are told alike though arithmetic left them a hair apart.
    inches = round(mm / float(MM_PER_INCH), 9)
    nearest = Fraction(math.floor(inches * SIXTY_FOURTHS + 0.5), SIXTY_FOURTHS)
    rest = inches - float(nearest)
    if abs(rest) < REST_SHOWN_INCH:
        return _mixed(nearest), ""
    if abs(inches) < LEAST_FRACTION:
        return f"{inches:.3f}", ""
    # The rest is written against the size of the whole, so that "-1/64 in + 0.001 in" cannot be misread.
    outward = rest if nearest > 0 else -rest
    return _mixed(nearest), f"{'+' if outward > 0 else '-'}{abs(rest):.3f}"


def _mixed(value: Fraction) -> str:
    sign = "-" if value < 0 else ""
    whole, part = divmod(abs(value), 1)
    if part == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def bare_length(mm: float, units: Units, step: float = 0.1) -> str:
    """A length for a narrow column whose head names the unit: "18.5", "1 11/64 -.005"."""
    if units == "mm":
        return bare_mm(mm, step)
    nearest, rest = _nearest_inch(mm)
    return f"{nearest} {rest[0]}{rest[2:]}" if rest else nearest


def format_dimension(mm: float, units: Units, step: float = 0.1) -> str:
    """A length on a drawing whose title block names the unit: "18.5", "3/4", "3/4 - 0.002"."""
    return _inches(mm, "") if units == "in" else bare_mm(mm, step)


def format_cell(mm: float, units: Units, step: float = 0.1) -> str:
    """The same with its unit."""
    return f"{bare_length(mm, units, step)} {units}"


TYPED_STEPS: dict[Units, Decimal] = {"mm": Decimal("0.01"), "in": Decimal("0.001")}
"""The finest steps in which a person types a length."""

HUGE = 1e9
"""Nobody types steps of a length like this; it has six figures at once."""

FINER_STEPS = 4
"""How many times finer than that a limit is told, where a range is narrower than such a step."""


def format_decimal(mm: float, units: Units, rounding: str = ROUND_HALF_EVEN) -> str:
    """A length that was given, as it was typed: "0.118 in", "3 mm"; in an inch recipe "1 mm" too. One that nobody would
    type has six figures, rounded by one of decimal's rules."""
    values = [(own, _in_units(mm, own)) for own in (units, "in" if units == "mm" else "mm")]
    for own, value in values if abs(mm) < HUGE else ():
        if own == "in" and value * SIXTY_FOURTHS % 1 == 0 and value * 1000 % 1:
            return format_inch(mm)
        if value == value.quantize(TYPED_STEPS[own] / 10):
            return f"{float(value):.10g} {own}"
    value = values[0][1]
    figures = value.quantize(Decimal(1).scaleb(value.adjusted() - 5), rounding)
    return f"{float(figures):.10g} {units}"


def format_over(mm: float, units: Units) -> str:
    """A length that was given and is too great, never told smaller than it is."""
    return format_decimal(mm, units, ROUND_CEILING)


def format_under(mm: float, units: Units) -> str:
    """A length that was given and is too small, never told larger than it is."""
    return format_decimal(mm, units, ROUND_FLOOR)


def format_least(mm: float, units: Units) -> str:
    """The least length that is accepted, as a person would type it and never too small."""
    return _limit(mm, units, ROUND_CEILING)


def format_most(mm: float, units: Units) -> str:
    """The greatest length that is accepted, as a person would type it and never too large."""
    return _limit(mm, units, ROUND_FLOOR)


def format_limits(least: float, most: float, units: Units) -> tuple[str, str]:
    """Both limits of a range, in steps so fine that the range has one at all."""
    for finer in range(FINER_STEPS):
        told = _limit(least, units, ROUND_CEILING, finer), _limit(most, units, ROUND_FLOOR, finer)
        if parse_length(told[0]) <= parse_length(told[1]):
            return told
    return format_decimal(least, units, ROUND_CEILING), format_decimal(most, units, ROUND_FLOOR)


def format_lower(least: float, most: float, units: Units) -> str:
    """The lower one of two limits."""
    return format_limits(least, most, units)[0]


def format_upper(least: float, most: float, units: Units) -> str:
    """The upper one of two limits."""
    return format_limits(least, most, units)[1]


def _in_units(mm: float, units: Units) -> Decimal:
    """Eleven figures: 9.525 mm is 0.375 in, and not a hair more that would be told as 0.375001 in."""
    return Decimal(f"{mm / float(MM_PER_INCH) if units == 'in' else mm:.11g}")


def _limit(mm: float, units: Units, rounding: str, finer: int = 0) -> str:
    """In steps that a person types; what is smaller than ten of them has two figures."""
    value = _in_units(mm, units)
    two_figures = Decimal(1).scaleb(value.adjusted() - 1) if value else TYPED_STEPS[units]
    step = min(TYPED_STEPS[units], two_figures).scaleb(-finer)
    return f"{float(value.quantize(step, rounding)):.10g} {units}"


def format_length(mm: float, units: Units, step: float = 0.1) -> str:
    """The length in the maker's own units."""
    return format_inch(mm) if units == "in" else format_mm(mm, step)


NEWTONS_PER_POUND_FORCE = 4.4482216152605
"""Exact: 0.45359237 kg times 9.80665 m/s2."""


def format_force(newtons: float, units: Units) -> str:
    """A force in two figures, in the maker's own units: "12 kN", "450 N", "2700 lbf"."""
    if units == "in":
        return f"{_two_figures(newtons / NEWTONS_PER_POUND_FORCE)} lbf"
    rounded = float(_two_figures(newtons))
    return f"{_two_figures(newtons / 1000)} kN" if rounded >= 1000 else f"{_two_figures(newtons)} N"


NEWTON_METRES_PER_POUND_INCH = NEWTONS_PER_POUND_FORCE * 0.0254


def format_moment(newton_metres: float, units: Units) -> str:
    """A moment in two figures, in the maker's own units: "24 N m", "210 lbf in"."""
    if units == "in":
        return f"{_two_figures(newton_metres / NEWTON_METRES_PER_POUND_INCH)} lbf in"
    return f"{_two_figures(newton_metres)} N m"


def format_forces(least: float, most: float, units: Units) -> str:
    """A range of forces, "2.8 to 5.2 kN"."""
    return format_range(format_force(least, units), format_force(most, units))


def format_moments(least: float, most: float, units: Units) -> str:
    """A range of moments, "24 to 36 N m"."""
    return format_range(format_moment(least, units), format_moment(most, units))


def format_range(least: str, most: str) -> str:
    """Two amounts of one unit as a range, "2.8 to 5.2 kN"; one where they are told alike."""
    if least == most:
        return least
    (low, unit), (_, other) = least.split(" ", 1), most.split(" ", 1)
    return f"{low} to {most}" if unit == other else f"{least} to {most}"


def _two_figures(value: float) -> str:
    rounded = float(f"{value:.2g}")
    return f"{rounded:.0f}" if rounded >= 10 else f"{rounded:g}"


_MILLIMETRES = re.compile(r"\[?((?:\d+(?:\.\d+)?(?: x |, ))*\d+(?:\.\d+)?)\]? mm\b(?!\")")


def with_inches(text: str) -> str:
    """A text whose lengths in mm have inches behind them, but for what is to be typed in quotes: "12 x 30 mm" becomes
    "12 x 30 mm (0.472 x 1.181 in)"."""

    def beside(found: re.Match[str]) -> str:
        inches = re.sub(r"\d+(\.\d+)?", lambda number: f"{float(number[0]) / float(MM_PER_INCH):.3f}", found[1])
        return f"{found[0]} ({inches} in)"

    return _MILLIMETRES.sub(beside, text)


def format_both(mm: float, units: Units, step: float = 0.1) -> str:
    """The length in the maker's own units, with the other system behind it in brackets: "19 mm (0.748 in)",
    "3/4 in (19.1 mm)"."""
    if units == "in":
        return f"{format_inch(mm)} ({format_mm(mm, step)})"
    inches = f"{mm / float(MM_PER_INCH):.3f}".rstrip("0").rstrip(".")
    return f"{format_mm(mm, step)} ({inches} in)"


def format_fine(mm: float, units: Units) -> str:
    """The same to a hundredth of a millimetre."""
    return format_both(mm, units, 0.01)


def format_finest(mm: float, units: Units) -> str:
    """The same to a thousandth of a millimetre."""
    return format_both(mm, units, 0.001)
