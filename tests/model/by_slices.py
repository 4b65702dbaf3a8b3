"""The boards of a corner or a box again, half a board of a box at a time: plane polygons (shapely) at a height over the
inside face, integrated by Gauss; and sections of the solids themselves, cut by Manifold. Nothing here reads the
layout's volumes."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry import Polygon, box

from solids.layout import Layout, State, Tail
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout
from solids.model import manifold
from solids.model.kernel import Mesh
from solids.recipe.tables.box_resolved import Side
from tests import sections
from tests.sections import depth_at, integral, line, socket, trapezium

Span = tuple[float, float]


def corner_volumes(layout: Layout, state: State) -> tuple[float, float]:
    """Of the tail board and the pin board of a corner (mm3)."""
    none, recipe = ((0.0, 0.0), 0.0), layout.recipe
    return (
        _tail_half(layout, state, (recipe.tail_board.length, 0.0), none, 0.0),
        _pin_half(layout, state, recipe.pin_board.length, none[0], 0.0),
    )


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

    low, run = r.rebate, layout.as_cut.show_y - r.finish.planing
    rise = thick - r.finish.planing - low

    def area(z: float) -> float:
        shape = box(-strip, -half, width, 0)
        if strip:
            shape |= box(-strip, 0, 0, end)
        if z > low:
            shape |= shapely.union_all([_tail(layout, tail, z, state) for tail in layout.tails])
            for x0, x1 in _mitred(layout):
                shape |= box(x0, 0, x1, run * (z - low) / rise)
        if r.undercut.depth and low + land < z < thick - land:
            hollow, at_edge = depth_at(z - low, r.undercut.depth, land, thick - low), sections.edges(layout)
            for x0, x1 in sections.gaps(layout, 0.0):
                shape -= box(x0 + land * (x0 in at_edge), -hollow, x1 - land * (x1 in at_edge), 0)
        if z < deep:
            shape -= box(across[0], -half, across[1], reach)
        return float(shape.area)

    kinks = {0.0, state.show_z, deep, low, low + chamfer, low + land, (low + thick) / 2, thick - land}
    return integral(area, *sorted(z for z in {*kinks, low + c, state.show_z - c} if 0 <= z <= state.show_z))


def _mitred(layout: Layout) -> list[Span]:
    """The strips along the edges where the shoulder is mitred."""
    low, high = sections.edges(layout)
    return [span for span in ((0.0, low), (high, layout.recipe.width)) if span[1] > span[0]]


def _tail(layout: Layout, tail: Tail, z: float, state: State) -> shapely.Geometry:
    r, c, end = layout.recipe, state.chamfer, state.tail_end
    up = z - r.rebate
    taken = max(r.entry_chamfer.width - up, 0.0)
    reach = r.pin_board.thickness - r.lap - r.entry_chamfer.back if taken else 0.0
    foot = end - c
    parts = [trapezium(layout, tail, reach, foot)]
    if taken:
        parts.append(trapezium(layout, tail, 0, reach, taken))
    if c:
        tip = min(c, up, state.show_z - z)
        (x0, x1), (x2, x3) = ([line(layout, tail, side, y) for side in (-1, 1)] for y in (foot, end))
        left, right = x0 + (x2 + c - x0) * tip / c, x1 + (x3 - c - x1) * tip / c
        parts.append(Polygon([(x0, foot), (x1, foot), (right, foot + tip), (left, foot + tip)]))
    return shapely.union_all(parts)


def _pin_half(layout: Layout, state: State, half: float, across: Span, deep: float) -> float:
    """Slices parallel to the faces, Y from 0 at the inside."""
    r, floor = layout.recipe, layout.recipe.rebate
    depth, c, back = r.pin_board.thickness - r.lap, state.chamfer, state.show_y
    land = r.undercut.land if r.undercut.depth else 0.0
    run, rise = (thick - r.finish.planing for thick in (r.pin_board.thickness, r.tail_board.thickness - floor))

    def area(y: float) -> float:
        if y > depth:
            return (half + state.pin_end) * r.width
        shape, ends = box(0, -half, r.width, floor), sections.edges(layout)
        tip, foot = (min(c, y, back - y) if c else 0.0), state.pin_end - c
        pins, tips = (sections.gaps(layout, y, -r.flank_gap - inward) for inward in (0.0, tip))
        for (x0, x1), (x2, x3) in zip(pins, tips, strict=True):
            left, right = x2 + tip * (x2 in ends), x3 - tip * (x3 in ends)
            outline = [(x0, floor), (x1, floor), (x1, foot), (right, foot + tip), (left, foot + tip), (x0, foot)]
            shape |= Polygon(outline)
        for x0, x1 in _mitred(layout):
            shape |= box(x0, floor, x1, floor + rise * y / run)
        hollow = 0.0
        if r.undercut.depth and r.kind == "half-blind":
            hollow = r.undercut.depth * max(y - land, 0.0) / (depth - land)
        elif r.undercut.depth:
            hollow = depth_at(y, r.undercut.depth, land, depth)
        if hollow:
            for x0, x1 in (socket(layout, tail, y) for tail in layout.tails):
                shape -= box(x0 + land * (x0 == 0.0), floor - hollow, x1 - land * (x1 == r.width), floor)
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
