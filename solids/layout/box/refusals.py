"""Every reason why a box cannot be made, with what would be accepted instead. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import at_least, at_most, typed
from solids.base.errors import Problem, RecipeError
from solids.base.geometry import Span
from solids.base.messages import Key, Words, message, renamed
from solids.layout.box.bottom import panel_problems
from solids.layout.box.kinds import groove_here, kind_title
from solids.layout.box.model import BoxCorner, BoxLayout
from solids.layout.joint.necks import lies_in_neck, necks
from solids.layout.joint.refusals import problems_of
from solids.layout.joint.shape.model import Layout
from solids.recipe.completing.box_keys import changes, of_corners, width_of
from solids.recipe.tables.accepted import Accepted, between, no_more_than
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe, CornerName


def lay_out_box(recipe: BoxRecipe) -> BoxLayout:
    """The layout of a box. RecipeError lists every reason why it cannot be made."""
    box = BoxLayout(recipe)
    found = {name: list(_corner_problems(box, name)) for name in CORNERS}
    problems = of_corners(found, recipe.written)
    if not problems:
        problems = [*_groove_problems(box), *panel_problems(box), *_stock_problems(box)]
    if problems:
        raise RecipeError(dict.fromkeys(problems), recipe.units)
    return box


def _corner_problems(box: BoxLayout, name: CornerName) -> Iterator[Problem]:
    """The problems of a corner. Its width is put in terms of the box's own keys."""
    corner = box.recipe.corners[name]
    for problem in problems_of(corner, groove_here(box, (name,)), box.recipe.height - corner.width):
        wrong = problem.wrong
        if problem.key == "joint.width" and corner.width < box.recipe.height:
            wrong = message("the back stands above the bottom, and a width of {}", wrong)
        yield replace(problem, wrong=wrong, remedy=renamed(problem.remedy, {"joint.width": width_of(box.recipe, name)}))


def _groove_problems(box: BoxLayout) -> Iterator[Problem]:
    recipe, groove = box.recipe, box.recipe.groove
    if not groove.width:
        return
    if groove.top > recipe.height - tol.LEAST_FEATURE:
        off = "{} puts the groove off the edge of boards that are {} wide"
        yield Problem("box.groove.up", message(off, typed(groove.up), typed(recipe.height)), *_nearest_place(box))
        return
    if cut := _cut_by_groove(box):
        meets = all(_is_in_a_tail(box.corners[name].layout, groove.up, groove.top) for name in cut)
        does = "meets the gap, chamfer or hollow beside a pin" if meets else "cuts a pin"
        wrong = message(
            "from {} to {} the groove {} at {}", typed(groove.up), typed(groove.top), does, _corner_words(cut)
        )
        yield Problem("box.groove.up", wrong, *_nearest_place(box))
    yield from _too_deep_for_joints(box)
    yield from _step_on_rebate(box)


def _step_on_rebate(box: BoxLayout) -> Iterator[Problem]:
    """A groove a little deeper than the rebate leaves a step in the tails that no plough cuts clean."""
    deep = box.recipe.groove.depth
    rebates = [corner.layout.rebate for corner in _grooved_corners(box) if corner.layout.rebate]
    if any(rebate < deep < rebate + tol.REBATE_STEP - tol.ROUNDING for rebate in rebates):
        least, most = max(rebates) + tol.REBATE_STEP, min(rebates)
        wrong = message("{} is only a little deeper than the rebate of {}", typed(deep), typed(most))
        remedy = message("accepted is up to {}, or {} or more", at_most(most), at_least(least))
        yield Problem("box.groove.depth", wrong, remedy, (at_least(least),))


def _cut_by_groove(box: BoxLayout) -> list[CornerName]:
    """The corners where the groove does not pass within a single tail."""
    groove = box.recipe.groove
    return [corner.name for corner in _grooved_corners(box) if not lies_in_neck(corner.layout, groove.up, groove.top)]


def _is_in_a_tail(layout: Layout, low: float, high: float) -> bool:
    edges = (layout.tail_edges(tail, 0.0) for tail in layout.tails)
    return any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in edges)


def _corner_words(names: Sequence[str]) -> str:
    """ "the front left and back left", "all four corners"."""
    return kind_title(names) if len(names) == len(CORNERS) else f"the {kind_title(names)}"


def _grooved_corners(box: BoxLayout) -> list[BoxCorner]:
    """The corners where the groove passes through the joint."""
    return [corner for corner in box.corners.values() if not box.is_open(corner)]


def _too_deep_for_joints(box: BoxLayout) -> Iterator[Problem]:
    """Grooves too deep for a joint. One that stops needs wood to stop in; one that runs out must not reach the lap."""
    groove = box.recipe.groove
    shallow: dict[tuple[float, bool], list[str]] = {}
    for corner in _grooved_corners(box):
        runs_out = box.runs_out(corner)
        most = corner.layout.depth - (0.0 if runs_out else tol.LEAST_FEATURE)
        if groove.depth > most + tol.ROUNDING:
            shallow.setdefault((corner.layout.depth, runs_out), []).append(corner.name)
    for (deep, runs_out), names in shallow.items():
        wrong, most = "{} leaves no wood to stop in within the joint of {} at {}", deep - tol.LEAST_FEATURE
        if runs_out:
            wrong, most = "{} reaches into the lap, past the joint of {} at {}", deep
        told = message(wrong, typed(groove.depth), typed(deep), _corner_words(names))
        yield Problem("box.groove.depth", told, *no_more_than(most))


def _nearest_place(box: BoxLayout) -> Accepted:
    """The nearest place where the groove cuts no pin at any corner. A board whose width follows from the groove changes
    with it, and its tails move, so `plan.py` tries the place before it is suggested."""
    if not (places := _places(box)):
        return _no_place(box), ()
    up = box.recipe.groove.up
    accepted, tries = between(*min(places, key=lambda place: max(place[0] - up, up - place[1])))
    return message("shift it: {}", accepted), tries


def _no_place(box: BoxLayout) -> Words:
    tails = changes(_cut_by_groove(box) or CORNERS, box.recipe.written)["joint.tails"]
    return message("take a narrower groove ({}), or fewer and wider tails ({})", Key("box.groove.width"), Key(tails))


def _places(box: BoxLayout) -> list[Span]:
    """The spans where the groove's lower side may lie."""
    width = box.recipe.groove.width
    free: list[Span] = [(0.0, box.recipe.height)]
    for corner in _grooved_corners(box):
        shared = [(max(low, left), min(high, right)) for low, high in free for left, right in necks(corner.layout)]
        free = [(low, high) for low, high in shared if high - low > width + tol.LEAST_STEP]
    return [(low, high - width) for low, high in free]


def _stock_problems(box: BoxLayout) -> Iterator[Problem]:
    """Boards larger, as sawn, than the stock. The bottom is left out, as it can be glued up from narrower boards."""
    (longest, widest), rough = box.recipe.stock, box.recipe.rough
    for side, board in box.boards.items():
        length, width = board.end_to_end(finished=False) + rough.length, board.width + rough.width
        if longest is not None and length > longest:
            key = "box.length" if side in ("front", "back") else "box.width"
            wrong = message("the {} is sawn {} long, and stock.length is {}", side, typed(length), typed(longest))
            yield Problem(key, wrong, "take a smaller box or longer stock")
        if widest is not None and width > widest:
            wrong = message("the {} is sawn {} wide, and stock.width is {}", side, typed(width), typed(widest))
            yield Problem("box.height", wrong, "take a lower box or wider stock")
