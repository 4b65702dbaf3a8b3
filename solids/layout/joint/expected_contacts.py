"""The faces of both boards that should meet, where, and over what area: the oracle for `contacts.py`. Lengths in mm.

Each meeting is given by a face of the tail board: its plane, its outward normal, the gap to the pin board's face along
that normal, and the area that both share when the boards are seated as cut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Vector
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.model import Layout

Kind = Literal["flank", "shoulder", "floor", "lap", "edge"]
Rectangle = tuple[Vector, Vector, Vector, Vector]


@dataclass(frozen=True)
class Meeting:
    """A pair of faces that should meet. `at` is a point of the tail board's face, `normal` points out of that board,
    `gap` is signed along it (negative is tight), `area` is in mm2, `size` is length and breadth for the maker.
    `low` and `high` bound the tail board's face in X, so that the face of one socket is not taken for the next one's.
    `lands` are the rectangles of a hollowed floor that stay flat; empty if the whole floor is flat."""

    name: str
    kind: Kind
    at: Vector
    normal: Vector
    gap: float
    area: float
    size: tuple[float, float]
    low: float
    high: float
    lands: tuple[Rectangle, ...] = ()


def meetings(layout: Layout) -> tuple[Meeting, ...]:
    """All meetings: 2n flanks, n + 1 shoulders, n socket floors, n tail ends at the lap if half-blind, and an edge of
    the pin board where the tail board extends beyond it."""
    return (
        *(flank for tail in layout.tails for flank in _flanks(layout, tail)),
        *_shoulders(layout),
        *(_floor(layout, tail) for tail in layout.tails),
        *(_lap(layout, tail) for tail in layout.tails if layout.is_half_blind),
        *_edges(layout),
    )


def _flanks(layout: Layout, tail: Tail) -> Iterator[Meeting]:
    d, t, s, n = layout.depth, layout.recipe.tail_board.thickness, layout.flank_stretch, layout.ratio
    for side, name in ((-1.0, "left"), (1.0, "right")):
        x = tail.right if side > 0 else tail.left
        neck = layout.tail_edges(tail, 0.0)[0 if side < 0 else 1]
        yield Meeting(
            name=f"tail {tail.number}, {name} flank",
            kind="flank",
            at=(x, d, 0.0),
            normal=(side / s, -1.0 / (n * s), 0.0),
            gap=layout.recipe.flank_gap,
            area=_flank_area(layout),
            size=(d * s, t),
            low=min(x, neck) - layout.recipe.tail_board.proud,
            high=max(x, neck) + layout.recipe.tail_board.proud,
        )


def _flank_area(layout: Layout) -> float:
    """The area two flanks share, seen along their normal (mm2). A gap between them shifts the pin's flank along the
    tail's, so a strip at one end has no mate."""
    t, s = layout.recipe.tail_board.thickness, layout.flank_stretch
    ahead = layout.recipe.flank_gap / (layout.ratio * s)
    start, end = max(ahead, 0.0), min(layout.as_cut.tail_end, layout.depth + ahead)
    chamfered = layout.recipe.entry_chamfer.width * max(layout.chamfer_reach - start, 0.0)
    return s * ((end - start) * t - chamfered)


def _shoulders(layout: Layout) -> Iterator[Meeting]:
    """The floors of the tail board's sockets sit on the pin board's inside face. A hollow leaves only its lands."""
    t, n = layout.recipe.tail_board.thickness, len(layout.tails)
    land = layout.land
    for k, (left, right) in enumerate(layout.gap_spans(0.0)):
        flanks = 1 if k in (0, n) else 2
        beside = n - k if layout.mirrored else k
        width = right - left + flanks * min(-layout.flank_shift, 0.0)
        area = width * (t if land is None else 2 * land)
        if land is not None and flanks == 1:
            area += min(land, width) * (t - 2 * land)
        yield Meeting(
            name=f"shoulder beside tail {beside}" if beside else "shoulder at the reference edge",
            kind="shoulder",
            at=(left, 0.0, 0.0),
            normal=(0.0, 1.0, 0.0),
            gap=0.0,
            area=area + flanks * _chamfer_foot(layout),
            size=(width, t),
            low=left,
            high=right,
            lands=_shoulder_lands(layout, k, left, right),
        )


