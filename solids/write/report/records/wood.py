"""What a report holds on what the wood does: how it moves through the year, and what it can bear."""

from __future__ import annotations

from pydantic import Field

from solids.write.report.records.record import Number, Record


class BoardChangeRecord(Record):
    """How much a board grows from the shop's air to the home's, negative where it shrinks; null where that is not
    known."""

    width_mm: Number | None = Field(
        description="How much the board grows across its width, in mm; negative where it shrinks, null if not known."
    )
    thickness_mm: Number | None = Field(
        description="How much the board grows in thickness, in mm; negative where it shrinks, null if not known."
    )


class SeasonRecord(Record):
    """What the wood has done at one time of the year, free to move, which is the most it can be in a glued joint. End
    grain that stands proud of a dried face is positive."""

    moisture_percent: Number = Field(description="Moisture content that wood comes to at home by then, in %.")
    tail_board: BoardChangeRecord = Field(description="How the tail board has changed since it left the shop.")
    pin_board: BoardChangeRecord = Field(description="How the pin board has changed since it left the shop.")
    mismatch_mm: Number | None = Field(
        description="How much more the tail board has grown in width than the pin board, in mm; null if not known."
    )
    pins_stand_mm: Number | None = Field(
        description="How far the wood has moved the pins' ends past the tail board's show face, in mm; negative where "
        "they lie low, null if not known."
    )
    tails_stand_mm: Number | None = Field(
        description="How far the wood has moved the tails' ends past the pin board's show face, in mm; negative where "
        "they lie low, null if not known or behind a lap."
    )


class MovementRecord(Record):
    """What the wood does between the shop's air and the home's at its driest and at its dampest."""

    shop_moisture_percent: Number = Field(description="Moisture content that wood comes to in the shop, in %.")
    in_published_range: bool = Field(
        description="true where the published figures of movement hold for all three moisture contents."
    )
    dry: SeasonRecord = Field(description="What the wood has done when the home is driest.")
    damp: SeasonRecord = Field(description="What the wood has done when the home is dampest.")


class WeakPartRecord(Record):
    """One way to fail and the pull at which it is expected: the safe end of a range, and the other."""

    name: str = Field(description="What gives when the tail board is pulled out along its length.")
    pull_n: Number = Field(description="The least pull at which that is expected, in newtons.")
    pull_most_n: Number = Field(
        description="The most pull at which that is expected, in newtons; the same where the source gives one figure."
    )


class WeakTurnRecord(Record):
    """One way to fail by racking and the moment at which it is expected, in the same way."""

    name: str = Field(description="What gives when one board is turned against the other about the corner's edge.")
    moment_n_m: Number = Field(description="The least moment at which that is expected, in newton metres.")
    moment_most_n_m: Number = Field(
        description="The most moment at which that is expected, in newton metres; the same where the source gives one "
        "figure."
    )


class StrengthRecord(Record):
    """A screening to compare layouts with, weakest part first; never a design value. Empty where a wood is unknown."""

    glue_area_mm2: Number = Field(description="Area of the flanks that glue holds, long grain to long grain, in mm2.")
    glued: tuple[WeakPartRecord, ...] = Field(description="What gives in a glued joint that is pulled, weakest first.")
    dry: tuple[WeakPartRecord, ...] = Field(description="What gives without glue in a joint that is pulled.")
    racked: tuple[WeakTurnRecord, ...] = Field(description="What gives in a glued joint that is racked.")
    half_pin_push_n: Number | None = Field(
        description="The outward push that splits a half pin, in newtons; null where a wood's strength is not known."
    )
    assumptions: str = Field(description="What these figures take for granted, in sentences.")
