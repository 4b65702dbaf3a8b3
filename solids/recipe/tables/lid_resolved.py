"""The lid of a box with nothing left out. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from solids.base.tolerances import ROUNDING
from solids.recipe.tables.panel import Panel
from solids.wood import Wood

BoardKind = Literal["lift off", "hinged"]


@dataclass(frozen=True)
class Hinge:
    """A butt hinge: the length and thickness of a leaf, its `width` from the middle of the pin, and the diameter of the
    `barrel`; how many there are, and how far the outer ones are from the ends of the box."""

    leaf: float
    width: float
    thickness: float
    barrel: float
    count: int
    from_end: float

    @property
    def slope(self) -> float:
        """The legs of the slope beside a mortise that clears the barrel; 0 where the mortise clears it by itself."""
        legs = math.sqrt(2.0) * self.barrel / 2
        return legs if legs > self.thickness + ROUNDING else 0.0

    @property
    def let_in(self) -> float:
        """What the leaves of all of them take of the edge that they are let into (mm2)."""
        return self.count * self.leaf * self.width


@dataclass(frozen=True)
class Lining:
    """Thin boards inside the box, which stand so far above its edge, and are planed back there by the `clearance` that
    the lid needs to go over them."""

    thickness: float
    stands: float
    clearance: float
    wood: Wood


@dataclass(frozen=True)
class Lid:
    """A lid that is sawn off the box. `at` is the middle of the kerf, as high above the lower edge as the box is glued
    up; `planing` is taken off each of both sawn edges. Without a `hinge` it is lifted off; a `lining` keeps it in its
    place."""

    at: float
    kerf: float
    planing: float
    hinge: Hinge | None = None
    lining: Lining | None = None

    @property
    def lost(self) -> float:
        """How much lower the closed box is than it was glued up: the kerf, and what is planed off both edges."""
        return self.kerf + 2 * self.planing

    @property
    def span(self) -> tuple[float, float]:
        """From where to where above the lower edge saw and plane take wood, as the box is glued up."""
        return self.low, self.high

    @property
    def low(self) -> float:
        """Where the edge of the box ends up, above the lower edge."""
        return self.at - self.lost / 2

    @property
    def high(self) -> float:
        """Where the edge of the lid ends up, as the box is glued up."""
        return self.at + self.lost / 2


@dataclass(frozen=True)
class LidBoard:
    """A lid that is a board of its own and lies on the upper edges. `panel` is what it is of, how thick it is and how
    it moves. One that lifts off drops so far between the boards, where a rebate goes round its underside; `drop` is 0
    of one that is hinged. `overhang` is how far it stands out past the boards, but at the back of one that is hinged,
    where it is flush: the pins of its hinges lie there."""

    kind: BoardKind
    panel: Panel
    drop: float
    overhang: float
    hinge: Hinge | None = None

    @property
    def rises(self) -> float:
        """How far its upper face is above the upper edges of the boards."""
        return self.panel.thickness - self.drop
