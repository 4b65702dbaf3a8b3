"""What a maker may say about the tools on the bench, the printer that makes shop aids, and the magnets in them."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length
from solids.recipe.tables.table import Table

ToolSize = Annotated[float, Length(0.05, 200.0)]
OwnTool = Annotated[float | None, Length(0.05, 200.0)]
Cutter = Annotated[float, Length(tol.THINNEST_CUTTER, tol.THICKEST_CUTTER)]
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


class KitTable(Table):
    """Your own tools, so that the tool can say which chisel fits and where the kerf lies."""

    chisels: tuple[ToolSize, ...] | None = Field(None, description="Widths of your chisels.", examples=[[3, 6, 10, 12]])
    saw_kerf: OwnTool = Field(None, description="Kerf of your dovetail saw.", examples=[0.6])
    knife: OwnTool = Field(None, description="Thickness of your marking knife.", examples=[0.8])
    scale: Annotated[float | None, Length(tol.FINEST_SCALE, tol.COARSEST_SCALE)] = Field(
        None,
        description="How far apart the lines of your rule are, to which recipes of its units give places to mark.",
        examples=[0.5],
    )
    cutters: tuple[Cutter, ...] | None = Field(
        None,
        description="Diameters of your straight router cutters, for the paths in the drawing and the note for CNC.",
        examples=[[3, 6]],
    )
    bush: OwnTool = Field(
        None, description="Outside diameter of your router's guide bush, for the comb of the jig.", examples=[16]
    )
