"""The boards of a box again, half a board at a time: plane polygons (shapely) at a height over the inside face,
integrated by Gauss; and sections of the solids themselves, cut by Manifold. Nothing here reads the layout's volumes."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from solids.layout import Layout, State
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout
from solids.model import manifold
from solids.model.kernel import Mesh
from solids.recipe.tables.box_resolved import Side
from tests import sections
from tests.sections import depth_at, integral, neck, trapezium

Span = tuple[float, float]


def board_volume(found: BoxLayout, side: Side, *, finished: bool) -> float:
    """Of a board, from the recipe's own numbers (mm3)."""
    board = found.boards[side]
    return sum(_half(found, board, corner, finished=finished) for corner in (board.up, board.down))


def _half(found: BoxLayout, board: BoxBoard, corner: BoxCorner, *, finished: bool) -> float:
    recipe, layout = found.recipe, corner.layout
    state = layout.as_finished if finished else layout.as_cut
    half = recipe.inside[0 if board.side in ("front", "back") else 1] / 2
    at_back = recipe.back_above_bottom and "back" in corner.name
    strip = recipe.groove.up + recipe.groove.width if at_back and board.side != "back" else 0.0
    low = recipe.groove.up + recipe.groove.width if at_back else 0.0
    grooved = recipe.groove.width > 0 and not (board.side == "back" and recipe.back_above_bottom)
    across = (recipe.groove.up - low, recipe.groove.up + recipe.groove.width - low)
    if board.kind == "pin board":
        return _pin_half(layout, state, half, across, recipe.groove.depth if grooved else 0.0)
    laps = recipe.groove.ends == "hidden" and corner.layout.recipe.kind == "half-blind"
    open_end = at_back or laps or recipe.groove.ends in ("through", "plugged")
    reach = state.tail_end if open_end else recipe.groove.depth
    return _tail_half(layout, state, (half, strip), (across, reach), recipe.groove.depth if grooved else 0.0)


def _tail_half(layout: Layout, state: State, sizes: Span, groove: tuple[Span, float], deep: float) -> float:
    """Slices parallel to the faces, Z from 0 at the inside."""
    r, (half, strip), (across, reach) = layout.recipe, sizes, groove
    width, thick, end, c = r.width, r.tail_board.thickness, state.tail_end, state.chamfer
    land, chamfer = (r.undercut.land if r.undercut.depth else 0.0), r.entry_chamfer.width

    def area(z: float) -> float:
        shape = box(-strip, -half, width, 0)
        if strip:
            shape |= box(-strip, 0, 0, end)
        shape |= shapely.union_all([_tail(layout, tail, z, state) for tail in layout.tails])
        if r.undercut.depth and land < z < thick - land:
            hollow = depth_at(z, r.undercut.depth, land, thick)
            edges = [0.0, *(x for tail in layout.tails for x in neck(layout, tail)), width]
            spans = sections.pairs(edges)
            for number, (x0, x1) in enumerate(spans):
                first, last = number == 0, number == len(spans) - 1
                shape -= box(x0 + land * first, -hollow, x1 - land * last, 0)
        if z < deep:
            shape -= box(across[0], -half, across[1], reach)
        return float(shape.area)

    kinks = {0.0, state.show_z, deep, chamfer, land, thick / 2, thick - land, c, state.show_z - c}
    return integral(area, *sorted(z for z in kinks if 0 <= z <= state.show_z))


def _tail(layout: Layout, tail: object, z: float, state: State) -> shapely.Geometry:
    r, c, end = layout.recipe, state.chamfer, state.tail_end
    taken = max(r.entry_chamfer.width - z, 0.0)
    reach = r.pin_board.thickness - r.lap - r.entry_chamfer.back if taken else 0.0
    foot = end - c
    parts = [trapezium(layout, tail, reach, foot)]  # type: ignore[arg-type]
    if taken:
        parts.append(trapezium(layout, tail, 0, reach, taken))  # type: ignore[arg-type]
    if c:
        tip = min(c, z, state.show_z - z)
        (x0, x1), (x2, x3) = (_edges(layout, tail, y) for y in (foot, end))
        left, right = x0 + (x2 + c - x0) * tip / c, x1 + (x3 - c - x1) * tip / c
        parts.append(Polygon([(x0, foot), (x1, foot), (right, foot + tip), (left, foot + tip)]))
    return shapely.union_all(parts)


