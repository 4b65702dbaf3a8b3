"""A board that a lid is sawn off, as solids: the finished board, less what is above the cut or below it."""

from __future__ import annotations

from solids.base.geometry import Frame, Span
from solids.layout.box.fitted.bodies import AIR
from solids.model.kernel import Solid, bounds
from solids.model.kernel.shaping import cut, prism
from solids.recipe.tables.lid_resolved import Lid


def sawn_in_two(board: Solid, rows: Frame, lid: Lid, height: float) -> tuple[Solid, Solid]:
    """What is left of a board for the box, and for its lid, once the sawn edges are planed: in the board's own frame,
    from which `rows` lead into a box glued up so high."""
    below, above = ((0.0 - AIR, lid.high), (lid.low, height + AIR))
    return cut(board, [_between(board, rows, above)]), cut(board, [_between(board, rows, below)])


def _between(board: Solid, rows: Frame, heights: Span) -> Solid:
    """All of the wood between two heights of the box, and air round it, in the board's frame, whose X runs up."""
    (_, *least), (_, *most) = bounds(board)
    x0, x1 = (rows.inverse().apply((0.0, 0.0, height))[0] for height in heights)
    (y0, z0), (y1, z1) = (least[0] - AIR, least[1] - AIR), (most[0] + AIR, most[1] + AIR)
    return prism([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], z0, z1)
