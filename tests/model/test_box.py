"""The solids of boxes in which nothing is alike: volumes by another route, sections against the marks that a maker
makes, faces the right way round, and what is one piece turned."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely

from solids.layout.box import model as box_layout
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.loose import plug_slabs
from solids.layout.box.model import OUTWARD, BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.layout.joint.shape.placing import place
from solids.model import manifold
from solids.model.box import box_parts
from solids.model.kernel import bounds, common, faces_of, is_valid, mesh, newell_normal, topology, volume_of
from solids.model.parts import Part
from solids.proof.assembly import expected_overlaps, prove_piece
from solids.recipe.tables.box_resolved import SIDES, Side
from solids.recipe.text.reading import check_box
from solids.write.files.table import Job
from tests.boxes import box_case, box_of, job_of_box, meshes_of
from tests.layout.lopsided import OVERRIDES, lopsided, raw_lopsided
from tests.layout.test_box import low_of, reference_heights
from tests.model.by_slices import board_volume, heights, section

SHARED = ("drawer", "odd", "odd, tails on the ends", "ends left proud", "tight", "inches")
BOXES = [*(("lopsided", name) for name in OVERRIDES), *(("shared", name) for name in SHARED)]


def job_of(kind: str, name: str) -> Job:
    return lopsided(name) if kind == "lopsided" else box_case(name)


each_box = pytest.mark.parametrize(("kind", "name"), BOXES)
each_lopsided = pytest.mark.parametrize("name", OVERRIDES)


def parts_of(job: Job, *, finished: bool) -> dict[str, Part]:
    return {part.name: part for part in (job.proof.finished if finished else job.proof.cut)}


# --- volumes and bodies ----------------------------------------------------------------------------


@pytest.mark.parametrize("finished", [False, True], ids=["as cut", "finished"])
@pytest.mark.parametrize(("kind", "name"), BOXES[: len(OVERRIDES) + 2])
def test_every_board_has_the_volume_that_slices_of_its_recipe_sum_to(kind: str, name: str, finished: bool) -> None:
    job = job_of(kind, name)
    for side, part in parts_of(job, finished=finished).items():
        if side in SIDES:
            meant = board_volume(job.proof.box, side, finished=finished)
            assert grooved_volume(job.proof.box, side, finished=finished) == pytest.approx(meant, rel=1e-9), side
            assert volume_of(part.solid) == pytest.approx(meant, rel=1e-9), side


HOLLOW = ("keepsake-box", "tail_board.thickness=12", "undercut.depth=0.5", "box.groove.up=11")


@pytest.mark.parametrize("side", ["front", "back"])
def test_a_groove_deeper_than_half_a_hollow_floor_has_its_volume(side: Side) -> None:
    found = box_of(*HOLLOW, "box.groove.depth=7.5")
    assert grooved_volume(found, side, finished=False) == pytest.approx(
        board_volume(found, side, finished=False), rel=1e-9
    )


@pytest.mark.parametrize("depth", [1.9, 2.5, 5.9])
def test_a_groove_that_ends_within_the_first_half_of_a_hollow_floor_has_its_volume(depth: float) -> None:
    found = box_of(*HOLLOW, f"box.groove.depth={depth}", "box.panel.clearance=0", "box.panel.sawn=quarter")
    for side in SIDES:
        meant = board_volume(found, side, finished=False)
        assert grooved_volume(found, side, finished=False) == pytest.approx(meant, rel=1e-9)


@pytest.mark.parametrize("finished", [False, True], ids=["as cut", "finished"])
@each_lopsided
def test_every_part_is_one_valid_closed_solid_by_both_programs(name: str, finished: bool) -> None:
    for part in parts_of(lopsided(name), finished=finished).values():
        counts = topology(part.in_place)
        assert is_valid(part.in_place)
        assert (counts.solids, counts.shells, counts.closed) == (1, 1, True)
        found = mesh(part.in_place)
        second = manifold.examine(found.points, found.triangles)
        assert (second.closed, second.bodies) == (True, 1)
        assert second.volume == pytest.approx(volume_of(part.in_place), rel=1e-9)
        assert np.linalg.det(np.array(part.rows)[:, :3]) == 1.0


@pytest.mark.parametrize("finished", [False, True], ids=["as cut", "finished"])
@each_lopsided
def test_no_two_parts_overlap_by_either_program_in_either_state(name: str, finished: bool) -> None:
    parts = parts_of(lopsided(name), finished=finished)
    bodies = {}
    for each, part in parts.items():
        found = mesh(part.in_place)
        bodies[each] = manifold.body_of(found.points, found.triangles)
    for first, second in itertools.combinations(parts, 2):
        assert manifold.overlap_volume(bodies[first], bodies[second]) < 1e-6, (first, second)
        shared = common(parts[first].in_place, parts[second].in_place)
        assert sum(map(volume_of, shared)) < 1e-6, (first, second)


@pytest.mark.parametrize("finished", [False, True], ids=["as cut", "finished"])
def test_tight_flanks_overlap_by_what_is_asked_and_no_more(finished: bool) -> None:
    job = job_of_box("keepsake-box", "fit.flank_gap=-0.03", "finish.planing=0.4")
    asked = expected_overlaps(job.proof.assembly, finished=finished)
    parts = parts_of(job, finished=finished)
    for first, second in itertools.combinations(parts, 2):
        meant = asked.get(frozenset((first, second)), (0.0, 0.0))[0]
        found = sum(map(volume_of, common(parts[first].in_place, parts[second].in_place)))
        assert found == pytest.approx(meant, abs=1e-6)


# --- marked from the reference edge ----------------------------------------------------------------


def sides_of(found: BoxLayout, name: str) -> tuple[Side, Side]:
    """The board of a corner that carries tails, and the one that carries pins."""
    end, hand = name.split()
    return (hand, end) if found.recipe.tails_on_sides else (end, hand)  # type: ignore[return-value]


def out_from(found: BoxLayout, side: Side, by: float) -> tuple[str, float]:
    """The axis across a board, and where on it a plane is that lies so far out from its inside face."""
    axis = 0 if side in ("left", "right") else 1
    far = side in ("right", "back")
    return "xy"[axis], found.inside[axis][far] + (by if far else -by)


def along(found: BoxLayout, side: Side, by: float) -> float:
    """The first coordinate, in a section through the mate of a board, of a line so far out from its inside face."""
    axis, at = out_from(found, side, by)
    return at if axis == "y" else -at


def tails_and_pins(job: Job, name: str, share: float, y: float) -> tuple[list[tuple[float, float]], ...]:
    """Wood of the tail board and of the pin board on an upright line: a share of the tail board's thickness out from
    its inside face, and y out from the pin board's."""
    found = job.proof.box
    tail_side, pin_side = sides_of(found, name)
    thickness = found.corners[name].layout.recipe.tail_board.thickness  # type: ignore[index]
    plane = out_from(found, tail_side, share * thickness)
    line = along(found, pin_side, y)
    tails, pins = (heights(section(meshes_of(job.proof)[side], *plane), line) for side in (tail_side, pin_side))
    return tails, pins


