"""The faces of the tail board: an outline in XY given thickness, with its entry chamfers and hollowed socket floors."""

from __future__ import annotations

from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Point
from solids.base.polygons import at_height
from solids.layout import Layout, State
from solids.model.boards.shapes import at_y, frustum, without_repeats
from solids.model.kernel import Face


def tail_board_faces(layout: Layout, state: State) -> list[Face]:
    """All faces in the joint's frame, each outer loop counter-clockwise seen from outside."""
    back, top, (left, right) = -layout.recipe.tail_board.length, state.show_z, _sides(layout)
    flanks = flanks_of(layout, state)
    faces: list[Face] = [
        [at_height(_outline(layout, state, flanks, inside=True), 0.0)[::-1]],
        [at_height(_outline(layout, state, flanks, inside=False), top)],
        [at_y(back, [(left, 0.0), (right, 0.0), (right, top), (left, top)])],
        *_edges(layout, state),
    ]
    for flank in flanks:
        faces += flank.faces()
    for tail in range(len(layout.tails)):
        faces += _tail_end(layout, state, tail)
    for near, far in socket_sides(flanks):
        faces += shoulder(layout, state, near, far)
    return faces


def flanks_of(layout: Layout, state: State) -> list[Flank]:
    """All flanks in order of X."""
    return [Flank(layout, state, tail, side) for tail in range(len(layout.tails)) for side in (-1, 1)]


def socket_sides(flanks: list[Flank]) -> list[tuple[Flank | None, Flank | None]]:
    """The two sides of each socket in order of X: flanks, or None at an edge of the joint."""
    edges = [None, *flanks, None]
    return list(zip(edges[::2], edges[1::2], strict=True))


def _sides(layout: Layout) -> PlanePoint:
    """The X of both edges of the board, past the joint where it runs on beside it."""
    below, above = layout.strips
    return 0.0 - below, layout.width + above


def _edges(layout: Layout, state: State) -> list[Face]:
    """Both edges; and where the board runs on beside the joint, the end of that strip and its wall toward the joint."""
    back, top, end = -layout.recipe.tail_board.length, state.show_z, state.tail_end
    faces: list[Face] = []
    for wall, side in zip((0.0, layout.width), _sides(layout), strict=True):
        far = end if side != wall else 0.0
        loops = [[(side, back, 0.0), (side, back, top), (side, far, top), (side, far, 0.0)]]
        if side != wall:
            loops.append(at_y(end, [(wall, 0.0), (side, 0.0), (side, top), (wall, top)]))
            loops.append([(wall, 0.0, 0.0), (wall, end, 0.0), (wall, end, top), (wall, 0.0, top)])
        faces += [[loop if wall == 0.0 else [loop[0], *loop[:0:-1]]] for loop in loops]
    return faces


@dataclass(frozen=True)
class Flank:
    """One flank: `side` is -1 where the tail lies to its right (a left flank), 1 where it lies to its left."""

    layout: Layout
    state: State
    tail: int
    side: int

    @property
    def foot(self) -> float:
        """The Y where the flank ends: the tail's end, or where its end chamfer begins."""
        return self.state.tail_end - self.state.chamfer

    def x(self, y: float) -> float:
        """Where the flank lies at Y = y."""
        left, right = self.layout.tail_edges(self.layout.tails[self.tail], y)
        return left if self.side < 0 else right

    def x_inside(self, y: float) -> float:
        """Where the entry chamfer meets the inside face at Y = y: further into the tail."""
        return self.x(y) - self.side * self.layout.recipe.entry_chamfer.width * self.layout.flank_stretch

    def outline(self, *, inside: bool) -> list[PlanePoint]:
        """From the baseline to the end, in the plane of the inside face or of any other."""
        reach = self.layout.chamfer_reach
        ahead = [(self.x(self.foot), self.foot)]
        if not inside or not reach:
            return [(self.x(0.0), 0.0), *ahead]
        return [(self.x_inside(0.0), 0.0), (self.x_inside(reach), reach), (self.x(reach), reach), *ahead]

    def faces(self) -> list[Face]:
        """The flank, and the two faces of its entry chamfer."""
        reach, c, top = self.layout.chamfer_reach, self.layout.recipe.entry_chamfer.width, self.state.show_z
        stations = [(0.0, z) for z in reversed(_heights(self.layout, top))]
        low = [(0.0, c), (reach, c), (reach, 0.0)] if reach else [(0.0, 0.0)]
        loops = [[self._on(y, z) for y, z in [*low, (self.foot, 0.0), (self.foot, top), *stations]]]
        if reach:
            start, end = (self.x_inside(0.0), 0.0, 0.0), (self.x_inside(reach), reach, 0.0)
            loops.append([self._on(reach, c), self._on(0.0, c), start, end])
            loops.append([self._on(reach, 0.0), self._on(reach, c), end])
        return [[without_repeats(loop if self.side > 0 else loop[::-1])] for loop in loops]

    def _on(self, y: float, z: float) -> Point:
        return self.x(y), y, z


