"""What there is to look at: triangles against closed forms, edges against the solid's own, gaps against the recipe's.

The oracle of the gaps is a face's own plane: a flank leans by the slope, a shoulder lies in the baseline, a floor on
the inside face, a lap at the joint's depth. It knows nothing of `meetings` and `contacts`.
"""

from __future__ import annotations

import dataclasses
import math
from collections import Counter
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest

from solids.bench.assembling import DIRECTIONS
from solids.layout import Layout, State
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.layout.plan import plan
from solids.model.corner import Corner
from solids.model.kernel import Face, faces_of, mesh, mesh_by_face, newell_normal, topology
from solids.proof.assembly import prove_piece
from solids.proof.joint.contacts import contacts_of_faces
from solids.write.files.table import Job
from solids.write.formats.scene import GAPS, LOOSE, RIGHT, TIGHT, Gap, Scene, ShownPart, gap_name, scene_of
from tests.boxes import box_case
from tests.corners import CASES, PRESETS, case, job_of

Array = npt.NDArray[np.float64]

CHAMFER = ("entry_chamfer.width=1", "entry_chamfer.back=2")
HOLLOW = ("undercut.depth=0.3", "undercut.land=1.5")

MORE: dict[str, tuple[str, ...]] = {
    **{preset: (preset,) for preset in PRESETS},
    "a hair tight": ("tool-tray", "fit.flank_gap=-0.001"),
    "a hair loose": ("tool-tray", "fit.flank_gap=0.05"),
    "loose, a gap that shows": ("tool-tray", "fit.flank_gap=0.12"),
    "loose half-blind": ("drawer-front", "fit.flank_gap=0.15"),
    "chamfered": ("tool-tray", *CHAMFER),
    "chamfered a little": ("tool-tray", "entry_chamfer.width=0.2", "entry_chamfer.back=2"),
    "chamfered half-blind": ("drawer-front", *CHAMFER, "fit.flank_gap=-0.03"),
    "hollow": ("tool-tray", *HOLLOW),
    "hollow half-blind": ("drawer-front", *HOLLOW),
    "hollow, tight": ("gauge-case", "undercut.depth=0.2", "undercut.land=1.2", "fit.flank_gap=-0.02"),
    "hollow and chamfered, proud ends": ("shoe-bench", *HOLLOW, *CHAMFER),
    "hollow, planed": ("tool-tray", *HOLLOW, "finish.planing=0.4"),
}
"""A preset's name and what is set otherwise. With CASES: every kind of joint, and every kind of face."""

JOINTS = {**CASES, **MORE}


@pytest.fixture(params=JOINTS, scope="module")
def job(request: pytest.FixtureRequest) -> Job:
    return job_of(*JOINTS[request.param])


def states(job: Job) -> list[tuple[Corner, tuple[ShownPart, ...]]]:
    return [(job.cut, job.job.scene.cut), (job.finished, job.job.scene.finished)]


def boards(job: Job) -> list[tuple[Corner, ShownPart, list[Face]]]:
    """All four: the corner in its state, the board as it is shown, and the faces of its solid."""
    return [
        (corner, board, faces_of(solid))
        for corner, shown in states(job)
        for board, (_, solid) in zip(shown, corner.boards, strict=True)
    ]


def unit(face: Face) -> Array:
    normal = np.array(newell_normal(face[0]))
    return normal / float(np.linalg.norm(normal))


def corners_of(board: ShownPart) -> Array:
    """(m, 3, 3): the three corners of each triangle."""
    return board.points[board.triangles]


def turned(board: ShownPart) -> Array:
    """Twice the area of each triangle, along its normal."""
    a, b, c = corners_of(board).transpose(1, 0, 2)
    return np.cross(b - a, c - a)


def area_of(face: Face) -> float:
    """Outer loop less holes, by Newell's sum: half the length of the sum of a x b over its edges."""
    areas = []
    for loop in face:
        points = np.array(loop)
        areas.append(float(np.linalg.norm(np.cross(points, np.roll(points, -1, axis=0)).sum(axis=0))) / 2)
    return areas[0] - sum(areas[1:])


# --- triangles and edges -------------------------------------------------------------------------


def volume_of(board: ShownPart) -> float:
    """By the divergence theorem: a sixth of the triple product over all triangles."""
    return float(np.linalg.det(corners_of(board)).sum()) / 6


