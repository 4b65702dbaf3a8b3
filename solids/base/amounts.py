"""Amounts for messages. Each is told, once the message is, by a function of `lengths.py`."""

from __future__ import annotations

from solids.base import lengths
from solids.base.messages import Amount, Units


def typed(mm: float) -> Amount:
    """A length that was given, as it was typed."""
    return Amount(lengths.format_decimal, (mm,))


def too_much(mm: float) -> Amount:
    """A length that was given and is too great."""
    return Amount(lengths.format_over, (mm,))


def too_little(mm: float) -> Amount:
    """A length that was given and is too small."""
    return Amount(lengths.format_under, (mm,))


def at_least(mm: float) -> Amount:
    """The least length that is accepted."""
    return Amount(lengths.format_least, (mm,))


def at_most(mm: float) -> Amount:
    """The greatest length that is accepted."""
    return Amount(lengths.format_most, (mm,))


def limits(least: float, most: float) -> tuple[Amount, Amount]:
    """Both limits of a range."""
    return Amount(lengths.format_lower, (least, most)), Amount(lengths.format_upper, (least, most))


def fine(mm: float) -> Amount:
    """A size in both systems, to a hundredth of a millimetre."""
    return Amount(lengths.format_fine, (mm,))


def finest(mm: float) -> Amount:
    """A size in both systems, to a thousandth of a millimetre."""
    return Amount(lengths.format_finest, (mm,))


def gap(mm: float) -> Amount:
    """A small gap, or how far something is off its place."""
    return Amount(lengths.format_gap, (mm,))


def sizes(*mm: float) -> Amount:
    """The sizes of one thing in the reader's units, to a tenth of a millimetre."""
    return Amount(_sizes, mm)


def _sizes(*mm: float, units: Units) -> str:
    return lengths.format_sizes(mm, units)


def in_mm(*sizes: float) -> Amount:
    """The size, or sizes, of something that a machine makes: in mm for everyone, to a hundredth."""
    return Amount(lengths.format_in_mm, sizes)


def least_in_mm(mm: float) -> Amount:
    """The least such size that works, never told too small."""
    return Amount(lengths.format_least_in_mm, (mm,))


def most_in_mm(mm: float) -> Amount:
    """The greatest such size that works, never told too large."""
    return Amount(lengths.format_most_in_mm, (mm,))


def clearance(mm: float) -> Amount:
    """The clearance of a printed fit: in mm for everyone, to a thousandth."""
    return Amount(_thousandths, (mm,))


def _thousandths(mm: float, units: Units) -> str:
    return lengths.format_in_mm(mm, units=units, step=0.001)


def area(mm2: float) -> Amount:
    """An area."""
    return Amount(lengths.format_area, (mm2,))


def volume(mm3: float) -> Amount:
    """A volume."""
    return Amount(lengths.format_volume, (mm3,))
