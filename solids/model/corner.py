"""Both boards placed in the joint's frame, as cut and as finished."""

from __future__ import annotations

from dataclasses import dataclass

from solids.layout import Layout, State
from solids.layout.joint.faces import FaceNames, PinBoardFaces, TailBoardFaces
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid
from solids.model.parts import Part

TAIL_BOARD = "tail board"
PIN_BOARD = "pin board"


@dataclass(frozen=True)
class Corner:
    """The two boards of a layout in one state, seated, in the joint's frame (see `layout`)."""

    layout: Layout
    state: State
    tail_board: Solid
    pin_board: Solid

    @property
    def boards(self) -> tuple[tuple[str, Solid], tuple[str, Solid]]:
        """Both boards with their names, the tail board first."""
        return (TAIL_BOARD, self.tail_board), (PIN_BOARD, self.pin_board)


def make_corner(layout: Layout, state: State) -> Corner:
    """The corner's exact solids in a state: `layout.as_cut` or `layout.as_finished`."""
    return Corner(layout, state, tail_board(layout, state), pin_board(layout, state))


def corner_parts(corner: Corner) -> tuple[Part, ...]:
    """Both boards of a corner, in the joint's frame."""
    recipe = corner.layout.recipe
    woods = (recipe.tail_board.wood, recipe.pin_board.wood)
    faces: tuple[FaceNames, ...] = (TailBoardFaces(corner.layout), PinBoardFaces(corner.layout))
    return tuple(
        Part(name, name, solid, wood, faces=names)
        for (name, solid), wood, names in zip(corner.boards, woods, faces, strict=True)
    )
