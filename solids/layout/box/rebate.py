"""Why boxes cannot have the rebate for their bottom: it must end out of sight at every corner. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from solids.base import tolerances as tol
from solids.base.amounts import at_least, typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, joined, message
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.layout.joint.necks import at_reference_edge, half_pin_for, highest_at_edge
from solids.recipe.completing.box_keys import changes
from solids.recipe.tables.accepted import no_more_than
from solids.recipe.tables.box_resolved import CornerName

Named = Callable[[Sequence[CornerName]], str]
"""Corners in words."""

CUTS = {"half pin": "the first tail", "half tail": "the first pin", "mitre": "past the mitred shoulder"}
"""What a rebate that is too high reaches, by what lies at the reference edge."""


def rebate_problems(box: BoxLayout, named: Named) -> Iterator[Problem]:
    """A rebate that is too high for a corner, whose ends would show, or that meets hollow socket floors."""
    yield from _too_high(box, named)
    yield from _shown_ends(box, named)
    yield from _hollow_floors(box, named)


def _too_high(box: BoxLayout, named: Named) -> Iterator[Problem]:
    groove = box.recipe.groove
    high = [corner for corner in box.corners.values() if groove.width > highest_at_edge(corner.layout) + tol.ROUNDING]
    if not high:
        return
    least = min(highest_at_edge(corner.layout) for corner in high)
    reached = dict.fromkeys(CUTS[at_reference_edge(corner.layout)] for corner in high)
    does = "reaches {}" if "past the mitred shoulder" not in reached else "runs {}"
    wrong = message(
        f"a rebate {{}} high {does} at {{}}", typed(groove.width), " and ".join(reached), named(_names(high))
    )
    ways, tries = _other_ways(box, high), tuple[Words, ...]()
    key = "box.panel.thickness" if _is_given(box, "box.panel.thickness") else "box.groove.width"
    if least >= tol.LEAST_THICKNESS:
        lower, tried = no_more_than(least)
        ways.insert(0, lower)
        tries = () if _is_given(box, "box.groove.width") and key != "box.groove.width" else tried
    yield Problem(key, wrong, joined(ways, "; or "), tries)


def _is_given(box: BoxLayout, key: str) -> bool:
    return all(choice.key != key for choice in box.recipe.choices)


def _other_ways(box: BoxLayout, high: Sequence[BoxCorner]) -> list[Words]:
    """Wider half pins, or a mitred shoulder that the rebate runs out in."""
    keys, height = changes(_names(high), box.recipe.written), box.recipe.groove.width
    ways: list[Words] = []
    pins = [half_pin_for(corner.layout, height) for corner in high if at_reference_edge(corner.layout) == "half pin"]
    if pins:
        ways.append(message("half pins of {} or more ({})", at_least(max(pins)), Key(keys["joint.half_pin"])))
    if not any(corner.layout.is_half_blind for corner in high):
        wide, key = at_least(height + tol.LEAST_FEATURE), Key(keys["joint.mitre.reference"])
        ways.append(message("a mitred shoulder of {} or more at the reference edge ({})", wide, key))
    return ways


def _shown_ends(box: BoxLayout, named: Named) -> Iterator[Problem]:
    """Ends that are asked to run out where the rebate stops in a half pin."""
    ends = box.recipe.groove.ends
    stopped = [corner for corner in box.corners.values() if box.in_half_pin(corner)]
    if stopped and ends in ("through", "plugged"):
        wrong = message(
            '"{}" would cut through the half pins at {}, in which the rebate stops', ends, named(_names(stopped))
        )
        yield Problem("box.groove.ends", wrong, 'accepted are "hidden" and "stopped"', ('"hidden"',))


def _hollow_floors(box: BoxLayout, named: Named) -> Iterator[Problem]:
    met = [
        corner
        for corner in box.corners.values()
        if corner.layout.land is not None and at_reference_edge(corner.layout) != "mitre"
    ]
    if met:
        key = changes(_names(met), box.recipe.written)["undercut.depth"]
        wrong = message("hollow socket floors meet the rebate for the bottom at {}", named(_names(met)))
        yield Problem(key, wrong, "accepted is 0", ("0",))


def _names(corners: Sequence[BoxCorner]) -> list[CornerName]:
    return [corner.name for corner in corners]
