"""What a key would accept: the remedy in words, and the values in it, which are tried before they are told."""

from __future__ import annotations

from solids.base import tolerances as tol
from solids.base.amounts import accepted_range, at_least, at_most, limits
from solids.base.messages import Words, message

Accepted = tuple[Words, tuple[Words, ...]]


def up_to(most_mm: float) -> Accepted:
    """From 0, which switches a feature off, to a limit; 0 alone where the limit is too fine to set."""
    if most_mm < tol.LEAST_STEP:
        return "accepted is 0", ("0",)
    most = at_most(most_mm)
    return message("accepted is 0 to {}", most), (most,)


def no_more_than(most_mm: float) -> Accepted:
    """Up to a limit, for what cannot be 0."""
    most = at_most(most_mm)
    return message("accepted is up to {}", most), (most,)


def no_less_than(least_mm: float) -> Accepted:
    """A limit or more."""
    least = at_least(least_mm)
    return message("accepted is {} or more", least), (least,)


def between(least_mm: float, most_mm: float) -> Accepted:
    """From one limit to another, or the one value that a rule has there."""
    return message("accepted is {}", accepted_range(least_mm, most_mm)), limits(least_mm, most_mm)
