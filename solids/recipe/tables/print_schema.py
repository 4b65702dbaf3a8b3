"""What a maker may say about the printer that makes shop aids, and about the magnets in them."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length
from solids.recipe.tables.table import Table

ToolSize = Annotated[float, Length(0.05, 200.0)]
PRINTER = 'printers are set in mm: write the unit too, as in "{} mm"'
Clearance = Annotated[
    float | None, Length(tol.LEAST_STEP, tol.MOST_PRINT_CLEARANCE, zero=True, advice=PRINTER.format(0.2))
]
Nozzle = Annotated[float | None, Length(0.05, tol.WIDEST_NOZZLE, advice=PRINTER.format(0.4))]
BedSide = Annotated[float, Length(10.0)]


class MagnetTable(Table):
    """A disc magnet."""

    diameter: ToolSize = Field(description="Diameter of the magnet.", examples=[10])
    thickness: ToolSize = Field(description="Thickness of the magnet.", examples=[2])


class PrintTable(Table):
    """Your printer and your magnets, for the shop aids that `halfpin aids` makes."""

    bed: tuple[BedSide, BedSide] | None = Field(None, description="Size of the bed.", examples=[[220, 220]])
    nozzle: Nozzle = Field(None, description="Diameter of the nozzle.", examples=[0.4])
    clearance: Clearance = Field(None, description="Clearance of a printed fit, each side.", examples=[0.2])
    magnet: MagnetTable | None = Field(
        None, description="Disc magnets you have.", examples=[{"diameter": 10, "thickness": 2}]
    )