def test_the_triangles_of_each_board_hold_its_closed_form_volume(job: Job) -> None:
    for corner, (tails, pins) in states(job):
        assert volume_of(tails) == pytest.approx(tail_board_volume(job.layout, corner.state), rel=1e-9)
        assert volume_of(pins) == pytest.approx(pin_board_volume(job.layout, corner.state), rel=1e-9)


def test_each_triangle_lies_in_the_plane_of_its_face_and_looks_outward(job: Job) -> None:
    for _, board, faces in boards(job):
        normals = np.array([unit(face) for face in faces])
        starts = np.array([face[0][0] for face in faces])
        across = turned(board)
        assert np.einsum("ij,ij->i", across, normals[board.faces]) == pytest.approx(np.linalg.norm(across, axis=1))
        away = corners_of(board) - starts[board.faces][:, None, :]
        assert np.abs(np.einsum("ijk,ik->ij", away, normals[board.faces])).max() < 1e-9


def test_the_triangles_of_a_face_cover_it_and_no_more(job: Job) -> None:
    for _, board, faces in boards(job):
        areas = np.bincount(board.faces, np.linalg.norm(turned(board), axis=1) / 2, minlength=len(faces))
        assert areas == pytest.approx([area_of(face) for face in faces], rel=1e-9)


def test_no_two_faces_share_a_point_and_no_triangle_is_without_area(job: Job) -> None:
    """So that each face can have a normal and a colour of its own."""
    for _, board, _ in boards(job):
        owners: dict[int, set[int]] = {}
        for triangle, face in zip(board.triangles.tolist(), board.faces.tolist(), strict=True):
            for point in triangle:
                owners.setdefault(point, set()).add(face)
        assert all(len(faces) == 1 for faces in owners.values())
        assert set(owners) == set(range(len(board.points))), "every point is used"
        assert np.linalg.norm(turned(board), axis=1).min() > 1e-6


def test_the_edges_are_those_of_the_solid_each_once(job: Job) -> None:
    for corner, shown in states(job):
        for board, (_, solid) in zip(shown, corner.boards, strict=True):
            found = [frozenset(map(tuple, edge.tolist())) for edge in board.edges]
            loops = [loop for face in faces_of(solid) for loop in face]
            meant = Counter(frozenset((loop[i - 1], loop[i])) for loop in loops for i in range(len(loop)))
            assert set(meant.values()) == {2}, "each edge has a face on either side"
            assert set(found) == set(meant)
            assert len(found) == len(meant) == topology(solid).edges


def test_shapes_are_those_that_the_records_name(job: Job) -> None:
    for _, board, faces in boards(job):
        count = len(board.triangles)
        assert board.points.shape == (len(board.points), 3)
        assert board.points.dtype == np.float64
        assert board.triangles.shape == (count, 3)
        assert board.faces.shape == (count,)
        assert board.edges.shape == (len(board.edges), 2, 3)
        assert sorted(set(board.faces.tolist())) == list(range(len(faces)))
        assert len(board.gaps) == len(faces)
        assert set(board.gaps) <= {"", TIGHT, RIGHT, LOOSE}


def test_the_mesh_face_by_face_is_the_mesh_of_the_whole(job: Job) -> None:
    for _, solid in job.cut.boards:
        points, triangles, _ = mesh_by_face(solid)
        whole = mesh(solid)
        assert (whole.points[whole.triangles] == points[triangles]).all()
        assert len(np.unique(points, axis=0)) == len(whole.points) == topology(solid).vertices


def test_names_woods_title_bounds_and_the_way_up_are_the_recipes(job: Job) -> None:
    scene, layout, recipe = job.job.scene, job.layout, job.layout.recipe
    assert scene.title == recipe.title
    for shown in (scene.cut, scene.finished):
        assert [(board.name, board.wood) for board in shown] == [
            ("tail board", recipe.tail_board.wood),
            ("pin board", recipe.pin_board.wood),
        ]
        up = scene.apart
        assert [board.away for board in shown] == [(0.0, 0.0, up), (0.0, 0.0, 0.0)]
    low, high = scene.bounds
    cut = layout.as_cut
    assert low == pytest.approx([0, -recipe.tail_board.length, -recipe.pin_board.length])
    assert high == pytest.approx([layout.width, max(cut.tail_end, cut.show_y), max(cut.pin_end, cut.show_z)])
    # Lifted so far, the lowest point of the tail board is above the highest pin: they are seen apart.
    assert scene.apart > cut.pin_end
    assert scene.apart < 2 * cut.pin_end


