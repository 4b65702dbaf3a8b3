"""Values as a maker would type them into a recipe. Lengths come in mm."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units

Changes = dict[str, str | None]
"""Values by key, as a maker types them; None gives a choice back to its rule."""

STEPS: dict[Units, float] = {"mm": 0.5, "in": 25.4 / 64}
FINE_STEPS: dict[Units, float] = {"mm": 0.1, "in": 25.4 / 128}
"""How far an arrow moves a handle, and how far with Shift: what a rule shows, and what an eye reads between. What is
moved comes to a whole number of fine steps."""

FINEST: dict[Units, int] = {"mm": 2, "in": 3}
"""Decimals of what follows from a move: finer than any hand works."""


def snapped(mm: float, units: Units) -> float:
    """The length to the nearest fine step."""
    return math.floor(round(mm / FINE_STEPS[units], 6) + 0.5) * FINE_STEPS[units]


def in_words(mm: float, units: Units) -> str | int | float:
    """A length as a list in a recipe holds it: a plain number of its units, whole where it is; in inches "1 21/64 in"
    where a fine step falls there."""
    if units == "in" and abs(mm - snapped(mm, units)) < 1e-6:
        return _fraction(round(mm / FINE_STEPS["in"]))
    value = round(mm / float(MM_PER_INCH) if units == "in" else mm, FINEST[units])
    return int(value) if value == int(value) else value


def typed(mm: float, units: Units) -> str:
    """The same as text: "33.5", "1 21/64 in"."""
    return str(in_words(mm, units))


def thickness_text(mm: float, uneven: float, units: Units) -> str:
    """How thick a board is; one that is uneven has its thick and its thin place."""
    thick = max(snapped(mm, units), FINE_STEPS[units])
    if not uneven:
        return typed(thick, units)
    return listed([in_words(each, units) for each in (thick, max(thick - uneven, FINE_STEPS[units]))])


def slope_text(ratio: float) -> str:
    """ "1:7.2"."""
    return f"1:{ratio:.6g}"


def listed(values: Sequence[Any]) -> str:
    """A list as text, which JSON and TOML read alike."""
    return json.dumps(list(values), ensure_ascii=False)


def _fraction(steps: int) -> str:
    whole, part = divmod(Fraction(abs(steps), 128), 1)
    mixed = " ".join(str(amount) for amount in (whole, part) if amount) or "0"
    return f"{'-' if steps < 0 else ''}{mixed} in"
