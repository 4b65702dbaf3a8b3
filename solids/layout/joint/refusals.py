"""Every reason why a joint cannot be cut, with what would be accepted instead. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from solids.base import tolerances as tol
from solids.base.amounts import at_least, at_most, too_little, too_much, typed
from solids.base.errors import Problem, RecipeError
from solids.base.geometry import Span
from solids.base.messages import Amount, Key, Message, Words, joined, message
from solids.layout.joint.frail import frail_parts
from solids.layout.joint.irregular import (
    crossing_flanks,
    half_pin_told,
    lock_problems,
    mitre_problems,
    rebate_problems,
)
from solids.layout.joint.nearest import PinKey, enough_for, take, ways_out
from solids.layout.joint.necks import can_pass
from solids.layout.joint.shape.flanks import Gap, Tail
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place, tails_in_words
from solids.layout.joint.shape.states import GrooveHere
from solids.recipe.tables.accepted import between, up_to
from solids.recipe.tables.resolved import Recipe


def lay_out(recipe: Recipe) -> Layout:
    """The layout of a recipe. RecipeError lists every reason why it cannot be cut."""
    problems = list(problems_of(recipe))
    if problems:
        raise RecipeError(problems, recipe.units)
    return place(recipe)


def with_layout_problems(error: RecipeError) -> RecipeError:
    """Adds the problems of the layout to those of the recipe, if the joint can be laid out at all."""
    if error.usable is None:
        return error
    return RecipeError([*error.problems, *problems_of(error.usable)], error.units)


def problems_of(recipe: Recipe, groove: GrooveHere | None = None, beside: Span = (0.0, 0.0)) -> Iterable[Problem]:
    """Every reason why the recipe cannot be cut. Remedies leave room for the `groove` of a box, if there is one;
    `beside` is how far its tail board runs on past the joint at the reference edge and at the other."""
    if recipe.listed.faces:
        if crossed := list(crossing_flanks(place(recipe))):
            yield from crossed
            return
    elif not _has_room(recipe):
        yield _too_narrow(recipe, groove)
        return
    layout = replace(place(recipe), groove=groove, below=beside[0], above=beside[1])
    yield from _neck_problems(layout)
    yield from lock_problems(layout)
    yield from _other_problems(layout)


def _other_problems(layout: Layout) -> Iterable[Problem]:
    yield from _entry_chamfer_problems(layout)
    yield from _undercut_problems(layout)
    yield from _half_pin_problems(layout)
    yield from _pin_problems(layout)
    yield from _end_chamfer_problems(layout)
    yield from rebate_problems(layout)
    yield from mitre_problems(layout)


# --- what holds ----------------------------------------------------------------------------------


def can_be_cut(recipe: Recipe, groove: GrooveHere | None = None) -> bool:
    """Whether `lay_out` would take a joint, and the `groove` of its box cuts no pin. Quick, as it does not work out
    what would be accepted instead."""
    if not _has_room(recipe):
        return False
    layout = place(recipe)
    return not (_is_unsound(layout) or _cuts_a_pin(layout, groove) or any(_faulty_keys(layout)))


def holds(recipe: Recipe, besides: frozenset[str] = frozenset(), groove: GrooveHere | None = None) -> bool:
    """Whether a joint can be cut, no part is frail, and the `groove` of its box cuts no pin. Problems under the keys in
    `besides` do not count."""
    if not _has_room(recipe):
        return False
    layout = place(recipe)
    if _is_unsound(layout) or frail_parts(layout) or _has_wide_tail(layout) or _cuts_a_pin(layout, groove):
        return False
    return set(_faulty_keys(layout)) <= besides


def ways_to_hold(layout: Layout) -> list[Message]:
    """The nearest layouts that hold, each tried. Problems under keys other than the pins' do not count."""
    besides = frozenset(_faulty_keys(layout)) - {"joint.pin", "joint.half_pin"}
    return ways_out(layout.recipe, partial(holds, besides=besides, groove=layout.groove))


def _is_unsound(layout: Layout) -> bool:
    """Whether tails close, cross, or do not lock."""
    crossed = any(crossing_flanks(layout)) if layout.recipe.listed.faces else _neck_closes(layout)
    return crossed or any(lock_problems(layout))


