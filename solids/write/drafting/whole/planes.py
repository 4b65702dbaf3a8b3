"""The two planes that the sections of a box are cut in, and how a plan shows where they lie."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.base.geometry import PlanePoint
from solids.layout.box.model import BoxLayout
from solids.model.parts import Part
from solids.model.sections import clear_place
from solids.write.drafting.sheet import Item, Label, Stroke, line

SHARE = 0.4
"""How far from the left and from the front the planes are wanted: beside the middle, where dimensions have their
words."""

PAST, ARROW, LETTER = 3.0, 3.0, 2.8
"""How far the line of a plane stands out of the plan, how long its arrows are, and how high its letters."""

OUT = PAST + LETTER + 1.2
"""How far all of it stands out above and below the plan."""


@dataclass(frozen=True)
class Planes:
    """Where the box is cut open: A is square to the length, `across` mm from the left, seen from the right; B square to
    the width, `along` mm from the front, seen from there."""

    across: float
    along: float


def planes_of(box: BoxLayout, parts: Sequence[Part]) -> Planes:
    """The planes that show most of how the parts are joined."""
    across, along = (clear_place(parts, axis, box.inside[axis], SHARE) for axis in (0, 1))
    return Planes(across, along)


def plane_marks(planes: Planes, low: PlanePoint, size: PlanePoint, scale: float, shift: PlanePoint) -> Iterator[Item]:
    """Both planes on a plan on paper, with letters, and arrows that point the way the eye looks. `low` is the plan's
    lower left corner and `size` its size there; `shift` is where the zero of the box is."""
    x, y = shift[0] + planes.across * scale, shift[1] + planes.along * scale
    bottom, top = low[1] - PAST, low[1] + size[1] + PAST
    left, right = low[0] - PAST, low[0] + size[0] + PAST
    yield line("section lines", (x, bottom), (x, top))
    yield line("section lines", (left, y), (right, y))
    for end, rise in ((top, 1.2), (bottom, -1.2 - LETTER)):
        yield from _arrow((x, end), (x - ARROW, end))
        yield Label("A", (x, end + rise), LETTER, bold=True)
    for end, aside in ((left, -1.4 - LETTER / 2), (right, 1.4 + LETTER / 2)):
        yield from _arrow((end, y), (end, y + ARROW))
        yield Label("B", (end + aside, y - LETTER / 2), LETTER, bold=True)


def _arrow(start: PlanePoint, tip: PlanePoint) -> Iterator[Item]:
    along = (tip[0] - start[0]) / ARROW, (tip[1] - start[1]) / ARROW
    beside = [
        (tip[0] - 1.4 * along[0] + side * 0.6 * along[1], tip[1] - 1.4 * along[1] + side * 0.6 * along[0])
        for side in (1.0, -1.0)
    ]
    yield Stroke("visible edges", (start, tip))
    yield Stroke("visible edges", (beside[0], tip, beside[1]))
