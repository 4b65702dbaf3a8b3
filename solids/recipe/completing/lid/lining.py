"""Completes the lining of a box that a lid is sawn off. Rules are common practice. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids.base import tolerances as tol
from solids.base.amounts import typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.recipe.completing.choosing import round_down
from solids.recipe.completing.lid.sawn import LidChoices
from solids.recipe.tables.accepted import Accepted, no_more_than
from solids.recipe.tables.box_resolved import BoxRecipe
from solids.recipe.tables.lid_resolved import Lid, Lining

KEY = "box.lid.lining"

THICKNESS_SHARE, STANDS, CLEARANCE = 0.4, 5.0, 0.2
"""A lining is usually two fifths as thick as the boards that it lines, and no thinner than it stays flat; it stands
about as far above the edge as it is thick, and a few shavings let the lid go over it. Common practice."""

LEAST = 4.0
"""How thick a lining is that nobody gave a thickness for, at least."""

AIR_ABOVE, LEFT = 1.0, 1.5
"""How far below the top it ends, so that the lid lies on the edge of the box and on nothing else, and how thick it is
at least where the lid goes over it. Common practice."""


def lined(box: BoxRecipe, choosing: LidChoices, thinnest: float) -> BoxRecipe:
    """The box with the lining of its lid, if that is asked for. `thinnest` is its thinnest board, planed. What is
    chosen, and what is wrong, is noted in `choosing`."""
    asked, lid = choosing.table.lining, box.lid
    if asked is None or lid is None:
        return box
    front = box.corners["front left"]
    wood = (front.pin_board if box.tails_on_sides else front.tail_board).wood
    thick, rule = THICKNESS_SHARE * thinnest, "two fifths of the thinnest board"
    if thick < LEAST:
        thick, rule = LEAST, "thinner boards do not stay flat"
    within = _within(thick, _thickest(box), choosing), _within(STANDS, _highest(box, lid), choosing)
    lining = Lining(
        choosing._length(asked.thickness, f"{KEY}.thickness", *(within[0] or (thick, rule))),
        choosing._length(asked.stands, f"{KEY}.stands", *(within[1] or (STANDS, "so that the lid does not slide off"))),
        choosing._or(asked.clearance, f"{KEY}.clearance", CLEARANCE, "a few shavings", choosing._told(CLEARANCE)),
        choosing._or(asked.wood, f"{KEY}.wood", wood, "as the front", wood.name),
    )
    choosing.problems += _problems(box, lid, lining)
    return replace(box, lid=replace(lid, lining=lining))


def _within(usual: float, most: float, choosing: LidChoices) -> tuple[float, str] | None:
    """What is chosen in place of a usual size that finds no room; None where that does, or nothing would."""
    less = round_down(most, choosing.units)
    return (less, "as much as there is room for") if 0.0 < less < usual else None


def _thickest(box: BoxRecipe) -> float:
    return (min(box.inside) - tol.LEAST_WIDTH) / 2


def _highest(box: BoxRecipe, lid: Lid) -> float:
    return _room(box, lid) - AIR_ABOVE


def _room(box: BoxRecipe, lid: Lid) -> float:
    """From the edge of the box to the top, or to the upper edge of a lid without one."""
    return (box.top_groove.up if box.top_groove.width else box.height) - lid.high


def _problems(box: BoxRecipe, lid: Lid, lining: Lining) -> Iterator[Problem]:
    """A lining that has nothing to stand on, that something is in the way of, or that has no room."""
    if idle := _in_the_way(box, lid):
        yield Problem(KEY, *idle)
        return
    if lining.thickness > _thickest(box) + tol.ROUNDING:
        wrong = message("{} leaves no room between the boards of the lining", typed(lining.thickness))
        yield Problem(f"{KEY}.thickness", wrong, *no_more_than(_thickest(box)))
    most = max(lining.thickness - LEFT, lining.thickness / 2)
    if lining.clearance > most + tol.ROUNDING:
        told = "{} leaves {} of a lining that is {} thick"
        left = max(lining.thickness - lining.clearance, 0.0)
        wrong = message(told, *map(typed, (lining.clearance, left, lining.thickness)))
        yield Problem(f"{KEY}.clearance", wrong, *no_more_than(most))
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
    if box.panel.rises:
        wrong = "has no level bottom to stand on, as the field of that is raised"
        return wrong, message('turn the bottom over ({} = "underside"), or leave out the lining', Key("box.panel.face"))
    if box.dividers:
        wrong = "would cover the housings of the dividers"
        return wrong, message("leave out the one or the other ({})", Key("box.divider"))
    return None


def _too_high(box: BoxRecipe, lid: Lid, lining: Lining) -> Problem | None:
    """One that reaches up to the top. Of a lid that is too low for any, that is told."""
    room, most = _room(box, lid), _highest(box, lid)
    if room <= 0.0 or lining.stands <= most + tol.ROUNDING:
        return None
    under = "the top" if box.top_groove.width else "the upper edge of the lid"
    wrong = message("{} finds no room under {}, which is {} above the edge", typed(lining.stands), under, typed(room))
    accepted: Accepted = no_more_than(most)
    if most < tol.LEAST_FEATURE:
        accepted = message("saw the lid off lower ({})", Key("box.lid.at")), ()
    return Problem(f"{KEY}.stands", wrong, *accepted)
