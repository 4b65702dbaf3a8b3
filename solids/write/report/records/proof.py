"""What a report holds on the proof of a joint, record by record."""

from __future__ import annotations

from pydantic import Field

from solids.layout.joint.expected_contacts import Kind
from solids.write.report.records.record import FindingRecord, Number, Record


class OverlapPlaceRecord(Record):
    """Where the boards overlap."""

    place: str = Field(description="Where the boards overlap, in words.")
    volume_mm3: Number = Field(description="Volume of the overlap there, in mm3.")


class OverlapRecord(Record):
    """The overlap of the seated boards by three ways; null where a way gave no answer."""

    closed_form_mm3: Number = Field(description="Volume of the overlap by formula, in mm3.")
    open_cascade_mm3: Number = Field(description="Volume of the overlap by Open CASCADE, in mm3.")
    manifold_mm3: Number | None = Field(
        description="Volume of the overlap by Manifold, in mm3; null where it gave no answer."
    )
    places: tuple[OverlapPlaceRecord, ...] = Field(description="Where Open CASCADE finds an overlap.")


class ContactRecord(Record):
    """One pair of faces that should meet, measured on the solids; a gap is null where the faces do not meet."""

    name: str = Field(description="The pair of faces: flank, shoulder, floor and so on, and of which tail or socket.")
    kind: Kind = Field(description="The kind of faces that meet.")
    tightest_mm: Number | None = Field(
        description="The gap where the faces are closest, in mm; negative is tight, null where they do not meet."
    )
    widest_mm: Number | None = Field(
        description="The gap where the faces are farthest apart, in mm; negative is tight, null where they do not meet."
    )
    area_mm2: Number = Field(description="The area that both faces share, in mm2; 0 where they do not meet.")
    meant_gap_mm: Number = Field(description="The gap that the layout has there, in mm; negative is tight.")
    meant_area_mm2: Number = Field(description="The area that the faces should share by the layout, in mm2.")
    departs_mm: Number = Field(description="How far either face lies from where the layout has it, at most, in mm.")
    words: str = Field(description="What was measured, in words and in the units of the recipe.")


class HoldRecord(Record):
    """One direction out of the seat; null play where nothing holds."""

    direction: str = Field(description="The direction in which the seated tail board is pushed.")
    play_mm: Number | None = Field(
        description="How far it moves before it is held, in mm; null where no faces hold it."
    )
    by: str = Field(description="What holds it: the flanks, the shoulders, the socket floors and so on, or nothing.")
    confirmed: bool = Field(description="true where the solids bear that out when they are moved.")


class EntryRecord(Record):
    """The way in: what the tail board meets on it, and what it meets where tight flanks are asked for."""

    free: bool = Field(description="true where the tail board meets no more wood on its way in than the recipe asks.")
    overlap_mm3: Number | None = Field(
        description="Volume of the wood in its way, in mm3; null where that could not be worked out."
    )
    asked_mm3: Number = Field(description="Volume of that which the recipe's tight flanks ask for, in mm3.")


class ProofRecord(Record):
    """Whether the joint goes together, and all findings."""

    passes: bool = Field(description="The verdict: true where the joint goes together and nothing fails.")
    overlap: OverlapRecord = Field(description="The overlap of the seated boards as cut, found in three ways.")
    contacts: tuple[ContactRecord, ...] = Field(description="Every pair of faces that should meet.")
    entry: EntryRecord = Field(description="Whether the tail board can be brought into its seat.")
    holds: tuple[HoldRecord, ...] = Field(description="What holds the tail board, direction by direction.")
    findings: tuple[FindingRecord, ...] = Field(description="Every finding: what passes, notes, warnings and failures.")
