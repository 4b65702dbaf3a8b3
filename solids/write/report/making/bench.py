"""Makes the records of a report on the work at the bench, the movement of the wood, and strength."""

from __future__ import annotations

from solids.bench.movement import BoardChange, Season, WoodMovement
from solids.bench.procedure import order_of_work
from solids.bench.settings import bench_of
from solids.bench.strength import ASSUMPTIONS, Screening, WeakPart
from solids.bench.worktime import piece_minutes
from solids.layout import Layout
from solids.write.report.records.bench import (
    BenchRecord,
    ChiselRecord,
    ChopRecord,
    CutLengthRecord,
    GaugeRecord,
    PlaningRecord,
    SawRecord,
    ScribeRecord,
    WorkStepRecord,
)
from solids.write.report.records.wood import (
    BoardChangeRecord,
    MovementRecord,
    SeasonRecord,
    StrengthRecord,
    WeakPartRecord,
    WeakTurnRecord,
)


def bench_record(layout: Layout) -> BenchRecord:
    """What to set, gauge, saw, chop and plane, and in which order."""
    bench, time = bench_of(layout), piece_minutes([layout])
    return BenchRecord(
        cut_lengths=tuple(
            CutLengthRecord(board=c.board, length_mm=c.length, joint_mm=c.joint, proud_mm=c.proud, saw_to_mm=c.saw_to)
            for c in bench.cut_lengths
        ),
        gauges=tuple(GaugeRecord(board=g.board, setting_mm=g.setting, lines=g.lines) for g in bench.gauges),
        scribes=tuple(ScribeRecord(board=s.board, face=s.face, full=s.full, spans_mm=s.spans) for s in bench.scribes),
        saw_lines=tuple(
            SawRecord(board=s.board, name=s.name, start_mm=s.start, end_mm=s.end, kerf_mm=s.kerf)
            for s in bench.saw_lines
        ),
        bevel_deg=bench.bevel_deg,
        chisels=tuple(
            ChiselRecord(sockets=c.sockets, side=c.side, widest_mm=c.widest, own_mm=c.own, open_at_the_edge=c.is_open)
            for c in bench.chisels
        ),
        chops=tuple(ChopRecord(board=c.board, face=c.face, depth_mm=c.depth, lean_deg=c.lean_deg) for c in bench.chops),
        planing=tuple(
            PlaningRecord(what=p.what, amount_mm=p.amount, more_mm=p.more, direction=p.direction) for p in bench.planing
        ),
        lines_left=bench.lines_left,
        order_of_work=tuple(WorkStepRecord(what=step.what, how=step.how) for step in order_of_work(layout)),
        minutes=time.middle,
        least_minutes=time.least,
        most_minutes=time.most,
    )


def movement_record(moves: WoodMovement) -> MovementRecord:
    """What the wood does between the shop and the two seasons at home."""
    return MovementRecord(
        shop_moisture_percent=moves.shop_moisture,
        in_published_range=moves.in_range,
        dry=_season(moves.dry),
        damp=_season(moves.damp),
    )


def _season(season: Season) -> SeasonRecord:
    return SeasonRecord(
        moisture_percent=season.moisture,
        tail_board=_change(season.tail_board),
        pin_board=_change(season.pin_board),
        mismatch_mm=season.mismatch,
        pins_stand_mm=season.pins_stand,
        tails_stand_mm=season.tails_stand,
    )


def _change(board: BoardChange) -> BoardChangeRecord:
    return BoardChangeRecord(width_mm=board.width, thickness_mm=board.thickness)


def strength_record(found: Screening) -> StrengthRecord:
    """What the joint holds, to compare layouts with."""
    return StrengthRecord(
        glue_area_mm2=found.glue_area,
        glued=tuple(_part(part) for part in found.glued),
        dry=tuple(_part(part) for part in found.dry),
        racked=tuple(_turn(part) for part in found.racked),
        half_pin_push_n=found.half_pin_push_n,
        assumptions=ASSUMPTIONS,
    )


def _part(part: WeakPart) -> WeakPartRecord:
    return WeakPartRecord(name=part.name, pull_n=part.least, pull_most_n=part.most)


def _turn(part: WeakPart) -> WeakTurnRecord:
    return WeakTurnRecord(name=part.name, moment_n_m=part.least, moment_most_n_m=part.most)
