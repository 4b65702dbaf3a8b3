"""Where every tail and pin falls: the single source of every number that follows. Pure arithmetic, lengths in mm.

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
from solids.base.messages import Words
from solids.recipe.tables.resolved import Recipe

StateName = Literal["as cut", "as finished"]
Item = TypeVar("Item")


@dataclass(frozen=True)
class Tail:
    """One tail, numbered from 1 at the reference edge: its edges in X at the plane Y = d."""

    number: int
    left: float
    right: float

    @property
    def width(self) -> float:
        """w, at the plane of the finished face."""
        return self.right - self.left

    @property
    def middle(self) -> float:
        """Half-way between its edges."""
        return (self.left + self.right) / 2


@dataclass(frozen=True)
class State:
    """How far wood reaches in one state of the corner.

    `tail_end` is the Y of the tails' ends, `pin_end` the Z of the pins' ends, `show_y` the Y of the pin board's show
    face, `show_z` the Z of the tail board's show face; `chamfer` runs round all ends and is 0 where they are flush.
    """

    name: StateName
    tail_end: float
    pin_end: float
    show_y: float
    show_z: float
    chamfer: float


@dataclass(frozen=True)
class GrooveHere:
    """The groove for the bottom as a corner has it, in the inside faces: `up` from the lower edge of the box, `width`
    and `depth`. `spans` are where it lies in X: two where one drawing serves corners of both hands, whose lower edges
    are X = 0 and X = W. `reach` is how far it runs past the tail board's baseline; None where a board has no groove,
    as a back has that stands above the bottom. In a pin board it ends in a socket, as no pin may be cut."""

    up: float
    width: float
    depth: float
    spans: tuple[Span, ...]
    reach: float | None
    in_pin_board: bool

    @property
    def passes(self) -> Span | None:
        """From where to where it passes through the joint, from the reference edge; None where it runs by below it."""
        return (self.up, self.up + self.width) if self.in_pin_board else None


@dataclass(frozen=True)
class Standing:
    """Where a joint stands in a piece with others: the `corners` it is cut at, those of them at which it is `mirrored`,
    and the `tail_boards` that meet there."""

    corners: tuple[str, ...] = ()
    mirrored: tuple[str, ...] = ()
    tail_boards: tuple[str, ...] = ()


@dataclass(frozen=True)
class Layout:
    """The joint laid out: the recipe it came from and its tails, by X.

    A maker measures from the reference edge. It is X = 0, unless the joint is `mirrored`: then it is X = W, as at two
    corners of every box. `below` is how far the tail board runs on between its reference edge and the joint, where its
    mate is narrower. `groove` is that for the bottom, None where there is none; `standing` tells where in a piece the
    joint is; `keys` are the keys of a box that stand for keys of the joint.
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
        """Where the reference edge is, seen on the tail board's show face with the raw end away from you."""
        return "right" if self.mirrored else "left"

    @property
    def strips(self) -> Span:
        """How far the tail board runs on beside the joint, past X = 0 and past X = W."""
        return (0.0, self.below) if self.mirrored else (self.below, 0.0)

    def measured(self, *xs: float) -> tuple[float, ...]:
        """Places in X as a maker measures them, from the reference edge of the pin board; the nearest comes first."""
        return tuple(sorted(self.width - x for x in xs)) if self.mirrored else xs

    def counted(self, by_x: Sequence[Item]) -> Sequence[Item]:
        """Tails, pins or gaps in the order in which a maker counts them, from the reference edge on."""
        return by_x[::-1] if self.mirrored else by_x

    # --- sizes ---------------------------------------------------------------------------------

    @property
    def width(self) -> float:
        """W, of both boards."""
        return self.recipe.width

    @property
    def depth(self) -> float:
        """d, from the baseline to the plane where the look is judged."""
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
        """s: a distance normal to a flank, or along it in the plane, as a multiple of its share in X or Y."""
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
        """As the saw and chisel leave it, ends standing proud."""
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
        """Ends planed flush with faces that are themselves planed, or left standing with chamfered edges."""
        cut, finish = self.as_cut, self.recipe.finish
        if finish.ends == "proud":
            return State("as finished", cut.tail_end, cut.pin_end, cut.show_y, cut.show_z, finish.chamfer)
        show_y, show_z = cut.show_y - finish.planing, cut.show_z - finish.planing
        return State("as finished", min(self.depth, show_y), show_z, show_y, show_z, 0.0)

    def state(self, *, finished: bool) -> State:
        """One of the two."""
        return self.as_finished if finished else self.as_cut

    @property
    def chamfer_reach(self) -> float:
        """The plane Y at which the entry chamfer ends; 0 where there is none."""
        chamfer = self.recipe.entry_chamfer
        return self.depth - chamfer.back if chamfer.width else 0.0

    @property
    def chamfer_stop(self) -> float:
        """How far short of the tails' raw ends the entry chamfer ends. Papers tell this alone: the finished face, which
        the recipe measures from, does not exist yet when the chamfer is cut."""
        return self.as_cut.tail_end - self.chamfer_reach

    @property
    def land(self) -> float | None:
        """The flat at each end of a hollowed socket floor; None where floors are flat."""
        return self.recipe.undercut.land if self.recipe.undercut.depth else None

    @property
    def narrowest(self) -> Tail:
        """The tail with the thinnest neck, the first of those that are alike."""
        return min(self.tails, key=lambda tail: (round(tail.width, 9), tail.number))

    # --- widths at a plane y -----------------------------------------------------------------------

    def tail_edges(self, tail: Tail, y: float) -> tuple[float, float]:
        """The X of both flanks of a tail at the plane Y = y."""
        inward = (self.depth - y) / self.ratio
        return tail.left + inward, tail.right - inward

    def socket_edges(self, tail: Tail, y: float) -> tuple[float, float]:
        """The X of both flanks of the pin board's socket for a tail at Y = y: the tail's edges and the flank gap."""
        left, right = self.tail_edges(tail, y)
        return left - self.flank_shift, right + self.flank_shift

    def tail_width(self, tail: Tail, y: float) -> float:
        """Width of a tail at the plane Y = y."""
        left, right = self.tail_edges(tail, y)
        return right - left

    def gap_spans(self, y: float) -> tuple[tuple[float, float], ...]:
        """From X to X between the tails at Y = y, with the two at the edges first and last: n + 1 of them."""
        return self._between(x for tail in self.tails for x in self.tail_edges(tail, y))

    def pin_spans(self, y: float) -> tuple[tuple[float, float], ...]:
        """From X to X of the pins as cut at Y = y, half pins first and last: n + 1 of them."""
        return self._between(x for tail in self.tails for x in self.socket_edges(tail, y))

    def _between(self, edges: Iterable[float]) -> tuple[tuple[float, float], ...]:
        bounds = [0.0, *edges, self.width]
        return tuple(zip(bounds[::2], bounds[1::2], strict=True))

    def tail_board_gaps(self, y: float) -> tuple[float, ...]:
        """Widths between the tails at Y = y, with the two at the edges first and last: n + 1 of them."""
        return tuple(right - left for left, right in self.gap_spans(y))

    def closed_gaps(self, y: float) -> tuple[float, ...]:
        """Those of them with wood on both sides: between tails, and beside a strip of the board that runs on."""
        gaps = self.tail_board_gaps(y)
        below, above = self.strips
        return gaps[0 if below else 1 : len(gaps) if above else -1]

    def pin_widths(self, y: float) -> tuple[float, ...]:
        """Widths of the pins as cut at Y = y, half pins first and last: n + 1 of them."""
        return tuple(right - left for left, right in self.pin_spans(y))

    @property
    def planing_left(self) -> float:
        """How much may be planed off a show face where floors are hollowed, with a little of the land left."""
        return self.recipe.undercut.land - tol.LEAST_FEATURE

    @property
    def floors_at_show_faces(self) -> tuple[float, ...]:
        """How long the socket floors are that end at a show face: the tail board's, and the pin board's unless a lap
        hides it."""
        thickness = self.recipe.tail_board.thickness
        return (thickness,) if self.is_half_blind else (thickness, self.depth)

    def gap_after_planing(self, planing: float) -> float:
        """How deep the hollow of a socket floor opens at a show face after so much is planed off it: the deeper of both
        boards', the tail board's alone where the lap hides the pin board's."""
        land, depth = self.land, self.recipe.undercut.depth
        if land is None or planing <= land:
            return 0.0
        shares = (1.0 - abs(planing - floor / 2) / (floor / 2 - land) for floor in self.floors_at_show_faces)
        return depth * max(0.0, *shares)

    def free_play(self) -> float:
        """How far the tails move in -Y before the flanks lock: g sqrt(N^2 + 1); 0 where the joint is not loose."""
        return max(self.recipe.flank_gap, 0.0) * math.sqrt(self.ratio**2 + 1)

    @property
    def lets_go(self) -> bool:
        """Whether the play is all that the tails are deep, but for a last bit that holds nothing."""
        return self.free_play() >= tol.LETS_GO_SHARE * self.depth


# --- from recipe to layout ---------------------------------------------------------------------------


def tails_in_words(count: int) -> str:
    """ "1 tail", "4 tails"."""
    return "1 tail" if count == 1 else f"{count} tails"


def tail_room(recipe: Recipe) -> float:
    """What is left for all tails together."""
    return recipe.width - 2 * recipe.half_pin - (len(recipe.tail_shares) - 1) * recipe.pin


def place(recipe: Recipe, *, mirrored: bool = False) -> Layout:
    """The layout of a recipe, without asking whether it can be cut. Its tails run from the reference edge on."""
    unit = tail_room(recipe) / sum(recipe.tail_shares)
    shares = list(enumerate(recipe.tail_shares, start=1))
    tails = []
    left = recipe.half_pin
    for number, share in reversed(shares) if mirrored else shares:
        right = left + share * unit
        tails.append(Tail(number, left, right))
        left = right + recipe.pin
    return Layout(recipe, tuple(tails), mirrored)
