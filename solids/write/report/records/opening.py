"""The opening of a drawer, and the room that it has in it, as a report has them."""

from __future__ import annotations

from pydantic import Field

from solids.recipe.tables.lip_resolved import LipSide
from solids.write.report.records.record import Number, Record


class StickRecord(Record):
    """A pair of sticks of the carcase, one at the left and one at the right."""

    name: str = Field(description="What they are: runner, kicker or guide.")
    across_mm: Number = Field(description="How wide each is, from left to right, in mm.")
    up_mm: Number = Field(description="How high each is, in mm.")
    behind_mm: Number = Field(description="How far behind the front of the opening both begin, in mm.")
    wood: str = Field(description="The name of their wood.")


class OpeningRecord(Record):
    """The opening that a drawer slides into, and what is free round the drawer through the year."""

    width_mm: Number = Field(description="Width of the opening, in mm.")
    height_mm: Number = Field(description="Its height in the air of the shop, in mm.")
    depth_mm: Number = Field(description="Its depth, in mm.")
    play_mm: Number = Field(description="What is to be free above the drawer at the dampest time, in mm.")
    side_play_mm: Number = Field(description="What is to be free at each side, in mm.")
    back_play_mm: Number = Field(description="What is to be free behind the drawer, in mm.")
    plane_mm: Number = Field(description="What is to be planed off the upper edges of front and sides, in mm.")
    rail_mm: Number = Field(description="How much wood across the height swells into the opening, in mm.")
    rail_grows: Number = Field(description="The share of that by which it grows until the dampest time.")
    rail_shrinks: Number = Field(description="The share of that by which it shrinks until the driest time.")
    drawer_mm: Number = Field(description="The height of the drawer once it is fitted, in the air of the shop, in mm.")
    moves_most: str = Field(description="The board whose height moves most.")
    free_now_mm: Number = Field(description="What is free above it then, in mm.")
    free_damp_mm: Number = Field(description="The same at the dampest time, in mm.")
    free_dry_mm: Number = Field(description="The same at the driest time, in mm.")
    free_sides_mm: Number = Field(description="What is free at each side, in mm.")
    free_behind_mm: Number = Field(description="What is free behind the drawer, in mm.")
    free_behind_damp_mm: Number = Field(description="The same behind its bottom at the dampest time, in mm.")
    lip_bears_mm2: Number | None = Field(
        None, description="How much of the front's lip lies on the face of the carcase, in mm2; null without a lip."
    )
    lip_covers_mm: dict[LipSide, Number] = Field(
        {},
        description="How much of that face each side of the lip covers at least, at the driest time and wherever the "
        "drawer stands in the opening, in mm; empty without a lip.",
    )
    sticks: tuple[StickRecord, ...] = Field(description="The sticks of the carcase; empty where none were asked for.")
