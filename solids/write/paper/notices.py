"""What a maker should know about the paper: letters that had to be replaced, and cutters that do not pass."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.base.fonts import replaced
from solids.base.lengths import format_length, format_most
from solids.base.messages import Units
from solids.bench.milling import DEEPEST_BITE, Cut, cuts, relief_bite, why_none
from solids.layout import Layout


def paper_notices(layout: Layout) -> tuple[str, ...]:
    """All notices for this layout, each a sentence without a full stop."""
    return (*letter_notices(layout), *_cutters(layout))


def letter_notices(layout: Layout) -> Iterator[str]:
    """Which letters of the recipe's own texts are written otherwise."""
    recipe = layout.recipe
    texts = (recipe.title, recipe.tail_board.wood.name, recipe.pin_board.wood.name)
    changed = {ch: plain for text in texts for ch, plain in replaced(text).items()}
    if changed:
        told = ", ".join(f"{ch} as {plain}" for ch, plain in list(changed.items())[:12])
        more = f" and {len(changed) - 12} more" if len(changed) > 12 else ""
        yield f"The font of the paper lacks some characters, which are written in Latin letters: {told}{more}"


def _cutters(layout: Layout) -> Iterator[str]:
    for cut in cuts(layout):
        if cut.own and cut.best is None:
            what, mend = why_none(cut, layout.recipe.units)
            yield f"{what}, so no path is drawn; {mend}"
        elif cut.own and cut.relief_asked and cut.acute_corners and not cut.runs[-1].relief:
            yield _no_relief(cut, layout.recipe.units)


def _no_relief(cut: Cut, units: Units) -> str:
    """Why the path does not run into the corners though the recipe asks for it, and which cutter's path would."""
    size, bite = cut.runs[-1].cutter, relief_bite(cut.runs[-1].cutter.diameter, cut.corner_rad)
    most = min(2.0 * DEEPEST_BITE / (1.0 - math.sin(cut.corner_rad / 2)), cut.widest_passing)
    mend = f"one of {format_most(most, units)} or less would" if most >= cut.thinnest_reaching else "pare them by hand"
    return (
        f"The path of the {cut.board} does not run into its sharp corners (paper.corner_relief), for the {size.size} "
        f"cutter would bite {format_length(bite, units)} into both walls; {mend}"
    )
