"""Masses, as scales show them."""

from __future__ import annotations

from decimal import Decimal

from solids.base.messages import Units

LB = 0.45359237
"""Kilograms in a pound. Exact: international yard and pound agreement, 1959."""

OUNCES_IN_LB = 16
GRAMS_IN_KG = 1000


def told_mass(kg: float, units: Units) -> str:
    """A mass to two figures, as a scale in a kitchen or a workshop shows it."""
    metric = _told(kg * GRAMS_IN_KG, "g", GRAMS_IN_KG, "kg")
    imperial = _told(kg / LB * OUNCES_IN_LB, "oz", OUNCES_IN_LB, "lb")
    return f"{imperial} ({metric})" if units == "in" else f"{metric} ({imperial})"


def told_grams(grams: float, units: Units) -> str:
    """A small mass in whole grams, as a kitchen scale weighs it: "12 g", "0.4 oz (12 g)", "under 1 g"."""
    if 0.0 < grams < 1.0:
        return "under 1 g"
    whole = round(grams)
    return f"{whole / 1000 / LB * OUNCES_IN_LB:.1f} oz ({whole} g)" if units == "in" and whole else f"{whole} g"


def _told(amount: float, unit: str, in_larger: int, larger: str) -> str:
    """An amount to two figures, in the larger unit from one of that on: 999.6 g is 1.0 kg."""
    is_large = _two_figures(amount) >= in_larger
    return f"{_two_figures(amount / in_larger):f} {larger}" if is_large else f"{_two_figures(amount):f} {unit}"


def _two_figures(value: float) -> Decimal:
    return Decimal(f"{value:#.2g}")
