"""What other cuts have taken where a box's groove passes a joint, seen from the edge of the board. Areas in mm2."""

from __future__ import annotations

from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.states import State


def chamfer_in_groove(state: State, depth: float) -> float:
    """The part of the groove's side area that the chamfer at a tail board's end has already taken (mm2). `depth` is
    how deep the groove is there."""
    c = state.chamfer
    return c**2 / 2 - max(c - depth, 0.0) ** 2 / 2


def hollow_in_groove(layout: Layout, depth: float) -> float:
    """The part of the groove's side area that an undercut floor at a pin board's end has already taken (mm2)."""
    land = layout.land
    if land is None or depth <= land:
        return 0.0
    run = layout.depth - land if layout.is_half_blind else layout.depth / 2 - land
    slope = layout.recipe.undercut.depth / run
    down = min(depth - land, run)
    taken = slope * down**2 / 2
    if depth - land > run and not layout.is_half_blind:
        up = min(depth - land - run, run)
        taken += slope * (run * up - up**2 / 2)
    return taken
