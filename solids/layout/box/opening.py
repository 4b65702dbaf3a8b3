"""A drawer in its opening through the year: how much is free above it, beside it and behind it, and why it would not go
in. Lengths in mm.

Front and sides move across their height, which rests on the runners, and not along their length; a bottom that is
fastened at the front moves out under the back. Change of size: Wood Handbook, chapter 13."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.amounts import fine, typed
from solids.base.errors import Problem
from solids.base.messages import Key, message
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.accepted import no_less_than, no_more_than, up_to
from solids.recipe.tables.box_resolved import Side, moves_across
from solids.recipe.tables.lip_resolved import LipSide
from solids.recipe.tables.opening_resolved import Opening, Stick, StickName


def as_high(box: BoxLayout) -> tuple[Side, ...]:
    """The boards that are as high as the drawer."""
    return tuple(side for side, board in box.boards.items() if board.width >= box.recipe.height - tol.ROUNDING)


@dataclass(frozen=True)
class Room:
    """What is free round a drawer that is fitted to its opening: above it in the air of the shop, at the dampest and at
    the driest time of the year; at each side; behind it, and behind its bottom at the dampest. `height` is that of the
    drawer, once it is fitted, and `side` the board that moves most."""

    height: float
    side: Side
    now: float
    damp: float
    dry: float
    sides: float
    behind: float
    behind_damp: float

    @property
    def least(self) -> float:
        """The least that is free anywhere at any time."""
        return min(self.damp, self.dry, self.now, self.sides, self.behind_damp)


def moves_up(box: BoxLayout, side: Side) -> tuple[float, float]:
    """How much a board grows across its height by the dampest time and shrinks by the driest, as shares of it."""
    board, first = box.board_of(side), box.recipe.corners["front left"]
    return moves_across(board.wood, board.sawn, first.shop, first.home)


def room_in(box: BoxLayout, opening: Opening) -> Room:
    """The room that the drawer has in its opening."""
    long, deep = box.outside
    high = box.recipe.fitted_height
    side = max(as_high(box), key=lambda side: moves_up(box, side)[0])
    grown, shrunk = (high * share for share in moves_up(box, side))
    behind = opening.depth - (deep - box.recipe.lip.thickness)
    under = box.recipe.panel.under_back and 1 in box.recipe.panel.moves
    return Room(
        height=high,
        side=side,
        now=opening.height - high,
        damp=opening.least_height - high - grown,
        dry=opening.greatest_height - high + shrunk,
        sides=(opening.width - long) / 2,
        behind=behind,
        behind_damp=behind - (box.recipe.panel.grows * box.panel.size[1] if under and box.panel else 0.0),
    )


def lip_covers(box: BoxLayout, opening: Opening) -> dict[LipSide, float]:
    """How much of each side's lip lies on the face of the carcase, at least: above, at the driest time, when the front
    has shrunk; beside, where the drawer lies at the other side; and below, where it rests on its runners. Less than
    nothing where the gap is wider."""
    lip, room = box.recipe.lip, room_in(box, opening)
    dry = opening.greatest_height - room.height * (1.0 - moves_up(box, "front")[1])
    gaps: dict[LipSide, float] = {"top": dry, "bottom": 0.0, "left": 2 * room.sides, "right": 2 * room.sides}
    return {side: wide - gaps[side] for side, wide in lip}


def lips_under(box: BoxLayout, covers: Mapping[LipSide, float], least: float) -> dict[str, list[LipSide]]:
    """The sides of a lip that cover less than that, under the key that says how wide each is, the least first."""
    asked, found = box.recipe.tables.get("box", {}).get("front", {}).get("lip", {}), dict[str, list[LipSide]]()
    for side in sorted(covers, key=lambda side: covers[side]):
        if covers[side] < least - tol.ROUNDING:
            found.setdefault(f"box.front.lip.{side if side in asked else 'width'}", []).append(side)
    return found


def lip_bearing(box: BoxLayout, opening: Opening) -> float:
    """The area of the lip on the face of the carcase, with the drawer in the middle of its opening, in the air of the
    shop (mm2): the front from outside, once it is planed to its height, less what of it is before the opening."""
    lip, (long, _), room = box.recipe.lip, box.outside, room_in(box, opening)
    x, z = (-lip.left, long + lip.right), (-lip.bottom, room.height + lip.top)
    before = (max(x[0], -room.sides), min(x[1], long + room.sides)), (max(z[0], 0.0), min(z[1], opening.height))
    whole, open_to = ((b - a) * (d - c) for (a, b), (c, d) in ((x, z), before))
    return whole - open_to


LIP_COVERS = 3.0
"""The least that a lip should stay over the face of the carcase, or reach past the box where no opening is given. Less
hardly hides the play, nor an edge of the opening that has chipped. Common practice."""

PLANED_SHARE = 0.5
"""How much of the upper half pin the plane may take. Common practice."""

STICKS: tuple[tuple[StickName, str], ...] = (("runner", "under"), ("kicker", "over"))
"""What the sides of the drawer have under them and over them."""


def opening_problems(box: BoxLayout) -> Iterator[Problem]:
    """A drawer that leaves less room in its opening than it should have."""
    opening = box.recipe.opening
    if opening is None:
        return
    room = room_in(box, opening)
    yield from _too_long(box, opening, room)
    yield from _too_high(box, opening, room)
    yield from _too_deep(box, opening, room)
    yield from _planed(box, opening)
    yield from _runs_beside(box, opening)
    yield from _open_lip(box, opening)


def _too_long(box: BoxLayout, opening: Opening, room: Room) -> Iterator[Problem]:
    over = 2 * (opening.side_play - room.sides)
    if over > tol.ROUNDING:
        wrong = "{} is {} longer than an opening {} wide (opening.width) takes, with {} of {} at each side"
        told = message(
            wrong,
            *(typed(box.outside[0]), fine(over), typed(opening.width)),
            *(typed(opening.side_play), Key("opening.side_play")),
        )
        yield Problem("box.length", told, *no_more_than(opening.width - 2 * opening.side_play))


def _too_high(box: BoxLayout, opening: Opening, room: Room) -> Iterator[Problem]:
    """The height of the box may be given in several ways; the key is the one that the maker wrote."""
    if room.damp >= opening.play - tol.ROUNDING:
        return
    grows = moves_up(box, room.side)[0]
    most = (opening.least_height - opening.play) / (1.0 + grows) + opening.plane
    told = message(
        "{} is {} higher than an opening {} high (opening.height) takes, with {} of {} above it at the dampest time, "
        "when the {} has grown",
        *(typed(box.recipe.height), fine(box.recipe.height - most), typed(opening.height)),
        *(typed(opening.play), Key("opening.play"), room.side),
    )
    key = box.recipe.written["front left"]["joint.width"]
    yield Problem(key, told, *no_more_than(most - (box.recipe.floor if key == "box.inside_height" else 0.0)))


def _too_deep(box: BoxLayout, opening: Opening, room: Room) -> Iterator[Problem]:
    over = opening.back_play - room.behind
    if over > tol.ROUNDING:
        wrong = "{} is {} more than an opening {} deep (opening.depth) takes, with {} of {} behind it"
        told = message(
            wrong,
            *(typed(box.outside[1]), fine(over), typed(opening.depth)),
            *(typed(opening.back_play), Key("opening.back_play")),
        )
        yield Problem("box.width", told, *no_more_than(opening.depth + box.recipe.lip.thickness - opening.back_play))
    elif room.behind_damp < -tol.ROUNDING:
        grows = room.behind - room.behind_damp
        wrong = "{} is less than the bottom grows out under the back at the dampest time, {}"
        told = message(wrong, fine(room.behind), fine(grows))
        yield Problem("opening.back_play", told, *no_less_than(grows))


def _planed(box: BoxLayout, opening: Opening) -> Iterator[Problem]:
    """What is planed off the upper edges comes off the half pins there."""
    layouts = [corner.layout for corner in box.corners.values() if not corner.above]
    spans = (
        layout.counted(layout.gaps)[-1].span(layout.depth)
        for layout in layouts
        if layout.recipe.listed.edges[1] == "half pin"
    )
    thin = min((high - low for low, high in spans), default=math.inf)
    if opening.plane > PLANED_SHARE * thin + tol.ROUNDING:
        wrong = "{} takes more than half of the half pin at the upper edge, which is {} wide"
        yield Problem("opening.plane", message(wrong, typed(opening.plane), fine(thin)), *up_to(PLANED_SHARE * thin))


def _runs_beside(box: BoxLayout, opening: Opening) -> Iterator[Problem]:
    """Runners and kickers that do not reach the side of the drawer, and sticks as high as the drawer itself."""
    guide = opening.stick("guide")
    aside = (guide.across if guide else 0.0) + (opening.width - box.outside[0]) / 2
    for name, where in STICKS:
        stick = opening.stick(name)
        if stick and stick.across < aside + tol.LEAST_WIDTH - tol.ROUNDING:
            wrong = "{} does not reach {} the sides of the drawer, which begin {} from its outer edge"
            told = message(wrong, typed(stick.across), where, typed(aside))
            yield Problem(f"opening.{name}.width", told, *no_less_than(aside + tol.LEAST_WIDTH))
        elif stick and stick.across > opening.width / 2 + tol.ROUNDING:
            wrong = "{} lets the left and the right one meet in an opening of {} (opening.width)"
            told = message(wrong, typed(stick.across), typed(opening.width))
            yield Problem(f"opening.{name}.width", told, *no_more_than(opening.width / 2))
    if guide and guide.up > opening.height:
        told = message("{} is higher than the opening, {} (opening.height)", typed(guide.up), typed(opening.height))
        yield Problem("opening.guide.width", told, *no_more_than(opening.height))


def _open_lip(box: BoxLayout, opening: Opening) -> Iterator[Problem]:
    """A lip that leaves the play open: above the drawer at the driest time, or beside it."""
    covers, wide = lip_covers(box, opening), dict(box.recipe.lip)
    for key, (side, *_) in lips_under(box, covers, tol.LEAST_STEP).items():
        gap, when = wide[side] - covers[side], "at the driest time" if side == "top" else "where it lies at the other"
        told = "{} leaves the play at the {} of the drawer open, which is {} {}"
        accepted, tries = no_less_than(gap + tol.LEAST_STEP)
        wrong = message(told, typed(wide[side]), side, fine(gap), when)
        yield Problem(key, wrong, message("{}, or 0 for no lip there", accepted), tries)


def _edge(box: BoxLayout, side: Side) -> float:
    """How wide a board's lower edge is: less what a rebate for the bottom takes."""
    return box.board_of(side).thickness - box.planing - (box.recipe.groove.depth if box.recipe.panel.in_rebate else 0.0)


