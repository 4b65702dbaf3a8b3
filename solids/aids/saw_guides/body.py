"""The sizes of a saw guide and its solid: an L seen from its end, between two planes that lean like flanks, with a slot
for a magnet behind each.

On the bed X runs across the guide from its middle, Y toward the lip with 0 at the end of the board, Z from the guide's
outermost face toward the board."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from solids.aids.making.modelling import FOOT
from solids.base.geometry import PlanePoint, Point
from solids.model.kernel import Face, Solid, solid_from_faces
from solids.model.kernel.shaping import cut

LIP = 5.0
"""How thick the lip over the end of the board is. Common practice."""

LIP_DEEPEST = 10.0
"""How far it reaches back over the end: enough to stand square on. Common practice."""

PAST = 20.0
"""How far the block reaches past the baseline: room for a clamp that the saw never meets. Common practice."""

STEADY = 20.0
"""How far the block stands out from the board: on a shorter one the plate tips. Common practice."""

BEHIND = 3.0
"""Wall between a magnet and the face that a clamp bears on."""

NARROWEST = 20.0
"""A narrower block tips under its clamp. Common practice."""

BETWEEN = 4.0
"""Between the two slots."""

GROOVE_IN, GROOVE_WIDE, GROOVE_DEEP = 1.5, 0.6, 0.5
"""The kerf line: how far its middle lies from the working edge, its width and its depth. It runs along the top of the
lip, which the maker sees while sawing."""


@dataclass(frozen=True)
class GuideSize:
    """One guide. `cut` is how deep the saw goes from the end of the board, `room` how much board lies past that; its
    ends lean outward by `along` for each mm of Y and by `up` for each mm of Z, inward where that is under 0. Of a
    magnet's slot, `floor` is the wall toward the saw, `gap` its width across, `disc` the side of the square that it
    must hold; `wall` is the thinnest wall."""

    thickness: float
    cut: float
    room: float
    along: float
    up: float
    floor: float
    wall: float
    gap: float
    disc: float

    @property
    def stretch(self) -> float:
        """How much longer a distance normal to an end is in X."""
        return math.hypot(1.0, self.along, self.up)

    @property
    def long(self) -> float:
        """The slot along Y: its ends are level and its walls lean, so much longer holds the whole disc."""
        return (self.disc + self.gap * abs(self.along)) / math.hypot(1.0, self.along)

    @property
    def deep(self) -> float:
        """The slot along Z, in the same way."""
        return (self.disc + self.gap * abs(self.up)) / math.hypot(1.0, self.up)

    @property
    def back(self) -> float:
        """From the bed to the face of the board."""
        return max(STEADY, self.deep + max(BEHIND, self.wall))

    @property
    def lip(self) -> float:
        """How far the lip reaches over the end of the board."""
        return min(LIP_DEEPEST, self.thickness)

    @property
    def top(self) -> float:
        """The height of the lip above the bed."""
        return self.back + self.lip

    @property
    def past_needed(self) -> float:
        """How far past the cut the block must reach to hold the magnets."""
        return self.long + 2 * self.wall - self.cut

    @property
    def reach(self) -> float:
        """From the end of the board to the far end of the block."""
        return self.cut + max(min(PAST, self.room), self.past_needed)

    @property
    def width(self) -> float:
        """At its narrowest."""
        return max(NARROWEST, 2 * (self.floor + self.gap) * self.stretch + max(BETWEEN, self.wall))

    def half(self, y: float, z: float) -> float:
        """Half its width: the X of its right end."""
        run = y + self.reach if self.along >= 0 else LIP - y
        rise = z if self.up >= 0 else self.top - z
        return self.width / 2 + abs(self.along) * run + abs(self.up) * rise

    @property
    def widest(self) -> float:
        """At its widest."""
        return 2 * max(self.half(y, z) for y in (-self.reach, LIP) for z in (0.0, self.top))

    @property
    def between_slots(self) -> float:
        """Free of slots in the face toward the board, for its words."""
        narrow = min(self.half(y, self.back) for y in (-self.reach, 0.0))
        return 2 * (narrow - (self.floor + self.gap) * self.stretch)

    @property
    def end_area(self) -> float:
        """The area of one end, where the saw plate lies."""
        return self.stretch * (self.reach * self.back + LIP * self.top)


def guide_body(size: GuideSize) -> Solid:
    """The whole guide but for its words."""
    return cut(_block(size), [tool for side in (1.0, -1.0) for tool in (_slot(size, side), _groove(size, side))])


def _block(size: GuideSize) -> Solid:
    """Built face by face, with the chamfer of its foot."""
    reach, top, back = size.reach, size.top, size.back
    profile = [(-reach, FOOT), (LIP, FOOT), (LIP, top), (0.0, top), (0.0, back), (-reach, back)]
    right: list[Point] = [(size.half(y, z), y, z) for y, z in profile]
    left: list[Point] = [(-x, y, z) for x, y, z in right]
    faces: list[Face] = [[right], [left[::-1]]]
    faces += [[[right[j], right[i], left[i], left[j]]] for i, j in ((1, 2), (2, 3), (3, 4), (4, 5), (5, 0))]
    feet: list[Point] = [(size.half(y, FOOT) - FOOT, y, 0.0) for y in (FOOT - reach, LIP - FOOT)]
    low: list[Point] = [*feet, *((-x, y, z) for x, y, z in reversed(feet))]
    faces += [[low[::-1]], *_sides(low, [right[0], right[1], left[1], left[0]])]
    return solid_from_faces(faces)


def _sides(low: list[Point], high: list[Point]) -> Iterator[Face]:
    for i in range(4):
        j = (i + 1) % 4
        yield [[low[i], low[j], high[j], high[i]]]


def _slot(size: GuideSize, side: float) -> Solid:
    """What makes room for one magnet, open toward the board, below the lip."""
    upper = -size.wall
    up = size.back - size.deep, size.back + 1.0
    return _tool(size, side, (size.floor, size.floor + size.gap), (upper - size.long, upper), up)


def _groove(size: GuideSize, side: float) -> Solid:
    """The kerf line, parallel to the end, with at least a wall beside it."""
    near = max(GROOVE_IN - GROOVE_WIDE / 2, size.wall)
    across = near, near + GROOVE_WIDE
    return _tool(size, side, across, (LIP - GROOVE_DEEP, LIP + 1.0), (FOOT + size.wall, size.top + 1.0))


def _tool(size: GuideSize, side: float, across: PlanePoint, along: PlanePoint, up: PlanePoint) -> Solid:
    """A block with two walls parallel to an end: `across` from it, `along` Y, `up` Z; `side` is 1 at the right end."""
    (near, far), (y0, y1) = across, along
    corners = [(far, y0), (near, y0), (near, y1), (far, y1)]
    low, high = (
        [(side * (size.half(y, z) - v * size.stretch), y, z) for v, y in corners[:: 1 if side > 0 else -1]] for z in up
    )
    return solid_from_faces([[low[::-1]], [high], *_sides(low, high)])
