"""How often a hand-cut joint comes out right, off the saw and after paring, by formula and by trial.

Pins are knifed from the tails as cut, so the errors of the tails cancel. What is left is one independent error for each
flank, normal to it: the pin's flank against its knifed line, with a standard deviation sigma. A second, optional term
is one shift of the whole board, which opens all left flanks and closes all right ones by as much.

Off the saw a joint is right when no flank is open by more than 0.1 mm and none is tighter than the wood forgives. At
the bench a tight flank is pared where it shines, a shaving at a time, so that it ends within what the wood forgives.
Spoilt is a gap that shows, as no shaving is put back, or a half pin so tight that it splits at the first try. That is
why the flanks are sawn a little fat.

Without a shift both shares are exact. With g for the gap that the saw aims at, which is that of the recipe less what is
left fat, and P(a, b) = Phi((b - g)/sigma) - Phi((a - g)/sigma), of f flanks of which h are those of half pins (of n
tails between two half pins, 2n and 2):

- off the saw, P(-limit, 0.1 mm)^f;
- after paring, P(-inf, 0.1 mm)^(f - h) P(-split, 0.1 mm)^h.
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
class Flanks:
    """The flanks of a joint as a hand saws them, left ones first. `moves` is how far each opens when the board shifts
    by one standard deviation, normal to it; `half_pins` are the places in that list of those of half pins."""

    moves: tuple[float, ...]
    half_pins: tuple[int, ...]

    @property
    def count(self) -> int:
        """f, how many there are."""
        return len(self.moves)

    @property
    def splitting(self) -> int:
        """h, how many of them are those of half pins."""
        return len(self.half_pins)


def flanks_of(layout: Layout) -> Flanks:
    """Those of a layout. A shift in X moves a flank by its share normal to it."""
    flanks = sorted(layout.flanks, key=lambda flank: flank.side)
    beside = [flank for gap in layout.gaps if gap.is_half for flank in gap.flanks]
    return Flanks(
        moves=tuple(-flank.side * (layout.recipe.hand.shift / flank.stretch) for flank in flanks),
        half_pins=tuple(place for place, flank in enumerate(flanks) if flank in beside),
    )


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
    """How often a hand gets this joint right."""
    recipe = layout.recipe
    return estimate(flanks_of(layout), recipe.flank_gap, recipe.hand.sigma, recipe.tight_limit)


@lru_cache(maxsize=64)  # the proof tells it and the report holds it; a trial of 100,000 joints is worth keeping
def estimate(flanks: Flanks, gap: float, sigma: float, limit: float) -> HandWork:
    """By formula where that is exact, else by simulation."""
    return (simulate if any(flanks.moves) else exact_estimate)(flanks, gap, sigma, limit)


def exact_estimate(flanks: Flanks, gap: float, sigma: float, limit: float) -> HandWork:
    """The exact figures for a joint whose flanks err on their own; the worst of f is Phi^f."""
    normal = NormalDist(gap, sigma)
    half, most = (share ** (1 / flanks.count) for share in (0.5, 0.95))
    fat, fat_pared = worth_leaving(lambda fat: share_pared(flanks, gap - fat, sigma, limit), gap, limit)
    return HandWork(
        gap=gap,
        sigma=sigma,
        right=share_right(flanks, gap, sigma, limit),
        pared=share_pared(flanks, gap, sigma, limit),
        widest=(normal.inv_cdf(half), normal.inv_cdf(most)),
        tightest=(normal.inv_cdf(1 - half), normal.inv_cdf(1 - most)),
        best_gap=best_gap(limit),
        best_right=share_right(flanks, best_gap(limit), sigma, limit),
        fat=fat,
        fat_pared=fat_pared,
        joints=0,
    )


def share_right(flanks: Flanks, gap: float, sigma: float, limit: float) -> float:
    """P(-limit, 0.1 mm)^f: the share of joints whose flanks are all right off the saw."""
    normal = NormalDist(gap, sigma)
    return float((normal.cdf(tol.GAP_SHOWS) - normal.cdf(-limit)) ** flanks.count)


def share_pared(flanks: Flanks, gap: float, sigma: float, limit: float) -> float:
    """P(-inf, 0.1 mm)^(f - h) P(-split, 0.1 mm)^h: the share of joints that are right after paring."""
    normal = NormalDist(gap, sigma)
    closed, splits = normal.cdf(tol.GAP_SHOWS), normal.cdf(-tol.SPLITS_AT * limit)
    return float(closed ** (flanks.count - flanks.splitting) * (closed - splits) ** flanks.splitting)


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


def simulate(flanks: Flanks, gap: float, sigma: float, limit: float, joints: int = TRIALS) -> HandWork:
    """Cuts many joints with errors drawn at random; the same arguments always give the same figures."""
    import numpy as np

    dice = np.random.default_rng(RANDOM_SEED)
    gaps = dice.standard_normal((joints, flanks.count), dtype=np.float32)
    gaps *= sigma
    gaps += gap
    if any(flanks.moves):
        gaps += dice.standard_normal((joints, 1), dtype=np.float32) * np.array(flanks.moves, np.float32)
    widest, tightest = gaps.max(axis=1), gaps.min(axis=1)
    half_pins = gaps[:, list(flanks.half_pins)].min(axis=1, initial=np.inf)
    wide, tight = np.quantile(widest, (0.5, 0.95)), np.quantile(tightest, (0.5, 0.05))
    pared = partial(_share_between, half_pins, widest, -tol.SPLITS_AT * limit)
    fat, fat_pared = worth_leaving(pared, gap, limit)
    return HandWork(
        gap=gap,
        sigma=sigma,
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
