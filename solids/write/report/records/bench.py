"""What a report holds on the work at the bench, record by record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.write.report.records.record import Number, Record

BoardName = Literal["tail board", "pin board"]


class GaugeRecord(Record):
    """One setting of a marking gauge from the end of a board."""

    board: BoardName = Field(description="The board from whose end the setting is gauged.")
    setting_mm: Number = Field(description="How far the gauge is set from fence to point, in mm.")
    lines: str = Field(description="Which lines to gauge with this setting, and from where, in words.")


class ScribeRecord(Record):
    """A baseline on one face: the spans to gauge; where not full they lie in waste only."""

    board: BoardName = Field(description="The board to gauge.")
    face: str = Field(description="The face or edges that take the line: show face, inside face or both edges.")
    full: bool = Field(description="true where the line runs across the whole width, false where in the waste only.")
    spans_mm: tuple[tuple[Number, Number], ...] = Field(
        description="From where to where to gauge, in mm from the reference edge; empty for the edges of a board."
    )


class SawRecord(Record):
    """A flank to saw, and where the kerf lies on the waste side; null where the kit names no kerf."""

    board: BoardName = Field(description="The board to saw.")
    name: str = Field(description="The line to saw: a flank of a tail or socket, or beside the wood that stays.")
    start_mm: Number = Field(
        description="Where the line starts, in mm from the reference edge: on a tail board at the raw end, on a pin "
        "board at the show face or the lap."
    )
    end_mm: Number = Field(
        description="Where the line ends, in mm from the reference edge: on a tail board at the baseline, on a pin "
        "board at the inside face."
    )
    kerf_mm: tuple[Number, Number] | None = Field(
        description="From where to where the kerf lies at the start of the line, in mm from the reference edge; null "
        "where the kit names no kerf."
    )


class ChiselRecord(Record):
    """What fits some sockets: the widest blade, and the widest of the maker's own, null where none fits."""

    sockets: str = Field(description="The sockets meant: of which board, and which of them.")
    side: str = Field(description="The side from which the chisel goes in.")
    widest_mm: Number = Field(description="Width of the widest chisel that touches no flank there, in mm.")
    own_mm: Number | None = Field(
        description="Width of the widest chisel of the kit that fits, in mm; null where none does or none is named."
    )
    open_at_the_edge: bool = Field(
        description="true where the socket is open at the edge of the board, so that a wider chisel may hang over."
    )


class CutLengthRecord(Record):
    """How long a board is sawn; `joint` holds what stands proud."""

    board: BoardName = Field(description="The board to saw to length.")
    length_mm: Number = Field(description="Length of the board from its baseline to its other end, in mm.")
    joint_mm: Number = Field(description="Length of the tails or pins from the baseline to the raw end, in mm.")
    proud_mm: Number = Field(description="How much of that stands proud as cut, in mm.")
    saw_to_mm: Number = Field(description="Length to saw the board to, joint included, in mm.")


class ChopRecord(Record):
    """One cut with the chisel: from which face, how deep, and how far it leans."""

    board: BoardName = Field(description="The board to chop.")
    face: str = Field(description="The side from which to chop: show face, inside face or end.")
    depth_mm: Number = Field(description="How deep to chop from there, in mm.")
    lean_deg: Number = Field(
        description="How far the chisel leans out of square to hollow the socket floor, in degrees; 0 for a flat floor."
    )


class PlaningRecord(Record):
    """What is planed after gluing."""

    what: str = Field(description="The ends or faces to plane after the glue has set.")
    amount_mm: Number = Field(description="How much to plane off, in mm.")
    more_mm: Number = Field(description="How much more at most, in mm, where the board beside the ends is thinner.")
    direction: str = Field(description="Which way to plane, so that nothing breaks out.")


class WorkStepRecord(Record):
    """One step of the work."""

    what: str = Field(description="The step in a few words.")
    how: str = Field(description="How to do it, with the numbers to set, in the units of the recipe.")


class BenchRecord(Record):
    """What to set, gauge, saw, chop and plane, and in which order."""

    cut_lengths: tuple[CutLengthRecord, ...] = Field(description="How long to saw each board.")
    gauges: tuple[GaugeRecord, ...] = Field(description="What to set the marking gauges to.")
    scribes: tuple[ScribeRecord, ...] = Field(description="Where to gauge the baselines, face by face.")
    saw_lines: tuple[SawRecord, ...] = Field(
        description="Every line to saw, tail board first, in order from the reference edge."
    )
    bevel_deg: Number = Field(
        description="What to set the sliding bevel to: the angle between a flank and square, in degrees."
    )
    chisels: tuple[ChiselRecord, ...] = Field(description="Which chisels fit the sockets.")
    chops: tuple[ChopRecord, ...] = Field(description="Every cut with the chisel, in order.")
    planing: tuple[PlaningRecord, ...] = Field(description="What to plane after the glue has set.")
    lines_left: tuple[str, ...] = Field(description="Which gauged lines stay on the finished joint, in sentences.")
    order_of_work: tuple[WorkStepRecord, ...] = Field(description="The work step by step.")
    minutes: Number = Field(
        description="About how many minutes the joint takes, half-way between least and most, to compare layouts with."
    )
    least_minutes: Number = Field(description="About how many minutes a practised hand takes, getting set up included.")
    most_minutes: Number = Field(description="About how many minutes an unhurried hand takes, getting set up included.")
