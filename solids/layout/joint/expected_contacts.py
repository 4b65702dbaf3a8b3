"""The faces of both boards that should meet, where, and over what area: the oracle for `contacts.py`. Lengths in mm.

Each meeting is given by a face of the tail board: its plane, its outward normal, the gap to the pin board's face along
that normal, and the area that both share when the boards are seated as cut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import Vector
from solids.base.polygons import area_of
from solids.layout.joint.shape.flanks import Flank, Gap, Tail
from solids.layout.joint.shape.mitre import cheek, meeting_length, mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout

Kind = Literal["flank", "shoulder", "floor", "lap", "edge", "rebate", "mitre", "cheek"]
Rectangle = tuple[Vector, Vector, Vector, Vector]


@dataclass(frozen=True)
class Meeting:
    """A pair of faces that should meet. `at` is a point of the tail board's face, `normal` points out of that board,
    `gap` is signed along it (negative is tight), `area` is in mm2, `size` is length and breadth for the maker.
    `low` and `high` bound the tail board's face in X, so that the face of one socket is not taken for the next one's.
    `lands` are the rectangles of a hollowed floor that stay flat; empty if the whole floor is flat. Where the rebate
    joins all shoulders to one face, each is `bounded` by its rectangles in X as well."""

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
    bounded: bool = False


def meetings(layout: Layout) -> tuple[Meeting, ...]:
    """All meetings: every flank, a shoulder for each gap, a floor for each socket, the tail ends at the lap if
    half-blind, an edge of the pin board where the tail board extends beyond it, the rebate's shoulder, and each mitred
    shoulder with the cheek of the half pin beside it."""
    return (
        *(_flank(layout, flank) for flank in layout.flanks),
        *(_shoulder(layout, gap) for gap in layout.gaps),
        *(_floor(layout, tail) for tail in layout.tails),
        *(_lap(layout, tail) for tail in layout.tails if layout.is_half_blind),
        *_edges(layout),
        *_rebate(layout),
        *_mitres(layout),
    )


def _flank(layout: Layout, flank: Flank) -> Meeting:
    proud = layout.recipe.tail_board.proud
    return Meeting(
        name=flank.name,
        kind="flank",
        at=(flank.face, layout.depth, 0.0),
        normal=flank.normal,
        gap=layout.recipe.flank_gap,
        area=_flank_area(layout, flank),
        size=(layout.depth * flank.stretch, layout.tail_thickness),
        low=min(flank.face, flank.foot) - proud,
        high=max(flank.face, flank.foot) + proud,
    )


def _flank_area(layout: Layout, flank: Flank) -> float:
    """The area two flanks share, seen along their normal (mm2). A gap between them shifts the pin's flank along the
    tail's, so a strip at one end has no mate."""
    ahead = layout.recipe.flank_gap / (flank.ratio * flank.stretch)
    start, end = max(ahead, 0.0), min(layout.as_cut.tail_end, layout.depth + ahead)
    chamfered = layout.recipe.entry_chamfer.width * max(layout.chamfer_reach - start, 0.0)
    return flank.stretch * ((end - start) * layout.tail_thickness - chamfered)


def _shoulder(layout: Layout, gap: Gap) -> Meeting:
    """The floor of a socket of the tail board sits on the pin board's inside face. A hollow leaves only its lands."""
    thick, land, (left, right) = layout.tail_thickness, layout.land, gap.span(0.0)
    nearer = gap.right if layout.mirrored else gap.left
    width = right - left + sum(min(-layout.shift(flank), 0.0) for flank in gap.flanks)
    area = width * (thick if land is None else 2 * land)
    if land is not None and gap.is_half:
        area += min(land, width) * (thick - 2 * land)
    return Meeting(
        name=f"shoulder beside tail {nearer.tail}" if nearer else "shoulder at the reference edge",
        kind="shoulder",
        at=(left, 0.0, 0.0),
        normal=(0.0, 1.0, 0.0),
        gap=0.0,
        area=area + sum(_chamfer_foot(layout, flank) for flank in gap.flanks),
        size=(width, thick),
        low=left,
        high=right,
        lands=_shoulder_lands(layout, gap, left, right),
        bounded=layout.rebate > 0,
    )


def _shoulder_lands(layout: Layout, gap: Gap, left: float, right: float) -> tuple[Rectangle, ...]:
    """The strips along both faces and, for an outer socket, the strip along the edge of the board. Without a hollow,
    the whole floor where a rebate joins it to the others."""
    land, low, high = layout.land, layout.rebate, layout.recipe.tail_board.thickness
    # A tight pin or a chamfer may reach past the socket.
    beyond = max(_reach_aside(layout, flank) for flank in gap.flanks) if layout.rebate else layout.width

    def strip(x0: float, x1: float, z0: float, z1: float) -> Rectangle:
        return (x0, 0.0, z0), (x1, 0.0, z0), (x1, 0.0, z1), (x0, 0.0, z1)

    first, last = left - beyond if gap.left else left, right + beyond if gap.right else right
    if land is None:
        return (strip(first, last, low, high),) if layout.rebate else ()
    strips = [strip(first, last, low, low + land), strip(first, last, high - land, high)]
    if gap.left is None:
        strips.append(strip(left, left + land, low, high))
    if gap.right is None:
        strips.append(strip(right - land, right, low, high))
    return tuple(strips)


