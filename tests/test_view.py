"""What there is to see of a corner: its triangles, edges and gaps."""

from __future__ import annotations

import itertools
from collections import Counter

import numpy as np
import pytest

from solids.kernel import faces_of, newell_normal, topology
from solids.scene import GAPS, Board, Scene, make_scene
from solids.write.job import Job
from tests.corners import CASES, case, job_of


def scene_of(job: Job) -> Scene:
    return make_scene(job.cut, job.finished, job.proof.contacts)


def volume(board: Board) -> float:
    a, b, c = (board.points[board.triangles[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def lightness(rgb: tuple[int, int, int]) -> float:
    """CIE L* (CIE 15), from sRGB (IEC 61966-2-1)."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (part / 255 for part in rgb)]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return float(116 * y ** (1 / 3) - 16)


@pytest.mark.parametrize("name", CASES)
def test_the_triangles_enclose_the_exact_volume_of_each_board_in_each_state(name: str) -> None:
    job = case(name)
    scene, layout = scene_of(job), job.layout
    for boards, state in ((scene.cut, layout.as_cut), (scene.finished, layout.as_finished)):
        tails, pins = boards
        assert volume(tails) == pytest.approx(layout.tail_board_volume(state), rel=1e-9)
        assert volume(pins) == pytest.approx(layout.pin_board_volume(state), rel=1e-9)


@pytest.mark.parametrize("name", ["through", "half-blind", "ends left proud, chamfered"])
def test_each_triangle_knows_its_face_and_each_edge_is_there_once(name: str) -> None:
    job = case(name)
    for board, (_, solid) in zip(scene_of(job).cut, job.cut.boards, strict=True):
        normals = [np.array(newell_normal(face[0])) for face in faces_of(solid)]
        for corners, number in zip(board.points[board.triangles], board.faces, strict=True):
            normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
            assert normal @ normals[number] > 0.999 * np.linalg.norm(normal) * np.linalg.norm(normals[number])
        assert len(board.edges) == topology(solid).edges
        assert set(board.faces) == set(range(topology(solid).faces))


@pytest.mark.parametrize(
    ("overrides", "flanks"),
    [
        ((), "right"),
        (("fit.flank_gap=-0.02",), "tight"),
        (("fit.flank_gap=0.08",), "right"),
        (("fit.flank_gap=0.2",), "loose"),
    ],
)
@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_faces_that_meet_are_told_by_their_gap_and_others_have_none(
    preset: str, overrides: tuple[str, ...], flanks: str
) -> None:
    job = job_of(preset, *overrides)
    n, blind = len(job.layout.tails), job.layout.is_half_blind
    tails, pins = scene_of(job).cut
    floors = n + 1 + (n if blind else 0)
    assert Counter(tails.gaps)[flanks] == 2 * n + (floors if flanks == "right" else 0)
    assert Counter(tails.gaps)[""] == 4 * n + 6 - 2 * n - floors
    assert Counter(pins.gaps)[flanks] == 2 * n + ((2 * n if blind else n) if flanks == "right" else 0)


def test_the_colours_of_gaps_differ_in_lightness() -> None:
    levels = sorted(lightness(gap.rgb) for gap in GAPS)
    assert all(b - a >= 20 for a, b in itertools.pairwise(levels))


def test_the_tail_board_leaves_upward_far_enough_to_be_clear_and_the_pin_board_stays() -> None:
    job = job_of()
    tails, pins = scene_of(job).cut
    assert tails.away[:2] == pins.away[:2] == (0.0, 0.0)
    assert tails.away[2] > job.layout.as_cut.pin_end
    assert pins.away[2] == 0.0


def test_a_hundred_tails_stay_under_five_thousand_triangles() -> None:
    job = job_of("tool-tray", "joint.width=2600", "joint.tails=100")
    for boards in (scene_of(job).cut, scene_of(job).finished):
        assert sum(len(board.triangles) for board in boards) <= 5000