@each_box
@pytest.mark.whole
def test_tails_and_pins_are_where_the_marks_from_the_reference_edge_are(kind: str, name: str) -> None:
    """On lines at three depths of every joint, six tenths into the tail board, past groove and chamfer."""
    job = job_of(kind, name)
    for corner in job.proof.box.corners.values():
        layout, low, height = corner.layout, low_of(job.proof.box, corner), job.proof.box.recipe.height
        aside = layout.recipe.flank_gap * np.hypot(1, 1 / layout.recipe.slope_ratio)
        for y in (0.2 * layout.depth, 0.5 * layout.depth, 0.95 * layout.depth):
            meant = reference_heights(layout, low, y)
            tails, pins = tails_and_pins(job, corner.name, 0.6, y)
            below = [(0.0, low)] if low else []
            assert tails == [pytest.approx(span, abs=1e-6) for span in [*below, *meant]], (corner.name, y)
            edges = [low, *(x for left, right in meant for x in (left - aside, right + aside)), height]
            assert pins == [pytest.approx(span, abs=1e-6) for span in zip(edges[::2], edges[1::2], strict=True)], (
                corner.name,
                y,
            )


def test_marks_from_the_wrong_edge_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both boards of a corner that is not mirrored still meet, so that the proof itself has nothing to say of it."""
    monkeypatch.setattr(box_layout, "place", lambda recipe, **_: place(recipe))
    found = lay_out_box(check_box(raw_lopsided("stopped", "box.groove.width=0")))
    proof = prove_piece(found)
    corner = next(corner for corner in found.corners.values() if not corner.upright)
    layout = corner.layout
    tails, _ = tails_and_pins(Job(proof), corner.name, 0.6, layout.depth / 2)
    assert tails != [pytest.approx(span, abs=1e-3) for span in reference_heights(layout, 0.0, layout.depth / 2)]


@pytest.mark.parametrize("name", ["keepsake", "drawer", "inches", "through groove"])
def test_boards_meet_face_to_face_along_every_flank_and_shoulder(name: str) -> None:
    """In a section through the tail board, where floors are flat and nothing is loose: both flanks of each tail, the
    shoulders between them, at a half-blind corner the ends of the tails at the lap, and below a back that stands higher
    the edge of the side that it stands on."""
    job = box_case(name)
    for corner in job.proof.box.corners.values():
        layout, found = corner.layout, job.proof.box
        tail_side, pin_side = sides_of(found, corner.name)
        plane = out_from(found, tail_side, 0.6 * layout.recipe.tail_board.thickness)
        tails, pins = (section(meshes_of(job.proof)[side], *plane) for side in (tail_side, pin_side))
        met = shapely.intersection(tails.boundary, pins.buffer(1e-5, join_style="mitre")).length
        n, d = layout.flanks[0].ratio, layout.depth
        ends = reference_heights(layout, 0.0, d)
        necks = reference_heights(layout, 0.0, 0.0)
        meant = 2 * len(ends) * d * np.hypot(1, 1 / n)
        meant += layout.width - sum(high - low for low, high in necks)
        if layout.is_half_blind:
            meant += sum(high - low for low, high in ends)
        meant += d if low_of(found, corner) else 0.0
        assert met == pytest.approx(meant, abs=1e-2), corner.name


def test_a_board_a_hundredth_of_a_millimetre_out_would_be_noticed_there() -> None:
    job = box_case("keepsake")
    found = job.proof.box
    plane = out_from(found, "left", 6.0)
    tails, pins = (section(meshes_of(job.proof)[side], *plane) for side in ("left", "front"))
    away = shapely.affinity.translate(pins, 0.01, 0.0)
    near, far = (
        shapely.intersection(tails.boundary, each.buffer(1e-5, join_style="mitre")).length for each in (pins, away)
    )
    assert abs(near - far) > 1


# --- right way round -------------------------------------------------------------------------------


def flat_area(part: Part, axis: int, at: float, normal: float) -> float:
    """How much of a part's surface lies in a plane across an axis and looks one way (mm2)."""
    total = 0.0
    for face in faces_of(part.in_place):
        if all(abs(point[axis] - at) < 1e-7 for loop in face for point in loop):
            for loop in face:
                area = newell_normal(loop)[axis] / 2
                total += area if area * normal > 0 or len(face) > 1 else 0.0
    return abs(total)


