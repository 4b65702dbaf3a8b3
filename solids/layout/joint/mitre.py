"""The mitred shoulder of a joint: the plane on which both boards are cut in a strip along an edge. Pure trigonometry,
lengths in mm, in the frame of the joint (see `shape/model.py`).

The plane runs from the inside corner Y = 0, Z = r to the outside corner as finished, Y = t_p - c, Z = t_t - c, with r
the rebate and c what planing takes. Boards of unequal thickness get two angles, which make a right angle together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Segment
from solids.layout.joint.shape.model import Layout

WhereOut = Literal["show face", "raw end"]


@dataclass(frozen=True)
class MitreOnBoard:
    """The mitre on one board as cut. `angle_rad` is that between the cut and the faces of the board, `ratio` N of 1:N,
    how far it runs along them for each mm that it rises. It begins on the inside face at the baseline, and comes `out`
    on the show face, `from_arris` away from the raw end, or on the raw end, `from_arris` under the show face. `length`
    is that of the cut across the edge."""

    board: Literal["tail board", "pin board"]
    angle_rad: float
    ratio: float
    out: WhereOut
    from_arris: float
    length: float


def mitre_line(layout: Layout) -> Segment:
    """The mitre seen along X: its inside corner and its outside corner as finished, in Y and Z."""
    finished = layout.as_finished
    return (0.0, layout.rebate), (finished.show_y, finished.show_z)


def mitre_angles(layout: Layout) -> tuple[float, float]:
    """The angles between the mitre and the faces of the tail board, and of the pin board (radians)."""
    (low_y, low_z), (high_y, high_z) = mitre_line(layout)
    return math.atan2(high_z - low_z, high_y - low_y), math.atan2(high_y - low_y, high_z - low_z)


def mitre_on_boards(layout: Layout) -> tuple[MitreOnBoard, MitreOnBoard]:
    """The mitre on the tail board and on the pin board, as cut."""
    (on_tails, on_pins), cut = mitre_angles(layout), layout.as_cut
    return (
        _on_board("tail board", on_tails, layout.tail_thickness, cut.tail_end),
        _on_board("pin board", on_pins, cut.show_y, cut.pin_end - layout.rebate),
    )


def _on_board(board: Literal["tail board", "pin board"], angle: float, thick: float, long: float) -> MitreOnBoard:
    """On a board that is so `thick` where it is cut, and so `long` from the baseline to its raw end."""
    along = thick / math.tan(angle)
    if along <= long:
        return MitreOnBoard(board, angle, 1.0 / math.tan(angle), "show face", long - along, math.hypot(along, thick))
    up = long * math.tan(angle)
    return MitreOnBoard(board, angle, 1.0 / math.tan(angle), "raw end", thick - up, math.hypot(long, up))
