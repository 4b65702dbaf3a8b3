"""Bars with pads, seen from above: where one that is too long for the bed is divided, the keys that hold its parts
together. Pure arithmetic. Lengths in mm.

A plan lies as the printer sees it: U along the bar, V across it from 0 to its depth. A key is a tongue in the shape of
a T at the right end of a part, and a socket at the left end of the next, both as high as the bar. A T locks after one
clearance; a tongue with sloping sides of 1:4 would slip by four.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from solids.base.geometry import PlanePoint, Polygon
from solids.base.polygons import area_of, sides
from solids.recipe.tables.resolved import Printing

RIM = 0.4
"""How far a pad stays inside the bar that carries it: one usual nozzle, so that no two walls fall into one."""

LEAST_PIECE = 4.0
"""A pad that a seam would leave narrower than this is left out: it could break off. Common practice."""

LEAST_PART = 25.0
"""No bar and no part of one is shorter: it could not be held. Common practice."""

STEP = 5.0
"""The step in which places for a seam are tried where it must go through a pad."""

UNEVEN = 0.05
"""The cost of a seam off the even division, in mm2 of lost pad for each mm2 of error: 20 mm off costs 20 mm2."""

CORNER = 1.0
"""How much the corners of a bar are cut off, to spare the hands."""


@dataclass(frozen=True)
class TKey:
    """The T: half the width of neck and head, how long each is, the clearance on each side, and the wall that must stay
    beside the socket."""

    neck: float
    head: float
    neck_length: float
    head_length: float
    clearance: float
    wall: float

    @property
    def length(self) -> float:
        """How far the tongue reaches past its part."""
        return self.neck_length + self.head_length

    @property
    def zone(self) -> tuple[float, float]:
        """What stays free of pads, from and to, measured from the seam."""
        return -RIM, self.length + self.clearance + RIM

    @property
    def least_depth(self) -> float:
        """How deep a bar must be to hold the socket."""
        return 2 * (self.head + self.clearance + self.wall)

    @property
    def shoulder(self) -> float:
        """How much of the T hooks behind the socket's cheeks, both sides together."""
        return 2 * (self.head - self.neck - self.clearance)


def key_for(printing: Printing) -> TKey:
    """The smallest key whose every wall prints: 3 mm of neck in a head of 7 mm with a usual nozzle."""
    wall, gap = max(2.0, 2 * printing.nozzle), printing.clearance
    neck = max(1.5, printing.nozzle)
    return TKey(neck, neck + max(2.0, gap + 1.0), wall + 2 * gap, max(2.5, wall), gap, wall)


@dataclass(frozen=True)
class BarPart:
    """One length of a bar: its outline and pads, counter-clockwise, and the seam at either end, if any."""

    outline: Polygon
    pads: tuple[Polygon, ...]
    left_seam: float | None
    right_seam: float | None


def part_span(part: BarPart) -> PlanePoint:
    """From U to U, tongue and all."""
    return min(u for u, _ in part.outline), max(u for u, _ in part.outline)


def shifted(outline: Polygon, by: float) -> Polygon:
    """The outline, moved along U."""
    return [(u + by, v) for u, v in outline]


# --- pads ----------------------------------------------------------------------------------------------


def inner_span(pad: Sequence[PlanePoint]) -> tuple[float, float]:
    """From U to U of the widest upright rectangle that reaches from the near side of a pad to its far side. Pads have
    straight sides, so only their corners count; the first is greater where there is none."""
    low, high = min(v for _, v in pad), max(v for _, v in pad)
    rows = [[u for u, v in pad if abs(v - side) < 1e-9] for side in (low, high)]
    return max(min(row) for row in rows), min(max(row) for row in rows)


def clipped(pad: Polygon, at: float, *, keep_left: bool) -> Polygon:
    """What of a convex pad lies on one side of the line U = at."""
    sign = 1.0 if keep_left else -1.0
    kept: Polygon = []
    for a, b in sides(pad):
        from_line, to_line = sign * (at - a[0]), sign * (at - b[0])
        if from_line >= 0:
            kept.append(a)
        if from_line * to_line < 0:
            share = from_line / (from_line - to_line)
            kept.append((at, a[1] + share * (b[1] - a[1])))
    return kept


def beside_seam(pad: Polygon, seam: float, key: TKey) -> list[Polygon]:
    """What a seam leaves of a pad: all of it where the key lies elsewhere, else the pieces worth printing."""
    low, high = seam + key.zone[0], seam + key.zone[1]
    if max(u for u, _ in pad) <= low or min(u for u, _ in pad) >= high:
        return [pad]
    pieces = [clipped(pad, low, keep_left=True), clipped(pad, high, keep_left=False)]
    return [piece for piece in pieces if piece and _is_whole(piece, pad)]


