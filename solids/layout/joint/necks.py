"""The places where a box's groove may pass through the tails of a corner. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout.joint.shape.model import Layout


def necks(layout: Layout) -> Iterator[Span]:
    """The span in X open to a groove through each tail: its neck at the baseline, less any gap and entry chamfer, and
    inside the chamfer of an end left proud."""
    chamfer = layout.recipe.entry_chamfer.width * layout.flank_stretch if layout.chamfer_reach else 0.0
    less, end = abs(layout.flank_shift) + chamfer, layout.as_finished
    # With a hollow beside it, a groove right at the edge would leave a wall that starts at no thickness.
    less += tol.LEAST_FEATURE if layout.land is not None else 0.0
    for tail in layout.tails:
        (left, right), (left_end, right_end) = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end.tail_end)
        yield max(left + less, left_end + end.chamfer), min(right - less, right_end - end.chamfer)


def lies_in_neck(layout: Layout, low: float, high: float) -> bool:
    """Whether a groove from `low` to `high` in X lies within the neck of one tail."""
    return any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in necks(layout))