def test_a_scene_made_twice_is_the_same_to_the_bit() -> None:
    job = case("half-blind")
    again = scene_of(job.job.proof)
    for shown, meant in zip((*again.cut, *again.finished), (*job.job.scene.cut, *job.job.scene.finished), strict=True):
        for field in ("points", "triangles", "faces", "edges"):
            assert (getattr(shown, field) == getattr(meant, field)).all()
        assert shown.gaps == meant.gaps


@pytest.mark.parametrize("name", ["keepsake", "drawer", "plugged"])
def test_each_part_of_a_box_leaves_the_way_it_came_and_all_of_it_is_in_view(name: str) -> None:
    proof = box_case(name).proof
    scene = scene_of(proof)
    first, *moves = proof.order.moves
    ways = {board.name: np.array(board.away) for board in scene.cut}
    assert not ways[first.part].any()
    for move in moves:
        if move.part in ways:  # plugs come when the box is finished
            far = np.linalg.norm(ways[move.part])
            assert ways[move.part] == pytest.approx(far * np.array(DIRECTIONS[move.direction]))
            assert far > 0
    assert [board.name for board in scene.finished] == [part.name for part in proof.finished]
    assert {gap for board in scene.cut for gap in board.gaps} == {""}
    assert not scene.is_broken_off
    assert all((a.points == b.points).all() for a, b in zip(scene.drawn.cut, scene.cut, strict=True))


@pytest.mark.parametrize("name", ["keepsake-box", "desk-drawer", "tea-chest"])
def test_taken_apart_every_corner_is_open_and_the_bottom_is_seen(name: str) -> None:
    """No two parts that meet leave as one: they are as far apart as each is from its place, or farther."""
    scene = scene_of(prove_piece(plan(name)))
    shown = {part.name: np.array(part.away) for part in scene.cut}
    least = min(np.linalg.norm(away) for away in shown.values() if away.any())
    corners = [(end, hand) for end in ("front", "back") for hand in ("left", "right")]
    for one, other in [*corners, ("bottom", "left"), ("bottom", "right")]:
        assert np.linalg.norm(shown[one] - shown[other]) > 0.99 * least, (one, other)


@pytest.mark.whole
def test_a_lid_that_is_sawn_off_goes_with_its_boards() -> None:
    scene = scene_of(prove_piece(plan("tea-chest")))
    shown = {part.name: part for part in scene.finished}
    for side in ("front", "right", "back", "left"):
        assert shown[f"lid {side}"].away == shown[side].away
        assert shown[f"lid {side}"].grain == shown[side].grain != (0.0, 0.0, 0.0)


MANY = ("tool-tray", "joint.width=2410", "joint.tails=100")


@pytest.mark.parametrize(
    "joint",
    [
        MANY,
        ("drawer-front", *MANY[1:]),
        pytest.param(("shoe-bench", "joint.width=4000", "joint.tails=100"), marks=pytest.mark.whole),
        pytest.param(
            (*MANY, *CHAMFER, *HOLLOW),
            marks=[
                pytest.mark.whole,
                pytest.mark.xfail(
                    strict=True, reason="a known limit: 7236 triangles where tails are chamfered and floors hollow"
                ),
            ],
        ),
    ],
    ids=["through", "half-blind", "proud, chamfered ends", "entry chamfers and hollows"],
)
def test_a_hundred_tails_are_at_most_5000_triangles_in_each_state(joint: tuple[str, ...]) -> None:
    scene = job_of(*joint).job.scene
    for shown in (scene.cut, scene.finished):
        assert 2500 < sum(len(board.triangles) for board in shown) <= 5000


# --- how faces meet ------------------------------------------------------------------------------


def flank_name(layout: Layout) -> str:
    gap = layout.recipe.flank_gap
    return TIGHT if gap < 0 else LOOSE if gap > 0.1 else RIGHT


