"""Completes the lining of a box that a lid is sawn off. Rules are common practice. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.recipe.completing.lid.sawn import LidChoices
from solids.recipe.tables.accepted import Accepted, no_more_than
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.lid_resolved import Lid, Lining
from solids.recipe.tables.lid_schema import LiningTable
from solids.wood import Wood

KEY = "box.lid.lining"

THICKNESS_SHARE, STANDS, CLEARANCE = 0.4, 5.0, 0.2
"""A lining is usually two fifths as thick as the boards that it lines, and no thinner than it stays flat; it stands
about as far above the edge as it is thick, and a few shavings let the lid go over it. Common practice."""

LEAST = 4.0
"""How thick a lining is that nobody gave a thickness for, at least."""


def lined(box: BoxRecipe, choosing: LidChoices, thinnest: float) -> BoxRecipe:
    """The box with the lining of its lid, if that is asked for. `thinnest` is its thinnest board, planed. What is
    chosen, and what is wrong, is noted in `choosing`."""
    asked = choosing.table.lining
    if asked is None or box.lid is None:
        return box
    front = box.corners["front left"]
    lining = _lining(asked, choosing, thinnest, (front.pin_board if box.tails_on_sides else front.tail_board).wood)
    choosing.problems += _problems(box, box.lid, lining)
    return replace(box, lid=replace(box.lid, lining=lining))


def _lining(asked: LiningTable, choosing: LidChoices, thinnest: float, wood: Wood) -> Lining:
    """With nothing left out; by rule it is of the `wood` of the front."""
    usual = max(THICKNESS_SHARE * thinnest, LEAST)
    return Lining(
        choosing._length(asked.thickness, f"{KEY}.thickness", usual, "two fifths of the thinnest board"),
        choosing._length(asked.stands, f"{KEY}.stands", STANDS, "so that the lid finds it and does not slide off"),
        choosing._or(asked.clearance, f"{KEY}.clearance", CLEARANCE, "a few shavings", choosing._told(CLEARANCE)),
        choosing._or(asked.wood, f"{KEY}.wood", wood, "as the front", wood.name),
    )


def _problems(box: BoxRecipe, lid: Lid, lining: Lining) -> Iterator[Problem]:
    """A lining that has nothing to stand on, that something is in the way of, or that has no room."""
    if idle := _in_the_way(box, lid):
        yield Problem(KEY, *idle)
        return
    most = (min(box.inside) - tol.LEAST_WIDTH) / 2
    if lining.thickness > most + tol.ROUNDING:
        wrong = message("{} leaves no room between the boards of the lining", typed(lining.thickness))
        yield Problem(f"{KEY}.thickness", wrong, *no_more_than(most))
    thick = lining.thickness - tol.LEAST_FEATURE
    if lining.clearance > thick + tol.ROUNDING:
        wrong = message(
            "{} leaves nothing of a lining that is {} thick", typed(lining.clearance), typed(lining.thickness)
        )
        yield Problem(f"{KEY}.clearance", wrong, *no_more_than(thick))
    if high := _too_high(box, lid, lining):
        yield high


def _in_the_way(box: BoxRecipe, lid: Lid) -> tuple[Words, Words] | None:
    """What a lining cannot be beside, and what to do."""
    if lid.hinge:
        wrong = "stands beside hinges: a lid that turns about the back catches on a lining, and needs none"
        return wrong, message("leave out the one or the other ({})", Key("box.lid.hinge"))
    if not box.groove.width:
        wrong = "has nothing to stand on: the box has no bottom"
        return wrong, message("give it a bottom ({}), or leave out the lining", Key("box.groove.width"))
    if box.dividers:
        wrong = "would cover the housings of the dividers"
        return wrong, message("leave out the one or the other ({})", Key("box.divider"))
    return None


def _too_high(box: BoxRecipe, lid: Lid, lining: Lining) -> Problem | None:
    under = "the top" if box.top_groove.width else "the upper edge of the lid"
    room = (box.top_groove.up if box.top_groove.width else box.height) - lid.high
    most = room - tol.LEAST_FEATURE
    if lining.stands <= most + tol.ROUNDING:
        return None
    wrong = message("{} reaches up to {}, which is {} above the edge", typed(lining.stands), under, typed(room))
    accepted: Accepted = no_more_than(most)
    if most < tol.LEAST_FEATURE:
        accepted = message("take a higher lid ({})", Key("box.lid.at")), ()
    return Problem(f"{KEY}.stands", wrong, *accepted)