def _heights(layout: Layout, top: float) -> list[float]:
    """The Z where something of a socket's floor meets its flank at the baseline, from the land up to the show face."""
    land = layout.land
    return [top] if land is None else [land, layout.recipe.tail_board.thickness - land, top]


def _outline(layout: Layout, state: State, flanks: list[Flank], *, inside: bool) -> list[PlanePoint]:
    back, end, (left_side, right_side) = -layout.recipe.tail_board.length, state.tail_end, _sides(layout)
    points: list[PlanePoint] = [(left_side, back), (right_side, back)]
    if right_side != layout.width:
        points += [(right_side, end), (layout.width, end)]
    points.append((layout.width, 0.0))
    for left, right in zip(flanks[-2::-2], flanks[::-2], strict=True):
        points += [*right.outline(inside=inside), *reversed(left.outline(inside=inside))]
    points.append((0.0, 0.0))
    return [*points, (0.0, end), (left_side, end)] if left_side != 0.0 else points


def _tail_end(layout: Layout, state: State, tail: int) -> list[Face]:
    """The end of a tail, with the chamfers round it where it is left proud."""
    c, top, foot = state.chamfer, state.show_z, state.tail_end - state.chamfer
    left, right = layout.tail_edges(layout.tails[tail], foot)
    base = at_y(foot, [(right, 0.0), (left, 0.0), (left, top), (right, top)])
    if not c:
        return [[base]]
    left, right = layout.tail_edges(layout.tails[tail], state.tail_end)
    end = [(right - c, c), (left + c, c), (left + c, top - c), (right - c, top - c)]
    return frustum(base, at_y(state.tail_end, end))


# --- the floors of the sockets ---------------------------------------------------------------------


def shoulder(layout: Layout, state: State, left: Flank | None, right: Flank | None) -> list[Face]:
    """The floor of one socket between two flanks; None is the edge of the board."""
    x0, x1 = left.x(0.0) if left else 0.0, right.x(0.0) if right else layout.width
    c = layout.recipe.entry_chamfer.width if layout.chamfer_reach else 0.0
    foot: list[PlanePoint] = [(right.x_inside(0.0) if right else x1, 0.0), (left.x_inside(0.0) if left else x0, 0.0)]
    rise_left: list[PlanePoint] = [(x0, c)] if left and c else []
    rise_right: list[PlanePoint] = [(x1, c)] if right and c else []
    top, land = state.show_z, layout.land
    if land is None:
        return [[at_y(0.0, [*foot, *rise_left, (x0, top), (x1, top), *rise_right])]]
    far = layout.recipe.tail_board.thickness - land
    hollow_left, hollow_right = x0 if left else x0 + land, x1 if right else x1 - land
    if left and right:
        lands = [
            [*foot, *rise_left, (x0, land), (x1, land), *rise_right],
            [(x1, far), (x0, far), (x0, top), (x1, top)],
        ]
    elif right:
        notch = [(x1, far), (hollow_left, far), (hollow_left, land), (x1, land)]
        lands = [[*foot, (x0, top), (x1, top), *notch, *rise_right]]
    else:
        notch = [(x0, land), (hollow_right, land), (hollow_right, far), (x0, far)]
        lands = [[*foot, *rise_left, *notch, (x0, top), (x1, top)]]
    faces: list[Face] = [[without_repeats(at_y(0.0, loop))] for loop in lands]
    return faces + _hollow(layout, hollow_left, hollow_right, land, far)


def _hollow(layout: Layout, x0: float, x1: float, low: float, high: float) -> list[Face]:
    """The two planes of a hollow from Z = low to Z = high, and its upright walls at both ends."""
    deep, middle = -layout.recipe.undercut.depth, (low + high) / 2
    near, far = ((x0, 0.0, low), (x1, 0.0, low)), ((x0, 0.0, high), (x1, 0.0, high))
    bottom = ((x0, deep, middle), (x1, deep, middle))
    return [
        [[near[1], near[0], bottom[0], bottom[1]]],
        [[bottom[1], bottom[0], far[0], far[1]]],
        [[near[0], far[0], bottom[0]]],
        [[near[1], bottom[1], far[1]]],
    ]
