"""From the tables of a recipe to a layout, of a corner or of a box: the one place where all that is wrong comes
together, and where advice is tried before it is told."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from solids.base.errors import InputError, Problem, RecipeError
from solids.base.lengths import Units
from solids.base.messages import said
from solids.layout import Layout, complete, lay_out
from solids.layout.box import BoxLayout
from solids.layout.box_refusals import lay_out_box
from solids.recipe import Recipe, check_recipe
from solids.recipe.box_resolved import BoxRecipe
from solids.recipe.reading import check_box, is_box, raw_recipe
from solids.recipe.texts import is_text
from solids.recipe.toml import Raw, apply_override, raw_in

Source = str | Path | Recipe | BoxRecipe
"""Where a recipe is: a file, the name of a preset, a TOML text of more than one line, or a recipe that is resolved."""

Refused = Callable[[str], Sequence[Problem]]
"""What is wrong with a recipe once one KEY=VALUE more is in it."""

NO_VALUE = "no value of it does by itself; change what it depends on"
MOST_TRIES = 4
"""How often what is said of a value that was told is followed. Each time another limit of the same key is found."""


def plan(source: Source, overrides: Iterable[str] = ()) -> Layout | BoxLayout:
    """The layout of a recipe, with KEY=VALUE overrides applied. RecipeError holds every reason why it cannot be made,
    and advice that holds when it is taken; FileError what cannot be read."""
    if isinstance(source, Recipe | BoxRecipe):
        if list(overrides):
            raise InputError("overrides change a recipe as it is read; this one is resolved, so read it with them")
        return lay_out(source) if isinstance(source, Recipe) else lay_out_box(source)
    if is_text(source):
        return plan_of(*raw_in(str(source), overrides=overrides))
    return plan_of(*raw_recipe(source, overrides))


def plan_of(raw: Raw, problems: Iterable[Problem] = ()) -> Layout | BoxLayout:
    """The same for parsed tables, and for what is wrong with them already."""
    try:
        return _laid_out(raw, problems)
    except RecipeError as err:
        raise RecipeError(tried(err.problems, partial(_refused, raw), err.units), err.units) from None


def tried(problems: Iterable[Problem], refused: Refused, units: Units = "mm") -> list[Problem]:
    """Problems with remedies that hold: where a value that one tells is refused in its turn, what is said then takes
    its place."""
    return [_tried(problem, refused, units) for problem in problems]


def _tried(problem: Problem, refused: Refused, units: Units) -> Problem:
    advice = problem
    for _ in range(MOST_TRIES):
        again = (found for value in advice.tries for found in refused(f'{problem.key}="{said(value, units)}"'))
        further = next((found for found in again if found.key == problem.key), None)
        if further is None:
            return replace(problem, remedy=advice.remedy, tries=advice.tries)
        advice = further
    return replace(problem, remedy=NO_VALUE, tries=())


def _refused(raw: Raw, override: str) -> Sequence[Problem]:
    tables = copy.deepcopy(raw)
    apply_override(tables, override)
    try:
        _laid_out(tables)
    except RecipeError as err:
        return err.problems
    return ()


def _laid_out(raw: Raw, problems: Iterable[Problem] = ()) -> Layout | BoxLayout:
    if is_box(raw):
        return lay_out_box(check_box(raw, problems))
    try:
        return lay_out(check_recipe(raw, problems))
    except RecipeError as err:
        raise complete(err) from None
