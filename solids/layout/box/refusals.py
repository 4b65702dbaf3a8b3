"""Every reason why a box cannot be made, with what would be accepted instead. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import at_least, at_most, fine, typed
from solids.base.errors import Problem, RecipeError
from solids.base.geometry import Span
from solids.base.messages import Key, Words, message, renamed
from solids.layout.box.bottom import panel_problems
from solids.layout.box.divider_refusals import divider_problems
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.feet import feet_problems
from solids.layout.box.fitted.hinges import depth_problems, hinge_problems
from solids.layout.box.fitted.lid_board_refusals import in_a_housing, lid_board_problems
from solids.layout.box.fitted.lid_refusals import lid_problems
from solids.layout.box.fitted.top import TOP
from solids.layout.box.kinds import groove_here, kind_title
from solids.layout.box.model import BoxCorner, BoxLayout, with_top
from solids.layout.box.opening import opening_problems
from solids.layout.box.rebate import rebate_problems
from solids.layout.joint.necks import lies_in_neck, necks
from solids.layout.joint.refusals import holds, problems_of
from solids.layout.joint.shape.model import Layout
from solids.recipe.completing.box_keys import changes, of_corners, width_of
from solids.recipe.completing.choosing import MM_STEP
from solids.recipe.completing.lid.sawn import DOWN, KERF, PLANING
from solids.recipe.completing.opening import told_of_opening
from solids.recipe.tables.accepted import Accepted, between, no_less_than, no_more_than, up_to
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe, CornerName
from solids.recipe.tables.resolved import Recipe


def lay_out_box(recipe: BoxRecipe) -> BoxLayout:
    """The layout of a box. RecipeError lists every reason why it cannot be made."""
    box = BoxLayout(recipe)
    problems = list(lid_problems(box)) or of_corners(_found_at_corners(box), recipe.written)
    if not problems:
        problems = [*_groove_problems(box), *panel_problems(box), *feet_problems(box), *_stock_problems(box)]
        top = list(_top_problems(box)) if recipe.lid else []
        problems += top
        hung = list(hinge_problems(box))
        problems += [*hung, *(() if top else depth_problems(box)), *lid_board_problems(box, fitting_of(box))]
        problems += () if hung else in_a_housing(fitting_of(box))
        problems += opening_problems(box)
        problems += divider_problems(box)
        problems += _sawn_through(box) if recipe.lid and not problems else ()
    if problems:
        raise RecipeError(dict.fromkeys(told_of_opening(problems, recipe.opening)), recipe.units)
    return box


def _found_at_corners(box: BoxLayout) -> dict[CornerName, list[Problem]]:
    """The problems of each corner. Corners that are made alike have the same ones, which are looked for once: to find
    what would be accepted takes long."""
    found: dict[CornerName, list[Problem]] = {}
    known: dict[tuple[Recipe, Span | None], list[Problem]] = {}
    for name, recipe in box.recipe.corners.items():
        groove = groove_here(box, (name,))
        made = replace(recipe, title="", choices=(), notices=()), groove.passes if groove else None
        if made not in known:
            known[made] = list(_corner_problems(box, name))
        found[name] = known[made]
    return found


def _corner_problems(box: BoxLayout, name: CornerName) -> Iterator[Problem]:
    """The problems of a corner. Its width is put in terms of the box's own keys."""
    corner = box.recipe.corners[name]
    placed = box.corners[name]
    for problem in problems_of(corner, groove_here(box, (name,)), (placed.below, placed.above)):
        wrong = problem.wrong
        if problem.key == "joint.width" and name.startswith("back") and (most := _most_down(box, name)) is not None:
            low = "{} leaves {} for the back, which is too little for its dovetails"
            told = message(low, typed(box.recipe.back_down), fine(corner.width))
            yield Problem("box.back.down", told, *up_to(most))
            continue
        if problem.key == "joint.width" and corner.width < box.recipe.height:
            stands = "stands above the bottom" if placed.below else "ends below the sides"
            wrong = message("the back {}, and a width of {}", stands, wrong)
        yield replace(problem, wrong=wrong, remedy=renamed(problem.remedy, {"joint.width": width_of(box.recipe, name)}))


