"""From a cutting plan to its record."""

from __future__ import annotations

from solids.base.messages import Units, said
from solids.bench.cutting_words import how_good
from solids.layout.cutting.model import BoardPlan, CuttingPlan
from solids.write.report.records.cutting import (
    BoardPlanRecord,
    CutRecord,
    CuttingRecord,
    MissingRecord,
    OffcutRecord,
    PlacedRecord,
)


def cutting_record(plan: CuttingPlan, units: Units) -> CuttingRecord:
    """The record, its sentences in the maker's units."""
    return CuttingRecord(
        kerf_mm=plan.kerf,
        boards=tuple(map(_board, plan.boards)),
        missing=tuple(
            MissingRecord(
                name=one.name,
                rough_mm=one.size,
                wood=one.wood,
                why=said(one.why, units),
                short_mm=one.short_mm,
                accepted=said(one.accepted, units),
            )
            for one in plan.missing
        ),
        left_out=tuple(row.name for row in plan.left_out),
        runs_round=plan.runs_round,
        grain=said(plan.grain, units),
        used_mm3=plan.used,
        in_boards_mm3=plan.in_boards,
        in_pieces_mm3=plan.in_pieces,
        proved=plan.proved,
        how_good=how_good(plan),
    )


def _board(plan: BoardPlan) -> BoardPlanRecord:
    board = plan.board
    return BoardPlanRecord(
        number=plan.number,
        copy_of_it=plan.copy,
        name=board.name,
        wood=board.wood.name,
        size_mm=(board.length, board.width, board.thickness),
        planed=board.planed,
        avoid_mm=board.avoid,
        pieces=tuple(PlacedRecord(name=piece.name, along_mm=piece.x, across_mm=piece.y) for piece in plan.pieces),
        cuts=tuple(
            CutRecord(number=cut.number, kind=cut.kind, setting_mm=cut.setting, along_mm=cut.x, across_mm=cut.y)
            for cut in plan.cuts
        ),
        offcuts=tuple(OffcutRecord(along_mm=offcut.x, across_mm=offcut.y) for offcut in plan.offcuts),
    )
