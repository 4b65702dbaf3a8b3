"""What a report holds, record by record. Every key that holds a length, angle, area or volume carries its unit."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.write.report.record import Number, Record
from solids.write.report.wood_records import AirRecord, MovementRecord, StrengthRecord, WoodRecord

SCHEMA_ID = "urn:halfpin:report:1"
NAME = "report.json"
FROZEN_WORDS = (
    "what the maker wrote and what was chosen, as a recipe in TOML: `halfpin build report.json` makes the same solids "
    "from it; null for a corner of a box"
)


class Tool(Record):
    """Who wrote this file."""

    name: Literal["halfpin"] = "halfpin"
    version: str


class BoardRecord(Record):
    """A board as resolved."""

    thickness_mm: Number
    length_mm: Number
    proud_mm: Number
    sawn: Literal["flat", "quarter"]
    wood: WoodRecord


class RecipeRecord(Record):
    """The recipe with nothing left out."""

    title: str
    units: Literal["mm", "in"]
    kind: Literal["through", "half-blind"]
    width_mm: Number
    tails: int
    slope_ratio: Number = Field(description="N of the slope 1:N")
    slope_deg: Number
    pin_mm: Number
    half_pin_mm: Number
    spacing: str
    allow_thin_half_pin: bool
    lap_mm: Number
    tail_board: BoardRecord
    pin_board: BoardRecord
    flank_gap_mm: Number
    hand_sigma_mm: Number
    hand_shift_mm: Number
    entry_chamfer_width_mm: Number
    entry_chamfer_back_mm: Number
    undercut_depth_mm: Number
    undercut_land_mm: Number
    finish_ends: Literal["flush", "proud"]
    finish_chamfer_mm: Number
    finish_planing_mm: Number
    kit_chisels_mm: tuple[Number, ...]
    kit_saw_kerf_mm: Number
    kit_knife_mm: Number
    kit_cutters_mm: tuple[Number, ...]
    kit_bush_mm: Number
    climate_shop: AirRecord
    climate_home_dry: AirRecord
    climate_home_damp: AirRecord
    paper_size: Literal["A4", "Letter", "A3"]
    paper_corner_relief: bool
    print_bed_mm: tuple[Number, Number]
    print_nozzle_mm: Number
    print_clearance_mm: Number
    print_magnet_mm: tuple[Number, Number] = Field(description="diameter and thickness")


class ChoiceRecord(Record):
    """A value that the recipe left out, the rule that chose it, and where the rule is from."""

    key: str
    value: str
    rule: str
    source: str = ""


class TailRecord(Record):
    """One tail: from where to where at the finished face, from the reference edge, and its width at three planes."""

    number: int
    left_mm: Number
    right_mm: Number
    width_mm: Number
    raw_end_width_mm: Number
    neck_width_mm: Number


class PinRecord(Record):
    """One pin as cut, half pins first and last: its width at the show face and at the inside face."""

    number: int
    narrow_mm: Number
    wide_mm: Number


class StateRecord(Record):
    """One state of the corner: how far wood reaches, and exact volumes."""

    name: Literal["as cut", "as finished"]
    tail_end_y_mm: Number
    pin_end_z_mm: Number
    show_face_y_mm: Number
    show_face_z_mm: Number
    chamfer_mm: Number
    tail_board_mm3: Number
    pin_board_mm3: Number


class PlanedRecord(Record):
    """What finishing takes off each board."""

    tail_board_mm3: Number
    pin_board_mm3: Number


class HandRecord(Record):
    """How often a hand gets the joint right: shares of joints, and the worst flank's gap in half and in 19 of 20."""

    right_share: Number
    worst_open_half_mm: Number
    worst_open_most_mm: Number
    worst_tight_half_mm: Number
    worst_tight_most_mm: Number
    best_flank_gap_mm: Number
    best_share: Number
    joints_tried: int = Field(description="0 where the exact formula was used")


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
    minutes: Number = Field(description="about how long a practised hand takes, to compare layouts")


class LayoutRecord(Record):
    """Where every tail and pin falls."""

    depth_mm: Number
    tails: tuple[TailRecord, ...]
    pins: tuple[PinRecord, ...]
    raw_end_gaps_mm: tuple[Number, ...] = Field(description="between the tails on the tail board's raw end")
    flank_area_mm2: Number
    free_play_mm: Number
    states: tuple[StateRecord, ...]
    planed_away: PlanedRecord
    hand_work: HandRecord


class OverlapPlaceRecord(Record):
    """Where the boards overlap."""

    place: str
    volume_mm3: Number


class OverlapRecord(Record):
    """The overlap of the seated boards by three ways; null where a way gave no answer."""

    closed_form_mm3: Number
    open_cascade_mm3: Number
    manifold_mm3: Number | None
    places: tuple[OverlapPlaceRecord, ...]


class ContactRecord(Record):
    """One pair of faces that should meet, measured on the solids; a gap is null where the faces do not meet."""

    name: str
    kind: Literal["flank", "shoulder", "floor", "lap", "edge"]
    tightest_mm: Number | None
    widest_mm: Number | None
    area_mm2: Number
    meant_gap_mm: Number
    meant_area_mm2: Number
    departs_mm: Number
    words: str


class HoldRecord(Record):
    """One direction out of the seat; null play where nothing holds."""

    direction: str
    play_mm: Number | None
    by: str
    confirmed: bool


class EntryRecord(Record):
    """The way in: what the tail board meets on it, and what it meets where tight flanks are asked for."""

    free: bool
    overlap_mm3: Number | None
    asked_mm3: Number


class FindingRecord(Record):
    """One judgement of the proof."""

    code: str
    severity: Literal["pass", "note", "warning", "fail"]
    sentence: str
    place: str
    measured: Number | None
    limit: Number | None
    unit: str
    remedy: str
    source: str = Field(description="where the limit comes from; empty where it rests on no figure of the trade")


class ProofRecord(Record):
    """Whether the joint goes together, and all findings."""

    passes: bool
    overlap: OverlapRecord
    contacts: tuple[ContactRecord, ...]
    entry: EntryRecord
    holds: tuple[HoldRecord, ...]
    findings: tuple[FindingRecord, ...]


class FileRecord(Record):
    """One file beside this report."""

    name: str
    holds: str
    bytes: int
    sha256: str = Field(pattern="^[0-9a-f]{64}$")
    stale: bool = Field(description="made from an earlier state of the recipe, or by another version")


class Report(Record):
    """Everything about one corner."""

    schema_id: Literal["urn:halfpin:report:1"] = Field("urn:halfpin:report:1", alias="schema")
    tool: Tool
    title: str
    recipe: RecipeRecord
    frozen_recipe: str | None = Field(None, description=FROZEN_WORDS)
    choices: tuple[ChoiceRecord, ...]
    notices: tuple[str, ...]
    layout: LayoutRecord
    bench: BenchRecord
    movement: MovementRecord
    strength: StrengthRecord
    proof: ProofRecord | None
    files: tuple[FileRecord, ...]
