"""The dividers of a box, as its report holds them."""

from __future__ import annotations

from pydantic import Field

from solids.recipe.tables.dividers import EndJoint, HousingEnd, Runs
from solids.wood import Sawn
from solids.write.report.records.record import Number, Record


class DividerRecord(Record):
    """One divider, or shelf. What only a sliding dovetail has is null for a plain housing."""

    name: str = Field(description="The divider, by the number that it has in the recipe.")
    runs: Runs = Field(description="across (from front to back) or along (from left to right).")
    at_mm: Number = Field(
        description="From the inside face of the left board (across) or of the front (along) to its near face, in mm."
    )
    thickness_mm: Number = Field(description="Thickness of the divider, in mm.")
    height_mm: Number = Field(description="From its lower to its upper edge, in mm.")
    up_mm: Number = Field(description="From the reference edge of the box to its lower edge, in mm.")
    length_mm: Number = Field(description="Length of the divider, both ends included, in mm.")
    wood: str = Field(description="The wood of the divider.")
    sawn: Sawn = Field(description="How the divider was sawn from the log.")
    joint: EndJoint = Field(description="How its ends stand in the boards: in a housing or a sliding dovetail.")
    depth_mm: Number = Field(description="How deep its ends go into the boards, in mm.")
    housing: HousingEnd = Field(
        description="open where it slides in from above, stopped where it goes in with the boards."
    )
    housing_top_mm: Number = Field(description="From the reference edge to the upper end of its housings, in mm.")
    slope_ratio: Number | None = Field(description="N of the slope 1:N of a sliding dovetail.")
    taper_mm: Number | None = Field(
        description="How much narrower a sliding dovetail's housing is at its lower end than at its upper, in mm."
    )
    crosses: tuple[str, ...] = Field(description="The dividers that it crosses, each halved there.")
    grows_mm: Number = Field(description="How much its height grows until the dampest time at home, in mm.")
    shrinks_mm: Number = Field(description="How much its height shrinks until the driest time at home, in mm.")
    volume_mm3: Number = Field(description="Volume of the divider, in mm3.")
    files_of: str = Field(description="The first divider that is alike, which may be itself: its files serve for both.")
