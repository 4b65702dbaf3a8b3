"""The faces of the wood that a joint's cuts take from two plain boards: between the tails and at the edges, and out of
the sockets of the pin board. Each body has the lines of its cut, chamfers and hollows included."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base import tolerances as tol
from solids.base.geometry import PlanePoint
from solids.base.polygons import Face, at_height, sides
from solids.layout import Layout, State, Tail
from solids.layout.box.model import BoardKind
from solids.layout.joint.shape.flanks import Gap
from solids.layout.joint.shape.mitre import mitred_edges, pin_strip, tail_strip
from solids.model.boards.pin_board import end_of_socket, floor_stations, socket_walls
from solids.model.boards.shapes import at_x, at_y, without_repeats
from solids.model.boards.tail_board import flank_faces, flank_outline, shoulder, with_foot


def tail_board_waste(layout: Layout, state: State) -> list[list[Face]]:
    """What is sawn and chopped out of the tail board, in order of X: one body for each gap, in the joint's frame, from
    the floors of the sockets to the tails' ends, which have no chamfer yet. What the entry chamfers take belongs to the
    socket beside them."""
    return [_gap_waste(layout, state, gap) for gap in layout.gaps]


def _gap_waste(layout: Layout, state: State, gap: Gap) -> list[Face]:
    end, top, low = state.tail_end, state.show_z, layout.rebate
    faces = [face for flank in gap.flanks for face in flank_faces(layout, state, flank)]
    faces += with_foot(shoulder(layout, state, gap))
    near, far = _outlines(layout, state, gap, inside=False)
    low_near, low_far = _outlines(layout, state, gap, inside=True)
    x0, x1 = near[-1][0], far[-1][0]
    lids: list[Face] = [
        [at_height([*far, *reversed(near)], top)],
        [at_height([*low_near, *reversed(low_far)], low)],
        [at_y(end, [(x1, low), (x0, low), (x0, top), (x1, top)])],
    ]
    side = at_x(0.0, [(0.0, low), (0.0, top), (end, top), (end, low)])
    if gap.left is None:
        lids.append([[(x0, y, z) for _, y, z in side]])
    if gap.right is None:
        lids.append([[(x1, y, z) for _, y, z in side[::-1]]])
    return [*map(_turned_inside_out, faces), *lids]


def _outlines(layout: Layout, state: State, gap: Gap, *, inside: bool) -> tuple[list[PlanePoint], list[PlanePoint]]:
    """Both sides of a body from the baseline to the end, in the plane of the tails' inside face or of any other."""
    near, far = (
        flank_outline(layout, state, flank, inside=inside) if flank else [(x, 0.0), (x, state.tail_end)]
        for flank, x in ((gap.left, gap.low), (gap.right, gap.high))
    )
    return near, far


def rebate_waste(layout: Layout, state: State) -> list[Face]:
    """What the rebate takes from the tail board, from edge to edge."""
    below, above = layout.strips
    outline = [(0.0, 0.0), (state.tail_end, 0.0), (state.tail_end, layout.rebate), (0.0, layout.rebate)]
    return _along_x(outline, 0.0 - below, layout.width + above)


def mitre_waste(layout: Layout, state: State, kind: BoardKind) -> list[list[Face]]:
    """What the mitred shoulders of a board lose past the baseline, in order of X."""
    if kind == "tail board":
        foot, tip, _ = tail_strip(layout, state)
        outline = [foot, (state.tail_end, foot[1]), (state.tail_end, tip[1]), tip]
    else:
        foot, _, tip = pin_strip(layout, state)
        outline = [foot, tip, (tip[0], state.pin_end), (foot[0], state.pin_end)]
    return [_along_x(without_repeats(outline), *span) for span in mitred_edges(layout)]


def _along_x(outline: Sequence[PlanePoint], low: float, high: float) -> list[Face]:
    """The faces of an outline in (Y, Z), counter-clockwise, from one X to another."""
    ends: list[Face] = [[at_x(high, outline)], [at_x(low, outline)[::-1]]]
    return [*ends, *([[(low, *a), (high, *a), (high, *b), (low, *b)][::-1]] for a, b in sides(outline))]


def pin_board_waste(layout: Layout, state: State, tail: Tail) -> list[Face]:
    """What is chopped out of the pin board for one tail, in the joint's frame: from the floor of the socket, hollow
    included, to the raw end of the pins, and as far as the show face or the lap. A through socket goes on straight to a
    show face that lies further out than the joint is deep."""
    stations = floor_stations(layout, min(layout.depth, state.show_y) if layout.is_half_blind else state.show_y)
    high, (reach, _), floor = state.pin_end, stations[-1], layout.rebate
    (left, right), (far_left, far_right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, reach)
    end = end_of_socket(layout, tail, stations[-1], high)
    lids: list[Face] = [
        [[(left, 0.0, high), (right, 0.0, high), (far_right, reach, high), (far_left, reach, high)]],
        [at_y(0.0, [(left, floor), (right, floor), (right, high), (left, high)])],
        [[end[1], end[0], *end[:1:-1]]],
    ]
    edge = at_x(far_right, [(0.0, floor), (reach, floor), (reach, high), (0.0, high)])
    if tail.flank(1) is None:
        lids.append([edge])
    elif tail.flank(-1) is None:
        lids.append([[(far_left, y, z) for _, y, z in reversed(edge)]])
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
