"""Why a joint with flanks of their own, a rebate or mitred shoulders cannot be cut. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from solids.base import tolerances as tol
from solids.base.amounts import at_least, too_little, too_much, typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.lock import turns, weakest
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.accepted import up_to

EDGES = ("the reference edge", "the other edge")
PLANES = ("at the show face", "at the baseline", "at the raw end")


def crossing_flanks(layout: Layout) -> Iterator[Problem]:
    """Flanks given one by one that cross, run off the board, lean too far, or leave a tail that narrows outward."""
    lines: list[tuple[Words, Flank | None, float]] = [
        _edge(layout, 0),
        *((_named(layout, flank), flank, 0.0) for flank in layout.counted(layout.flanks)),
        _edge(layout, 1),
    ]
    for (before, first, edge), (name, second, other) in pairwise(lines):
        for where, y in zip(PLANES, (layout.depth, 0.0, layout.as_cut.tail_end), strict=True):
            near, far = (
                layout.measured(flank.x(y))[0] if flank else x for flank, x in ((first, edge), (second, other))
            )
            if far - near < tol.LEAST_FEATURE:
                wrong = message("{} lies at {} {}, and {} at {}", name, typed(far), where, before, typed(near))
                yield Problem("joint.flanks", wrong, _apart(first, second))
                return
    yield from _leaning(layout)
    yield from _narrowing(layout)


def _edge(layout: Layout, end: int) -> tuple[Words, None, float]:
    """An edge of the joint, or the side of the mitred shoulder there, and its distance from the reference edge."""
    mitre = layout.recipe.mitre[end]
    name = f"the mitre at {EDGES[end]}" if mitre else EDGES[end]
    return name, None, layout.width - mitre if end else mitre


def _named(layout: Layout, flank: Flank) -> Words:
    """ "flank 3 (tail 2, left)", counted from the reference edge."""
    hand = flank.hand if not layout.mirrored else {"left": "right", "right": "left"}[flank.hand]
    number = 2 * flank.tail - (1 if hand == "left" else 0)
    return f"flank {number} (tail {flank.tail}, {hand})"


def _apart(first: Flank | None, second: Flank | None) -> Words:
    least = at_least(tol.LEAST_FEATURE)
    what = "flanks" if first and second else "flanks and edges"
    return message("give them in order from the reference edge, with {} or more between {}", least, what)


def _leaning(layout: Layout) -> Iterator[Problem]:
    for flank in layout.counted(layout.flanks):
        if abs(flank.ratio) < tol.STEEPEST_RATIO - tol.ROUNDING:
            degrees = math.degrees(flank.slope_rad)
            wrong = message("{} leans {} degrees, which looks like a slip", _named(layout, flank), f"{degrees:.0f}")
            remedy = message("accepted are up to {} degrees either way", f"{STEEPEST_DEG:.1f}")
            yield Problem("joint.flanks", wrong, remedy)


STEEPEST_DEG = math.degrees(math.atan(1 / tol.STEEPEST_RATIO))


def _narrowing(layout: Layout) -> Iterator[Problem]:
    for tail in layout.counted(layout.tails):
        foot = layout.tail_width(tail, 0.0)
        if tail.width < foot - tol.SUM_SLACK:
            told = "tail {} is {} wide at the show face and {} at the baseline, so that it narrows outward: {}"
            names = " and ".join(str(_named(layout, flank)) for flank in layout.counted(tail.flanks))
            wrong = message(told, tail.number, typed(tail.width), typed(foot), names)
            yield Problem("joint.flanks", wrong, "that looks like a slip: give the place at the show face first")


def lock_problems(layout: Layout) -> Iterator[Problem]:
    """Tails that would let the tail board out along a straight line, or by a turn."""
    if layout.hold > tol.ROUNDING and (layout.recipe.listed.is_empty or not turns(layout)):
        return
    key = "joint.flanks" if layout.recipe.listed.faces else "joint.edges"
    left, right = weakest(layout)
    held = [_named(layout, flank) for flank in (left, right) if flank]
    how: Words = "slides out along its flanks"
    if layout.hold > tol.ROUNDING:
        how = "turns out"
    elif left and right:
        how = message("slides out between {} and {}, which lean the same way or not at all", *held)
    elif held:
        how = message("slides out along {}, with nothing on its other side", *held)
    wrong = message("nothing locks this joint: the tail board {}", how)
    yield Problem(
        key, wrong, "a joint locks where it has flanks that run into their tails toward the baseline on both sides"
    )


def half_pin_told(layout: Layout) -> Words:
    """A half pin that is too thin; and where they differ, at which edge it stands."""
    recipe = layout.recipe
    if not (recipe.listed.faces or recipe.listed.half_pins):
        return too_little(recipe.half_pin)
    gaps = [layout.counted(layout.gaps)[end] for end in (0, -1)]
    spans = [gap.span(layout.depth) if gap.is_half else (0.0, layout.width) for gap in gaps]
    widths = [right - left for left, right in spans]
    edge = EDGES[widths.index(min(widths))]
    return message("a half pin of {} at {}", too_little(recipe.half_pin), edge)


def rebate_problems(layout: Layout) -> Iterator[Problem]:
    """A rebate that is too deep for its board."""
    deep, thick = layout.rebate, layout.recipe.tail_board.thinnest
    most = tol.REBATE_SHARE * thick
    if deep > most + tol.ROUNDING:
        wrong = message("{} is deeper than a quarter of a tail board of {}", too_much(deep), typed(thick))
        yield Problem("tail_board.rebate", wrong, *up_to(most))


def mitre_problems(layout: Layout) -> Iterator[Problem]:
    """Mitred shoulders that the joint has no room or no place for."""
    recipe = layout.recipe
    sides = zip(("reference", "other"), recipe.mitre, recipe.listed.edges, layout.counted(layout.strips), strict=True)
    for name, mitre, edge, strip in sides:
        if not mitre:
            continue
        if layout.is_half_blind:
            wrong = message("{} mitres the shoulder of a half-blind joint, whose lap reaches the edge", typed(mitre))
            yield Problem("joint.mitre", wrong, message('leave it out, or take {} = "through"', Key("joint.kind")))
        elif edge == "half tail":
            wrong = message("{} mitres the edge ({}) where a half tail stands", typed(mitre), name)
            yield Problem(
                "joint.mitre", wrong, message("leave it out, or put a half pin there ({})", Key("joint.edges"))
            )
        elif strip:
            wrong = message("{} mitres the edge ({}) where the tail board runs on beside the joint", typed(mitre), name)
            yield Problem("joint.mitre", wrong, "leave it out, or make both boards of one width")
    if any(recipe.mitre) and not layout.is_half_blind:
        yield from _mitre_runs_out(layout)


def _mitre_runs_out(layout: Layout) -> Iterator[Problem]:
    """Before planing the mitre runs on to both show faces; the sawn boards must reach as far."""
    cut, planing, rebate = layout.as_cut, layout.recipe.finish.planing, layout.rebate
    run, rise = cut.show_y - planing, cut.show_z - planing - rebate
    for board, over, proud in (
        ("tail_board", planing * (run / rise - 1), layout.recipe.tail_board.proud),
        ("pin_board", planing * (rise / run - 1), layout.recipe.pin_board.proud),
    ):
        if over > proud + tol.ROUNDING:
            told = "{} is too little for a mitre that planing of {} takes down to the arris"
            remedy = message("accepted is {} or more", at_least(over))
            yield Problem(f"{board}.proud", message(told, typed(proud), typed(planing)), remedy, (at_least(over),))
