"""A joint's shapes again, slice by slice: plane polygons (shapely) at a height Z, integrated by Gauss."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import Polygon

from solids.layout import Layout, Tail


def integral(of: Callable[[float], float], *kinks: float) -> float:
    """From the first to the last of `kinks`, smooth between them; five points each, exact to the ninth power."""
    points, weights = np.polynomial.legendre.leggauss(5)
    return sum(
        w * of(low + (x + 1) * (high - low) / 2) * (high - low) / 2
        for low, high in pairwise(sorted(kinks))
        for x, w in zip(points, weights, strict=True)
    )


def line(layout: Layout, tail: Tail, side: int, y: float, inward: float = 0.0) -> float:
    """The X of a side of a tail, left (-1) or right (1), moved inward by a distance normal to it. The flush side of a
    half tail lies in the edge, and stays."""
    flank = next((each for each in tail.flanks if each.side == side), None)
    if flank is None:
        return 0.0 if side < 0 else layout.recipe.width
    d = layout.recipe.pin_board.thickness - layout.recipe.lap
    return flank.face - side * ((d - y) / flank.ratio + inward * math.hypot(1, 1 / flank.ratio))


def trapezium(layout: Layout, tail: Tail, low: float, high: float, inward: float = 0.0) -> Polygon:
    """A tail between two planes of Y, each flank moved inward by a distance normal to it."""
    left = [(line(layout, tail, -1, y, inward), y) for y in (low, high)]
    right = [(line(layout, tail, 1, y, inward), y) for y in (high, low)]
    return Polygon(left + right)


def tails_at(layout: Layout, z: float, end: float) -> shapely.Geometry:
    """All tails at a height over their inside face, from the baseline to Y = end, less their entry chamfers."""
    chamfer = layout.recipe.entry_chamfer
    taken = max(chamfer.width - z, 0.0)
    reach = layout.depth - chamfer.back if taken else 0.0
    parts = []
    for tail in layout.tails:
        if taken:
            parts.append(trapezium(layout, tail, 0, reach, taken))
        parts.append(trapezium(layout, tail, reach, end))
    return shapely.union_all(parts)


def chamfers(layout: Layout) -> float:
    """What entry chamfers take from the tail board, by slices (mm3)."""
    c, d = layout.recipe.entry_chamfer.width, layout.depth
    whole = tails_at(layout, c, d).area
    return integral(lambda z: whole - tails_at(layout, z, d).area, 0.0, c)


def overlap(layout: Layout) -> float:
    """What the seated boards share as cut, by slices (mm3)."""
    r, d = layout.recipe, layout.depth
    t, c, tight = r.tail_board.thickness - r.rebate, r.entry_chamfer.width, max(-r.flank_gap, 0.0)
    sockets = shapely.union_all([trapezium(layout, tail, 0, d, -r.flank_gap) for tail in layout.tails])
    pins = shapely.box(0, 0, r.width, d).difference(sockets)
    kinks = {0.0, c, t} | ({c - tight} if tight < c else set())
    return integral(lambda z: tails_at(layout, z, d).intersection(pins).area, *kinks)


def depth_at(u: float, deep: float, land: float, end: float) -> float:
    """Of a hollow between two lands of a floor from 0 to `end`: two planes that meet at `deep` half-way."""
    return max(deep * (1 - abs(u - end / 2) / (end / 2 - land)), 0.0)


def edges(layout: Layout) -> tuple[float, float]:
    """Where the outer gaps begin and end: at the edges of the board, or at the mitred shoulders there."""
    low, high = layout.mitred
    return low, layout.recipe.width - high


def gaps(layout: Layout, y: float, inward: float = 0.0) -> list[tuple[float, float]]:
    """From where to where there is no tail at Y = y, with each flank moved inward. None beside a half tail's edge."""
    low, high = edges(layout)
    sides = [line(layout, tail, side, y, inward) for tail in layout.tails for side in (-1, 1)]
    return [(a, b) for a, b in pairs([low, *sides, high]) if (a, b) not in ((0.0, 0.0), (high, high))]


def tail_hollows(layout: Layout) -> float:
    """What hollows take from the tail board: depth along Z, over each socket's width less the land at an edge (mm3)."""
    r, at_edge = layout.recipe, edges(layout)
    deep, land, t = r.undercut.depth, r.undercut.land, r.tail_board.thickness - r.rebate
    if not deep:
        return 0.0
    widths = [b - a - land * ((a in at_edge) + (b in at_edge)) for a, b in gaps(layout, 0.0)]
    return sum(widths) * integral(lambda z: depth_at(z, deep, land, t), land, t / 2, t - land)


def pairs(edges: Sequence[float]) -> list[tuple[float, float]]:
    return list(zip(edges[::2], edges[1::2], strict=True))


def pin_hollows(layout: Layout) -> float:
    """What hollows take from the pin board: depth along Y times the socket's width there (mm3)."""
    r, d = layout.recipe, layout.depth
    deep, land = r.undercut.depth, r.undercut.land
    if not deep:
        return 0.0

    def width(y: float) -> float:
        return sum(b - a - land * (len(tail.flanks) < 2) for tail in layout.tails for a, b in [socket(layout, tail, y)])

    if r.kind == "half-blind":
        return integral(lambda y: width(y) * deep * (y - land) / (d - land), land, d)
    return integral(lambda y: width(y) * depth_at(y, deep, land, d), land, d / 2, d - land)


def socket(layout: Layout, tail: Tail, y: float) -> tuple[float, float]:
    """Both sides of the socket for a tail at Y = y."""
    gap = layout.recipe.flank_gap
    return line(layout, tail, -1, y, -gap), line(layout, tail, 1, y, -gap)