@each_box
def test_show_faces_are_outside_and_grooves_inside(kind: str, name: str) -> None:
    """As finished. Outside, a face is as long and high as its board but for what the mates' ends take of it; inside,
    the groove takes its width out of it."""
    job = job_of(kind, name)
    found, recipe = job.proof.box, job.proof.box.recipe
    for side in SIDES:
        part = parts_of(job, finished=True)[side]
        axis = 0 if side in ("left", "right") else 1
        out = OUTWARD[side][axis]
        far = side in ("right", "back")
        show, inner = (found.outside[axis] if far else 0.0), found.inside[axis][far]
        low = recipe.groove.top if side == "back" and recipe.back_above_bottom else 0.0
        clear = found.recipe.inside[1 - axis] * (recipe.height - low)
        assert flat_area(part, axis, show, out) > clear - 1e-6
        grooved = recipe.groove.width > 0 and not low
        assert (
            flat_area(part, axis, inner, -out)
            >= clear - 1e-6 - grooved * recipe.groove.width * (found.recipe.inside[1 - axis])
        )
        middle = sum(found.inside[1 - axis]) / 2
        cut = section(mesh(part.in_place), "yx"[axis], middle)
        thickness = abs(show - inner)
        meant = thickness * (recipe.height - low) - grooved * recipe.groove.width * recipe.groove.depth
        assert cut.area == pytest.approx(meant, rel=1e-9)


