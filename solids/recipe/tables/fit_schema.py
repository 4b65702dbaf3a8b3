"""How the two boards of a joint fit, and what is eased and finished: one model per table. None means "left out"."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solids.base import tolerances as tol
from solids.recipe.tables.fields import Length, OneOf
from solids.recipe.tables.table import Table

Step = Annotated[float | None, Length(tol.LEAST_STEP, 50.0, zero=True)]


class FitTable(Table):
    """How tight the joint is meant to be."""

    flank_gap: Annotated[float | None, Length(tol.LEAST_GAP, tol.LARGEST_GAP, zero=True, signed=True)] = Field(
        None,
        description="Gap at each flank, the sloping side of a tail or pin; a negative gap is a tight fit.",
        examples=[0],
    )
    sigma: Annotated[float | None, Length(0.001, 1.0)] = Field(
        None, description="How far a flank strays from its knifed line, as a standard deviation.", examples=[0.05]
    )
    shift: Annotated[float | None, Length(0.001, 1.0, zero=True)] = Field(
        None, description="How far a board may slip sideways while it is marked, as a standard deviation.", examples=[0]
    )


class EntryChamferTable(Table):
    """A chamfer on the inside edges of the tails, so that they enter without bruising."""

    width: Step = Field(None, description="Leg of the chamfer; 0 for none.", examples=[1])
    back: Step = Field(None, description="How far it stays back from the show face.", examples=[2.5])


class UndercutTable(Table):
    """A hollow in the floor of the sockets, so that the edges close up."""

    depth: Step = Field(None, description="Depth of the hollow half-way; 0 for none.", examples=[0.3])
    land: Step = Field(None, description="Flat left at each face.", examples=[2])


class FinishTable(Table):
    """What is done after the glue has set."""

    ends: Annotated[Literal["flush", "proud"] | None, OneOf(("flush", "proud"))] = Field(
        None, description='"flush" (planed off) or "proud" (left standing, edges chamfered).', examples=["flush"]
    )
    chamfer: Step = Field(None, description="Chamfer round ends left proud.", examples=[0.25])
    planing: Step = Field(None, description="How much is planed off the show faces themselves.", examples=[0])
