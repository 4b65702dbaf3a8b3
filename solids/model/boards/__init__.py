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

    A board has five plain faces besides its joint. A tail has its end and its flanks, and each gap has a shoulder. A
    socket has a floor, its flanks, and an end where a lap hides it; a through pin has an end. A chamfer round proud
    ends adds four to each end. An entry chamfer adds two to each flank. A hollow turns one floor into six in the tail
    board, five at its edges; into four in a through pin board, two in a half-blind one, three at its edges. A strip
    beside the joint has its end and its wall. A rebate makes one of all shoulders, and an inside face of each tail and
    strip. A mitred shoulder has its plane and its side.
    """
    n, flanks, gaps = len(layout.tails), len(layout.flanks), len(layout.gaps)
    mitres = sum(map(bool, layout.mitred))
    strips = sum(bool(strip) and wall for strip, wall in zip(layout.strips, layout.walls, strict=True))
    tails = 5 + n + flanks + gaps + 2 * (strips + mitres)
    pins = 5 + n + flanks + (1 + n if layout.is_half_blind else gaps) + 2 * mitres
    if layout.rebate:
        tails += 1 - gaps + n + strips
    if state.chamfer:
        tails += 4 * n
        pins += 4 * gaps
    if layout.chamfer_reach:
        tails += 2 * flanks
    if layout.land is not None:
        tails += 5 * gaps - sum(gap.is_half for gap in layout.gaps)
        pins += n + sum(tail.is_half for tail in layout.tails) if layout.is_half_blind else 3 * n
    return tails, pins