@each_box
def test_the_groove_is_at_one_height_all_round(kind: str, name: str) -> None:
    job = job_of(kind, name)
    found, recipe = job.proof.box, job.proof.box.recipe
    for side in SIDES:
        axis = 0 if side in ("left", "right") else 1
        cut = section(meshes_of(job.proof)[side], "yx"[axis], sum(found.inside[1 - axis]) / 2)
        deep = recipe.groove.depth or 1.0
        for share, inside_it in ((0.03, True), (0.97, True), (1.03, False)):
            at = out_from(found, side, share * deep)[1]
            spans = heights(cut, -at if axis == 0 else at)
            if side == "back" and recipe.back_above_bottom:
                meant = [(recipe.groove.top, recipe.height)]
            elif recipe.groove.width and inside_it:
                meant = [(0.0, recipe.groove.up), (recipe.groove.top, recipe.height)]
            else:
                meant = [(0.0, recipe.height)]
            assert spans == [pytest.approx(span, abs=1e-7) for span in meant], (side, share)


@each_lopsided
def test_the_finished_box_is_as_large_as_it_says(name: str) -> None:
    job = lopsided(name)
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    for part in parts_of(job, finished=True).values():
        low, high = np.minimum(low, bounds(part.in_place)[0]), np.maximum(high, bounds(part.in_place)[1])
    stand = 0.7 if name == "ends left proud" else 0.0
    assert high[2] - low[2] == pytest.approx(112)
    assert (low, high) == (
        pytest.approx([-stand, -0.4 if stand else 0, 0], abs=1e-9),
        pytest.approx([251 + stand, job.proof.box.outside[1] + (0.4 if stand else 0), 112], abs=1e-9),
    )


# --- pieces ----------------------------------------------------------------------------------------


def vertices(
    part: Part, turn: np.ndarray | None = None, shift: tuple[float, ...] = (0, 0, 0)
) -> set[tuple[float, ...]]:
    points = np.array([point for face in faces_of(part.in_place) for loop in face for point in loop])
    points = points @ (np.eye(3) if turn is None else turn).T + np.array(shift)
    return {tuple(row) for row in np.round(points, 6) + 0.0}


@pytest.mark.parametrize("name", ["keepsake", "through groove", "plugged", "tight", "no bottom", "inches"])
def test_opposite_boards_that_are_one_piece_coincide_after_half_a_turn(name: str) -> None:
    job = box_case(name)
    turn, shift = np.diag((-1.0, -1.0, 1.0)), (*job.proof.box.outside, 0.0)
    for finished in (False, True):
        parts = parts_of(job, finished=finished)
        for first, second in (("front", "back"), ("left", "right")):
            assert parts[first].shape == parts[second].shape
            assert parts[first].solid is parts[second].solid
            assert vertices(parts[first], turn, shift) == vertices(parts[second])


