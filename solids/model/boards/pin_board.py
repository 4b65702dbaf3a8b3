"""The faces of the pin board: its end in XY, with the sockets let in from above, through or as far as the lap."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base.geometry import PlanePoint, Point
from solids.layout import Layout, State, Tail
from solids.model.boards.shapes import frustum
from solids.model.kernel import Face

Stations = Sequence[PlanePoint]
"""The floor of a socket along Y: (y, z) from the inside face to its end."""


def pin_board_faces(layout: Layout, state: State) -> list[Face]:
    """All faces in the joint's frame, each outer loop counter-clockwise seen from outside."""
    foot, low = state.pin_end - state.chamfer, -layout.recipe.pin_board.length
    width, back = layout.width, state.show_y
    stations = floor_stations(layout, min(layout.depth, back))
    faces: list[Face] = [
        [_comb(layout, 0.0, low, foot)],
        [[(0.0, 0.0, low), (0.0, back, low), (width, back, low), (width, 0.0, low)]],
        [[(0.0, 0.0, low), (0.0, 0.0, foot), (0.0, back, foot), (0.0, back, low)]],
        [[(width, 0.0, low), (width, back, low), (width, back, foot), (width, 0.0, foot)]],
    ]
    for tail in layout.tails:
        faces += socket_walls(layout, tail, stations, foot)
    if layout.is_half_blind:
        faces += _lap(layout, stations[-1], back, low, foot)
    else:
        faces.append([_comb(layout, back, low, foot)[::-1]])
        faces += _pin_ends(layout, state, foot)
    return faces


def floor_stations(layout: Layout, reach: float) -> Stations:
    """Flat; or from a land down to the lap; or from a land down to half-way and up to the other land."""
    land, deep = layout.land, -layout.recipe.undercut.depth
    if land is None:
        return [(0.0, 0.0), (reach, 0.0)]
    if layout.is_half_blind:
        return [(0.0, 0.0), (land, 0.0), (reach, deep)]
    return [(0.0, 0.0), (land, 0.0), (layout.depth / 2, deep), (layout.depth - land, 0.0), (reach, 0.0)]


def _comb(layout: Layout, y: float, low: float, high: float) -> list[Point]:
    """The face of the pin board at Y = y, sockets open at the top, counter-clockwise seen from -Y."""
    loop: list[Point] = [(0.0, y, low), (layout.width, y, low), (layout.width, y, high)]
    for tail in reversed(layout.tails):
        left, right = layout.socket_edges(tail, y)
        loop += [(right, y, high), (right, y, 0.0), (left, y, 0.0), (left, y, high)]
    return [*loop, (0.0, y, high)]


def socket_walls(layout: Layout, tail: Tail, stations: Stations, high: float) -> list[Face]:
    """Floor and both flanks of a socket. The walls of a hollow go on in the planes of the flanks."""
    left: list[Point] = [(layout.socket_edges(tail, y)[0], y, z) for y, z in stations]
    right: list[Point] = [(layout.socket_edges(tail, y)[1], y, z) for y, z in stations]
    faces: list[Face] = [[[left[i], right[i], right[i + 1], left[i + 1]]] for i in range(len(stations) - 1)]
    for floor, turn in ((left, 1), (right, -1)):
        (x0, y0, _), (x1, y1, _) = floor[0], floor[-1]
        faces.append([[*floor, (x1, y1, high), (x0, y0, high)][::turn]])
    return faces


def _lap(layout: Layout, end_of_floor: PlanePoint, back: float, low: float, high: float) -> list[Face]:
    """The half-blind pin board's end grain in one piece, its show face, and the lap at the end of each socket."""
    width, (reach, floor) = layout.width, end_of_floor
    end: list[Point] = [(0.0, 0.0, high)]
    laps: list[Face] = []
    for tail in layout.tails:
        (near_left, near_right), (left, right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, reach)
        end += [(near_left, 0.0, high), (left, reach, high), (right, reach, high), (near_right, 0.0, high)]
        laps.append([[(left, reach, floor), (right, reach, floor), (right, reach, high), (left, reach, high)]])
    end += [(width, 0.0, high), (width, back, high), (0.0, back, high)]
    show = [(width, back, low), (0.0, back, low), (0.0, back, high), (width, back, high)]
    return [[end], [show], *laps]


def _pin_ends(layout: Layout, state: State, foot: float) -> list[Face]:
    """The ends of all pins of a through joint, with their chamfers where they are left proud."""
    back, c = state.show_y, state.chamfer
    faces: list[Face] = []
    last = len(layout.tails)
    for pin, (near, far) in enumerate(zip(layout.pin_spans(0.0), layout.pin_spans(back), strict=True)):
        at_edge = (pin == 0, pin == last)
        base = [(near[0], 0.0, foot), (near[1], 0.0, foot), (far[1], back, foot), (far[0], back, foot)]
        faces += frustum(base, _pin_end(layout, near, at_edge, back, c, state.pin_end)) if c else [[base]]
    return faces


def _pin_end(
    layout: Layout, near: PlanePoint, at_edge: tuple[bool, bool], back: float, c: float, high: float
) -> list[Point]:
    """The end face of a pin whose sides are moved inward by c, each normal to itself."""

    def side(x: float, straight: bool, inward: float, y: float) -> float:
        """The X of a side at Y = y: square where it is the board's edge, else a flank leaning by 1/N."""
        if straight:
            return x + inward * c
        return x + inward * (c * layout.flank_stretch + y / layout.ratio)

    left = [side(near[0], at_edge[0], 1.0, y) for y in (c, back - c)]
    right = [side(near[1], at_edge[1], -1.0, y) for y in (c, back - c)]
    return [(left[0], c, high), (right[0], c, high), (right[1], back - c, high), (left[1], back - c, high)]
