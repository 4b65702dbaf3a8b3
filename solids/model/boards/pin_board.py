"""The faces of the pin board: its end in XY, with the sockets let in from above, through or as far as the lap, and its
mitred shoulders."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base.geometry import PlanePoint, Point
from solids.layout import Layout, State, Tail
from solids.layout.joint.shape.flanks import Flank, Gap
from solids.layout.joint.shape.mitre import pin_strip
from solids.model.boards.shapes import at_x, at_y, frustum, without_repeats
from solids.model.kernel import Face

Stations = Sequence[PlanePoint]
"""The floor of a socket along Y: (y, z) from the inside face to its end."""


def pin_board_faces(layout: Layout, state: State) -> list[Face]:
    """All faces in the joint's frame, each outer loop counter-clockwise seen from outside."""
    foot, low = state.pin_end - state.chamfer, -layout.recipe.pin_board.length
    width, back = layout.width, state.show_y
    stations = floor_stations(layout, min(layout.depth, back))
    faces: list[Face] = [
        [_comb(layout, state, 0.0, low, foot)],
        [[(0.0, 0.0, low), (0.0, back, low), (width, back, low), (width, 0.0, low)]],
        *_edges(layout, state, low, foot),
    ]
    for tail in layout.tails:
        faces += socket_walls(layout, tail, stations, foot)
    if layout.is_half_blind:
        faces += _lap(layout, stations[-1], back, low, foot)
    else:
        faces.append([_comb(layout, state, back, low, foot)[::-1]])
        faces += _pin_ends(layout, state, foot)
    return faces


def floor_stations(layout: Layout, reach: float) -> Stations:
    """Flat; or from a land down to the lap; or from a land down to half-way and up to the other land."""
    land, floor = layout.land, layout.rebate
    deep = floor - layout.recipe.undercut.depth
    if land is None:
        return [(0.0, floor), (reach, floor)]
    if layout.is_half_blind:
        return [(0.0, floor), (land, floor), (reach, deep)]
    return [(0.0, floor), (land, floor), (layout.depth / 2, deep), (layout.depth - land, floor), (reach, floor)]


def _comb(layout: Layout, state: State, y: float, low: float, high: float) -> list[Point]:
    """The face of the pin board at Y = y, sockets open at the top, counter-clockwise seen from -Y."""
    floor, width, (near, far) = layout.rebate, layout.width, layout.mitred
    loop: list[Point] = [(0.0, y, low), (width, y, low)]
    mitre = pin_strip(layout, state)[2 if y else 0][1]
    if far:
        loop += [(width, y, mitre), (width - far, y, mitre)]
    if layout.tails[-1].flank(1):
        loop.append((width - far, y, high))
    for tail in reversed(layout.tails):
        left, right = layout.socket_edges(tail, y)
        loop += [(right, y, high)] if tail.flank(1) else []
        loop += [(right, y, floor), (left, y, floor)]
        loop += [(left, y, high)] if tail.flank(-1) else []
    if layout.tails[0].flank(-1):
        loop.append((near, y, high))
    return without_repeats([*loop, (near, y, mitre), (0.0, y, mitre)] if near else loop)


def _edges(layout: Layout, state: State, low: float, high: float) -> list[Face]:
    """Both edges; and where the shoulder is mitred, the mitre and the cheek of the half pin. Written for the edge at
    X = W; at X = 0 each loop is turned round."""
    back, floor, reach = state.show_y, layout.rebate, min(layout.depth, state.show_y)
    faces: list[Face] = []
    ends = (layout.tails[0].flank(-1), layout.tails[-1].flank(1))
    for side, x, mitre, flank in zip((-1, 1), (0.0, layout.width), layout.mitred, ends, strict=True):
        base, loops = [(0.0, low), (back, low)], []
        if flank is None:
            lap = [(back, high), (reach, high), (reach, floor)] if layout.is_half_blind else [(back, floor)]
            loops.append(at_x(x, [*base, *lap, (0.0, floor)]))
        elif mitre:
            (foot, _, tip), inner = pin_strip(layout, state), x - side * mitre
            loops.append(at_x(x, [*base, tip, foot]))
            loops.append([(x, *foot), (x, *tip), (inner, *tip), (inner, *foot)])
            loops.append(without_repeats(at_x(inner, [foot, tip, (back, high), (0.0, high)])))
        else:
            loops.append(at_x(x, [*base, (back, high), (0.0, high)]))
        faces += [[loop if side > 0 else [loop[0], *loop[:0:-1]]] for loop in loops]
    return faces


def socket_walls(layout: Layout, tail: Tail, stations: Stations, high: float) -> list[Face]:
    """Floor and flanks of a socket. The walls of a hollow go on in the planes of the flanks; at an edge of the board it
    keeps a land."""
    faces: list[Face] = []
    if tail.is_half and layout.land is not None:
        faces += _open_floor(layout, tail, stations)
    else:
        left: list[Point] = [(layout.socket_edges(tail, y)[0], y, z) for y, z in stations]
        right: list[Point] = [(layout.socket_edges(tail, y)[1], y, z) for y, z in stations]
        # Flat from end to end, or one face for each stretch of a hollow.
        faces += [[[left[i], right[i], right[i + 1], left[i + 1]]] for i in range(len(stations) - 1)]
    return [*faces, *(_wall(layout, flank, stations, high) for flank in tail.flanks)]


