"""Butt hinges of a lid: their mortises at the back of box and lid, once both are planed. The pin of each hinge lies on
the line where the two meet at the back, so that the lid turns about that line and touches nothing; the leaves lie
flush. Lengths in mm.

Seen from the left, with the pin as origin, Y into the box and Z away from the edge's plane into the wood: a mortise is
`width` by `thickness`, and where the barrel is thicker than that the corner is taken off at 45 degrees, its legs
sqrt(2) times the barrel's radius, so that the barrel just touches the slope.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.geometry import PlanePoint, Span
from solids.base.messages import Key, message
from solids.layout.box.fitted.bodies import AIR, Body, Cut
from solids.layout.box.model import BoxLayout
from solids.recipe.completing.lid.sawn import HINGE_AT
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.lid_resolved import Hinge

BACK: Literal["back"] = "back"
COUNT = "box.lid.hinge.count"

LEAST_HINGES = 2
"""What a lid hangs on at least."""


def leaf_spans(box: BoxLayout) -> tuple[Span, ...]:
    """From where to where along the box each hinge lies, from the left."""
    hinge = box.recipe.hinge
    if hinge is None:
        return ()
    room = box.outside[0] - 2 * hinge.from_end - hinge.leaf
    starts = (hinge.from_end + room * i / max(hinge.count - 1, 1) for i in range(hinge.count))
    return tuple((start, start + hinge.leaf) for start in starts)


def mortises(box: BoxLayout, *, on_lid: bool) -> tuple[Cut, ...]:
    """The mortises in the back of the box, or in that of its lid, where they are in the closed box."""
    hinge = box.recipe.hinge
    if hinge is None:
        return ()
    wood, tool = _outline(hinge), _outline(hinge, AIR)
    found = []
    for number, (left, right) in enumerate(leaf_spans(box), start=1):
        takes, made = (_body(box, box.recipe.rim, outline, (left, right), up=on_lid) for outline in (wood, tool))
        found.append(Cut(BACK, f"hinge {number}", takes, made, late=True))
    return tuple(found)


def _outline(hinge: Hinge, air: float = 0.0) -> list[PlanePoint]:
    """(into the box, into the wood) round a mortise; the tool reaches into the air above it and behind it."""
    slope, deep = hinge.slope, hinge.thickness
    inner = [(hinge.width, -air), (hinge.width, deep)]
    if not slope:
        return [(-air, -air), *inner, (-air, deep)]
    return [(-air, -air), *inner, (slope - deep, deep), (-air, slope + air)]


def _body(box: BoxLayout, height: float, outline: list[PlanePoint], x: Span, *, up: bool) -> Body:
    """The outline raised along X, against the edge of the box or, `up`, that of the lid."""
    back, turn = box.outside[1], 1.0 if up else -1.0
    points = [(back - into, height + turn * deep) for into, deep in outline]
    names = ["edge", "inner wall", "floor", *(["slope"] if len(outline) > 4 else []), "back"]
    if not up:  # counter-clockwise as it is seen from the right
        low, high = (tuple((at, *point) for point in points) for at in x)
        return Body(low, high, ("left end", "right end", *names))
    first, *others = points
    low, high = (tuple((at, *point) for point in [first, *others[::-1]]) for at in x)
    return Body(low, high, ("left end", "right end", *names[::-1]))


def hinge_problems(box: BoxLayout) -> Iterator[Problem]:
    """Hinges that are longer than the back, stand in a joint or in each other, or are let in too deep."""
    hinge, long, back = box.recipe.hinge, box.outside[0], box.board_of(BACK).thinnest - box.planing
    if hinge is None:
        return
    sides = max(box.board_of(side).thickness - box.planing for side in ("left", "right"))
    if hinge.from_end < sides - tol.ROUNDING:
        told = "{} puts a hinge into the corner, where a side of {} meets the back"
        yield Problem(HINGE_AT, message(told, typed(hinge.from_end), typed(sides)), *no_less_than(sides))
    room, taken = long - 2 * hinge.from_end, hinge.count * hinge.leaf
    if taken > room + tol.ROUNDING and (blamed := _blamed(box, hinge, long, sides)):
        yield blamed
    elif taken > room + tol.ROUNDING:
        told = "of {} hinges takes {} in all, and a back of {} leaves {} between {} at both ends"
        sizes = map(typed, (taken, long, max(room, 0.0), hinge.from_end))
        keys = Key(COUNT), Key(HINGE_AT)
        ways = message("take shorter or fewer hinges ({}), nearer to the ends ({})", *keys)
        yield Problem(
            "box.lid.hinge.leaf", message("{} each {}", typed(hinge.leaf), message(told, hinge.count, *sizes)), ways
        )
    if hinge.width > back - tol.LEAST_FEATURE + tol.ROUNDING:
        told = "{} reaches through a back that is {} thick"
        wrong = message(told, typed(hinge.width), typed(back))
        yield Problem("box.lid.hinge.width", wrong, *no_more_than(back - tol.LEAST_FEATURE))


def _blamed(box: BoxLayout, hinge: Hinge, long: float, sides: float) -> Problem | None:
    """Hinges that would have room but for their distance from the ends, or their number, where the maker gave that."""
    chosen, taken = box.recipe.chosen, hinge.count * hinge.leaf
    if HINGE_AT not in chosen and taken <= long - 2 * sides + tol.ROUNDING:
        told = "{} at both ends leaves {} of a back of {} for {} hinges of {}"
        sizes = typed(hinge.from_end), typed(max(long - 2 * hinge.from_end, 0.0)), typed(long), hinge.count
        wrong = message(told, *sizes, typed(hinge.leaf))
        return Problem(HINGE_AT, wrong, *no_more_than((long - taken) / 2))
    most = math.floor((long - 2 * hinge.from_end) / hinge.leaf + tol.ROUNDING)
    if COUNT not in chosen and most >= LEAST_HINGES:
        told = "{} hinges of {} take {}, and a back of {} has {} between its ends"
        room = long - 2 * hinge.from_end
        wrong = message(told, hinge.count, *map(typed, (hinge.leaf, taken, long, room)))
        return Problem(COUNT, wrong, f"accepted is {LEAST_HINGES} to {most}")
    return None


def _wood_of_lid(box: BoxLayout) -> float:
    """How much wood the lid has above the hinges."""
    recipe = box.recipe
    if recipe.lid_board:
        return recipe.lid_board.panel.thickness
    assert recipe.lid is not None
    return (recipe.top_groove.up if recipe.top_groove.width else recipe.height) - recipe.lid.high


def depth_problems(box: BoxLayout) -> Iterator[Problem]:
    """A mortise, or the slope for the barrel, that reaches a groove, or runs past its leaf. The grooves lie where they
    should: what wood there is follows from them."""
    hinge, groove = box.recipe.hinge, box.recipe.groove
    if hinge is None:
        return
    below = box.recipe.rim - (groove.top if groove.width else 0.0)
    most, what = min((below, "box"), (_wood_of_lid(box), "lid"))
    if hinge.thickness > most - tol.LEAST_FEATURE + tol.ROUNDING:
        wrong = message("{} lets a hinge in deeper than the {} has wood, {}", typed(hinge.thickness), what, typed(most))
        yield Problem("box.lid.hinge.thickness", wrong, *no_more_than(most - tol.LEAST_FEATURE))
        return
    widest = min(most, hinge.width + hinge.thickness) - tol.LEAST_FEATURE
    if hinge.slope > widest + tol.ROUNDING:
        wrong = message(
            "{} takes a slope that is wider than its leaf, or than the {} has wood", typed(hinge.barrel), what
        )
        yield Problem("box.lid.hinge.barrel", wrong, *no_more_than(math.sqrt(2.0) * widest))
