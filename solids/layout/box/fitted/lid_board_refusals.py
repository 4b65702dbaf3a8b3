"""Why a lid that is a board of its own cannot be made or used. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.amounts import fine, typed
from solids.base.errors import Problem
from solids.base.messages import Key, Words, message
from solids.layout.box.fitted.bodies import Body, Fitting
from solids.layout.box.fitted.dividers import name_of
from solids.layout.box.fitted.hinges import BACK
from solids.layout.box.fitted.lid_board import LID, grows_by, lies_on, room_when_damp
from solids.layout.box.model import BoxLayout
from solids.recipe.completing.dividers import key_of
from solids.recipe.completing.lid.sawn import HINGE_AT
from solids.recipe.tables.accepted import no_less_than, no_more_than
from solids.recipe.tables.dividers import numbered
from solids.recipe.tables.lid_resolved import LidBoard

LEAST_ROOM = 0.1
"""What a lid that lifts off must have left at each edge in the dampest air, lest it stick. Common practice."""


def lid_board_problems(box: BoxLayout, found: Fitting) -> Iterator[Problem]:
    """A lid that sticks in the dampest air, no longer lies on a board in the driest, or comes down onto what is fitted
    into the box. `found` is all that is fitted."""
    lid = box.recipe.lid_board
    if lid is None:
        return
    if lid.kind == "lift off":
        yield from _sticks(box, lid)
        yield from _comes_down(box, lid, found)
    yield from _slips_off(box, lid)


def _sticks(box: BoxLayout, lid: LidBoard) -> Iterator[Problem]:
    left, clearance = room_when_damp(box, lid), lid.panel.clearance
    if left >= 2 * LEAST_ROOM - tol.ROUNDING:
        return
    least = 0.0
    for axis, (low, high) in enumerate(box.inside):
        grows, _ = grows_by(lid, axis)
        least = max(least, (2 * LEAST_ROOM - grows**2 * (high - low)) / (2 * (1.0 + grows)))
    told = "{} leaves {} between lid and boards in the dampest air, both edges together: it would stick"
    wrong = message(told, typed(clearance), fine(left))
    yield Problem("box.lid.panel.clearance", wrong, *no_less_than(least))


def _slips_off(box: BoxLayout, lid: LidBoard) -> Iterator[Problem]:
    side, least = min(lies_on(box, lid).items(), key=lambda item: item[1])
    if least >= tol.PANEL_HELD - tol.ROUNDING:
        return
    pushed = "" if lid.kind == "hinged" else ", pushed aside,"
    told = "{} leaves a lid that in the driest air{} lies on no more than {} of the {} board"
    if least < 0.0:
        told = "{} leaves a lid that in the driest air{} is {} short of the {} board"
    wrong = message(told, typed(lid.overhang), pushed, fine(abs(least)), side)
    _, shrinks = grows_by(lid, 0 if side in ("left", "right") else 1)
    accepted, tries = no_less_than(lid.overhang + (tol.PANEL_HELD - least) / (1.0 - shrinks))
    quieter = message('{}, or plywood ({} = "plywood")', accepted, Key("box.lid.panel.kind"))
    yield Problem("box.lid.overhang", wrong, accepted if lid.panel.kind == "plywood" else quieter, tries)


def _comes_down(box: BoxLayout, lid: LidBoard, found: Fitting) -> Iterator[Problem]:
    """What reaches up to where the tongue lies; a divider as high as it is in the dampest air. One that stands over the
    boards is refused for that."""
    grown = {name_of(number): each.height * each.grows for number, each in numbered(box.recipe.dividers)}
    tops = {
        part.name: part.extent.z[1] + grown.get(part.name, 0.0)
        for part in found.parts
        if part.name != LID and not part.of_carcase
    }
    name = max(tops, key=lambda name: tops[name], default="")
    if not name or not box.recipe.rim - lid.drop + tol.ROUNDING < tops[name] <= box.recipe.rim:
        return
    told = "{} lets the lid down to {} above the reference edge, and {} reaches up to {}"
    what = name if name in grown else f"the {name}"
    wrong = message(told, typed(lid.drop), fine(box.recipe.rim - lid.drop), what, fine(tops[name]))
    most = box.recipe.rim - tops[name]
    if lower := _lower_divider(box, lid, name, wrong):
        yield lower
    elif most < tol.LEAST_STEP:
        yield Problem("box.lid.drop", wrong, message("take a higher box ({})", Key("box.height")))
    else:
        yield Problem("box.lid.drop", wrong, *no_more_than(most))


def _lower_divider(box: BoxLayout, lid: LidBoard, name: str, wrong: Words) -> Problem | None:
    """The problem of a divider whose height the maker gave, under a lid whose drop a rule chose."""
    chosen = box.recipe.chosen
    for number, each in numbered(box.recipe.dividers):
        key = key_of(number, "height")
        if name_of(number) == name and "box.lid.drop" in chosen and key not in chosen:
            most = (box.recipe.rim - lid.drop - each.up) / (1.0 + each.grows)
            return Problem(key, message("{}: {}", typed(each.height), wrong), *no_more_than(most))
    return None


def in_a_housing(found: Fitting) -> Iterator[Problem]:
    """Mortises in the back that run into the housing of a divider there."""
    cuts = [cut for cut in found.cuts if cut.side == BACK]
    for hinge in (cut for cut in cuts if cut.late):
        for other in (cut for cut in cuts if not cut.late):
            if _meet(hinge.wood, other.wood):
                wrong = message("{} is let into the {} in the back", hinge.name, other.name)
                remedy = message("move the hinges, or take thinner leaves ({})", Key("box.lid.hinge.width"))
                yield Problem(HINGE_AT, wrong, remedy)
                return


def _meet(first: Body, second: Body) -> bool:
    one, two = first.extent, second.extent
    spans = ((one.x, two.x), (one.y, two.y), (one.z, two.z))
    return all(a[0] < b[1] - tol.ROUNDING and b[0] < a[1] - tol.ROUNDING for a, b in spans)
