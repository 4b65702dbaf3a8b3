"""Manifold's opinion on bodies whose volume is known, and the way that a body comes down through, by columns."""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.model.manifold import (
    body_of,
    examine,
    is_sound,
    moved,
    nested,
    overlap_pieces,
    overlap_volume,
    ray_hits,
    swept_above,
    triangles_in,
    triangles_of,
)
from tests.fitted import FITTED, faces_as_cut, layout_of, meshes_of

BOX = np.array([(x, y, z) for x in (0.0, 2.0) for y in (0.0, 3.0) for z in (0.0, 5.0)])
BOX_TRIANGLES = np.array(
    [(0, 1, 3), (0, 3, 2), (4, 6, 7), (4, 7, 5), (0, 4, 5), (0, 5, 1), (2, 3, 7), (2, 7, 6), (0, 2, 6), (0, 6, 4),
     (1, 5, 7), (1, 7, 3)]
)  # fmt: skip
"""2 x 3 x 5 mm, counter-clockwise seen from outside."""


@pytest.mark.parametrize("name", FITTED)
def test_its_own_triangles_of_a_board_enclose_what_the_kernel_s_do(name: str) -> None:
    """As many triangles, the same corners, the same volume, one closed body: with chamfers, hollows and holes alike."""
    for faces, mesh in zip(faces_as_cut(layout_of(*FITTED[name])), meshes_of(*FITTED[name]), strict=True):
        points, triangles = triangles_of(faces)
        ours, theirs = examine(points, triangles), examine(mesh.points, mesh.triangles)
        assert (ours.closed, ours.bodies) == (True, 1)
        assert ours.volume == pytest.approx(theirs.volume, rel=1e-12)
        assert len(triangles) == len(mesh.triangles)
        assert {tuple(point) for point in points} == {tuple(point) for point in mesh.points}


def test_a_hole_in_a_face_stays_open() -> None:
    """A 30 x 20 x 10 mm block with a 10 x 6 mm hole through it: 6000 - 600 mm3."""
    outer = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]
    hole = [(10.0, 7.0), (10.0, 13.0), (20.0, 13.0), (20.0, 7.0)]
    top = [[(x, y, 10.0) for x, y in loop] for loop in (outer, hole)]
    bottom = [[(x, y, 0.0) for x, y in reversed(loop)] for loop in (outer, hole)]
    sides = [
        [[(*loop[i - 1], 0.0), (*loop[i], 0.0), (*loop[i], 10.0), (*loop[i - 1], 10.0)]]
        for loop in (outer, hole)
        for i in range(4)
    ]
    report = examine(*triangles_of([top, bottom, *sides]))
    assert (report.closed, report.volume) == (True, pytest.approx(5400, rel=1e-12))


# --- meshes ---------------------------------------------------------------------------------------------


def test_a_box_is_one_closed_body_of_its_volume() -> None:
    report = examine(BOX, BOX_TRIANGLES)
    assert (report.closed, report.bodies, report.status) == (True, 1, "NoError")
    assert report.volume == pytest.approx(2 * 3 * 5)


def test_two_boxes_apart_are_two_bodies() -> None:
    report = examine(np.vstack((BOX, BOX + 10)), np.vstack((BOX_TRIANGLES, BOX_TRIANGLES + 8)))
    assert (report.bodies, report.volume) == (2, pytest.approx(60))


@pytest.mark.parametrize("gone", range(12))
def test_a_missing_triangle_leaves_no_closed_body(gone: int) -> None:
    report = examine(BOX, np.delete(BOX_TRIANGLES, gone, axis=0))
    assert (report.closed, report.volume, report.bodies) == (False, 0.0, 0)
    assert report.status != "NoError"


def test_a_flipped_triangle_leaves_no_closed_body() -> None:
    flipped = BOX_TRIANGLES.copy()
    flipped[3] = flipped[3][::-1]
    assert not examine(BOX, flipped).closed
    assert not is_sound(body_of(BOX, flipped))


def test_an_unread_body_agrees_with_nobody() -> None:
    broken = body_of(BOX, BOX_TRIANGLES[1:])
    assert math.isnan(overlap_volume(broken, body_of(BOX, BOX_TRIANGLES)))
    assert math.isnan(overlap_volume(body_of(BOX, BOX_TRIANGLES), broken))


def test_an_empty_body_shares_nothing_and_is_not_sound() -> None:
    assert overlap_volume(manifold3d.Manifold(), body_of(BOX, BOX_TRIANGLES)) == 0
    assert not is_sound(manifold3d.Manifold())


