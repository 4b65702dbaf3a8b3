"""The places where a box's groove may pass through the tails of a corner, and a rebate along its reference edge: within
the half pin there, within a half tail, or within a mitred shoulder, so that it shows at no corner. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.mitre import mitred_edges
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.states import GrooveHere

AtEdge = Literal["half pin", "half tail", "mitre"]


def necks(layout: Layout) -> Iterator[Span]:
    """The span in X open to a groove through each tail: its neck at the baseline, less any gap and entry chamfer, and
    inside the chamfer of an end left proud; and that within each mitred shoulder."""
    for low, high in mitred_edges(layout):
        yield low + tol.LEAST_FEATURE, high - tol.LEAST_FEATURE
    for tail in layout.tails:
        left, right = (_side(layout, tail, side) for side in (-1, 1))
        yield max(left), min(right)


def _side(layout: Layout, tail: Tail, side: int) -> Iterator[float]:
    """Where a groove through a tail must keep inside, at one of its sides."""
    flank, end = tail.flank(side), layout.as_finished
    edge = tail.left if side < 0 else tail.right
    foot, far = (flank.foot, flank.x(end.tail_end)) if flank else (edge, edge)
    stretch = flank.stretch if flank else 0.0
    less = stretch * (
        abs(layout.recipe.flank_gap) + (layout.recipe.entry_chamfer.width if layout.chamfer_reach else 0.0)
    )
    # With a hollow beside it, a groove right at the edge would leave a wall that starts at no thickness.
    less += tol.LEAST_FEATURE if layout.land is not None or flank is None else 0.0
    # A half tail's socket is hollow only inside its land at the edge of the board.
    less += layout.land if layout.land is not None and flank is None else 0.0
    yield foot - side * less
    yield far - side * end.chamfer


def lies_in_neck(layout: Layout, low: float, high: float) -> bool:
    """Whether a groove from `low` to `high` in X lies within the neck of one tail."""
    return any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in necks(layout))


def can_pass(layout: Layout, groove: GrooveHere) -> bool:
    """Whether a groove or rebate passes a joint without cutting a pin."""
    if groove.is_rebate:
        return groove.width <= highest_at_edge(layout) + tol.ROUNDING
    return groove.passes is None or lies_in_neck(layout, *groove.passes)


def at_reference_edge(layout: Layout) -> AtEdge:
    """What lies along the reference edge of a joint that is laid out from it."""
    if layout.mitred[0] > 0:
        return "mitre"
    return "half tail" if layout.tails[0].flank(-1) is None else "half pin"


def highest_at_edge(layout: Layout) -> float:
    """How high a rebate may be at this joint, from the reference edge. A half pin is taken where it is narrowest, at
    its end, less any gap beside it: more of it is left at the inside face, where the rebate ends."""
    if at_reference_edge(layout) == "mitre":
        return mitred_edges(layout)[0][1] - tol.LEAST_FEATURE
    if at_reference_edge(layout) == "half tail":
        return list(necks(layout))[len(mitred_edges(layout))][1]
    return _end_of_half_pin(layout) - tol.LEAST_FEATURE


def half_pin_for(layout: Layout, high: float) -> float:
    """How wide the half pin must be to hold a rebate so high."""
    return layout.recipe.half_pins[0] + max(high - highest_at_edge(layout), 0.0)


def _end_of_half_pin(layout: Layout) -> float:
    """Where the flank beside it is nearest to the edge."""
    tail = layout.tails[0]
    flank = tail.flank(-1)
    assert flank is not None
    return layout.tail_edges(tail, layout.depth)[0] - abs(layout.recipe.flank_gap) * flank.stretch