def _cuts_a_pin(layout: Layout, groove: GrooveHere | None) -> bool:
    """Whether the groove of a box would pass through anything but a tail."""
    return groove is not None and not can_pass(layout, groove)


def _faulty_keys(layout: Layout) -> Iterator[str]:
    """The keys of all problems except the necks', without working out what would be accepted."""
    problems = (
        *_entry_chamfer_problems(layout),
        *_undercut_problems(layout),
        *_end_chamfer_problems(layout),
        *rebate_problems(layout),
        *mitre_problems(layout),
    )
    yield from (problem.key for problem in problems)
    yield from (key for key, *_ in _vanishing_pins(layout))
    if _splits_off(layout.recipe):
        yield "joint.half_pin"


def _has_room(recipe: Recipe) -> bool:
    shares = recipe.tail_shares
    if recipe.listed.faces:
        return min(recipe.pin, recipe.half_pin, *shares) >= 0
    pins = recipe.half_pin > 0 or "half pin" not in recipe.listed.edges
    return pins and min(shares) > 0 and recipe.tail_room >= tol.LEAST_FEATURE * len(shares)


def _has_wide_tail(layout: Layout) -> bool:
    return max(tail.width for tail in layout.tails) > layout.recipe.widest_tail + tol.LEAST_FEATURE


def _too_narrow(recipe: Recipe, groove: GrooveHere | None) -> Problem:
    n, taken = len(recipe.tail_shares), recipe.width - recipe.tail_room
    pins = [message("pins of {} ({})", typed(recipe.pin), Key("joint.pin"))] if n > 1 else []
    if "half pin" in recipe.listed.edges:
        pins.append(message("half pins of {} ({})", typed(recipe.half_pin), Key("joint.half_pin")))
    if any(recipe.mitre):
        pins.append(message("mitres of {} in all ({})", typed(sum(recipe.mitre)), Key("joint.mitre")))
    room = (typed(recipe.width), tails_in_words(n), joined(pins, " and "), typed(taken))
    ways = ways_out(recipe, partial(holds, groove=groove)) or _ways_to_room(recipe)
    return Problem("joint.width", message("{} leaves nothing for {} once {} take {}", *room), take(ways))


def _ways_to_room(recipe: Recipe) -> list[Message]:
    """Changes that give the tails room, without figures, for when no single change is known to be enough."""
    ways = {"tails": "fewer tails", "pin": "thinner pins", "half_pin": "thinner half pins", "width": "a wider board"}
    if any(recipe.mitre):
        ways["mitre"] = "narrower mitres"
    idle = {"tails", "pin"} if len(recipe.tail_shares) == 1 else set()
    idle |= set() if "half pin" in recipe.listed.edges else {"half_pin"}
    return [message("{} ({})", way, Key(f"joint.{key}")) for key, way in ways.items() if key not in idle]


def _spare_neck(layout: Layout, tail: Tail) -> float:
    """The width of a neck at the baseline, less what tight flanks press into it."""
    return layout.tail_width(tail, 0.0) + sum(min(layout.shift(flank), 0.0) for flank in tail.flanks)


def _neck_closes(layout: Layout) -> bool:
    return min(_spare_neck(layout, tail) for tail in layout.tails) < tol.LEAST_FEATURE - tol.ROUNDING


def _neck_problems(layout: Layout) -> Iterable[Problem]:
    """Tails whose neck at the baseline closes, allowing for tight flanks."""
    if not _neck_closes(layout):
        return
    narrowest = layout.narrowest
    told = "tail {} is {} wide at the show face and closes before the baseline {} below it, at a slope of 1:{:.4g}"
    steepest = max(flank.lean for flank in narrowest.flanks)
    wrong = message(told, narrowest.number, typed(narrowest.width), typed(layout.depth), 1 / steepest)
    tails = Key("joint.spacing" if layout.recipe.spacing == "listed" else "joint.tails")
    fewer = message("fewer, wider tails ({})", tails), message("a wider board ({})", Key("joint.width"))
    yield Problem("joint.tails", wrong, take(ways_to_hold(layout) or fewer))


def _splits_off(recipe: Recipe) -> bool:
    """Whether half pins are too thin to hold at an edge, and the maker does not insist."""
    has_half_pins = "half pin" in recipe.listed.edges
    return has_half_pins and recipe.half_pin < tol.HALF_PIN_LEAST - tol.ROUNDING and not recipe.allow_thin_half_pin


