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
from solids.recipe.resolved import Recipe

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

    # --- areas and volumes, exact ------------------------------------------------------------------

    def tail_area(self, tail: Tail, reach: float) -> float:
        """A_i(D): area of a tail in the XY plane from the baseline to Y = D (mm2)."""
        return reach * tail.width - (2 * self.depth * reach - reach**2) / self.ratio

    def socket_area(self, tail: Tail, reach: float) -> float:
        """Area of the pin board's socket for a tail from Y = 0 to Y = D, flank gap included (mm2)."""
        return self.tail_area(tail, reach) + 2 * reach * self.flank_shift

    @property
    def flank_area(self) -> float:
        """All flanks of the tails together between baseline and finished face, where glue holds (mm2)."""
        return 2 * len(self.tails) * self.recipe.tail_board.thickness * self.depth * self.flank_stretch

    def tail_board_volume(self, state: State) -> float:
        """Exact volume of the tail board in a state (mm3)."""
        board = self.recipe.tail_board
        body = self.width * board.length + sum(self.tail_area(tail, state.tail_end) for tail in self.tails)
        body += self.below * (board.length + state.tail_end)
        ends = sum(self._tail_end_loss(tail, state) for tail in self.tails)
        return state.show_z * body - ends - self._entry_chamfer_loss() - self._tail_hollows()

    def pin_board_volume(self, state: State) -> float:
        """Exact volume of the pin board in a state (mm3)."""
        board = self.recipe.pin_board
        reach = min(self.depth, state.show_y)
        sockets = sum(self.socket_area(tail, reach) for tail in self.tails)
        body = state.show_y * self.width * board.length
        crown = state.pin_end * (state.show_y * self.width - sockets)
        return body + crown - self._pin_end_loss(state) - self._pin_hollows()

    def _entry_chamfer_loss(self) -> float:
        """2 n s (d - back) c^2 / 2: a three-sided prism along each flank."""
        c = self.recipe.entry_chamfer.width
        return 2 * len(self.tails) * self.flank_stretch * self.chamfer_reach * c**2 / 2

    def _tail_hollows(self) -> float:
        """The hollows under the tail board's sockets: a triangle across its thickness, as wide as the socket at the
        baseline; those at the edges keep a land at that edge."""
        if self.land is None:
            return 0.0
        across = self.recipe.undercut.depth * (self.recipe.tail_board.thickness - 2 * self.land) / 2
        return across * (sum(self.tail_board_gaps(0.0)) - 2 * self.land)

    def _pin_hollows(self) -> float:
        """The hollows of the pin board's sockets: a triangle along Y; as the width changes evenly, it counts where the
        triangle has its middle. A half-blind one slopes down from its one land to the lap."""
        if self.land is None:
            return 0.0
        length = self.depth - self.land * (1 if self.is_half_blind else 2)
        middle = self.land + length * 2 / 3 if self.is_half_blind else self.depth / 2
        widths = (right - left for left, right in (self.socket_edges(tail, middle) for tail in self.tails))
        return self.recipe.undercut.depth * length / 2 * sum(widths)

    def _tail_end_loss(self, tail: Tail, state: State) -> float:
        """What the chamfer takes off one tail: a prism less the prismatoid that stays, both over the last c."""
        c = state.chamfer
        if c == 0:
            return 0.0
        foot = self.tail_width(tail, state.tail_end - c)
        end = self.tail_width(tail, state.tail_end)
        before = c * state.show_z * (foot + end) / 2
        top = end - 2 * c
        middle = (foot + top) / 2 * (state.show_z - c)
        return before - c / 6 * (foot * state.show_z + 4 * middle + top * (state.show_z - 2 * c))

    def _pin_end_loss(self, state: State) -> float:
        """What the chamfer takes off all pins together: their end faces inset by c, by the prismatoid rule."""
        c = state.chamfer
        if c == 0:
            return 0.0
        return sum(
            c * self.pin_end_area(pin, state, 0)
            - c / 6 * sum(k * self.pin_end_area(pin, state, e) for k, e in ((1, 0.0), (4, c / 2), (1, c)))
            for pin in range(len(self.tails) + 1)
        )

    def pin_end_area(self, pin: int, state: State, inset: float) -> float:
        """Area of the end of pin 0..n with all its sides moved inward by `inset`, normal to each side (mm2)."""
        reach = state.show_y
        half = pin in (0, len(self.tails))
        sides = self.flank_stretch + (1.0 if half else self.flank_stretch)
        return (reach - 2 * inset) * (self.pin_widths(reach / 2)[pin] - inset * sides)

    def overlap_volume(self, state: State | None = None) -> float:
        """Exact overlap of the seated boards, as cut where no state is named: a tight flank on each side of n tails
        (mm3)."""
        state = state or self.as_cut
        tight = abs(min(self.recipe.flank_gap, 0.0))
        c = self.recipe.entry_chamfer.width
        # In the band that a tight pin presses into, the chamfer has already taken this much of each cross-section.
        taken = tight * (c - tight / 2) if tight <= c else c**2 / 2
        whole = tight * state.show_z * min(self.depth, state.show_y) - self.chamfer_reach * taken
        return 2 * len(self.tails) * self.flank_stretch * whole

    def entry_overlap(self) -> float:
        """What tight tails meet on their way in beside the pins that stand proud (mm3): the same wedge, further up."""
        tight = abs(min(self.flank_shift, 0.0))
        return 2 * len(self.tails) * self.depth * tight * (self.as_cut.pin_end - self.as_cut.show_z)

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
