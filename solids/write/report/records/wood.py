"""What a report holds on wood: what it is, the air it stands in, how it moves there, and what it can bear."""

from __future__ import annotations

from typing import Literal

from solids.wood import Wood
from solids.write.report.records.record import Number, Record


class WoodMovementRecord(Record):
    """How a wood moves: change as a share of the size, for 1 % of moisture content."""

    radial_per_percent: Number
    tangential_per_percent: Number
    source: str


class WoodStrengthRecord(Record):
    """Averages of small clear pieces at 12 % moisture; no design values."""

    shear_mpa: Number
    bending_mpa: Number
    compression_mpa: Number | None
    source: str


class WoodRecord(Record):
    """A wood; its density at 12 % moisture and where that figure comes from; null where nothing more is known."""

    name: str
    botanical: str
    kind: Literal["hardwood", "softwood"]
    density_kg_m3: Number
    source: str
    movement: WoodMovementRecord | None
    strength: WoodStrengthRecord | None


class AirRecord(Record):
    """The air of a room, and the moisture content that wood comes to in it."""

    temperature_c: Number
    humidity_percent: Number
    moisture_percent: Number


class BoardChangeRecord(Record):
    """How much a board grows from the shop's air to the home's, negative where it shrinks; null where that is not
    known."""

    width_mm: Number | None
    thickness_mm: Number | None


class SeasonRecord(Record):
    """What the wood has done at one time of the year, free to move, which is the most it can be in a glued joint. End
    grain that stands proud of a dried face is positive."""

    moisture_percent: Number
    tail_board: BoardChangeRecord
    pin_board: BoardChangeRecord
    mismatch_mm: Number | None
    pins_stand_mm: Number | None
    tails_stand_mm: Number | None


class MovementRecord(Record):
    """What the wood does between the shop's air and the home's at its driest and at its dampest."""

    shop_moisture_percent: Number
    in_published_range: bool
    dry: SeasonRecord
    damp: SeasonRecord


class WeakPartRecord(Record):
    """One way to fail and the pull at which it is expected: the safe end of a range, and the other."""

    name: str
    pull_n: Number
    pull_most_n: Number


class WeakTurnRecord(Record):
    """One way to fail by racking and the moment at which it is expected, in the same way."""

    name: str
    moment_n_m: Number
    moment_most_n_m: Number


class StrengthRecord(Record):
    """A screening to compare layouts with, weakest part first; never a design value. Empty where a wood is unknown."""

    glue_area_mm2: Number
    glued: tuple[WeakPartRecord, ...]
    dry: tuple[WeakPartRecord, ...]
    racked: tuple[WeakTurnRecord, ...]
    half_pin_push_n: Number | None
    assumptions: str


def wood_record(wood: Wood) -> WoodRecord:
    """A wood as reports and lists hold it."""
    moves, holds = wood.movement, wood.strength
    return WoodRecord(
        name=wood.name,
        botanical=wood.botanical,
        kind=wood.kind,
        density_kg_m3=wood.density,
        source=wood.source,
        movement=moves
        and WoodMovementRecord(
            radial_per_percent=moves.radial, tangential_per_percent=moves.tangential, source=moves.source
        ),
        strength=holds
        and WoodStrengthRecord(
            shear_mpa=holds.shear_mpa,
            bending_mpa=holds.bending_mpa,
            compression_mpa=holds.compression_mpa,
            source=holds.source,
        ),
    )