def bearing_size(box: BoxLayout, opening: Opening, side: Side) -> tuple[float, float] | None:
    """How much of a side's lower edge, with the end of the front, lies on its runner: across and along; None where
    there are no runners."""
    runner = opening.stick("runner")
    if runner is None:
        return None
    return min(_reach(box, opening, runner), _edge(box, side)), _far_end(
        box, side
    ) - box.recipe.lip.thickness - runner.behind


def _reach(box: BoxLayout, opening: Opening, runner: Stick) -> float:
    """How far a runner reaches under the drawer, from its outside."""
    guide = opening.stick("guide")
    return runner.across - (guide.across if guide else 0.0) - room_in(box, opening).sides


def _at_back(box: BoxLayout, side: Side) -> Layout:
    return box.corners["back left" if side == "left" else "back right"].layout


def _far_end(box: BoxLayout, side: Side) -> float:
    """How far back wood lies on a runner: to the show face of a back that stands as low as the side, else to the end of
    the side, which is short of that by a lap."""
    corner = _at_back(box, side)
    lap = corner.recipe.pin_board.thickness - box.planing - corner.depth if corner.is_half_blind else 0.0
    return box.outside[1] - (lap if box.boards["back"].low > 0.0 else 0.0)


def bearing_area(box: BoxLayout, opening: Opening, side: Side) -> float:
    """The area over which the drawer lies on one of its runners (mm2): the edge of the side, and beside it those of the
    front and of a back that stands as low, where the runner reaches that far. 0 where there are no runners."""
    size, runner = bearing_size(box, opening, side), opening.stick("runner")
    if size is None or runner is None:
        return 0.0
    across, along = size
    further = _reach(box, opening, runner) - across
    ends = max(_edge(box, "front") - box.recipe.lip.thickness - runner.behind, 0.0)
    ends += _edge(box, "back") if box.boards["back"].low == 0.0 else 0.0
    return across * along + further * ends - _rebated(box, side, across)


def _rebated(box: BoxLayout, side: Side, across: float) -> float:
    """What the rebate across a side's end takes of that, below a back that stands higher (mm2)."""
    if box.boards["back"].low == 0.0:
        return 0.0
    corner = _at_back(box, side)
    return max(across - (_edge(box, side) - corner.rebate), 0.0) * corner.depth
