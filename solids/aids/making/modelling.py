"""What aids are made with: motions between bed and joint, boards to try them on, boxes, eased edges. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from solids.base.geometry import PlanePoint, Point
from solids.base.polygons import area_of
from solids.layout import Layout
from solids.model.kernel import Face, Mesh, Solid, facets_of, mesh
from solids.model.kernel.shaping import chamfer, cut, prism

FOOT = 0.4
"""Chamfer round the first layer, against elephant's foot. Common practice: about two layers."""


def block(low: Point, high: Point) -> Solid:
    """A box between two corners."""
    outline = [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])]
    return prism(outline, low[2], high[2])


def extrude(outline: Sequence[PlanePoint], low: float, high: float) -> Solid:
    """A prism over an outline in XY, whichever way round the outline runs."""
    return prism(outline if area_of(outline) > 0 else list(reversed(outline)), low, high)


def foot_chamfered(body: Solid) -> Solid:
    """The body with a chamfer on all edges that lie on the bed."""
    return chamfer(body, FOOT, lambda a, b: abs(a[2]) < 1e-6 and abs(b[2]) < 1e-6)


@lru_cache(maxsize=128)
def surface_of(body: Solid) -> Mesh:
    """The triangles of a body, which its proof, its files and its place on a plate all need."""
    return mesh(body)


@lru_cache(maxsize=128)
def faces_in(body: Solid) -> list[Face]:
    """The faces of a body as loops of points, round ones as triangles, which its proof asks for again and again."""
    return facets_of(body)


@lru_cache(maxsize=8)
def tail_blank(layout: Layout) -> Solid:
    """The tail board before a line is cut, seated, with what runs on beside the joint. A rebate is there already: it is
    cut before the tails are laid out."""
    board, (below, above) = layout.recipe.tail_board, layout.strips
    left, right, end = 0.0 - below, layout.width + above, layout.as_cut.tail_end
    body = block((left, -board.length, 0.0), (right, end, board.thickness))
    if not layout.rebate:
        return body
    return cut(body, [block((left - 1.0, 0.0, -1.0), (right + 1.0, end + 1.0, layout.rebate))])


@lru_cache(maxsize=8)
def pin_blank(layout: Layout) -> Solid:
    """The pin board before a line is cut, seated."""
    board = layout.recipe.pin_board
    return block((0.0, 0.0, -board.length), (layout.width, board.thickness, layout.as_cut.pin_end))
