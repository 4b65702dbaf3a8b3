"""The opening of a drawer for its report."""

from __future__ import annotations

from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import lip_bearing, lip_covers, room_in
from solids.write.report.records.opening import OpeningRecord, StickRecord


def opening_record(box: BoxLayout) -> OpeningRecord | None:
    """The opening of a box; None where it has none."""
    opening = box.recipe.opening
    if opening is None:
        return None
    room = room_in(box, opening)
    return OpeningRecord(
        width_mm=opening.width,
        height_mm=opening.height,
        depth_mm=opening.depth,
        play_mm=opening.play,
        side_play_mm=opening.side_play,
        back_play_mm=opening.back_play,
        plane_mm=opening.plane,
        rail_mm=opening.rail,
        rail_grows=opening.grows if opening.rail else 0.0,
        rail_shrinks=opening.shrinks if opening.rail else 0.0,
        drawer_mm=room.height,
        moves_most=room.side,
        free_now_mm=room.now,
        free_damp_mm=room.damp,
        free_dry_mm=room.dry,
        free_sides_mm=room.sides,
        free_behind_mm=room.behind,
        free_behind_damp_mm=room.behind_damp,
        lip_bears_mm2=lip_bearing(box, opening) if box.recipe.lip else None,
        lip_covers_mm=lip_covers(box, opening),
        sticks=tuple(
            StickRecord(
                name=name,
                across_mm=stick.across,
                up_mm=stick.up,
                behind_mm=stick.behind,
                wood=stick.wood.name,
            )
            for name, stick in opening.sticks
        ),
    )
