"""The tails of a joint in words, and where a joint of a box is measured from, in sentences for every paper. A joint
alone needs none."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.lengths import format_both
from solids.layout import Layout, tails_in_words
from solids.layout.box.kinds import and_so_on


def tails_told(layout: Layout) -> str:
    """ "4 tails", "3 tails (tail 1 a half tail)"."""
    told, halves = tails_in_words(len(layout.tails)), sorted(tail.number for tail in layout.tails if tail.is_half)
    if not halves:
        return told
    which = f"tail {halves[0]} a half tail" if len(halves) == 1 else f"tails {halves[0]} and {halves[1]} half tails"
    return f"{told} ({which})"


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
