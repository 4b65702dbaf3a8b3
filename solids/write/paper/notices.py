"""What a maker should know about their paper: letters written otherwise, and cutters that do not pass."""

from __future__ import annotations

from collections.abc import Iterator

from solids.drafting.outlines import LEAST_ROOM, cutter_choices
from solids.layout import Layout
from solids.lengths import format_most
from solids.write.paper.letters import replaced

THINNEST_CUTTER = 0.5
"""Thinner ones are not sold for wood. Common practice."""


def paper_notices(layout: Layout) -> tuple[str, ...]:
    """All notices for this layout, each a sentence without its full stop."""
    return (*_letters(layout), *_cutters(layout))


def _letters(layout: Layout) -> Iterator[str]:
    recipe = layout.recipe
    texts = (recipe.title, recipe.tail_board.wood.name, recipe.pin_board.wood.name)
    changed = {ch: plain for text in texts for ch, plain in replaced(text).items()}
    if changed:
        told = ", ".join(f"{ch} as {plain}" for ch, plain in list(changed.items())[:12])
        more = f" and {len(changed) - 12} more" if len(changed) > 12 else ""
        yield f"The font of the paper lacks some characters, which are written in Latin letters: {told}{more}"


def _cutters(layout: Layout) -> Iterator[str]:
    for choice in cutter_choices(layout):
        if choice.diameter is None:
            what = f"None of your cutters passes the {choice.board}'s openings, so no path is drawn"
            most = choice.opening - LEAST_ROOM
            thin = most < THINNEST_CUTTER
            mend = "widen joint.pin" if thin else f"one of {format_most(most, layout.recipe.units)} or less would"
            yield f"{what}; {mend}"
