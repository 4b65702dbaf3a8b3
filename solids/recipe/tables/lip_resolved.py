"""The lip of a drawer's front, with nothing left out. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

LipSide = Literal["top", "bottom", "left", "right"]
LIP_SIDES: tuple[LipSide, ...] = ("top", "bottom", "left", "right")


@dataclass(frozen=True)
class Lip:
    """How far the front reaches past the box on each side, and how thick it is there: the outer part of the front's
    own thickness. What lies behind it is the box."""

    thickness: float = 0.0
    top: float = 0.0
    bottom: float = 0.0
    left: float = 0.0
    right: float = 0.0

    def __bool__(self) -> bool:
        """Whether there is any."""
        return self.thickness > 0.0

    def __iter__(self) -> Iterator[tuple[LipSide, float]]:
        """The sides that have one, each with how wide it is."""
        return ((side, wide) for side in LIP_SIDES if (wide := float(getattr(self, side))))

    @property
    def long(self) -> float:
        """How much longer than the box the front is."""
        return self.left + self.right

    @property
    def high(self) -> float:
        """How much higher than the box the front is."""
        return self.top + self.bottom


NO_LIP = Lip()
