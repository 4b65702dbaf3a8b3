"""The faces of the tail board: an outline in XY given thickness, with its entry chamfers, hollowed socket floors,
rebate and mitred shoulders."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solids.base.geometry import PlanePoint, Point
from solids.base.polygons import at_height
from solids.layout import Layout, State, Tail
from solids.layout.joint.shape.flanks import Flank, Gap
from solids.layout.joint.shape.mitre import tail_strip
from solids.model.boards.shapes import at_x, at_y, frustum, without_repeats
from solids.model.kernel import Face


def tail_board_faces(layout: Layout, state: State) -> list[Face]:
    """All faces in the joint's frame, each outer loop counter-clockwise seen from outside."""
    back, top, low = -layout.recipe.tail_board.length, state.show_z, layout.rebate
    edges = edges_of(layout)
    left, right = (edge.outer for edge in edges)
    faces: list[Face] = [
        _inside_face(layout, state, edges),
        [at_height(_outline(layout, state, edges), top)],
        [at_y(back, [(left, 0.0), (right, 0.0), (right, top), (left, top)])],
    ]
    if low:
        faces += (_rebated(layout, state, tail, edges) for tail in layout.tails)
    for edge in edges:
        faces += _edge_faces(layout, state, edge)
    for flank in layout.flanks:
        faces += flank_faces(layout, state, flank)
    for tail in layout.tails:
        faces += _tail_end(layout, state, tail, edges)
    shoulders = [shoulder(layout, state, gap) for gap in layout.gaps]
    if low:
        faces.append([_joined(layout, edges, [foot for foot, _ in shoulders])])
        faces += [face for _, rest in shoulders for face in rest]
    else:
        faces += [face for each in shoulders for face in with_foot(each)]
    return faces


# --- the edges ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Edge:
    """What the tail board has at one side of the joint in X: `side` is -1 at X = 0 and 1 at X = W. `x` is the edge of
    the joint, `outer` that of the board, `inner` where the first gap begins."""

    side: int
    x: float
    outer: float
    inner: float
    kind: Literal["plain", "flush", "strip", "mitre"]


def edges_of(layout: Layout) -> tuple[Edge, Edge]:
    """Both edges in order of X."""
    low, high = layout.mitred
    near, far = layout.strips
    ends = (layout.tails[0].flank(-1), layout.tails[-1].flank(1))

    def edge(end: Flank | None, side: int, x: float, strip: float, mitre: float) -> Edge:
        kind: Literal["plain", "flush", "strip", "mitre"] = "plain"
        if end is None:
            kind = "flush"
        elif strip or mitre:
            kind = "strip" if strip else "mitre"
        return Edge(side, x, x + side * strip, x - side * mitre, kind)

    return edge(ends[0], -1, 0.0, near, low), edge(ends[1], 1, layout.width, far, high)


def _edge_faces(layout: Layout, state: State, edge: Edge) -> list[Face]:
    """The edge of the board; and where a strip or a mitred shoulder lies beside the joint, its faces. Written for the
    edge at X = W; at X = 0 each loop is turned round."""
    back, top, low, end = -layout.recipe.tail_board.length, state.show_z, layout.rebate, state.tail_end
    step: list[PlanePoint] = [(0.0, 0.0), (0.0, low)] if low else [(0.0, 0.0)]
    x, outer, inner = edge.x, edge.outer, edge.inner
    loops: list[list[Point]] = []
    match edge.kind:
        case "plain":
            profile = [(0.0, 0.0), (0.0, top)]
        case "flush":
            foot = end - state.chamfer
            profile = [*step, (foot, low), (foot, top)] if low else [(foot, 0.0), (foot, top)]
        case "strip":
            profile = [*step, (end, low), (end, top)] if low else [(end, 0.0), (end, top)]
            loops.append(at_y(end, [(x, low), (x, top), (outer, top), (outer, low)]))
            loops.append(at_x(x, [(0.0, low), (0.0, top), (end, top), (end, low)]))
            if low:
                loops.append([(x, 0.0, low), (x, end, low), (outer, end, low), (outer, 0.0, low)])
        case "mitre":
            foot_of, tip, _ = tail_strip(layout, state)
            profile = [*step, tip]
            loops.append(at_x(inner, [foot_of, (0.0, top), tip]))
            loops.append([(inner, *foot_of), (inner, *tip), (x, *tip), (x, *foot_of)])
    loops.insert(0, at_x(outer, [(back, 0.0), *profile, (back, top)]))
    return [[loop if edge.side > 0 else [loop[0], *loop[:0:-1]]] for loop in loops]


