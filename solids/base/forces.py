"""Tells forces and moments: in N, kN and N m, or in lbf and lbf in."""

from __future__ import annotations

from solids.base.lengths import format_range
from solids.base.messages import Units

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


def _two_figures(value: float) -> str:
    rounded = float(f"{value:.2g}")
    return f"{rounded:.0f}" if rounded >= 10 else f"{rounded:g}"
