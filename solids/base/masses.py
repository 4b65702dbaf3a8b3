"""Masses, as scales show them."""

from __future__ import annotations

import math

from solids.base.messages import Units

LB = 0.45359237
"""Kilograms in a pound. Exact: international yard and pound agreement, 1959."""

OUNCES_IN_LB = 16


def told_mass(kg: float, units: Units) -> str:
    """A mass to two figures, as a scale in a kitchen or a workshop shows it."""
    metric = f"{_figures(kg)} kg" if kg >= 1.0 else f"{_figures(kg * 1000)} g"
    imperial = f"{_figures(kg / LB)} lb" if kg >= LB else f"{_figures(kg / LB * OUNCES_IN_LB)} oz"
    return f"{imperial} ({metric})" if units == "in" else f"{metric} ({imperial})"


def told_grams(grams: float, units: Units) -> str:
    """A small mass in whole grams, as a kitchen scale weighs it: "12 g", "0.4 oz (12 g)", "under 1 g"."""
    if 0.0 < grams < 1.0:
        return "under 1 g"
    whole = round(grams)
    return f"{whole / 1000 / LB * OUNCES_IN_LB:.1f} oz ({whole} g)" if units == "in" and whole else f"{whole} g"


def _figures(value: float) -> str:
    """Two figures, and no power of ten."""
    digits = max(0, 1 - math.floor(math.log10(value))) if value else 0
    return f"{round(value, 1 - math.floor(math.log10(value))) if value else 0:.{digits}f}"
