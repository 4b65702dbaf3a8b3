"""The layout of a joint: where every tail and pin falls. It is the single source of every later number.

`lay_out` turns a recipe into a `Layout`, or refuses it with all reasons at once.
"""

from __future__ import annotations

from solids.layout.joint.frail import Frail, frail_parts
from solids.layout.joint.nearest import take, usual_slopes, with_pins, with_tails
from solids.layout.joint.refusals import (
    can_be_cut,
    holds,
    lay_out,
    ways_to_hold,
    with_layout_problems,
)
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place, tails_in_words
from solids.layout.joint.shape.states import GrooveHere, Standing, State, StateName

__all__ = [
    "Frail",
    "GrooveHere",
    "Layout",
    "Standing",
    "State",
    "StateName",
    "Tail",
    "can_be_cut",
    "frail_parts",
    "holds",
    "lay_out",
    "place",
    "tails_in_words",
    "take",
    "usual_slopes",
    "ways_to_hold",
    "with_layout_problems",
    "with_pins",
    "with_tails",
]
