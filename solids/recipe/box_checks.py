"""Whether a box's boards can take its groove, and a back that stands above the bottom. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import message
from solids.recipe.accepted import no_more_than
from solids.recipe.box_resolved import Groove, Side


def too_deep(groove: Groove, stays: Mapping[Side, float], planing: float) -> Iterator[Problem]:
    """A groove that takes too much of a board. `stays` is the thickness of each grooved board once planed. Planing that
    takes too much is refused with the corners."""
    thin = min(stays, key=lambda side: stays[side])
    deepest = tol.GROOVE_DEEPEST * stays[thin]
    if groove.width and groove.depth > deepest + tol.ROUNDING and planing <= stays[thin]:
        planed = ", once it is planed" if planing else ""
        wrong = "{} is too deep for the {} board, which is {} thick{}"
        told = message(wrong, typed(groove.depth), thin, typed(stays[thin]), planed)
        yield Problem("box.groove.depth", told, *no_more_than(deepest))


def back_problems(groove: Groove, height: float, *, tails_on_sides: bool) -> Iterator[Problem]:
    """What a back that stands above the bottom lacks."""
    if not tails_on_sides:
        yield Problem("box.back_above_bottom", "needs the tails on the sides", 'set box.tails_on = "sides"')
    left = height - groove.top
    if not groove.width:
        yield Problem("box.back_above_bottom", "needs a groove", "give box.groove.width")
    elif left < tol.LEAST_WIDTH:
        wrong = "{} leaves {} for the back, above a groove that ends at {}"
        told = message(wrong, *map(typed, (height, max(left, 0.0), groove.top)))
        yield Problem("box.height", told, "take a higher box or a lower groove")
