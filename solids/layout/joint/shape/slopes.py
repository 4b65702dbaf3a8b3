"""Slopes in words."""

from __future__ import annotations

import math

from solids.layout.joint.shape.model import Layout


def slope_words(ratio: float) -> str:
    """ "1:7", "square", or "1:9 outward" for a flank that runs out of its tail toward the baseline."""
    if math.isinf(ratio):
        return "square"
    return f"1:{ratio:.4g}" if ratio > 0 else f"1:{-ratio:.4g} outward"


def all_slopes(layout: Layout) -> str:
    """The slopes of a joint: "1:7", or "1:5 to 1:9" from the steepest to the flattest."""
    told = [slope_words(ratio) for ratio in (layout.ratios[0], layout.ratios[-1])]
    return " to ".join(dict.fromkeys(told))


def angle_words(layout: Layout) -> str:
    """ "8.1 degrees", or "5.7 to 11.3 degrees" from the flattest slope to the steepest; under 0 outward."""
    told = [f"{math.degrees(math.atan(1 / ratio)):.1f}" for ratio in (layout.ratios[-1], layout.ratios[0])]
    return f"{' to '.join(dict.fromkeys(told))} degrees"
