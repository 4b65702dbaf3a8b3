"""The parts of a piece as solids, each in its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import IN_PLACE, Frame
from solids.model.corner import Corner
from solids.model.kernel import Solid
from solids.model.kernel.shaping import placed
from solids.wood import Wood


@dataclass(frozen=True)
class Part:
    """One part in its place: `solid` in the frame of its shape, `rows` from there into the piece. Parts of one `shape`
    share their solid."""

    name: str
    shape: str
    solid: Solid
    wood: Wood
    rows: Frame = IN_PLACE

    @cached_property
    def in_place(self) -> Solid:
        """The solid where it stands in the piece."""
        return self.solid if self.rows == IN_PLACE else placed(self.solid, self.rows)


def corner_parts(corner: Corner) -> tuple[Part, ...]:
    """Both boards of a corner, in the joint's frame."""
    recipe = corner.layout.recipe
    woods = (recipe.tail_board.wood, recipe.pin_board.wood)
    return tuple(Part(name, name, solid, wood) for (name, solid), wood in zip(corner.boards, woods, strict=True))
