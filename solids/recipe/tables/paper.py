"""What papers are printed on, and what drawings for machines are written in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal, get_args

from pydantic import Field

from solids.base.messages import Units
from solids.recipe.tables.box_schema import Table
from solids.recipe.tables.fields import OneOf, YesNo

PaperName = Literal["A4", "Letter", "A3"]
DxfVersion = Literal["R12", "R2010", "R2018"]


class PaperTable(Table):
    """What `halfpin paper` prints on, and what its drawing holds."""

    size: Annotated[PaperName | None, OneOf(get_args(PaperName))] = Field(
        None, description="The sheet in your printer.", examples=["A4"]
    )
    corner_relief: Annotated[bool | None, YesNo()] = Field(
        None,
        description="true where a thin cutter's path runs into the corners, so that a square corner seats.",
        examples=[False],
    )
    dxf_units: Annotated[Units | None, OneOf(get_args(Units))] = Field(
        None, description="The unit of DXF files, for a CAM program that takes one alone.", examples=["mm"]
    )
    dxf_version: Annotated[DxfVersion | None, OneOf(get_args(DxfVersion))] = Field(
        None, description="The release of DXF; R12 is for old CAM programs.", examples=["R2010"]
    )


@dataclass(frozen=True)
class Paper:
    """The sheet to print on, whether a cutter's path runs into inside corners, and how DXF files are written."""

    size: PaperName
    corner_relief: bool
    dxf_units: Units = "mm"
    dxf_version: DxfVersion = "R2010"