def _shoulder_lands(layout: Layout, k: int, left: float, right: float) -> tuple[Rectangle, ...]:
    """The strips along both faces and, for an outer socket, the strip along the edge of the board."""
    land, t = layout.land, layout.recipe.tail_board.thickness
    if land is None:
        return ()

    def strip(x0: float, x1: float, z0: float, z1: float) -> Rectangle:
        return (x0, 0.0, z0), (x1, 0.0, z0), (x1, 0.0, z1), (x0, 0.0, z1)

    beyond = layout.width  # a tight pin or a chamfer may reach past the socket
    strips = [strip(left - beyond, right + beyond, 0.0, land), strip(left - beyond, right + beyond, t - land, t)]
    if k == 0:
        strips.append(strip(0.0, land, 0.0, t))
    if k == len(layout.tails):
        strips.append(strip(layout.width - land, layout.width, 0.0, t))
    return tuple(strips)


def _chamfer_foot(layout: Layout) -> float:
    """The area that a tight pin covers of the triangle an entry chamfer leaves at the baseline (mm2)."""
    c, s = layout.recipe.entry_chamfer.width, layout.flank_stretch
    covered = min(-min(layout.flank_shift, 0.0), c * s)
    return c * covered - covered**2 / (2 * s) if c else 0.0


def _floor(layout: Layout, tail: Tail) -> Meeting:
    """The tail's inside face lies on the floor of its socket; the narrower of the two sets the area."""
    d = layout.depth
    tight = min(layout.flank_shift, 0.0)
    chamfer = layout.recipe.entry_chamfer.width * layout.flank_stretch

    def area(start: float, end: float, lost: float) -> float:
        """The area between two planes Y, with `lost` missing in X at each flank."""
        middle = layout.tail_width(tail, (start + end) / 2) - 2 * lost
        return max(end - start, 0.0) * middle

    land = layout.land
    strips = [(0.0, d)] if land is None else [(0.0, land)] if layout.is_half_blind else [(0.0, land), (d - land, d)]
    total = 0.0
    for start, end in strips:
        split = min(max(layout.chamfer_reach, start), end)
        total += area(start, split, max(-tight, chamfer)) + area(split, end, -tight)
    left, right = layout.tail_edges(tail, 0.0)
    return Meeting(
        name=f"floor of socket {tail.number}",
        kind="floor",
        at=(tail.middle, 0.0, 0.0),
        normal=(0.0, 0.0, -1.0),
        gap=0.0,
        area=total,
        size=(tail.width, d),
        low=min(left, tail.left),
        high=max(right, tail.right),
        lands=tuple(
            ((0.0, start, 0.0), (layout.width, start, 0.0), (layout.width, end, 0.0), (0.0, end, 0.0))
            for start, end in (strips if land is not None else ())
        ),
    )


def _lap(layout: Layout, tail: Tail) -> Meeting:
    t = layout.recipe.tail_board.thickness
    width = tail.width + 2 * min(layout.flank_shift, 0.0)
    return Meeting(
        name=f"end of tail {tail.number} at the lap",
        kind="lap",
        at=(tail.middle, layout.depth, 0.0),
        normal=(0.0, 1.0, 0.0),
        gap=0.0,
        area=width * t,
        size=(width, t),
        low=tail.left,
        high=tail.right,
    )


def _edges(layout: Layout) -> Iterator[Meeting]:
    """The pin board's edge lies against the strip of the tail board beyond the joint."""
    t, reach = layout.recipe.tail_board.thickness, min(layout.as_cut.tail_end, layout.as_cut.show_y)
    for x, strip, inward in zip((0.0, layout.width), layout.strips, (1.0, -1.0), strict=True):
        if strip:
            yield Meeting(
                name="pin board's edge beside the wood that runs on",
                kind="edge",
                at=(x, 0.0, 0.0),
                normal=(inward, 0.0, 0.0),
                gap=0.0,
                area=reach * t,
                size=(reach, t),
                low=x,
                high=x,
            )


def place_of(layout: Layout, low: float, high: float) -> str:
    """The name of what lies between two X: "tail 3, left flank", or "tail 3" if the span is over half the tail."""
    middle = (low + high) / 2
    tail = min(layout.tails, key=lambda tail: max(tail.left - middle, middle - tail.right))
    if high - low > tail.width / 2:
        return f"tail {tail.number}"
    return f"tail {tail.number}, {'left' if middle < tail.middle else 'right'} flank"