def _most_down(box: BoxLayout, name: CornerName) -> float | None:
    """How far below the sides' the back's upper edge may lie for a back in which this joint has room; None where it has
    none in a level one either."""
    corner, down = box.recipe.corners[name], box.recipe.back_down
    groove = groove_here(box, (name,))
    for more in (step * MM_STEP for step in range(1, int(down / MM_STEP) + 1)):
        if holds(replace(corner, width=corner.width + more), groove=groove):
            return down - more
    return None


def _groove_problems(box: BoxLayout) -> Iterator[Problem]:
    recipe, groove = box.recipe, box.recipe.groove
    if not groove.width:
        return
    if groove.top > recipe.height - tol.LEAST_FEATURE + tol.ROUNDING:
        off = "{} puts the groove off the edge of boards that are {} wide"
        yield Problem("box.groove.up", message(off, typed(groove.up), typed(recipe.height)), *_nearest_place(box))
        return
    if recipe.panel.in_rebate:
        yield from rebate_problems(box, _corner_words)
    elif cut := _cut_by_groove(box):
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
    rebates = [corner.layout.rebate for corner in _grooved_tails(box) if corner.layout.rebate]
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


def _grooved_tails(box: BoxLayout) -> list[BoxCorner]:
    """Those where it runs on in a tail."""
    return [corner for corner in _grooved_corners(box) if not (box.has_slips or box.in_half_pin(corner))]


def _too_deep_for_joints(box: BoxLayout) -> Iterator[Problem]:
    """Grooves too deep for a joint. One that stops needs wood to stop in; one that runs out, as that of a pin board
    between slips does in a socket, must not reach the lap."""
    groove = box.recipe.groove
    shallow: dict[tuple[float, bool], list[str]] = {}
    into_sockets = [corner for corner in box.corners.values() if box.has_slips and corner.layout.is_half_blind]
    for corner in (*_grooved_tails(box), *into_sockets):
        runs_out = box.has_slips or box.runs_out(corner)
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
        long, high = box.beyond(side)
        length, width = board.end_to_end(finished=False) + long + rough.length, board.width + high + rough.width
        if longest is not None and length > longest + tol.ROUNDING:
            key = "box.length" if side in ("front", "back") else "box.width"
            wrong = message("the {} is sawn {} long, and stock.length is {}", side, typed(length), typed(longest))
            yield Problem(key, wrong, "take a smaller box or longer stock")
        if widest is not None and width > widest + tol.ROUNDING:
            wrong = message("the {} is sawn {} wide, and stock.width is {}", side, typed(width), typed(widest))
            yield Problem("box.height", wrong, "take a lower box or wider stock")


# --- a lid that is sawn off ----------------------------------------------------------------------


def _top_problems(box: BoxLayout) -> Iterator[Problem]:
    """What is wrong with the groove of the top, which is asked what the bottom's is, and with how it holds the top."""
    twin = with_top(box)
    groove, keys = twin.recipe.groove, {"box.groove.depth": "box.lid.groove.depth", "box.groove.up": DOWN}
    if not groove.width:
        return
    if cut := _cut_by_groove(twin):
        down = box.recipe.height - groove.top
        place = _nearest_down(box, twin)
        wrong = message("{} puts the groove of the top across a pin at {}", typed(down), _corner_words(cut))
        if DOWN in box.recipe.chosen:
            yield _no_place_in_lid(box, groove.width, place)
        else:
            yield Problem(DOWN, wrong, *place)
    for problem in (*_too_deep_for_joints(twin), *_step_on_rebate(twin)):
        yield replace(problem, key=keys[problem.key])
    if twin.panel_hold < tol.PANEL_HELD - tol.ROUNDING:
        panel, inside = twin.recipe.panel, twin.recipe.inside
        wrong = message(
            "{} holds {} of the edge of a top that moves {} between the driest and the dampest air",
            *(typed(groove.depth), typed(max(twin.panel_hold, 0.0)), fine(sum(twin.panel_moves))),
        )
        accepted, tries = no_less_than(panel.depth_for(inside[panel.across(inside)], tol.PANEL_HELD))
        quieter = message('{}, or plywood ({} = "plywood")', accepted, Key("box.lid.panel.kind"))
        yield Problem("box.lid.groove.depth", wrong, accepted if panel.kind == "plywood" else quieter, tries)


