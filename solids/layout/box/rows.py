"""One row of a cut list: the sizes of a part, and how much wood it takes. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.geometry import Slab
from solids.recipe.tables.box_resolved import Rough
from solids.recipe.tables.panel import Panel
from solids.wood import Sawn, stock

BOARD_FOOT = 144 * 25.4**3
"""1 board foot is 144 cubic inches, in mm3. Source: NIST Handbook 44, Appendix C."""

LEAST_TALLIED = 25.4
"""A board under an inch thick is sold as if it were an inch. Source: W. Noyes, Handwork in Wood, 1910, chapter 3 (by
the square foot, face measure); U.S. Navy, Engineering Aid Basic, chapter 6 (taken as 1 in for board measure)."""

Size = tuple[float, float, float]


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
    sawn: Sawn = "flat"

    @property
    def stock(self) -> str:
        """The wood, and how it must be sawn."""
        return stock(self.wood, self.sawn)

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


def boards_in_panel(width: float, widest: float, spare: float) -> int:
    """How many boards, none wider than `widest`, make a panel up that is taken from the plank `width` wide. Each loses
    `spare` where its edges are planed for the glue, and the panel as much again where it is planed to its width, which
    `width` holds: n (S - r) must hold W + r. Common practice."""
    return math.ceil(width / (widest - spare) - tol.ROUNDING)


def larger(size: Size, rough: Rough) -> Size:
    """A size as it is taken from the plank."""
    length, width, thickness = size
    return length + rough.length, width + rough.width, thickness + rough.thickness


def panel_row(name: str, panel: Panel, slab: Slab, spare: Rough, mark: str) -> CutListRow:
    """The row of the cut list for a bottom, or a lid, that a block so large holds."""
    x, y, thickness = slab.size
    along_x, sheet = panel.grain == "length", panel.kind == "plywood"
    size = (x, y, thickness) if along_x else (y, x, thickness)
    grain = "from left to right" if along_x else "from front to back"
    rough = size if sheet else larger(size, spare)
    return CutListRow(name, rough, size, size, panel.wood.told, grain, mark, sheet, panel.sawn)