def _outline(layout: Layout, state: State, edges: tuple[Edge, Edge], *, inside: bool = False) -> list[PlanePoint]:
    """The outline at the show face, or at the inside face where no rebate lies in it, counter-clockwise."""
    back, (near, far) = -layout.recipe.tail_board.length, edges
    points: list[PlanePoint] = [(near.outer, back), (far.outer, back), *_at_edge(layout, state, far, inside=inside)]
    for tail in reversed(layout.tails):
        for flank in reversed(tail.flanks):
            line = flank_outline(layout, state, flank, inside=inside)
            points += line if flank.side > 0 else reversed(line)
    return [*points, *reversed(_at_edge(layout, state, near, inside=inside))]


def _at_edge(layout: Layout, state: State, edge: Edge, *, inside: bool) -> list[PlanePoint]:
    """The points of an outline at an edge, from the edge of the board inward."""
    end = state.tail_end
    match edge.kind:
        case "plain":
            return [(edge.x, 0.0)]
        case "flush":
            return [(edge.outer, end - state.chamfer)]
        case "strip":
            return [(edge.outer, end), (edge.x, end), (edge.x, 0.0)]
        case "mitre":
            reach = 0.0 if inside else tail_strip(layout, state)[1][0]
            return without_repeats([(edge.x, reach), (edge.inner, reach), (edge.inner, 0.0)])


def _inside_face(layout: Layout, state: State, edges: tuple[Edge, Edge]) -> Face:
    """The inside face at Z = 0, which ends at the baseline where a rebate lies beyond."""
    if not layout.rebate:
        return [at_height(_outline(layout, state, edges, inside=True), 0.0)[::-1]]
    back, (near, far) = -layout.recipe.tail_board.length, edges
    return [[(near.outer, back, 0.0), (near.outer, 0.0, 0.0), (far.outer, 0.0, 0.0), (far.outer, back, 0.0)]]


def _rebated(layout: Layout, state: State, tail: Tail, edges: tuple[Edge, Edge]) -> Face:
    """The inside face of a tail, which lies on the rebate."""
    points: list[PlanePoint] = []
    for side, edge in zip((1, -1), reversed(edges), strict=True):
        flank, end = tail.flank(side), state.tail_end - state.chamfer
        line = flank_outline(layout, state, flank, inside=True) if flank else [(edge.outer, 0.0), (edge.outer, end)]
        points += line if side > 0 else reversed(line)
    return [at_height(points, layout.rebate)[::-1]]


def _tail_end(layout: Layout, state: State, tail: Tail, edges: tuple[Edge, Edge]) -> list[Face]:
    """The end of a tail, with the chamfers round it where it is left proud."""
    c, top, low, foot = state.chamfer, state.show_z, layout.rebate, state.tail_end - state.chamfer

    def sides(y: float) -> tuple[float, float]:
        left, right = layout.tail_edges(tail, y)
        return left if tail.flank(-1) else edges[0].outer, right if tail.flank(1) else edges[1].outer

    left, right = sides(foot)
    base = at_y(foot, [(right, low), (left, low), (left, top), (right, top)])
    if not c:
        return [[base]]
    left, right = sides(state.tail_end)
    end = [(right - c, low + c), (left + c, low + c), (left + c, top - c), (right - c, top - c)]
    return frustum(base, at_y(state.tail_end, end))


# --- the flanks --------------------------------------------------------------------------------------


def _x_inside(layout: Layout, flank: Flank, y: float) -> float:
    """Where the entry chamfer meets the inside face at Y = y: further into the tail."""
    return flank.x(y) - flank.side * layout.recipe.entry_chamfer.width * flank.stretch


def flank_outline(layout: Layout, state: State, flank: Flank, *, inside: bool) -> list[PlanePoint]:
    """A flank from the baseline to the tail's end, or to where its end chamfer begins, in the plane of the tails'
    inside face or of any other."""
    reach, foot = layout.chamfer_reach, state.tail_end - state.chamfer
    ahead = [(flank.x(foot), foot)]
    if not inside or not reach:
        return [(flank.foot, 0.0), *ahead]
    return [
        (_x_inside(layout, flank, 0.0), 0.0),
        (_x_inside(layout, flank, reach), reach),
        (flank.x(reach), reach),
        *ahead,
    ]


