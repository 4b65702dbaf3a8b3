"""What a report holds on the glue-up."""

from __future__ import annotations

from pydantic import Field

from solids.write.report.records.record import Number, Record


class GluedCornerRecord(Record):
    """The surfaces of one corner, what they take of glue, and how long they take to brush."""

    name: str = Field(description="The corner; empty where the piece is one joint alone.")
    long_grain_mm2: Number = Field(description="Area of long grain on long grain, which glue holds, in mm2.")
    end_grain_mm2: Number = Field(description="Area of end grain on any grain, where glue holds little, in mm2.")
    faces: int = Field(description="How many faces are brushed: both of each glue line.")
    brushing_s: Number = Field(description="How long one person brushes them, in seconds.")
    glue_g: Number = Field(description="How much glue its lines hold, in grams.")


class GluedPartRecord(Record):
    """What a part takes of glue that no dovetail holds: a bottom, a top, a slip."""

    name: str = Field(description="The part.")
    long_grain_mm2: Number = Field(
        description="Area of long grain on long grain that holds it, in mm2; 0 where dabs or a bead do."
    )
    faces: int = Field(description="How many faces are brushed; 0 where dabs or a bead do.")
    brushing_s: Number = Field(description="How long one person takes to put the glue on, in seconds.")
    glue_g: Number = Field(description="How much glue that is, in grams.")


class PinchRecord(Record):
    """The small clamps that press a part onto the face of a board."""

    part: str = Field(description="The part.")
    board: str = Field(description="The board on whose inside face it is glued.")
    count: int = Field(description="How many clamps.")
    opens_mm: Number = Field(description="How far each opens at least, in mm.")


class SeatRecord(Record):
    """One part on its way home, with glue or without."""

    part: str = Field(description="The part that is put in its place.")
    corners: tuple[str, ...] = Field(description="The corners that it closes; one without a name in a corner alone.")
    open_s: Number = Field(description="From the first of its faces that is brushed until it is home, in seconds.")


class GoRecord(Record):
    """Parts that are glued without a pause, and then clamped."""

    parts: tuple[SeatRecord, ...] = Field(description="The parts in the order in which they go in.")
    seconds: Number = Field(description="From the first brush to the last clamp, in seconds.")
    fits: bool = Field(description="true where that is within the glue's open time and its time to the last clamp.")


class ClampRunRecord(Record):
    """The clamps along one board."""

    along: str = Field(description="The board that they run along.")
    at_mm: tuple[Number, ...] = Field(description="How far each is from the reference edge of the piece, in mm.")


class CaulRecord(Record):
    """The caul at one corner."""

    corner: str = Field(description="The corner; empty where the piece is one joint alone.")
    board: str = Field(description="The board that it lies on, over the tails.")
    length_mm: Number = Field(description="How long it is at least, in mm.")
    blocks_mm: Number = Field(
        description="How thick the block on each tail is at least, so that it clears pins that stand proud, in mm; 0 "
        "for a straight caul."
    )
    widest_block_mm: Number = Field(description="How wide such a block may be, in mm: as the narrowest neck.")


class GlueUpRecord(Record):
    """The glue-up: how much glue, in how many goes, and where clamps press."""

    corners: tuple[GluedCornerRecord, ...] = Field(description="Each corner, with what it takes.")
    parts: tuple[GluedPartRecord, ...] = Field(description="Each other part that takes glue; none that stays dry.")
    glue_g: Number = Field(description="How much glue is in the whole piece, in grams.")
    pour_g: Number = Field(description="How much to have ready, with what stays in brush and pot, in grams.")
    goes: tuple[GoRecord, ...] = Field(description="What is glued in one go, then in the next; in the proved order.")
    after: tuple[SeatRecord, ...] = Field(description="What goes in once the clamps of the last go are on, in order.")
    clamps_open_mm: Number = Field(description="How far each clamp opens at least, in mm.")
    clamps: tuple[ClampRunRecord, ...] = Field(description="The clamps, by the boards that they run along.")
    cauls: tuple[CaulRecord, ...] = Field(description="The cauls, by corner.")
    pinches: tuple[PinchRecord, ...] = Field(description="The small clamps for parts that are glued onto a board.")
    diagonal_mm: Number | None = Field(
        description="What both diagonals inside measure where it is square, in mm; null for a corner alone."
    )
