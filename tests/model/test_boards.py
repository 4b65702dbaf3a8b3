"""The boards measured back: volumes by formula, angles and widths on a section, faces counted, nothing split."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pytest

from solids.layout import Layout, State
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.boards import face_count
from solids.model.corner import Corner, make_corner
from solids.model.kernel import bounds, faces_of, is_valid, newell_normal, topology, volume_of
from tests.recipes import MINIMAL, laid_out

plan = partial(laid_out, text=MINIMAL)

BOTH = ("entry_chamfer.width=0.8", "entry_chamfer.back=1.5", "undercut.depth=0.4", "undercut.land=1.2")

CASES = {
    "plain": (),
    "one tail": ("joint.width=40", "joint.tails=1"),
    "tight": ("fit.flank_gap=-0.04",),
    "loose": ("fit.flank_gap=0.1",),
    "graduated": ("joint.spacing=graduated", "joint.tails=5", "joint.width=140"),
    "listed, no symmetry": ("joint.spacing=[14, 25, 18]", "joint.pin=4"),
    "half-blind": ("joint.kind=half-blind",),
    "half-blind, planed": ("joint.kind=half-blind", "finish.planing=0.3"),
    "planed": ("finish.planing=0.4",),
    "proud, chamfered": (
        "finish.ends=proud",
        "tail_board.proud=3",
        "pin_board.proud=2",
        "finish.chamfer=0.8",
        "joint.pin=6",
        "joint.half_pin=9",
    ),
    "proud, chamfered, loose": (
        "finish.ends=proud",
        "tail_board.proud=2",
        "pin_board.proud=2",
        "finish.chamfer=2",
        "joint.pin=8",
        "joint.half_pin=9",
        "fit.flank_gap=0.2",
    ),
    "entry chamfer": ("entry_chamfer.width=0.8",),
    "entry chamfer, half-blind, tight": (
        "joint.kind=half-blind",
        "entry_chamfer.width=0.8",
        "entry_chamfer.back=1",
        "fit.flank_gap=-0.04",
    ),
    "undercut": ("undercut.depth=0.4", "undercut.land=1.2"),
    "undercut, half-blind": ("joint.kind=half-blind", "undercut.depth=0.3", "undercut.land=1.2"),
    "undercut, one tail": ("undercut.depth=0.3", "joint.width=40", "joint.tails=1"),
    "chamfer and undercut, planed, loose": (*BOTH, "finish.planing=0.4", "fit.flank_gap=0.1"),
    "chamfer and undercut, half-blind, planed": (*BOTH, "joint.kind=half-blind", "finish.planing=0.4"),
    "chamfer and undercut, proud": (
        *BOTH,
        "finish.ends=proud",
        "tail_board.proud=3",
        "pin_board.proud=2",
        "finish.chamfer=0.8",
        "joint.pin=6",
        "joint.half_pin=9",
    ),
    "in inches": ("units=in", "joint.width=3 1/2", "tail_board.thickness=3/8", "pin_board.thickness=3/4"),
}


@pytest.fixture(params=CASES, scope="module")
def layout(request: pytest.FixtureRequest) -> Layout:
    return plan(*CASES[request.param])


def corners(layout: Layout) -> list[Corner]:
    return [make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)]


def test_volumes_equal_the_closed_form(layout: Layout) -> None:
    for corner in corners(layout):
        assert volume_of(corner.tail_board) == pytest.approx(tail_board_volume(layout, corner.state), rel=1e-9)
        assert volume_of(corner.pin_board) == pytest.approx(pin_board_volume(layout, corner.state), rel=1e-9)


def test_each_board_is_one_valid_closed_solid(layout: Layout) -> None:
    for corner in corners(layout):
        for _, solid in corner.boards:
            counts = topology(solid)
            assert is_valid(solid)
            assert (counts.solids, counts.shells, counts.closed) == (1, 1, True)
            assert counts.vertices - counts.edges + counts.faces == 2, "Euler: no hole, no handle"


def test_faces_are_as_many_as_the_joint_has(layout: Layout) -> None:
    """4n + 6 on each board; the chamfer round proud ends adds four to each end, an entry chamfer two to each flank. A
    hollow adds two planes, two walls and a second land to a socket of the tail board, whose edge sockets keep one land
    in one piece; three planes to a pin board's socket, one where it slopes to the lap."""
    n = len(layout.tails)
    chamfered, hollow = bool(layout.recipe.entry_chamfer.width), bool(layout.recipe.undercut.depth)
    for corner in corners(layout):
        added = 4 if corner.state.chamfer else 0
        tails = 4 * n + 6 + added * n + 4 * n * chamfered + (5 * (n - 1) + 2 * 4) * hollow
        pins = 4 * n + 6 + added * (n + 1) + (1 if layout.is_half_blind else 3) * n * hollow
        assert face_count(layout, corner.state) == (tails, pins)
        assert topology(corner.tail_board).faces == face_count(layout, corner.state)[0]
        assert topology(corner.pin_board).faces == face_count(layout, corner.state)[1]


