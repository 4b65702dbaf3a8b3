"""The nearest layouts that hold, for one that does not. Each is laid out and judged before it is suggested."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.messages import Key, Message, Units, Words, message, series
from solids.layout.joint.shape.placing import tails_in_words
from solids.recipe.completing.choosing import round_up
from solids.recipe.completing.corner.by_eye import BY_EYE, drawn
from solids.recipe.tables.resolved import Recipe

Judge = Callable[[Recipe], bool]
PinKey = Literal["joint.pin", "joint.half_pin"]

WIDEST_STEP = 64
"""By how many steps a pin is widened, at most, in the search for one that holds."""


def ways_out(recipe: Recipe, holds: Judge) -> list[Message]:
    """The changes that help, one key at a time: another slope, other pins, fewer tails, a wider board. If no single key
    helps, fewer tails with a usual slope. Empty if nothing helps."""
    if not recipe.listed.is_empty:
        return []  # what is given one by one is not changed as a whole
    found = [told for way in (_slope, _pin, _half_pin, _fewer, _wider) if (told := way(recipe, holds))]
    return found or [told for told in [_fewer_and_flatter(recipe, holds)] if told]


def take(ways: Iterable[Words]) -> Message:
    """ "take this, that, or the other"."""
    return message("take {}", series(ways))


def with_tails(recipe: Recipe, count: int) -> Recipe | None:
    """The same joint with `count` tails in its own spacing; None if a list fixes them."""
    shares = recipe.tail_shares
    if recipe.spacing == "listed" or not recipe.listed.is_empty:
        return None
    if recipe.spacing == BY_EYE:
        return drawn(recipe, count)
    grading = shares[1] / shares[0] - 1 if len(shares) > 2 else 0.0
    if recipe.spacing == "graduated" and len(shares) <= 2:
        return None  # one or two tails do not show how they would grow
    return replace(recipe, tail_shares=tuple(1.0 + grading * min(i, count - 1 - i) for i in range(count)))


def usual_slopes(recipe: Recipe, holds: Judge) -> list[float]:
    """The usual slopes that hold, steepest first."""
    usual = (tol.USUAL_RATIO_STEEP + step / 2 for step in range(7))
    return [ratio for ratio in usual if holds(replace(recipe, slope_ratio=ratio))]


def _slope(recipe: Recipe, holds: Judge) -> Message | None:
    found = usual_slopes(recipe, holds)
    if not found:
        return None
    nearest = min(found, key=lambda ratio: abs(ratio - recipe.slope_ratio))
    return message("a slope of 1:{:g} ({})", nearest, Key("joint.slope"))


def steps_up(mm: float, units: Units) -> Iterator[float]:
    """The next lengths above `mm` that a rule shows."""
    step = round_up(1e-6, units)
    first = math.floor(mm / step + tol.ROUNDING) + 1
    return (count * step for count in range(first, first + WIDEST_STEP))


def enough_for(recipe: Recipe, key: PinKey, holds: Judge) -> float | None:
    """The least pin or half pin, in steps of a rule, with which the joint holds; None if there is none."""
    given = recipe.pin if key == "joint.pin" else recipe.half_pin
    if recipe.listed.faces or (recipe.listed.pins if key == "joint.pin" else recipe.listed.half_pins):
        return None
    return next((wide for wide in steps_up(given, recipe.units) if holds(with_pins(recipe, key, wide))), None)


def with_pins(recipe: Recipe, key: PinKey, wide: float) -> Recipe:
    """The same joint with other pins or half pins. Listed tails keep their widths, and the half pins take the rest."""
    if key == "joint.half_pin":
        return replace(recipe, half_pin=wide)
    if recipe.spacing != "listed":
        return replace(recipe, pin=wide)
    rest = recipe.width - sum(recipe.tail_shares) - (len(recipe.tail_shares) - 1) * wide
    return replace(recipe, pin=wide, half_pin=rest / 2)


def _pin(recipe: Recipe, holds: Judge) -> Message | None:
    wide = enough_for(recipe, "joint.pin", holds)
    return message("pins of {} ({})", typed(wide), Key("joint.pin")) if wide else None


def _half_pin(recipe: Recipe, holds: Judge) -> Message | None:
    """Half pins that hold; None for listed tails, which leave the half pins no choice."""
    wide = None if recipe.spacing == "listed" else enough_for(recipe, "joint.half_pin", holds)
    return message("half pins of {} ({})", typed(wide), Key("joint.half_pin")) if wide else None


def _fewer(recipe: Recipe, holds: Judge) -> Message | None:
    for count in range(len(recipe.tail_shares) - 1, 0, -1):
        fewer = with_tails(recipe, count)
        if fewer and holds(fewer):
            return message("{} ({})", tails_in_words(count), Key("joint.tails"))
    return None


def _wider(recipe: Recipe, holds: Judge) -> Message | None:
    """The narrowest board, in steps of a rule, that holds as many tails. None for listed tails, which fix the width."""
    if recipe.spacing == "listed":
        return None
    step = round_up(1e-6, recipe.units)

    def of(count: int) -> Recipe:
        return replace(recipe, width=count * step)

    low, most = math.floor(recipe.width / step), math.ceil((2 * recipe.width + tol.TAIL_WIDEST) / step)
    # At twice the width a tail may be wider than usual, so a width between is tried first.
    high = next((count for count in range(low + 1, most, max(1, (most - low) // 16)) if holds(of(count))), None)
    if high is None:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(of(middle)) else (middle, high)
    return message("a board {} wide ({})", typed(high * step), Key("joint.width"))


def _fewer_and_flatter(recipe: Recipe, holds: Judge) -> Message | None:
    for count in range(len(recipe.tail_shares) - 1, 0, -1):
        fewer = with_tails(recipe, count)
        found = usual_slopes(fewer, holds) if fewer else []
        if found:
            slope = message("a slope of 1:{:g} ({})", found[0], Key("joint.slope"))
            return message("{} ({}) at {}", tails_in_words(count), Key("joint.tails"), slope)
    return None
