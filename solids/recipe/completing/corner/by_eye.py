"""Tails drawn by eye: a little unlike each other, and on average wider toward the middle.

So they come out where a maker sets them out without dividers (common practice); the figures are ours. All is worked in
whole numbers from SHA-256 (FIPS 180-4), so that a recipe gives one joint for ever, on every machine. Of n tails, tail i
counted from 1 at the reference edge, in millionths of their mean width:

- arch(i) = ARCH 4 (i - 1) (n - i) / (n - 1)^2, rounded down: 0 at both edges, ARCH in the middle. 0 for one tail.
- wobble(i) = H mod (2 WOBBLE + 1) - WOBBLE, where H is the first four bytes, as one number, the highest first, of the
  SHA-256 of the text "seed/n/i", as in "7/4/1".
- stray(i) = n (arch(i) + wobble(i)) - the sum of arch + wobble over all tails: n times how far the tail is from the
  mean. All of them sum to 0.

Every tail's stray is then made less by one factor, in whole thousandths, until no tail is more than a tenth from the
mean and every limit holds that tails of one width keep. Where there is no room at all it is 0, and the tails are even.
A half tail at an edge is half of what it would be as a whole one.
These figures must stay: another one would move joints that are half cut. Lengths in mm.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator
from dataclasses import replace

from solids.base import tolerances as tol
from solids.recipe.tables.resolved import Recipe

BY_EYE = "by eye"

FIRST_SEED = 1
"""The seed where the maker names none. It is no part of the title, so that a new title moves no tail."""

ARCH, WOBBLE = 50_000, 60_000
"""How much wider a tail in the middle is on average than one at the edge, and how far a tail strays by chance, in
millionths of the mean width."""

MOST_STRAY = 0.1
"""The most that a tail differs from the mean, as a share of it."""

MILLION, THOUSAND = 1_000_000, 1_000


def drawn(recipe: Recipe, tails: int) -> Recipe:
    """The same joint with so many tails, drawn by eye from its seed. They keep every limit that even tails keep."""
    found, even = strays(recipe.seed, tails), tails * MILLION * THOUSAND
    whole = [1.0] * tails
    for end, edge in zip((0, -1), recipe.listed.edges, strict=True):
        whole[end] *= 0.5 if edge == "half tail" else 1.0
    mean = replace(recipe, tail_shares=tuple(whole)).tail_room / sum(whole)
    kept = _kept(recipe, mean, min(found) / (tails * MILLION), max(found) / (tails * MILLION))
    shares = (share * float(even + kept * stray) for share, stray in zip(whole, found, strict=True))
    return replace(recipe, tail_shares=tuple(shares))


def strays(seed: int, tails: int) -> tuple[int, ...]:
    """How far each tail is from the mean before any limit, in millionths of it times the number of tails."""
    offsets = [_arch(tails, number) + _wobble(seed, tails, number) for number in range(1, tails + 1)]
    return tuple(tails * offset - sum(offsets) for offset in offsets)


def _arch(tails: int, number: int) -> int:
    return ARCH * 4 * (number - 1) * (tails - number) // (tails - 1) ** 2 if tails > 1 else 0


def _wobble(seed: int, tails: int, number: int) -> int:
    digest = hashlib.sha256(f"{seed}/{tails}/{number}".encode()).digest()
    return int.from_bytes(digest[:4], "big") % (2 * WOBBLE + 1) - WOBBLE


def _kept(recipe: Recipe, mean: float, lowest: float, highest: float) -> int:
    """How many thousandths of what was drawn are kept, where tails of this `mean` width (mm) would stray from `lowest`
    to `highest`, as shares of it."""
    if mean <= 0 or lowest == highest:
        return 0  # a joint without room is refused later; one tail has nothing to differ from
    least = max((width for width in _least_widths(recipe, 2) if width <= mean + tol.ROUNDING), default=0.0)
    if "half tail" in recipe.listed.edges:
        halves = (2 * width for width in _least_widths(recipe, 1) if 2 * width <= mean + tol.ROUNDING)
        least = max((least, *halves))
    most = recipe.widest_tail + tol.LEAST_FEATURE
    below = min(MOST_STRAY, max(1.0 - least / mean, 0.0))
    above = min(MOST_STRAY, most / mean - 1.0) if mean <= most else MOST_STRAY
    return math.floor(THOUSAND * min(1.0, below / -lowest, above / highest))


def _least_widths(recipe: Recipe, flanks: int) -> Iterator[float]:
    """The widths at the show face under which a tail with so many flanks breaks one limit after the other: its neck,
    its socket, the chamfers on it."""
    ratio, depth = recipe.slope_ratio, recipe.depth
    stretch = math.hypot(1.0, 1.0 / ratio)
    tight = flanks * stretch * max(-recipe.flank_gap, 0.0)
    narrowest = min(recipe.kit.chisels, default=0.0)
    necks = (
        *(tight + least for least in (tol.LEAST_FEATURE, tol.CHISEL_NARROWEST, narrowest)),
        tol.CHISEL_USUAL,
        tol.slender_share(soft=recipe.tail_board.wood.is_soft) * depth,
        tol.LEAST_FEATURE + flanks * stretch * recipe.entry_chamfer.width,
    )
    yield from (neck + flanks * depth / ratio for neck in necks)
    yield tol.LEAST_FEATURE + 2 * recipe.finish.chamfer - flanks * recipe.tail_board.proud / ratio