def _reach_aside(layout: Layout, flank: Flank) -> float:
    """How far wood that meets a shoulder may lie past the flank beside it, in X."""
    return abs(layout.shift(flank)) + layout.recipe.entry_chamfer.width * flank.stretch


def _chamfer_foot(layout: Layout, flank: Flank) -> float:
    """The area that a tight pin covers of the triangle an entry chamfer leaves at the baseline (mm2)."""
    c, s = layout.recipe.entry_chamfer.width, flank.stretch
    covered = min(-min(layout.shift(flank), 0.0), c * s)
    return c * covered - covered**2 / (2 * s) if c else 0.0


def _floor(layout: Layout, tail: Tail) -> Meeting:
    """The tail's inside face lies on the floor of its socket; the narrower of the two sets the area."""
    d, land, low = layout.depth, layout.land, layout.rebate
    tight = {flank: -min(layout.shift(flank), 0.0) for flank in tail.flanks}
    chamfer = {flank: layout.recipe.entry_chamfer.width * flank.stretch for flank in tail.flanks}

    def area(start: float, end: float, *lost: dict[Flank, float]) -> float:
        """The area between two planes Y, with what is lost in X at each flank, the most of each."""
        middle = layout.tail_width(tail, (start + end) / 2)
        return max(end - start, 0.0) * (middle - sum(max(each[flank] for each in lost) for flank in tail.flanks))

    strips = [(0.0, d)] if land is None else [(0.0, land)] if layout.is_half_blind else [(0.0, land), (d - land, d)]
    total = 0.0
    for start, end in strips:
        split = min(max(layout.chamfer_reach, start), end)
        total += area(start, split, tight, chamfer) + area(split, end, tight)
    rectangles = [((0.0, start), (layout.width, end)) for start, end in strips if land is not None]
    left, right = layout.tail_edges(tail, 0.0)
    if land is not None:
        for side, x in ((-1, 0.0), (1, layout.width - land)):
            if tail.flank(side) is None:
                total += land * (d - sum(end - start for start, end in strips))
                rectangles.append(((x, 0.0), (x + land, d)))
    return Meeting(
        name=f"floor of socket {tail.number}",
        kind="floor",
        at=(tail.middle, 0.0, low),
        normal=(0.0, 0.0, -1.0),
        gap=0.0,
        area=total,
        size=(tail.width, d),
        low=min(left, tail.left),
        high=max(right, tail.right),
        lands=tuple(((x0, y0, low), (x1, y0, low), (x1, y1, low), (x0, y1, low)) for (x0, y0), (x1, y1) in rectangles),
    )


def _lap(layout: Layout, tail: Tail) -> Meeting:
    width = tail.width + sum(min(layout.shift(flank), 0.0) for flank in tail.flanks)
    return Meeting(
        name=f"end of tail {tail.number} at the lap",
        kind="lap",
        at=(tail.middle, layout.depth, 0.0),
        normal=(0.0, 1.0, 0.0),
        gap=0.0,
        area=width * layout.tail_thickness,
        size=(width, layout.tail_thickness),
        low=tail.left,
        high=tail.right,
    )


def _edges(layout: Layout) -> Iterator[Meeting]:
    """The pin board's edge lies against the strip of the tail board beyond the joint."""
    thick, reach = layout.tail_thickness, min(layout.as_cut.tail_end, layout.as_cut.show_y)
    sides = zip((0.0, layout.width), layout.strips, layout.walls, (1.0, -1.0), strict=True)
    for x, strip, wall, inward in sides:
        if strip and wall:
            edge = "edge " if (x == 0.0) != layout.mirrored else "other edge "
            yield Meeting(
                name=f"pin board's {edge}beside the wood that runs on",
                kind="edge",
                at=(x, 0.0, 0.0),
                normal=(inward, 0.0, 0.0),
                gap=0.0,
                area=reach * thick,
                size=(reach, thick),
                low=x,
                high=x,
            )


def _rebate(layout: Layout) -> Iterator[Meeting]:
    """The shoulder of the rebate lies on the pin board's inside face, below the tails and from edge to edge."""
    deep, width = layout.rebate, layout.width
    if deep:
        yield Meeting(
            name="rebate shoulder",
            kind="rebate",
            at=(0.0, 0.0, 0.0),
            normal=(0.0, 1.0, 0.0),
            gap=0.0,
            area=width * deep,
            size=(width, deep),
            low=0.0,
            high=width,
            lands=(((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, 0.0, deep), (0.0, 0.0, deep)),),
            bounded=True,
        )


def _mitres(layout: Layout) -> Iterator[Meeting]:
    """Each mitred shoulder, and the side of its strip on the cheek of the half pin beside it."""
    long = meeting_length(layout)
    for low, high in mitred_edges(layout):
        at_edge = "the reference edge" if (low == 0.0) != layout.mirrored else "the other edge"
        yield Meeting(
            name=f"mitred shoulder at {at_edge}",
            kind="mitre",
            at=(low, 0.0, layout.rebate),
            normal=mitre_of(layout).outward,
            gap=0.0,
            area=(high - low) * long,
            size=(high - low, long),
            low=low,
            high=high,
        )
        x, inward = (high, 1.0) if low == 0.0 else (low, -1.0)
        yield Meeting(
            name=f"cheek of the half pin at {at_edge}",
            kind="cheek",
            at=(x, 0.0, layout.rebate),
            normal=(inward, 0.0, 0.0),
            gap=0.0,
            area=area_of(cheek(layout)),
            size=(layout.depth, layout.tail_thickness),
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
