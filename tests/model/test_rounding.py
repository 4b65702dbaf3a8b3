"""What is round: exact areas by formula, true cylinders, letters beside them, and triangles that close."""

from __future__ import annotations

import math

import pytest

from solids.aids.making.modelling import block
from solids.base.errors import FaultError, KernelError
from solids.base.polygons import rounded
from solids.model import manifold
from solids.model.kernel import (
    bounds,
    faces_of,
    facets_of,
    is_valid,
    mesh,
    patches_of,
    project,
    slack_of,
    topology,
    volume_of,
)
from solids.model.kernel.rounding import bored, rounded_prism, sunk
from solids.model.kernel.shaping import chamfer

SQUARE = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)]
HOOKED = [(0.0, 0.0), (20.0, 0.0), (20.0, 5.0), (8.0, 5.0), (8.0, 15.0), (0.0, 15.0)]


def test_a_rounded_corner_is_an_arc_that_touches_both_sides() -> None:
    stretches = rounded(SQUARE, [3.0, 0.0, 0.0, 0.0])
    (start, middle, end), *lines = stretches
    assert (start, end) == (pytest.approx((0.0, 3.0)), pytest.approx((3.0, 0.0)))
    assert middle == pytest.approx((3 - 3 * math.sqrt(0.5), 3 - 3 * math.sqrt(0.5)))
    assert all(bend is None for _, bend, _ in lines)
    assert [a for _, _, a in stretches] == [pytest.approx(b) for b, _, _ in [*stretches[1:], stretches[0]]]


def test_arcs_that_leave_no_straight_between_them_make_a_circle() -> None:
    stretches = rounded([(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)], [3.0] * 4)
    assert len(stretches) == 4
    assert all(
        math.dist(point, (3.0, 3.0)) == pytest.approx(3.0) for stretch in stretches for point in stretch if point
    )


def test_a_side_too_short_for_both_its_arcs_is_a_fault() -> None:
    with pytest.raises(FaultError, match="no room for two arcs"):
        rounded(SQUARE, [6.0, 0.0, 0.0, 6.0])


@pytest.mark.parametrize("radius", [0.5, 2.0, 4.9])
def test_the_volume_is_that_of_the_formula(radius: float) -> None:
    """A right angle filled by an arc changes its area by r2 (1 - pi/4): five corners lose it, the inner gains it."""
    radii = [min(radius, 2.0)] * 3 + [radius] + [min(radius, 2.0)] * 2
    body = rounded_prism(rounded(HOOKED, radii), 1.0, 5.0)
    share = 1 - math.pi / 4
    area = 20 * 5 + 8 * 10 - 5 * share * min(radius, 2.0) ** 2 + share * radius**2
    assert volume_of(body) == pytest.approx(4 * area, rel=1e-9)
    assert is_valid(body)
    assert topology(body).faces == 2 + 6 + 6
    assert bounds(body)[1] == pytest.approx((20.0, 15.0, 5.0), abs=1e-6)


def test_an_open_outline_is_a_fault() -> None:
    with pytest.raises(KernelError, match="not closed"):
        rounded_prism(rounded(SQUARE, [0.0] * 4)[:-1], 0.0, 1.0)


def test_a_hole_takes_a_cylinder() -> None:
    body = bored(block((0, 0, 0), (20, 10, 4)), [((5.0, 5.0), 4.0), ((15.0, 5.0), 2.0)], -1.0, 5.0)
    assert volume_of(body) == pytest.approx(800 - 4 * math.pi * (4 + 1), rel=1e-9)
    assert is_valid(body)


def test_letters_beside_round_faces_leave_all_others_as_they_are() -> None:
    body = rounded_prism(rounded(SQUARE, [3.0] * 4), 0.0, 4.0)
    pocket = [(5.0, 3.0), (9.0, 3.0), (9.0, 7.0), (5.0, 7.0)]
    island = [(6.0, 4.0), (6.0, 6.0), (8.0, 6.0), (8.0, 4.0)]
    sunk_in = sunk(body, (12.0, 5.0), 4.0, [(pocket, [island])], 0.5)
    assert is_valid(sunk_in)
    assert topology(sunk_in).closed
    assert volume_of(body) - volume_of(sunk_in) == pytest.approx(0.5 * (16 - 4), rel=1e-9)
    assert topology(sunk_in).faces == topology(body).faces + 1 + 1 + 8
    with pytest.raises(KernelError, match="no level face"):
        sunk(body, (30.0, 5.0), 4.0, [(pocket, [])], 0.5)


def test_triangles_close_and_miss_no_more_than_the_slack() -> None:
    plate = bored(rounded_prism(rounded(HOOKED, [2.0] * 6), 0.0, 6.0), [((4.0, 4.0), 3.0)], -1.0, 7.0)
    body = chamfer(plate, 0.4, lambda a, b: a[2] == b[2] == 0.0)
    found = mesh(body)
    report = manifold.examine(found.points, found.triangles)
    assert (report.closed, report.bodies) == (True, 1)
    assert 0 < abs(report.volume - volume_of(body)) <= slack_of(body)
    area = sum(patch.area for patch in patches_of(body) if patch.look[2] < -0.999999)
    facets = [face for face in facets_of(body) if all(point[2] == 0.0 for point in face[0])]
    assert area > 0
    assert facets
    steepest = min(patch.look[2] for patch in patches_of(body) if patch.top > 1e-6)
    assert steepest == pytest.approx(-math.sqrt(0.5), abs=1e-6), "a chamfer of 45 degrees, round its arcs too"


def test_plane_solids_have_no_slack_and_the_same_faces_as_ever() -> None:
    body = block((0, 0, 0), (3, 2, 1))
    assert slack_of(body) == 0.0
    assert facets_of(body) == faces_of(body)


def test_round_edges_are_drawn_as_short_lines_near_them() -> None:
    body = bored(block((0, 0, 0), (20, 20, 4)), [((10.0, 10.0), 8.0)], -1.0, 5.0)
    seen = project([body], (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)).visible
    circle = [point for segment in seen for point in segment if math.dist(point, (10.0, 10.0)) < 5.0]
    assert len(circle) > 20
    assert all(math.dist(point, (10.0, 10.0)) == pytest.approx(4.0, abs=1e-6) for point in circle)
