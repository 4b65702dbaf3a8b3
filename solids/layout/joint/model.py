"""The layout of a joint: where every tail and pin falls. Every later number comes from here. Lengths in mm.

The frame (right-handed): X runs across both boards from the reference edge X = 0 to X = W. Y is the outward normal of
the pin board's show face, inside face Y = 0. Z is the outward normal of the tail board's show face, inside face Z = 0.
The tail board lies along -Y from the baseline Y = 0; the pin board hangs along -Z from the baseline Z = 0.

Tail i is [a_i, b_i] at Y = d, the plane of the finished face. With a slope of 1:N it narrows toward the baseline,
a_i(y) = a_i + (d - y)/N and b_i(y) = b_i - (d - y)/N, so that between the baseline and Y = D it covers

    A_i(D) = D w_i - (2 d D - D^2)/N,   w_i = b_i - a_i.

A flank gap g, measured normal to the flank, moves each pin flank by g s in X, with s = sqrt(1 + 1/N^2).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeVar

from solids.base import tolerances as tol
from solids.base.geometry import Span
from solids.base.messages import Words, counted
from solids.recipe.tables.resolved import Recipe

StateName = Literal["as cut", "finished"]
Item = TypeVar("Item")


@dataclass(frozen=True)
class Tail:
    """One tail, numbered from 1 at the reference edge: its edges in X at the plane Y = d."""

    number: int
    left: float
    right: float

    @property
    def width(self) -> float:
        """w, the width at the plane of the finished face."""
        return self.right - self.left

    @property
    def middle(self) -> float:
        """The X half-way between its edges."""
        return (self.left + self.right) / 2


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
    """The groove for the bottom at one corner, in the inside faces. `up` is its height above the lower edge of the box.
    `spans` are its places in X: two if one drawing serves corners of both hands, with lower edges X = 0 and X = W.
    `reach` is how far it runs past the tail board's baseline; None if that board has no groove, such as a back above
    the bottom. In a pin board the groove ends in a socket, as no pin may be cut."""

    up: float
    width: float
    depth: float
    spans: tuple[Span, ...]
    reach: float | None
    in_pin_board: bool

    @property
    def passes(self) -> Span | None:
        """The span where it crosses the joint, from the reference edge; None if it passes below the joint."""
        return (self.up, self.up + self.width) if self.in_pin_board else None


@dataclass(frozen=True)
class Standing:
    """The place of a joint in a piece with several: the `corners` where it is cut, those where it is `mirrored`, and
    the `tail_boards` that meet there."""

    corners: tuple[str, ...] = ()
    mirrored: tuple[str, ...] = ()
    tail_boards: tuple[str, ...] = ()


@dataclass(frozen=True)
class Layout:
    """The layout of one joint: its recipe, and its tails in order of X.

    A maker measures from the reference edge. That is X = 0, or X = W if the joint is `mirrored`, as at two corners of
    every box. `below` is how far the tail board runs past the joint at its reference edge, where its mate is narrower.
    `groove` is the groove for the bottom, if any. `standing` is the joint's place in a piece. `keys` are the keys of a
    box that stand for keys of the joint.
    """

    recipe: Recipe
    tails: tuple[Tail, ...]
    mirrored: bool = False
    below: float = 0.0
    groove: GrooveHere | None = None
    standing: Standing = Standing()
    keys: tuple[tuple[str, Words], ...] = ()

    # --- as a maker measures -------------------------------------------------------------------

    @property
    def edge_side(self) -> Literal["left", "right"]:
        """The side of the reference edge, seen on the tail board's show face with the raw end away from you."""
        return "right" if self.mirrored else "left"

    @property
    def strips(self) -> Span:
        """How far the tail board extends beyond the joint, past X = 0 and past X = W."""
        return (0.0, self.below) if self.mirrored else (self.below, 0.0)

    def measured(self, *xs: float) -> tuple[float, ...]:
        """Places in X as distances from the reference edge of the pin board, nearest first."""
        return tuple(sorted(self.width - x for x in xs)) if self.mirrored else xs

    def counted(self, by_x: Sequence[Item]) -> Sequence[Item]:
        """Tails, pins or gaps in the order a maker counts them, from the reference edge."""
        return by_x[::-1] if self.mirrored else by_x

    # --- sizes ---------------------------------------------------------------------------------

    @property
    def width(self) -> float:
        """W, the width of both boards."""
        return self.recipe.width

    @property
    def depth(self) -> float:
        """d, from the baseline to the plane of the finished face, where the look is judged."""
        return self.recipe.depth

    @property
    def ratio(self) -> float:
        """N of the slope 1:N."""
        return self.recipe.slope_ratio

    @property
    def slope_rad(self) -> float:
        """The angle between a flank and the length of the tail board."""
        return math.atan(1.0 / self.ratio)

    @property
    def flank_stretch(self) -> float:
        """s: a distance normal to a flank over its X component, or a distance along it over its Y component."""
        return math.sqrt(1.0 + 1.0 / self.ratio**2)

    @property
    def flank_shift(self) -> float:
        """g s: how far the flank gap moves each pin flank in X."""
        return self.recipe.flank_gap * self.flank_stretch

    @property
    def is_half_blind(self) -> bool:
        """Whether a lap hides the ends of the tails."""
        return self.recipe.kind == "half-blind"

    @cached_property
    def as_cut(self) -> State:
        """The state that saw and chisel leave, with the ends standing proud."""
        tails, pins = self.recipe.tail_board, self.recipe.pin_board
        return State(
            name="as cut",
            tail_end=self.depth + tails.proud,
            pin_end=tails.thickness + pins.proud,
            show_y=pins.thickness,
            show_z=tails.thickness,
            chamfer=0.0,
        )

    @cached_property
    def as_finished(self) -> State:
        """The finished state: faces planed and ends planed flush with them, or ends left proud with chamfered edges."""
        cut, finish = self.as_cut, self.recipe.finish
        if finish.ends == "proud":
            return State("finished", cut.tail_end, cut.pin_end, cut.show_y, cut.show_z, finish.chamfer)
        show_y, show_z = cut.show_y - finish.planing, cut.show_z - finish.planing
        return State("finished", min(self.depth, show_y), show_z, show_y, show_z, 0.0)

    def state(self, *, finished: bool) -> State:
        """The state finished or as cut."""
        return self.as_finished if finished else self.as_cut

    @property
    def chamfer_reach(self) -> float:
        """The Y where the entry chamfer ends; 0 if there is none."""
        chamfer = self.recipe.entry_chamfer
        return self.depth - chamfer.back if chamfer.width else 0.0

    @property
    def chamfer_stop(self) -> float:
        """The distance from the tails' raw ends to the end of the entry chamfer. Papers give only this: the finished
        face, from which the recipe measures, does not exist yet when the chamfer is cut."""
        return self.as_cut.tail_end - self.chamfer_reach

    @property
    def land(self) -> float | None:
        """The length of the flat at each end of a hollowed socket floor; None if the floors are flat."""
        return self.recipe.undercut.land if self.recipe.undercut.depth else None

    @property
    def narrowest(self) -> Tail:
        """The tail with the thinnest neck, the first if several are equal."""
        return min(self.tails, key=lambda tail: (round(tail.width, 9), tail.number))

    # --- widths at a plane y -----------------------------------------------------------------------

    def tail_edges(self, tail: Tail, y: float) -> tuple[float, float]:
        """The X of both flanks of a tail at the plane Y = y."""
        inward = (self.depth - y) / self.ratio
        return tail.left + inward, tail.right - inward

    def socket_edges(self, tail: Tail, y: float) -> tuple[float, float]:
        """The X of both flanks of the pin board's socket for a tail at Y = y: the tail's edges plus the flank gap."""
        left, right = self.tail_edges(tail, y)
        return left - self.flank_shift, right + self.flank_shift

    def tail_width(self, tail: Tail, y: float) -> float:
        """The width of a tail at the plane Y = y."""
        left, right = self.tail_edges(tail, y)
        return right - left

    def gap_spans(self, y: float) -> tuple[tuple[float, float], ...]:
        """The n + 1 spans in X between the tails at Y = y; the first and last lie at the edges."""
        return self._between(x for tail in self.tails for x in self.tail_edges(tail, y))

    def pin_spans(self, y: float) -> tuple[tuple[float, float], ...]:
        """The n + 1 spans in X of the pins as cut at Y = y; the first and last are the half pins."""
        return self._between(x for tail in self.tails for x in self.socket_edges(tail, y))

    def _between(self, edges: Iterable[float]) -> tuple[tuple[float, float], ...]:
        bounds = [0.0, *edges, self.width]
        return tuple(zip(bounds[::2], bounds[1::2], strict=True))

    def tail_board_gaps(self, y: float) -> tuple[float, ...]:
        """The n + 1 widths between the tails at Y = y; the first and last lie at the edges."""
        return tuple(right - left for left, right in self.gap_spans(y))

    def closed_gaps(self, y: float) -> tuple[float, ...]:
        """The widths of the gaps that have wood on both sides: between tails, and beside a strip beyond the joint."""
        gaps = self.tail_board_gaps(y)
        below, above = self.strips
        return gaps[0 if below else 1 : len(gaps) if above else -1]

    def pin_widths(self, y: float) -> tuple[float, ...]:
        """The n + 1 widths of the pins as cut at Y = y; the first and last are the half pins."""
        return tuple(right - left for left, right in self.pin_spans(y))

    @property
    def planing_left(self) -> float:
        """How much may be planed off a show face over a hollowed floor, with a little of the land left."""
        return self.recipe.undercut.land - tol.LEAST_FEATURE

    @property
    def floors_at_show_faces(self) -> tuple[float, ...]:
        """The lengths of the socket floors that end at a show face: the tail board's, and the pin board's unless a lap
        hides it."""
        thickness = self.recipe.tail_board.thickness
        return (thickness,) if self.is_half_blind else (thickness, self.depth)

    def gap_after_planing(self, planing: float) -> float:
        """The gap that a hollowed socket floor shows at a show face after `planing` is taken off it. The larger of both
        boards', or the tail board's alone if a lap hides the pin board's."""
        land, depth = self.land, self.recipe.undercut.depth
        if land is None or planing <= land:
            return 0.0
        shares = (1.0 - abs(planing - floor / 2) / (floor / 2 - land) for floor in self.floors_at_show_faces)
        return depth * max(0.0, *shares)

    def free_play(self) -> float:
        """How far the tails move in -Y before the flanks lock: g sqrt(N^2 + 1). 0 if the joint is not loose."""
        return max(self.recipe.flank_gap, 0.0) * math.sqrt(self.ratio**2 + 1)

    @property
    def lets_go(self) -> bool:
        """Whether the play is as long as the tails, apart from a last bit that holds nothing."""
        return self.free_play() >= tol.LETS_GO_SHARE * self.depth


# --- from recipe to layout ---------------------------------------------------------------------------


def tails_in_words(count: int) -> str:
    """ "1 tail", "4 tails"."""
    return counted(count, "tail")


def tail_room(recipe: Recipe) -> float:
    """The width left for all tails together."""
    return recipe.width - 2 * recipe.half_pin - (len(recipe.tail_shares) - 1) * recipe.pin


def place(recipe: Recipe, *, mirrored: bool = False) -> Layout:
    """The layout of a recipe. Does not check that it can be cut. Tails are numbered from the reference edge."""
    unit = tail_room(recipe) / sum(recipe.tail_shares)
    shares = list(enumerate(recipe.tail_shares, start=1))
    tails = []
    left = recipe.half_pin
    for number, share in reversed(shares) if mirrored else shares:
        right = left + share * unit
        tails.append(Tail(number, left, right))
        left = right + recipe.pin
    return Layout(recipe, tuple(tails), mirrored)
