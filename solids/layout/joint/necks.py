"""The places where a box's groove may pass through the tails of a corner. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.model import Layout


def necks(layout: Layout) -> Iterator[Span]:
    """The span in X open to a groove through each tail: its neck at the baseline, less any gap and entry chamfer, and
    inside the chamfer of an end left proud."""
    end = layout.as_finished
    for tail in layout.tails:
        (left, right), (left_end, right_end) = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end.tail_end)
        low, high = (_lost(layout, tail.flank(side)) for side in (-1, 1))
        yield max(left + low, left_end + end.chamfer), min(right - high, right_end - end.chamfer)


def _lost(layout: Layout, flank: Flank | None) -> float:
    """How much of a neck a gap, a chamfer and the edge of a hollow take at one side; nothing where a half tail is flush
    with the edge of the board."""
    if flank is None:
        return 0.0
    chamfer = layout.recipe.entry_chamfer.width * flank.stretch if layout.chamfer_reach else 0.0
    # With a hollow beside it, a groove right at the edge would leave a wall that starts at no thickness.
    return abs(layout.shift(flank)) + chamfer + (tol.LEAST_FEATURE if layout.land is not None else 0.0)


def lies_in_neck(layout: Layout, low: float, high: float) -> bool:
    """Whether a groove from `low` to `high` in X lies within the neck of one tail."""
    return any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in necks(layout))
