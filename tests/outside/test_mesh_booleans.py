"""Volumes and overlaps by mesh booleans (package manifold3d, measured by trimesh) against the layout's formulas.

manifold3d shares no code with Open CASCADE. It works here in double precision (Mesh64); trimesh's own call of it would
round to single precision, which moves a flank by 0.00001 mm.
"""

from __future__ import annotations

import math

import manifold3d
import numpy as np
import pytest
import trimesh

from solids.layout import Layout
from solids.layout.joint.volumes import joint_overlap, pin_board_volume, tail_board_volume
from solids.model.kernel import Mesh, mesh
from tests.corners import CASES, case, job_of, meshes

VOLUME = 1e-9
OVERLAP_MM3 = 1e-6


def body(of: Mesh, move: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> manifold3d.Manifold:
    made = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=of.points + np.array(move), tri_verts=of.triangles.astype(np.uint64))
    )
    assert made.status() == manifold3d.Error.NoError
    return made


def volume(of: manifold3d.Manifold) -> float:
    """By trimesh, from the triangles that the boolean left."""
    out = of.to_mesh64()
    if len(out.tri_verts) == 0:
        return 0.0
    shape = trimesh.Trimesh(out.vert_properties[:, :3], out.tri_verts.astype(np.int64), process=False)
    assert shape.is_watertight
    with np.errstate(all="ignore"):  # boards that only touch may leave a film without volume, which has no centroid
        return float(shape.volume)


def boards(name: str) -> tuple[Mesh, Mesh]:
    return meshes(case(name))


def overlap_when_moved(layout: Layout, e: float) -> float:
    """Of tails drawn back by e: each of 2n flanks comes e/N nearer less the gap, along what is still in the socket."""
    recipe = layout.recipe
    engaged = min(layout.depth, layout.depth + recipe.tail_board.proud - e)
    nearer = max(e / layout.recipe.slope_ratio - recipe.flank_gap * layout.flanks[0].stretch, 0.0)
    return 2 * len(layout.tails) * recipe.tail_board.thickness * engaged * nearer


@pytest.mark.parametrize("name", CASES)
def test_mesh_volumes_are_the_layouts_in_both_states(name: str) -> None:
    job = case(name)
    for corner in (job.cut, job.finished):
        found = [volume(body(mesh(solid))) for _, solid in corner.boards]
        meant = [tail_board_volume(job.layout, corner.state), pin_board_volume(job.layout, corner.state)]
        assert found == pytest.approx(meant, rel=VOLUME)


@pytest.mark.parametrize("name", CASES)
def test_the_overlap_of_the_seated_boards_is_the_tight_flanks_and_nothing_else(name: str) -> None:
    tails, pins = (body(board) for board in boards(name))
    layout = case(name).layout
    gap = layout.recipe.flank_gap
    flank = layout.recipe.tail_board.thickness * layout.depth * math.sqrt(1 + 1 / layout.recipe.slope_ratio**2)
    assert volume(tails ^ pins) == pytest.approx(2 * len(layout.tails) * flank * max(-gap, 0.0), abs=OVERLAP_MM3)


@pytest.mark.parametrize("name", CASES)
def test_together_they_are_the_sum_less_the_overlap(name: str) -> None:
    tails, pins = (body(board) for board in boards(name))
    layout = case(name).layout
    whole = tail_board_volume(layout, layout.as_cut) + pin_board_volume(layout, layout.as_cut) - joint_overlap(layout)
    assert volume(tails + pins) == pytest.approx(whole, rel=VOLUME)


@pytest.mark.parametrize("name", ["through", "half-blind"])
def test_a_corner_without_gap_fills_its_sockets_to_the_last(name: str) -> None:
    """The joint's block, W by t_p by the pins' height, less both boards leaves only what stands above the tails."""
    layout, recipe = case(name).layout, case(name).layout.recipe
    tails, pins = (body(board) for board in boards(name))
    block = manifold3d.Manifold.cube((layout.width, layout.depth, recipe.tail_board.thickness))
    assert volume(block - tails - pins) == pytest.approx(0.0, abs=OVERLAP_MM3)


@pytest.mark.parametrize("share", [0.5, 0.999, 1.001, 1.5, 4.0])
@pytest.mark.parametrize("name", ["through", "half-blind", "loose", "graduated", "listed, no symmetry"])
def test_the_tails_cannot_be_drawn_back_beyond_their_free_play(name: str, share: float) -> None:
    layout = case(name).layout
    play = layout.recipe.flank_gap * math.sqrt(layout.recipe.slope_ratio**2 + 1)
    assert layout.free_play() == pytest.approx(play)
    e = share * (play or 0.1)
    tails, pins = boards(name)
    found = volume(body(tails, (0.0, -e, 0.0)) ^ body(pins))
    assert found == pytest.approx(overlap_when_moved(layout, e), abs=1e-5)
    assert (found > OVERLAP_MM3) == (e > play)


@pytest.mark.parametrize("up", [0.001, 1.0, 7.0, 30.0])
@pytest.mark.parametrize("name", ["through", "half-blind", "loose", "one tail"])
def test_the_tails_lift_straight_out_without_touching(name: str, up: float) -> None:
    tails, pins = boards(name)
    assert volume(body(tails, (0.0, 0.0, up)) ^ body(pins)) == pytest.approx(0.0, abs=OVERLAP_MM3)


@pytest.mark.parametrize("gap", [-0.001, 0.001])
def test_a_thousandth_of_a_millimetre_on_each_flank_is_seen(gap: float) -> None:
    job = job_of("tool-tray", f"fit.flank_gap={gap}")
    found = volume(body(meshes(job)[0]) ^ body(meshes(job)[1]))
    s = math.sqrt(1 + 1 / 7**2)
    assert found == pytest.approx(2 * 4 * 10 * 12 * 0.001 * s if gap < 0 else 0.0, abs=OVERLAP_MM3)
