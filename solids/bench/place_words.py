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
    return (*_edge_words(layout), *_step_words(layout), *_sawn_words(layout), *_lip_words(layout))


def _edge_words(layout: Layout) -> Iterator[str]:
    right = layout.standing.mirrored
    if not right:
        return
    yield "Measure from the lower edge of the boards, the reference edge, at every corner."
    same = "" if layout.mirrored else ", and the joint is the same from there"
    yield f"At the {and_so_on(right)} it is on the right, seen on the show face with the raw end up{same}."


def _step_words(layout: Layout) -> Iterator[str]:
    if not any(layout.strips):
        return
    boards, units = and_so_on(layout.standing.tail_boards), layout.recipe.units
    begins = f"begins {format_both(layout.below, units)} above the reference edge" if layout.below else ""
    ends = f"ends {format_both(layout.above, units)} below the other edge" if layout.above else ""
    if begins and ends:
        yield f"On the {boards} board the joint {begins} and {ends}, level with the edges of the back."
    else:
        yield f"On the {boards} board the joint {begins or ends}, level with that of the back."
    where = "below and above" if begins and ends else "below" if begins else "above"
    yield f"The wood of the {boards} board {where} it stays. Do not saw it off."


def _sawn_words(layout: Layout) -> Iterator[str]:
    """Which pin the lid is sawn off through, and where."""
    span = layout.standing.sawn
    if span is None:
        return
    middle = sum(span) / 2
    gaps = [layout.measured(*gap) for gap in layout.gap_spans(layout.depth)]
    number = next((i for i, (low, high) in enumerate(layout.counted(gaps), start=1) if low < middle < high), 0)
    low, high = (format_both(mm, layout.recipe.units) for mm in span)
    yield f"The lid is sawn off through pin {number}: saw and plane take from {low} to {high} above the lower edge."


def _lip_words(layout: Layout) -> Iterator[str]:
    """What of the pin board lies beyond the joint, and what that means for who saws and mills it."""
    lip, units = layout.standing.lip, layout.recipe.units
    if not lip:
        return
    wide = max(lip.left, lip.right)
    yield (
        f"The pin board has a lip {format_both(lip.thickness, units)} thick at its show face. Cut the rebate behind it "
        "first: all that is marked here is measured from the edge and the end behind the lip."
    )
    if wide:
        yield (
            f"Beyond the end the lip stands out by {format_both(wide, units)}: saw no deeper than the lap, at a slant, "
            "and keep the holder of a cutter clear of it."
        )
