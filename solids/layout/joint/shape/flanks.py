"""Tails and the gaps between them, by their flanks. Lengths in mm, in the frame of the joint (see `model.py`).

A tail is four numbers: where its two flanks cut the plane of the finished face Y = d, and where they cut the baseline
Y = 0. Between and beyond they are straight. A half tail lies at an edge of the board and has one flank only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Span, Vector


@dataclass(frozen=True)
class Flank:
    """One sloping side of a tail, by the number of that tail. `side` is -1 for a left flank, which has its tail toward
    X = W, and 1 for a right one. `face` is its X at the plane Y = `depth`. `ratio` is N of its slope 1:N: toward the
    baseline it runs into its tail by 1 in N mm; negative where it runs outward, infinite where it is square."""

    tail: int
    side: int
    face: float
    ratio: float
    depth: float

    def x(self, y: float) -> float:
        """Where the tail's flank lies at Y = y."""
        return self.face - self.side * ((self.depth - y) / self.ratio)

    @property
    def foot(self) -> float:
        """Its X at the baseline."""
        return self.x(0.0)

    @property
    def lean(self) -> float:
        """1/N: how far it runs into its tail for each mm toward the baseline."""
        return 1.0 / self.ratio

    @property
    def shift(self) -> float:
        """How far it runs in X for each mm from the finished face to the baseline."""
        return -self.side * self.lean

    @property
    def stretch(self) -> float:
        """s = sqrt(1 + 1/N^2): a distance normal to it over its X component, or a distance along it over its Y
        component."""
        return math.sqrt(1.0 + 1.0 / self.ratio**2)

    @property
    def slope_rad(self) -> float:
        """The angle between it and the length of the tail board; negative where it runs outward."""
        return math.atan(1.0 / self.ratio)

    @property
    def normal(self) -> Vector:
        """The outward normal of the tail's side, of length 1."""
        return self.side / self.stretch, -1.0 / (self.ratio * self.stretch), 0.0

    @property
    def hand(self) -> Literal["left", "right"]:
        """The side of its tail on which it lies, seen with X to the right."""
        return "left" if self.side < 0 else "right"

    @property
    def name(self) -> str:
        """ "tail 3, left flank"."""
        return f"tail {self.tail}, {self.hand} flank"


@dataclass(frozen=True)
class Tail:
    """One tail, numbered from 1 at the reference edge: its edges in X at the plane Y = d, and its flanks in order of
    X. A half tail has one; its other edge is square, and flush with that of the board."""

    number: int
    left: float
    right: float
    flanks: tuple[Flank, ...]

    @property
    def width(self) -> float:
        """w, the width at the plane of the finished face."""
        return self.right - self.left

    @property
    def middle(self) -> float:
        """The X half-way between its edges."""
        return (self.left + self.right) / 2

    @property
    def is_half(self) -> bool:
        """Whether it lies at an edge of the board."""
        return len(self.flanks) < 2

    def flank(self, side: int) -> Flank | None:
        """Its left flank (-1) or its right one (1); None where it is flush with the edge of the board."""
        return next((flank for flank in self.flanks if flank.side == side), None)


@dataclass(frozen=True)
class Gap:
    """The room between two tails, or between a tail and an edge, where a pin or half pin stands: its flanks, None at an
    edge of the joint, which lies at `low` or `high`."""

    left: Flank | None
    right: Flank | None
    low: float
    high: float

    @property
    def flanks(self) -> tuple[Flank, ...]:
        """Those that it has, in order of X."""
        return tuple(flank for flank in (self.left, self.right) if flank)

    @property
    def is_half(self) -> bool:
        """Whether a half pin stands in it."""
        return self.left is None or self.right is None

    def span(self, y: float) -> Span:
        """From where to where it is open at Y = y."""
        return self.left.x(y) if self.left else self.low, self.right.x(y) if self.right else self.high
