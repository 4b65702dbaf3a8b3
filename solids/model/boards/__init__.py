"""Layout -> tail board, pin board: exact solids with plane faces, built face by face from their profiles.

Both boards stand in the joint's frame (see `layout`), seated. Nothing is cut by a boolean and nothing is sewn, so no
face is split and their number is definite.
"""

from __future__ import annotations

from solids.layout import Layout, State
from solids.model.boards.pin_board import pin_board_faces
from solids.model.boards.tail_board import tail_board_faces
from solids.model.kernel import Solid, solid_from_faces

__all__ = ["face_count", "pin_board", "pin_board_faces", "tail_board", "tail_board_faces"]


def tail_board(layout: Layout, state: State) -> Solid:
    """The tail board from Z = 0 to its show face, its length along -Y, its tails reaching the state's `tail_end`."""
    return solid_from_faces(tail_board_faces(layout, state))


def pin_board(layout: Layout, state: State) -> Solid:
    """The pin board from Y = 0 to its show face, its length along -Z, its pins reaching the state's `pin_end`."""
    return solid_from_faces(pin_board_faces(layout, state))


def face_count(layout: Layout, state: State) -> tuple[int, int]:
    """How many faces the tail board and the pin board have in a state.

    4n + 6 each. A chamfer round proud ends adds four to each end. An entry chamfer adds two to each flank. A hollow
    turns one floor into six in the tail board, five at its edges; into four in a through pin board, two in a half-blind
    one. A strip beside the joint has its end and its wall.
    """
    n = len(layout.tails)
    tails = pins = 4 * n + 6
    tails += 2 * sum(strip > 0 for strip in layout.strips)
    if state.chamfer:
        tails += 4 * n
        pins += 4 * (n + 1)
    if layout.chamfer_reach:
        tails += 4 * n
    if layout.land is not None:
        tails += 5 * (n - 1) + 4 * 2
        pins += n if layout.is_half_blind else 3 * n
    return tails, pins