# --- overlaps ----------------------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(st.tuples(*[st.floats(-6, 6)] * 3))
def test_moved_boxes_share_the_product_of_what_is_left_of_each_side(by: tuple[float, float, float]) -> None:
    body = body_of(BOX, BOX_TRIANGLES)
    shared = math.prod(max(side - abs(step), 0) for side, step in zip((2, 3, 5), by, strict=True))
    assert overlap_volume(body, moved(body, by)) == pytest.approx(shared, abs=1e-9)


def test_pieces_come_largest_first_with_their_reach_in_x() -> None:
    comb = manifold3d.Manifold.cube((1, 1, 1)) + manifold3d.Manifold.cube((2, 1, 1)).translate((3, 0, 0))
    pieces = overlap_pieces(comb, manifold3d.Manifold.cube((9, 1, 0.5)))
    assert [(piece.volume, piece.low, piece.high) for piece in pieces] == [
        (pytest.approx(1.0), pytest.approx(3), pytest.approx(5)),
        (pytest.approx(0.5), pytest.approx(0), pytest.approx(1)),
    ]


def test_moving_leaves_the_body_where_it_was() -> None:
    body = body_of(BOX, BOX_TRIANGLES)
    moved(body, (1.0, 2.0, 3.0))
    assert body.bounding_box() == pytest.approx((0, 0, 0, 2, 3, 5))


# --- rays --------------------------------------------------------------------------------------------------


def ray(*to: float, start: tuple[float, float, float] = (1.0, 1.0, 1.0)) -> list[float]:
    """How far the surface of the box is along a ray from a point in it."""
    return [reach for reach, _ in ray_hits(body_of(BOX, BOX_TRIANGLES), np.array(start), np.array(to))]


def test_a_ray_tells_how_far_each_face_is() -> None:
    assert ray(9, 1, 1) == pytest.approx([1])
    assert ray(1, 1, -5) == pytest.approx([1])
    assert ray(1, 1, 9, start=(1, 1, -2)) == pytest.approx([2, 7])
    assert ray(5, 4, 1) == pytest.approx([1.25]), "3-4-5, and the face at X = 2 after a fourth of the way"
    assert ray(1.5, 1, 1) == [], "it ends in the box"
    assert ray(3, 3.1, 9, start=(3, 3.1, -1)) == [], "it passes by"


def test_no_ray_slips_through_where_triangles_meet() -> None:
    """From the middle to the corners, and to the middles of edges and faces, which lie on the faces' diagonals."""
    middle = np.array([1.0, 1.5, 2.5])
    for turn in np.ndindex(3, 3, 3):
        way = (np.array(turn) - 1) * middle
        if way.any():
            reach = float(np.linalg.norm(way))
            assert ray(*(middle + 3 * way), start=tuple(middle)) == pytest.approx([reach])


@pytest.mark.parametrize("name", FITTED)
def test_each_hit_lies_on_the_triangle_that_it_names(name: str) -> None:
    rng = np.random.default_rng(7)
    for mesh in meshes_of(*FITTED[name]):
        body = body_of(mesh.points, mesh.triangles)
        points, triangles = triangles_in(body)
        low, high = points.min(axis=0), points.max(axis=0)
        found = 0
        for start, through in rng.uniform(low, high, (40, 2, 3)):
            way = (through - start) / np.linalg.norm(through - start)
            begin, end = start - 2000 * way, start + 2000 * way
            met = ray_hits(body, begin, end)
            assert len(met) % 2 == 0, "what goes in comes out"
            for reach, number in met:
                a, b, c = points[triangles[number]]
                spot, normal = begin + reach * way, np.cross(b - a, c - a)
                assert abs((spot - a) @ normal) / np.linalg.norm(normal) < 1e-9
                around = ((a, b), (b, c), (c, a))
                assert all(np.cross(q - p, spot - p) @ normal > -1e-6 * (normal @ normal) for p, q in around)
            found += len(met)
        assert found > 20


# --- the way in -------------------------------------------------------------------------------------------


def test_the_way_above_a_box_is_its_column() -> None:
    way = swept_above(BOX, BOX_TRIANGLES, 9.0)
    assert way.volume() == pytest.approx(2 * 3 * 4)
    assert way.bounding_box() == pytest.approx((0, 0, 5, 2, 3, 9))


def test_there_is_no_way_below_the_top() -> None:
    assert swept_above(BOX, BOX_TRIANGLES, 5.0).is_empty()


