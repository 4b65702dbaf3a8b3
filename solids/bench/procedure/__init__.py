"""The order of work for one corner, in steps that a maker ticks off. Common practice, with this joint's own numbers.

Tails first: they are cut in the tail board, then knifed onto the pin board.
"""

from __future__ import annotations

from solids.bench.procedure.order import (
    SAW_TAILS,
    corner_stages,
    joint_work,
    order_of_work,
    planing_words,
    pressing_words,
)
from solids.bench.procedure.steps import Stage, WorkStep

__all__ = [
    "SAW_TAILS",
    "Stage",
    "WorkStep",
    "corner_stages",
    "joint_work",
    "order_of_work",
    "planing_words",
    "pressing_words",
]
