"""What a maker may ask for of the lid of a box: one model per table. None means "left out"; `completing/lid/` fills
it in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length, OneOf, Whole, WoodField
from solids.recipe.tables.table import Table
from solids.wood import Wood

LidKind = Literal["sawn off", "lift off", "hinged"]
LID_KINDS: tuple[LidKind, ...] = ("sawn off", "lift off", "hinged")

Place = Annotated[float | None, Length(tol.LEAST_WIDTH)]
Step = Annotated[float | None, Length(tol.LEAST_STEP, 50.0, zero=True)]
Cut = Annotated[float | None, Length(0.05, 20.0)]
Small = Annotated[float | None, Length(tol.LEAST_STEP, 500.0, zero=True)]
Deep = Annotated[float | None, Length(tol.LEAST_STEP, 500.0)]
Thick = Annotated[float | None, Length(tol.LEAST_THICKNESS, 150.0)]


class LidGrooveTable(Table):
    """The groove for the top of a lid that is sawn off, in the inside faces, near the upper edge."""

    width: Small = Field(None, description="Width of the groove; 0 for a lid without a top.", examples=[6])
    depth: Deep = Field(None, description="Depth of the groove.", examples=[5])
    down: Small = Field(None, description="From the upper edge down to the groove.", examples=[9])


class LidPanelTable(Table):
    """What the lid is of: the top in the groove of one that is sawn off, or the board that any other lid is."""

    kind: Annotated[Literal["solid", "plywood"] | None, OneOf(("solid", "plywood"))] = Field(
        None, description='"solid" wood, or "plywood", which hardly moves and is bought by area.', examples=["solid"]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(
        None, description="Its wood, or that of the faces of its plywood.", examples=["spruce"]
    )
    thickness: Thick = Field(
        None,
        description="How thick the board is. A top in its groove is as thick as that is wide: leave it out there.",
        examples=[12],
    )
    sawn: Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))] = Field(
        None, description="How it was sawn from the log.", examples=["flat"]
    )
    grain: Annotated[Literal["length", "width"] | None, OneOf(("length", "width"))] = Field(
        None, description="Which way its grain runs.", examples=["length"]
    )
    clearance: Small = Field(
        None,
        description="Room at each edge beside that for movement: of a top in its groove, or of a lid that lifts off "
        "between the boards.",
        examples=[0.5],
    )


class HingeTable(Table):
    """Butt hinges that hang the lid on the box, as you measured them."""

    leaf: Deep = Field(None, description="Length of a leaf, along the back.", examples=[40])
    width: Deep = Field(None, description="From the middle of the pin to the edge of a leaf.", examples=[9])
    thickness: Deep = Field(None, description="Thickness of a leaf.", examples=[1.5])
    barrel: Deep = Field(None, description="Diameter of the barrel.", examples=[4])
    count: Annotated[int | None, Whole(2, 12)] = Field(None, description="How many hinges.", examples=[2])
    from_end: Small = Field(
        None, description="From the outside of the box to the first hinge, at both ends.", examples=[40]
    )


class LiningTable(Table):
    """A lining that stands above the edge of the box, so that a lid that is sawn off stays where it lies."""

    thickness: Thick = Field(None, description="How thick its boards are.", examples=[5])
    stands: Annotated[float | None, Length(tol.LEAST_FEATURE, 500.0)] = Field(
        None, description="How far it stands above the edge of the box.", examples=[5]
    )
    clearance: Step = Field(
        None, description="How much its faces are planed back where the lid goes over them.", examples=[0.2]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Its wood.", examples=["cherry"])


class LidTable(Table):
    """A lid: sawn off the box once that is glued up whole, or a board of its own."""

    kind: Annotated[LidKind | None, OneOf(LID_KINDS)] = Field(
        None,
        description='"sawn off": the box is glued up whole, and the lid is sawn off it; "lift off": a board whose '
        'underside is rebated all round, so that it drops between the boards; "hinged": a board that hangs on butt '
        "hinges at the back.",
        examples=["sawn off"],
    )
    drop: Deep = Field(
        None,
        description="How far a lid that lifts off drops between the boards: how deep the rebate round its underside "
        "is.",
        examples=[6],
    )
    overhang: Small = Field(
        None,
        description='How far a lid that is a board of its own stands out past the boards: all round, or, "hinged", at '
        "the front and the sides; 0 for flush.",
        examples=[3],
    )
    at: Place = Field(
        None,
        description="Sawn off: from the reference edge up to the middle of the saw's kerf, as the box is glued up.",
        examples=[72],
    )
    kerf: Cut = Field(None, description="Sawn off: how wide the saw cuts that parts it from the box.", examples=[1])
    planing: Step = Field(
        None, description="Sawn off: how much is planed off each of both edges, the box's and its own.", examples=[0.5]
    )
    hinge: HingeTable | None = Field(None, description=HingeTable.__doc__)
    lining: LiningTable | None = Field(None, description=LiningTable.__doc__)
    groove: LidGrooveTable | None = Field(None, description=LidGrooveTable.__doc__)
    panel: LidPanelTable | None = Field(None, description=LidPanelTable.__doc__)
