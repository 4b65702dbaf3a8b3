"""The recipe of a box with nothing left out. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from solids.lengths import Units
from solids.recipe.resolved import Choice, Recipe, slug
from solids.wood import Sawn, Wood

Side = Literal["front", "right", "back", "left"]
CornerName = Literal["front left", "front right", "back left", "back right"]
GrooveEnds = Literal["stopped", "through", "plugged"]

SIDES: tuple[Side, ...] = ("front", "right", "back", "left")
CORNERS: tuple[CornerName, ...] = ("front left", "front right", "back left", "back right")


@dataclass(frozen=True)
class Groove:
    """The groove for the bottom: its width and depth, how far its lower side is from the reference edge, and what
    becomes of its ends in the tail boards. A width of 0 is no groove."""

    width: float
    depth: float
    up: float
    ends: GrooveEnds

    @property
    def top(self) -> float:
        """How far its upper side is from the reference edge."""
        return self.up + self.width


@dataclass(frozen=True)
class Panel:
    """The bottom: `clearance` is its room at each edge beside that for movement."""

    wood: Wood
    sawn: Sawn
    grain: Literal["length", "width"]
    clearance: float


@dataclass(frozen=True)
class Rough:
    """What boards are sawn larger than they will be."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class BoxRecipe:
    """A box with nothing left out. `inside` runs between the inside faces: along the front, and from front to back;
    `height` is that of the boards. `corners` are the four joints, each with the boards that meet there, whose lengths
    are half of those between the baselines."""

    title: str
    units: Units
    inside: tuple[float, float]
    height: float
    tails_on_sides: bool
    back_above_bottom: bool
    corners: Mapping[CornerName, Recipe]
    groove: Groove
    panel: Panel
    rough: Rough
    stock: tuple[float | None, float | None]
    choices: tuple[Choice, ...]
    notices: tuple[str, ...]

    @property
    def slug(self) -> str:
        """The name of the folder that the files go into."""
        return slug(self.title)

    @property
    def back_rise(self) -> float:
        """How far the back's lower edge is above the reference edge."""
        return self.groove.top if self.back_above_bottom else 0.0
