"""Whether an aid finds room on the printer's bed, and what is said where it does not."""

from __future__ import annotations

import math

from solids.aids.aid import Refusal
from solids.aids.plates import MARGIN
from solids.recipe.resolved import Printing

SLACK = 0.01
"""An aid that is as large as the room, to the last bit, does not count as fitting."""


def bed_room(printing: Printing) -> tuple[float, float]:
    """The shorter and the longer side that an aid may have."""
    short, long = sorted(side - 2 * MARGIN - SLACK for side in printing.bed)
    return short, long


def too_large(name: str, width: float, depth: float, printing: Printing) -> Refusal | None:
    """A refusal with the bed that it takes; None where it fits, laid either way."""
    size, room = sorted((width, depth)), bed_room(printing)
    if size[0] <= room[0] and size[1] <= room[1]:
        return None
    need = " x ".join(f"{math.ceil(side + 2 * MARGIN + SLACK)}" for side in (width, depth))
    why = f"It takes a bed of {need} mm; yours has {printing.bed[0]:g} x {printing.bed[1]:g} mm."
    return Refusal(name, why, f"Have it made on a bed of {need} mm or more, and name that as print.bed.")


def outgrown(footprint: tuple[float, float], printing: Printing) -> tuple[str, str] | None:
    """Why a tool of this footprint finds no room on the bed, and the bed that it takes; None where it fits."""
    sides, bed = sorted(footprint), sorted(printing.bed)
    if sides[0] <= bed[0] - 2 * MARGIN and sides[1] <= bed[1] - 2 * MARGIN:
        return None
    need = ", ".join(f"{math.ceil(side + 2 * MARGIN)}" for side in reversed(sides))
    why = (
        f"It takes {sides[1]:.0f} x {sides[0]:.0f} mm, which a bed of {bed[1]:g} x {bed[0]:g} mm does not hold "
        f"with {MARGIN:g} mm free all round."
    )
    return why, f"Set print.bed to [{need}] mm or more."
