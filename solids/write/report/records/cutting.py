"""What a report holds of a cutting plan. Places are in mm from the left end and the lower edge of a board."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.write.report.records.record import Number, Record

Along = tuple[Number, Number]
Sizes = tuple[Number, Number, Number]


class PlacedRecord(Record):
    """A piece where it lies."""

    name: str = Field(description="The piece, as the cut list has it; of a part that is glued up, which board of it.")
    along_mm: Along = Field(description="From where to where it lies along the board, in mm.")
    across_mm: Along = Field(description="From where to where it lies across the board, in mm.")


class CutRecord(Record):
    """One cut: where its kerf is."""

    number: int = Field(description="Which cut of this board it is.")
    kind: Literal["crosscut", "rip", "crosscut of a strip"] = Field(description="How the saw goes.")
    setting_mm: Number = Field(
        description="What is read off a rule, in mm: the mark of a crosscut from the left end, the width of a strip, "
        "or the length of a piece."
    )
    along_mm: Along = Field(description="From where to where the kerf lies along the board, in mm.")
    across_mm: Along = Field(description="From where to where the kerf lies across the board, in mm.")


class OffcutRecord(Record):
    """A clear rectangle that is left over."""

    along_mm: Along = Field(description="From where to where it lies along the board, in mm.")
    across_mm: Along = Field(description="From where to where it lies across the board, in mm.")


class BoardPlanRecord(Record):
    """One board of the rack, and what is cut from it."""

    number: int = Field(description="Its place among the boards of the recipe or the shop, from 1.")
    copy_of_it: int = Field(description="Which of the boards that are alike it is, from 1.")
    name: str = Field(description="What is chalked on it; empty where nothing is.")
    wood: str = Field(description="Its wood.")
    size_mm: Sizes = Field(description="Its length, width and thickness, in mm.")
    planed: bool = Field(description="Whether it has been planed to thickness.")
    avoid_mm: tuple[Along, ...] = Field(description="The spans to avoid, in mm from its left end.")
    pieces: tuple[PlacedRecord, ...] = Field(description="The pieces that come from it.")
    cuts: tuple[CutRecord, ...] = Field(description="The cuts in their order.")
    offcuts: tuple[OffcutRecord, ...] = Field(description="What is left over and large enough to keep.")


class MissingRecord(Record):
    """A piece for which there is no board."""

    name: str = Field(description="The piece.")
    rough_mm: Sizes = Field(description="Its rough length, width and thickness, in mm.")
    wood: str = Field(description="Its wood.")
    why: str = Field(description="Why no board of the rack does.")
    short_mm: Number | None = Field(
        description="By how much the board that comes nearest is too small, in mm; null where it is no size."
    )
    accepted: str = Field(description="What board would do.")


class CuttingRecord(Record):
    """How the piece is cut out of the boards in the rack."""

    kerf_mm: Number = Field(description="What the saw takes with each cut, in mm.")
    boards: tuple[BoardPlanRecord, ...] = Field(description="The boards that are begun.")
    missing: tuple[MissingRecord, ...] = Field(description="The pieces for which there is no board.")
    left_out: tuple[str, ...] = Field(description="Rows of the cut list that are sawn from a sheet.")
    runs_round: bool = Field(description="Whether the sides come from one board in a row.")
    grain: str = Field(description="How the grain runs from piece to piece, in a sentence.")
    used_mm3: Number = Field(
        description="The wood that is used up: all lengths crosscut off, with their kerfs, in mm3."
    )
    in_boards_mm3: Number = Field(description="The wood of all boards that are begun, in mm3.")
    in_pieces_mm3: Number = Field(description="The wood of the pieces at their rough sizes, in mm3.")
    proved: bool = Field(description="Whether no plan is better.")
    how_good: str = Field(description="What is known of how good the plan is, in a sentence.")
