"""What a report holds of the lid of a box."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solids.recipe.tables.box_resolved import Side
from solids.write.report.records.record import Number, Record


class SawnPartRecord(Record):
    """What becomes of a board once the lid is sawn off."""

    name: str = Field(description="The part: of the box as its board, of the lid as lid front, lid right and so on.")
    board: str = Field(description="The board that it is sawn from.")
    finished_mm: tuple[Number, Number, Number] = Field(description="Finished length, width and thickness, in mm.")
    volume_mm3: Number = Field(description="Its volume when finished, in mm3.")


class TopRecord(Record):
    """The top in its groove, and what it does through the year."""

    groove_width_mm: Number = Field(description="Width of its groove, in mm.")
    groove_depth_mm: Number = Field(description="Depth of its groove, in mm.")
    groove_down_mm: Number = Field(description="From the upper edge down to the groove, in mm.")
    kind: Literal["solid", "plywood"] = Field(description="What the top is made of: solid wood or plywood.")
    wood: str = Field(description="The wood of the top, or of the faces of its plywood.")
    grain: Literal["from left to right", "from front to back"] = Field(description="Which way its grain runs.")
    room_mm: Number = Field(description="How much narrower it is made so that it may grow at the dampest, in mm.")
    grows_mm: Number = Field(description="How much it grows until the dampest time at home, in mm.")
    shrinks_mm: Number = Field(description="How much it shrinks until the driest time at home, in mm.")
    held_mm: Number = Field(description="How much of its edge is left in each groove at the driest, in mm.")


class HingeRecord(Record):
    """Butt hinges, let in at the back of box and lid."""

    leaf_mm: Number = Field(description="Length of a leaf, in mm.")
    width_mm: Number = Field(description="From the middle of the pin to the edge of a leaf, in mm.")
    thickness_mm: Number = Field(description="Thickness of a leaf, which is how deep it is let in, in mm.")
    barrel_mm: Number = Field(description="Diameter of the barrel, in mm.")
    from_left_mm: tuple[Number, ...] = Field(description="Where each hinge begins, from the left end, in mm.")
    relief_mm: Number = Field(description="Legs of the slope that clears the barrel, in mm; 0 for none.")


class LiningRecord(Record):
    """Thin boards inside the box that keep the lid in its place."""

    thickness_mm: Number = Field(description="How thick its boards are, in mm.")
    stands_mm: Number = Field(description="How far it stands above the edge of the box, in mm.")
    clearance_mm: Number = Field(description="How much room the lid has there on each side, in mm.")
    height_mm: Number = Field(description="How wide its boards are, from the bottom up, in mm.")
    inside_mm: tuple[Number, Number] = Field(description="How long and wide the box is within it, in mm.")
    wood: str = Field(description="Its wood.")
    volumes_mm3: dict[str, Number] = Field(description="The volume of each of its boards, in mm3.")


class SawnLidRecord(Record):
    """A lid that is sawn off the box once that is glued up."""

    kind: Literal["sawn off"] = Field(description="How the lid is made.")
    at_mm: Number = Field(description="From the reference edge to the middle of the kerf, as glued up, in mm.")
    kerf_mm: Number = Field(description="How wide the saw cuts, in mm.")
    planing_mm: Number = Field(description="How much is planed off each of both sawn edges, in mm.")
    glued_height_mm: Number = Field(description="Height of the box as it is glued up, in mm.")
    closed_height_mm: Number = Field(description="Height of the closed box, in mm.")
    height_mm: Number = Field(description="Height of the finished lid, in mm.")
    least_half_pin_mm: Number = Field(description="The narrowest half pin that is left beside the cut, in mm.")
    parts: tuple[SawnPartRecord, ...] = Field(description="The parts of all boards: of the box, then of the lid.")
    hinge: HingeRecord | None = Field(description="The hinges; null for a lid that is lifted off.")
    lining: LiningRecord | None = Field(description="The lining; null for a lid without one.")
    top: TopRecord | None = Field(description="The top; null for a lid without one.")


class LidBoardRecord(Record):
    """A lid that is a board of its own, and what it does through the year."""

    kind: Literal["lift off", "hinged"] = Field(description="Whether it lifts off, or hangs on hinges at the back.")
    finished_mm: tuple[Number, Number, Number] = Field(
        description="Its size along the front, from front to back, and thick, in mm."
    )
    overhang_mm: Number = Field(
        description="How far it stands out past the boards, in mm; at the back of one that is hinged it is flush."
    )
    drop_mm: Number = Field(description="How far it drops between the boards, in mm; 0 for one that is hinged.")
    tongue_mm: tuple[Number, Number] | None = Field(
        description="What the rebate leaves of its underside, along the front and from front to back, in mm; null for "
        "one that is hinged."
    )
    closed_height_mm: Number = Field(description="Height of the closed box with its lid, in mm.")
    stuff: Literal["solid", "plywood"] = Field(description="What it is made of: solid wood or plywood.")
    wood: str = Field(description="Its wood, or that of the faces of its plywood.")
    grain: Literal["from left to right", "from front to back"] = Field(description="Which way its grain runs.")
    grows_mm: Number = Field(description="How much it grows until the dampest time at home, in mm.")
    shrinks_mm: Number = Field(description="How much it shrinks until the driest time at home, in mm.")
    damp_room_mm: Number | None = Field(
        description="The room between it and the boards in the dampest air, both edges together, in mm; null for one "
        "that is hinged."
    )
    lies_on_mm: dict[Side, Number] = Field(
        description="By how much it lies on each board in the driest air, pushed away from it as far as it goes, in mm."
    )
    volume_mm3: Number = Field(description="Its volume, in mm3.")
    hinge: HingeRecord | None = Field(description="The hinges; null for a lid that lifts off.")


LidRecord = Annotated[SawnLidRecord | LidBoardRecord, Field(discriminator="kind")]
