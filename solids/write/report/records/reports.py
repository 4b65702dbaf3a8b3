"""What a report holds, record by record. Every key that holds a length, angle, area or volume carries its unit."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.recipe.tables.box_resolved import GrooveEnds, PanelKind
from solids.write.report.records.bench import BenchRecord
from solids.write.report.records.record import (
    FROZEN_WORDS,
    ChoiceRecord,
    FileRecord,
    FindingRecord,
    Number,
    Record,
    Tool,
)
from solids.write.report.records.wood import AirRecord, MovementRecord, StrengthRecord, WoodRecord

SCHEMA_ID = "urn:halfpin:report:1"


class BoardRecord(Record):
    """A board as resolved."""

    thickness_mm: Number = Field(description="at its thickest place, which gauges and geometry follow")
    thinnest_mm: Number = Field(description="the same where the recipe gives one length")
    cup_mm: Number = Field(description="how hollow it is across its width")
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
    kit_scale_mm: Number
    climate_shop: AirRecord
    climate_home_dry: AirRecord
    climate_home_damp: AirRecord
    paper_size: Literal["A4", "Letter", "A3"]
    paper_corner_relief: bool
    print_bed_mm: tuple[Number, Number]
    print_nozzle_mm: Number
    print_clearance_mm: Number
    print_magnet_mm: tuple[Number, Number] = Field(description="diameter and thickness")


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
    """How often a hand gets the joint right: shares of joints, and off the saw the worst flank's gap in half and in 19
    of 20."""

    right_share: Number = Field(description="right off the saw")
    pared_share: Number = Field(description="right once what is tight is pared")
    worst_open_half_mm: Number
    worst_open_most_mm: Number
    worst_tight_half_mm: Number
    worst_tight_most_mm: Number
    best_flank_gap_mm: Number = Field(description="the flank gap at which most joints are right off the saw")
    best_share: Number = Field(description="right off the saw with that gap")
    fat_mm: Number = Field(description="how much fatter than the recipe to saw each flank, 0 where that brings nothing")
    fat_pared_share: Number = Field(description="right after paring, if the flanks are left so fat")
    joints_tried: int = Field(description="0 where the exact formula was used")


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


class ProofRecord(Record):
    """Whether the joint goes together, and all findings."""

    passes: bool
    overlap: OverlapRecord
    contacts: tuple[ContactRecord, ...]
    entry: EntryRecord
    holds: tuple[HoldRecord, ...]
    findings: tuple[FindingRecord, ...]


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


class GrooveRecord(Record):
    """The groove for the bottom, from the reference edge."""

    width_mm: Number
    depth_mm: Number
    up_mm: Number
    ends: GrooveEnds


class BottomRecord(Record):
    """The bottom: its size in the box's X, Y and Z, its grain, its room across it, how much it grows across it until
    the dampest time at home and shrinks until the driest, and what its groove holds of it then. For plywood all of that
    is along its longer way, and `sawn` is null."""

    kind: PanelKind
    size_mm: tuple[Number, Number, Number]
    low_mm: tuple[Number, Number, Number]
    wood: WoodRecord
    sawn: Literal["flat", "quarter"] | None
    grain: Literal["from left to right", "from front to back"]
    room_mm: Number
    grows_mm: Number
    shrinks_mm: Number
    held_mm: Number


class BoxRecipeRecord(Record):
    """The box as resolved. The joints' own keys stand in the corners."""

    inside_length_mm: Number
    inside_width_mm: Number
    height_mm: Number
    tails_on: Literal["sides", "ends"]
    back_above_bottom: bool
    groove: GrooveRecord
    panel_kind: PanelKind
    panel_grain: str
    panel_wood: str
    panel_sawn: Literal["flat", "quarter"] | None
    panel_clearance_mm: Number
    panel_grows: Number = Field(description="across its grain until the dampest time at home, as a share of its width")
    panel_shrinks: Number = Field(description="the same until the driest")
    rough_mm: tuple[Number, Number, Number]
    stock_mm: tuple[Number | None, Number | None]
    corners: dict[str, object] = Field(description="the recipe of each kind of corner, by its corners' names")


class BoxBoardRecord(Record):
    """One board in its place: the 12 numbers of `place` are the rows of a motion from its piece's frame into the
    box."""

    name: str
    piece: str
    kind: Literal["tail board", "pin board"]
    wood: WoodRecord
    width_mm: Number
    thickness_mm: Number = Field(description="at its thickest place")
    thinnest_mm: Number
    between_baselines_mm: Number
    volume_as_cut_mm3: Number
    volume_as_finished_mm3: Number
    place: tuple[tuple[Number, Number, Number, Number], ...]


class CutListRecord(Record):
    """One row of the cut list: a board, or a sheet of plywood, which has an area to buy in place of board feet."""

    name: str
    rough_mm: tuple[Number, Number, Number]
    saw_to_mm: tuple[Number, Number, Number] = Field(description="with what stands proud and what is planed off later")
    finished_mm: tuple[Number, Number, Number]
    wood: str
    grain: str
    mark: str
    volume_mm3: Number
    board_feet: Number
    board_feet_to_buy: Number = Field(description="as tallied when bought, a board at least an inch thick")
    sheet_mm2: Number


class MoveRecord(Record):
    """One step of putting the box together."""

    part: str
    direction: str


class BoxCornerRecord(Record):
    """One kind of corner: where it is, whether its reference edge is on the right, how far its tail board runs on below
    the joint, what papers say of its place, and its own report."""

    names: tuple[str, ...]
    mirrored: bool
    below_mm: Number
    place: tuple[str, ...]
    report: Report


class BoxReport(Record):
    """Everything about one box. Where only the layout was asked for, nothing is proved: `passes` is null, and `order`,
    `findings` and `files` are empty."""

    schema_id: Literal["urn:halfpin:report:box:1"] = Field("urn:halfpin:report:box:1", alias="schema")
    tool: Tool
    title: str
    units: Literal["mm", "in"]
    recipe: BoxRecipeRecord
    frozen_recipe: str | None = Field(None, description=FROZEN_WORDS)
    choices: tuple[ChoiceRecord, ...]
    notices: tuple[str, ...]
    outside_mm: tuple[Number, Number, Number]
    boards: tuple[BoxBoardRecord, ...]
    bottom: BottomRecord | None
    order: tuple[MoveRecord, ...]
    passes: bool | None
    findings: tuple[FindingRecord, ...]
    cut_list: tuple[CutListRecord, ...]
    corners: tuple[BoxCornerRecord, ...]
    least_minutes: Number = Field(description="about how long all corners take a practised hand, getting set up once")
    most_minutes: Number = Field(description="the same for an unhurried hand")
    files: tuple[FileRecord, ...]
