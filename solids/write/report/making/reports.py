"""From a piece and its proof to its report: that of its joint, or of a box with a report for each kind of joint."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from solids import __version__
from solids.base.geometry import Slab, Vector
from solids.bench.gluing.goes import gluing_of
from solids.bench.materials import bill_of_materials, weight_kg
from solids.bench.movement import wood_movement
from solids.bench.place_words import place_words
from solids.bench.strength import screening
from solids.bench.worktime import Minutes, corners_of, piece_minutes
from solids.layout import Layout
from solids.layout.assembly import Assembly, JointKind
from solids.layout.box.alike import board_key
from solids.layout.box.cut_list import cut_list
from solids.layout.box.fitted.bodies import Cut, Fitted
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxLayout
from solids.layout.cutting.model import CuttingPlan
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.resolved import Recipe
from solids.recipe.text.frozen import frozen_toml
from solids.write.report.making.bench import bench_record, movement_record, strength_record
from solids.write.report.making.cutting import cutting_record
from solids.write.report.making.dividers import divider_records
from solids.write.report.making.gluing import glue_up_record
from solids.write.report.making.joint import finding_record, layout_record, proof_record, recipe_record
from solids.write.report.making.lid import lid_record
from solids.write.report.making.opening import opening_record
from solids.write.report.records.recipe import BoxRecipeRecord, GrooveRecord, LipRecord, wood_record
from solids.write.report.records.record import ChoiceRecord, FileRecord, Tool
from solids.write.report.records.reports import (
    BottomRecord,
    BoxBoardRecord,
    BoxCornerRecord,
    BoxReport,
    CutListRecord,
    CutRecord,
    FittedRecord,
    MaterialRecord,
    MoveRecord,
    Report,
)

if TYPE_CHECKING:  # which needs the kernel; a report without a proof does not
    from solids.proof.assembly import PieceProof
    from solids.proof.joint.corner import Proof


def piece_report(
    piece: Assembly,
    proof: PieceProof | None = None,
    cutting: CuttingPlan | None = None,
) -> Report | BoxReport:
    """The report of a piece, without a proof where only the arithmetic was asked for. `cutting` is the plan that was
    made with its files, if any."""
    proofs = [joint.proof for joint in proof.joints] if proof else [None] * len(piece.kinds)
    if piece.box is None:
        (kind,), (own,) = piece.kinds, proofs
        return make_report(kind.layout, own).model_copy(update=_of_a_piece(piece, cutting))
    corners = tuple(_corner(kind, own) for kind, own in zip(piece.kinds, proofs, strict=True))
    whole = _box_report(piece, piece.box, corners, proof, piece_minutes(corners_of(piece)))
    return whole.model_copy(update=_of_a_piece(piece, cutting, proof.parts if proof else ()))


def _of_a_piece(piece: Assembly, cutting: CuttingPlan | None, parts: Sequence[str] = ()) -> dict[str, Any]:
    """What a piece is made of, how heavy it is, what it is cut from, and its glue-up where its order is known."""
    lines = tuple(
        MaterialRecord(
            names=item.names,
            count=item.count,
            finished_mm=item.size,
            material=item.wood,
            each_kg=item.mass_kg,
            note=item.note,
        )
        for item in bill_of_materials(piece)
    )
    gluing = gluing_of(piece, parts)
    return {
        "materials": lines,
        "weight_kg": weight_kg(piece),
        "cutting": cutting_record(cutting, piece.recipe.units) if cutting else None,
        "glue_up": glue_up_record(gluing) if gluing.goes else None,
    }


def make_report(layout: Layout, proof: Proof | None = None, files: Sequence[FileRecord] = ()) -> Report:
    """The report of one joint; `proof` as for a piece."""
    recipe = layout.recipe
    return Report(
        **_about(recipe),
        recipe=recipe_record(recipe),
        layout=layout_record(layout),
        bench=bench_record(layout),
        movement=movement_record(wood_movement(layout)),
        strength=strength_record(screening(layout)),
        proof=proof_record(proof, layout.recipe.units) if proof else None,
        files=tuple(files),
    )


def _about(recipe: Recipe | BoxRecipe) -> dict[str, Any]:
    """What every report says of its recipe."""
    return {
        "tool": Tool(version=__version__),
        "title": recipe.title,
        "frozen_recipe": frozen_toml(recipe) if recipe.tables else None,
        "choices": tuple(ChoiceRecord(key=c.key, value=c.value, rule=c.rule, source=c.source) for c in recipe.choices),
        "notices": recipe.notices,
    }


# --- of a box --------------------------------------------------------------------------------------


def _corner(kind: JointKind, proof: Proof | None) -> BoxCornerRecord:
    layout = kind.layout
    return BoxCornerRecord(
        names=kind.names,
        mirrored=layout.mirrored,
        below_mm=layout.below,
        above_mm=layout.above,
        place=place_words(layout),
        report=make_report(layout, proof),
    )


def _box_report(
    piece: Assembly,
    box: BoxLayout,
    corners: tuple[BoxCornerRecord, ...],
    proof: PieceProof | None,
    time: Minutes,
) -> BoxReport:
    fitting = fitting_of(box)
    moves, findings = (proof.order.moves, proof.findings) if proof else ((), ())
    return BoxReport(
        **_about(box.recipe),
        units=box.recipe.units,
        recipe=_box_recipe(box.recipe, corners),
        outside_mm=(*box.outside, box.recipe.closed_height),
        boards=tuple(_boards(piece, box)),
        bottom=_bottom(box),
        opening=opening_record(box),
        dividers=tuple(divider_records(box)),
        fitted=tuple(map(_fitted, fitting.parts)),
        cuts=tuple(map(_cut, fitting.cuts)),
        lid=lid_record(piece, box),
        order=tuple(MoveRecord(part=move.part, direction=move.direction) for move in moves),
        passes=proof.passes if proof else None,
        findings=tuple(map(finding_record, findings)),
        cut_list=tuple(_cut_list(box)),
        corners=corners,
        least_minutes=time.least,
        most_minutes=time.most,
        files=(),
    )


def _box_recipe(recipe: BoxRecipe, corners: Sequence[BoxCornerRecord]) -> BoxRecipeRecord:
    groove, panel, rough = recipe.groove, recipe.panel, recipe.rough
    return BoxRecipeRecord(
        author=recipe.author,
        date=recipe.date,
        inside_length_mm=recipe.inside[0],
        inside_width_mm=recipe.inside[1],
        height_mm=recipe.height,
        tails_on="sides" if recipe.tails_on_sides else "ends",
        back_above_bottom=recipe.back_above_bottom,
        back_down_mm=recipe.back_down,
        lip=_lip(recipe),
        groove=GrooveRecord(width_mm=groove.width, depth_mm=groove.depth, up_mm=groove.up, ends=groove.ends),
        panel_kind=panel.kind,
        panel_grain=panel.grain,
        panel_wood=panel.wood.name,
        panel_sawn=panel.sawn if panel.kind == "solid" else None,
        panel_grows=panel.grows,
        panel_shrinks=panel.shrinks,
        panel_clearance_mm=panel.clearance,
        rough_mm=(rough.length, rough.width, rough.thickness),
        stock_mm=recipe.stock,
        corners={
            ", ".join(corner.names): corner.report.recipe.model_dump(mode="json", by_alias=True) for corner in corners
        },
    )


def _lip(recipe: BoxRecipe) -> LipRecord | None:
    lip = recipe.lip
    if not lip:
        return None
    return LipRecord(
        thickness_mm=lip.thickness, top_mm=lip.top, bottom_mm=lip.bottom, left_mm=lip.left, right_mm=lip.right
    )


def _fitted(part: Fitted) -> FittedRecord:
    low, high = _ends(part.extent)
    wood = wood_record(part.wood)
    return FittedRecord(name=part.name, wood=wood, low_mm=low, high_mm=high, volume_mm3=part.volume)


def _cut(cut: Cut) -> CutRecord:
    low, high = _ends(cut.wood.extent)
    return CutRecord(board=cut.side, name=cut.name, low_mm=low, high_mm=high, volume_mm3=cut.wood.volume)


def _ends(slab: Slab) -> tuple[Vector, Vector]:
    return (slab.x[0], slab.y[0], slab.z[0]), (slab.x[1], slab.y[1], slab.z[1])


def _boards(piece: Assembly, box: BoxLayout) -> Iterator[BoxBoardRecord]:
    pieces: dict[tuple[object, ...], str] = {}
    for side, board in box.boards.items():
        yield BoxBoardRecord(
            name=side,
            piece=pieces.setdefault(board_key(box, board), side),  # the name of the first board of this shape
            kind=board.kind,
            wood=wood_record(board.board.wood),
            width_mm=board.width,
            thickness_mm=board.board.thickness,
            thinnest_mm=board.board.thinnest,
            between_baselines_mm=board.length,
            volume_as_cut_mm3=piece.volume(side, finished=False),
            volume_as_finished_mm3=piece.volume(side, finished=True),
            place=board.up.rows,
        )


def _bottom(box: BoxLayout) -> BottomRecord | None:
    if box.panel is None:
        return None
    panel, (grows, shrinks) = box.recipe.panel, box.panel_moves
    return BottomRecord(
        size_mm=box.panel.size,
        low_mm=(box.panel.x[0], box.panel.y[0], box.panel.z[0]),
        kind=panel.kind,
        wood=wood_record(panel.wood),
        sawn=panel.sawn if panel.kind == "solid" else None,
        grain="from left to right" if panel.grain == "length" else "from front to back",
        held_by=panel.held,
        edge=panel.edge,
        face=None if panel.edge == "plain" else panel.face,
        tongue_mm=panel.tongue,
        border_mm=panel.border,
        slip_mm=panel.slip,
        bearing_mm2=box.panel_bearing,
        room_mm=box.panel_room,
        grows_mm=grows,
        shrinks_mm=shrinks,
        held_mm=box.panel_hold,
    )


def _cut_list(box: BoxLayout) -> Iterator[CutListRecord]:
    for row in cut_list(box):
        yield CutListRecord(
            name=row.name,
            rough_mm=row.rough,
            saw_to_mm=row.saw_to,
            finished_mm=row.finished,
            wood=row.wood,
            grain=row.grain,
            mark=row.mark,
            volume_mm3=row.volume,
            board_feet=row.board_feet,
            board_feet_to_buy=row.to_buy,
            sheet_mm2=row.sheet_area,
        )
