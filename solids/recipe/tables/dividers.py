"""A divider with nothing left out. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Span
from solids.wood import Sawn, Wood

Runs = Literal["across", "along"]
EndJoint = Literal["housing", "sliding dovetail"]
HousingEnd = Literal["open", "stopped"]

ENDS_IN: dict[Runs, tuple[Literal["front", "left"], Literal["back", "right"]]] = {
    "across": ("front", "back"),
    "along": ("left", "right"),
}
"""The boards that a divider ends in, by the way it runs."""


@dataclass(frozen=True)
class Divider:
    """A divider. `at` is how far its near face is from the inside face of the left board, if it runs across, or of the
    front; `up` how far its lower edge is above the reference edge. Its ends go `depth` into the boards. A sliding
    dovetail has the slope 1:`ratio`, and its housing is `taper` narrower at its lower end than at its upper one; both
    are 0 of a plain housing. `grows` and `shrinks` are what it does across its grain, which is over its height, from
    the shop's air to the home's dampest and driest, as shares of it. `sides_grow` is the same of the boards that it
    ends in, of the one that grows least. `room` is what a stopped housing leaves above it, so that it can."""

    runs: Runs
    at: float
    thickness: float
    height: float
    up: float
    wood: Wood
    sawn: Sawn
    joint: EndJoint
    depth: float
    housing: HousingEnd
    ratio: float
    taper: float
    grows: float
    shrinks: float
    sides_grow: float
    sides_shrink: float
    room: float

    @property
    def axis(self) -> Literal[0, 1]:
        """The direction of its thickness: X is 0, Y is 1."""
        return 0 if self.runs == "across" else 1

    @property
    def top(self) -> float:
        """How far its upper edge is above the reference edge."""
        return self.up + self.height

    @property
    def far(self) -> float:
        """How far its far face is from where `at` is measured."""
        return self.at + self.thickness

    @property
    def is_dovetailed(self) -> bool:
        """Whether its ends are dovetailed."""
        return self.joint == "sliding dovetail"

    @property
    def flank(self) -> float:
        """How much a sliding dovetail is undercut at each of its flanks; 0 of a plain housing."""
        return self.depth / self.ratio if self.ratio else 0.0

    @property
    def opens_at(self) -> float:
        """Where the near wall of its housings meets the inside face: that of a dovetail opens past the near face."""
        return self.at + self.flank

    def housing_top(self, height: float) -> float:
        """How far the upper end of its housings is above the reference edge, in a box so high."""
        return height if self.housing == "open" else min(self.top + self.room, height)

    def narrower(self, z: float, height: float) -> float:
        """How much less than its thickness its housings measure at their floor, so high above the reference edge of a
        box so high. Above the divider they are wider than it by as much."""
        run = self.housing_top(height) - self.up
        return self.taper * (self.top - z) / run

    def height_shared(self, other: Divider) -> Span:
        """From where to where two dividers that cross stand in each other's way; empty where the first is no less."""
        return max(self.up, other.up), min(self.top, other.top)


def numbered(dividers: tuple[Divider, ...]) -> tuple[tuple[int, Divider], ...]:
    """Each with the number that a maker knows it by, in the order of the recipe."""
    return tuple(enumerate(dividers, start=1))
