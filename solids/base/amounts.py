"""Amounts for messages. Each is told, once the message is, by a function of `lengths.py`."""

from __future__ import annotations

from solids.base.lengths import (
    format_decimal,
    format_fine,
    format_finest,
    format_least,
    format_lower,
    format_most,
    format_over,
    format_under,
    format_upper,
)
from solids.base.messages import Amount


def typed(mm: float) -> Amount:
    """A length that was given, as it was typed."""
    return Amount(format_decimal, mm)


def too_much(mm: float) -> Amount:
    """A length that was given and is too great."""
    return Amount(format_over, mm)


def too_little(mm: float) -> Amount:
    """A length that was given and is too small."""
    return Amount(format_under, mm)


def at_least(mm: float) -> Amount:
    """The least length that is accepted."""
    return Amount(format_least, mm)


def at_most(mm: float) -> Amount:
    """The greatest length that is accepted."""
    return Amount(format_most, mm)


def limits(least: float, most: float) -> tuple[Amount, Amount]:
    """Both limits of a range."""
    return Amount(format_lower, least, most), Amount(format_upper, least, most)


def fine(mm: float) -> Amount:
    """A size in both systems, to a hundredth of a millimetre."""
    return Amount(format_fine, mm)


def finest(mm: float) -> Amount:
    """A size in both systems, to a thousandth of a millimetre."""
    return Amount(format_finest, mm)
