"""Makes the record of a report on the glue-up."""

from __future__ import annotations

from solids.bench.gluing.goes import Gluing, Go, Seat
from solids.write.report.records.gluing import (
    CaulRecord,
    ClampRunRecord,
    GluedCornerRecord,
    GluedPartRecord,
    GlueUpRecord,
    GoRecord,
    PinchRecord,
    SeatRecord,
)


def glue_up_record(gluing: Gluing) -> GlueUpRecord:
    """The glue-up of a piece whose order is known."""
    clamps = gluing.clamping
    return GlueUpRecord(
        corners=tuple(
            GluedCornerRecord(
                name=corner.name,
                long_grain_mm2=corner.long_grain,
                end_grain_mm2=corner.end_grain,
                faces=corner.faces,
                brushing_s=corner.seconds,
                glue_g=corner.grams,
            )
            for corner in gluing.corners
        ),
        parts=tuple(
            GluedPartRecord(
                name=part.name,
                long_grain_mm2=part.long_grain,
                faces=part.faces,
                brushing_s=part.seconds,
                glue_g=part.grams,
            )
            for part in gluing.parts
        ),
        glue_g=gluing.grams,
        pour_g=gluing.pour,
        goes=tuple(_go(gluing, go) for go in gluing.goes),
        after=tuple(map(_seat, gluing.after)),
        clamps_open_mm=clamps.opens,
        clamps=tuple(ClampRunRecord(along=run.along, at_mm=run.at) for run in clamps.runs),
        cauls=tuple(
            CaulRecord(
                corner=caul.corner,
                board=caul.board,
                length_mm=caul.length,
                blocks_mm=caul.blocks,
                widest_block_mm=caul.widest,
            )
            for caul in clamps.cauls
        ),
        pinches=tuple(
            PinchRecord(part=pinch.part, board=pinch.board, count=pinch.count, opens_mm=pinch.opens)
            for pinch in clamps.pinches
        ),
        diagonal_mm=clamps.diagonal,
    )


def _seat(seat: Seat) -> SeatRecord:
    return SeatRecord(part=seat.part, corners=seat.corners, open_s=seat.opened)


def _go(gluing: Gluing, go: Go) -> GoRecord:
    return GoRecord(
        parts=tuple(map(_seat, go.seats)),
        seconds=go.seconds,
        fits=go not in gluing.overlong and not any(seat in gluing.late for seat in go.seats),
    )
