"""The cut list of a box: the rough, sawn and finished sizes of each board, its wood, its grain direction, and the marks
that keep it from being worked the wrong way round. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

from solids.base import tolerances as tol
from solids.base.lengths import format_length, format_sizes
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import SIDES, Rough

BOARD_FOOT = 144 * 25.4**3
"""1 board foot is 144 cubic inches, in mm3. Source: NIST Handbook 44, Appendix C."""

MARKS = {
    "front": "triangle A, point; reference edge down, show face out",
    "back": "triangle A, base; reference edge down, show face out",
    "left": "triangle B, point; reference edge down, show face out",
    "right": "triangle B, base; reference edge down, show face out",
    "bottom": "arrow to the front; good face up",
}
"""The cabinetmaker's triangle: a pair of boards is laid edge to edge and one triangle drawn across both, so that each
shows where its mate, its top and its show face are. Common practice."""

Size = tuple[float, float, float]


@dataclass(frozen=True)
class CutListRow:
    """One board; sizes are length (along the grain), width and thickness. `rough` is the size to take from the plank.
    `saw_to` is the size when the joints are laid out, with the wood that stands proud or is planed off later.
    `finished` is the size in the finished box."""

    name: str
    rough: Size
    saw_to: Size
    finished: Size
    wood: str
    grain: str
    mark: str

    @property
    def volume(self) -> float:
        """Volume of the rough board (mm3)."""
        length, width, thickness = self.rough
        return length * width * thickness

    @property
    def board_feet(self) -> float:
        """Board feet of the rough board."""
        return self.volume / BOARD_FOOT


def cut_list(box: BoxLayout) -> tuple[CutListRow, ...]:
    """One row for each board, and one for the bottom."""
    rough = box.recipe.rough
    rows = []
    for side in SIDES:
        board = box.boards[side]
        finished = (board.end_to_end(finished=True), board.width, board.board.thickness - box.planing)
        saw_to = (board.end_to_end(finished=False), board.width, board.board.thickness)
        sizes = (_larger(saw_to, rough), saw_to, finished)
        rows.append(CutListRow(side, *sizes, board.board.wood.name, "along its length", MARKS[side]))
    if box.panel:
        x, y, thickness = box.panel.size
        along_x = box.recipe.panel.grain == "length"
        size = (x, y, thickness) if along_x else (y, x, thickness)
        grain = "from left to right" if along_x else "from front to back"
        sizes = (_larger(size, rough), size, size)
        rows.append(CutListRow("bottom", *sizes, box.recipe.panel.wood.name, grain, MARKS["bottom"]))
    return tuple(rows)


def _larger(size: Size, rough: Rough) -> Size:
    length, width, thickness = size
    return length + rough.length, width + rough.width, thickness + rough.thickness


@dataclass(frozen=True)
class GlueUp:
    """The glue-up of a bottom wider than the stock: the number of boards, and the width each is sawn to."""

    boards: int
    sawn_width: float


def glue_up(box: BoxLayout) -> GlueUp | None:
    """The boards that a bottom is glued up from; None if one board is enough, or if the recipe names no stock.

    Each board loses `box.rough.width` where its edges are planed for the glue, and the panel as much again where it is
    planed to its width: n (S - r) must hold W + r. Common practice.
    """
    widest, spare = box.recipe.stock[1], box.recipe.rough.width
    row = next((row for row in cut_list(box) if row.name == "bottom"), None)
    if row is None or widest is None or row.rough[1] <= widest + tol.ROUNDING or widest <= spare:
        return None
    boards = math.ceil(row.rough[1] / (widest - spare) - tol.ROUNDING)
    return GlueUp(boards, row.rough[1] / boards + spare)


def glue_up_words(box: BoxLayout) -> str:
    """The glue-up in a sentence; empty if there is none."""
    found, units = glue_up(box), box.recipe.units
    if found is None:
        return ""
    widest, sawn = (format_length(mm, units) for mm in (box.recipe.stock[1] or 0.0, found.sawn_width))
    boards = f"{found.boards} boards, each sawn {sawn} wide or more"
    return f"The bottom is wider than stock of {widest}: glue it up from {boards}."


def cut_list_rows(box: BoxLayout) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """The heads and rows of the cut list in the maker's units, with totals in the last row."""
    rows, units = cut_list(box), box.recipe.units

    say = partial(format_sizes, units=units)
    told = [
        (row.name, row.wood, say(row.rough), say(row.saw_to), say(row.finished), f"{row.board_feet:.2f}")
        for row in rows
    ]
    volume = f"{sum(row.volume for row in rows) / 1e9:.4f} m3"
    whole = ("all", "", volume, "", "", f"{sum(row.board_feet for row in rows):.2f}")
    return ("board", "wood", "rough", "saw to", "finished", "board feet"), [*told, whole]
