"""The recipe of a box with nothing left out. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from solids.base import tolerances as tol
from solids.base.messages import Units
from solids.recipe.tables.dividers import Divider
from solids.recipe.tables.feet import Feet
from solids.recipe.tables.lid_resolved import Hinge, Lid, LidBoard, Lining
from solids.recipe.tables.lip_resolved import NO_LIP, Lip
from solids.recipe.tables.opening_resolved import Opening
from solids.recipe.tables.panel import SLIP_ABOVE, Held, Panel
from solids.recipe.tables.resolved import Choice, Recipe, slug
from solids.wood import Climate, Sawn, Seasons, Wood, change
from solids.wood.rack import NO_RACK, Rack

Side = Literal["front", "right", "back", "left"]
CornerName = Literal["front left", "front right", "back left", "back right"]
GrooveEnds = Literal["hidden", "stopped", "through", "plugged"]

SIDES: tuple[Side, ...] = ("front", "right", "back", "left")
CORNERS: tuple[CornerName, ...] = ("front left", "front right", "back left", "back right")


def grooved_sides(held: Held, *, above: bool) -> tuple[Side, ...]:
    """The boards that have a groove or rebate: all but a back that stands above the bottom, and sides with slips."""
    if held == "slips":
        return ("front",)
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
    becomes of its ends in the tail boards. A width of 0 is no groove. A rebate for the bottom is a groove at the edge:
    its width is how high it is, and it is 0 up."""

    width: float
    depth: float
    up: float
    ends: GrooveEnds

    @property
    def top(self) -> float:
        """How far its upper side is from the reference edge."""
        return self.up + self.width


NO_GROOVE = Groove(0.0, 0.0, 0.0, "stopped")


@dataclass(frozen=True)
class BackStands:
    """A back narrower than the sides: whether it stands above the bottom, how far its lower edge is up, how far its
    upper edge is down, whether the sides carry the tails, and the key that has it stand above the bottom."""

    above: bool
    rise: float
    down: float
    tails_on_sides: bool
    above_key: str

    @property
    def narrower(self) -> float:
        """How much narrower than the sides it is."""
        return self.rise + self.down

    @property
    def is_above_slips(self) -> bool:
        """Whether it stands above the bottom for the sake of slips, and nobody said so."""
        return self.above and self.above_key == "box.panel.held"


@dataclass(frozen=True)
class Rough:
    """How much larger than finished the boards are sawn."""

    length: float
    width: float
    thickness: float


@dataclass(frozen=True)
class BoxRecipe:
    """A box with nothing left out. `inside` is the distance between inside faces: along the front, and from front to
    back; `height` is that of the boards, and `back_down` how far the back's upper edge lies below the others'.
    `corners` are the four joints, each with the boards that meet there, whose lengths run from its baselines to their
    raw ends at the next corner. `written` gives, corner by corner, the key of the box behind each key of the joint.
    `lid` is one that is sawn off, and `top` what lies in its `top_groove`; `lid_board` is one of its own. `author`,
    `date`, `rack` and `tables` are as in `Recipe`. `opening` is what the drawer slides into, if it is one, and `lip`
    that of its front."""

    title: str
    units: Units
    inside: tuple[float, float]
    height: float
    tails_on_sides: bool
    back_above_bottom: bool
    back_down: float
    corners: Mapping[CornerName, Recipe]
    written: Mapping[CornerName, Mapping[str, str]]
    groove: Groove
    panel: Panel
    rough: Rough
    dividers: tuple[Divider, ...]
    feet: Feet | None
    stock: tuple[float | None, float | None]
    choices: tuple[Choice, ...]
    notices: tuple[str, ...]
    author: str = ""
    date: str = ""
    lid: Lid | None = None
    top_groove: Groove = NO_GROOVE
    top: Panel | None = None
    rack: Rack = NO_RACK
    tables: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)
    opening: Opening | None = None
    lid_board: LidBoard | None = None
    lip: Lip = NO_LIP

    @property
    def slug(self) -> str:
        """The name of the folder that the files go into."""
        return slug(self.title)

    @property
    def back_rise(self) -> float:
        """How far the back's lower edge is above the reference edge."""
        return self.groove.top if self.back_above_bottom else 0.0

    @property
    def floor(self) -> float:
        """How far the upper face of the bottom is above the reference edge."""
        return self.groove.top + self.panel.rises

    @property
    def slip_top(self) -> float:
        """How far the upper edges of slips are above it, where there are any."""
        return self.groove.top + SLIP_ABOVE

    @property
    def closed_height(self) -> float:
        """Height of the boards of the finished box, closed: less by what saw and plane took where a lid was sawn
        off."""
        return self.height - (self.lid.lost if self.lid else 0.0)

    @property
    def rim(self) -> float:
        """How far above the reference edge box and lid meet in the closed box: at the upper edges, or where a lid was
        sawn off."""
        return self.lid.low if self.lid else self.height

    @property
    def fitted_height(self) -> float:
        """How high the boards are once they are planed to an opening."""
        return self.height - (self.opening.plane if self.opening else 0.0)

    @property
    def chosen(self) -> set[str]:
        """The keys that a rule chose, and not the maker."""
        return {choice.key for choice in self.choices}

    @property
    def hinge(self) -> Hinge | None:
        """What hangs its lid, if anything does."""
        lid = self.lid or self.lid_board
        return lid.hinge if lid else None

    @property
    def lining(self) -> Lining | None:
        """What keeps a lid that is sawn off in its place, if it has a lining."""
        return self.lid.lining if self.lid else None
