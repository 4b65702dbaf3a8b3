"""The boards of any piece, as a cut list: those of a box, or the two of a corner alone. Pure arithmetic, lengths in
mm."""

from __future__ import annotations

from functools import singledispatch

from solids.layout.box.cut_list import LIES, cut_list
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow, larger
from solids.layout.joint.shape.model import Layout
from solids.recipe.completing.boxes import ROUGH_LENGTH, ROUGH_THICKNESS, ROUGH_WIDTH
from solids.recipe.completing.choosing import round_up
from solids.recipe.tables.box_resolved import Rough


@singledispatch
def boards_of(plan: Layout | BoxLayout) -> tuple[CutListRow, ...]:
    """One row for each board, and one for each part fitted between them."""
    raise TypeError(plan)


boards_of.register(cut_list)


@boards_of.register
def _(plan: Layout) -> tuple[CutListRow, ...]:
    """A corner's tail board is wider than the joint where it runs on beside it. Rough sizes are those that a box would
    have."""
    recipe, cut, finished = plan.recipe, plan.as_cut, plan.as_finished
    rough = Rough(*(round_up(mm, recipe.units) for mm in (ROUGH_LENGTH, ROUGH_WIDTH, ROUGH_THICKNESS)))
    rows = []
    for name, board, width, raw, end in (
        ("tail board", recipe.tail_board, plan.width + sum(plan.strips), cut.tail_end, finished.tail_end),
        ("pin board", recipe.pin_board, plan.width, cut.pin_end, finished.pin_end),
    ):
        planed = recipe.finish.planing if recipe.finish.ends == "flush" else 0.0
        saw_to = (board.length + raw, width, board.thickness)
        done = (board.length + end, width, board.thinnest - planed)
        sizes, grain = (larger(saw_to, rough), saw_to, done), "along its length"
        rows.append(CutListRow(name, *sizes, board.wood.told, grain, LIES, sawn=board.sawn))
    return tuple(rows)
