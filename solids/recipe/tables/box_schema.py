"""What a maker may ask for of a whole box: one model per table. None means "left out"; `boxes.py` fills it in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Annotated, Any, Literal

from pydantic import Field, create_model

from solids.base import tolerances as tol
from solids.base.amounts import limits, typed
from solids.base.geometry import Span
from solids.base.messages import Units, message
from solids.recipe.tables.fields import LENGTH_SCHEMA, JsonSchema, Length, OneOf, Rule, WoodField, YesNo, refuse
from solids.recipe.tables.table import Table
from solids.wood import Wood

WIDTH, THICKNESS = Length(tol.LEAST_WIDTH), Length(tol.LEAST_THICKNESS, 500.0)
"""How wide and how thick a board can be."""

MOST_PLACES = 100
"""Of one board. Nobody measures more by hand."""


@dataclass(frozen=True)
class Thickness(Rule):
    """How thick a board is: one length, or a list of lengths measured at several places."""

    def read(self, value: object, units: Units) -> float | tuple[float, ...]:
        if not isinstance(value, list | tuple):
            return THICKNESS.read(value, units)
        if not value:
            raise refuse(
                "the list is empty", "give a length, or one for each place that you measured, as in [12, 11.8]"
            )
        if len(value) > MOST_PLACES:
            raise refuse(f"the list has {len(value)} lengths", f"accepted are at most {MOST_PLACES}")
        found = tuple(THICKNESS.read(item, units) for item in value)
        odd = odd_one_out(found)
        if odd is None:
            return found
        place, others, (least, most) = odd
        wrong = message("place {}, {}, is far from the others, near {}", place, typed(found[place - 1]), typed(others))
        remedy = "measure it again: beside the others it takes {} to {}; plane a board that is so uneven first"
        raise refuse(wrong, message(remedy, *limits(least, most)))

    def schema(self) -> JsonSchema:
        measured = {"type": "array", "items": {"anyOf": LENGTH_SCHEMA["anyOf"]}, "minItems": 1, "maxItems": MOST_PLACES}
        return {"anyOf": [*LENGTH_SCHEMA["anyOf"], measured]}


def odd_one_out(lengths: Sequence[float]) -> tuple[int, float, Span] | None:
    """The length that lies farthest from the median of the others, if that is so far that the rule slipped: its place,
    counted from 1, that median, and from where to where it would be accepted. None where all agree, or there is one."""
    if len(lengths) < 2:
        return None
    medians = [median((*lengths[:i], *lengths[i + 1 :])) for i in range(len(lengths))]
    spans = [_near(other) for other in medians]
    off = [abs(mm - other) for mm, other in zip(lengths, medians, strict=True)]
    wrong = [i for i, (low, high) in enumerate(spans) if not low - tol.ROUNDING <= lengths[i] <= high + tol.ROUNDING]
    if not wrong:
        return None
    farthest = max(wrong, key=lambda i: off[i])
    return farthest + 1, medians[farthest], spans[farthest]


def _near(others: float) -> Span:
    """How thin and how thick a place may be where the others measure so much: the share counts from the larger of the
    two, so that a length which is near to another has that other near to it."""
    share = 1.0 - tol.UNEVEN_SLIP_SHARE
    return min(others - tol.UNEVEN_SLIP, others * share), max(others + tol.UNEVEN_SLIP, others / share)


Size = Annotated[float | None, Length(tol.LEAST_WIDTH, 20_000.0)]
Small = Annotated[float | None, Length(tol.LEAST_STEP, 500.0, zero=True)]
Deep = Annotated[float | None, Length(tol.LEAST_STEP, 500.0)]
Wide = Annotated[float | None, WIDTH]
Thick = Annotated[float | tuple[float, ...] | None, Thickness()]
Hollow = Annotated[
    float | None, Length(tol.LEAST_STEP, 50.0, zero=True, advice="say how deep the hollow is, in whichever face")
]
GrooveEnds = Annotated[
    Literal["hidden", "stopped", "through", "plugged"] | None, OneOf(("hidden", "stopped", "through", "plugged"))
]
Sawn = Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))]


class SideTable(Table):
    """One of the four boards, where it differs from tail_board or pin_board."""

    thickness: Thick = Field(
        None, description="Its thickness, or a list of what you measured at several places.", examples=[12]
    )
    cup: Hollow = Field(None, description="How hollow it is across its width; 0 for flat.", examples=[0])
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Its wood.", examples=["beech"])
    sawn: Sawn = Field(None, description="How it was sawn from the log.", examples=["flat"])


class LipTable(Table):
    """A lip round the front of a drawer, which closes on the face of the carcase and hides the play."""

    width: Small = Field(
        None, description="How far it reaches past the box on every side that is not given alone.", examples=[9.5]
    )
    thickness: Deep = Field(None, description="Its thickness, which is part of that of the front.", examples=[9.5])
    top: Small = Field(None, description="How far past the box it reaches at the top; 0 for none.", examples=[9.5])
    bottom: Small = Field(
        None, description="How far past the box it reaches at the bottom; 0 for none.", examples=[9.5]
    )
    left: Small = Field(None, description="How far past the box it reaches at the left; 0 for none.", examples=[9.5])
    right: Small = Field(None, description="How far past the box it reaches at the right; 0 for none.", examples=[9.5])


class FrontTable(SideTable):
    """The front, where it differs from tail_board or pin_board."""

    lip: LipTable | None = Field(None, description=LipTable.__doc__)


class BackTable(SideTable):
    """The back, where it differs from tail_board or pin_board."""

    down: Small = Field(
        None,
        description="How far its upper edge lies below those of the sides, so that air gets out as a drawer is pushed "
        "in; 0 for level.",
        examples=[0],
    )


class GrooveTable(Table):
    """The groove or rebate for the bottom, in the inside faces."""

    width: Small = Field(
        None, description="Width of the groove, or how high the rebate is; 0 for no bottom.", examples=[6]
    )
    depth: Deep = Field(None, description="Depth of the groove or rebate.", examples=[5])
    up: Small = Field(None, description="From the reference edge to the groove; 0 for a rebate.", examples=[9])
    ends: GrooveEnds = Field(
        None,
        description='In the tail boards: "hidden" (through behind a lap, stopped where it would show), "stopped" '
        'before all ends, "through", or "plugged" where it would show.',
        examples=["hidden"],
    )


class PanelTable(Table):
    """The bottom."""

    kind: Annotated[Literal["solid", "plywood"] | None, OneOf(("solid", "plywood"))] = Field(
        None, description='"solid" wood, or "plywood", which hardly moves and is bought by area.', examples=["solid"]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(
        None, description="Wood of the bottom, or of the faces of its plywood.", examples=["spruce"]
    )
    sawn: Sawn = Field(None, description="How it was sawn from the log.", examples=["flat"])
    held: Annotated[Literal["groove", "rebate", "slips"] | None, OneOf(("groove", "rebate", "slips"))] = Field(
        None,
        description='What holds its edges: a "groove" in the boards, a "rebate" along their lower inside edges, from '
        'below, or grooved "slips" glued to the sides.',
        examples=["groove"],
    )
    thickness: Deep = Field(None, description="Its thickness; that of its groove where left out.", examples=[6])
    edge: Annotated[Literal["plain", "rebated", "fielded"] | None, OneOf(("plain", "rebated", "fielded"))] = Field(
        None,
        description='Its edge: "plain", "rebated" to a tongue, or "fielded": bevelled down to a tongue round a field.',
        examples=["plain"],
    )
    face: Annotated[Literal["underside", "upper face"] | None, OneOf(("underside", "upper face"))] = Field(
        None, description="The face that its edge is rebated or bevelled on.", examples=["underside"]
    )
    border: Deep = Field(
        None, description="From its edge to the shoulder of its tongue, or to its field.", examples=[20]
    )
    slip: Deep = Field(None, description="Thickness of the slips.", examples=[9])
    grain: Annotated[Literal["length", "width"] | None, OneOf(("length", "width"))] = Field(
        None, description="Which way its grain runs.", examples=["length"]
    )
    clearance: Small = Field(None, description="Room at each edge beside that for movement.", examples=[0.5])


class RoughTable(Table):
    """How much larger than finished a board is sawn."""

    length: Small = Field(None, description="Over its length, both ends together.", examples=[10])
    width: Small = Field(None, description="Over its width.", examples=[4])
    thickness: Small = Field(None, description="Over its thickness, for planing.", examples=[3])


class PaperTable(Table):
    """What `halfpin paper` prints on, and what its drawing holds."""

    size: Annotated[Literal["A4", "Letter", "A3"] | None, OneOf(("A4", "Letter", "A3"))] = Field(
        None, description="The sheet in your printer.", examples=["A4"]
    )
    corner_relief: Annotated[bool | None, YesNo()] = Field(
        None,
        description="Whether a thin cutter's path runs into the corners, so that a square corner seats.",
        examples=[False],
    )
    dxf_units: Annotated[Literal["mm", "in"] | None, OneOf(("mm", "in"))] = Field(
        None, description="The unit of DXF files, for a CAM program that takes one alone.", examples=["mm"]
    )
    dxf_version: Annotated[Literal["R12", "R2010", "R2018"] | None, OneOf(("R12", "R2010", "R2018"))] = Field(
        None, description="The release of DXF; R12 is for old CAM programs.", examples=["R2010"]
    )


def corner_table(joint: type[Table], **tables: type[Table]) -> Any:
    """The table of one corner's joint: every key of [joint] but its width, which is the height of the box, and the
    other tables that shape a joint."""
    fields: dict[str, Any] = {
        name: (field.annotation, field) for name, field in joint.model_fields.items() if name != "width"
    }
    fields |= {
        name: (table | None, Field(None, description=f"{table.__doc__} At these corners alone."))
        for name, table in tables.items()
    }
    return create_model("CornerTable", __base__=Table, __doc__="A joint that differs from [joint].", **fields)
