"""How long a practised hand takes for one corner, in minutes: to compare layouts, not to send a bill.

Every figure is common practice: a few minutes a joint, half a minute a line, sawing and chopping by area and volume, in
a middling hardwood; slower in denser wood, in proportion to its density.
"""

from __future__ import annotations

from dataclasses import dataclass

from solids.layout import Layout
from solids.layout.joint.volumes import socket_area

SET_UP = 12.0
"""Setting gauges and bevel, face marks, dry fit."""

MARK_A_FLANK = 0.5
SAW_A_FLANK = 0.4
SAWN_MM2_A_MINUTE = 500.0
CHOP_A_SOCKET = 1.0
CHOPPED_MM3_A_MINUTE = 500.0
HALF_BLIND_FACTOR = 2.5
"""A half-blind socket is chopped, not sawn: it takes two to three times as long."""

MIDDLING_DENSITY = 650.0
"""kg/m3, for which the rates hold."""


@dataclass(frozen=True)
class WorkTime:
    """Minutes for marking, sawing and chopping, and all together."""

    marking: float
    sawing: float
    chopping: float

    @property
    def total(self) -> float:
        """The whole corner, setting up included."""
        return SET_UP + self.marking + self.sawing + self.chopping


def work_time(layout: Layout) -> WorkTime:
    """The time for one corner of this layout."""
    recipe, cut = layout.recipe, layout.as_cut
    flanks = 2 * len(layout.tails)
    tail_hardness = recipe.tail_board.wood.density / MIDDLING_DENSITY
    pin_hardness = recipe.pin_board.wood.density / MIDDLING_DENSITY
    tail_face = cut.tail_end * layout.flank_stretch * recipe.tail_board.thickness
    pin_face = cut.pin_end * layout.depth * layout.flank_stretch
    sawn = flanks * (tail_face * tail_hardness + pin_face * pin_hardness)
    gaps = sum(layout.tail_board_gaps(cut.tail_end / 2)) * cut.tail_end * recipe.tail_board.thickness
    sockets = sum(socket_area(layout, tail, layout.depth) for tail in layout.tails) * cut.pin_end
    blind = HALF_BLIND_FACTOR if layout.is_half_blind else 1.0
    chopped = gaps * tail_hardness + sockets * pin_hardness * blind
    return WorkTime(
        marking=2 * flanks * MARK_A_FLANK,
        sawing=2 * flanks * SAW_A_FLANK + sawn / SAWN_MM2_A_MINUTE,
        chopping=(flanks + 1) * CHOP_A_SOCKET + chopped / CHOPPED_MM3_A_MINUTE,
    )
