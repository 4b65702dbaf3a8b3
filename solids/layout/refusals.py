"""Every way in which a recipe asks for wood that is not there, with what would be accepted. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterable

from solids import tolerances as tol
from solids.errors import Problem
from solids.layout.model import Layout, place, tail_room, tails_in_words
from solids.lengths import Units, format_decimal, format_least, format_most
from solids.recipe.resolved import Recipe


def problems_of(recipe: Recipe) -> Iterable[Problem]:
    """Every way in which the recipe asks for wood that is not there."""
    room = tail_room(recipe)
    if room < tol.LEAST_FEATURE * len(recipe.tail_shares):
        yield _too_narrow(recipe)
        return
    layout = place(recipe)
    yield from _neck_problems(layout)
    yield from _entry_chamfer_problems(layout)
    yield from _undercut_problems(layout)
    yield from _half_pin_problems(recipe)
    yield from _pin_problems(layout)


def _too_narrow(recipe: Recipe) -> Problem:
    n, units = len(recipe.tail_shares), recipe.units
    taken = recipe.width - tail_room(recipe)
    return Problem(
        "joint.width",
        f"{format_decimal(recipe.width, units)} leaves nothing for {tails_in_words(n)} once pins take "
        f"{format_decimal(taken, units)}",
        "take fewer tails, thinner pins and half pins, or a wider board",
    )


def _neck_problems(layout: Layout) -> Iterable[Problem]:
    """Tails whose neck at the baseline closes, tight flanks included."""
    recipe, d = layout.recipe, layout.depth
    spare = tol.LEAST_FEATURE - 2 * min(layout.flank_shift, 0.0)
    narrowest = min(layout.tails, key=lambda tail: tail.width)
    neck = layout.tail_width(narrowest, 0.0)
    if neck >= spare:
        return
    say = format_decimal
    flattest = 2 * d / (narrowest.width - spare) if narrowest.width > spare else math.inf
    remedy = "take fewer tails or a wider board"
    if flattest <= tol.FLATTEST_RATIO:
        remedy = f"take a slope of 1:{math.ceil(flattest * 10) / 10:g} or flatter, fewer tails or a wider board"
    yield Problem(
        "joint.tails",
        f"tail {narrowest.number} is {say(narrowest.width, recipe.units)} wide at the show face and closes before the "
        f"baseline {say(d, recipe.units)} below it, at a slope of 1:{layout.ratio:.4g}",
        remedy,
    )


def thinner_than_rule(recipe: Recipe) -> float | None:
    """What the half pins are thinner than: 5 mm or the inner pins, whichever is more; None where they keep the rule."""
    inner = recipe.pin if len(recipe.tail_shares) > 1 else 0.0
    if inner >= tol.HALF_PIN_LEAST:
        return inner if recipe.half_pin <= inner else None
    return tol.HALF_PIN_LEAST if recipe.half_pin < tol.HALF_PIN_LEAST - tol.ROUNDING else None


def _half_pin_problems(recipe: Recipe) -> Iterable[Problem]:
    limit, units = thinner_than_rule(recipe), recipe.units
    if limit is None or recipe.allow_thin_half_pin:
        return
    given, least = format_most(recipe.half_pin, units), format_least(limit, units)
    if limit == tol.HALF_PIN_LEAST and recipe.half_pin < limit:
        wrong = f"{given} is under {least}, the least that holds at an edge"
        remedy = f"accepted is {least} or more"
    else:
        wrong, remedy = f"{given} is not wider than the inner pins of {least}", f"accepted is more than {least}"
    if recipe.spacing == "listed":
        remedy = "take narrower tails or pins in the list, or a wider board"
    yield Problem("joint.half_pin", wrong, f"{remedy}, or insist with joint.allow_thin_half_pin = true")


def _up_to(most: float, units: Units) -> str:
    """What is accepted of a step that may be off: up to a limit, or off alone where the limit is too fine to set."""
    return f"accepted is 0 to {format_most(most, units)}" if most >= tol.LEAST_STEP else "accepted is 0"


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
            f"{format_least(chamfer.width, units)} is over {format_most(widest, units)}, {reason}",
            _up_to(widest, units),
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
            f"accepted is from {format_least(least, units)} to {format_most(most, units)}",
        )


def _undercut_problems(layout: Layout) -> Iterable[Problem]:
    recipe, units, undercut = layout.recipe, layout.recipe.units, layout.recipe.undercut
    if layout.land is None:
        return
    floor = min(recipe.tail_board.thickness, layout.depth)
    deepest = tol.UNDERCUT_SHARE * floor
    if undercut.depth > deepest + tol.ROUNDING:
        yield Problem(
            "undercut.depth",
            f"{format_least(undercut.depth, units)} weakens the root of a floor of {format_decimal(floor, units)}",
            f"{_up_to(deepest, units)}, a tenth of it",
        )
    edge = min(layout.tail_board_gaps(0.0)[0], layout.tail_board_gaps(0.0)[-1])
    widest = min((floor - tol.LEAST_FEATURE) / 2, edge - tol.LEAST_FEATURE)
    if widest < tol.LEAST_FEATURE:
        yield Problem("undercut.depth", "finds no room for lands on so short a floor", "take 0")
    elif not tol.LEAST_FEATURE <= undercut.land <= widest + tol.ROUNDING:
        yield Problem(
            "undercut.land",
            f"{format_decimal(undercut.land, units)} leaves no {'land' if undercut.land < widest else 'hollow'}",
            f"accepted is from {format_least(tol.LEAST_FEATURE, units)} to {format_most(widest, units)}",
        )
    elif recipe.finish.planing > layout.planing_left + tol.ROUNDING:
        most = layout.planing_left
        gap = layout.gap_after_planing(recipe.finish.planing)
        opens = f" and opens a gap of {format_decimal(gap, units)}" if gap else ""
        yield Problem(
            "finish.planing",
            f"{format_least(recipe.finish.planing, units)} leaves no land over the hollow of the socket floors{opens}",
            f"{_up_to(most, units)}, or a wider undercut.land",
        )


def _pin_problems(layout: Layout) -> Iterable[Problem]:
    """Pins that vanish: on the tail board's raw end, where the gap is narrowest; or as cut, where a gap thins them;
    or at their chamfered ends."""
    recipe, units = layout.recipe, layout.recipe.units
    say = format_decimal
    raw = recipe.tail_board.proud / layout.ratio
    thinned = layout.flank_shift
    chamfer = recipe.finish.chamfer
    # A chamfered pin is narrowest at y = show face less c, where its flank has moved by c/N and its sides by c s.
    pin_chamfer = 2 * chamfer * (layout.flank_stretch - 1 / layout.ratio)
    half_chamfer = chamfer * (1 + layout.flank_stretch - 1 / layout.ratio)
    inner = len(layout.tails) > 1
    for key, width, shares in (
        ("joint.pin", recipe.pin if inner else math.inf, (2 * raw, 2 * thinned, 2 * thinned + pin_chamfer)),
        ("joint.half_pin", recipe.half_pin, (raw, thinned, thinned + half_chamfer)),
    ):
        reasons = (
            f"on the tail board's raw end, which stands {say(recipe.tail_board.proud, units)} proud",
            f"once a flank gap of {say(recipe.flank_gap, units)} is cut",
            f"inside its chamfer of {say(chamfer, units)}",
        )
        worst, reason = max(zip(shares, reasons, strict=True))
        least = max(worst, 0.0) + tol.LEAST_FEATURE
        if width < least - tol.ROUNDING:
            yield Problem(
                key,
                f"{format_most(width, units)} vanishes {reason}",
                f"accepted is {format_least(least, units)} or more",
            )
    narrowest_tail = min(tail.width for tail in layout.tails) + 2 * raw - 2 * chamfer
    thinnest = min(recipe.tail_board.thickness, recipe.pin_board.thickness) - 2 * chamfer
    if chamfer and min(narrowest_tail, thinnest) < tol.LEAST_FEATURE:
        yield Problem("finish.chamfer", f"{say(chamfer, units)} leaves nothing of an end", "take a smaller chamfer")
