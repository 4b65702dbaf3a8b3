"""Lays out a corner or a box from the tables of its recipe. Gathers all problems, and tries each remedy before it is
suggested."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache, partial
from pathlib import Path

from solids.base.errors import InputError, Problem, RecipeError
from solids.base.lengths import format_least, format_most
from solids.base.messages import Amount, Key, Units, Words, in_runs, joined, message, renamed, said
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.layout.joint.refusals import lay_out, with_layout_problems
from solids.layout.joint.shape.model import Layout
from solids.recipe import Recipe, check_recipe
from solids.recipe.completing.shop import NO_SHOP, Shop
from solids.recipe.tables.accepted import Accepted, no_less_than, no_more_than
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.schema import list_of, listed_tables
from solids.recipe.text.reading import check_box, is_box, raw_recipe
from solids.recipe.text.texts import is_text
from solids.recipe.text.toml import Raw, apply_override, raw_in

Source = str | Path | Recipe | BoxRecipe
"""A recipe: a file, the name of a preset, a TOML text of more than one line, or a resolved recipe."""

Refused = Callable[[str], Sequence[Problem]]
"""Gives the problems of a recipe after one more KEY=VALUE."""

NO_VALUE = "no value helps by itself; change the values it depends on"
MOST_TRIES = 64
"""How many suggested values are tried in turn, each from the refusal of the one before. A groove may have to follow
tails that move with it, each time by less."""


def plan(source: Source, overrides: Iterable[str] = (), shop: Shop = NO_SHOP) -> Layout | BoxLayout:
    """The layout of a recipe, with KEY=VALUE overrides applied and a shop behind it, unless it is resolved already.
    RecipeError lists every reason why it cannot be made, with remedies that work. FileError if the recipe cannot be
    read."""
    if isinstance(source, Recipe | BoxRecipe):
        if list(overrides):
            raise InputError("overrides change a recipe as it is read; this one is resolved, so read it with them")
        return lay_out(source) if isinstance(source, Recipe) else lay_out_box(source)
    if is_text(source):
        return plan_of(*raw_in(str(source), overrides=overrides), shop)
    return plan_of(*raw_recipe(source, overrides), shop)


def plan_of(raw: Raw, problems: Iterable[Problem] = (), shop: Shop = NO_SHOP) -> Layout | BoxLayout:
    """The layout of parsed tables, as `plan`. `problems` are those already known."""
    try:
        return laid_out(raw, problems, shop)
    except RecipeError as err:
        found = tried(err.problems, partial(_problems_with, raw, shop), err.units)
        raise RecipeError(each_once(found), err.units) from None


def tried(problems: Iterable[Problem], refused: Refused, units: Units = "mm") -> list[Problem]:
    """The problems, with remedies that work. If a suggested value is refused in turn, that refusal's remedy replaces
    it. If it causes a problem under another key, that key is named."""
    found, cached = list(problems), cache(refused)
    return [_with_working_remedy(problem, found, cached, units) for problem in found]


def _with_working_remedy(problem: Problem, found: Sequence[Problem], refused: Refused, units: Units) -> Problem:
    there = {other.key for other in found}
    same_key = [other for other in found if other.key == problem.key and other.tries and other is not problem]
    ways = [way for each in (problem, *same_key) if (way := _follow_advice(each, refused, units))]
    if not ways:
        return replace(problem, remedy=NO_VALUE, tries=())
    advice, again = next((way for way in ways if there.issuperset(way[1])), ways[0])
    remedy = advice.remedy
    more = [Key(key) for key in again if key not in there]
    if more and (further := _further(advice, there - {problem.key}, refused, units)):
        return replace(problem, remedy=further[0], tries=further[1])
    if more:
        remedy = message("{}; then {} must change too", remedy, joined(more, " and "))
    return replace(problem, remedy=remedy, tries=advice.tries)


FOLLOWED = ("box.lid.at", "opening.width", "opening.height", "opening.depth")
"""Sizes that much else follows from, so that a limit further on passes what the nearest one does not."""

FURTHER, STEPS, HALVINGS = 1.1, 24, 5
"""Such a limit is sought in steps of a tenth, up to ten times as far, and then between the last two."""

TOLD_AS = {format_least: no_less_than, format_most: no_more_than}
"""What is accepted, by how its limit is told."""


def _further(advice: Problem, there: set[str], refused: Refused, units: Units) -> Accepted | None:
    """What is accepted with a limit further on, at which nothing is refused but what was so before; None where there is
    none."""
    limit = advice.tries[0] if advice.key in FOLLOWED and len(advice.tries) == 1 else ""
    tell = TOLD_AS.get(limit.how) if isinstance(limit, Amount) else None
    if tell is None or not isinstance(limit, Amount):
        return None

    def passes(mm: float) -> bool:
        value = said(Amount(limit.how, (mm,)), units)
        return there.issuperset(found.key for found in refused(f"{advice.key}={value}"))

    factor = FURTHER if tell is no_less_than else 1 / FURTHER
    further = (limit.figures[0] * factor**step for step in range(1, STEPS + 1))
    far = next(filter(passes, further), None)
    if far is None:
        return None
    near = far / factor
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        near, far = (near, middle) if passes(middle) else (middle, far)
    return tell(far)


def _follow_advice(problem: Problem, refused: Refused, units: Units) -> tuple[Problem, list[str]] | None:
    """The remedy that works for the problem's own key, and the keys that then have problems. None if one refused value
    leads to another without end."""
    advice, seen = problem, set[tuple[Words, ...]]()
    while advice.tries not in seen and len(seen) < MOST_TRIES:
        seen.add(advice.tries)
        again = [found for value in advice.tries for found in refused(f"{problem.key}={said(value, units)}")]
        further = next((found for found in again if found.key == problem.key), None)
        if further is None:
            return advice, list(dict.fromkeys(found.key for found in again))
        advice = further
    return None


def _problems_with(raw: Raw, shop: Shop, override: str) -> Sequence[Problem]:
    tables = copy.deepcopy(raw)
    apply_override(tables, override)
    try:
        laid_out(tables, (), shop)
    except RecipeError as err:
        return err.problems
    return ()


def laid_out(raw: Raw, problems: Iterable[Problem], shop: Shop) -> Layout | BoxLayout:
    """The layout of parsed tables, as `plan`, with remedies as they come: none is tried."""
    if is_box(raw):
        return lay_out_box(check_box(raw, problems, shop))
    try:
        return lay_out(check_recipe(raw, problems, shop))
    except RecipeError as err:
        raise with_layout_problems(err) from None


# --- what is told once -----------------------------------------------------------------------------


def each_once(problems: Iterable[Problem]) -> list[Problem]:
    """The problems, with one that several of a list of tables share told once, at the first of them."""
    alike: dict[tuple[str, Words, Words], list[Problem]] = {}
    for problem in problems:
        alike.setdefault(_of_any(problem), []).append(problem)
    return [_of_all(shared) for shared in alike.values()]


def _of_any(problem: Problem) -> tuple[str, Words, Words]:
    """Where it is, what is wrong and what helps, the same whichever of a list of tables it is about."""
    name = list_of(problem.key)
    if not name:
        return problem.key, problem.wrong, problem.remedy
    own = f"{name}.{_number(problem.key, name)}"
    keys: dict[str, Words] = {f"{own}.{field}": f"{name}.*.{field}" for field in listed_tables()[name].model_fields}
    return str(keys.get(problem.key, name)), renamed(problem.wrong, keys), renamed(problem.remedy, keys)


def _number(key: str, name: str) -> str:
    return key.removeprefix(f"{name}.").partition(".")[0]


def _of_all(shared: Sequence[Problem]) -> Problem:
    first, name = shared[0], list_of(shared[0].key)
    if len(shared) == 1 or not name:
        return first
    numbers = [int(_number(problem.key, name)) for problem in shared]
    return replace(first, wrong=message("{} ({}s {})", first.wrong, name.rpartition(".")[2], in_runs(numbers)))