def test_every_face_is_plane_and_no_two_that_meet_are_coplanar(layout: Layout) -> None:
    """A split coplanar face would show as an edge between two faces with one normal."""
    for corner in corners(layout):
        for _, solid in corner.boards:
            normals, of_edge = [], {}
            for index, face in enumerate(faces_of(solid)):
                normal = np.array(newell_normal(face[0]))
                unit = normal / np.linalg.norm(normal)
                normals.append(unit)
                points = np.array(face[0])
                assert np.ptp(points @ unit) < 1e-9, "all points of a face lie in one plane"
                for a, b in zip(face[0], [*face[0][1:], face[0][0]], strict=True):
                    of_edge.setdefault(frozenset((a, b)), []).append(index)
            for first, second in of_edge.values():
                assert normals[first] @ normals[second] < 1 - 1e-9


def test_boards_reach_as_far_as_their_state_says(layout: Layout) -> None:
    for corner in corners(layout):
        state, recipe = corner.state, layout.recipe
        low, high = bounds(corner.tail_board)
        assert low == pytest.approx((0, -recipe.tail_board.length, 0), abs=1e-9)
        assert high == pytest.approx((layout.width, state.tail_end, state.show_z), abs=1e-9)
        low, high = bounds(corner.pin_board)
        assert low == pytest.approx((0, 0, -recipe.pin_board.length), abs=1e-9)
        assert high == pytest.approx((layout.width, state.show_y, state.pin_end), abs=1e-9)


def crossings(solid: object, y: float, z: float) -> list[float]:
    """The X at which a line along X at (y, z) passes the faces of a solid, from its own geometry."""
    found = []
    for face in faces_of(solid):
        normal = np.array(newell_normal(face[0]))
        if abs(normal[0]) < 1e-9:
            continue
        origin = np.array(face[0][0])
        x = origin[0] + (normal[1] * (origin[1] - y) + normal[2] * (origin[2] - z)) / normal[0]
        if inside(np.array(face[0])[:, 1:], y, z):
            found.append(x)
    return sorted(found)


def inside(polygon: np.ndarray, y: float, z: float) -> bool:
    """Even-odd rule in the YZ plane."""
    odd = False
    for (y1, z1), (y2, z2) in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        if (z1 > z) != (z2 > z) and y < y1 + (z - z1) / (z2 - z1) * (y2 - y1):
            odd = not odd
    return odd


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_section_shows_the_widths_of_the_layout(layout: Layout, share: float) -> None:
    corner = make_corner(layout, layout.as_cut)
    y, z = share * layout.depth, layout.recipe.tail_board.thickness / 3
    tails = [x for tail in layout.tails for x in layout.tail_edges(tail, y)]
    sockets = [x for tail in layout.tails for x in layout.socket_edges(tail, y)]
    assert crossings(corner.tail_board, y, z) == pytest.approx(tails)
    assert crossings(corner.pin_board, y, z) == pytest.approx([0, *sockets, layout.width])


def test_flanks_lean_by_the_slope(layout: Layout) -> None:
    """The angle between a flank and the YZ plane, measured on the solid, is atan(1/N); each leans outward."""
    corner = make_corner(layout, layout.as_cut)
    for solid, sign in ((corner.tail_board, 1), (corner.pin_board, -1)):
        leaning = []
        for face in faces_of(solid):
            normal = np.array(newell_normal(face[0]))
            unit = normal / np.linalg.norm(normal)
            if 0.5 < abs(unit[0]) < 1 - 1e-9 and abs(unit[2]) < 1e-9:
                leaning.append(sign * math.atan2(-unit[1], abs(unit[0])))
        assert leaning == pytest.approx([math.atan(1 / layout.flanks[0].ratio)] * 2 * len(layout.tails))


def test_a_joint_without_symmetry_is_not_mirrored() -> None:
    """The first tail of the list lies at the reference edge X = 0, on both boards."""
    layout = plan("joint.spacing=[14, 25, 18]", "joint.pin=4")
    corner = make_corner(layout, layout.as_cut)
    xs = crossings(corner.tail_board, layout.depth, 1.0)
    assert [b - a for a, b in zip(xs[::2], xs[1::2], strict=True)] == pytest.approx([14, 25, 18])


def test_states_differ_by_what_is_planed_away() -> None:
    layout = plan("tail_board.proud=0.7", "pin_board.proud=0.3")
    cut, finished = corners(layout)
    tails = volume_of(cut.tail_board) - volume_of(finished.tail_board)
    t, d, n = layout.recipe.tail_board.thickness, layout.depth, layout.flanks[0].ratio
    assert tails == pytest.approx(sum(t * (0.7 * tail.width + 0.7**2 / n) for tail in layout.tails), rel=1e-9)
    pins = volume_of(cut.pin_board) - volume_of(finished.pin_board)
    ends = sum(d * (a + b) / 2 for a, b in zip(layout.pin_widths(0), layout.pin_widths(d), strict=True))
    assert pins == pytest.approx(0.3 * ends, rel=1e-9)


def test_a_chamfer_of_nothing_is_no_chamfer() -> None:
    layout = plan("finish.ends=proud", "finish.chamfer=0")
    state: State = layout.as_finished
    assert face_count(layout, state) == face_count(layout, layout.as_cut)
    assert volume_of(make_corner(layout, state).tail_board) == pytest.approx(tail_board_volume(layout, layout.as_cut))
