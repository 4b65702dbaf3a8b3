"""Layout -> tail board, pin board: exact solids with plane faces, built from their profiles.

Both boards stand in the joint's frame (see `layout.py`), seated. A board of n tails has 4n + 6 faces in every kind; the
chamfer round ends left proud adds 4n to the tail board and 4n + 4 to the pin board.
"""

from __future__ import annotations

from collections.abc import Sequence

from solids.kernel import Face, Point, Solid, solid_from_faces
from solids.layout import Layout, State

Flat = tuple[float, float]
"""A point in the plane of a profile."""


def tail_board(layout: Layout, state: State) -> Solid:
    """The tail board from Z = 0 to its show face, its length along -Y, its tails reaching the state's `tail_end`."""
    return solid_from_faces(_tail_board_faces(layout, state))


def pin_board(layout: Layout, state: State) -> Solid:
    """The pin board from Y = 0 to its show face, its length along -Z, its pins reaching the state's `pin_end`."""
    return solid_from_faces(_pin_board_faces(layout, state))


def face_count(layout: Layout, state: State) -> tuple[int, int]:
    """How many faces the tail board and the pin board have in a state."""
    n = len(layout.tails)
    chamfered = 4 if state.chamfer else 0
    return 4 * n + 6 + chamfered * n, 4 * n + 6 + chamfered * (n + 1)


# --- the tail board: its outline in XY, given thickness ---------------------------------------------


def _tail_board_faces(layout: Layout, state: State) -> list[Face]:
    c, top = state.chamfer, state.show_z
    foot = state.tail_end - c
    outline: list[Flat] = [(0.0, -layout.recipe.tail_board.length), (layout.width, -layout.recipe.tail_board.length)]
    outline.append((layout.width, 0.0))
    ends: list[tuple[Flat, Flat]] = []
    for tail in reversed(layout.tails):
        neck, foot_edges = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, foot)
        outline += [(neck[1], 0.0), (foot_edges[1], foot), (foot_edges[0], foot), (neck[0], 0.0)]
        ends.append(((foot_edges[1], foot), (foot_edges[0], foot)))
    outline.append((0.0, 0.0))
    faces = _prism(outline, 0.0, top, leave_open=set(ends) if c else set())
    if c:
        for tail in layout.tails:
            left, right = layout.tail_edges(tail, foot)
            end_left, end_right = layout.tail_edges(tail, state.tail_end)
            base = _rectangle(left, right, 0.0, top, foot)
            end = _rectangle(end_left + c, end_right - c, c, top - c, state.tail_end)
            faces += _frustum(base, end)
    return faces


def _prism(outline: Sequence[Flat], low: float, high: float, leave_open: set[tuple[Flat, Flat]]) -> list[Face]:
    """The faces of an outline (counter-clockwise from above) given thickness in Z, but for the sides left open."""
    bottom = [(x, y, low) for x, y in outline]
    top = [(x, y, high) for x, y in outline]
    faces: list[Face] = [[bottom[::-1]], [top]]
    for i, j in _sides(len(outline)):
        if (outline[i], outline[j]) not in leave_open:
            faces.append([[bottom[i], bottom[j], top[j], top[i]]])
    return faces


def _rectangle(left: float, right: float, low: float, high: float, y: float) -> list[Point]:
    """A rectangle at Y = y, counter-clockwise seen from +Y."""
    return [(right, y, low), (left, y, low), (left, y, high), (right, y, high)]


def _frustum(base: Sequence[Point], end: Sequence[Point]) -> list[Face]:
    """The end face and the chamfers between two loops, both counter-clockwise seen from the end."""
    faces: list[Face] = [[end]]
    for i, j in _sides(len(base)):
        faces.append([[base[i], base[j], end[j], end[i]]])
    return faces


def _sides(count: int) -> list[tuple[int, int]]:
    return [(i, (i + 1) % count) for i in range(count)]


# --- the pin board: its end in XY, with the sockets let in from above ---------------------------------


