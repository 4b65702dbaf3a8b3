"""Contacts, gaps and interference by programs that share no code with the kernel, on the meshes of the solids.

- trimesh: nearest points on a surface, and plane sections of a mesh;
- shapely (GEOS): distances and shared areas of the sections' polygons;
- Manifold: the interference as a body, measured by trimesh.

Expected values are the formulas of the fit: g on each flank, g s in X, g sqrt(N^2 + 1) along the tails, and
2 n |g| s (t_t d - (d - back)(c - |g|/2)) of overlap.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import trimesh
from shapely.affinity import translate
from shapely.ops import polygonize

from solids.layout import Layout
from solids.model.kernel import Mesh
from tests.fitted import CHAMFERED, FITTED, layout_of, meshes_of, proof_of
from tests.outside.test_mesh_booleans import body, volume

MESH_MM = 1e-7


@pytest.fixture(params=FITTED)
def name(request: pytest.FixtureRequest) -> str:
    return request.param


def meshes(name: str) -> tuple[Mesh, Mesh]:
    return meshes_of(*FITTED[name])


def surface(mesh: Mesh) -> trimesh.Trimesh:
    made = trimesh.Trimesh(mesh.points, mesh.triangles, process=False)
    assert made.is_watertight
    return made


def section(mesh: Mesh, axis: int, at: float) -> shapely.Geometry:
    """The polygon of a mesh in a plane across an axis, in the other two coordinates, by trimesh and shapely."""
    normal = np.eye(3)[axis]
    lines = trimesh.intersections.mesh_plane(surface(mesh), normal, normal * at)
    flat = np.delete(np.round(lines, 9), axis, axis=2)
    rings = polygonize(shapely.union_all([shapely.LineString(line) for line in flat]))
    # A hole comes out as a ring of its own, so every ring turns inside to outside.
    return shapely.symmetric_difference_all([shapely.Polygon(ring.exterior) for ring in rings])


def pins_at(mesh: Mesh, layout: Layout, z: float) -> shapely.Geometry:
    """The pins' section at a height, a hair short of the plane Y = d where a lap begins."""
    return section(mesh, 2, z).intersection(shapely.box(0, 0, layout.width, layout.depth - 1e-6))


def stretch(layout: Layout) -> float:
    return math.sqrt(1 + 1 / layout.recipe.slope_ratio**2)


# --- distances --------------------------------------------------------------------------------------------------


def on_flanks(layout: Layout) -> np.ndarray:
    """Points in the middle of every flank of the tails, above any chamfer."""
    y, z = layout.depth / 2, layout.recipe.tail_board.thickness / 2
    inward = (layout.depth - y) / layout.recipe.slope_ratio
    return np.array([(x, y, z) for tail in layout.tails for x in (tail.left + inward, tail.right - inward)])


def test_the_nearest_point_of_the_pins_lies_one_flank_gap_away(name: str) -> None:
    layout = layout_of(*FITTED[name])
    tails, pins = (surface(mesh) for mesh in meshes(name))
    points = on_flanks(layout)
    assert trimesh.proximity.closest_point_naive(tails, points)[1] == pytest.approx(np.zeros(len(points)), abs=MESH_MM)
    away = trimesh.proximity.closest_point_naive(pins, points)[1]
    assert away == pytest.approx(np.full(len(points), abs(layout.recipe.flank_gap)), abs=MESH_MM)


def test_a_flank_lies_inside_the_pin_where_it_is_tight_and_outside_where_it_is_loose(name: str) -> None:
    layout = layout_of(*FITTED[name])
    pins = pins_at(meshes(name)[1], layout, layout.recipe.tail_board.thickness / 2)
    inside = {bool(pins.buffer(1e-6).contains(shapely.Point(point[:2]))) for point in on_flanks(layout)}
    assert inside == {layout.recipe.flank_gap <= 0}


def test_shoulders_sit_on_the_pin_board_and_tails_on_their_floors(name: str) -> None:
    """On the lands, where there are any: half a millimetre from the show face and from the inside face."""
    layout = layout_of(*FITTED[name])
    tails, pins = (surface(mesh) for mesh in meshes(name))
    t, d = layout.recipe.tail_board.thickness, layout.depth
    necks = [x for tail in layout.tails for x in layout.tail_edges(tail, 0.0)]
    middles = [(a + b) / 2 for a, b in zip([0, *necks[1::2]], [*necks[::2], layout.width], strict=True)]
    points = [(x, 0.0, t - 0.5) for x in middles] + [(tail.middle, 0.5, 0.0) for tail in layout.tails]
    if layout.is_half_blind:
        points += [(tail.middle, d, t / 2) for tail in layout.tails]
    for board in (tails, pins):
        away = trimesh.proximity.closest_point_naive(board, points)[1]
        assert away == pytest.approx(np.zeros(len(points)), abs=MESH_MM)


