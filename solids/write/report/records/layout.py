"""What a report holds on the layout of a joint, record by record."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from solids.write.report.records.record import Number, Record


class FlankRecord(Record):
    """One flank of a tail: where it lies at two planes, from the reference edge, and how it leans."""

    side: Literal["left", "right"] = Field(description="The side of its tail, left being toward the reference edge.")
    face_mm: Number = Field(description="From the reference edge to the flank at the finished face, in mm.")
    baseline_mm: Number = Field(description="From the reference edge to the flank at the baseline, in mm.")
    slope_ratio: Number | None = Field(
        description="N of its slope 1:N; negative where it runs out of its tail toward the baseline, null where it is "
        "square."
    )
    slope_deg: Number = Field(description="Its slope as an angle from square, in degrees; negative outward.")


class TailRecord(Record):
    """One tail: from where to where at the finished face, from the reference edge, its width at three planes, and its
    flanks."""

    number: int = Field(description="Number of the tail, from 1 at the reference edge.")
    left_mm: Number = Field(description="From the reference edge to its near side at the finished face, in mm.")
    right_mm: Number = Field(description="From the reference edge to its far side at the finished face, in mm.")
    width_mm: Number = Field(description="Width at the finished face, in mm.")
    raw_end_width_mm: Number = Field(description="Width on the raw end, where it is marked, in mm.")
    neck_width_mm: Number = Field(description="Width of the neck, at the baseline, in mm.")
    flanks: tuple[FlankRecord, ...] = Field(
        description="Its flanks, from the reference edge; a half tail, flush with the edge of the board, has one."
    )


class PinRecord(Record):
    """One pin as cut: its width at the show face and at the inside face."""

    number: int = Field(description="Number of the pin, from 1 at the reference edge, half pins included.")
    half: bool = Field(description="true for a half pin, which has one flank.")
    narrow_mm: Number = Field(description="Width as cut at the show face, or at the lap if half-blind, in mm.")
    wide_mm: Number = Field(description="Width as cut at the inside face, in mm.")


class StateRecord(Record):
    """One state of the corner: how far wood reaches, and exact volumes."""

    name: Literal["as cut", "finished"] = Field(description="As cut, or finished: planed or with chamfered ends.")
    tail_end_y_mm: Number = Field(description="From the baseline to the ends of the tails, in mm.")
    pin_end_z_mm: Number = Field(description="From the baseline to the ends of the pins, in mm.")
    show_face_y_mm: Number = Field(description="From the pin board's inside face to its show face, in mm.")
    show_face_z_mm: Number = Field(description="From the tail board's inside face to its show face, in mm.")
    chamfer_mm: Number = Field(description="Chamfer round the ends, in mm; 0 for none.")
    tail_board_mm3: Number = Field(description="Volume of the tail board, without a groove, in mm3.")
    pin_board_mm3: Number = Field(description="Volume of the pin board, without a groove, in mm3.")


class PlanedRecord(Record):
    """What finishing takes off each board."""

    tail_board_mm3: Number = Field(description="Volume that finishing takes off the tail board, in mm3.")
    pin_board_mm3: Number = Field(description="Volume that finishing takes off the pin board, in mm3.")


class HandRecord(Record):
    """How often a hand gets the joint right: shares of joints, and off the saw the worst flank's gap in half and in 19
    of 20."""

    right_share: Number = Field(description="Share of joints that are right off the saw, from 0 to 1.")
    pared_share: Number = Field(description="Share of joints that are right once what is tight is pared, from 0 to 1.")
    worst_open_half_mm: Number = Field(
        description="The widest gap off the saw that half of all joints stay under, in mm; negative is tight."
    )
    worst_open_most_mm: Number = Field(
        description="The widest gap off the saw that 19 of 20 joints stay under, in mm; negative is tight."
    )
    worst_tight_half_mm: Number = Field(
        description="The tightest gap off the saw that half of all joints stay over, in mm; negative is tight."
    )
    worst_tight_most_mm: Number = Field(
        description="The tightest gap off the saw that 19 of 20 joints stay over, in mm; negative is tight."
    )
    best_flank_gap_mm: Number = Field(
        description="The flank gap at which most joints are right off the saw, in mm; negative is tight."
    )
    best_share: Number = Field(description="Share of joints that are right off the saw with that gap, from 0 to 1.")
    fat_mm: Number = Field(
        description="How much fatter than the recipe to saw each flank, in mm; 0 where that brings nothing."
    )
    fat_pared_share: Number = Field(
        description="Share of joints that are right after paring if the flanks are left so fat, from 0 to 1."
    )
    joints_tried: int = Field(description="How many joints were tried by chance; 0 where the exact formula was used.")


class MitreRecord(Record):
    """The mitred shoulders: how wide they are at both edges, and how they lie on each board."""

    reference_mm: Number = Field(description="Width of the mitred shoulder at the reference edge, in mm; 0 for none.")
    other_mm: Number = Field(description="Width of the mitred shoulder at the other edge, in mm; 0 for none.")
    tail_board_deg: Number = Field(description="The angle between the mitre and the tail board's faces, in degrees.")
    pin_board_deg: Number = Field(description="The angle between the mitre and the pin board's faces, in degrees.")


class LayoutRecord(Record):
    """Where every tail and pin falls."""

    depth_mm: Number = Field(
        description="Depth of the joint: the pin board's thickness, less the lap if half-blind, in mm."
    )
    tails: tuple[TailRecord, ...] = Field(description="Every tail, from the reference edge.")
    slope_ratios: tuple[Number | None, ...] = Field(
        description="N of every slope 1:N that occurs, steepest first; null for square, negative for outward."
    )
    pins: tuple[PinRecord, ...] = Field(
        description="Every pin, from the reference edge, half pins first and last; none stands beside a half tail's "
        "edge."
    )
    raw_end_gaps_mm: tuple[Number, ...] = Field(
        description="Widths between the tails on the tail board's raw end, those of half pins included, in mm."
    )
    rebate_mm: Number = Field(
        description="Depth of the rebate across the tail board's inside face, from the baseline to the end, in mm; 0 "
        "for none."
    )
    mitre: MitreRecord | None = Field(description="The mitred shoulders; null where there are none.")
    flank_area_mm2: Number = Field(description="Area of all flanks from the baseline to the finished face, in mm2.")
    free_play_mm: Number = Field(
        description="How far the tails slide out along their length before they lock, in mm; 0 where not loose."
    )
    states: tuple[StateRecord, ...] = Field(description="The corner as cut, and finished.")
    planed_away: PlanedRecord = Field(description="What finishing takes off each board.")
    hand_work: HandRecord = Field(description="How often a hand gets this joint right.")
