"""How long the corners of a piece take, in minutes from a practised hand to an unhurried one: to compare layouts and to
plan an evening, not to send a bill.

The rates are those of the unhurried hand, in a middling hardwood. Most waste is sawn out beside the baseline, and the
rest is chopped and pared to it; in a half-blind socket, where no fret saw goes in, all of it is chopped. Denser wood is
slower, in proportion to its density. The shares of marking, sawing and chopping follow the one log that was found with
a time for every step; how much faster a practised hand is follows from a maker's time for a whole drawer. How the time
of a step is split between lines, areas and volumes is common practice, as no log gives the sizes of its boards.

- Unhurried: "Time. You're a cruel master", Fair Woodworking, 11 October 2012. A small box with four through corners,
  wood prepared: 25 min to gauge and lay out the tails, 24 to saw them and fret out the waste, 6 to get set up to chop,
  27 to chop; 59 to mark the pins, saw them and fret out the waste, 45 to chop. 186 min, before any fitting.
- Practised: C. Schwarz, "Dovetails in Real Time", Popular Woodworking, 2010. A whole drawer in about two hours, with
  its stock and its groove. "Drawers, Dovetails and Headaches", Kala Fine Furniture, 21 August 2007: both half-blind
  corners of a drawer in a little under an hour.

Quicker hands are on record. "Choppin' dovetails", in the forum of Fine Woodworking, March 2004, tells of four through
corners some ten inches wide, partly in pine, in just under an hour.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from solids.layout import Layout
from solids.layout.assembly import Assembly
from solids.layout.joint.volumes import socket_area, stretches

SET_UP = 12.0
"""Sharpening, setting gauges and bevel, face marks. Once for a piece."""

MARK_A_CORNER = 4.0
"""Gauging both boards, and laying one on the other to be knifed."""

MARK_A_FLANK = 0.6
SAW_A_CUT = 0.5
SAWN_MM2_A_MINUTE = 500.0
CHOP_A_SOCKET = 1.0
PARED_MM2_A_MINUTE = 110.0
"""Chopped and pared down to the line, of what a saw left on it: the floors of the sockets."""

CHOPPED_MM3_A_MINUTE = 1000.0
"""Out of a half-blind socket, in the rough."""

FIT_A_FLANK = 0.5
"""Trying it dry, and paring where it shines."""

REBATE = 6.0
"""Setting the plane and planing one across the end of a board. Common practice."""

MITRE_A_SHOULDER = 8.0
"""Marking one on both boards, sawing it and paring it to a block. Common practice."""

PRACTISED = 1 / 3
"""The share of these minutes that a practised hand needs: a drawer's corners then leave half an hour of the two hours
for stock and groove."""

MIDDLING_DENSITY = 650.0
"""kg/m3, for which the rates hold."""

ROUND_TO = 5.0
"""Nobody plans by less (min)."""


@dataclass(frozen=True)
class WorkTime:
    """Minutes of an unhurried hand for one corner, by what is done."""

    marking: float
    sawing: float
    chopping: float
    fitting: float
    shoulders: float

    @property
    def cutting(self) -> float:
        """The whole corner, once set up."""
        return self.marking + self.sawing + self.chopping + self.fitting + self.shoulders


@dataclass(frozen=True)
class Minutes:
    """How long it takes: a practised hand, and an unhurried one."""

    least: float
    most: float

    @property
    def middle(self) -> float:
        """Half-way between the two, where one figure is wanted."""
        return (self.least + self.most) / 2

    @property
    def words(self) -> str:
        """ "25 to 60", rounded outward."""
        least, most = self.least // ROUND_TO * ROUND_TO, -(-self.most // ROUND_TO) * ROUND_TO
        return f"{least:.0f} to {most:.0f}"


def piece_minutes(corners: Iterable[Layout]) -> Minutes:
    """For all the corners of one piece: getting set up counts once."""
    most = SET_UP + sum(work_time(layout).cutting for layout in corners)
    return Minutes(PRACTISED * most, most)


def corners_of(piece: Assembly) -> list[Layout]:
    """The layout of every corner of a piece, as often as it is cut."""
    return [kind.layout for kind in piece.kinds for _ in kind.names or ("",)]


def time_words(corners: list[Layout]) -> str:
    """How long they take, in a sentence."""
    what = "the corner" if len(corners) == 1 else f"all {len(corners)} corners"
    return (
        f"About {piece_minutes(corners).words} minutes for {what}, getting set up once included: the least for a "
        "practised hand, the most for an unhurried one."
    )


def work_time(layout: Layout) -> WorkTime:
    """The time for one corner of this layout, once set up."""
    recipe, cut, count, gaps = layout.recipe, layout.as_cut, len(layout.tails), len(layout.gaps)
    thick, flanks, stretched = layout.tail_thickness, len(layout.flanks), stretches(layout)
    hard_tails, hard_pins = (board.wood.density / MIDDLING_DENSITY for board in (recipe.tail_board, recipe.pin_board))
    tail_floors = sum(layout.tail_board_gaps(0.0)) * thick
    sockets = sum(socket_area(layout, tail, layout.depth) for tail in layout.tails)
    pins_long = cut.pin_end - layout.rebate
    tail_flanks, pin_flanks = stretched * cut.tail_end * thick, stretched * pins_long * layout.depth
    tail_sawn, tail_pared = tail_flanks + tail_floors, tail_floors
    cuts = 2 * flanks + gaps
    if layout.is_half_blind:  # sawn at a slant, half-way; the rest is chopped, and the lap is a wall more to pare
        pin_sawn, pin_chopped = pin_flanks / 2, sockets * pins_long
        pin_pared = sockets + sum(tail.width for tail in layout.tails) * thick
    else:
        pin_sawn, pin_chopped, pin_pared = pin_flanks + sockets, 0.0, sockets
        cuts += count
    return WorkTime(
        marking=MARK_A_CORNER + 2 * flanks * MARK_A_FLANK,
        sawing=cuts * SAW_A_CUT + (tail_sawn * hard_tails + pin_sawn * hard_pins) / SAWN_MM2_A_MINUTE,
        chopping=(count + gaps) * CHOP_A_SOCKET
        + (tail_pared * hard_tails + pin_pared * hard_pins) / PARED_MM2_A_MINUTE
        + pin_chopped * hard_pins / CHOPPED_MM3_A_MINUTE,
        fitting=flanks * FIT_A_FLANK,
        shoulders=REBATE * bool(layout.rebate) + MITRE_A_SHOULDER * sum(map(bool, recipe.mitre)),
    )
