"""Where every tail and pin falls: the single source of every number that follows.

`lay_out` goes from a recipe to a `Layout`, or refuses it with every reason at once.
"""

from __future__ import annotations

from solids.base.errors import RecipeError
from solids.layout.frail import Frail, frail_parts
from solids.layout.model import GrooveHere, Layout, Standing, State, StateName, Tail, place, tails_in_words
from solids.layout.nearest import take, usual_slopes, with_pins, with_tails
from solids.layout.refusals import holds, problems_of, thinner_than_rule, ways_to_hold
from solids.recipe.resolved import Recipe

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


def lay_out(recipe: Recipe) -> Layout:
    """The layout of a recipe. RecipeError holds every reason why it cannot be cut."""
    problems = list(problems_of(recipe))
    if problems:
        raise RecipeError(problems, recipe.units)
    return place(recipe)


def complete(error: RecipeError) -> RecipeError:
    """The recipe's problems together with those of its layout, where the joint can be laid out at all."""
    if error.usable is None:
        return error
    return RecipeError([*error.problems, *problems_of(error.usable)], error.units)