def _no_place_in_lid(box: BoxLayout, width: float, accepted: Accepted) -> Problem:
    """A groove that a rule has placed finds no tail of the lid to lie in: under the first key there that the maker
    gave."""
    lid, chosen = box.recipe.lid, box.recipe.chosen
    assert lid is not None
    keys = ("box.lid.planing", "box.lid.kerf", "box.lid.at", "box.lid.groove.width")
    large = {"box.lid.planing": lid.planing > PLANING, "box.lid.kerf": lid.kerf > KERF}
    sizes = {"box.lid.planing": lid.planing, "box.lid.kerf": lid.kerf, "box.lid.at": lid.at}
    key = next((key for key in keys if key not in chosen and large.get(key, True)), "box.height")
    told = "the groove for the top, {} wide, finds no place within a tail of a lid that is {} high"
    wrong = message(told, typed(width), typed(box.recipe.height - lid.high))
    if accepted[1]:
        stays = {**sizes, "box.height": box.recipe.height, "box.lid.groove.width": width}[key]
        return Problem(key, wrong, message("at {} give its place ({}): {}", typed(stays), Key(DOWN), accepted[0]))
    # Its tails move with the cut, so that a place is sought step by step: `plan.py` tries each before it is told.
    step: dict[str, float] = {
        "box.lid.planing": max(lid.planing - width / 2, PLANING),
        "box.lid.kerf": max(lid.kerf - width, KERF),
        "box.lid.at": lid.at - width / 2,
    }
    if key not in step:
        return Problem(key, wrong, accepted[0])
    less, tries = no_more_than(step[key])
    return Problem(key, wrong, message("{}; or {}", less, accepted[0]), tries)


def _nearest_down(box: BoxLayout, twin: BoxLayout) -> Accepted:
    """The nearest place below the upper edge where the groove of the top cuts no pin of the lid."""
    lid, height, groove = box.recipe.lid, box.recipe.height, twin.recipe.groove
    assert lid is not None
    # Wood is left above it, also within a mitred shoulder, which begins at the edge.
    highest = height - tol.LEAST_THICKNESS - groove.width
    ups = [(max(low, lid.high + tol.LEAST_FEATURE), min(high, highest)) for low, high in _places(twin)]
    downs = [(height - high - groove.width, height - low - groove.width) for low, high in ups if low < high]
    if not downs:
        keys = Key("box.lid.groove.width"), Key("joint.lid_tails"), Key("box.lid.at")
        ways = "take a narrower groove ({}), fewer and wider tails on the lid ({}), or a higher lid ({})"
        return message(ways, *keys), ()
    down = height - groove.top
    return between(*min(downs, key=lambda place: max(place[0] - down, down - place[1])))


def _sawn_through(box: BoxLayout) -> Iterator[Problem]:
    """Parts fitted into the box, and cuts in its boards, that the saw would run through."""
    lid = box.recipe.lid
    assert lid is not None
    found = fitting_of(box)
    there = (part for part in found.parts if part.name != TOP and not (part.of_carcase or part.of_open_box))
    reaches = {part.name: part.extent.z for part in there}
    reaches |= {f"{cut.name} of the {cut.side}": cut.wood.extent.z for cut in found.cuts}
    for name, (low, high) in reaches.items():
        if low < lid.high - tol.ROUNDING and lid.low + tol.ROUNDING < high:
            wrong = message(
                "{} puts the cut, from {} to {}, through the {}, which reaches from {} to {}",
                *(typed(lid.at), typed(lid.low), typed(lid.high), name, typed(low), typed(high)),
            )
            yield Problem("box.lid.at", wrong, "move the cut above it or below it")
