"""Every way in which a recipe asks for wood that is not there, with what would be accepted. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial

from solids.base import tolerances as tol
from solids.base.errors import Problem
from solids.base.lengths import (
    Units,
    format_decimal,
    format_least,
    format_limits,
    format_most,
    format_over,
    format_under,
)
from solids.layout.frail import frail_parts
from solids.layout.model import InBox, Layout, place, tail_room, tails_in_words
from solids.layout.nearest import PinKey, enough_for, in_a_row, steps_up, ways_out
from solids.layout.necks import neck_of
from solids.recipe.fields import up_to
from solids.recipe.resolved import Recipe

ALONE = InBox()
"""A corner that is in no box."""


def problems_of(recipe: Recipe, in_box: InBox = ALONE) -> Iterable[Problem]:
    """Every way in which the recipe asks for wood that is not there. `in_box` is the corner's place in a box, so that
    what is told would be accepted there."""
    if not _has_room(recipe):
        yield _too_narrow(recipe, in_box)
        return
    layout = replace(place(recipe), in_box=in_box)
    yield from _neck_problems(layout)
    yield from _other_problems(layout)


def _other_problems(layout: Layout) -> Iterable[Problem]:
    yield from _entry_chamfer_problems(layout)
    yield from _undercut_problems(layout)
    yield from _half_pin_problems(layout)
    yield from _pin_problems(layout)
    yield from _end_problems(layout)


# --- what holds ----------------------------------------------------------------------------------


def holds(recipe: Recipe, besides: frozenset[str] = frozenset(), in_box: InBox = ALONE) -> bool:
    """Whether a joint can be cut, nothing of it is frail, and the groove of its box cuts no pin. What is wrong under
    the keys `besides` does not count."""
    if not _has_room(recipe):
        return False
    layout = place(recipe)
    if _closes(layout) or frail_parts(layout) or _is_wide(layout) or _cuts_a_pin(layout, in_box):
        return False
    return set(_faulty_keys(layout)) <= besides


def ways_to_hold(layout: Layout) -> list[str]:
    """The nearest layouts that hold, in words, each tried. What is wrong besides, and stays so, does not count."""
    besides = frozenset(_faulty_keys(layout)) - {"joint.pin", "joint.half_pin"}
    return ways_out(layout.recipe, partial(holds, besides=besides, in_box=layout.in_box))


def _cuts_a_pin(layout: Layout, in_box: InBox) -> bool:
    """Whether the groove of a box would pass anywhere but through a tail."""
    if in_box.passes is None:
        return False
    low, high = in_box.passes
    if in_box.edge != ALONE.edge:
        low, high = layout.width - high, layout.width - low
    return not neck_of(layout, low, high)


def _faulty_keys(layout: Layout) -> Iterator[str]:
    """The keys under which something is wrong but for the necks, without a word about what would be accepted."""
    problems = (*_entry_chamfer_problems(layout), *_undercut_problems(layout), *_end_problems(layout))
    yield from (problem.key for problem in problems)
    yield from (key for key, *_ in _vanishing(layout))
    if thinner_than_rule(layout.recipe) is not None and not layout.recipe.allow_thin_half_pin:
        yield "joint.half_pin"


def _has_room(recipe: Recipe) -> bool:
    return recipe.half_pin > 0 and tail_room(recipe) >= tol.LEAST_FEATURE * len(recipe.tail_shares)


def _is_wide(layout: Layout) -> bool:
    return max(tail.width for tail in layout.tails) > tol.TAIL_WIDEST + tol.LEAST_FEATURE


def _too_narrow(recipe: Recipe, in_box: InBox) -> Problem:
    n, units = len(recipe.tail_shares), recipe.units
    taken = recipe.width - tail_room(recipe)
    ways = ways_out(recipe, partial(holds, in_box=in_box))
    return Problem(
        "joint.width",
        f"{format_decimal(recipe.width, units)} leaves nothing for {tails_in_words(n)} once pins take "
        f"{format_decimal(taken, units)}",
        in_a_row(ways) if ways else "take fewer tails, thinner pins and half pins, or a wider board",
    )


def _spare(layout: Layout) -> float:
    """What a neck must have, tight flanks included."""
    return tol.LEAST_FEATURE - 2 * min(layout.flank_shift, 0.0)


def _closes(layout: Layout) -> bool:
    return min(layout.tail_width(tail, 0.0) for tail in layout.tails) < _spare(layout)


def _neck_problems(layout: Layout) -> Iterable[Problem]:
    """Tails whose neck at the baseline closes, tight flanks included."""
    recipe, d = layout.recipe, layout.depth
    if not _closes(layout):
        return
    narrowest = layout.narrowest
    ways = ways_to_hold(layout)
    yield Problem(
        "joint.tails",
        f"tail {narrowest.number} is {format_decimal(narrowest.width, recipe.units)} wide at the show face and closes "
        f"before the baseline {format_decimal(d, recipe.units)} below it, at a slope of 1:{layout.ratio:.4g}",
        in_a_row(ways) if ways else "take fewer, wider tails or a wider board",
    )


def thinner_than_rule(recipe: Recipe) -> float | None:
    """What the half pins are thinner than: 5 mm or the inner pins, whichever is more; None where they keep the rule."""
    inner = recipe.pin if len(recipe.tail_shares) > 1 else 0.0
    if inner >= tol.HALF_PIN_LEAST:
        return inner if recipe.half_pin <= inner else None
    return tol.HALF_PIN_LEAST if recipe.half_pin < tol.HALF_PIN_LEAST - tol.ROUNDING else None


def _half_pin_problems(layout: Layout) -> Iterable[Problem]:
    recipe = layout.recipe
    limit, units = thinner_than_rule(recipe), recipe.units
    if limit is None or recipe.allow_thin_half_pin:
        return
    given, least = format_under(recipe.half_pin, units), format_least(limit, units)
    if limit == tol.HALF_PIN_LEAST and recipe.half_pin < limit:
        wrong = f"{given} is under {least}, the least that holds at an edge"
        enough, told = limit, least
    else:
        enough = next(steps_up(limit, units))
        wrong = f"{given} is not wider than the inner pins of {format_decimal(limit, units)}"
        told = format_decimal(enough, units)
    accepted = _with_such_half_pins(layout, f"{told} or more", enough)
    remedy = f"{accepted}, or insist with joint.allow_thin_half_pin = true"
    yield Problem("joint.half_pin", wrong, remedy, () if recipe.spacing == "listed" else (told,))


def _with_such_half_pins(layout: Layout, wide: str, enough: float) -> str:
    """What is accepted of half pins; where the tails then have no room, with what else."""
    recipe = layout.recipe
    if recipe.spacing == "listed":
        return "take narrower tails or pins in the list, or a wider board"
    wider = replace(recipe, half_pin=enough)
    besides = frozenset(_faulty_keys(layout)) - {"joint.half_pin"}
    good = partial(holds, besides=besides, in_box=layout.in_box)
    if good(wider) or not holds(recipe, besides | {"joint.half_pin"}, layout.in_box):
        return f"accepted is {wide}"
    ways = ways_out(wider, good)
    return f"accepted is {wide}, with {ways[0]}" if ways else f"accepted is {wide}"


def _between(least: float, most: float, units: Units) -> tuple[str, tuple[str, ...]]:
    told = format_limits(least, most, units)
    return f"accepted is from {told[0]} to {told[1]}", told


def _entry_chamfer_problems(layout: Layout) -> Iterable[Problem]:
    recipe, units, chamfer = layout.recipe, layout.recipe.units, layout.recipe.entry_chamfer
    if not chamfer.width:
        return
    narrowest = min(layout.tail_width(tail, 0.0) for tail in layout.tails)
    neck = (narrowest - tol.LEAST_FEATURE) / (2 * layout.flank_stretch)
    widest = min(tol.CHAMFER_SHARE * recipe.tail_board.thickness, neck, layout.land or math.inf)
    if chamfer.width > widest + tol.ROUNDING:
        reason = "a quarter of the thickness"
        if widest == layout.land:
            reason = "the land of the undercut"
        elif widest == neck:
            reason = "what the necks of the tails have to give"
        yield Problem(
            "entry_chamfer.width",
            f"{format_over(chamfer.width, units)} is over {format_most(widest, units)}, {reason}",
            *up_to(widest, units),
        )
    least = recipe.finish.planing + tol.LEAST_FEATURE
    most = layout.depth - tol.LEAST_FEATURE
    if most < least:
        yield Problem("entry_chamfer.width", "finds no length for a chamfer in so shallow a joint", "take 0")
    elif not least - tol.ROUNDING <= chamfer.back <= most + tol.ROUNDING:
        shows = chamfer.back < least
        yield Problem(
            "entry_chamfer.back",
            f"{format_decimal(chamfer.back, units)} "
            + ("lets the chamfer show at the finished face" if shows else "leaves no length for the chamfer"),
            *_between(least, most, units),
        )


def _undercut_problems(layout: Layout) -> Iterable[Problem]:
    recipe, units, undercut = layout.recipe, layout.recipe.units, layout.recipe.undercut
    if layout.land is None:
        return
    floor = min(recipe.tail_board.thickness, layout.depth)
    deepest = tol.UNDERCUT_SHARE * floor
    if undercut.depth > deepest + tol.ROUNDING:
        wrong = f"{format_over(undercut.depth, units)} weakens the root of a floor of {format_decimal(floor, units)}"
        accepted, tries = up_to(deepest, units)
        yield Problem("undercut.depth", wrong, f"{accepted}, a tenth of it", tries)
    edge = min(layout.tail_board_gaps(0.0)[0], layout.tail_board_gaps(0.0)[-1])
    widest = min((floor - tol.LEAST_FEATURE) / 2, edge - tol.LEAST_FEATURE)
    if widest < tol.LEAST_FEATURE:
        yield Problem("undercut.depth", "finds no room for lands on so short a floor", "take 0")
    elif not tol.LEAST_FEATURE <= undercut.land <= widest + tol.ROUNDING:
        yield Problem(
            "undercut.land",
            f"{format_decimal(undercut.land, units)} leaves no {'land' if undercut.land < widest else 'hollow'}",
            *_between(tol.LEAST_FEATURE, widest, units),
        )
    elif recipe.finish.planing > layout.planing_left + tol.ROUNDING:
        most = layout.planing_left
        gap = layout.gap_after_planing(recipe.finish.planing)
        opens = f" and opens a gap of {format_decimal(gap, units)}" if gap else ""
        given = format_over(recipe.finish.planing, units)
        accepted, tries = up_to(most, units)
        yield Problem(
            "finish.planing",
            f"{given} leaves no land over the hollow of the socket floors{opens}",
            f"{accepted}, or a wider undercut.land",
            tries,
        )


def _vanishing(layout: Layout) -> Iterator[tuple[PinKey, float, float, str]]:
    """Pins that vanish, their width, the least that is there, and where: on the tail board's raw end, where the gap is
    narrowest; or as cut, where a gap thins them; or at their chamfered ends."""
    recipe, say = layout.recipe, format_decimal
    units = recipe.units
    raw = recipe.tail_board.proud / layout.ratio
    thinned = layout.flank_shift
    chamfer = recipe.finish.chamfer
    # A chamfered pin is narrowest at y = show face less c, where its flank has moved by c/N and its sides by c s.
    pin_chamfer = 2 * chamfer * (layout.flank_stretch - 1 / layout.ratio)
    half_chamfer = chamfer * (1 + layout.flank_stretch - 1 / layout.ratio)
    pins: list[tuple[PinKey, float, tuple[float, float, float]]] = [
        ("joint.half_pin", recipe.half_pin, (raw, thinned, thinned + half_chamfer)),
    ]
    if len(layout.tails) > 1:
        pins.insert(0, ("joint.pin", recipe.pin, (2 * raw, 2 * thinned, 2 * thinned + pin_chamfer)))
    for key, width, shares in pins:
        reasons = (
            f"on the tail board's raw end, which stands {say(recipe.tail_board.proud, units)} proud",
            f"once a flank gap of {say(recipe.flank_gap, units)} is cut",
            f"inside its chamfer of {say(chamfer, units)}",
        )
        worst, reason = max(zip(shares, reasons, strict=True))
        least = max(worst, 0.0) + tol.LEAST_FEATURE
        if width < least - tol.ROUNDING:
            yield key, width, least, reason


def _pin_problems(layout: Layout) -> Iterable[Problem]:
    """Pins that vanish, with the least that holds and not the least that is there."""
    recipe, units = layout.recipe, layout.recipe.units
    for key, width, least, reason in _vanishing(layout):
        besides = frozenset(_faulty_keys(layout)) - {key}
        enough = enough_for(recipe, key, partial(holds, besides=besides, in_box=layout.in_box))
        told = format_decimal(enough, units) if enough else format_least(least, units)
        remedy, tries = f"accepted is {told} or more", [told]
        if not enough and (ways := ways_to_hold(layout)):
            remedy, tries = in_a_row(ways), []
        yield Problem(key, f"{format_under(width, units)} vanishes {reason}", remedy, tuple(tries))


def _end_problems(layout: Layout) -> Iterable[Problem]:
    """Chamfered ends of which nothing is left."""
    recipe, chamfer = layout.recipe, layout.recipe.finish.chamfer
    raw = recipe.tail_board.proud / layout.ratio
    narrowest_tail = min(tail.width for tail in layout.tails) + 2 * raw - 2 * chamfer
    thinnest = min(recipe.tail_board.thickness, recipe.pin_board.thickness) - 2 * chamfer
    if chamfer and min(narrowest_tail, thinnest) < tol.LEAST_FEATURE:
        wrong = f"{format_decimal(chamfer, recipe.units)} leaves nothing of an end"
        yield Problem("finish.chamfer", wrong, "take a smaller chamfer")
