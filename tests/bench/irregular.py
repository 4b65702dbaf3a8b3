"""A joint in which no two flanks lean alike: three tails, the first a half tail, one flank square, and a rebate; and
the same with a mitred shoulder at the other edge.

Width 96, t_t = 10 with a rebate of 2, so tails of 8; t_p = 12 and d = 12; the tails stand 0.3 proud, the pins 0.4. At
the finished face tail 1 is [0, 20], tail 2 [26, 52] and tail 3 [60, 88]. Their flanks: tail 1 right 1:5, tail 2 left
1:6 and right square, tail 3 left 1:8 and right 1:9. At the baseline, 12 mm lower, they have run in by 2.4, 2, 0, 1.5
and 4/3:

    tail 1 [0, 17.6], tail 2 [28, 52], tail 3 [61.5, 86.667]
    gaps   10.4, 9.5, 9.333 (half pin); at the finished face 6, 8, 8

On the raw end, 0.3 further out: tail 1 to 20.06, tail 2 [25.95, 52], tail 3 [59.9625, 88.0333].
"""

from __future__ import annotations

import math
from dataclasses import replace

from solids.layout import Layout, place
from solids.recipe.tables.resolved import Board, Kit, Listed, Recipe
from tests.recipes import WHOLE, laid_out

FACES = ((0.0, 20.0), (26.0, 52.0), (60.0, 88.0))
RATIOS = (math.inf, 5.0, 6.0, math.inf, 8.0, 9.0)
"""The first is that of the flush side, which is not looked at."""


def irregular(kit: Kit | None = None, *, mirrored: bool = False, **other: object) -> Layout:
    """It, with other values of its recipe where they are given."""
    recipe = laid_out(text=WHOLE).recipe

    def board(of: Board, thickness: float, proud: float) -> Board:
        return replace(of, thickness=thickness, proud=proud, uneven=0.0)

    own: dict[str, object] = {
        "width": 96.0,
        "rebate": 2.0,
        "flank_gap": 0.0,
        "tail_board": board(recipe.tail_board, 10.0, 0.3),
        "pin_board": board(recipe.pin_board, 12.0, 0.4),
        "listed": Listed(ratios=RATIOS, faces=FACES, edges=("half tail", "half pin")),
        "spacing": "flank by flank",
        "kit": kit or recipe.kit,
    }
    changed: Recipe = replace(recipe, **{**own, **other})  # type: ignore[arg-type]
    return place(changed, mirrored=mirrored)


def mitred(width: float = 6.0, **other: object) -> Layout:
    """The same with a shoulder mitred so wide at the other edge, where the half pin is 8 mm less that."""
    narrower = (*FACES[:2], (60.0, 82.0))
    listed = Listed(ratios=RATIOS, faces=narrower, edges=("half tail", "half pin"))
    return irregular(**{"listed": listed, "mitre": (0.0, width), **other})  # type: ignore[arg-type]
