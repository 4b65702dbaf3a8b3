"""The cut list of a box: the rough, sawn and finished sizes of each board, its wood, its grain direction, and the marks
that keep it from being worked the wrong way round. Pure arithmetic, lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from solids.base import tolerances as tol
from solids.base.lengths import format_length, format_sizes
from solids.base.messages import Units
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lid_board import LID
from solids.layout.box.fitted.top import TOP
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import BOARD_FOOT, CutListRow, boards_in_panel, larger
from solids.recipe.tables.box_resolved import SIDES, Side

SQUARE_METRE, SQUARE_FOOT = 1e6, 144 * 25.4**2
"""In mm2."""

TRIANGLES: dict[Side, tuple[str, str]] = {
    "front": ("A", "point"),
    "back": ("A", "base"),
    "left": ("B", "point"),
    "right": ("B", "base"),
}
"""The cabinetmaker's triangle: a pair of boards is laid edge to edge and one triangle drawn across both, so that each
shows where its mate, its top and its show face are. Common practice."""

LIES = "reference edge down, show face out"
"""How a board is looked at."""

MARKS: dict[str, str] = {side: f"triangle {letter}, {part}; {LIES}" for side, (letter, part) in TRIANGLES.items()}

PANELS = (BOTTOM, TOP, LID)
"""What carries no joint and may be glued up from several boards."""

LITRE = 1e6
"""In mm3."""

AMOUNT_HEADS: dict[Units, tuple[str, ...]] = {"mm": ("litres",), "in": ("board feet", "to buy")}
"""By what wood is bought: how much the rough boards are, and in inches also how they are tallied."""

TALLIED: dict[Units, str] = {"mm": "", "in": "To buy: a board under an inch thick is tallied as an inch. "}
"""What the last column of the cut list is, for who buys by it: a sentence and a space, or nothing."""

Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]


def cut_list(box: BoxLayout) -> tuple[CutListRow, ...]:
    """One row for each board, and one for each part that is fitted between them."""
    rough, sawn_away = box.recipe.rough, box.recipe.height - box.recipe.closed_height
    rows = []
    for side in SIDES:
        board = box.boards[side]
        long, high = box.beyond(side)
        finished = (
            board.end_to_end(finished=True) + long,
            board.width + high - sawn_away,
            board.board.thinnest - box.planing,
        )
        saw_to = (board.end_to_end(finished=False) + long, board.width + high, board.board.thickness)
        sizes = (larger(saw_to, rough), saw_to, finished)
        wood, sawn = board.board.wood.told, board.board.sawn
        rows.append(CutListRow(side, *sizes, wood, "along its length", MARKS[side], sawn=sawn))
    rows += (part.row for part in fitting_of(box).parts)
    return tuple(rows)


@dataclass(frozen=True)
class GlueUp:
    """The glue-up of a panel wider than the stock: its name, the number of boards, and the width each is sawn to."""

    name: str
    boards: int
    sawn_width: float


def glue_ups(box: BoxLayout) -> tuple[GlueUp, ...]:
    """What each panel of solid wood is glued up from that one board does not do for; none where the width of the stock
    is not named."""
    widest, spare = box.recipe.stock[1], box.recipe.rough.width
    if widest is None or widest <= spare:
        return ()
    wide = [row for row in cut_list(box) if row.name in PANELS and not row.sheet]
    return tuple(
        GlueUp(row.name, boards, row.rough[1] / boards + spare)
        for row in wide
        if (boards := boards_in_panel(row.rough[1], widest, spare)) > 1 and row.rough[1] > widest + tol.ROUNDING
    )


def glue_up_words(box: BoxLayout) -> dict[str, str]:
    """Each glue-up in a sentence, by the name of its panel."""
    told = partial(format_length, units=box.recipe.units)
    return {
        each.name: f"The {each.name} is wider than stock of {told(box.recipe.stock[1] or 0.0)}: glue it up from "
        f"{each.boards} boards, each sawn {told(each.sawn_width)} wide or more."
        for each in glue_ups(box)
    }


def glue_ups_told(box: BoxLayout) -> str:
    """The same in one text; empty if nothing is glued up."""
    return " ".join(glue_up_words(box).values())


def cut_list_rows(box: BoxLayout) -> Rows:
    """The cut list of a box, told."""
    return told_rows(cut_list(box), box.recipe.units)


def told_rows(rows: Sequence[CutListRow], units: Units) -> Rows:
    """The heads of a cut list and its rows, in the maker's units, with the sums of the wood: in board feet, net and as
    they are tallied when bought, or in litres."""
    say = partial(format_sizes, units=units)
    told = [
        (row.name, row.stock, say(row.rough), say(row.saw_to), say(row.finished), *_amounts([row], units))
        for row in rows
    ]
    volume = "" if units == "mm" else f"{sum(row.volume for row in rows) / (12 * BOARD_FOOT):.2f} cu ft"
    whole = ("all", "", volume, "", "", *_amounts(rows, units))
    return ("board", "wood", "rough", "saw to", "finished", *AMOUNT_HEADS[units]), [*told, whole]


def _amounts(rows: Sequence[CutListRow], units: Units) -> tuple[str, ...]:
    net = sum(row.board_feet for row in rows)
    bought = amount_to_buy(rows, units)
    return (bought,) if units == "mm" else (f"{net:.2f}" if net else "", bought)


def amount_to_buy(rows: Sequence[CutListRow], units: Units) -> str:
    """How much wood to buy, in litres or as board feet are tallied, with the area of what is sheet."""
    wood = sum(row.volume / LITRE if units == "mm" else row.to_buy for row in rows)
    area = sum(row.sheet_area for row in rows)
    parts = [f"{wood:.2f}"] if wood else []
    return " + ".join([*parts, *([f"sheet {told_area(area, units)}"] if area else [])])


def told_area(mm2: float, units: Units) -> str:
    """The area of a sheet, as it is sold."""
    return f"{mm2 / SQUARE_METRE:.3f} m2" if units == "mm" else f"{mm2 / SQUARE_FOOT:.2f} sq ft"
