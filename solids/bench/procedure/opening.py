"""How a drawer is fitted to its opening, in steps: which edge is planed by how much and when, and what the gap above it
does through the year. Common practice, with this drawer's own numbers."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.lengths import CALIPER, format_both
from solids.base.messages import Units, said
from solids.bench.procedure.steps import WorkStep
from solids.layout.box.kinds import and_so_on
from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import room_in
from solids.recipe.tables.opening_resolved import Opening


def fitting_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """The carcase made ready, and the drawer planed to it; none for a box that has no opening."""
    opening, units = box.recipe.opening, box.recipe.units
    if opening is None:
        return
    room = room_in(box, opening)
    aside = f"until {_say(room.sides, units)} are free at each side" if room.sides else "until it just slides in"
    behind = " behind the lip" if box.recipe.lip.long else ""
    if opening.sticks:
        yield WorkStep("Fit the carcase", " ".join(_stick_words(opening, units)))
    yield WorkStep(
        "Fit it sideways",
        "Try it in the opening from the front. Hang it over a board on the bench, so that its side lies on wood. Plane"
        f" the show faces of the sides{behind}, a shaving at a time, "
        f"{aside}: wood does not move in length, so that more is never needed.",
    )
    yield WorkStep("Fit it in height", " ".join(_height_words(box, opening)))


def stop_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """Where it comes to rest, once its bottom is in; none for a box that has no opening."""
    if box.recipe.opening:
        yield WorkStep("Stop it", _stop_words(box, box.recipe.opening))


def lip_steps(box: BoxLayout) -> Iterator[WorkStep]:
    """How the lip of the front is cut, before its joints; none where it has none."""
    lip, units = box.recipe.lip, box.recipe.units
    if not lip:
        return
    sides = [f"{_say(wide, units)} at the {side}" for side, wide in lip]
    deep = _say(box.board_of("front").thickness - lip.thickness, units)
    long, high = _say(box.outside[0], units), _say(box.recipe.height, units)
    yield WorkStep(
        "Cut the lip",
        f"Cut a rebate round the back of the front, {and_so_on(sides)}, {deep} deep, so that a lip "
        f"{_say(lip.thickness, units)} thick stays. What is left behind it, {long} long and {high} high, is the box: "
        f"mark out and gauge from there.{_tried_words(box)}",
    )


def _tried_words(box: BoxLayout) -> str:
    """The front tried in its opening before it is worked on, as no plane reaches its ends behind the lip later."""
    opening, units = box.recipe.opening, box.recipe.units
    if opening is None:
        return ""
    room = room_in(box, opening)
    now, aside = _say(room.now, units), _say(room.sides, units)
    return (
        f" Try it in the opening now, as a shoulder plane alone reaches its ends behind the lip: {now} are to be free "
        f"above it in the air of your shop, and {aside} at each side."
    )


def _say(mm: float, units: Units) -> str:
    return format_both(mm, units, CALIPER)


def _height_words(box: BoxLayout, opening: Opening) -> Iterator[str]:
    units, room, first = box.recipe.units, room_in(box, opening), box.recipe.corners["front left"]
    now, damp, dry = (_say(mm, units) for mm in (room.now, room.damp, room.dry))
    shop, damp_air, dry_air = (said(air.amount, units) for air in (first.shop, first.home.damp, first.home.dry))
    if opening.plane:
        yield (
            f"Front and sides were left {_say(opening.plane, units)} higher for this: plane that off their upper "
            f"edges now, in the air of your shop, {shop}, until {now} are free above them."
        )
    else:
        yield f"Now, in the air of your shop, {shop}, {now} are to be free above it: plane the upper edges to that."
    yield f"At the dampest, {damp_air}, {damp} of it stay; at the driest, {dry_air}, it is {dry}."
    if room.now > room.damp:
        yield f"Fitted in the damp season {damp} are enough; fitted in the dry one leave {dry}."


def _stick_words(opening: Opening, units: Units) -> Iterator[str]:
    if opening.stick("runner"):
        yield "Fasten the runners level with the lower edge of the opening and square to its front."
    if opening.stick("kicker"):
        yield "Fasten the kickers level with its upper edge."
    if opening.stick("guide"):
        yield f"Fasten the guides level with its sides, {_say(opening.width, units)} apart from front to back."
    yield "Rub candle wax on all that slides, and glue nothing across the grain of a solid carcase."


def _stop_words(box: BoxLayout, opening: Opening) -> str:
    """Where the drawer comes to rest: at stops behind its front, not at the back of the carcase."""
    units, room = box.recipe.units, room_in(box, opening)
    front = box.board_of("front").thickness - box.planing
    ends = f"Shut, it ends {_say(room.behind, units)} short of the back of the opening"
    grown = f", and its bottom {_say(room.behind_damp, units)} at the dampest" if room.behind_damp < room.behind else ""
    up = "lower than the bottom, so that it passes over them"
    if box.recipe.lip:
        return f"{ends}{grown}. No stops are needed: the lip comes to rest on the face of the carcase."
    lies = (
        f"Glue two stops to the rail below it, their front edges {_say(front, units)} behind the front of the opening"
    )
    return f"{ends}{grown}. {lies}, {up}: its front comes to rest against them, flush."
