"""What a maker may ask for of a drawer that is to fit an opening: one model per table. None means "left out";
`completing/opening.py` fills it in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length, OneOf, WoodField
from solids.recipe.tables.table import Table
from solids.wood import Wood

Hole = Annotated[float | None, Length(tol.LEAST_WIDTH, 20_000.0)]
Play = Annotated[float | None, Length(tol.LEAST_STEP, 500.0, zero=True)]
Stick = Annotated[float | None, Length(1.0, 500.0)]


class StickTable(Table):
    """A pair of sticks of the carcase, one at the left and one at the right."""

    width: Stick = Field(None, description="How wide each is, across the opening.", examples=[25])
    thickness: Stick = Field(None, description="How thick each is.", examples=[15])
    behind: Play = Field(
        None, description="How far behind the front of the opening it begins, as behind a rail.", examples=[0]
    )
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Its wood.", examples=["beech"])


class GuideTable(StickTable):
    """The guides beside the drawer, which keep it straight where the carcase is wider than the opening."""

    width: Stick = Field(None, description="How high each stands beside the drawer.", examples=[25])
    thickness: Stick = Field(None, description="How thick each is, across the opening.", examples=[15])


class OpeningTable(Table):
    """The opening that a drawer slides into. With it, [box] needs no sizes: they follow from those of the hole."""

    width: Hole = Field(None, description="Width of the hole, from left to right.", examples=[400])
    height: Hole = Field(None, description="Height of the hole.", examples=[100])
    depth: Hole = Field(None, description="Depth of the hole, from its front to its back.", examples=[450])
    play: Play = Field(
        None, description="What is left free above the drawer at the dampest time of the year.", examples=[1]
    )
    side_play: Play = Field(None, description="What is left free at each side.", examples=[0.5])
    back_play: Play = Field(
        None, description="How far the drawer ends short of the back of the opening.", examples=[10]
    )
    plane: Play = Field(
        None,
        description="How much higher the front and the sides are made, to be planed off their upper edges as the "
        "drawer is fitted.",
        examples=[0],
    )
    rail: Play = Field(
        None,
        description="How much wood lies across the height between the opening and where the rails above and below it "
        "are held: it swells into the opening; 0 where nothing round it moves.",
        examples=[0],
    )
    wood: Annotated[Wood | None, WoodField()] = Field(None, description="Wood of those rails.", examples=["white oak"])
    sawn: Annotated[Literal["flat", "quarter"] | None, OneOf(("flat", "quarter"))] = Field(
        None, description="How those rails were sawn from the log.", examples=["flat"]
    )
    runner: StickTable | None = Field(None, description="The runners that the sides of the drawer slide on.")
    kicker: StickTable | None = Field(
        None, description="The kickers above the sides, so that the drawer does not tip as it is pulled out."
    )
    guide: GuideTable | None = Field(None, description=GuideTable.__doc__)
