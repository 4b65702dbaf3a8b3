"""Where a joint of a box is measured from, in sentences for every paper. A joint alone needs none."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.lengths import format_both
from solids.layout import Layout
from solids.layout.box.kinds import and_so_on


def measured_from(layout: Layout) -> str:
    """What places on the tail board are measured from."""
    return "line where the joint begins" if layout.below else "reference edge"


def place_words(layout: Layout) -> tuple[str, ...]:
    """On which side the reference edge is, and where the joint begins on a board that is wider than its mate."""
    return (*_edge_words(layout), *_step_words(layout))


def _edge_words(layout: Layout) -> Iterator[str]:
    right = layout.standing.mirrored
    if not right:
        return
    yield "Measure from the lower edge of the boards, the reference edge, at every corner."
    same = "" if layout.mirrored else ", and the joint is the same from there"
    yield f"At the {and_so_on(right)} it is on the right, seen on the show face with the raw end up{same}."


def _step_words(layout: Layout) -> Iterator[str]:
    if not layout.below:
        return
    boards, up = and_so_on(layout.standing.tail_boards), format_both(layout.below, layout.recipe.units)
    yield f"On the {boards} board the joint begins {up} above the reference edge, level with that of the back."
    yield f"The wood of the {boards} board below it stays. Do not saw it off."
