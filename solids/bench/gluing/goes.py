"""How long a glue-up takes, board by board in the order in which the piece goes together, and in how many goes it is
glued so that each is in its clamps before the glue sets.

Just before a board is driven home, the flanks of the corners that it closes are brushed. Its open time runs from the
first of those faces until the board is home; the assembly time of a go runs from its first brush to its last clamp. A
go ends where the next board would be too late for the last clamp: that asks for the fewest goes, as the boards keep
their order. Seconds are those of one person at an even pace. Common practice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from solids.base.messages import Units
from solids.bench.gluing.clamping import Clamping, clamping
from solids.bench.gluing.surfaces import GluedCorner, GluedPart, glued_corners, glued_parts
from solids.layout.assembly import Assembly
from solids.wood.glues import GLUES, Glue

DRIVE = 30.0
"""Driving a board home with mallet and block (s)."""

SLIDE = 20.0
"""Sliding in a part that nothing drives (s)."""

SET_A_CLAMP = 20.0
"""Setting a clamp over its caul and turning it tight (s)."""

LEFT_BEHIND, POURED_BY = 0.5, 5.0
"""What stays in brush and pot, as a share of what is in the joints; nobody pours by less (g)."""

SECONDS = 60.0

CORNER_PARTS = ("pin board", "tail board")
"""A corner alone: the pin board stands, and the tail board is driven down between its pins."""


@dataclass(frozen=True)
class Seat:
    """One part on its way home: the corners that it closes, and how long it takes to brush them and to seat it (s)."""

    part: str
    corners: tuple[str, ...]
    brushing: float
    seating: float

    @property
    def opened(self) -> float:
        """How long the first of its faces waits for the joint to close (s)."""
        return self.brushing + self.seating


@dataclass(frozen=True)
class Go:
    """Parts that are glued without a pause, and then clamped; `clamping` is how long that takes (s)."""

    seats: tuple[Seat, ...]
    clamping: float

    @property
    def parts(self) -> tuple[str, ...]:
        """Their names, in order."""
        return tuple(seat.part for seat in self.seats)

    @property
    def corners(self) -> tuple[str, ...]:
        """The corners that it closes."""
        return tuple(name for seat in self.seats for name in seat.corners)

    @property
    def seconds(self) -> float:
        """From the first brush to the last clamp."""
        return sum(seat.opened for seat in self.seats) + self.clamping


@dataclass(frozen=True)
class Gluing:
    """The glue-up of a piece, told in its `units`. `first` is the part that lies there before any glue, "" where the
    order is not known; there are no goes then. `parts` take glue beside the corners. What goes in `after` the last
    corner is closed waits until the clamps of the last go are on."""

    units: Units
    glue: Glue
    corners: tuple[GluedCorner, ...]
    parts: tuple[GluedPart, ...]
    clamping: Clamping
    first: str
    goes: tuple[Go, ...]
    after: tuple[Seat, ...] = ()

    @property
    def glued(self) -> tuple[GluedCorner | GluedPart, ...]:
        """All that takes glue."""
        return (*self.corners, *self.parts)

    @property
    def grams(self) -> float:
        """How much glue ends up in the piece."""
        return math.fsum(each.grams for each in self.glued)

    @property
    def pour(self) -> float:
        """How much to have ready (g)."""
        return math.ceil(self.grams * (1 + LEFT_BEHIND) / POURED_BY - 1e-9) * POURED_BY

    @property
    def brushing(self) -> float:
        """How long one person brushes all of it (s)."""
        return math.fsum(each.seconds for each in self.glued)

    @property
    def at_once(self) -> float:
        """How long all of it would take in one go (s)."""
        return sum(seat.opened for go in self.goes for seat in go.seats) + self._clamping

    @property
    def _clamping(self) -> float:
        return self.clamping.count * SET_A_CLAMP

    @property
    def late(self) -> tuple[Seat, ...]:
        """The parts whose first face would skin over before the joint closes."""
        seats = [*(seat for go in self.goes for seat in go.seats), *self.after]
        return tuple(seat for seat in seats if seat.opened > self.glue.open_min * SECONDS)

    @property
    def overlong(self) -> tuple[Go, ...]:
        """The goes whose last clamp would come too late: such a go closes with one board, so no pause helps."""
        return tuple(go for go in self.goes if go.seconds > self.glue.assembly_min * SECONDS)

    @property
    def longest_open(self) -> float:
        """How long the face that waits longest does so (s)."""
        return max((seat.opened for go in self.goes for seat in go.seats if seat.corners), default=0.0)

    @property
    def corners_in_open_time(self) -> int:
        """How many corners one person can brush within the open time, before a board is driven home."""
        slowest = max(corner.seconds for corner in self.corners)
        return max(0, math.floor((self.glue.open_min * SECONDS - DRIVE) / slowest))


def gluing_of(piece: Assembly, parts: Sequence[str] = ()) -> Gluing:
    """The glue-up of a piece whose parts go together in this order. A corner alone needs none."""
    order = parts if piece.box else CORNER_PARTS
    corners, presses = glued_corners(piece), clamping(piece.plan)
    recipe = piece.kinds[0].layout.recipe
    glued = glued_parts(piece)
    *runs, after = _runs(_seats(piece, order, corners, glued, presses))
    goes = _goes(runs, presses.count * SET_A_CLAMP, recipe.glue.assembly_min * SECONDS)
    return Gluing(recipe.units, recipe.glue, corners, glued, presses, order[0] if order else "", goes, after)


def _seats(
    piece: Assembly,
    order: Sequence[str],
    corners: Sequence[GluedCorner],
    parts: Sequence[GluedPart],
    presses: Clamping,
) -> tuple[Seat, ...]:
    """Every part but the first, as it comes home."""
    found, there = [], set(order[:1])
    brushed = {each.name: each.seconds for each in parts}
    pinched = {each.part: each.count * SET_A_CLAMP for each in presses.pinches}
    meet = {joint.name: joint.boards for joint in piece.joints} or {"": frozenset(CORNER_PARTS)}
    for part in order[1:]:
        there.add(part)
        closed = [each for each in corners if part in meet[each.name] and meet[each.name] <= there]
        brushing = sum(each.seconds for each in closed) + brushed.get(part, 0.0)
        names = tuple(each.name for each in closed)
        found.append(Seat(part, names, brushing, DRIVE if closed else SLIDE + pinched.get(part, 0.0)))
    return tuple(found)


def _goes(runs: Sequence[tuple[Seat, ...]], clamps: float, most: float) -> tuple[Go, ...]:
    """The runs in as few goes as keep to the assembly time (s)."""
    goes: list[Go] = []
    for run in runs:
        longer = replace(goes[-1], seats=(*goes[-1].seats, *run)) if goes else None
        if longer and longer.seconds <= most:
            goes[-1] = longer
        else:
            goes.append(Go(run, clamps))
    return tuple(goes)


def _runs(seats: Sequence[Seat]) -> list[tuple[Seat, ...]]:
    """Seats that are not parted: each that closes a corner, with those before it that close none; and in the end those
    after the last of them."""
    runs: list[list[Seat]] = [[]]
    for seat in seats:
        runs[-1].append(seat)
        if seat.corners:
            runs.append([])
    return [tuple(run) for run in runs]


def slower_glues(gluing: Gluing) -> tuple[Glue, ...]:
    """The kinds of glue that would leave time enough for one go, the quickest of them first."""
    return tuple(
        glue
        for glue in sorted(GLUES.values(), key=lambda each: (each.open_min, each.assembly_min))
        if glue.open_min * SECONDS >= gluing.longest_open and glue.assembly_min * SECONDS >= gluing.at_once
    )
