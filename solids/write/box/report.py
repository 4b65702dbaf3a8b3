"""`report.json` of a box. JSON (RFC 8259), UTF-8; its schema is printed by `halfpin schema box-report`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from solids import __version__
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.layout.box import BoxLayout, kinds_of_corner, piece_key, shown_layout
from solids.layout.cut_list import cut_list
from solids.recipe.box_resolved import CornerName
from solids.recipe.frozen import frozen_toml
from solids.write.box.records import (
    BottomRecord,
    BoxBoardRecord,
    BoxCornerRecord,
    BoxRecipeRecord,
    BoxReport,
    CutListRecord,
    GrooveRecord,
    MoveRecord,
)
from solids.write.report import finding_record, make_report, wood_record
from solids.write.report.records import ChoiceRecord, Report, Tool

if TYPE_CHECKING:  # which needs the kernel, and a report without a proof does not
    from solids.proof.assembly import PieceProof


def make_box_report(proof: PieceProof, notices: Sequence[str] = ()) -> BoxReport:
    """The report of a proved box. `notices` are more than those of its recipe."""
    corners = [
        _corner(corner.kind.names, corner.layout, make_report(corner.layout, corner.proof)) for corner in proof.joints
    ]
    return _report(proof.box, corners, proof, notices)


def make_layout_report(box: BoxLayout) -> BoxReport:
    """The report of a box that is laid out and not proved, as `make_report` gives it for a corner."""
    layouts = [(names, shown_layout(box, names)) for names in kinds_of_corner(box)]
    return _report(box, [_corner(names, layout, make_report(layout)) for names, layout in layouts], None)


def _corner(names: tuple[CornerName, ...], layout: Layout, report: Report) -> BoxCornerRecord:
    return BoxCornerRecord(
        names=names, mirrored=layout.mirrored, below_mm=layout.below, place=place_words(layout), report=report
    )


def _report(
    box: BoxLayout, corners: Sequence[BoxCornerRecord], proof: PieceProof | None, notices: Sequence[str] = ()
) -> BoxReport:
    recipe = box.recipe
    moves = proof.order.moves if proof else ()
    return BoxReport(
        tool=Tool(version=__version__),
        title=recipe.title,
        units=recipe.units,
        recipe=_recipe(box, corners),
        frozen_recipe=frozen_toml(recipe) if recipe.tables else None,
        choices=tuple(ChoiceRecord(key=c.key, value=c.value, rule=c.rule, source=c.source) for c in recipe.choices),
        notices=(*recipe.notices, *notices),
        outside_mm=(*box.outside, recipe.height),
        boards=tuple(_boards(box)),
        bottom=_bottom(box),
        order=tuple(MoveRecord(part=move.part, direction=move.direction) for move in moves),
        passes=proof.passes if proof else None,
        findings=tuple(finding_record(finding) for finding in proof.findings) if proof else (),
        cut_list=tuple(
            CutListRecord(
                name=row.name,
                rough_mm=row.rough,
                saw_to_mm=row.saw_to,
                finished_mm=row.finished,
                wood=row.wood,
                grain=row.grain,
                mark=row.mark,
                volume_mm3=row.volume,
                board_feet=row.board_feet,
            )
            for row in cut_list(box)
        ),
        corners=tuple(corners),
        files=(),
    )


def _recipe(box: BoxLayout, corners: Sequence[BoxCornerRecord]) -> BoxRecipeRecord:
    recipe = box.recipe
    groove, panel, rough = recipe.groove, recipe.panel, recipe.rough
    return BoxRecipeRecord(
        inside_length_mm=recipe.inside[0],
        inside_width_mm=recipe.inside[1],
        height_mm=recipe.height,
        tails_on="sides" if recipe.tails_on_sides else "ends",
        back_above_bottom=recipe.back_above_bottom,
        groove=GrooveRecord(width_mm=groove.width, depth_mm=groove.depth, up_mm=groove.up, ends=groove.ends),
        panel_grain=panel.grain,
        panel_wood=panel.wood.name,
        panel_sawn=panel.sawn,
        panel_grows=panel.grows,
        panel_shrinks=panel.shrinks,
        panel_clearance_mm=panel.clearance,
        rough_mm=(rough.length, rough.width, rough.thickness),
        stock_mm=recipe.stock,
        corners={
            ", ".join(corner.names): corner.report.recipe.model_dump(mode="json", by_alias=True) for corner in corners
        },
    )


def _boards(box: BoxLayout) -> list[BoxBoardRecord]:
    pieces: dict[tuple[object, ...], str] = {}
    return [
        BoxBoardRecord(
            name=side,
            piece=pieces.setdefault(piece_key(box, board), side),  # the first of those that are alike
            kind=board.kind,
            wood=wood_record(board.board.wood),
            width_mm=board.width,
            thickness_mm=board.board.thickness,
            between_baselines_mm=board.length,
            volume_as_cut_mm3=box.board_volume(side, finished=False),
            volume_as_finished_mm3=box.board_volume(side, finished=True),
            place=board.up.rows,
        )
        for side, board in box.boards.items()
    ]


def _bottom(box: BoxLayout) -> BottomRecord | None:
    if box.panel is None:
        return None
    panel, (grows, shrinks) = box.recipe.panel, box.panel_moves
    return BottomRecord(
        size_mm=box.panel.size,
        low_mm=(box.panel.x[0], box.panel.y[0], box.panel.z[0]),
        wood=wood_record(panel.wood),
        sawn=panel.sawn,
        grain="from left to right" if panel.grain == "length" else "from front to back",
        room_mm=box.panel_room,
        grows_mm=grows,
        shrinks_mm=shrinks,
        held_mm=box.panel_hold,
    )