def test_the_way_above_a_sloping_roof_follows_it() -> None:
    """A wedge from 0 to 4 mm high over 2 x 3 mm, up to 6 mm: 2 x 3 x 6 less the wedge's 2 x 3 x 4/2."""
    wedge = manifold3d.Manifold.hull_points(
        np.array([(0, 0, 0), (2, 0, 0), (0, 3, 0), (2, 3, 0), (2, 0, 4), (2, 3, 4)], dtype=float)
    )
    way = swept_above(*triangles_in(wedge), 6.0)
    assert way.volume() == pytest.approx(2 * 3 * 6 - 2 * 3 * 4 / 2)
    assert overlap_volume(way, wedge) == pytest.approx(0, abs=1e-9)


def test_a_step_sweeps_over_both_its_levels() -> None:
    """An overhang is swept too: what lies above its lower level and under the overhang is on the way."""
    step = manifold3d.Manifold.cube((4, 1, 1)) + manifold3d.Manifold.cube((1, 1, 3))
    way = swept_above(*triangles_in(step), 5.0)
    assert way.volume() == pytest.approx(3 * 4 + 1 * 2)
    hook = manifold3d.Manifold.cube((4, 1, 1)) + manifold3d.Manifold.cube((1, 1, 3))
    hook += manifold3d.Manifold.cube((4, 1, 1)).translate((0, 0, 2))
    assert swept_above(*triangles_in(hook), 5.0).volume() == pytest.approx(3 * 4 + 1 * 2)


@pytest.mark.parametrize("name", FITTED)
def test_the_way_of_a_tail_board_is_its_outline_up_to_the_pins_ends(name: str) -> None:
    """By shapely's union of what the board shows from above, times how far the pins stand above it. A hollow shows
    nothing from above: its wood stands over it."""
    layout = layout_of(*FITTED[name])
    (mesh, _), state = meshes_of(*FITTED[name]), layout.as_cut
    way = swept_above(mesh.points, mesh.triangles, state.pin_end)
    above = way ^ manifold3d.Manifold.cube((1e3, 1e3, 1e3)).translate((-500, -500, state.show_z))
    outline = shapely.union_all([shapely.Polygon(t) for t in mesh.points[mesh.triangles][:, :, :2] if ring_area(t)])
    assert above.volume() == pytest.approx(outline.area * (state.pin_end - state.show_z), rel=1e-6, abs=1e-6)


def ring_area(corners: np.ndarray) -> float:
    return shapely.Polygon(corners).area


# --- rings inside a polygon ----------------------------------------------------------------------

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]


def bounds_of(ring: list[tuple[float, float]]) -> tuple[float, ...]:
    return tuple(round(v, 7) for v in shapely.Polygon(ring).bounds)


def test_rings_lie_a_step_inside_each_other_until_none_has_room() -> None:
    """In a square of 10: 1 from the sides, then 3; the next, at 5, would have no width."""
    rings = nested(SQUARE, 1.0, 2.0)
    assert [bounds_of(ring) for ring in rings] == [(1, 1, 9, 9), (3, 3, 7, 7)]
    assert [len(ring) for ring in rings] == [4, 4], "corners stay sharp"
    assert all(shapely.LinearRing(ring).is_ccw for ring in rings)
    assert nested(SQUARE, 5.0, 1.0) == []


def test_no_more_rings_are_made_than_are_asked_for() -> None:
    assert [bounds_of(ring) for ring in nested(SQUARE, 1.0, 0.5, most=2)] == [(1, 1, 9, 9), (1.5, 1.5, 8.5, 8.5)]
    assert nested(SQUARE, 1.0, 0.5, most=0) == []


def test_a_ring_falls_in_two_where_the_polygon_has_a_waist() -> None:
    """Two squares of 10 with a lane of 2 between them: 0.5 inside there is one ring, 1.5 inside there are two."""
    barbell = [
        (0, 0),
        (10, 0),
        (10, 4),
        (20, 4),
        (20, 0),
        (30, 0),
        (30, 10),
        (20, 10),
        (20, 6),
        (10, 6),
        (10, 10),
        (0, 10),
    ]
    whole, *parts = nested([(float(x), float(y)) for x, y in barbell], 0.5, 1.0, most=2)
    assert bounds_of(whole) == (0.5, 0.5, 29.5, 9.5)
    assert sorted(map(bounds_of, parts)) == [(1.5, 1.5, 8.5, 8.5), (21.5, 1.5, 28.5, 8.5)]