def _wall(layout: Layout, flank: Flank, stations: Stations, high: float) -> Face:
    floor: list[Point] = [(layout.socket_x(flank, y), y, z) for y, z in stations]
    (x0, y0, _), (x1, y1, _) = floor[0], floor[-1]
    return [[*floor, (x1, y1, high), (x0, y0, high)][:: -flank.side]]


def _open_floor(layout: Layout, tail: Tail, stations: Stations) -> list[Face]:
    """The hollowed floor of a socket that is open at the edge of the board: its lands, which are one face, the slopes
    of its hollow, and the hollow's wall toward the edge. Written for the edge at X = W."""
    (flank,) = tail.flanks
    edge, land = (layout.width, layout.land or 0.0) if flank.side < 0 else (0.0, -(layout.land or 0.0))
    wall, floor = edge - land, stations[0][1]
    side: list[Point] = [(layout.socket_x(flank, y), y, z) for y, z in stations]
    at_wall = [(wall, y, z) for y, z in stations]
    hollow = range(1, len(stations) - 1) if layout.is_half_blind else range(1, len(stations) - 2)
    start, end = at_wall[1], at_wall[hollow.stop]
    last = (wall, stations[-1][0], floor)
    lands: list[Point] = [side[0], (edge, 0.0, floor), (edge, stations[-1][0], floor)]
    lands += [last, start, side[1]] if layout.is_half_blind else [side[-1], side[-2], end, start, side[1]]
    upright = [*at_wall[1 : hollow.stop + 1], *([last] if layout.is_half_blind else [])]
    loops = [lands, upright[::-1]]
    loops += [[side[i], at_wall[i], at_wall[i + 1], side[i + 1]] for i in hollow]
    return [[loop if flank.side < 0 else loop[::-1]] for loop in loops]


def _lap(layout: Layout, end_of_floor: PlanePoint, back: float, low: float, high: float) -> list[Face]:
    """The half-blind pin board's end grain in one piece, its show face, and the lap at the end of each socket."""
    width, (reach, _) = layout.width, end_of_floor
    end: list[Point] = [(0.0, 0.0, high)] if layout.tails[0].flank(-1) else []
    laps: list[Face] = []
    for tail in layout.tails:
        (near_left, near_right), (left, right) = layout.socket_edges(tail, 0.0), layout.socket_edges(tail, reach)
        end += [(near_left, 0.0, high)] if tail.flank(-1) else []
        end += [(left, reach, high), (right, reach, high)]
        end += [(near_right, 0.0, high)] if tail.flank(1) else []
        laps.append([end_of_socket(layout, tail, end_of_floor, high)])
    end += [(width, 0.0, high)] if layout.tails[-1].flank(1) else []
    end += [(width, back, high), (0.0, back, high)]
    show = [(width, back, low), (0.0, back, low), (0.0, back, high), (width, back, high)]
    return [[end], [show], *laps]


def end_of_socket(layout: Layout, tail: Tail, end_of_floor: PlanePoint, high: float) -> list[Point]:
    """The outline of a socket where its floor ends, counter-clockwise seen from -Y. A hollow that ends there keeps its
    land at the edge of the board."""
    reach, floor = end_of_floor
    (left, right), flat = layout.socket_edges(tail, reach), layout.rebate
    bottom = [(left, floor), (right, floor)]
    if floor < flat and tail.flank(-1) is None:
        wall = left + (layout.land or 0.0)
        bottom = [(left, flat), (wall, flat), (wall, floor), (right, floor)]
    elif floor < flat and tail.flank(1) is None:
        wall = right - (layout.land or 0.0)
        bottom = [(left, floor), (wall, floor), (wall, flat), (right, flat)]
    return at_y(reach, [*bottom, (right, high), (left, high)])


def _pin_ends(layout: Layout, state: State, foot: float) -> list[Face]:
    """The ends of all pins of a through joint, with their chamfers where they are left proud."""
    back, c = state.show_y, state.chamfer
    faces: list[Face] = []
    for gap in layout.gaps:
        near, far = layout.pin_span(gap, 0.0), layout.pin_span(gap, back)
        base = [(near[0], 0.0, foot), (near[1], 0.0, foot), (far[1], back, foot), (far[0], back, foot)]
        faces += frustum(base, _pin_end(layout, gap, back, c, state.pin_end)) if c else [[base]]
    return faces


def _pin_end(layout: Layout, gap: Gap, back: float, c: float, high: float) -> list[Point]:
    """The end face of a pin whose sides are moved inward by c, each normal to itself."""

    def side(flank: Flank | None, square: float, inward: float, y: float) -> float:
        """The X of a side at Y = y: a flank, or square to the end at an edge of the joint."""
        if flank is None:
            return square + inward * c
        return layout.socket_x(flank, y) + inward * (c * flank.stretch)

    left = [side(gap.left, gap.low, 1.0, y) for y in (c, back - c)]
    right = [side(gap.right, gap.high, -1.0, y) for y in (c, back - c)]
    return [(left[0], c, high), (right[0], c, high), (right[1], back - c, high), (left[1], back - c, high)]