def _pin_board_faces(layout: Layout, state: State) -> list[Face]:
    foot, low = state.pin_end - state.chamfer, -layout.recipe.pin_board.length
    width, back = layout.width, state.show_y
    reach = min(layout.depth, back)
    inside = [layout.socket_edges(tail, 0.0) for tail in layout.tails]
    outside = [layout.socket_edges(tail, reach) for tail in layout.tails]
    faces: list[Face] = [
        [_comb(inside, 0.0, width, low, foot)],
        [[(0.0, 0.0, low), (0.0, back, low), (width, back, low), (width, 0.0, low)]],
        [[(0.0, 0.0, low), (0.0, 0.0, foot), (0.0, back, foot), (0.0, back, low)]],
        [[(width, 0.0, low), (width, back, low), (width, back, foot), (width, 0.0, foot)]],
    ]
    for (left, right), (end_left, end_right) in zip(inside, outside, strict=True):
        faces += _socket(left, right, end_left, end_right, reach, foot)
    if layout.is_half_blind:
        faces += _lap(inside, outside, width, reach, back, low, foot)
    else:
        faces.append([_comb(outside, back, width, low, foot)[::-1]])
        faces += _pin_ends(layout, state, foot)
    return faces


def _comb(sockets: Sequence[Flat], y: float, width: float, low: float, high: float) -> list[Point]:
    """The face of the pin board at Y = y, sockets open at the top, counter-clockwise seen from -Y."""
    loop: list[Point] = [(0.0, y, low), (width, y, low), (width, y, high)]
    for left, right in reversed(sockets):
        loop += [(right, y, high), (right, y, 0.0), (left, y, 0.0), (left, y, high)]
    return [*loop, (0.0, y, high)]


def _socket(left: float, right: float, end_left: float, end_right: float, reach: float, high: float) -> list[Face]:
    """Floor and both flanks of a socket that runs from Y = 0 to Y = reach."""
    return [
        [[(left, 0.0, 0.0), (right, 0.0, 0.0), (end_right, reach, 0.0), (end_left, reach, 0.0)]],
        [[(left, 0.0, 0.0), (end_left, reach, 0.0), (end_left, reach, high), (left, 0.0, high)]],
        [[(right, 0.0, 0.0), (right, 0.0, high), (end_right, reach, high), (end_right, reach, 0.0)]],
    ]


def _lap(
    inside: Sequence[Flat], outside: Sequence[Flat], width: float, reach: float, back: float, low: float, high: float
) -> list[Face]:
    """The half-blind pin board's end grain in one piece, its show face, and the lap at the end of each socket."""
    end: list[Point] = [(0.0, 0.0, high)]
    for (left, right), (end_left, end_right) in zip(inside, outside, strict=True):
        end += [(left, 0.0, high), (end_left, reach, high), (end_right, reach, high), (right, 0.0, high)]
    end += [(width, 0.0, high), (width, back, high), (0.0, back, high)]
    show = [(width, back, low), (0.0, back, low), (0.0, back, high), (width, back, high)]
    laps = [
        [[(left, reach, 0.0), (right, reach, 0.0), (right, reach, high), (left, reach, high)]]
        for left, right in outside
    ]
    return [[end], [show], *laps]


def _pin_ends(layout: Layout, state: State, foot: float) -> list[Face]:
    """The ends of all pins of a through joint, with their chamfers where they are left proud."""
    back, c = state.show_y, state.chamfer
    inside = [0.0, *(x for tail in layout.tails for x in layout.socket_edges(tail, 0.0)), layout.width]
    outside = [0.0, *(x for tail in layout.tails for x in layout.socket_edges(tail, back)), layout.width]
    faces: list[Face] = []
    last = len(layout.tails)
    for pin in range(last + 1):
        at_edge = (pin == 0, pin == last)
        near, far = (inside[2 * pin], inside[2 * pin + 1]), (outside[2 * pin], outside[2 * pin + 1])
        base = [(near[0], 0.0, foot), (near[1], 0.0, foot), (far[1], back, foot), (far[0], back, foot)]
        faces += _frustum(base, _pin_end(layout, near, at_edge, back, c, state.pin_end)) if c else [[base]]
    return faces


def _pin_end(layout: Layout, near: Flat, at_edge: tuple[bool, bool], back: float, c: float, high: float) -> list[Point]:
    """The end face of a pin whose sides are moved inward by c, each normal to itself."""

    def side(x: float, straight: bool, inward: float, y: float) -> float:
        """The X of a side at Y = y: square where it is the board's edge, else a flank leaning by 1/N."""
        if straight:
            return x + inward * c
        return x + inward * (c * layout.flank_stretch + y / layout.ratio)

    left = [side(near[0], at_edge[0], 1.0, y) for y in (c, back - c)]
    right = [side(near[1], at_edge[1], -1.0, y) for y in (c, back - c)]
    return [(left[0], c, high), (right[0], c, high), (right[1], back - c, high), (left[1], back - c, high)]
