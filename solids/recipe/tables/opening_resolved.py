"""The opening that a drawer slides into, with nothing left out. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from solids.wood import Sawn, Wood

StickName = Literal["runner", "kicker", "guide"]


@dataclass(frozen=True)
class Stick:
    """A pair of sticks of the carcase: the size of each across the opening and up, how far behind the front of the
    opening both begin, and their wood."""

    across: float
    up: float
    behind: float
    wood: Wood


@dataclass(frozen=True)
class Opening:
    """The hole as it is in the shop's air, `width` by `height` by `depth`, and the room that its drawer is to have:
    `play` above it at the dampest time, `side_play` at each side and `back_play` behind it. `plane` is how much higher
    than that the drawer is made. `rail` is how much wood across the height swells into the opening, by the shares
    `grows` and `shrinks` from the shop's air to the home's dampest and driest. `sticks` are those of the carcase.
    `gives` are the keys of the box whose sizes follow from it, each with the key of the opening."""

    width: float
    height: float
    depth: float
    play: float
    side_play: float
    back_play: float
    plane: float
    rail: float
    wood: Wood
    sawn: Sawn
    grows: float
    shrinks: float
    sticks: tuple[tuple[StickName, Stick], ...] = ()
    gives: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    def stick(self, name: StickName) -> Stick | None:
        """A pair of sticks; None where the carcase has none of that name."""
        return dict(self.sticks).get(name)

    @property
    def least_height(self) -> float:
        """Its height at the dampest time, when its rails have swollen into it."""
        return self.height - self.rail * self.grows

    @property
    def greatest_height(self) -> float:
        """Its height at the driest time."""
        return self.height + self.rail * self.shrinks
