"""The report of a box, as models: recipe, sizes, boards, corners, proof, cut list, files."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from solids.write.report.record import Number, Record
from solids.write.report.records import FROZEN_WORDS, ChoiceRecord, FileRecord, FindingRecord, Report, Tool
from solids.write.report.wood_records import WoodRecord

BOX_SCHEMA_ID = "urn:halfpin:report:box:1"


class GrooveRecord(Record):
    """The groove for the bottom, from the reference edge."""

    width_mm: Number
    depth_mm: Number
    up_mm: Number
    ends: Literal["stopped", "through", "plugged"]


class BottomRecord(Record):
    """The bottom: its size in the box's X, Y and Z, its grain, its room across it, how much it grows across it until
    the dampest time at home and shrinks until the driest, and what its groove holds of it then."""

    size_mm: tuple[Number, Number, Number]
    low_mm: tuple[Number, Number, Number]
    wood: WoodRecord
    sawn: Literal["flat", "quarter"]
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
    panel_grain: str
    panel_wood: str
    panel_sawn: Literal["flat", "quarter"]
    panel_clearance_mm: Number
    panel_grows: Number = Field(description="across its grain until the dampest time at home, as a share of its width")
    panel_shrinks: Number = Field(description="the same until the driest")
    rough_mm: tuple[Number, Number, Number]
    stock_mm: tuple[Number | None, Number | None]
    corners: dict[str, object] = Field(description="the recipe of each kind of corner, by its corners' names")


class BoxBoardRecord(Record):
    """One board in its place: 16 numbers of `place` are the rows of a motion from its piece's frame into the box."""

    name: str
    piece: str
    kind: Literal["tail board", "pin board"]
    wood: WoodRecord
    width_mm: Number
    thickness_mm: Number
    between_baselines_mm: Number
    volume_as_cut_mm3: Number
    volume_as_finished_mm3: Number
    place: tuple[tuple[Number, Number, Number, Number], ...]


class CutListRecord(Record):
    """One row of the cut list."""

    name: str
    rough_mm: tuple[Number, Number, Number]
    saw_to_mm: tuple[Number, Number, Number] = Field(description="with what stands proud and what is planed off later")
    finished_mm: tuple[Number, Number, Number]
    wood: str
    grain: str
    mark: str
    volume_mm3: Number
    board_feet: Number


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
    files: tuple[FileRecord, ...]


def box_report_schema() -> dict[str, Any]:
    """The JSON Schema of a box's report."""
    schema = BoxReport.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": BOX_SCHEMA_ID, **schema}
