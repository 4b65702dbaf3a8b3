"""What a maker should know about their paper: letters written otherwise, and cutters that do not pass."""

from __future__ import annotations

from collections.abc import Iterator

from solids.layout import Layout
from solids.milling import cuts, why_none
from solids.write.paper.letters import replaced


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
    for cut in cuts(layout):
        if cut.own and cut.best is None:
            what, mend = why_none(cut, layout.recipe.units)
            yield f"{what}, so no path is drawn; {mend}"
