"""Makes the records of a report on one joint: its recipe, its layout, its proof."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from solids.base.findings import Finding
from solids.base.messages import Units, said
from solids.bench.hand_error import hand_work
from solids.layout import Layout, State, Tail
from solids.layout.joint.shape.mitre import mitre_of
from solids.layout.joint.volumes import flank_area, pin_board_volume, tail_board_volume
from solids.recipe.tables.resolved import Board, Listed, Recipe
from solids.wood import Climate
from solids.wood.glues import Glue
from solids.write.report.records.layout import (
    FlankRecord,
    HandRecord,
    LayoutRecord,
    MitreRecord,
    PinRecord,
    PlanedRecord,
    StateRecord,
    TailRecord,
)
from solids.write.report.records.proof import (
    ContactRecord,
    EntryRecord,
    HoldRecord,
    OverlapPlaceRecord,
    OverlapRecord,
    ProofRecord,
)
from solids.write.report.records.recipe import (
    AirRecord,
    BoardRecord,
    GlueRecord,
    ListedRecord,
    RecipeRecord,
    wood_record,
)
from solids.write.report.records.record import FindingRecord

if TYPE_CHECKING:  # which needs the kernel; a report without a proof does not
    from solids.bench.hand_error import HandWork
    from solids.proof.joint.contacts import Contact
    from solids.proof.joint.corner import Proof


def recipe_record(recipe: Recipe) -> RecipeRecord:
    """A recipe with nothing left out."""
    return RecipeRecord(
        title=recipe.title,
        author=recipe.author,
        date=recipe.date,
        units=recipe.units,
        kind=recipe.kind,
        width_mm=recipe.width,
        tails=len(recipe.listed.faces or recipe.tail_shares),
        slope_ratio=recipe.slope_ratio,
        slope_deg=math.degrees(math.atan(1 / recipe.slope_ratio)),
        pin_mm=recipe.pin,
        half_pin_mm=recipe.half_pin,
        listed=None if recipe.listed.is_empty else _listed(recipe.listed),
        mitre_mm=recipe.mitre,
        rebate_mm=recipe.rebate,
        spacing=recipe.spacing,
        seed=recipe.seed,
        allow_thin_half_pin=recipe.allow_thin_half_pin,
        lap_mm=recipe.lap,
        tail_board=_board(recipe.tail_board),
        pin_board=_board(recipe.pin_board),
        flank_gap_mm=recipe.flank_gap,
        hand_sigma_mm=recipe.hand.sigma,
        hand_shift_mm=recipe.hand.shift,
        entry_chamfer_width_mm=recipe.entry_chamfer.width,
        entry_chamfer_back_mm=recipe.entry_chamfer.back,
        undercut_depth_mm=recipe.undercut.depth,
        undercut_land_mm=recipe.undercut.land,
        finish_ends=recipe.finish.ends,
        finish_chamfer_mm=recipe.finish.chamfer,
        finish_planing_mm=recipe.finish.planing,
        kit_chisels_mm=recipe.kit.chisels,
        kit_saw_kerf_mm=recipe.kit.saw_kerf,
        kit_knife_mm=recipe.kit.knife,
        kit_cutters_mm=recipe.kit.cutters,
        kit_bush_mm=recipe.kit.bush,
        kit_scale_mm=recipe.kit.scale,
        glue=_glue(recipe.glue),
        climate_shop=_air(recipe.shop),
        climate_home_dry=_air(recipe.home.dry),
        climate_home_damp=_air(recipe.home.damp),
        paper_size=recipe.paper.size,
        paper_corner_relief=recipe.paper.corner_relief,
        paper_dxf_units=recipe.paper.dxf_units,
        paper_dxf_version=recipe.paper.dxf_version,
        print_bed_mm=recipe.printing.bed,
        print_nozzle_mm=recipe.printing.nozzle,
        print_clearance_mm=recipe.printing.clearance,
        print_magnet_mm=(recipe.printing.magnet.diameter, recipe.printing.magnet.thickness),
        aids_marker_body=recipe.marker.body,
        aids_marker_slopes=recipe.marker.slopes,
        aids_marker_thickest_mm=recipe.marker.thickest,
        aids_marker_leg_mm=recipe.marker.leg,
        aids_marker_words=recipe.marker.words,
        aids_marker_hang_hole_mm=recipe.marker.hang_hole,
    )


def _listed(listed: Listed) -> ListedRecord:
    return ListedRecord(
        pins_mm=listed.pins,
        half_pins_mm=listed.half_pins,
        slope_ratios=tuple(map(finite, listed.ratios)),
        faces_mm=listed.faces,
        edges=listed.edges,
    )


def _glue(glue: Glue) -> GlueRecord:
    return GlueRecord(
        kind=glue.kind,
        open_minutes=glue.open_min,
        assembly_minutes=glue.assembly_min,
        clamp_minutes=glue.clamp_min,
        spread_g_m2=glue.spread_g_m2,
    )


def _air(air: Climate) -> AirRecord:
    return AirRecord(temperature_c=air.temperature_c, humidity_percent=air.humidity, moisture_percent=air.moisture)


def _board(board: Board) -> BoardRecord:
    return BoardRecord(
        thickness_mm=board.thickness,
        thinnest_mm=board.thinnest,
        cup_mm=board.cup,
        length_mm=board.length,
        proud_mm=board.proud,
        sawn=board.sawn,
        wood=wood_record(board.wood),
    )


def layout_record(layout: Layout) -> LayoutRecord:
    """Where every tail and pin falls, and how often a hand gets it right."""
    raw = layout.as_cut.tail_end
    narrow, wide = (layout.counted(layout.pin_widths(y)) for y in (layout.depth, 0.0))
    return LayoutRecord(
        depth_mm=layout.depth,
        tails=tuple(
            TailRecord(
                number=tail.number,
                left_mm=near,
                right_mm=far,
                width_mm=tail.width,
                raw_end_width_mm=layout.tail_width(tail, raw),
                neck_width_mm=layout.tail_width(tail, 0.0),
                flanks=_flanks(layout, tail),
            )
            for tail in layout.counted(layout.tails)
            for near, far in [layout.measured(tail.left, tail.right)]
        ),
        slope_ratios=tuple(map(finite, layout.ratios)),
        pins=tuple(
            PinRecord(number=number, half=gap.is_half, narrow_mm=at_face, wide_mm=inside)
            for number, (gap, at_face, inside) in enumerate(
                zip(layout.counted(layout.gaps), narrow, wide, strict=True), start=1
            )
        ),
        raw_end_gaps_mm=tuple(layout.counted(layout.tail_board_gaps(raw))),
        rebate_mm=layout.rebate,
        mitre=_mitre(layout) if any(layout.mitred) else None,
        flank_area_mm2=flank_area(layout),
        free_play_mm=layout.free_play(),
        states=tuple(_state(layout, state) for state in (layout.as_cut, layout.as_finished)),
        planed_away=PlanedRecord(
            tail_board_mm3=tail_board_volume(layout, layout.as_cut) - tail_board_volume(layout, layout.as_finished),
            pin_board_mm3=pin_board_volume(layout, layout.as_cut) - pin_board_volume(layout, layout.as_finished),
        ),
        hand_work=_hand_work(hand_work(layout)),
    )


def _flanks(layout: Layout, tail: Tail) -> tuple[FlankRecord, ...]:
    """The flanks of a tail as a maker counts them."""
    found = []
    for flank in layout.counted(tail.flanks):
        (face,), (foot,) = layout.measured(flank.face), layout.measured(flank.foot)
        found.append(
            FlankRecord(
                side="left" if (flank.side < 0) != layout.mirrored else "right",
                face_mm=face,
                baseline_mm=foot,
                slope_ratio=finite(flank.ratio),
                slope_deg=math.degrees(flank.slope_rad),
            )
        )
    return tuple(found)


def _mitre(layout: Layout) -> MitreRecord:
    reference, other = layout.recipe.mitre
    mitre = mitre_of(layout)
    return MitreRecord(
        reference_mm=reference,
        other_mm=other,
        tail_board_deg=math.degrees(mitre.on_tail_board),
        pin_board_deg=math.degrees(mitre.on_pin_board),
    )


def _hand_work(found: HandWork) -> HandRecord:
    return HandRecord(
        right_share=found.right,
        pared_share=found.pared,
        worst_open_half_mm=found.widest[0],
        worst_open_most_mm=found.widest[1],
        worst_tight_half_mm=found.tightest[0],
        worst_tight_most_mm=found.tightest[1],
        best_flank_gap_mm=found.best_gap,
        best_share=found.best_right,
        fat_mm=found.fat,
        fat_pared_share=found.fat_pared,
        joints_tried=found.joints,
    )


def _state(layout: Layout, state: State) -> StateRecord:
    return StateRecord(
        name=state.name,
        tail_end_y_mm=state.tail_end,
        pin_end_z_mm=state.pin_end,
        show_face_y_mm=state.show_y,
        show_face_z_mm=state.show_z,
        chamfer_mm=state.chamfer,
        tail_board_mm3=tail_board_volume(layout, state),
        pin_board_mm3=pin_board_volume(layout, state),
    )


def proof_record(proof: Proof, units: Units) -> ProofRecord:
    """What was measured, and the verdict on it."""
    overlap = proof.overlap
    return ProofRecord(
        passes=proof.passes,
        overlap=OverlapRecord(
            closed_form_mm3=overlap.closed_form,
            open_cascade_mm3=overlap.kernel,
            manifold_mm3=finite(overlap.manifold),
            places=tuple(OverlapPlaceRecord(place=p.place, volume_mm3=p.volume) for p in overlap.places),
        ),
        contacts=tuple(_contact(contact, units) for contact in proof.contacts),
        entry=EntryRecord(
            free=proof.entry.is_free, overlap_mm3=finite(proof.entry.overlap), asked_mm3=proof.entry.asked
        ),
        holds=tuple(
            HoldRecord(direction=hold.direction, play_mm=hold.play, by=hold.by, confirmed=hold.confirmed)
            for hold in proof.holds
        ),
        findings=tuple(finding_record(finding) for finding in proof.findings),
    )


def _contact(contact: Contact, units: Units) -> ContactRecord:
    meeting = contact.meeting
    return ContactRecord(
        name=meeting.name,
        kind=meeting.kind,
        tightest_mm=contact.tightest if contact.area else None,
        widest_mm=contact.widest if contact.area else None,
        area_mm2=contact.area,
        meant_gap_mm=meeting.gap,
        meant_area_mm2=meeting.area,
        departs_mm=contact.departs,
        words=said(contact.words, units),
    )


def finding_record(finding: Finding) -> FindingRecord:
    """A finding as a report holds it; a NaN becomes null."""

    return FindingRecord(
        code=finding.code,
        severity=finding.severity,
        sentence=finding.said,
        place=finding.place,
        measured=finite(finding.measured),
        limit=finite(finding.limit),
        unit=finding.unit,
        remedy=finding.advice,
        source=finding.source,
    )


def finite(value: float | None) -> float | None:
    """What JSON can hold: a NaN or an infinite gap becomes null."""
    return value if value is not None and math.isfinite(value) else None
