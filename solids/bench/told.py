"""Lengths as the maker of a joint is told them, in the units of the recipe."""

from __future__ import annotations

from solids.base.lengths import CALIPER, Reading, format_length
from solids.layout import Layout


def say(layout: Layout, mm: float, reading: Reading | None = None) -> str:
    """A place to mark, by the maker's own rule; or a length by another reading."""
    return format_length(mm, layout.recipe.units, reading or layout.recipe.rule)


def fine(layout: Layout, mm: float) -> str:
    """A size or a small amount, as a caliper reads it."""
    return say(layout, mm, CALIPER)
