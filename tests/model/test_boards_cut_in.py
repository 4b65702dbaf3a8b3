"""Entry chamfer and hollow measured back on the finished solids: sections along all three axes, angles, planing."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from solids.layout import Layout
from solids.model.corner import make_corner
from solids.model.kernel import Solid, faces_of, newell_normal, volume_of
from tests.fitted import CHAMFERED, HOLLOW, layout_of
from tests.recipes import HALF_BLIND

LISTED = ("joint.spacing=[14, 25, 18]", "joint.tails=3", "joint.half_pin=16.5")
KINDS = {
    "through": (),
    "half-blind": HALF_BLIND,
    "one tail": ("joint.tails=1", "joint.width=40"),
    "no symmetry": LISTED,
    "planed": ("finish.planing=0.4",),
    "tight": ("fit.flank_gap=-0.05",),
}
C, BACK = 1.2, 2.0
DEEP, LAND = 0.3, 1.5


@pytest.fixture(params=KINDS)
def kind(request: pytest.FixtureRequest) -> tuple[str, ...]:
    return KINDS[request.param]


def meets(solid: Solid, axis: int, at: tuple[float, float]) -> list[float]:
    """Where a line along an axis, at the other two coordinates, passes the faces of a solid."""
    others = [i for i in range(3) if i != axis]
    found = []
    for face in faces_of(solid):
        normal, corners = np.array(newell_normal(face[0])), np.array(face[0])
        if abs(normal[axis]) > 1e-9 and is_inside(corners[:, others], at):
            away = sum(normal[i] * (corners[0, i] - q) for i, q in zip(others, at, strict=True))
            found.append(corners[0, axis] + away / normal[axis])
    return sorted(found)


def is_inside(polygon: np.ndarray, at: tuple[float, float]) -> bool:
    """Even-odd rule."""
    odd = False
    for (u1, v1), (u2, v2) in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        if (v1 > at[1]) != (v2 > at[1]) and at[0] < u1 + (at[1] - v1) / (v2 - v1) * (u2 - u1):
            odd = not odd
    return odd


def tails_of(layout: Layout) -> Solid:
    return make_corner(layout, layout.as_finished).tail_board


def pins_of(layout: Layout) -> Solid:
    return make_corner(layout, layout.as_finished).pin_board


# --- entry chamfer -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("up", [0.1, 0.5, 0.9, 1.1])
@pytest.mark.parametrize("along", [0.02, 0.5, 0.98, 1.02])
def test_a_section_through_the_chamfer_shows_both_legs(kind: tuple[str, ...], up: float, along: float) -> None:
    """At a height z < c, up to y = d - back, a tail is (c - z) s less wide on each side; else it is whole."""
    layout = layout_of(*kind, *CHAMFERED)
    d, n = layout.depth, layout.recipe.slope_ratio
    y, z = along * (d - BACK), up * C
    taken = max(C - z, 0) * math.sqrt(1 + 1 / n**2) if along < 1 else 0
    inset = (d - y) / n + taken
    edges = [x for tail in layout.tails for x in (tail.left + inset, tail.right - inset)]
    assert meets(tails_of(layout), 0, (y, z)) == pytest.approx(edges)


def test_the_chamfer_lies_at_half_a_right_angle_to_flank_and_inside_face(kind: tuple[str, ...]) -> None:
    layout = layout_of(*kind, *CHAMFERED)
    units = [np.array(normal) / np.linalg.norm(normal) for normal in map(newell_normal, outlines(tails_of(layout)))]
    slanted = [unit for unit in units if abs(unit[0]) > 0.1 and unit[2] < -0.1]
    flanks = [unit for unit in units if abs(unit[2]) < 1e-9 and 0.5 < abs(unit[0]) < 1 - 1e-9]
    assert len(slanted) == len(flanks) == 2 * len(layout.tails)
    for chamfer in slanted:
        assert chamfer @ (0, 0, -1) == pytest.approx(math.cos(math.pi / 4))
        assert max(chamfer @ flank for flank in flanks) == pytest.approx(math.cos(math.pi / 4))


def outlines(solid: Solid) -> list[list[tuple[float, float, float]]]:
    return [face[0] for face in faces_of(solid)]


def test_the_chamfer_takes_a_prism_from_each_flank(kind: tuple[str, ...]) -> None:
    """2 n s (d - back) c^2/2, as finished as well as cut."""
    layout = layout_of(*kind, *CHAMFERED)
    s = math.sqrt(1 + 1 / layout.recipe.slope_ratio**2)
    taken = volume_of(tails_of(layout_of(*kind))) - volume_of(tails_of(layout))
    assert taken == pytest.approx(2 * len(layout.tails) * s * (layout.depth - BACK) * C**2 / 2, rel=1e-6)


def test_the_chamfer_does_not_show_at_the_finished_face(kind: tuple[str, ...]) -> None:
    """The end of each tail, as finished, is a whole rectangle down to the inside face."""
    layout = layout_of(*kind, *CHAMFERED)
    state = layout.as_finished
    ends = [loop for loop in outlines(tails_of(layout)) if min(point[1] for point in loop) >= state.tail_end - 1e-9]
    assert len(ends) == len(layout.tails)
    for loop, tail in zip(sorted(ends), layout.tails, strict=True):
        left, right = layout.tail_edges(tail, state.tail_end)
        assert {(point[0], point[2]) for point in loop} == {(x, z) for x in (left, right) for z in (0.0, state.show_z)}


# --- hollows -------------------------------------------------------------------------------------------------


def depth_at(u: float, start: float, end: float) -> float:
    """Two planes from the lands that meet at DEEP half-way."""
    middle = (start + end) / 2
    return DEEP * max(1 - abs(u - middle) / (middle - start), 0.0)


@pytest.mark.parametrize("share", [0.05, 0.2, 0.4, 0.5, 0.7, 0.9])
def test_a_section_through_a_tail_boards_socket_shows_two_planes(kind: tuple[str, ...], share: float) -> None:
    """The socket's floor along Z: flat on its lands, else as deep as the chisel leaned, measured along Y."""
    layout = layout_of(*kind, *HOLLOW)
    z, t = share * layout.as_finished.show_z, layout.recipe.tail_board.thickness
    necks = [0.0, *(x for tail in layout.tails for x in layout.tail_edges(tail, 0.0)), layout.width]
    for left, right in zip(necks[::2], necks[1::2], strict=True):
        floor = meets(tails_of(layout), 1, ((left + right) / 2, z))[-1]
        assert floor == pytest.approx(-depth_at(z, LAND, t - LAND), abs=1e-9)


