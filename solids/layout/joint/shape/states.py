"""The extent of the wood in one state of a corner, and what else stands at it in a piece. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Span
from solids.recipe.tables.lip_resolved import NO_LIP, Lip

StateName = Literal["as cut", "finished"]


@dataclass(frozen=True)
class State:
    """The extent of the wood in one state of the corner.

    `tail_end` is the Y of the tails' ends, `pin_end` the Z of the pins' ends, `show_y` the Y of the pin board's show
    face, `show_z` the Z of the tail board's show face. `chamfer` runs round all ends; it is 0 if they are flush.
    """

    name: StateName
    tail_end: float
    pin_end: float
    show_y: float
    show_z: float
    chamfer: float


@dataclass(frozen=True)
class GrooveHere:
    """The groove for the bottom at one corner, in the inside faces, or for the top of a lid. `up` is its height above
    the lower edge of the box, `down` how far it is below the upper one.
    `spans` are its places in X: two if one drawing serves corners of both hands, with lower edges X = 0 and X = W.
    `reach` is how far it runs past the tail board's baseline; None if that board has no groove, such as a back above
    the bottom. In a pin board the groove ends in a socket, as no pin may be cut, but that a rebate may stop in the half
    pin at the edge. `pin_reach` is how far it runs past the tail board's inside face there."""

    up: float
    width: float
    depth: float
    spans: tuple[Span, ...]
    reach: float | None
    in_pin_board: bool
    pin_reach: float
    is_rebate: bool = False
    stops_in_pin: bool = False
    is_top: bool = False
    down: float = 0.0

    @property
    def name(self) -> str:
        """What it is."""
        return "top groove" if self.is_top else "rebate" if self.is_rebate else "groove"

    @property
    def gauged(self) -> tuple[float, str]:
        """How far it is from the edge that it is ploughed along, and from which."""
        return (self.down, "below the upper edge") if self.is_top else (self.up, "above the reference edge")

    @property
    def passes(self) -> Span | None:
        """The span where it crosses the joint, from the reference edge; None if it passes below the joint."""
        return (self.up, self.up + self.width) if self.in_pin_board else None


@dataclass(frozen=True)
class Standing:
    """The place of a joint in a piece with several: the `corners` where it is cut, those where it is `mirrored`, and
    the `tail_boards` that meet there. `sawn` is from where to where, above the reference edge, a lid is sawn off it,
    and `sawn_spans` are the same places in X: two if one drawing serves corners of both hands. `lip` is what the pin
    board has beyond the joint."""

    corners: tuple[str, ...] = ()
    mirrored: tuple[str, ...] = ()
    tail_boards: tuple[str, ...] = ()
    sawn: Span | None = None
    lip: Lip = NO_LIP
    sawn_spans: tuple[Span, ...] = ()
