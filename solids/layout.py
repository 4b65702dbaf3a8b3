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
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from solids import tolerances as tol
from solids.errors import Problem, RecipeError
from solids.lengths import format_decimal
from solids.recipe.resolved import Recipe

StateName = Literal["as cut", "as finished"]


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
class Layout:
    """The joint laid out: the recipe it came from and its tails, from the reference edge."""

    recipe: Recipe
    tails: tuple[Tail, ...]

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

    def tail_board_gaps(self, y: float) -> tuple[float, ...]:
        """Widths between the tails at Y = y, with the two at the edges first and last: n + 1 of them."""
        edges = [0.0, *(x for tail in self.tails for x in self.tail_edges(tail, y)), self.width]
        return _spans(edges)

    def pin_widths(self, y: float) -> tuple[float, ...]:
        """Widths of the pins as cut at Y = y, half pins first and last: n + 1 of them."""
        edges = [0.0, *(x for tail in self.tails for x in self.socket_edges(tail, y)), self.width]
        return _spans(edges)

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
        return state.show_z * body - sum(self._tail_end_loss(tail, state) for tail in self.tails)

    def pin_board_volume(self, state: State) -> float:
        """Exact volume of the pin board in a state (mm3)."""
        board = self.recipe.pin_board
        reach = min(self.depth, state.show_y)
        sockets = sum(self.socket_area(tail, reach) for tail in self.tails)
        body = state.show_y * self.width * board.length
        return body + state.pin_end * (state.show_y * self.width - sockets) - self._pin_end_loss(state)

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

    def overlap_volume(self) -> float:
        """Exact overlap of the seated boards as cut: a tight flank on each side of n tails (mm3)."""
        tight = abs(min(self.recipe.flank_gap, 0.0)) * self.flank_stretch
        return 2 * len(self.tails) * self.recipe.tail_board.thickness * self.depth * tight

    def free_play(self) -> float:
        """How far the tails move in -Y before the flanks lock: g sqrt(N^2 + 1); 0 where the joint is not loose."""
        return max(self.recipe.flank_gap, 0.0) * math.sqrt(self.ratio**2 + 1)


def _spans(edges: list[float]) -> tuple[float, ...]:
    return tuple(right - left for left, right in zip(edges[::2], edges[1::2], strict=True))


# --- from recipe to layout ---------------------------------------------------------------------------


def lay_out(recipe: Recipe) -> Layout:
    """The layout of a recipe. RecipeError holds every reason why it cannot be cut."""
    problems = list(_problems(recipe))
    if problems:
        raise RecipeError(problems)
    return _place(recipe)


def complete(error: RecipeError) -> RecipeError:
    """The recipe's problems together with those of its layout, where the joint can be laid out at all."""
    if error.usable is None:
        return error
    return RecipeError([*error.problems, *_problems(error.usable)])


def _tail_room(recipe: Recipe) -> float:
    """What is left for all tails together."""
    return recipe.width - 2 * recipe.half_pin - (len(recipe.tail_shares) - 1) * recipe.pin


def _place(recipe: Recipe) -> Layout:
    unit = _tail_room(recipe) / sum(recipe.tail_shares)
    tails = []
    left = recipe.half_pin
    for number, share in enumerate(recipe.tail_shares, start=1):
        right = left + share * unit
        tails.append(Tail(number, left, right))
        left = right + recipe.pin
    return Layout(recipe, tuple(tails))


def _problems(recipe: Recipe) -> Iterable[Problem]:
    """Every way in which the recipe asks for wood that is not there."""
    room = _tail_room(recipe)
    if room < tol.LEAST_FEATURE * len(recipe.tail_shares):
        yield _too_narrow(recipe)
        return
    layout = _place(recipe)
    yield from _neck_problems(layout)
    yield from _half_pin_problems(recipe)
    yield from _pin_problems(layout)


def _too_narrow(recipe: Recipe) -> Problem:
    n, units = len(recipe.tail_shares), recipe.units
    taken = recipe.width - _tail_room(recipe)
    return Problem(
        "joint.width",
        f"{format_decimal(recipe.width, units)} leaves nothing for {n} tails once pins take "
        f"{format_decimal(taken, units)}",
        "take fewer tails, thinner pins and half pins, or a wider board",
    )