def test_a_socket_at_the_edge_keeps_a_land_at_that_edge(kind: tuple[str, ...]) -> None:
    """Half-way up, walking in from either edge: flat for 1.5 mm, then at once as deep as the hollow."""
    layout = layout_of(*kind, *HOLLOW)
    board, z, w = tails_of(layout), layout.recipe.tail_board.thickness / 2 + 1e-4, layout.width
    for x in (0.01, LAND - 0.01, w - 0.01, w - LAND + 0.01):
        assert meets(board, 1, (x, z))[-1] == 0
    for x in (LAND + 0.01, w - LAND - 0.01):
        assert meets(board, 1, (x, z))[-1] == pytest.approx(-DEEP, abs=1e-3)


@pytest.mark.parametrize("share", [0.05, 0.2, 0.4, 0.5, 0.7, 0.92])
def test_a_section_through_a_pin_boards_socket_shows_two_planes_or_one(kind: tuple[str, ...], share: float) -> None:
    """Through: lands at both faces. Half-blind: one land at the inside face, then one plane down to the lap."""
    layout = layout_of(*kind, *HOLLOW)
    y, d = share * min(layout.depth, layout.as_finished.show_y), layout.depth
    deep = depth_at(y, LAND, d - LAND)
    if layout.is_half_blind:
        deep = DEEP * max(y - LAND, 0) / (d - LAND)
    for tail in layout.tails:
        assert meets(pins_of(layout), 2, (tail.middle, y))[-1] == pytest.approx(-deep, abs=1e-9)


def test_a_half_blind_hollow_is_deepest_at_the_lap() -> None:
    layout = layout_of(*HALF_BLIND, *HOLLOW)
    floors = [meets(pins_of(layout), 2, (layout.tails[1].middle, y))[-1] for y in (2.0, 4.0, 6.0, 8.0, 8.999)]
    assert all(after < before for before, after in pairwise(floors))
    assert floors[-1] == pytest.approx(-DEEP, abs=1e-4)


def test_planing_takes_the_finished_face_into_the_land_and_leaves_no_gap() -> None:
    """1.4 mm of a land of 1.5 mm: at the finished show faces both floors are still flat."""
    layout = layout_of(*HOLLOW, "finish.planing=1.4")
    state, eps = layout.as_finished, 1e-3
    assert meets(tails_of(layout), 1, (layout.tails[0].right + 1.5, state.show_z - eps))[-1] == 0
    assert meets(pins_of(layout), 2, (layout.tails[0].middle, state.show_y - eps))[-1] == 0
