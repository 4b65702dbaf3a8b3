"""What a report holds on the work at the bench, record by record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.write.report.records.record import Number, Record


class GaugeRecord(Record):
    """One setting of a marking gauge from the end of a board."""

    board: Literal["tail board", "pin board"]
    setting_mm: Number
    lines: str


class ScribeRecord(Record):
    """A baseline on one face: the spans to scribe; where not full they lie in waste only."""

    board: Literal["tail board", "pin board"]
    face: str
    full: bool
    spans_mm: tuple[tuple[Number, Number], ...]


class SawRecord(Record):
    """A flank to saw, and where the kerf lies on the waste side; null where the kit names no kerf."""

    board: Literal["tail board", "pin board"]
    name: str
    start_mm: Number
    end_mm: Number
    kerf_mm: tuple[Number, Number] | None


class ChiselRecord(Record):
    """What fits some sockets: the widest blade, and the widest of the maker's own, null where none fits."""

    sockets: str
    side: str
    widest_mm: Number
    own_mm: Number | None
    open_at_the_edge: bool


class CutLengthRecord(Record):
    """How long a board is sawn; `joint` holds what stands proud."""

    board: Literal["tail board", "pin board"]
    length_mm: Number
    joint_mm: Number
    proud_mm: Number
    saw_to_mm: Number


class ChopRecord(Record):
    """One cut with the chisel: from which face, how deep, and how far it leans."""

    board: Literal["tail board", "pin board"]
    face: str
    depth_mm: Number
    lean_deg: Number


class PlaningRecord(Record):
    """What is planed after gluing."""

    what: str
    amount_mm: Number
    more_mm: Number = Field(description="how much more at most, where the board beside the ends is thinner")
    direction: str


class WorkStepRecord(Record):
    """One step of the work."""

    what: str
    how: str


class BenchRecord(Record):
    """What to set, scribe, saw, chop and plane, and in which order."""

    cut_lengths: tuple[CutLengthRecord, ...]
    gauges: tuple[GaugeRecord, ...]
    scribes: tuple[ScribeRecord, ...]
    saw_lines: tuple[SawRecord, ...]
    bevel_deg: Number
    chisels: tuple[ChiselRecord, ...]
    chops: tuple[ChopRecord, ...]
    planing: tuple[PlaningRecord, ...]
    lines_left: tuple[str, ...]
    order_of_work: tuple[WorkStepRecord, ...]
    minutes: Number = Field(description="about how long, to compare layouts: half-way between the least and the most")
    least_minutes: Number = Field(description="about how long a practised hand takes, getting set up included")
    most_minutes: Number = Field(description="about how long an unhurried hand takes, getting set up included")