def _half_pin_problems(layout: Layout) -> Iterable[Problem]:
    recipe = layout.recipe
    if not _splits_off(recipe):
        return
    least = at_least(tol.HALF_PIN_LEAST)
    wrong = message("{} is under {}, the least that holds at an edge", half_pin_told(layout), least)
    accepted = _half_pin_accepted(layout, least)
    remedy = message("{}, or insist with {} = true", accepted, Key("joint.allow_thin_half_pin"))
    fixed = recipe.spacing == "listed" or recipe.listed.half_pins
    key = "joint.flanks" if recipe.listed.faces else "joint.half_pin"
    yield Problem(key, wrong, remedy, () if fixed else (least,))


def _half_pin_accepted(layout: Layout, enough: Amount) -> Words:
    """The half pins that would be accepted; if the tails then lack room, also what else must change."""
    recipe = layout.recipe
    if recipe.listed.faces:
        return "move the flanks beside it inward"
    if recipe.spacing == "listed":
        return "take narrower tails or pins in the list, or a wider board"
    wider = replace(recipe, half_pin=enough.figures[0])
    besides = frozenset(_faulty_keys(layout)) - {"joint.half_pin"}
    good = partial(holds, besides=besides, groove=layout.groove)
    accepted = message("accepted is {} or more", enough)
    if good(wider) or not holds(recipe, besides | {"joint.half_pin"}, layout.groove):
        return accepted
    ways = ways_out(wider, good)
    return message("{}, with {}", accepted, ways[0]) if ways else accepted


def _entry_chamfer_problems(layout: Layout) -> Iterable[Problem]:
    recipe, chamfer = layout.recipe, layout.recipe.entry_chamfer
    if not chamfer.width:
        return
    spared = (
        (layout.tail_width(tail, 0.0) - tol.LEAST_FEATURE) / sum(flank.stretch for flank in tail.flanks)
        for tail in layout.tails
        if tail.flanks
    )
    neck = min(spared, default=math.inf)
    widest = min(tol.CHAMFER_SHARE * layout.tail_thickness, neck, layout.land or math.inf)
    if chamfer.width > widest + tol.ROUNDING:
        reason = "a quarter of the thickness"
        if widest == layout.land:
            reason = "the land of the undercut"
        elif widest == neck:
            reason = "the most that the necks of the tails can spare"
        wrong = message("{} is over {}, {}", too_much(chamfer.width), at_most(widest), reason)
        yield Problem("entry_chamfer.width", wrong, *up_to(widest))
    least = recipe.finish.planing + tol.LEAST_FEATURE
    most = layout.depth - tol.LEAST_FEATURE
    if most < least:
        yield Problem("entry_chamfer.width", "has no room for a chamfer in so shallow a joint", "take 0")
    elif not least - tol.ROUNDING <= chamfer.back <= most + tol.ROUNDING:
        leaves, shows = "{} leaves no length for the chamfer", "{} lets the chamfer show at the finished face"
        wrong = message(shows if chamfer.back < least else leaves, typed(chamfer.back))
        yield Problem("entry_chamfer.back", wrong, *between(least, most))


def _undercut_problems(layout: Layout) -> Iterable[Problem]:
    recipe, undercut = layout.recipe, layout.recipe.undercut
    if layout.land is None:
        return
    floor = min(layout.tail_thickness, layout.depth)
    deepest = tol.UNDERCUT_SHARE * floor
    if undercut.depth > deepest + tol.ROUNDING:
        wrong = message("{} weakens the root of a floor of {}", too_much(undercut.depth), typed(floor))
        accepted, tries = up_to(deepest)
        yield Problem("undercut.depth", wrong, message("{}, a tenth of it", accepted), tries)
    edge = min(layout.of_half_pins(layout.tail_board_gaps(0.0)), default=math.inf)
    half_tails = (_spare_neck(layout, tail) for tail in layout.tails if tail.is_half)
    edge = min(edge, *half_tails, math.inf)
    widest = min((floor - tol.LEAST_FEATURE) / 2, edge - tol.LEAST_FEATURE)
    if widest < tol.LEAST_FEATURE:
        yield Problem("undercut.depth", "leaves no room for lands on so short a floor", "take 0")
    elif not tol.LEAST_FEATURE <= undercut.land <= widest + tol.ROUNDING:
        wrong = message("{} leaves no {}", typed(undercut.land), "land" if undercut.land < widest else "hollow")
        yield Problem("undercut.land", wrong, *between(tol.LEAST_FEATURE, widest))
    elif recipe.finish.planing > layout.planing_left + tol.ROUNDING:
        gap = layout.gap_after_planing(recipe.finish.planing)
        wrong = message(
            "{} leaves no land over the hollow of the socket floors{}",
            too_much(recipe.finish.planing),
            message(" and opens a gap of {}", typed(gap)) if gap else "",
        )
        accepted, tries = up_to(layout.planing_left)
        yield Problem("finish.planing", wrong, message("{}, or a wider {}", accepted, Key("undercut.land")), tries)


