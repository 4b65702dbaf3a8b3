"""What other cuts have taken where a box's groove passes a joint, seen from the edge of the board. Areas in mm2."""

from __future__ import annotations

from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.states import State


def chamfer_in_groove(state: State, depth: float) -> float:
    """The part of the groove's side area that the chamfer at a tail board's end has already taken (mm2). `depth` is
    how deep the groove is there."""
    c = state.chamfer
    return c**2 / 2 - max(c - depth, 0.0) ** 2 / 2


def edge_chamfer_in_rebate(state: State, depth: float) -> float:
    """The part of a rebate's volume at the end of a half tail that the chamfer along the reference edge has already
    taken, beside what the chamfer along the inside face has (mm3). The two meet at the corner. `depth` as above."""
    c, shared = state.chamfer, min(state.chamfer, depth)
    return depth * c**2 / 2 - (shared**3 / 3 + shared * (c**2 - shared**2) / 2)


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


def groove_in_pin_board(layout: Layout, depth: float, reach: float, *, mitred: bool) -> float:
    """The side area of a groove or rebate that runs `reach` past the inside corner of a pin board (mm2)."""
    if mitred:
        return depth * (layout.rebate + reach) / 2
    return depth * reach - (hollow_in_groove(layout, depth) if reach <= layout.rebate else 0.0)


def groove_in_tail_board(layout: Layout, depth: float, reach: float, *, mitred: bool) -> float:
    """The same in a tail board, where it is only as deep as it goes beyond the joint's own rebate (mm2)."""
    on_rebate = max(depth - layout.rebate, 0.0)
    return reach * on_rebate / (2 if mitred else 1)
