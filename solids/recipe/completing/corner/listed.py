"""Tails that the maker gives flank by flank, as measured on a board or drawn by hand. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.recipe.tables.listed_fields import GivenFlank
from solids.recipe.tables.resolved import EdgeName

Edges = tuple[EdgeName, EdgeName]


@dataclass(frozen=True)
class GivenTails:
    """Tails from the reference edge: the X of both sides at the finished face, N of both slopes, which is not looked at
    where a side is flush, and what stands at both edges."""

    faces: tuple[tuple[float, float], ...]
    ratios: tuple[float, ...]
    edges: Edges


def edges_of(flanks: Sequence[GivenFlank], width: float, asked: Edges | None) -> Edges:
    """What stands at both edges: what the maker says, or a half tail where a flank is given at the edge itself."""
    if asked is not None:
        return asked
    first, last = flanks[0], flanks[-1]
    return _at(first, 0.0), _at(last, width)


def _at(flank: GivenFlank, edge: float) -> EdgeName:
    return "half tail" if _is_flush(flank, edge) else "half pin"


def _is_flush(flank: GivenFlank, edge: float) -> bool:
    return all(place is None or abs(place - edge) <= tol.SUM_SLACK for place in flank)


def takes_slope(flanks: Sequence[GivenFlank], width: float) -> bool:
    """Whether any flank has the joint's slope: one that is given by its place at the finished face alone, and is not
    the flush side of a half tail."""
    return any(flank[1] is None and not (_is_flush(flank, 0.0) or _is_flush(flank, width)) for flank in flanks)


def with_flush(flanks: Sequence[GivenFlank], width: float, edges: Edges) -> list[GivenFlank]:
    """The flanks with both sides of every tail: a half tail's flush side is put in where it was left out."""
    whole = list(flanks)
    if edges[0] == "half tail" and not _is_flush(whole[0], 0.0):
        whole.insert(0, (0.0, 0.0))
    if edges[1] == "half tail" and not _is_flush(whole[-1], width):
        whole.append((width, width))
    return whole


def tails_of(flanks: Sequence[GivenFlank], slopes: Sequence[float], depth: float, edges: Edges) -> GivenTails:
    """The tails of an even number of flanks, at a joint so deep; a flank without a place at the baseline has its slope
    of `slopes`."""
    ratios = (
        _ratio(flank, slope, depth, left=i % 2 == 0)
        for i, (flank, slope) in enumerate(zip(flanks, slopes, strict=True))
    )
    faces = [face for face, _ in flanks]
    return GivenTails(tuple(zip(faces[::2], faces[1::2], strict=True)), tuple(ratios), edges)


def _ratio(flank: GivenFlank, slope: float, depth: float, *, left: bool) -> float:
    """N of a flank's slope: it runs into its tail by 1 in N mm, outward where N is negative, and not at all where N is
    infinite."""
    face, foot = flank
    if foot is None:
        return slope
    inward = foot - face if left else face - foot
    return depth / inward if inward else math.inf
