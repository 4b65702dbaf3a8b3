"""How often a hand-cut joint comes out right, off the saw and after paring, by formula and by trial.

Pins are knifed from the tails as cut, so the errors of the tails cancel. What is left is one independent error for each
flank, normal to it: the pin's flank against its knifed line, with a standard deviation sigma. A second, optional term
is one shift of the whole board, which opens all left flanks and closes all right ones by as much.

Off the saw a joint is right when no flank is open by more than 0.1 mm and none is tighter than the wood forgives. At
the bench a tight flank is pared where it shines, a shaving at a time, so that it ends within what the wood forgives.
Spoilt is a gap that shows, as no shaving is put back, or a half pin so tight that it splits at the first try. That is
why the flanks are sawn a little fat.

Without a shift both shares are exact. With g for the gap that the saw aims at, which is that of the recipe less what is
left fat, and P(a, b) = Phi((b - g)/sigma) - Phi((a - g)/sigma):

- off the saw, P(-limit, 0.1 mm)^(2n);
- after paring, P(-inf, 0.1 mm)^(2n - 2) P(-split, 0.1 mm)^2, as two of the 2n flanks are those of half pins.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial
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

    `gap` is the flank gap of the recipe. `right` is the share of joints that are right off the saw, `pared` that
    after paring. `widest` and `tightest` are the gaps of the worst flank that half of the joints, and 19 of 20, stay
    within off the saw. `best_gap` is the flank gap that makes most joints right off the saw, `best_right` that share.
    `fat` is how much fatter to saw each flank than the recipe has it, 0 where that brings nothing, and `fat_pared`
    the share after paring then. `joints` is how many were tried out, 0 where the formula was used.
    """

    gap: float
    sigma: float
    shift: float
    right: float
    pared: float
    widest: tuple[float, float]
    tightest: tuple[float, float]
    best_gap: float
    best_right: float
    fat: float
    fat_pared: float
    joints: int

    @property
    def beyond_the_line(self) -> float:
        """How fat to saw each pin flank beside its knifed line; negative where a gap is asked for."""
        return self.fat - self.gap


def hand_work(layout: Layout) -> HandWork:
    """How often a hand gets this joint right. A shift of a board in X moves each flank by its share normal to it."""
    recipe = layout.recipe
    shift = recipe.hand.shift / layout.flank_stretch
    return estimate(len(layout.tails), recipe.flank_gap, recipe.hand.sigma, recipe.tight_limit, shift)


@lru_cache(maxsize=64)  # the proof tells it and the report holds it; a trial of 100,000 joints is worth keeping
def estimate(tails: int, gap: float, sigma: float, limit: float, shift: float = 0.0) -> HandWork:
    """By formula where that is exact, else by simulation."""
    return simulate(tails, gap, sigma, limit, shift) if shift else exact_estimate(tails, gap, sigma, limit)


def exact_estimate(tails: int, gap: float, sigma: float, limit: float) -> HandWork:
    """The exact figures for a joint of n tails whose flanks err on their own; the worst of 2n is Phi^(2n)."""
    normal = NormalDist(gap, sigma)
    half, most = (share ** (1 / (2 * tails)) for share in (0.5, 0.95))
    fat, fat_pared = worth_leaving(lambda fat: share_pared(tails, gap - fat, sigma, limit), gap, limit)
    return HandWork(
        gap=gap,
        sigma=sigma,
        shift=0.0,
        right=share_right(tails, gap, sigma, limit),
        pared=share_pared(tails, gap, sigma, limit),
        widest=(normal.inv_cdf(half), normal.inv_cdf(most)),
        tightest=(normal.inv_cdf(1 - half), normal.inv_cdf(1 - most)),
        best_gap=best_gap(limit),
        best_right=share_right(tails, best_gap(limit), sigma, limit),
        fat=fat,
        fat_pared=fat_pared,
        joints=0,
    )


def share_right(tails: int, gap: float, sigma: float, limit: float) -> float:
    """P(-limit, 0.1 mm)^(2n): the share of joints of n tails whose 2n flanks are all right off the saw."""
    normal = NormalDist(gap, sigma)
    return float((normal.cdf(tol.GAP_SHOWS) - normal.cdf(-limit)) ** (2 * tails))


def share_pared(tails: int, gap: float, sigma: float, limit: float) -> float:
    """P(-inf, 0.1 mm)^(2n - 2) P(-split, 0.1 mm)^2: the share of joints that are right after paring."""
    normal = NormalDist(gap, sigma)
    closed, splits = normal.cdf(tol.GAP_SHOWS), normal.cdf(-tol.SPLITS_AT * limit)
    return float(closed ** (2 * tails - 2) * (closed - splits) ** 2)


def best_gap(limit: float) -> float:
    """The flank gap that makes most joints right off the saw: half-way between what shows and what binds, as errors to
    either side are equally likely."""
    return (tol.GAP_SHOWS - limit) / 2


def worth_leaving(share: Callable[[float], float], gap: float, limit: float) -> tuple[float, float]:
    """How fat to leave each flank (mm), and the share of joints that are right after paring then. `share` gives that
    for any amount. The least that is as good as the best is taken, as all of it must be pared."""
    steps = int((gap + tol.SPLITS_AT * limit) / tol.FAT_STEP)
    tried = [(k * tol.FAT_STEP, share(k * tol.FAT_STEP)) for k in range(max(0, steps) + 1)]
    enough = max(right for _, right in tried) - tol.FAT_WORTH
    return next((fat, right) for fat, right in tried if right >= enough)


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
    half_pins = np.minimum(flanks[:, 0, 0], flanks[:, 1, -1])
    wide, tight = np.quantile(widest, (0.5, 0.95)), np.quantile(tightest, (0.5, 0.05))
    pared = partial(_share_between, half_pins, widest, -tol.SPLITS_AT * limit)
    fat, fat_pared = worth_leaving(pared, gap, limit)
    return HandWork(
        gap=gap,
        sigma=sigma,
        shift=shift,
        right=_share_between(tightest, widest, -limit, 0.0),
        pared=pared(0.0),
        widest=(float(wide[0]), float(wide[1])),
        tightest=(float(tight[0]), float(tight[1])),
        best_gap=best_gap(limit),
        best_right=_share_between(tightest, widest, -limit, gap - best_gap(limit)),
        fat=fat,
        fat_pared=fat_pared,
        joints=joints,
    )


def _share_between(tightest: npt.NDArray[np.float32], widest: npt.NDArray[np.float32], low: float, fat: float) -> float:
    """The share of joints with nothing tighter than `low` and no gap that shows, had each flank been cut so much
    fatter. Both arrays hold one gap a joint."""
    return float(((widest - fat <= tol.GAP_SHOWS) & (tightest - fat >= low)).mean())
