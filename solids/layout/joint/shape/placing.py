"""Where a recipe puts its tails: from widths, pins and slopes, or from flanks given one by one. Lengths in mm."""

from __future__ import annotations

from solids.base.geometry import Span
from solids.base.messages import counted
from solids.layout.joint.shape.flanks import Flank, Tail
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.resolved import Recipe


def tails_in_words(count: int) -> str:
    """ "1 tail", "4 tails"."""
    return counted(count, "tail")


def place(recipe: Recipe, *, mirrored: bool = False) -> Layout:
    """The layout of a recipe. Does not check that it can be cut. Tails are numbered from the reference edge."""
    spans, ratios = _spans(recipe, mirrored=mirrored), _ratios(recipe, mirrored=mirrored)
    if None in (ratios[0][0], ratios[-1][1]):
        # A half tail is flush with the edge of the board, to the last digit.
        spans[0] = (spans[0][0] if ratios[0][0] else 0.0, spans[0][1])
        spans[-1] = (spans[-1][0], spans[-1][1] if ratios[-1][1] else recipe.width)
    numbers = range(1, len(spans) + 1)
    tails = map(_tail, numbers[:: -1 if mirrored else 1], spans, ratios, [recipe.depth] * len(spans))
    return Layout(recipe, tuple(tails), mirrored)


def _tail(number: int, span: Span, ratios: Ratios, depth: float) -> Tail:
    by_side = zip((-1, 1), span, ratios, strict=True)
    flanks = (Flank(number, side, x, ratio, depth) for side, x, ratio in by_side if ratio is not None)
    return Tail(number, *span, tuple(flanks))


def _spans(recipe: Recipe, *, mirrored: bool) -> list[Span]:
    """The edges of the tails at the finished face, in order of X."""
    turn = -1 if mirrored else 1
    if faces := recipe.listed.faces:
        return (
            [(recipe.width - right, recipe.width - left) for left, right in reversed(faces)] if mirrored else [*faces]
        )
    unit = recipe.tail_room / sum(recipe.tail_shares)
    left = recipe.mitre[::turn][0] + recipe.half_pins[::turn][0]
    spans = []
    for share, pin in zip(recipe.tail_shares[::turn], (*recipe.pins[::turn], 0.0), strict=True):
        spans.append((left, left + share * unit))
        left = spans[-1][1] + pin
    return spans


Ratios = tuple[float | None, float | None]
"""N of the slopes of both sides of a tail in order of X; None for a side that is flush with the edge."""


def _ratios(recipe: Recipe, *, mirrored: bool) -> list[Ratios]:
    """Those of all tails in order of X."""
    tails = len(recipe.listed.faces or recipe.tail_shares)
    ratios: list[float | None] = [*(recipe.listed.ratios or (recipe.slope_ratio,) * (2 * tails))]
    for end, edge in zip((0, -1), recipe.listed.edges, strict=True):
        if edge == "half tail":
            ratios[end] = None
    if mirrored:
        ratios.reverse()
    return list(zip(ratios[::2], ratios[1::2], strict=True))
