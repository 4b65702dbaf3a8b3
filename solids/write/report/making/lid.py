"""From a box to what its report holds of its lid."""

from __future__ import annotations

from solids.layout.assembly import Assembly
from solids.layout.box.fitted.hinges import leaf_spans
from solids.layout.box.fitted.lid_board import LID, lies_on, moves_by, outline, room_when_damp, tongue
from solids.layout.box.fitted.lining import lining_name, room_within, width_of
from solids.layout.box.lid_words import least_half_pin
from solids.layout.box.model import BoxLayout, with_top
from solids.recipe.tables.box_resolved import SIDES
from solids.recipe.tables.lid_resolved import LidBoard, Lining
from solids.write.report.records.lid import (
    HingeRecord,
    LidBoardRecord,
    LiningRecord,
    SawnLidRecord,
    SawnPartRecord,
    TopRecord,
)


def lid_record(piece: Assembly, box: BoxLayout) -> SawnLidRecord | LidBoardRecord | None:
    """The lid; None where there is none."""
    lid, board = box.recipe.lid, box.recipe.lid_board
    if board:
        return _board(piece, box, board)
    if lid is None:
        return None
    return SawnLidRecord(
        kind="sawn off",
        at_mm=lid.at,
        kerf_mm=lid.kerf,
        planing_mm=lid.planing,
        glued_height_mm=box.recipe.height,
        closed_height_mm=box.recipe.closed_height,
        height_mm=box.recipe.height - lid.high,
        least_half_pin_mm=least_half_pin(box),
        parts=tuple(
            SawnPartRecord(name=part.name, board=part.side, finished_mm=part.size, volume_mm3=part.volume)
            for part in piece.sawn.values()
        ),
        hinge=_hinge(box),
        lining=_lining(piece, box, lid.lining) if lid.lining else None,
        top=_top(box),
    )


def _lining(piece: Assembly, box: BoxLayout, lining: Lining) -> LiningRecord:
    return LiningRecord(
        thickness_mm=lining.thickness,
        stands_mm=lining.stands,
        clearance_mm=lining.clearance,
        height_mm=width_of(box, lining),
        inside_mm=room_within(box),
        wood=lining.wood.name,
        volumes_mm3={name: piece.volume(name, finished=True) for name in map(lining_name, SIDES)},
    )


def _board(piece: Assembly, box: BoxLayout, lid: LidBoard) -> LidBoardRecord:
    panel, drops = lid.panel, lid.kind == "lift off"
    (x0, x1), (y0, y1) = outline(box, lid)
    along, across = ((high - low) for low, high in tongue(box, lid))
    grows, shrinks = moves_by(box, lid)
    return LidBoardRecord(
        kind=lid.kind,
        finished_mm=(x1 - x0, y1 - y0, panel.thickness),
        overhang_mm=lid.overhang,
        drop_mm=lid.drop,
        tongue_mm=(along, across) if drops else None,
        closed_height_mm=box.recipe.height + lid.rises,
        stuff=panel.kind,
        wood=panel.wood.name,
        grain="from left to right" if panel.grain == "length" else "from front to back",
        grows_mm=grows,
        shrinks_mm=shrinks,
        damp_room_mm=room_when_damp(box, lid) if drops else None,
        lies_on_mm=lies_on(box, lid),
        volume_mm3=piece.volume(LID, finished=True),
        hinge=_hinge(box),
    )


def _hinge(box: BoxLayout) -> HingeRecord | None:
    hinge = box.recipe.hinge
    if hinge is None:
        return None
    return HingeRecord(
        leaf_mm=hinge.leaf,
        width_mm=hinge.width,
        thickness_mm=hinge.thickness,
        barrel_mm=hinge.barrel,
        from_left_mm=tuple(left for left, _ in leaf_spans(box)),
        relief_mm=hinge.slope,
    )


def _top(box: BoxLayout) -> TopRecord | None:
    twin = with_top(box)
    groove, panel = twin.recipe.groove, twin.recipe.panel
    if not groove.width:
        return None
    grows, shrinks = twin.panel_moves
    return TopRecord(
        groove_width_mm=groove.width,
        groove_depth_mm=groove.depth,
        groove_down_mm=box.recipe.height - groove.top,
        kind=panel.kind,
        wood=panel.wood.name,
        grain="from left to right" if panel.grain == "length" else "from front to back",
        room_mm=twin.panel_room,
        grows_mm=grows,
        shrinks_mm=shrinks,
        held_mm=twin.panel_hold,
    )
