"""Amounts for messages. Each is told, once the message is, by a function of `lengths.py`."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_FLOOR
from functools import partial
from typing import Any

from solids.base import lengths
from solids.base.messages import Amount, Units


def _told_by(how: Callable[..., str], **more: Any) -> Callable[..., Amount]:
    """A maker of amounts, all told in the same way."""
    told = partial(how, **more) if more else how
    return lambda *figures: Amount(told, figures)


def _sizes(*mm: float, units: Units) -> str:
    return lengths.format_sizes(mm, units)


def _limit_in_mm(mm: float, units: Units, limit: Callable[[float, Units], str]) -> str:
    """In mm for everyone; who thinks in inches is told both, each rounded to the side that works."""
    told = limit(mm, "mm")
    return told if units == "mm" else f"{told} ({limit(mm, units)})"


def _one_of_two(least: float, most: float, units: Units, which: int) -> str:
    return lengths.format_limits(least, most, units)[which]


typed = _told_by(lengths.format_decimal)
"""A length that was given, as it was typed."""

too_much = _told_by(lengths.format_decimal, rounding=ROUND_CEILING)
"""A length that was given and is too great, never told smaller than it is."""

too_little = _told_by(lengths.format_decimal, rounding=ROUND_FLOOR)
"""A length that was given and is too small, never told larger than it is."""

at_least = _told_by(lengths.format_least)
"""The least length that is accepted."""

at_most = _told_by(lengths.format_most)
"""The greatest length that is accepted."""

_lower, _upper = (_told_by(_one_of_two, which=which) for which in (0, 1))


def limits(least: float, most: float) -> tuple[Amount, Amount]:
    """Both limits of a range."""
    return _lower(least, most), _upper(least, most)


accepted_range = _told_by(lengths.format_accepted)
"""Both limits in words: "from 3 mm to 5 mm", or "only 3 mm"."""

marked = _told_by(lengths.format_both)
"""A place or a width that is marked, or a setting, in both systems, as a rule shows it."""

fine = _told_by(lengths.format_fine)
"""A size in both systems, to a hundredth of a millimetre."""

most = _told_by(lengths.format_both, reading=lengths.MOST)
"""The most that may be, in both systems, never told greater than it is."""

spread = _told_by(lengths.format_spread)
"""A range of lengths, which no length in it is outside of."""

finest = _told_by(lengths.format_both, reading=lengths.FINEST)
"""A size in both systems, to a thousandth of a millimetre."""

gap = _told_by(lengths.format_gap)
"""A small gap, or how far something is off its place."""

sizes = _told_by(_sizes)
"""The sizes of one thing in the reader's units, as a rule shows them."""

in_mm = _told_by(lengths.format_in_mm)
"""The size, or sizes, of something that a machine makes: in mm for everyone, to a hundredth."""

least_in_mm = _told_by(_limit_in_mm, limit=lengths.format_least)
"""The least such size that works, never told too small."""

most_in_mm = _told_by(_limit_in_mm, limit=lengths.format_most)
"""The greatest such size that works, never told too large."""

clearance = _told_by(lengths.format_in_mm, reading=lengths.FINEST)
"""The clearance of a printed fit: in mm for everyone, to a thousandth."""

area = _told_by(lengths.format_area)
"""An area (mm2)."""

volume = _told_by(lengths.format_volume)
"""A volume (mm3)."""
