"""The recipe of a box with nothing left out. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from solids.base import tolerances as tol
from solids.base.messages import Units
from solids.recipe.tables.resolved import Choice, Recipe, slug
from solids.wood import Climate, Sawn, Seasons, Wood, change

Side = Literal["front", "right", "back", "left"]
CornerName = Literal["front left", "front right", "back left", "back right"]
GrooveEnds = Literal["hidden", "stopped", "through", "plugged"]
PanelKind = Literal["solid", "plywood"]
Glued = Literal["all round", "in the middle", "nowhere"]

SIDES: tuple[Side, ...] = ("front", "right", "back", "left")
CORNERS: tuple[CornerName, ...] = ("front left", "front right", "back left", "back right")


def grooved_sides(*, above: bool) -> tuple[Side, ...]:
    """The boards that have a groove: all but a back that stands above the bottom."""
    return tuple(side for side in SIDES if not (above and side == "back"))


def first_place(corner: Recipe, up: float, width: float) -> float:
    """How far from the reference edge a groove so wide may begin at a corner, if it would lie `up` from it: within the
    mitred shoulder if that is wide enough, or past the start of the first tail's neck, with any gap, chamfer and
    land. 0 where nothing stands in its way."""
    listed, mitre = corner.listed, corner.mitre[0]
    if mitre >= up + width + tol.LEAST_FEATURE or listed.edges[0] == "half tail":
        return 0.0
    ratio = listed.ratios[0] if listed.ratios else corner.slope_ratio
    face = listed.faces[0][0] if listed.faces else mitre + corner.half_pins[0]
    stretch = math.hypot(1.0, 1.0 / ratio)
    aside = abs(corner.flank_gap) * stretch + corner.entry_chamfer.width * stretch
    aside += tol.LEAST_FEATURE if corner.undercut.depth else 0.0
    return face + corner.depth / ratio + aside


MOVES_UNKNOWN = 0.0035
"""The share of its width by which a wood of unknown movement is assumed to move for 1 % of moisture: that of hard maple
along its rings, a lively wood. Common practice."""


def moves_across(wood: Wood, sawn: Sawn, shop: Climate, home: Seasons) -> tuple[float, float]:
    """How much a board made in the shop grows across its grain by the dampest time at home, and how much it shrinks by
    the driest, as shares of its width; 0 where it does not."""
    across = MOVES_UNKNOWN if wood.movement is None else wood.movement.across(sawn)
    grows, shrinks = (change(1.0, across, shop.moisture, air.moisture) for air in (home.damp, home.dry))
    return max(grows, 0.0), max(-shrinks, 0.0)


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
    """The bottom. `clearance` is its room at each edge besides that for movement. `grows` and `shrinks` are how much it
    does so from the shop's air to the home's dampest and driest, as shares of its size: across its grain, or both ways
    where it is plywood. `under_back` tells whether it runs out under the back."""

    kind: PanelKind
    wood: Wood
    sawn: Sawn
    grain: Literal["length", "width"]
    clearance: float
    grows: float
    shrinks: float
    under_back: bool

    @property
    def moves(self) -> tuple[int, ...]:
        """The directions that it moves in: X is 0, Y is 1."""
        if self.kind == "plywood":
            return 0, 1
        return (1,) if self.grain == "length" else (0,)

    @property
    def glued(self) -> Glued:
        """Where glue may hold it: sheet goods hardly move; solid wood that two grooves hold is fixed in the middle, so
        that it moves alike to both sides; what moves under the back stays loose."""
        if self.kind == "plywood":
            return "all round"
        return "nowhere" if self.free else "in the middle"

    @property
    def held(self) -> tuple[int, ...]:
        """Those of them in which it lies between two grooves."""
        return tuple(axis for axis in self.moves if axis == 0 or not self.under_back)

    @property
    def free(self) -> bool:
        """Whether it moves under the back alone."""
        return not self.held

    def across(self, inside: tuple[float, float]) -> int:
        """The direction in which it moves most, of those in which it is held. `inside` is the distance between the
        inside faces in X and in Y."""
        return max(self.held or self.moves, key=lambda axis: inside[axis])

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

    def depth_for(self, inside: float, hold: float) -> float:
        """How deep a groove must be to hold that much of it at the driest: the hold grows evenly with the depth."""
        at_zero, at_one = self.hold(inside, 0.0), self.hold(inside, 1.0)
        return (hold - at_zero) / (at_one - at_zero)


@dataclass(frozen=True)
class Rough:
    """How much larger than finished the boards are sawn."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class BoxRecipe:
    """A box with nothing left out. `inside` is the distance between inside faces: along the front, and from front to
    back; `height` is that of the boards. `corners` are the four joints, each with the boards that meet there, whose
    lengths run from its baselines to their raw ends at the next corner. `written` gives, corner by corner, the key of
    the box behind each key of the joint. `author`, `date` and
    `tables` are as in `Recipe`."""

    title: str
    units: Units
    inside: tuple[float, float]
    height: float
    tails_on_sides: bool
    back_above_bottom: bool
    corners: Mapping[CornerName, Recipe]
    written: Mapping[CornerName, Mapping[str, str]]
    groove: Groove
    panel: Panel
    rough: Rough
    stock: tuple[float | None, float | None]
    choices: tuple[Choice, ...]
    notices: tuple[str, ...]
    author: str = ""
    date: str = ""
    tables: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def slug(self) -> str:
        """The name of the folder that the files go into."""
        return slug(self.title)

    @property
    def back_rise(self) -> float:
        """How far the back's lower edge is above the reference edge."""
        return self.groove.top if self.back_above_bottom else 0.0
