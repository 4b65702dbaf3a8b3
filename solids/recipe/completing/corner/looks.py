"""The layout that a good maker would choose for two boards: slope, pins, half pins, and how many tails.

Two looks of the trade. A fine joint has pins that hardly let a knife in, and suits boards up to 1 in; a stout one has
pins of half the board, and suits planks. Between them all goes by thickness. Common practice where no source is named;
the figures that join the trade's single examples are ours. Pure arithmetic, lengths in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from solids.base import tolerances as tol
from solids.wood import Wood

LookName = Literal["fine", "stout"]
LOOKS: tuple[LookName, ...] = get_args(LookName)

FINE_UP_TO, STOUT_FROM = 25.0, 38.0
"""Boards up to the first, about 1 in, usually take the fine look, and from the second, about 1 1/2 in, the stout
one."""

WIDEST_PITCH, HALF_PITCH_AT = 52.0, 62.0
"""From tail to tail in a fine joint: half of the first on a board as wide as the second, and nearer to all of it the
wider the board is. That gives 3 tails on 3 in, 5 on 8 in, 9 on 16 in and 13 on 24 in. With pins of 3 mm no tail is then
wider than the 1 3/4 in of W. Noyes, but on boards of over 2 ft, where that rules."""

PITCH_TO_THICKNESS = 4.0
"""Thin stock has smaller tails: from tail to tail at most so many times the thinner board."""

STOUT_PITCH, STOUT_PITCH_TO_THICKNESS = 40.0, 0.6
"""From tail to tail in a stout joint: the first, and this share of the thinner board. That gives 3 tails on 1 3/4 by 8
in and 2 on 2 1/2 by 5 in."""

PIN_TO_HALF_PIN = 1.5
"""Half pins of a fine joint to its pins, where both are narrowest."""

PIN_TO_WIDTH, HALF_PIN_TO_WIDTH = 1 / 8, 1 / 5
"""Pins and half pins are at most these shares of a narrow board, so that it keeps a tail."""

SLOPES: tuple[tuple[float, float, float, str], ...] = (
    (6.5, 5.0, 5.0, "1:5 in a joint up to 1/4 in deep, where a flatter slope would hardly show"),
    (10.0, 7.0, 6.0, "1:7 in hard wood and 1:6 in soft, in a joint up to 3/8 in deep, by the wood of the tail board"),
    (38.5, 8.0, 6.0, "1:8 in hard wood and 1:6 in soft, by the wood of the tail board"),
    (
        float("inf"),
        8.0,
        7.0,
        "1:8 in hard wood and 1:7 in soft, in a joint over 1 1/2 in deep, by the wood of the tail board",
    ),
)
"""Up to which depth of a joint, the slopes 1:N in hard and in soft wood, and the rule. A short flank needs a steeper
slope to hold and to be seen; on a long one it would leave weak short grain at the tips."""


def usual_slope(wood: Wood, depth: float) -> tuple[float, str]:
    """The slope 1:N for a tail board of this wood in a joint this deep: N, and the rule. Soft is what gives way across
    the grain, whatever its tree."""
    hard, soft, rule = next(row[1:] for row in SLOPES if depth <= row[0])
    return (soft if wood.is_soft else hard), rule


@dataclass(frozen=True)
class Look:
    """How stout a joint is to look, from 0 (fine) to 1, in boards so thick, with flanks so deep and a slope of
    1:`slope_ratio`. A neck keeps at least `neck_share` of the depth, a pin half-way `pin_share` of the tail board."""

    stoutness: float
    tail_thickness: float
    pin_thickness: float
    depth: float
    slope_ratio: float
    neck_share: float = tol.SLENDER_HARD
    pin_share: float = tol.SLENDER_HARD

    @property
    def thinner(self) -> float:
        """The thickness of the thinner board."""
        return min(self.tail_thickness, self.pin_thickness)

    @property
    def widens(self) -> float:
        """By how much each flank widens a pin from the show face to the baseline."""
        return self.depth / self.slope_ratio

    def pin(self, width: float, chisels: Sequence[float] = ()) -> float:
        """A pin where it is narrowest, on a board so wide: not slender in a thick tail board, and not over its share of
        a narrow one. Where the maker names chisels it is as wide as lets the narrowest go down to the baseline, unless
        that asks for a pin wider than the board is thick."""
        fine = max(tol.PIN_USUAL, self.pin_share * self.tail_thickness - self.widens)
        stout = max(fine, self.thinner / 2 - 2 * self.widens)
        usual = min(self._between(fine, stout), max(PIN_TO_WIDTH * width, tol.PIN_USUAL))
        if not chisels:
            return usual
        at_blade = 2 * (self.depth - min(tol.BLADE_THICKNESS, self.depth)) / self.slope_ratio
        lets_in = min(chisels) - at_blade
        return lets_in if usual < lets_in <= self.thinner else usual

    def half_pin(self, width: float, pin: float) -> float:
        """A half pin beside pins of this width, where both are narrowest, on a board so wide: wider in a fine joint; in
        a stout one as wide at the baseline, where it has one flank only."""
        usual = self._between(PIN_TO_HALF_PIN * pin, pin + self.widens)
        narrow = max(HALF_PIN_TO_WIDTH * width, pin + tol.LEAST_STEP)
        return max(tol.HALF_PIN_LEAST, min(usual, narrow))

    def pitch(self, width: float) -> float:
        """From the middle of one tail to the next, on a board this wide with pins of the look's own."""
        fine = WIDEST_PITCH * width / (width + HALF_PITCH_AT)
        stout = STOUT_PITCH + STOUT_PITCH_TO_THICKNESS * self.thinner
        return min(self._between(fine, stout), PITCH_TO_THICKNESS * self.thinner)

    def tails(
        self, width: float, pin: float, half_pin: float, chisels: Sequence[float] = (), grading: float = 0.0
    ) -> int:
        """How many tails. Pins and half pins that are not the look's own leave the tails as wide as they would be; no
        tail is wider than the trade has it, and every neck holds and lets the narrowest chisel into its socket, where
        that can be had."""
        own = self.pin(width)
        spare = width - 2 * (half_pin - self.half_pin(width, own))
        wanted = spare / (self.pitch(width) + pin - own)
        room = width - 2 * half_pin
        holds = max(self.neck_share * self.depth, tol.CHISEL_USUAL, min(chisels, default=0.0))
        cut: list[tuple[int, float, float]] = []
        for n in range(1, tol.MOST_TAILS + 1):
            shares = tail_shares(n, grading)
            unit = (room - (n - 1) * pin) / sum(shares) if min(shares) > 0 else 0.0
            neck = unit * min(shares) - 2 * self.widens
            if cut and neck <= tol.LEAST_FEATURE:
                break  # more tails have thinner necks still
            cut.append((n, neck, unit * max(shares)))
        sound = [each for each in cut if each[1] >= holds] or cut[:1]
        slender = [each for each in sound if each[2] <= tol.widest_tail(self.thinner)] or sound[-1:]
        return min((n for n, _, _ in slender), key=lambda n: (abs(n - wanted), n))

    def _between(self, fine: float, stout: float) -> float:
        return fine + self.stoutness * (stout - fine)


def tail_shares(tails: int, grading: float) -> tuple[float, ...]:
    """The widths of the tails as shares of the first, which grow by `grading` from tail to tail toward the middle."""
    return tuple(1.0 + grading * min(i, tails - 1 - i) for i in range(tails))


def usual_stoutness(thinner: float) -> float:
    """How stout a joint usually looks in boards of which the thinner one is so thick."""
    return min(max((thinner - FINE_UP_TO) / (STOUT_FROM - FINE_UP_TO), 0.0), 1.0)
