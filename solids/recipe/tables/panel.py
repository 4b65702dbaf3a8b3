"""The bottom of a box with nothing left out, and what it needs through the year. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solids.wood import Sawn, Wood

PanelKind = Literal["solid", "plywood"]
Glued = Literal["all round", "in the middle", "nowhere"]
Held = Literal["groove", "rebate", "slips"]
Edge = Literal["plain", "rebated", "fielded"]
PanelFace = Literal["underside", "upper face"]

CLEARANCE = 0.5
"""Room at each edge of a bottom or top, besides that for movement. Common practice."""

SLIP_BACK, SLIP_ABOVE = 3.0, 3.0
"""The wood left in a slip behind its groove, and above it. Common practice."""


@dataclass(frozen=True)
class Panel:
    """The bottom. `clearance` is its room at each edge besides that for movement. `grows` and `shrinks` are how much it
    does so from the shop's air to the home's dampest and driest, as shares of its size: across its grain, or both ways
    where it is plywood. `under_back` tells whether it runs out under the back. `held` is what holds its edges.

    It is `thickness` thick, and its edge is `tongue` thick: as much as the groove is wide, or all of it. An edge that
    is not plain is cut on one `face`, from the edge inward by `border`. `slip` is how thick the slips are; 0 for
    none."""

    kind: PanelKind
    wood: Wood
    sawn: Sawn
    grain: Literal["length", "width"]
    clearance: float
    grows: float
    shrinks: float
    under_back: bool
    held: Held = "groove"
    thickness: float = 0.0
    tongue: float = 0.0
    edge: Edge = "plain"
    face: PanelFace = "underside"
    border: float = 0.0
    slip: float = 0.0

    @property
    def in_rebate(self) -> bool:
        """Whether it lies in a rebate along the lower edges of the boards."""
        return self.held == "rebate"

    @property
    def step(self) -> float:
        """How much thicker it is than its tongue."""
        return self.thickness - self.tongue

    @property
    def rises(self) -> float:
        """How far its upper face lies above its tongue."""
        return self.step if self.face == "upper face" else 0.0

    @property
    def hangs(self) -> float:
        """How far its underside lies below its tongue."""
        return self.step if self.face == "underside" else 0.0

    @property
    def moves(self) -> tuple[int, ...]:
        """The directions that it moves in: X is 0, Y is 1."""
        if self.kind == "plywood":
            return 0, 1
        return (1,) if self.grain == "length" else (0,)

    @property
    def glued(self) -> Glued:
        """Where glue holds it as the box is glued up: sheet goods hardly move; solid wood that grooves hold all round
        is fixed in the middle, so that it moves alike to both sides. What slides in under the back, and what lies in a
        rebate, comes later."""
        if self.under_back or self.in_rebate:
            return "nowhere"
        return "all round" if self.kind == "plywood" else "in the middle"

    @property
    def between(self) -> tuple[int, ...]:
        """Those of them in which it is held at both edges."""
        return tuple(axis for axis in self.moves if axis == 0 or not self.under_back)

    @property
    def free(self) -> bool:
        """Whether it moves under the back alone."""
        return not self.between

    def across(self, inside: tuple[float, float]) -> int:
        """The direction in which it moves most, of those in which it is held. `inside` is the distance between the
        inside faces in X and in Y."""
        return max(self.between or self.moves, key=lambda axis: inside[axis])

    def room(self, inside: float, depth: float) -> float:
        """How much narrower than the space for it it is made: by as much as it grows at the dampest. `inside` is the
        distance between the grooved faces, `depth` that of each groove."""
        return 0.0 if self.free else self.grows * (inside + 2 * depth)

    def hold(self, inside: float, depth: float) -> float:
        """How much of its edge stays in each groove at the driest; it is fixed in the middle."""
        if self.free:
            return depth - self.clearance
        room = self.room(inside, depth)
        width = inside + 2 * depth - room - 2 * self.clearance
        return depth - self.clearance - room / 2 - self.shrinks * width / 2

    def depth_in_slips(self, inside: float, hold: float) -> float:
        """How deep the groove of slips must be to hold that much of it at the driest. Whatever its depth, its floor is
        SLIP_BACK from the board."""
        return hold - self.hold(inside - 2 * SLIP_BACK, 0.0)

    def depth_for(self, inside: float, hold: float) -> float:
        """How deep a groove must be to hold that much of it at the driest: the hold grows evenly with the depth."""
        at_zero, at_one = self.hold(inside, 0.0), self.hold(inside, 1.0)
        return (hold - at_zero) / (at_one - at_zero)
