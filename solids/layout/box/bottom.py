"""The bottom of a box through the year: how much its groove holds in the driest air, how much room it has in the
dampest, and the alternatives if a groove cannot give both. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import at_least, fine, spread, typed
from solids.base.errors import Problem
from solids.base.geometry import Span
from solids.base.messages import Words, joined, message
from solids.layout.box.model import BoxLayout
from solids.layout.joint.nearest import take
from solids.recipe.completing.choosing import round_up
from solids.recipe.tables.accepted import Accepted, no_less_than, no_more_than
from solids.recipe.tables.box_resolved import SIDES, moves_across
from solids.recipe.tables.panel import CLEARANCE, SLIP_BACK, Panel
from solids.wood import COMMON
from solids.wood.plywood import plywood_of


def panel_problems(box: BoxLayout) -> Iterator[Problem]:
    """A bottom that its groove does not hold in the driest air: too much room, or too shallow a groove."""
    panel, recipe = box.recipe.panel, box.recipe
    yield from _under_back(box)
    yield from _wide_border(box)
    if box.panel is None or box.panel_hold >= tol.PANEL_HELD - tol.ROUNDING:
        return
    inside, depth = box.panel_span, recipe.groove.depth
    given, held = typed(depth), typed(max(box.panel_hold, 0.0))
    close, wide = (replace(panel, clearance=room).hold(inside, depth) for room in (0.0, 1.0))
    most = (close - tol.PANEL_HELD) / (close - wide)
    if panel.clearance > CLEARANCE and most >= tol.LEAST_STEP:
        wrong = message("{} leaves {} of the bottom's edge in a groove {} deep", typed(panel.clearance), held, given)
        yield Problem("box.panel.clearance", wrong, *no_more_than(most))
        return
    moves = message(" that moves {} between the driest and the dampest air", fine(sum(box.panel_moves)))
    wrong = message("{} holds {} of a bottom{}", given, held, "" if panel.free else moves)
    yield Problem("box.groove.depth", wrong, *_what_holds(box))


LEAST_FIELD = 10.0
"""The least that is left between the shoulders or bevels of a bottom. Common practice."""


def _wide_border(box: BoxLayout) -> Iterator[Problem]:
    """Shoulders or bevels that leave nothing between them."""
    panel, slab = box.recipe.panel, box.panel
    if slab is None or panel.edge == "plain":
        return
    long, wide, _ = slab.size
    most = min((long - LEAST_FIELD) / 2, (wide - LEAST_FIELD) / (1 if panel.under_back else 2))
    if panel.border > most + tol.ROUNDING:
        told = "{} at each edge leaves no field of a bottom {} by {}"
        wrong = message(told, typed(panel.border), fine(long), fine(wide))
        yield Problem("box.panel.border", wrong, *no_more_than(most))


def _under_back(box: BoxLayout) -> Iterator[Problem]:
    """A bottom that slides under the back and shrinks until it is out from under it."""
    panel = box.recipe.panel
    if box.panel is None or not panel.under_back or 1 not in panel.moves:
        return
    shrinks, under = panel.shrinks * box.panel.size[1], box.board_of("back").thinnest - box.planing
    if under - shrinks >= tol.PANEL_HELD:
        return
    ways = [way for way, made in _quieter(box) if under - shrinks * made.shrinks / panel.shrinks >= tol.PANEL_HELD]
    back = message("a back of {} or thicker (box.back.thickness)", at_least(shrinks + tol.PANEL_HELD + box.planing))
    wrong = "shrinks {} at the back, which is {} thick, and no longer reaches under it"
    yield Problem("box.panel.wood", message(wrong, fine(shrinks), fine(under)), take([back, *ways]))


def _what_holds(box: BoxLayout) -> Accepted:
    """What would hold the bottom, each tried: a deeper groove, quieter wood, slips."""
    panel, depth = box.recipe.panel, box.recipe.groove.depth
    # A slip is so much thicker as its groove is deeper, so that a deeper one takes in as much more of the bottom.
    in_slips = depth + tol.PANEL_HELD - box.panel_hold
    needed = in_slips if box.has_slips else panel.depth_for(box.panel_span, tol.PANEL_HELD)
    quieter = [] if panel.free else _quieter(box)
    ways = [way for way, made in quieter if made.hold(_span(box, made), depth) >= tol.PANEL_HELD]
    thick, deep = slip_for(box)
    sockets = [corner.layout.depth for corner in box.corners.values() if corner.layout.is_half_blind]
    # Slips leave the bottom open at the back, and what holds it in front has a groove as deep as theirs.
    if deep > min(sockets, default=deep) + tol.ROUNDING:
        ways.append(message("sockets {} deep or more, by a thinner lap or a thicker board", fine(min(needed, deep))))
    elif panel.held == "groove" and not box.recipe.lid:
        slips = "grooved slips glued to the boards, {} thick, their groove {} deep"
        ways.append(message(slips, fine(thick), fine(deep)))
    if needed > _deepest(box):
        return (take(ways) if ways else "take thicker boards, or a smaller box"), ()
    accepted, tries = no_less_than(needed)
    return (message("{}; or {}", accepted, take(ways)) if ways else accepted), tries


def _span(box: BoxLayout, panel: Panel) -> float:
    """The distance between the faces that hold a bottom of another make, in the direction that it moves most in."""
    low, high = box.holding[panel.across(box.recipe.inside)]
    return high - low


def _deepest(box: BoxLayout) -> float:
    """The deepest groove that the boards and joints allow."""
    thinnest = min(box.board_of(side).thinnest for side in SIDES if box.is_grooved(side)) - box.planing
    joints = (
        corner.layout.depth - (0.0 if box.runs_out(corner) else tol.LEAST_FEATURE)
        for corner in box.corners.values()
        if not (box.is_open(corner) or box.has_slips or box.in_half_pin(corner))
    )
    return min([tol.GROOVE_DEEPEST * thinnest, *joints])


def _quieter(box: BoxLayout) -> list[tuple[Words, Panel]]:
    """Bottoms that move less, as a recipe asks for them; none where it is plywood already."""
    panel = box.recipe.panel
    if panel.kind == "plywood":
        return []
    plywood = replace(panel, kind="plywood", wood=plywood_of(panel.wood))
    found: list[tuple[Words, Panel]] = [('plywood (box.panel.kind = "plywood")', _moving(box, plywood))]
    if panel.sawn == "flat" and panel.wood.movement:
        words = 'a quarter-sawn bottom (box.panel.sawn = "quarter")'
        found.insert(0, (words, _moving(box, replace(panel, sawn="quarter"))))
    return found


def _moving(box: BoxLayout, panel: Panel) -> Panel:
    """A bottom of another make, with what it grows and shrinks."""
    first = box.recipe.corners["front left"]
    grows, shrinks = moves_across(panel.wood, panel.sawn, first.shop, first.home)
    return replace(panel, grows=grows, shrinks=shrinks)


def slip_for(box: BoxLayout) -> tuple[float, float]:
    """The thickness of slips that hold the bottom, and the depth of their groove. Whatever that depth, the floor of the
    groove is SLIP_BACK from the board."""
    panel, units = box.recipe.panel, box.recipe.units
    between_floors = box.recipe.inside[panel.across(box.recipe.inside)] - 2 * SLIP_BACK
    groove = round_up(tol.PANEL_HELD - panel.hold(between_floors, 0.0), units)
    return groove + SLIP_BACK, groove


def slot_for(box: BoxLayout) -> float:
    """How much longer than its screw is thick a slot under the back must be: by all that the bottom moves in a year."""
    return round_up(sum(box.panel_moves), box.recipe.units)


def _in_common_woods(box: BoxLayout) -> Words:
    """The same of a bottom whose wood nobody named, over common woods."""
    panel = box.recipe.panel
    across = box.panel_moves[1] / panel.shrinks if panel.shrinks else 0.0
    shrinks = [across * _moving(box, replace(panel, wood=wood)).shrinks for wood in COMMON]
    told = "No wood was named for it: that is for {}, and over common woods it shrinks {}."
    return message(told, panel.wood.name, spread(min(shrinks), max(shrinks)))


def year_words(box: BoxLayout) -> Words:
    """What the bottom does between the driest and the dampest air."""
    return told_of_year(box, box.panel_moves)


def told_of_year(box: BoxLayout, moves: Span) -> Words:
    """What a part does that grows and shrinks by so much between the driest and the dampest air."""
    first = box.recipe.corners["front left"]
    grows, shrinks = map(fine, moves)
    return message(
        "Made at {}, it shrinks {} by the driest time at home, {}, and grows {} by the dampest, {}.",
        *(first.shop.amount, shrinks, first.home.dry.amount, grows, first.home.damp.amount),
    )


def bottom_words(box: BoxLayout) -> Words:
    """How the bottom moves through the year and how it is fastened; empty if there is none."""
    if box.panel is None:
        return ""
    recipe, year = box.recipe, year_words(box)
    if recipe.panel.wood.is_assumed and recipe.panel.kind == "solid":
        year = joined([year, _in_common_woods(box)])
    return joined([_held_words(box, year), *_tongue_words(box)])


def _held_words(box: BoxLayout, year: Words) -> Words:
    panel, held = box.recipe.panel, fine(box.panel_hold)
    if panel.in_rebate:
        return _rebate_words(box, year)
    if panel.free:
        how = f"The bottom slides in {_way_in(panel)} and moves there; the groove holds {{}} of its edge. {{}} At the "
        fix = "back it moves out and in by as much. Fasten it at the front alone; a screw under the back needs a slot."
        return message(f"{how}{fix}", held, year)
    how = f"slides in {_way_in(panel)} and is held at its sides" if panel.under_back else "is held all round"
    if panel.kind == "plywood":
        return message(
            "The plywood bottom {}. {} It has {} of room to grow; at the driest {} of its edge stays in the "
            "groove on each side. It moves so little that it may be glued into its groove.",
            *(how, year, fine(box.panel_room), held),
        )
    dab = "with a dab of glue in the middle of each end-grain edge and nowhere else"
    fixed = "of its front edge and of the back" if panel.under_back else dab
    return message(
        "The bottom {}. {} It has {} of room to grow across its grain. At the driest {} of its edge stays in the "
        "groove on each side, if it is fixed in the middle, {}.",
        *(how, year, fine(box.panel_room), held, fixed),
    )


def _way_in(panel: Panel) -> str:
    return "between the slips and under the back" if panel.held == "slips" else "under the back"


def _rebate_words(box: BoxLayout, year: Words) -> Words:
    room, held = fine(box.panel_room), fine(box.panel_hold)
    if box.recipe.panel.kind == "plywood":
        return message(
            "The plywood bottom lies in a rebate along the lower edges of the boards. {} It has {} of room to grow; at "
            "the driest it still lies on {} of the rebate on each side. It moves so little that it may be glued in.",
            *(year, room, held),
        )
    return message(
        "The bottom lies in a rebate along the lower edges of the boards. {} It has {} of room to grow across its "
        "grain. At the driest it still lies on {} of the rebate on each side, if it is fixed in the middle: a screw in "
        "the middle of each end-grain edge holds it, and every other screw goes through a slot across the grain, {} "
        "longer than the screw is thick. Use no glue.",
        *(year, room, held, fine(slot_for(box))),
    )


def shoulder_room(box: BoxLayout) -> float:
    """How far the shoulder, or the foot of the bevel, stays from the boards in the dampest air, when the tongue is as
    near to the floor of its groove as it comes. Both grow alike, so that it is what the clearance leaves there."""
    panel, deep = box.recipe.panel, box.recipe.groove.depth
    tongue = panel.border if panel.edge == "rebated" else deep
    return tongue - deep + panel.clearance


def _tongue_words(box: BoxLayout) -> Iterator[Words]:
    """The edge that is not plain, and that it does not bind."""
    panel = box.recipe.panel
    if panel.edge == "plain":
        return
    what = "Its {} is rebated to a tongue" if panel.edge == "rebated" else "Its {} is bevelled to a flat tongue"
    words = f"{what} {{}} thick; even at the dampest the {{}} stays {{}} clear of what holds it."
    end = "shoulder" if panel.edge == "rebated" else "bevel"
    yield message(words, panel.face, fine(panel.tongue), end, fine(shoulder_room(box)))