# --- sections ---------------------------------------------------------------------------------------------------


HAIR = 1e-5


def shared(face: Mesh, onto: Mesh, axis: int, at: float, way: float) -> float:
    """Where `face` ends at a plane and `onto` begins: both a hair inside their own wood, and `onto` not before."""
    before, after = section(onto, axis, at - way * HAIR), section(onto, axis, at + way * HAIR)
    return section(face, axis, at - way * HAIR).intersection(after - before).area


def test_shared_areas_are_those_of_polygons_cut_from_the_meshes(name: str) -> None:
    layout = layout_of(*FITTED[name])
    tails, pins = meshes(name)
    areas = dict.fromkeys(("floor", "shoulder", "lap"), 0.0)
    for contact in proof_of(*FITTED[name]).contacts:
        if contact.meeting.kind != "flank":
            areas[contact.meeting.kind] += contact.area
    # The hair opens or closes sloping edges by as much: a few thousandths of a square millimetre in hundreds.
    assert shared(tails, pins, 2, 0.0, -1.0) == pytest.approx(areas["floor"], rel=2e-3)
    assert shared(pins, tails, 1, 0.0, -1.0) == pytest.approx(areas["shoulder"], rel=2e-3)
    if layout.is_half_blind:
        assert shared(tails, pins, 1, layout.depth, 1.0) == pytest.approx(areas["lap"], rel=2e-3)


@pytest.mark.parametrize("name", [name for name in FITTED if "loose" in name or name == "steep"])
def test_sections_part_by_the_gap_and_touch_once_they_are_moved_by_the_play(name: str) -> None:
    layout = layout_of(*FITTED[name])
    r, z = layout.recipe, layout.recipe.tail_board.thickness * 0.6
    tails = section(meshes(name)[0], 2, z).intersection(shapely.box(0, 0.5, layout.width, 1e3))
    pins = pins_at(meshes(name)[1], layout, z)
    assert tails.distance(pins) == pytest.approx(r.flank_gap, abs=1e-6)
    sideways, along = r.flank_gap * stretch(layout), r.flank_gap * math.sqrt(r.slope_ratio**2 + 1)
    for x, y in ((sideways, 0), (-sideways, 0), (0, -along)):
        assert translate(tails, 0.999 * x, 0.999 * y).intersection(pins).area == 0
        assert translate(tails, 1.01 * x, 1.01 * y).intersection(pins).area > 0
    held = {round(h.play or 0.0, 6) for h in proof_of(*FITTED[name]).holds}
    assert held == {0.0, round(sideways, 6), round(along, 6)}


# --- interference ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("gap", [-0.05, -0.02, -0.001, 0.0, 0.05])
@pytest.mark.parametrize("hollow", [(), ("undercut.depth=0.3", "undercut.land=1.5")], ids=["flat", "hollow"])
def test_interference_with_a_chamfer_is_that_of_the_formula(hollow: tuple[str, ...], gap: float) -> None:
    """Of Manifold's body: 2 n |g| s (t_t d - (d - back)(c - |g|/2)), n = 4, t_t = 10, d = 12, back = 2, c = 1.2."""
    proof = proof_of(*CHAMFERED, *hollow, f"fit.flank_gap={gap}")
    tight = max(-gap, 0.0)
    exact = 8 * tight * math.sqrt(50 / 49) * (10 * 12 - 10 * (1.2 - tight / 2))
    tails, pins = meshes_of(*CHAMFERED, *hollow, f"fit.flank_gap={gap}")
    found = body(tails) ^ body(pins)
    assert volume(found) == pytest.approx(exact, abs=1e-6)
    assert proof.overlap.kernel == pytest.approx(exact, abs=1e-6)


@pytest.mark.parametrize("name", [name for name in FITTED if "tight" not in name])
def test_joints_that_are_not_tight_share_nothing_with_a_second_kernel(name: str) -> None:
    tails, pins = meshes(name)
    assert volume(body(tails) ^ body(pins)) == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("up", [0.05, 0.3, 1.0, 5.0, 9.9, 11.0])
@pytest.mark.parametrize("name", ["chamfered", "hollow", "hollow, loose", "both, no symmetry", "hollow, half-blind"])
def test_on_its_way_in_the_tail_board_meets_nothing(name: str, up: float) -> None:
    tails, pins = meshes(name)
    assert volume(body(tails, (0.0, 0.0, up)) ^ body(pins)) == pytest.approx(0, abs=1e-6)