def _is_whole(piece: Polygon, pad: Polygon) -> bool:
    """Whether a piece still reaches across the pad and is wide enough."""
    sides = {min(v for _, v in pad), max(v for _, v in pad)}
    left, right = inner_span(piece)
    return sides <= {v for _, v in piece} and right - left >= LEAST_PIECE


# --- seams ---------------------------------------------------------------------------------------------


def seams_for(span: PlanePoint, pads: Sequence[Polygon], longest: float, key: TKey) -> tuple[float, ...] | None:
    """Where a bar from U to U is divided into as few lengths as the bed allows, at the least loss of pads and as evenly
    as that permits. None where no division works."""
    start, end = span
    if end - start <= longest:
        return ()
    ideal = (end - start) / math.ceil((end - start) / longest)
    places = sorted(set(_places(span, pads, key)))
    # The cheapest way to each place: parts so far, cost, and the seams on the way.
    ways: list[tuple[float, tuple[int, float], tuple[float, ...]]] = [(start - key.clearance, (0, 0.0), ())]
    best: tuple[tuple[int, float], tuple[float, ...]] | None = None
    for place in [*places, None]:
        reach = end if place is None else place + key.length
        found = []
        for seam, (parts, cost), way in ways:
            length = reach - seam - key.clearance
            if LEAST_PART <= length <= longest:
                found.append(((parts + 1, cost + UNEVEN * (length - ideal) ** 2), way))
        if not found:
            continue
        (parts, cost), way = min(found)
        if place is None:
            best = (parts, cost), way
        else:
            ways.append((place, (parts, cost + _loss(pads, place, key)), (*way, place)))
            ways = [item for item in ways if place - item[0] <= longest]
    return None if best is None else best[1]


def _places(span: PlanePoint, pads: Sequence[Polygon], key: TKey) -> Iterator[float]:
    """Places for a seam: the middle of each gap between pads and its two sides, and steps along the whole bar."""
    low, high = key.zone
    inside = span[0] + LEAST_PART, span[1] - LEAST_PART
    ordered = sorted(pads, key=lambda pad: min(u for u, _ in pad))
    for left, right in pairwise(ordered):
        near, far = max(u for u, _ in left), min(u for u, _ in right)
        if far - near >= high - low:
            yield (near + far - low - high) / 2
        else:
            yield near - low
            yield far - high
    for number in range(1 + int((inside[1] - inside[0]) / STEP)):
        yield inside[0] + number * STEP


def _loss(pads: Sequence[Polygon], seam: float, key: TKey) -> float:
    """What a seam takes of the pads (mm2)."""
    return sum(area_of(pad) - sum(area_of(piece) for piece in beside_seam(pad, seam, key)) for pad in pads)


def parts_of(
    span: PlanePoint, depth: float, pads: Iterable[Polygon], seams: Sequence[float], key: TKey
) -> list[BarPart]:
    """The lengths of a bar, from the left."""
    pieces = list(pads)
    for seam in seams:
        pieces = [piece for pad in pieces for piece in beside_seam(pad, seam, key)]
    ends = [None, *seams, None]
    parts = []
    for left, right in pairwise(ends):
        low = span[0] if left is None else left
        high = span[1] if right is None else right
        outline = _left_end(low, depth, None if left is None else key) + _right_end(
            high, depth, None if right is None else key
        )
        inside = tuple(pad for pad in pieces if low < pad[0][0] < high)
        parts.append(BarPart(outline, inside, left, right))
    return parts


def _left_end(u: float, depth: float, key: TKey | None) -> Polygon:
    """Down the left end: plain with cut corners, or with the socket for a tongue whose seam lies at `u`."""
    if key is None:
        return [(u + CORNER, depth), (u, depth - CORNER), (u, CORNER), (u + CORNER, 0.0)]
    gap = key.clearance
    path = [(u + gap, depth / 2), (u + gap, key.neck + gap), (u + key.neck_length - gap, key.neck + gap)]
    path += [(u + key.neck_length - gap, key.head + gap), (u + key.length + gap, key.head + gap)]
    upper = [(x, depth / 2 + v) for x, v in path]
    return upper + [(x, depth - v) for x, v in reversed(upper)]


def _right_end(u: float, depth: float, key: TKey | None) -> Polygon:
    """Up the right end: plain with cut corners, or with the tongue at the seam `u`."""
    if key is None:
        return [(u - CORNER, 0.0), (u, CORNER), (u, depth - CORNER), (u - CORNER, depth)]
    path = [(u, depth / 2), (u, key.neck), (u + key.neck_length, key.neck)]
    path += [(u + key.neck_length, key.head), (u + key.length, key.head)]
    lower = [(x, depth / 2 - v) for x, v in path]
    return lower + [(x, depth - v) for x, v in reversed(lower)]