def _vanishing_pins(layout: Layout) -> Iterator[tuple[PinKey, float, float, Words]]:
    """Pins that vanish: key, width, the least width that leaves wood, and where. That is at the tail board's raw end,
    where the gap is narrowest, or as cut, where a flank gap thins them, or at their chamfered ends."""
    recipe, chamfer = layout.recipe, layout.recipe.finish.chamfer
    keys: dict[PinKey, list[Gap]] = {
        "joint.pin": [gap for gap in layout.gaps if not gap.is_half],
        "joint.half_pin": [gap for gap in layout.gaps if gap.is_half],
    }
    reasons = (
        message("on the tail board's raw end, which stands {} proud", typed(recipe.tail_board.proud)),
        message("once a flank gap of {} is cut", typed(recipe.flank_gap)),
        message("inside its chamfer of {}", typed(chamfer)),
    )
    for key, gaps in keys.items():
        for gap in gaps:
            width, narrowest = _narrowest(layout, gap)
            worst = max(width - each for each in narrowest)
            least = max(worst, 0.0) + tol.LEAST_FEATURE
            if width < least - tol.ROUNDING:
                yield key, width, least, reasons[[width - each for each in narrowest].index(worst)]
                break


def _narrowest(layout: Layout, gap: Gap) -> tuple[float, tuple[float, float, float]]:
    """A pin's width at the show face, and the least of it: between the tails as far as their raw ends, as cut, and at
    its chamfered end."""
    end, show, chamfer = layout.as_cut.tail_end, layout.as_cut.show_y, layout.recipe.finish.chamfer

    def width(span: Span) -> float:
        return span[1] - span[0]

    raw = min(width(gap.span(y)) for y in (0.0, end))
    cut = min(width(layout.pin_span(gap, y)) for y in (0.0, layout.depth))
    sides = sum(flank.stretch if flank else 1.0 for flank in (gap.left, gap.right))
    inside = (
        min(width(layout.pin_span(gap, y)) - chamfer * sides for y in (chamfer, show - chamfer)) if chamfer else cut
    )
    return width(gap.span(layout.depth)), (raw, cut, inside)


def _pin_problems(layout: Layout) -> Iterable[Problem]:
    """Pins that vanish. The remedy is the least width that holds, not the least that leaves wood."""
    for key, width, least, reason in _vanishing_pins(layout):
        besides = frozenset(_faulty_keys(layout)) - {key}
        enough = enough_for(layout.recipe, key, partial(holds, besides=besides, groove=layout.groove))
        wrong = message("{} vanishes {}", too_little(width), reason)
        if not enough and (ways := ways_to_hold(layout)):
            yield Problem(key, wrong, take(ways))
            continue
        told = typed(enough) if enough else at_least(least)
        yield Problem(key, wrong, message("accepted is {} or more", told), (told,))


def _end_chamfer_problems(layout: Layout) -> Iterable[Problem]:
    """Chamfers that leave nothing of an end."""
    recipe, chamfer = layout.recipe, layout.recipe.finish.chamfer
    narrowest_tail = min(layout.tail_width(tail, layout.as_cut.tail_end) for tail in layout.tails) - 2 * chamfer
    thinnest = min(recipe.tail_board.thinnest - layout.rebate, recipe.pin_board.thinnest) - 2 * chamfer
    if chamfer and min(narrowest_tail, thinnest) < tol.LEAST_FEATURE:
        wrong = message("{} leaves nothing of an end", typed(chamfer))
        yield Problem("finish.chamfer", wrong, "take a smaller chamfer")
