"""From the rows of a cut list to the parts that are sawn out of boards. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base.amounts import sizes
from solids.base.messages import Words, message
from solids.layout.box.rows import CutListRow, boards_in_panel
from solids.layout.cutting.model import EXACT, Part
from solids.wood.rack import Rack

ROUND: tuple[tuple[str, ...], ...] = (("left", "front", "right", "back"), ("tail board", "pin board"))
"""The sides in the order in which they follow each other round the piece, seen from outside with the reference edge
down, from left to right. A box begins and ends at its back left corner, where nobody looks."""

MOST_GLUED = 20
"""Boards in one panel. More is no panel but a floor."""


def parts_of(rows: Sequence[CutListRow], rack: Rack) -> tuple[Part, ...]:
    """Every board of a cut list, each a part; one that is glued up and too wide for the rack as several."""
    return tuple(part for row in rows if not row.sheet for part in _glued(_part(row, rack.kerf), row, rack))


def _part(row: CutListRow, kerf: float) -> Part:
    length, width, thickness = row.rough
    return Part((row.name,), (length,), width, thickness, row.saw_to[2], row.wood, kerf)


def _glued(part: Part, row: CutListRow, rack: Rack) -> list[Part]:
    """The part, or as few as will make it up, each so much wider as it loses where it is planed for the glue."""
    widest = max((board.width for board in rack.boards if part.is_right(board)), default=0.0)
    spare = row.rough[1] - row.saw_to[1]
    if not part.is_glued or part.width <= widest + EXACT or widest <= spare:
        return [part]
    count = boards_in_panel(part.width, widest, spare)
    if count > MOST_GLUED:
        return [part]
    names = [f"{row.name} {number} of {count}" for number in range(1, count + 1)]
    return [
        Part((name,), part.lengths, part.width / count + spare, part.rough, part.planed, part.wood, part.kerf)
        for name in names
    ]


def in_a_row(parts: Sequence[Part]) -> tuple[tuple[Part, ...], Words]:
    """The parts with the sides joined to one, in the order in which they go round the piece, and "". Where they cannot
    lie in a row, the parts as they are, and why."""
    by_name = {part.name: part for part in parts}
    order = next((names for names in ROUND if all(name in by_name for name in names)), ())
    if not order:
        return tuple(parts), "it has no sides that follow each other"
    sides = [by_name[name] for name in order]
    first = sides[0]
    for side in sides[1:]:
        if side.wood != first.wood:
            return tuple(parts), f"the {first.name} is of {first.wood}, and the {side.name} of {side.wood}"
        for what in ("width", "rough"):
            one, other = getattr(first, what), getattr(side, what)
            if abs(one - other) > EXACT:
                called = "wide" if what == "width" else "thick"
                words = "the {} is sawn {} {}, and the {} {}"
                return tuple(parts), message(words, first.name, sizes(one), called, side.name, sizes(other))
    row = Part(
        order,
        tuple(length for side in sides for length in side.lengths),
        first.width,
        first.rough,
        max(side.planed for side in sides),
        first.wood,
        first.kerf,
    )
    return (row, *(part for part in parts if part.name not in order)), ""