def test_sides_of_a_drawer_are_two_pieces_and_mirror_images_of_each_other() -> None:
    job = box_case("drawer")
    mirror, shift = np.diag((-1.0, 1.0, 1.0)), (job.proof.box.outside[0], 0.0, 0.0)
    half_turn, there = np.diag((-1.0, -1.0, 1.0)), (*job.proof.box.outside, 0.0)
    for finished in (False, True):
        parts = parts_of(job, finished=finished)
        left, right = parts["left"], parts["right"]
        assert left.shape != right.shape
        assert vertices(left, mirror, shift) == vertices(right)
        assert vertices(left, half_turn, there) != vertices(right), "no turn makes the one of the other"


@each_lopsided
def test_nothing_of_a_lopsided_box_is_one_piece(name: str) -> None:
    parts = lopsided(name).proof.cut
    assert [part.shape for part in parts] == [part.name for part in parts]


def test_every_piece_that_is_shared_is_shared_rightly_at_random_corners() -> None:
    """Boards that share a piece have, each by itself, the volume that slices of its own recipe sum to."""
    found = box_of("keepsake-box", "box.joints.front_left.tails=2", "box.joints.back_right.tails=2")
    parts = {part.name: part for part in box_parts(found, finished=False)}
    assert parts["front"].shape == parts["back"].shape
    for side in SIDES:
        assert volume_of(parts[side].solid) == pytest.approx(board_volume(found, side, finished=False), rel=1e-9)


# --- plugs -----------------------------------------------------------------------------------------


def test_a_plug_fills_its_notch_from_the_bottom_of_the_groove_to_the_show_face() -> None:
    job = lopsided("plugged")
    parts = parts_of(job, finished=True)
    plugs = {name.removeprefix("plug "): part for name, part in parts.items() if name.startswith("plug ")}
    assert set(plugs) == {"front right", "back left", "back right"} == set(plug_slabs(job.proof.box)), (
        "the lap hides one"
    )
    for name, plug in plugs.items():
        tail_side, pin_side = sides_of(job.proof.box, name)
        low, high = bounds(plug.in_place)
        assert (low[2], high[2]) == pytest.approx((17, 21.5))
        axis = 0 if pin_side in ("left", "right") else 1
        end = job.proof.box.outside[axis] if pin_side in ("right", "back") else 0.0
        assert min(abs(low[axis] - end), abs(high[axis] - end)) < 1e-9, "flush with the mate's show face"
        assert plug.wood == parts[tail_side].wood
        board = mesh(parts[tail_side].in_place)
        around = mesh(plug.in_place)
        bodies = [manifold.body_of(each.points, each.triangles) for each in (board, around)]
        assert (bodies[0] + bodies[1]).volume() == pytest.approx(bodies[0].volume() + bodies[1].volume(), rel=1e-9)
        assert len((bodies[0] + bodies[1]).decompose()) == 1, "it touches the wood on all sides"


def test_a_plug_has_the_chamfer_of_the_end_that_it_fills() -> None:
    """As much wood as in the same box whose groove stops: the plug ends where the tail does."""
    proud = ("finish.ends=proud", "finish.chamfer=0.3")
    plain, plugged = (box_of("keepsake-box", *proud, f"box.groove.ends={ends}") for ends in ("stopped", "plugged"))
    sums = []
    for found in (plain, plugged):
        parts = box_parts(found, finished=True)
        sums.append(sum(volume_of(part.solid) for part in parts if part.name != "bottom"))
    assert sums[1] == pytest.approx(sums[0], rel=1e-12)


def test_plugs_make_the_boards_what_they_are_where_the_groove_stops() -> None:
    flush = ("keepsake-box", "finish.planing=0.2")
    sums = []
    for ends in ("stopped", "plugged"):
        parts = box_parts(box_of(*flush, f"box.groove.ends={ends}"), finished=True)
        sums.append(sum(volume_of(part.solid) for part in parts if part.name != "bottom"))
    assert sums[1] == pytest.approx(sums[0], rel=1e-12)
