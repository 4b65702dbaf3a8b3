"""The places where a box's groove may pass through the tails of a corner. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.mitre import mitred_edges
from solids.layout.joint.shape.model import Layout


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
