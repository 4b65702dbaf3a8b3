"""Reads a length as a maker types it, in millimetres or inches. It becomes millimetres once, here."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import get_args

from solids.base.errors import InputError, LengthError
from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units

LONGEST_TEXT = 200
"""Letters of the longest text that is read as a length: more than any amount, unit and rest that a maker writes."""

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
        raise LengthError(f"{shown(value)} is not a length")
    if isinstance(value, int | float):
        return _to_mm(_fraction_of_number(value), units)
    if len(value) > LONGEST_TEXT:
        raise LengthError(f"{shown(value)} is not a length")
    match = _LENGTH.fullmatch(value.translate(_TYPOGRAPHIC))
    if match is None:
        if re.fullmatch(r"\s*\d+,\d+.*", value):
            raise LengthError(f"{shown(value)} has a comma; write the decimals after a point")
        raise LengthError(f"{shown(value)} is not a length")
    own = _unit(match["aunit"], value) if match["aunit"] else units
    length = _amount(match, "a", value) * _sign(match["sign"])
    total = _to_mm(length, own)
    if match["restsign"]:
        rest = _amount(match, "b", value) * _sign(match["restsign"]) * _sign(match["sign"])
        total += _to_mm(rest, _unit(match["bunit"], value))
    return total


def unit_written(text: str) -> Units | None:
    """The unit that a length carries, as "in" of "3/4 in"; None where it is a plain number, or no length at all."""
    match = _LENGTH.fullmatch(text.translate(_TYPOGRAPHIC))
    return _unit(match["aunit"], text) if match and match["aunit"] else None


def shown(value: object) -> str:
    """The value as a maker writes it in TOML, shortened where it is long."""
    try:
        text = _as_written(value)
    except (ValueError, RecursionError):  # more digits than Python prints, or nested without end
        return "a value too long to show"
    return text if len(text) <= 60 else text[:57] + "..."


def _as_written(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_as_written, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{key} = {_as_written(inner)}' for key, inner in value.items())}}}"
    if isinstance(value, float):
        return _shortest(value)
    return repr(value)


def _shortest(value: float) -> str:
    """The number as a maker would write it: a large round one without its zeros, as 1e9."""
    digits, _, power = f"{value:g}".partition("e+")
    return f"{digits}e{int(power)}" if power and float(f"{value:g}") == value else repr(value)


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
        raise LengthError(f"{shown(text)} divides by zero") from None


def _unit(word: str, text: str) -> Units:
    unit = _UNIT_WORDS.get(word.lower())
    if unit is None:
        raise LengthError(f"{shown(text)} has the unit {word!r}; known are {' and '.join(get_args(Units))}")
    return unit


def _to_mm(length: Fraction, units: Units) -> float:
    try:
        return float(length * MM_PER_INCH if units == "in" else length)
    except OverflowError:
        raise LengthError("the number is too large to be a length") from None


def parts_of(option: str, text: str, example: str) -> list[str]:
    """The values of an option in "a,b,c". InputError where a place is empty, with an example of what is wanted."""
    parts = [part.strip() for part in text.split(",")]
    if not all(parts):
        raise InputError(f"{option} {text[:60]!r} has an empty place; write it as in {option} {example}")
    return parts
