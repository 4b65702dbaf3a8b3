"""Plane-faced bodies in the frame of the box, and what they are: parts of the box that no dovetail holds, and what is
cut from its boards for them. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import IDENTITY, Frame, Point, Slab, Span, Vector, dot
from solids.base.polygons import Face, Loop, enclosed_volume, newell_normal, sides
from solids.layout.box.rows import CutListRow
from solids.layout.joint.faces import SAME_PLACE, SQUARE
from solids.recipe.tables.box_resolved import Side
from solids.wood import Wood

AIR = 1.0
"""How far a tool that cuts reaches into the air beyond a face, so that no two faces lie in one plane (mm)."""


@dataclass(frozen=True)
class Body:
    """A body between two parallel outlines of as many corners. Both run counter-clockwise as `end` is seen from
    outside; the sides between them must be plane. `names` are those of its faces: of the start, of the end, and of the
    side from each corner to the next."""

    start: tuple[Point, ...]
    end: tuple[Point, ...]
    names: tuple[str, ...]

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """Its faces as loops, in the order of the names."""
        walls = ([[a, b, d, c]] for (a, b), (c, d) in zip(sides(self.start), sides(self.end), strict=True))
        return [self.start[::-1]], [self.end], *walls

    @property
    def volume(self) -> float:
        """Volume in mm3."""
        return enclosed_volume(self.faces)

    @property
    def extent(self) -> Slab:
        """The least block that holds it."""
        return extent_of([self])

    def moved(self, rows: Frame) -> Body:
        """The same after a rigid motion."""
        return Body(tuple(map(rows.apply, self.start)), tuple(map(rows.apply, self.end)), self.names)

    def name_at(self, normal: Vector, point: Point) -> str:
        """The name of its face that has this outward normal, of length 1, and this point on it; "" where it has
        none."""
        for name, (loop, *_) in zip(self.names, self.faces, strict=True):
            if _is_there(loop, normal, point):
                return name
        return ""


def _is_there(loop: Loop, normal: Vector, point: Point) -> bool:
    found = newell_normal(loop)
    long = math.hypot(*found)
    if dot(found, normal) < (1.0 - SQUARE) * long:
        return False
    away = (point[0] - loop[0][0], point[1] - loop[0][1], point[2] - loop[0][2])
    if abs(dot(found, away)) >= SAME_PLACE * long:
        return False
    # Two cuts of one board may each have a face in this plane; their faces are convex, and lie apart.
    reach = zip(*loop, strict=True)
    return all(min(along) - SAME_PLACE < at < max(along) + SAME_PLACE for at, along in zip(point, reach, strict=True))


BLOCK = ("lower face", "upper face", "front", "right side", "back", "left side")
"""The names of a block's faces, in the order of `block`."""


def block(x: Span, y: Span, z: Span, names: tuple[str, ...] = BLOCK) -> Body:
    """A block with edges along the box's axes. Its faces are named from below and above, and round from the front."""
    low, high = (((x[0], y[0], at), (x[1], y[0], at), (x[1], y[1], at), (x[0], y[1], at)) for at in z)
    return Body(low, high, names)


def extent_of(bodies: Sequence[Body]) -> Slab:
    """The least block that holds some bodies."""
    axes = zip(*(point for body in bodies for point in (*body.start, *body.end)), strict=True)
    x, y, z = ((min(values), max(values)) for values in axes)
    return Slab(x, y, z)


@dataclass(frozen=True)
class GluedOn:
    """The board on whose inside face a part is glued, long grain on long grain, and the area of that (mm2)."""

    side: Side
    area: float


@dataclass(frozen=True)
class Fitted:
    """A part that no dovetail holds, where it lies in the box: `bodies` that touch, made one, less the `cuts`, which
    lie within them and apart from each other, but that `tools` may reach further. `row` is its place in the cut list.
    `step` is how it goes in, where "{}" stands for the way: "Slide in the bottom {}."; `glue` what is said of glue
    there. `comes` is the way that it comes where that is free: "from below". What is `of_carcase` belongs to what the
    box stands in: it has no place in the order of assembly. `drop` is how much lower it lies in the finished box, if it
    comes down with a lid that is sawn off. A `late` part goes in when the glue of the box has set; one `of_open_box`
    once the lid is sawn off. `glued` tells where glue holds it along its whole length. `turn` is from how it stands in
    the box to how it lies in a machine."""

    name: str
    wood: Wood
    bodies: tuple[Body, ...]
    row: CutListRow
    step: str
    glue: str = ""
    comes: str = ""
    cuts: tuple[Body, ...] = ()
    tools: tuple[Body, ...] = ()
    drop: float = 0.0
    of_carcase: bool = False
    late: bool = False
    of_open_box: bool = False
    glued: GluedOn | None = None
    turn: Frame = IDENTITY

    @property
    def volume(self) -> float:
        """Exact volume (mm3)."""
        return math.fsum([*(body.volume for body in self.bodies), *(-cut.volume for cut in self.cuts)])

    @property
    def extent(self) -> Slab:
        """The least block that holds it."""
        return extent_of(self.bodies)

    @property
    def lowered(self) -> Slab:
        """The same in the finished box."""
        whole = self.extent
        return Slab(whole.x, whole.y, (whole.z[0] - self.drop, whole.z[1] - self.drop))

    @property
    def lying(self) -> Frame:
        """The motion from the box into a machine: there it begins at X = 0, and ends at Y = 0 and Z = 0."""
        there = extent_of([body.moved(self.turn) for body in self.bodies])
        return self.turn.shifted((-there.x[0], -there.y[1], -there.z[1]))

    @property
    def thickness(self) -> float:
        """How thick it is, finished."""
        return self.row.finished[2]

    def face_at(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal, of length 1, and this point on it; "" where it has none."""
        out = (-normal[0], -normal[1], -normal[2])
        in_cuts = [cut.name_at(out, point) for cut in self.cuts]
        return next(filter(None, [*in_cuts, *(body.name_at(normal, point) for body in self.bodies)]), "")


@dataclass(frozen=True)
class Cut:
    """What is cut from a board beside its joints and the groove. `wood` is what it takes, and ends at the board's
    faces; `tool` reaches past every face where the cut is open. A `late` cut is made when the box is glued up and
    planed."""

    side: Side
    name: str
    wood: Body
    tool: Body
    late: bool = False

    def face_at(self, normal: Vector, point: Point) -> str:
        """The name of the face that it leaves, with this outward normal, of length 1, and this point on it, in the
        frame of the box; "" where it leaves none there."""
        found = self.tool.name_at((-normal[0], -normal[1], -normal[2]), point)
        return f"{self.name}, {found}" if found else ""


@dataclass(frozen=True)
class Strip:
    """What a board has beyond the box on one side: `wood`, which is one with it. The board is sawn that much larger;
    `waste`, under the name of that `cut`, is what is taken away beside it."""

    side: Side
    name: str
    wood: Body
    cut: str
    waste: Body


@dataclass(frozen=True)
class Fitting:
    """Parts, the cuts that boards have for them, and what boards have beyond the box."""

    parts: tuple[Fitted, ...] = ()
    cuts: tuple[Cut, ...] = ()
    strips: tuple[Strip, ...] = ()