def flank_faces(layout: Layout, state: State, flank: Flank) -> list[Face]:
    """A flank, and the two faces of its entry chamfer."""
    reach, top, low = layout.chamfer_reach, state.show_z, layout.rebate
    c, foot = low + layout.recipe.entry_chamfer.width, state.tail_end - state.chamfer
    stations = [(0.0, z) for z in reversed(_heights(layout, top))]
    lower = [(0.0, c), (reach, c), (reach, low)] if reach else [(0.0, low)]
    loops = [[_on(flank, y, z) for y, z in [*lower, (foot, low), (foot, top), *stations]]]
    if reach:
        start, end = ((_x_inside(layout, flank, y), y, low) for y in (0.0, reach))
        loops.append([_on(flank, reach, c), _on(flank, 0.0, c), start, end])
        loops.append([_on(flank, reach, low), _on(flank, reach, c), end])
    return [[without_repeats(loop if flank.side > 0 else loop[::-1])] for loop in loops]


def _on(flank: Flank, y: float, z: float) -> Point:
    return flank.x(y), y, z


def _heights(layout: Layout, top: float) -> list[float]:
    """The Z where something of a socket's floor meets its flank at the baseline, from the land up to the show face."""
    land = layout.land
    return [top] if land is None else [layout.rebate + land, layout.recipe.tail_board.thickness - land, top]


# --- the floors of the sockets ---------------------------------------------------------------------


Foot = list[PlanePoint]
"""The outline in (X, Z) of the lowest face of a socket's floor, from its right end at the inside face of the tails, up,
and down to its left end there."""


def with_foot(floor: tuple[Foot, list[Face]]) -> list[Face]:
    """The faces of a socket's floor where no rebate joins them to others."""
    foot, rest = floor
    return [[without_repeats(at_y(0.0, [foot[0], *foot[:0:-1]]))], *rest]


def _joined(layout: Layout, edges: tuple[Edge, Edge], feet: list[Foot]) -> list[Point]:
    """The shoulder of the rebate with the feet of all sockets' floors, from edge to edge, seen from the end."""
    (near, far), low = edges, layout.rebate
    loop: list[PlanePoint] = [(far.outer, 0.0), (near.outer, 0.0), (near.outer, low)]
    for foot in feet:
        loop += reversed(foot)
    # A half pin's shoulder at a plain edge goes on straight from that of the rebate.
    straight = [(edge.x, low) for edge in edges if edge.kind == "plain"]
    return without_repeats(at_y(0.0, [point for point in [*loop, (far.outer, low)] if point not in straight]))


def shoulder(layout: Layout, state: State, gap: Gap) -> tuple[Foot, list[Face]]:
    """The floor of one socket: the outline of its lowest face, and its other faces."""
    (x0, x1), (left, right) = gap.span(0.0), (gap.left, gap.right)
    c = layout.recipe.entry_chamfer.width if layout.chamfer_reach else 0.0
    low, top, land = layout.rebate, state.show_z, layout.land
    start: Foot = [(_x_inside(layout, right, 0.0), low), *([(x1, low + c)] if c else [])] if right else [(x1, low)]
    end: Foot = [*([(x0, low + c)] if c else []), (_x_inside(layout, left, 0.0), low)] if left else [(x0, low)]
    if land is None:
        return [*start, (x1, top), (x0, top), *end], []
    near, far = low + land, layout.recipe.tail_board.thickness - land
    hollow_left, hollow_right = x0 if left else x0 + land, x1 if right else x1 - land
    hollow = _hollow(layout, hollow_left, hollow_right, near, far)
    if left and right:
        upper = at_y(0.0, [(x1, far), (x0, far), (x0, top), (x1, top)])
        return [*start, (x1, near), (x0, near), *end], [[upper], *hollow]
    if right:
        notch = [(x1, near), (hollow_left, near), (hollow_left, far), (x1, far)]
        return [*start, *notch, (x1, top), (x0, top), *end], hollow
    notch = [(x0, far), (hollow_right, far), (hollow_right, near), (x0, near)]
    return [*start, (x1, top), (x0, top), *notch, *end], hollow


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
