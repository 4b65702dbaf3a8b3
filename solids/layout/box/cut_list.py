"""The cut list of a box: the rough, sawn and finished sizes of each board, its wood, its grain direction, and the marks
that keep it from being worked the wrong way round. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from solids.base import tolerances as tol
from solids.base.lengths import format_length, format_sizes
from solids.base.messages import Units
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import SIDES, Rough, Side

BOARD_FOOT = 144 * 25.4**3
"""1 board foot is 144 cubic inches, in mm3. Source: NIST Handbook 44, Appendix C."""

LEAST_TALLIED = 25.4
"""A board under an inch thick is sold as if it were an inch. Source: W. Noyes, Handwork in Wood, 1910, chapter 3 (by
the square foot, face measure); U.S. Navy, Engineering Aid Basic, chapter 6 (taken as 1 in for board measure)."""

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

MARKS: dict[str, str] = {
    **{side: f"triangle {letter}, {part}; {LIES}" for side, (letter, part) in TRIANGLES.items()},
    "bottom": "arrow to the front; good face up",
}

LITRE = 1e6
"""In mm3."""

AMOUNT_HEADS: dict[Units, tuple[str, ...]] = {"mm": ("litres",), "in": ("board feet", "to buy")}
"""By what wood is bought: how much the rough boards are, and in inches also how they are tallied."""

TALLIED: dict[Units, str] = {"mm": "", "in": "To buy: a board under an inch thick is tallied as an inch. "}
"""What the last column of the cut list is, for who buys by it: a sentence and a space, or nothing."""

Size = tuple[float, float, float]
Rows = tuple[tuple[str, ...], list[tuple[str, ...]]]


@dataclass(frozen=True)
class CutListRow:
    """One board: length (along the grain), width and thickness. `rough` is how it is taken from the plank, `saw_to`
    how large it is when the joints are laid out, with what stands proud and what is planed off later, `finished` what
    is left when the box is done. An uneven board is taken and laid out by its thickest place, and finished by its
    thinnest. A `sheet` is sawn to its size out of plywood and bought by area; a board is bought by
    the board foot."""

    name: str
    rough: Size
    saw_to: Size
    finished: Size
    wood: str
    grain: str
    mark: str
    sheet: bool = False

    @property
    def volume(self) -> float:
        """Of the rough board, in mm3; 0 for a sheet."""
        return 0.0 if self.sheet else math.prod(self.rough)

    @property
    def board_feet(self) -> float:
        """Of the rough board; 0 for a sheet."""
        return self.volume / BOARD_FOOT

    @property
    def to_buy(self) -> float:
        """Board feet as they are tallied when bought, the board at least an inch thick; 0 for a sheet."""
        return self.board_feet * max(LEAST_TALLIED / self.rough[2], 1.0)

    @property
    def sheet_area(self) -> float:
        """Of a sheet, in mm2; 0 for a board."""
        return self.rough[0] * self.rough[1] if self.sheet else 0.0


def cut_list(box: BoxLayout) -> tuple[CutListRow, ...]:
    """One row for each board, and one for the bottom."""
    rough = box.recipe.rough
    rows = []
    for side in SIDES:
        board = box.boards[side]
        finished = (board.end_to_end(finished=True), board.width, board.board.thinnest - box.planing)
        saw_to = (board.end_to_end(finished=False), board.width, board.board.thickness)
        sizes = (larger(saw_to, rough), saw_to, finished)
        rows.append(CutListRow(side, *sizes, board.board.wood.told, "along its length", MARKS[side]))
    if box.panel:
        x, y, thickness = box.panel.size
        along_x, sheet = box.recipe.panel.grain == "length", box.recipe.panel.kind == "plywood"
        size = (x, y, thickness) if along_x else (y, x, thickness)
        grain = "from left to right" if along_x else "from front to back"
        sizes = (size if sheet else larger(size, rough), size, size)
        rows.append(CutListRow("bottom", *sizes, box.recipe.panel.wood.told, grain, MARKS["bottom"], sheet))
    return tuple(rows)


def larger(size: Size, rough: Rough) -> Size:
    """A size as it is taken from the plank."""
    length, width, thickness = size
    return length + rough.length, width + rough.width, thickness + rough.thickness


@dataclass(frozen=True)
class GlueUp:
    """The glue-up of a bottom wider than the stock: the number of boards, and the width each is sawn to."""

    boards: int
    sawn_width: float


def glue_up(box: BoxLayout) -> GlueUp | None:
    """What a bottom of solid wood is glued up from; None for plywood, where one board does, or where the stock is not
    named.

    Each board loses `box.rough.width` where its edges are planed for the glue, and the panel as much again where it is
    planed to its width: n (S - r) must hold W + r. Common practice.
    """
    widest, spare = box.recipe.stock[1], box.recipe.rough.width
    row = next((row for row in cut_list(box) if row.name == "bottom"), None)
    if row is None or row.sheet or widest is None or row.rough[1] <= widest + tol.ROUNDING or widest <= spare:
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


def cut_list_rows(box: BoxLayout) -> Rows:
    """The cut list of a box, told."""
    return told_rows(cut_list(box), box.recipe.units)


def told_rows(rows: Sequence[CutListRow], units: Units) -> Rows:
    """The heads of a cut list and its rows, in the maker's units, with the sums of the wood: in board feet, net and as
    they are tallied when bought, or in litres."""
    say = partial(format_sizes, units=units)
    told = [
        (row.name, row.wood, say(row.rough), say(row.saw_to), say(row.finished), *_amounts([row], units))
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
