"""Plywood: what wood its faces are of, and how little its crossed plies let it move."""

from __future__ import annotations

from dataclasses import replace

from solids.wood.record import Movement, Wood

PLYWOOD_MOVES = Movement(0.0002, 0.0002, "Wood Handbook, FPL-GTR-190, 2010, chapter 12, second-hand")
"""Change of length and of width alike, as a share for 1 % of moisture, where about as much wood runs one way as the
other."""


def plywood_of(face: Wood) -> Wood:
    """Plywood faced with a wood, with its colour and density. It moves as plywood does; its strength is not known."""
    name = face.name if "plywood" in face.name.lower() else f"{face.name} plywood"
    return replace(face, name=name, movement=PLYWOOD_MOVES, strength=None)
