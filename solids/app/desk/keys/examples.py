"""Examples of what a control takes, in the units of the recipe, as a maker would type them."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units
from solids.recipe.tables.air import Air, Home
from solids.recipe.tables.fields import Number, Rule, Whole, YesNo
from solids.recipe.text.frozen import inline_toml

ROUGH, CLOSE = 8, 32
"""Into how many parts an example in inches is told, at most: one that a maker would choose, or one of several places,
which have to differ."""

FINEST = Fraction(1, 64)


def example_in(units: Units, value: Any, rule: Rule | None) -> str:
    """An example of the schema, which has lengths in mm, as it is typed for a key that `rule` reads."""
    if isinstance(value, list) and not any(isinstance(item, list | dict) for item in value):
        return ", ".join(example_in(units, item, rule) for item in value)
    found = _told(units, value, rule, CLOSE if isinstance(value, list) else ROUGH)
    return found if isinstance(found, str) else inline_toml(found)


def _told(units: Units, value: Any, rule: Rule | None, parts: int) -> Any:
    if isinstance(value, dict | list):
        pairs = value.items() if isinstance(value, dict) else enumerate(value)
        told = {name: _told(units, item, rule, parts) for name, item in pairs}
        return told if isinstance(value, dict) else list(told.values())
    if isinstance(rule, Air | Home):
        return Air().read(value, units).words(units)
    is_length = isinstance(value, int | float) and not isinstance(rule, Number | Whole | YesNo)
    return _in_inches(value, parts) if units == "in" and is_length else value


def _in_inches(mm: float, parts: int) -> str | int:
    inches = Fraction(mm) / MM_PER_INCH
    if not inches:
        return 0
    step = max(FINEST, Fraction(2) ** math.ceil(math.log2(inches / parts)))
    whole, part = divmod(round(inches / step) * step, 1)
    mixed = " ".join(str(amount) for amount in (whole, part) if amount)
    return f"{mixed} in" if mixed else f"{float(inches):.1g} in"
