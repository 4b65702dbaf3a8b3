"""The faces of the wood that a joint's cuts take from two plain boards: between the tails and at the edges, and out of
the sockets of the pin board. Each body has the lines of its cut, chamfers and hollows included."""

from __future__ import annotations

from solids.base import tolerances as tol
from solids.base.geometry import PlanePoint, Point
from solids.base.polygons import Face, at_height
from solids.layout import Layout, State, Tail
from solids.model.boards.pin_board import floor_stations, socket_walls
from solids.model.boards.shapes import at_y
from solids.model.boards.tail_board import Flank, flanks_of, shoulder, socket_sides


def tail_board_waste(layout: Layout, state: State) -> list[list[Face]]:
    """What is sawn and chopped out of the tail board, in order of X: n + 1 bodies in the joint's frame, from the floors
    of the sockets to the tails' ends, which have no chamfer yet. What the entry chamfers take belongs to the socket
    beside them."""
    return [_between_tails(layout, state, left, right) for left, right in socket_sides(flanks_of(layout, state))]


def _between_tails(layout: Layout, state: State, left: Flank | None, right: Flank | None) -> list[Face]:
    end, top = state.tail_end, state.show_z
    faces = [face for flank in (left, right) if flank for face in flank.faces()]
    faces += shoulder(layout, state, left, right)
    near, far = _outlines(layout, state, left, right, inside=False)
    low_near, low_far = _outlines(layout, state, left, right, inside=True)
    x0, x1 = near[-1][0], far[-1][0]
    lids: list[Face] = [
        [at_height([*far, *reversed(near)], top)],
        [at_height([*low_near, *reversed(low_far)], 0.0)],
        [at_y(end, [(x1, 0.0), (x0, 0.0), (x0, top), (x1, top)])],
    ]
    if left is None:
        lids.append([_edge(x0, end, top)])
    if right is None:
        lids.append([_edge(x1, end, top)[::-1]])
    return [*map(_turned_inside_out, faces), *lids]


def _outlines(
    layout: Layout, state: State, left: Flank | None, right: Flank | None, *, inside: bool
) -> tuple[list[PlanePoint], list[PlanePoint]]:
    """Both sides of a body from the baseline to the end, in the plane of the inside face or of any other."""
    near, far = (
        side.outline(inside=inside) if side else [(x, 0.0), (x, state.tail_end)]
        for side, x in ((left, 0.0), (right, layout.width))
    )
    return near, far


def _edge(x: float, end: float, top: float) -> list[Point]:
    """The side of a body at an edge of the joint, counter-clockwise seen from -X."""
    return [(x, 0.0, 0.0), (x, 0.0, top), (x, end, top), (x, end, 0.0)]


def pin_board_waste(layout: Layout, state: State, tail: Tail) -> list[Face]:
    """What is chopped out of the pin board for one tail, in the joint's frame: from the floor of the socket, hollow
    included, to the raw end of the pins, and as far as the show face or the lap. A through socket goes on straight to a
    show face that lies further out than the joint is deep."""
    stations = floor_stations(layout, min(layout.depth, state.show_y) if layout.is_half_blind else state.show_y)
    high, (reach, floor) = state.pin_end, stations[-1]
    (left, right), (far_left, far_right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, reach)
    lids: list[Face] = [
        [[(left, 0.0, high), (right, 0.0, high), (far_right, reach, high), (far_left, reach, high)]],
        [at_y(0.0, [(left, 0.0), (right, 0.0), (right, high), (left, high)])],
        [at_y(reach, [(far_right, floor), (far_left, floor), (far_left, high), (far_right, high)])],
    ]
    return [*map(_turned_inside_out, socket_walls(layout, tail, stations, high)), *lids]


def floor_as_far_as(layout: Layout, deep: float) -> list[PlanePoint]:
    """The floor of the pin board's sockets from the inside face to Y = deep: (y, z) from point to point."""
    stations = list(floor_stations(layout, layout.depth))
    line = [point for point in stations if point[0] < deep - tol.ROUNDING]
    (y0, z0), (y1, z1) = line[-1], stations[len(line)]
    return [*line, (deep, z0 + (z1 - z0) * (deep - y0) / (y1 - y0))]


def _turned_inside_out(face: Face) -> Face:
    """A face of a board as the face of what is cut away there."""
    return [loop[::-1] for loop in face]
