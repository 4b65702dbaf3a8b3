"""The feet of a box, as they are asked for and as they are settled. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length, WoodField
from solids.recipe.tables.table import Table
from solids.wood import Wood


class FeetTable(Table):
    """Four square blocks under the corners, glued and screwed to the reference edges."""

    height: Annotated[float | None, Length(tol.LEAST_THICKNESS, 500.0)] = Field(
        None, description="How high they stand; without it the box has no feet.", examples=[20]
    )
    width: Annotated[float | None, Length(12.0, 500.0)] = Field(
        None, description="Of each block, both ways.", examples=[45]
    )
    inset: Annotated[float | None, Length(tol.LEAST_STEP, 500.0, zero=True)] = Field(
        None, description="How far they stand back from the show faces.", examples=[3]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Their wood.", examples=["walnut"])


@dataclass(frozen=True)
class Feet:
    """Four square blocks: height, width both ways, how far they stand back from the outside faces, and wood."""

    height: float
    width: float
    inset: float
    wood: Wood