def _neck_problems(layout: Layout) -> Iterable[Problem]:
    """Tails whose neck at the baseline closes, tight flanks included."""
    recipe, d = layout.recipe, layout.depth
    spare = tol.LEAST_FEATURE - 2 * min(layout.flank_shift, 0.0)
    narrowest = min(layout.tails, key=lambda tail: tail.width)
    neck = layout.tail_width(narrowest, 0.0)
    if neck >= spare:
        return
    say = format_decimal
    flattest = 2 * d / (narrowest.width - spare) if narrowest.width > spare else math.inf
    remedy = "take fewer tails or a wider board"
    if flattest <= tol.FLATTEST_RATIO:
        remedy = f"take a slope of 1:{math.ceil(flattest * 10) / 10:g} or flatter, fewer tails or a wider board"
    yield Problem(
        "joint.tails",
        f"tail {narrowest.number} is {say(narrowest.width, recipe.units)} wide at the show face and closes before the "
        f"baseline {say(d, recipe.units)} below it, at a slope of 1:{layout.ratio:.4g}",
        remedy,
    )


def _half_pin_problems(recipe: Recipe) -> Iterable[Problem]:
    if recipe.allow_thin_half_pin:
        return
    say, units = format_decimal, recipe.units
    insist = "or insist with joint.allow_thin_half_pin = true"
    if recipe.half_pin < tol.HALF_PIN_LEAST:
        yield Problem(
            "joint.half_pin",
            f"{say(recipe.half_pin, units)} is under {say(tol.HALF_PIN_LEAST, units)}, the least that holds at an edge",
            f"accepted is {say(tol.HALF_PIN_LEAST, units)} or more, {insist}",
        )
    elif len(recipe.tail_shares) > 1 and recipe.half_pin <= recipe.pin:
        yield Problem(
            "joint.half_pin",
            f"{say(recipe.half_pin, units)} is not wider than the inner pins of {say(recipe.pin, units)}",
            f"accepted is more than {say(recipe.pin, units)}, {insist}",
        )


def _pin_problems(layout: Layout) -> Iterable[Problem]:
    """Pins that vanish: on the tail board's raw end, where the gap is narrowest; or as cut, where a gap thins them;
    or at their chamfered ends."""
    recipe, units = layout.recipe, layout.recipe.units
    say = format_decimal
    raw = recipe.tail_board.proud / layout.ratio
    thinned = layout.flank_shift
    chamfer = recipe.finish.chamfer
    # A chamfered pin is narrowest at y = show face less c, where its flank has moved by c/N and its sides by c s.
    pin_chamfer = 2 * chamfer * (layout.flank_stretch - 1 / layout.ratio)
    half_chamfer = chamfer * (1 + layout.flank_stretch - 1 / layout.ratio)
    inner = len(layout.tails) > 1
    for key, width, shares in (
        ("joint.pin", recipe.pin if inner else math.inf, (2 * raw, 2 * thinned, 2 * thinned + pin_chamfer)),
        ("joint.half_pin", recipe.half_pin, (raw, thinned, thinned + half_chamfer)),
    ):
        reasons = (
            f"on the tail board's raw end, which stands {say(recipe.tail_board.proud, units)} proud",
            f"once a flank gap of {say(recipe.flank_gap, units)} is cut",
            f"inside its chamfer of {say(chamfer, units)}",
        )
        worst, reason = max(zip(shares, reasons, strict=True))
        if width - worst < tol.LEAST_FEATURE:
            least = max(worst, 0.0) + tol.LEAST_FEATURE
            yield Problem(
                key,
                f"{say(width, units)} vanishes {reason}",
                f"accepted is {say(least, units)} or more",
            )
    narrowest_tail = min(tail.width for tail in layout.tails) + 2 * raw - 2 * chamfer
    thinnest = min(recipe.tail_board.thickness, recipe.pin_board.thickness) - 2 * chamfer
    if chamfer and min(narrowest_tail, thinnest) < tol.LEAST_FEATURE:
        yield Problem("finish.chamfer", f"{say(chamfer, units)} leaves nothing of an end", "take a smaller chamfer")
