"""What a maker may ask for of a whole box: one model per table. None means "left out"; `boxes.py` fills it in."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, create_model

from solids.base import tolerances as tol
from solids.recipe.fields import Length, OneOf, WoodField
from solids.wood import Wood

Size = Annotated[float | None, Length(tol.LEAST_WIDTH, 20_000.0)]
Small = Annotated[float | None, Length(tol.LEAST_STEP, 500.0, zero=True)]
Deep = Annotated[float | None, Length(tol.LEAST_STEP, 500.0)]
High = Annotated[float | None, Length(tol.LEAST_WIDTH)]
Thick = Annotated[float | None, Length(tol.LEAST_THICKNESS, 500.0)]
Sawn = Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))]


class BoxPart(BaseModel):
    """Base of the tables of a box: unknown keys are errors, and nothing changes after it is read."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True)


class SideTable(BoxPart):
    """One of the four boards, where it differs from tail_board or pin_board."""

    thickness: Thick = Field(None, description="Its thickness.", examples=[12])
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Its wood.", examples=["beech"])
    sawn: Sawn = Field(None, description="How it was sawn from the log.", examples=["flat"])


class GrooveTable(BoxPart):
    """The groove for the bottom, in the inside faces."""

    width: Small = Field(None, description="Width of the groove; 0 for no bottom.", examples=[6])
    depth: Deep = Field(None, description="Depth of the groove.", examples=[5])
    up: Small = Field(None, description="From the reference edge to the groove.", examples=[9])
    ends: Annotated[Literal["stopped", "through", "plugged"] | None, OneOf(("stopped", "through", "plugged"))] = Field(
        None,
        description='In the tail boards: "stopped" before the ends, "through", or "plugged" where it would show.',
        examples=["stopped"],
    )


class PanelTable(BoxPart):
    """The bottom."""

    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Wood of the bottom.", examples=["spruce"])
    sawn: Sawn = Field(None, description="How it was sawn from the log.", examples=["flat"])
    grain: Annotated[Literal["length", "width"] | None, OneOf(("length", "width"))] = Field(
        None, description="Which way its grain runs.", examples=["length"]
    )
    clearance: Small = Field(None, description="Room at each edge beside that for movement.", examples=[0.5])


class RoughTable(BoxPart):
    """What a board is sawn larger than it will be."""

    length: Small = Field(None, description="Over its length, both ends together.", examples=[10])
    width: Small = Field(None, description="Over its width.", examples=[4])
    thickness: Small = Field(None, description="Over its thickness, for planing.", examples=[3])


class StockTable(BoxPart):
    """The largest board that you can get."""

    length: Size = Field(None, description="Its length.", examples=[2400])
    width: Size = Field(None, description="Its width.", examples=[200])


def corner_table(joint: type[BaseModel], **tables: type[BaseModel]) -> Any:
    """The table of one corner's joint: every key of [joint] but its width, which is the height of the box, and the
    tables that shape a joint beside it."""
    fields: dict[str, Any] = {
        name: (field.annotation, field) for name, field in joint.model_fields.items() if name != "width"
    }
    fields |= {
        name: (table | None, Field(None, description=f"{table.__doc__} At these corners alone."))
        for name, table in tables.items()
    }
    return create_model("CornerTable", __base__=BoxPart, __doc__="A joint that differs from [joint].", **fields)