def meant_for(layout: Layout, name: str, face: Face) -> str:
    """What a face's gap is called, by the plane that it lies in and the recipe's flank gap."""
    normal, points = unit(face), np.array(face[0])
    side = 1.0 if name == "tail board" else -1.0

    def looks(x: float, y: float, z: float) -> bool:
        return bool(np.abs(normal - np.array((x, y, z))).max() < 1e-9)

    def lies(axis: int, at: float) -> bool:
        return bool(np.abs(points[:, axis] - at).max() < 1e-9)

    s, n, depth = layout.flanks[0].stretch, layout.recipe.slope_ratio, layout.depth
    if any(looks(side * x / s, side * -1 / (n * s), 0) for x in (-1, 1)):
        return flank_name(layout)
    shoulder = side > 0 and looks(0, 1, 0) and lies(1, 0.0)
    floor = side < 0 and looks(0, 0, 1) and lies(2, 0.0)
    lap = layout.is_half_blind and looks(0, side, 0) and lies(1, depth)
    return RIGHT if shoulder or floor or lap else ""


def wrong_gaps(job: Job) -> list[tuple[str, str, int, str, str]]:
    """Board, state, number of the face, what it should be called, and what it is called."""
    return [
        (board.name, corner.state.name, number, meant, found)
        for corner, board, faces in boards(job)
        for number, (face, found) in enumerate(zip(faces, board.gaps, strict=True))
        if found != (meant := meant_for(job.layout, board.name, face))
    ]


@pytest.mark.parametrize("name", JOINTS)
def test_every_face_has_the_gap_of_its_plane_and_those_that_run_on_have_none(name: str) -> None:
    assert wrong_gaps(job_of(*JOINTS[name])) == []


@pytest.mark.parametrize(
    "joint",
    [
        ("carcase", "undercut.depth=0.05", "undercut.land=1.5"),
        ("tool-tray", "fit.flank_gap=0.4", "tail_board.proud=0"),
        ("drawer-front", "fit.flank_gap=0.3"),
    ],
    ids=["shallow hollows", "very loose", "very loose, half-blind"],
)
def test_faces_far_from_their_mates_and_slopes_are_told_too(joint: tuple[str, ...]) -> None:
    assert wrong_gaps(job_of(*joint)) == []


@pytest.mark.parametrize("gap", ["0.1", "-0.0005"])
def test_all_flanks_of_a_joint_have_one_colour_at_the_very_limits(gap: str) -> None:
    """0.1 mm is where a gap shows, and 0.0005 mm where a face counts as out of its place."""
    job = job_of("tool-tray", f"fit.flank_gap={gap}")
    flanks = {
        found
        for _, board, faces in boards(job)
        for face, found in zip(faces, board.gaps, strict=True)
        if abs(abs(unit(face)[0]) - 1 / job.layout.flanks[0].stretch) < 1e-9
    }
    assert len(flanks) == 1


@pytest.mark.parametrize("name", ["through", "half-blind", "tight", "one tail"])
def test_as_many_faces_of_each_board_have_a_gap_as_meet(name: str) -> None:
    """2n flanks on both, n + 1 shoulders on the tail board, n floors on the pin board; n laps on both where hidden."""
    job = case(name)
    n, laps = len(job.layout.tails), len(job.layout.tails) if job.layout.is_half_blind else 0
    for shown in (job.job.scene.cut, job.job.scene.finished):
        tails, pins = (sum(map(bool, board.gaps)) for board in shown)
        assert (tails, pins) == (2 * n + n + 1 + laps, 2 * n + n + laps)


def test_the_oracle_finds_a_gap_that_is_swapped_left_out_or_added() -> None:
    """So that the tests above can fail."""
    job = case("tight")
    scene = job.job.scene
    tails = scene.cut[0]
    for number, planted in (
        (tails.gaps.index(TIGHT), RIGHT),
        (tails.gaps.index(RIGHT), ""),
        (tails.gaps.index(""), LOOSE),
    ):
        gaps = tuple(planted if i == number else gap for i, gap in enumerate(tails.gaps))
        broken = dataclasses.replace(scene, cut=(dataclasses.replace(tails, gaps=gaps), scene.cut[1]))
        faulty = dataclasses.replace(job, job=dataclasses.replace(job.job))
        faulty.job.__dict__["scene"] = broken
        assert [row[2] for row in wrong_gaps(faulty)] == [number]


