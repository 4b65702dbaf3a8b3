"""Where a comb for a guide bush is open and where it touches the pin board: pure arithmetic, in XY of the joint, mm.

A bush of diameter B guides a cutter of diameter D, so every side of an opening lies (B - D)/2 outside the line that the
cutter is to follow. Openings next to each other would merge where pins are narrow; so they are dealt out to several
combs, each with every k-th socket.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.geometry import PlanePoint
from solids.base.polygons import inset
from solids.bench.milling import RUN_OUT
from solids.layout import Layout, Tail
from solids.layout.joint.volumes import socket_area

WALL = 4.0
"""The thinnest wall between two openings: it must not give when the bush leans on it. Common practice."""

BUSH_OVER = 1.0
"""A bush must be wider than its cutter by more than this, or the cutter would cut it."""

LEAST_ROOM = 0.1
"""A cutter passes an opening that is wider than it by this; with less, its path would have no width."""

MARGIN_TO_OPENING = 0.6
"""What a lip stays away from an opening."""

LEAST_STOP = 1.5
"""A lip must touch the inside face over at least this length in X."""

LEAST_BEARING = 30.0
"""A comb must lie on the board's end over at least this area (mm2)."""

BEYOND = 6.0
"""How far the outer lips go past the edges of the board."""

FARTHEST_OUT = 10.0
"""How far an opening may reach past the reference edge; the lip there leans out by as much before it touches."""

BUSH_STEP = 0.5
"""The step in which bush diameters are tried."""


@dataclass(frozen=True)
class Router:
    """The guide bush and the cutter that runs in it."""

    bush: float
    cutter: float

    @property
    def offset(self) -> float:
        """How far an opening's sides lie outside the line of the cut."""
        return (self.bush - self.cutter) / 2


@dataclass(frozen=True)
class Comb:
    """One comb: its sockets' tails, the opening for each, and where its lips lie on the inside face, from X to X."""

    tails: tuple[Tail, ...]
    openings: tuple[tuple[PlanePoint, ...], ...]
    stops: tuple[PlanePoint, ...]
    bearing: float

    @property
    def span(self) -> tuple[float, float, float, float]:
        """Least and greatest X, least and greatest Y of all openings."""
        xs, ys = zip(*(point for opening in self.openings for point in opening), strict=True)
        return min(xs), max(xs), min(ys), max(ys)


def milled_tails(layout: Layout) -> tuple[Tail, ...]:
    """The tails whose sockets a comb is for. One that is open at an edge of the board takes two cuts with a saw, and a
    cutter would meet the lip there."""
    return tuple(tail for tail in layout.tails if not tail.is_half)


def past_face(layout: Layout, router: Router) -> float:
    """How far the flanks go on in a straight line past a face before the opening turns square to it: bush and cutter
    are round, and both round the turn off; so far out, they round it off in air."""
    steepest = max(abs(flank.slope_rad) for flank in layout.flanks)
    return max(router.offset, router.cutter / 2) * math.tan(steepest / 2) + 0.2


def narrowest(layout: Layout, router: Router) -> float:
    """The narrowest place that the cutter must pass: just outside the inside face, or at the other end where flanks run
    outward."""
    e = past_face(layout, router)
    ys = (-e, layout.depth if layout.is_half_blind else layout.depth + e)
    return min(
        right - left for y in ys for left, right in (layout.socket_edges(tail, y) for tail in milled_tails(layout))
    )


def passes(layout: Layout, router: Router) -> bool:
    """Whether the cutter passes every socket."""
    return router.cutter + LEAST_ROOM <= narrowest(layout, router) + tol.ROUNDING


def cut_outline(layout: Layout, router: Router, tail: Tail) -> tuple[PlanePoint, ...]:
    """What the cutter is to clear for one socket, counter-clockwise, so far past the faces that the whole cutter leaves
    the wood; up to the lap where the joint is half-blind."""
    depth, e, far = layout.depth, past_face(layout, router), router.cutter + RUN_OUT
    foot = layout.socket_edges(tail, -e)
    entry = [(foot[0], -e), (foot[0], -far - e), (foot[1], -far - e), (foot[1], -e)]
    if layout.is_half_blind:
        left, right = layout.socket_edges(tail, depth)
        return (*entry, (right, depth), (left, depth))
    left, right = layout.socket_edges(tail, depth + e)
    out = depth + e
    return (*entry, (right, out), (right, out + far), (left, out + far), (left, out))


def plan_combs(layout: Layout, router: Router) -> tuple[Comb, ...]:
    """As few combs as leave walls between their openings; empty where one would not lie firmly on the board."""
    milled = milled_tails(layout)
    openings = [inset(cut_outline(layout, router, tail), -router.offset) for tail in milled]
    step = next(k for k in range(1, len(openings) + 1) if _apart(openings, k))
    combs = []
    for first in range(step):
        tails, chosen = milled[first::step], tuple(openings[first::step])
        stops = tuple(_stops(layout, router, tails))
        combs.append(Comb(tails, chosen, stops, _bearing(layout, router, tails)))
    return tuple(combs) if all(_is_firm(comb) for comb in combs) else ()


def _is_firm(comb: Comb) -> bool:
    """Whether it lies on the end and touches edge and inside face well enough."""
    return len(comb.stops) > 1 and comb.bearing >= LEAST_BEARING and comb.span[0] >= -FARTHEST_OUT


def _apart(openings: Sequence[Sequence[PlanePoint]], step: int) -> bool:
    """Whether there is a wall between each opening and the one `step` further."""
    pairs = zip(openings, openings[step:], strict=False)
    return all(min(x for x, _ in right) - max(x for x, _ in left) >= WALL for left, right in pairs)


def _stops(layout: Layout, router: Router, tails: Sequence[Tail]) -> Iterator[PlanePoint]:
    """The walls between openings at the inside face, and those outside; only those that touch the board there."""
    ys = (0.0, -past_face(layout, router))
    edges = [-BEYOND]
    for tail in tails:
        for flank in tail.flanks:
            far = max(flank.side * layout.socket_x(flank, y) for y in ys)
            edges.append(flank.side * (far + (router.offset * flank.stretch + MARGIN_TO_OPENING)))
    edges.append(layout.width + BEYOND)
    for low, high in zip(edges[::2], edges[1::2], strict=True):
        if touching(layout, (low, high)) >= LEAST_STOP:
            yield low, high


def touching(layout: Layout, stop: PlanePoint) -> float:
    """How much of a lip lies on the board."""
    return min(stop[1], layout.width) - max(stop[0], 0.0)


def _bearing(layout: Layout, router: Router, tails: Sequence[Tail]) -> float:
    """What is left of the board's end beside the openings (mm2), at least."""
    r, thickness = router.offset, layout.recipe.pin_board.thickness
    left = layout.width * thickness
    for tail in tails:
        sides = r * sum(flank.stretch for flank in tail.flanks)
        left -= socket_area(layout, tail, layout.depth) + layout.depth * sides
        near, far = layout.socket_edges(tail, layout.depth)
        wider = r * sum(max(flank.lean, 0.0) for flank in tail.flanks)
        left -= min(r, thickness - layout.depth) * (far - near + sides + wider)
    return left


def nearest_bush(layout: Layout, router: Router) -> float | None:
    """The widest bush under the given one whose combs lie firmly; None where there is none."""
    bush = math.ceil(router.bush / BUSH_STEP - 1) * BUSH_STEP
    while bush > router.cutter + BUSH_OVER:
        if plan_combs(layout, Router(bush, router.cutter)):
            return bush
        bush -= BUSH_STEP
    return None
