"""What a maker may ask for of a divider or a shelf, each in a table [[box.divider]]. None means "left out"."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length, OneOf, Slope, WoodField
from solids.recipe.tables.table import Table
from solids.wood import Wood

Place = Annotated[float | None, Length(tol.LEAST_STEP, 20_000.0)]
Up = Annotated[float | None, Length(tol.LEAST_STEP, 20_000.0, zero=True)]

LEAST_HEIGHT = 4.0
"""A lower divider breaks out under the chisel that cuts its housings. Common practice."""


class DividerTable(Table):
    """A divider, or in a carcase on its back a shelf: a board from one side of the box to the opposite one."""

    runs: Annotated[Literal["across", "along"] | None, OneOf(("across", "along"))] = Field(
        None, description='"across" (from front to back) or "along" (from left to right).', examples=["across"]
    )
    at: Place = Field(
        None,
        description="From the inside face of the left board (across) or of the front (along) to its near face; left "
        "out of all that run the same way, they stand evenly.",
        examples=[120],
    )
    thickness: Annotated[float | None, Length(tol.LEAST_THICKNESS, 500.0)] = Field(
        None, description="Its thickness.", examples=[8]
    )
    height: Annotated[float | None, Length(LEAST_HEIGHT, 20_000.0)] = Field(
        None, description="From its foot to its upper edge.", examples=[50]
    )
    up: Up = Field(
        None, description="From the reference edge of the box to its lower edge; on the bottom by rule.", examples=[15]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Its wood.", examples=["beech"])
    sawn: Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))] = Field(
        None, description="How it was sawn from the log.", examples=["flat"]
    )
    joint: Annotated[Literal["housing", "sliding dovetail"] | None, OneOf(("housing", "sliding dovetail"))] = Field(
        None,
        description='How its ends stand in the boards: in a plain "housing", or in a tapered "sliding dovetail", which '
        "also keeps the boards from bowing outward.",
        examples=["housing"],
    )
    depth: Annotated[float | None, Length(0.5, 500.0)] = Field(
        None, description="How deep its ends go into the boards.", examples=[4]
    )
    housing: Annotated[Literal["open", "stopped"] | None, OneOf(("open", "stopped"))] = Field(
        None,
        description='Whether its housings are "open" at the upper edges of the boards, so that it slides in when the '
        'box is glued, or "stopped" at its own upper edge, so that it goes in with the boards.',
        examples=["open"],
    )
    slope: Annotated[float | None, Slope()] = Field(
        None, description="The slope of a sliding dovetail.", examples=["1:8"]
    )
    taper: Annotated[float | None, Length(tol.LEAST_STEP, 50.0, zero=True)] = Field(
        None,
        description="How much narrower a sliding dovetail is at the lower end of its housing than at the upper.",
        examples=[1.5],
    )
