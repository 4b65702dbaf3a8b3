"""What a report holds as a whole: of one joint, or of a box with a report for each kind of corner.

Every key that holds a length, angle, area or volume carries its unit.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.recipe.tables.panel import Edge, Held, PanelFace, PanelKind
from solids.write.report.records.bench import BenchRecord, BoardName
from solids.write.report.records.cutting import CuttingRecord
from solids.write.report.records.dividers import DividerRecord
from solids.write.report.records.gluing import GlueUpRecord
from solids.write.report.records.layout import LayoutRecord
from solids.write.report.records.lid import LidRecord
from solids.write.report.records.opening import OpeningRecord
from solids.write.report.records.proof import ProofRecord
from solids.write.report.records.recipe import BoxRecipeRecord, RecipeRecord, Sawn, WoodRecord
from solids.write.report.records.record import (
    CHOICES_WORDS,
    FILES_WORDS,
    FROZEN_WORDS,
    NOTICES_WORDS,
    SCHEMA_WORDS,
    TOOL_WORDS,
    ChoiceRecord,
    FileRecord,
    FindingRecord,
    Number,
    Record,
    Tool,
)
from solids.write.report.records.wood import MovementRecord, StrengthRecord

SCHEMA_ID = "urn:halfpin:report:1"

Sizes = tuple[Number, Number, Number]


class MaterialRecord(Record):
    """One line of the bill of materials: parts that are alike, or hardware."""

    names: tuple[str, ...] = Field(description="The parts that are alike, or what the hardware is.")
    count: int = Field(description="How many of them.")
    finished_mm: Sizes | None = Field(description="Finished length, width and thickness, in mm; null for hardware.")
    material: str = Field(description="The wood, or what the hardware is of.")
    each_kg: Number | None = Field(description="Mass of each at 12 % moisture, in kg; null for hardware.")
    note: str = Field(description="More about it, in words; else empty.")


BILL_WORDS = "The bill of materials; empty in the report of one kind of corner of a box."
WEIGHT_WORDS = (
    "Mass of the piece when done, at 12 % moisture, without glue, finish and hardware, in kg; null in the report of "
    "one kind of corner of a box."
)
CUTTING_WORDS = (
    "How the piece is cut out of the boards in the rack; null where no rack is named, where no files were written, and "
    "in the report of one kind of corner of a box."
)


GLUE_UP_WORDS = (
    "The glue-up; null in the report of one kind of corner of a box, and in that of a box whose order is not proved."
)


class Report(Record):
    """Everything about one corner."""

    schema_id: Literal["urn:halfpin:report:1"] = Field("urn:halfpin:report:1", alias="schema", description=SCHEMA_WORDS)
    tool: Tool = Field(description=TOOL_WORDS)
    title: str = Field(description="The name of the joint, from which its folder is named.")
    recipe: RecipeRecord = Field(description="The recipe with nothing left out.")
    frozen_recipe: str | None = Field(None, description=FROZEN_WORDS)
    choices: tuple[ChoiceRecord, ...] = Field(description=CHOICES_WORDS)
    notices: tuple[str, ...] = Field(description=NOTICES_WORDS)
    layout: LayoutRecord = Field(description="Where every tail and pin falls.")
    bench: BenchRecord = Field(description="What to set, gauge, saw, chop and plane, and in which order.")
    movement: MovementRecord = Field(description="What the wood does through the year.")
    strength: StrengthRecord = Field(description="What the joint holds, to compare layouts with; never a design value.")
    proof: ProofRecord | None = Field(
        description="Whether the joint goes together; null where only the layout was asked for."
    )
    materials: tuple[MaterialRecord, ...] = Field((), description=BILL_WORDS)
    weight_kg: Number | None = Field(None, description=WEIGHT_WORDS)
    cutting: CuttingRecord | None = Field(None, description=CUTTING_WORDS)
    glue_up: GlueUpRecord | None = Field(None, description=GLUE_UP_WORDS)
    files: tuple[FileRecord, ...] = Field(description=FILES_WORDS)


# --- a box -----------------------------------------------------------------------------------------


class BottomRecord(Record):
    """The bottom: its size in the box's X, Y and Z, its grain, its room across it, how much it grows across it until
    the dampest time at home and shrinks until the driest, and what its groove holds of it then. For plywood all of that
    is along its longer way, and `sawn` is null."""

    kind: PanelKind = Field(description="What the bottom is made of: solid wood or plywood.")
    size_mm: Sizes = Field(description="Size from left to right, from front to back, and thickness, in mm.")
    low_mm: Sizes = Field(
        description="How far the bottom's left, front and under sides lie from those of the finished box, in mm."
    )
    wood: WoodRecord = Field(description="The wood of the bottom, or of the faces of its plywood.")
    sawn: Sawn | None = Field(description="How the bottom was sawn from the log; null for plywood.")
    grain: Literal["from left to right", "from front to back"] = Field(description="Which way its grain runs.")
    held_by: Held = Field(
        description="What holds it: a groove in the boards, a rebate along their reference edges, or slips."
    )
    edge: Edge = Field(description="Its edge: plain, rebated to a tongue, or fielded.")
    face: PanelFace | None = Field(description="The face its edge is cut on; null for a plain edge.")
    tongue_mm: Number = Field(description="How thick its edge is, in mm.")
    border_mm: Number = Field(description="From its edge to its shoulder or field, in mm; 0 for a plain edge.")
    slip_mm: Number = Field(description="How thick the slips are, in mm; 0 where there are none.")
    bearing_mm2: Number = Field(description="The area over which its edges are held, as made, in mm2.")
    room_mm: Number = Field(description="How much narrower it is made so that it may grow at the dampest, in mm.")
    grows_mm: Number = Field(description="How much the bottom grows until the dampest time at home, in mm.")
    shrinks_mm: Number = Field(description="How much the bottom shrinks until the driest time at home, in mm.")
    held_mm: Number = Field(description="How much of its edge each groove or rebate still holds at the driest, in mm.")


class FittedRecord(Record):
    """A part that no dovetail holds, where it lies in the box."""

    name: str = Field(description="The part, as the cut list has it.")
    wood: WoodRecord = Field(description="Its wood.")
    low_mm: Sizes = Field(description="How far from the left, front and lower side of the box it begins, in mm.")
    high_mm: Sizes = Field(description="How far it reaches from there, in mm.")
    volume_mm3: Number = Field(description="Its volume, in mm3.")


class CutRecord(Record):
    """What is cut from a board for such a part."""

    board: str = Field(description="The board that it is cut from.")
    name: str = Field(description="What it is.")
    low_mm: Sizes = Field(description="Where it begins, as for a part, in mm.")
    high_mm: Sizes = Field(description="How far it reaches, in mm.")
    volume_mm3: Number = Field(description="The wood that it takes from the board as cut, in mm3.")


class BoxBoardRecord(Record):
    """One board in its place: the 12 numbers of `place` are the rows of a motion from its piece's frame into the
    box."""

    name: str = Field(description="The board: front, right, back or left.")
    piece: str = Field(description="The first board that has this same shape, which may be the board itself.")
    kind: BoardName = Field(description="Whether the board carries tails or pins.")
    wood: WoodRecord = Field(description="The wood of the board.")
    width_mm: Number = Field(description="Width of the board, upright in the box, in mm; of a front, without its lip.")
    thickness_mm: Number = Field(description="Thickness at the thickest place, in mm.")
    thinnest_mm: Number = Field(description="Thickness at the thinnest place, in mm.")
    between_baselines_mm: Number = Field(description="Length from one baseline to the other, in mm.")
    volume_as_cut_mm3: Number = Field(description="Volume as cut, groove and all taken off, in mm3.")
    volume_as_finished_mm3: Number = Field(description="Volume when finished, groove and all taken off, in mm3.")
    place: tuple[tuple[Number, Number, Number, Number], ...] = Field(
        description="Three rows of the motion that brings the board from the frame of its joint into the box: a turn, "
        "and in the fourth column a shift in mm."
    )


class CutListRecord(Record):
    """One row of the cut list: a board, or a sheet of plywood, which has an area to buy in place of board feet."""

    name: str = Field(description="The board: front, right, back, left, bottom or a divider, with its number.")
    rough_mm: Sizes = Field(description="Length along the grain, width and thickness to take from the plank, in mm.")
    saw_to_mm: Sizes = Field(
        description="The same when the joints are laid out, with what stands proud and what is planed off later, in mm."
    )
    finished_mm: Sizes = Field(description="The same when the box is finished, in mm.")
    wood: str = Field(description="The wood, with a word where nobody named it and it was assumed.")
    grain: str = Field(description="Which way the grain runs.")
    mark: str = Field(description="The face mark to draw on it, so that it is not worked the wrong way round.")
    volume_mm3: Number = Field(description="Volume of the rough board, in mm3; 0 for a sheet.")
    board_feet: Number = Field(description="Board feet of the rough board, net; 0 for a sheet.")
    board_feet_to_buy: Number = Field(
        description="Board feet as tallied when bought, a board at least an inch thick; 0 for a sheet."
    )
    sheet_mm2: Number = Field(description="Area of plywood to buy, in mm2; 0 for a board.")


class MoveRecord(Record):
    """One step of putting the box together."""

    part: str = Field(description="The part that is put in its place.")
    direction: str = Field(description="The side that it comes from; empty for the part that is there first.")


class BoxCornerRecord(Record):
    """One kind of corner: where it is, whether its reference edge is on the right, how far its tail board runs on below
    and above the joint, what papers say of its place, and its own report."""

    names: tuple[str, ...] = Field(description="The corners of this kind, as in front left.")
    mirrored: bool = Field(
        description="true where the joint is told with its reference edge on the right, seen on the tail board's show "
        "face with the raw end up."
    )
    below_mm: Number = Field(
        description="How far the tail board runs on below the joint, past the edge of its mate, in mm; else 0."
    )
    above_mm: Number = Field(description="How far it runs on above the joint, in mm; else 0.")
    place: tuple[str, ...] = Field(description="Where the joint is measured from, in sentences; empty if plain.")
    report: Report = Field(description="The report of this joint, without files of its own.")


class BoxReport(Record):
    """Everything about one box. Where only the layout was asked for, nothing is proved: `passes` is null, and `order`,
    `findings` and `files` are empty."""

    schema_id: Literal["urn:halfpin:report:box:1"] = Field(
        "urn:halfpin:report:box:1", alias="schema", description=SCHEMA_WORDS
    )
    tool: Tool = Field(description=TOOL_WORDS)
    title: str = Field(description="The name of the box, from which its folder is named.")
    units: Literal["mm", "in"] = Field(description="The unit of the recipe's plain numbers, in which texts are told.")
    recipe: BoxRecipeRecord = Field(description="The recipe of the box with nothing left out.")
    frozen_recipe: str | None = Field(None, description=FROZEN_WORDS)
    choices: tuple[ChoiceRecord, ...] = Field(description=CHOICES_WORDS)
    notices: tuple[str, ...] = Field(description=NOTICES_WORDS)
    outside_mm: Sizes = Field(description="Length, width and height of the finished box, outside, in mm.")
    boards: tuple[BoxBoardRecord, ...] = Field(description="The four boards, each in its place.")
    bottom: BottomRecord | None = Field(description="The bottom where it lies; null where the box has none.")
    opening: OpeningRecord | None = Field(
        None, description="The opening that a drawer slides into; null where the box has none."
    )
    dividers: tuple[DividerRecord, ...] = Field((), description="The dividers, in the order of the recipe.")
    fitted: tuple[FittedRecord, ...] = Field((), description="Every part that no dovetail holds, such as the bottom.")
    cuts: tuple[CutRecord, ...] = Field((), description="What is cut from the boards for those parts, grooves aside.")
    lid: LidRecord | None = Field(None, description="The lid; null where the box has none.")
    order: tuple[MoveRecord, ...] = Field(description="The order in which the box goes together, part by part.")
    passes: bool | None = Field(
        description="The verdict: true where the box goes together and nothing fails; null where nothing was proved."
    )
    findings: tuple[FindingRecord, ...] = Field(description="Every finding about the box as a whole.")
    cut_list: tuple[CutListRecord, ...] = Field(description="The cut list: a row for each part.")
    corners: tuple[BoxCornerRecord, ...] = Field(description="Each kind of corner with its own report.")
    least_minutes: Number = Field(
        description="About how many minutes all corners take a practised hand, getting set up once."
    )
    most_minutes: Number = Field(
        description="About how many minutes all corners take an unhurried hand, getting set up once."
    )
    materials: tuple[MaterialRecord, ...] = Field((), description=BILL_WORDS)
    weight_kg: Number | None = Field(None, description=WEIGHT_WORDS)
    cutting: CuttingRecord | None = Field(None, description=CUTTING_WORDS)
    glue_up: GlueUpRecord | None = Field(None, description=GLUE_UP_WORDS)
    files: tuple[FileRecord, ...] = Field(description=FILES_WORDS)
