"""The exact volumes of the boards of a box, with both ends and its groove. Areas in mm2, volumes in mm3."""

from __future__ import annotations

from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout
from solids.layout.joint.in_groove import (
    chamfer_in_groove,
    edge_chamfer_in_rebate,
    groove_in_pin_board,
    groove_in_tail_board,
)
from solids.layout.joint.shape.states import State
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.recipe.tables.box_resolved import Side


def grooved_volume(box: BoxLayout, side: Side, *, finished: bool) -> float:
    """Volume of a board in a state, its joints and the groove cut, and nothing else."""
    board = box.boards[side]
    return sum(_half_volume(box, board, corner, finished=finished) for corner in (board.up, board.down))


def _half_volume(box: BoxLayout, board: BoxBoard, corner: BoxCorner, *, finished: bool) -> float:
    layout = corner.turned
    state = layout.state(finished=finished)
    whole = pin_board_volume(layout, state) if board.kind == "pin board" else tail_board_volume(layout, state)
    return whole - _groove_volume(box, board, corner, state)


def _groove_volume(box: BoxLayout, board: BoxBoard, corner: BoxCorner, state: State) -> float:
    """The volume that the groove takes from half a board, less what hollow floors or chamfered ends took before."""
    groove = box.recipe.groove
    if not box.is_grooved(board.side):
        return 0.0
    area = groove.depth * board.length / 2 + _groove_in_joint(box, board, corner, state)
    return groove.width * area - _taken_at_the_edge(box, board, corner, state)


def _groove_in_joint(box: BoxLayout, board: BoxBoard, corner: BoxCorner, state: State) -> float:
    """The area, seen from the edge, of what the groove takes from a board past its inside corner."""
    deep, layout, mitred = box.recipe.groove.depth, corner.layout, box.is_mitred(corner)
    reach = box.groove_reach(board, corner, state)
    if board.kind == "pin board":
        return groove_in_pin_board(layout, deep, reach, mitred=mitred)
    taken = groove_in_tail_board(layout, deep, reach, mitred=mitred)
    return taken - chamfer_in_groove(state, _on_tail(box, corner)) if _is_chamfered(box, corner) else taken


def _taken_at_the_edge(box: BoxLayout, board: BoxBoard, corner: BoxCorner, state: State) -> float:
    """What the chamfer along the lower edge of a half tail took of a rebate there (mm3)."""
    if board.kind == "pin board" or not (box.recipe.panel.in_rebate and _is_chamfered(box, corner)):
        return 0.0
    return edge_chamfer_in_rebate(state, _on_tail(box, corner))


def _on_tail(box: BoxLayout, corner: BoxCorner) -> float:
    """How deep the groove is in a tail, which is thinner by the joint's own rebate."""
    return max(box.recipe.groove.depth - corner.layout.rebate, 0.0)


def _is_chamfered(box: BoxLayout, corner: BoxCorner) -> bool:
    """Whether the groove runs out through the end of a tail. What runs on below the back has no chamfer, unless it is
    one with a half tail."""
    below_back = box.is_open(corner) and corner.layout.recipe.listed.edges[0] == "half tail"
    return not box.is_mitred(corner) and (box.runs_out(corner) or below_back)
