"""What a maker may say about the glue: its kind, and what stands on the bottle."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from solids.recipe.tables.fields import Number, OneOf
from solids.recipe.tables.table import Table
from solids.wood.glues import GLUE_KINDS, GlueKind

Minutes = Annotated[float | None, Number(0.5, 480.0, "minutes")]
InClamps = Annotated[float | None, Number(1.0, 2880.0, "minutes")]
Spread = Annotated[float | None, Number(50.0, 600.0, "g/m2")]


class GlueTable(Table):
    """Your glue, as its bottle or its maker's sheet says, for the glue-up page."""

    kind: Annotated[GlueKind | None, OneOf(GLUE_KINDS)] = Field(
        None, description="The kind of glue, by its name in the trade.", examples=["PVA"]
    )
    open_time: Minutes = Field(
        None, description="From the first face that is brushed until the joint is closed, in minutes.", examples=[5]
    )
    assembly_time: Minutes = Field(
        None, description="From the first face that is brushed to the last clamp, in minutes.", examples=[10]
    )
    clamp_time: InClamps = Field(
        None, description="How long it stays in the clamps before it may be moved, in minutes.", examples=[60]
    )
    spread: Spread = Field(None, description="How much glue goes on a glue line, in g/m2.", examples=[180])
