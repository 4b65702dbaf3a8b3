"""Whether an aid finds room on the printer's bed: one rule and one refusal for all aids."""

from __future__ import annotations

import math

from solids.aids.aid import Refusal
from solids.aids.plates import MARGIN, room_on
from solids.base.amounts import in_mm
from solids.base.messages import message
from solids.base.tolerances import ROUNDING
from solids.recipe.resolved import Printing


def bed_room(printing: Printing) -> tuple[float, float]:
    """The shorter and the longer side that an aid may have."""
    short, long = sorted(room_on(printing.bed))
    return short, long


def finds_room(width: float, depth: float, printing: Printing) -> bool:
    """Whether an aid of this size lies on the bed, one way or the other."""
    size, room = sorted((width, depth)), bed_room(printing)
    return size[0] <= room[0] and size[1] <= room[1]


def too_large(name: str, width: float, depth: float, printing: Printing) -> Refusal | None:
    """A refusal with the bed that it takes; None where it finds room."""
    if finds_room(width, depth, printing):
        return None
    need = [math.ceil(side + 2 * MARGIN - ROUNDING) for side in sorted((width, depth), reverse=True)]
    have = sorted(printing.bed, reverse=True)
    why = message(
        "With {} free all round it takes a bed of {}; yours has {}.", in_mm(MARGIN), in_mm(*need), in_mm(*have)
    )
    return Refusal(name, why, f'Have it made on such a bed, and set print.bed = ["{need[0]} mm", "{need[1]} mm"].')
