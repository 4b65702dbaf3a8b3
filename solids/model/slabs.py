"""Cuts a plane-faced solid into slabs across X, in plain arithmetic on its loops of points.

Why: a boolean of two whole boards takes fourteen times as long at 100 tails as at 20, and cutting the boards with the
kernel's own booleans takes longer still. Two boards cut at the same planes overlap by the sum of their slabs' overlaps,
and the slabs' volumes must sum to the board's, which shows that nothing was lost.

Faces are loops of points (see `base/polygons.py`).
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterable, Sequence

from solids.base.geometry import Point
from solids.base.polygons import Face, Loop

CLEAR_OF_VERTICES = 1e-4
"""A cut keeps this far from every vertex (mm), so that no sliver arises and no point lies on the plane."""


class NotSimpleError(Exception):
    """A cut would leave a section or a face in several nested parts; the caller takes the board whole."""


def usable_cuts(faces: Iterable[Face], cuts: Iterable[float]) -> list[float]:
    """Those of the planes X = c that keep clear of every vertex, in order."""
    xs = sorted({point[0] for face in faces for loop in face for point in loop})
    return [c for c in sorted(cuts) if all(abs(x - c) > CLEAR_OF_VERTICES for x in _around(xs, c))]


def _around(xs: list[float], c: float) -> list[float]:
    i = bisect(xs, c)
    return xs[max(i - 1, 0) : i + 1]


def slabs(faces: list[Face], cuts: Sequence[float]) -> list[list[Face]]:
    """The closed pieces of a solid between the planes X = c, in order of X: one more than there are cuts.

    Raises NotSimpleError where a section is not one plain loop.
    """
    if not cuts:
        return [faces]
    middle = len(cuts) // 2
    low, high = _split(faces, cuts[middle])
    return slabs(low, cuts[:middle]) + slabs(high, cuts[middle + 1 :])


def _split(faces: list[Face], c: float) -> tuple[list[Face], list[Face]]:
    low: list[Face] = []
    high: list[Face] = []
    low_cap: dict[Point, Point] = {}
    high_cap: dict[Point, Point] = {}
    for face in faces:
        xs = [point[0] for point in face[0]]
        if max(xs) < c:
            low.append(face)
        elif min(xs) > c:
            high.append(face)
        else:
            low += _clip(face, c, -1.0, low_cap)
            high += _clip(face, c, 1.0, high_cap)
    return low + _cap(low_cap), high + _cap(high_cap)


def _clip(face: Face, c: float, side: float, cap: dict[Point, Point]) -> list[Face]:
    """What is left of a face on one side of X = c. Its new edges are added to `cap`, turned round."""
    whole: list[Loop] = []
    chains: dict[Point, list[Point]] = {}
    for loop in face:
        inside = [side * (point[0] - c) > 0 for point in loop]
        if all(inside):
            whole.append(loop)
        elif any(inside):
            chains.update(_chains(loop, inside, c))
    partner = _partners(chains)
    outers: list[Loop] = []
    while chains:
        start, chain = chains.popitem()
        points = chain
        while partner[points[-1]] != start:
            cap[partner[points[-1]]] = points[-1]
            points = points + chains.pop(partner[points[-1]])
        cap[start] = points[-1]
        outers.append(points)
    if not outers:
        return [whole] if whole else []
    if whole and len(outers) > 1:
        raise NotSimpleError
    return [[outers[0], *whole], *([outer] for outer in outers[1:])]


def _chains(loop: Loop, inside: list[bool], c: float) -> dict[Point, list[Point]]:
    """The runs of a loop on the kept side, each from its entering to its leaving point, keyed by the former."""
    n = len(loop)
    first = next(i for i in range(n) if not inside[i - 1] and inside[i])
    chains: dict[Point, list[Point]] = {}
    chain: list[Point] = []
    for step in range(n):
        i = (first + step) % n
        if inside[i]:
            if not inside[i - 1]:
                chain = [_crossing(loop[i - 1], loop[i], c)]
                chains[chain[0]] = chain
            chain.append(loop[i])
        elif inside[i - 1]:
            chain.append(_crossing(loop[i - 1], loop[i], c))
    return chains


def _crossing(a: Point, b: Point, c: float) -> Point:
    """Where an edge meets X = c; the same to the bit from either end, so that both its faces share the point."""
    (ax, ay, az), (bx, by, bz) = sorted((a, b))
    t = (c - ax) / (bx - ax)
    return c, ay + t * (by - ay), az + t * (bz - az)


def _partners(chains: dict[Point, list[Point]]) -> dict[Point, Point]:
    """For each leaving point the entering point that follows it along the cut.

    All of them lie on one line, the cut through a plane face, and wood lies between the first and second, third and
    fourth, and so on.
    """
    enters = set(chains)
    line = sorted([*chains, *(chain[-1] for chain in chains.values())])
    partner: dict[Point, Point] = {}
    for p, q in zip(line[::2], line[1::2], strict=True):
        if (p in enters) == (q in enters):
            raise NotSimpleError
        partner[q if p in enters else p] = p if p in enters else q
    return partner


def _cap(edges: dict[Point, Point]) -> list[Face]:
    """The face that closes a cut, from the edges round it."""
    if not edges:
        return []
    start = next(iter(edges))
    loop = [start]
    while (following := edges.get(loop[-1])) != start:
        if following is None or len(loop) > len(edges):
            raise NotSimpleError
        loop.append(following)
    if len(loop) != len(edges):
        raise NotSimpleError
    return [[loop]]
