"""Both boards placed in the joint's frame, as cut and as finished."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from solids.layout import Layout, State
from solids.model.boards import pin_board, tail_board
from solids.model.kernel import Solid

if TYPE_CHECKING:
    import cadquery

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

    def to_cadquery(self) -> cadquery.Assembly:
        """The corner as a CadQuery assembly with two named, coloured parts, for those who model on.

        CadQuery takes two seconds to load, so it is loaded here and nowhere else.
        """
        import cadquery

        assembly = cadquery.Assembly(name=self.layout.recipe.title)
        recipe = self.layout.recipe
        for (name, solid), board in zip(self.boards, (recipe.tail_board, recipe.pin_board), strict=True):
            red, green, blue = (part / 255 for part in board.wood.rgb)
            assembly.add(cadquery.Solid(solid), name=name, color=cadquery.Color(red, green, blue))
        return assembly


def make_corner(layout: Layout, state: State) -> Corner:
    """The corner's exact solids in a state: `layout.as_cut` or `layout.as_finished`."""
    return Corner(layout, state, tail_board(layout, state), pin_board(layout, state))