def _edges(layout: Layout, tail: object, y: float) -> Span:
    inward = (layout.recipe.pin_board.thickness - layout.recipe.lap - y) / layout.recipe.slope_ratio
    return tail.left + inward, tail.right - inward  # type: ignore[attr-defined]


def _pin_half(layout: Layout, state: State, half: float, across: Span, deep: float) -> float:
    """Slices parallel to the faces, Y from 0 at the inside."""
    r = layout.recipe
    depth, c, back = r.pin_board.thickness - r.lap, state.chamfer, state.show_y
    s = math.hypot(1, 1 / r.slope_ratio)
    land = r.undercut.land if r.undercut.depth else 0.0

    def area(y: float) -> float:
        if y > depth:
            return (half + state.pin_end) * r.width
        shape = box(0, -half, r.width, 0)
        spans = [_edges(layout, tail, y) for tail in layout.tails]
        sockets = [(x0 - r.flank_gap * s, x1 + r.flank_gap * s) for x0, x1 in spans]
        edges = [0.0, *(x for span in sockets for x in span), r.width]
        pins = sections.pairs(edges)
        for number, (x0, x1) in enumerate(pins):
            first, last = number == 0, number == len(pins) - 1
            tip = min(c, y, back - y) if c else 0.0
            foot, a, b = state.pin_end - c, tip * (1 if first else s), tip * (1 if last else s)
            shape |= Polygon([(x0, 0), (x1, 0), (x1, foot), (x1 - b, foot + tip), (x0 + a, foot + tip), (x0, foot)])
        hollow = 0.0
        if r.undercut.depth and r.kind == "half-blind":
            hollow = r.undercut.depth * max(y - land, 0.0) / (depth - land)
        elif r.undercut.depth:
            hollow = depth_at(y, r.undercut.depth, land, depth)
        if hollow:
            for x0, x1 in sockets:
                shape -= box(x0, -hollow, x1, 0)
        if y < deep:
            shape -= box(across[0], -half, across[1], 0)
        return float(shape.area)

    kinks = {0.0, back, deep, land, depth / 2, depth - land, depth, c, back - c}
    return integral(area, *sorted(y for y in kinks if 0 <= y <= back))


# --- sections of the solids ------------------------------------------------------------------------

TURNS = {
    "x": ((0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (1.0, 0.0, 0.0, 0.0)),
    "y": ((-1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0), (0.0, 1.0, 0.0, 0.0)),
    "z": ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0)),
}
"""Turns that make an axis point up; what was upright is then the second of the two that stay, but for Z itself. Looking
along Y, the first is -X."""


def section(found: Mesh, axis: str, at: float) -> shapely.Geometry:
    """What a plane across an axis cuts out of a solid."""
    body = manifold.placed(manifold.body_of(found.points, found.triangles), TURNS[axis])
    loops = [np.asarray(loop) for loop in body.slice(at).to_polygons()]
    shapes = [(Polygon(loop), shapely.LinearRing(loop).is_ccw) for loop in loops if len(loop) > 2]
    outer = shapely.union_all([shape for shape, ccw in shapes if ccw])
    return outer - shapely.union_all([shape for shape, ccw in shapes if not ccw])


def heights(shape: shapely.Geometry, at: float) -> list[Span]:
    """From where to where a section is wood on an upright line."""
    _, low, _, high = shape.bounds
    line = shapely.LineString([(at, low - 1), (at, high + 1)]) & shape
    parts: Iterable[shapely.Geometry] = getattr(line, "geoms", [line])
    return sorted((part.bounds[1], part.bounds[3]) for part in parts if part.length > 1e-6)
