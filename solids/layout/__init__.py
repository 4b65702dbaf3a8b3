"""Where every tail and pin falls: the single source of every number that follows.

`lay_out` goes from a recipe to a `Layout`, or refuses it with every reason at once.
"""

from __future__ import annotations

from solids.layout.joint.frail import Frail, frail_parts
from solids.layout.joint.model import GrooveHere, Layout, Standing, State, StateName, Tail, tails_in_words
from solids.layout.joint.nearest import take, usual_slopes, with_pins, with_tails
from solids.layout.joint.refusals import complete, holds, lay_out, thinner_than_rule, ways_to_hold

__all__ = [
    "Frail",
    "GrooveHere",
    "Layout",
    "Standing",
    "State",
    "StateName",
    "Tail",
    "complete",
    "frail_parts",
    "holds",
    "lay_out",
    "tails_in_words",
    "take",
    "thinner_than_rule",
    "usual_slopes",
    "ways_to_hold",
    "with_pins",
    "with_tails",
]
