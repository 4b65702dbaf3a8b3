"""Where the wood at the edge of a joint is a half pin's."""

from __future__ import annotations

from solids.layout import Layout


def half_pin_edges(layout: Layout) -> list[int]:
    """The edges, -1 at X = 0 and 1 at X = W, with a half pin and a square shoulder: no half tail lies there, and no
    mitred shoulder."""
    sides = ((-1, layout.tails[0], layout.mitred[0]), (1, layout.tails[-1], layout.mitred[1]))
    return [side for side, tail, mitre in sides if tail.flank(side) is not None and not mitre]