@pytest.mark.parametrize("name", ["through", "half-blind", "hollow"])
def test_the_order_of_the_faces_does_not_matter(name: str) -> None:
    job = job_of(*JOINTS[name])
    for side, board, (_, solid) in zip((1.0, -1.0), job.job.scene.cut, job.cut.boards, strict=True):
        found = contacts_of_faces(job.layout, job.proof.contacts, faces_of(solid)[::-1], side)
        assert tuple(gap_name(contact) for contact in found[::-1]) == board.gaps


def test_a_joint_that_was_measured_to_meet_nowhere_has_no_gaps() -> None:
    job = case("through")
    nowhere = [dataclasses.replace(contact, area=0.0) for contact in job.proof.contacts]
    for side, (_, solid) in zip((1.0, -1.0), job.cut.boards, strict=True):
        assert set(contacts_of_faces(job.layout, nowhere, faces_of(solid), side)) == {None}


@pytest.mark.parametrize(
    ("tightest", "widest", "called"),
    [
        (0.0, 0.0, RIGHT),
        (-0.0004, 0.0004, RIGHT),
        (0.0, 0.0999, RIGHT),
        (-0.001, -0.001, TIGHT),
        (-0.001, 0.3, TIGHT),
        (0.0, 0.1001, LOOSE),
        (0.5, 0.5, LOOSE),
    ],
)
def test_the_worse_end_of_a_gap_gives_it_its_name(tightest: float, widest: float, called: str) -> None:
    contact = dataclasses.replace(case("through").proof.contacts[0], tightest=tightest, widest=widest)
    assert gap_name(contact) == called
    assert gap_name(None) == ""


# --- colours -------------------------------------------------------------------------------------


def lightness(rgb: tuple[int, int, int]) -> float:
    """CIE L* of an sRGB colour under D65: IEC 61966-2-1 and CIE 15 (from memory)."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (part / 255 for part in rgb)]
    y = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 116 * y ** (1 / 3) - 16 if y > (6 / 29) ** 3 else y * (29 / 3) ** 3


def test_lightness_of_known_colours() -> None:
    """White is 100, black 0, and sRGB grey 119 is the middle grey of 50."""
    assert lightness((255, 255, 255)) == pytest.approx(100, abs=0.01)
    assert lightness((0, 0, 0)) == 0
    assert lightness((119, 119, 119)) == pytest.approx(50, abs=0.2)


def test_the_three_gaps_differ_in_lightness_so_that_no_hue_is_needed() -> None:
    values = sorted(lightness(gap.rgb) for gap in GAPS)
    assert [b - a >= 20 for a, b in pairwise(values)] == [True, True]
    assert values == pytest.approx([30, 60, 88], abs=4), "as the record says"


def test_the_legend_has_each_gap_once_in_words_and_colour() -> None:
    assert [gap.name for gap in GAPS] == [TIGHT, RIGHT, LOOSE]
    assert all(gap.words.startswith(f"{gap.name}: ") for gap in GAPS)
    assert "0.1 mm" in next(gap.words for gap in GAPS if gap.name == RIGHT)
    assert Gap("x", "x", "#0a10ff").rgb == (10, 16, 255)
    assert len({gap.rgb for gap in GAPS}) == 3


# --- planted faults ------------------------------------------------------------------------------


def test_a_board_with_one_triangle_turned_or_moved_is_not_its_closed_form() -> None:
    job = case("through")
    tails = job.job.scene.cut[0]
    volume = tail_board_volume(job.layout, job.layout.as_cut)
    flipped = tails.triangles.copy()
    furthest = int(np.abs(np.linalg.det(corners_of(tails))).argmax())
    flipped[furthest] = flipped[furthest, ::-1]
    assert volume_of(dataclasses.replace(tails, triangles=flipped)) != pytest.approx(volume, rel=1e-6)
    moved = tails.points.copy()
    moved[0] += 0.01
    assert volume_of(dataclasses.replace(tails, points=moved)) != pytest.approx(volume, rel=1e-9)


def test_a_state_is_told_from_the_other_by_its_volume() -> None:
    job = case("ends left proud, chamfered")
    layout: Layout = job.layout
    cut: State = layout.as_cut
    assert volume_of(job.job.scene.finished[0]) != pytest.approx(tail_board_volume(layout, cut), rel=1e-6)
    assert isinstance(job.job.scene, Scene)
    assert math.isclose(volume_of(job.job.scene.cut[0]), tail_board_volume(layout, cut), rel_tol=1e-9)
