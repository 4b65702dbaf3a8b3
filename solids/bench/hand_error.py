"""How often a hand-cut joint comes out right: errors of the hand, by formula and by trial.

Pins are knifed from the tails as cut, so the errors of the tails cancel. What is left is one independent error for each
flank, normal to it: the pin's flank against its knifed line, with a standard deviation sigma. A second, optional term
is one shift of the whole board, which opens all left flanks and closes all right ones by as much.

A joint is right when no flank is open by more than 0.1 mm and none is tighter than the wood forgives. Without a shift
the share of right joints is exactly (Phi(b) - Phi(a))^(2n), with a = (-limit - g)/sigma and b = (0.1 mm - g)/sigma.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING

from solids.base import tolerances as tol
from solids.layout import Layout

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

TRIALS = 100_000
RANDOM_SEED = 20_260
"""Fixed, so that the same question always gets the same answer."""


@dataclass(frozen=True)
class HandWork:
    """The outcome for many joints by one hand. Lengths in mm; a negative gap is tight.

    `right` is the share of right joints. `widest` and `tightest` are the gap of the worst flank that half of the
    joints, and 19 of 20, stay within. `best_gap` is the flank gap that makes most joints right, `best_right` that
    share. `joints` is how many were tried out, 0 where the formula was used.
    """

    sigma: float
    shift: float
    right: float
    widest: tuple[float, float]
    tightest: tuple[float, float]
    best_gap: float
    best_right: float
    joints: int


def hand_work(layout: Layout) -> HandWork:
    """How often a hand gets this joint right. A shift of a board in X moves each flank by its share normal to it."""
    recipe = layout.recipe
    limit = tol.tight_limit(both_hardwood=recipe.both_hardwood)
    shift = recipe.hand.shift / layout.flank_stretch
    return estimate(len(layout.tails), recipe.flank_gap, recipe.hand.sigma, limit, shift)


@lru_cache(maxsize=64)  # the proof tells it and the report holds it; a trial of 100,000 joints is worth keeping
def estimate(tails: int, gap: float, sigma: float, limit: float, shift: float = 0.0) -> HandWork:
    """By formula where that is exact, else by simulation."""
    return simulate(tails, gap, sigma, limit, shift) if shift else exact_estimate(tails, gap, sigma, limit)


def exact_estimate(tails: int, gap: float, sigma: float, limit: float) -> HandWork:
    """The exact figures for a joint of n tails whose flanks err on their own; the worst of 2n is Phi^(2n)."""
    normal = NormalDist(gap, sigma)
    half, most = (share ** (1 / (2 * tails)) for share in (0.5, 0.95))
    return HandWork(
        sigma=sigma,
        shift=0.0,
        right=share_right(tails, gap, sigma, limit),
        widest=(normal.inv_cdf(half), normal.inv_cdf(most)),
        tightest=(normal.inv_cdf(1 - half), normal.inv_cdf(1 - most)),
        best_gap=best_gap(limit),
        best_right=share_right(tails, best_gap(limit), sigma, limit),
        joints=0,
    )


def share_right(tails: int, gap: float, sigma: float, limit: float) -> float:
    """(Phi(b) - Phi(a))^(2n): the share of joints of n tails whose 2n flanks are all right."""
    normal = NormalDist(gap, sigma)
    return float((normal.cdf(tol.GAP_SHOWS) - normal.cdf(-limit)) ** (2 * tails))


def best_gap(limit: float) -> float:
    """The flank gap that makes most joints right: half-way between what shows and what binds, as errors to either side
    are equally likely."""
    return (tol.GAP_SHOWS - limit) / 2


def simulate(tails: int, gap: float, sigma: float, limit: float, shift: float = 0.0, joints: int = TRIALS) -> HandWork:
    """Cuts many joints with errors drawn at random; the same arguments always give the same figures."""
    import numpy as np

    dice = np.random.default_rng(RANDOM_SEED)
    flanks = dice.standard_normal((joints, 2, tails), dtype=np.float32)
    flanks *= sigma
    flanks += gap
    if shift:
        sides = np.array([[[1.0], [-1.0]]], np.float32)
        flanks += dice.standard_normal((joints, 1, 1), dtype=np.float32) * np.float32(shift) * sides
    widest, tightest = flanks.max(axis=(1, 2)), flanks.min(axis=(1, 2))
    wide, tight = np.quantile(widest, (0.5, 0.95)), np.quantile(tightest, (0.5, 0.05))
    return HandWork(
        sigma=sigma,
        shift=shift,
        right=_share_tried(flanks, limit),
        widest=(float(wide[0]), float(wide[1])),
        tightest=(float(tight[0]), float(tight[1])),
        best_gap=best_gap(limit),
        best_right=_share_tried(flanks + (best_gap(limit) - gap), limit),
        joints=joints,
    )


def _share_tried(flanks: npt.NDArray[np.float32], limit: float) -> float:
    """The share of joints, one a row, whose flanks are all right."""
    right = (flanks.max(axis=(1, 2)) <= tol.GAP_SHOWS) & (flanks.min(axis=(1, 2)) >= -limit)
    return float(right.mean())
