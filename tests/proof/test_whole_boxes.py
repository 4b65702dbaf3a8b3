"""Whole boxes: sizes, solids, proof, order. Each case is proved once (see `tests/boxes.py`)."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from solids.base.errors import InputError, RecipeError
from solids.base.geometry import Slab
from solids.bench.assembling import DIRECTIONS
from solids.layout.box.cut_list import cut_list
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.refusals import lay_out_box, necks
from solids.layout.joint.shape.placing import place
from solids.model import manifold
from solids.model.box import block, box_parts
from solids.model.kernel import bounds, common, faces_of, is_valid, measure, mesh, topology, volume_of
from solids.model.kernel.shaping import placed
from solids.model.parts import Part
from solids.proof import assembly as proving
from solids.proof.box import diagonals, ring_findings, ring_gap
from solids.proof.order import find_order, rotation_to_up
from solids.recipe.text.reading import check_box, read_box
from tests.boxes import CASES, box_case, box_of, job_of_box, meshes_of, raw_of
from tests.properties import PLAIN_BOXES, examples, plain_box_is_proved_or_refused


def problems(name: str, *overrides: str) -> str:
    with pytest.raises(InputError) as caught:
        lay_out_box(check_box(raw_of(name, *overrides)))
    return str(caught.value)


# --- sizes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("overrides", "outside", "told"),
    [
        ((), (240, 160), "box.inside_length"),
        (("box.length=", "box.inside_length=220"), (240, 160), "box.length"),
        (("box.inside_length=220",), (240, 160), ""),
        (("box.height=", "joint.width=80"), (240, 160), "box.height"),
        (("box.height=", "box.inside_height=65"), (240, 160), "box.height"),
        (("tail_board.thickness=", "box.inside_length=222"), (240, 160), "tail_board.thickness"),
        (("finish.planing=0.5",), (240, 160), "box.inside_length"),
    ],
)
def test_a_missing_size_follows_from_the_others_and_is_told(
    overrides: tuple[str, ...], outside: tuple[float, float], told: str
) -> None:
    raw = raw_of("keepsake-box", *(item for item in overrides if not item.endswith("=")))
    for item in overrides:
        if item.endswith("="):
            table, key = item[:-1].split(".")
            del raw[table][key]
    box = lay_out_box(check_box(raw))
    assert box.outside == pytest.approx(outside)
    assert box.recipe.height == pytest.approx(80)
    assert not told or told in {choice.key for choice in box.recipe.choices}


@pytest.mark.parametrize(
    ("overrides", "words"),
    [
        (("box.inside_length=200",), ("box.length", "box.inside_length", "200 mm")),
        (("joint.width=90",), ("box.height: 80 mm does not agree with joint.width", "90 mm")),
        (("box.length=22",), ("box.length: leaves 2 mm inside",)),
        (("box.length=15",), ("box.length: leaves -5 mm inside",)),
        (("box.groove.depth=9",), ("box.groove.depth: 9 mm is too deep for the", "10 mm thick")),
        (("box.groove.up=78",), ("box.groove.up", "off the edge", "80 mm wide")),
        (("box.groove.up=30",), ("cuts a pin at all four corners", "shift it: accepted is from")),
        (("box.groove.width=40",), ("cuts a pin", "narrower groove")),
        (("box.groove.depth=1.5",), ("box.groove.depth", "holds")),
        (("box.length=1300",), ("box.length: the front is sawn", "stock.length is 1200 mm")),
        (("box.height=150", "joint.tails=5"), ("box.height: the", "stock.width is 140 mm")),
        (("box.back_above_bottom=true", "box.groove.width=0"), ("needs a groove",)),
        (("box.back_above_bottom=true", "box.tails_on=ends"), ('set box.tails_on = "sides"',)),
        (("box.hight=80",), ("box.hight: is not a key", "box.height")),
        (("box.front.width=80",), ("box.front.width: is not a key",)),
        (("box.joints.front.width=80",), ("is not a key",)),
        (("box.joints.front.slope=9:1x",), ("box.joints.front.slope",)),
        (("box.left.thickness=0",), ("box.left.thickness",)),
        (("box.left.wood=plastic",), ("box.left.wood",)),
        (("box.joints.back.tails=40",), ("(back left, back right)",)),
        (("box.tails_on=top",), ("box.tails_on",)),
        (("box=3",), ("box: is not a table",)),
        (("joint=3",), ("joint: 3 is not a table",)),
        (("title=",), ("title",)),
    ],
)
def test_what_cannot_be_made_is_told_with_both_sides_and_what_would_be(
    overrides: tuple[str, ...], words: tuple[str, ...]
) -> None:
    said = problems("keepsake-box", *overrides)
    for word in words:
        assert word in said
    lines = said.splitlines()
    assert len(lines) == len(set(lines)), "each is told once"


@pytest.mark.parametrize("missing", ["length", "height", "width"])
def test_a_size_that_nothing_gives_is_asked_for(missing: str) -> None:
    raw = raw_of("keepsake-box")
    del raw["box"][missing]
    with pytest.raises(RecipeError, match=rf"box\.{missing}: is missing"):
        check_box(raw)


def test_the_place_that_a_refused_groove_is_shifted_to_works() -> None:
    said = problems("keepsake-box", "box.groove.up=30")
    low, high = (part.split()[0] for part in said.split("accepted is from ")[1].split(" to ")[:2])
    for up in (float(low) + 1e-3, float(high) - 1e-3):
        assert lay_out_box(check_box(raw_of("keepsake-box", f"box.groove.up={up}"))).recipe.groove.up == up


def test_a_groove_whose_place_is_left_out_lies_in_a_tail() -> None:
    raw = raw_of("keepsake-box", "joint.half_pin=14", "joint.tails=2")
    del raw["box"]["groove"]["up"]
    box = lay_out_box(check_box(raw))
    (left, right) = next(necks(box.corners["front left"].layout))
    assert left <= box.recipe.groove.up
    assert box.recipe.groove.top <= right


def test_the_bottom_has_the_room_that_its_wood_needs() -> None:
    """Change of width: Wood Handbook (FPL-GTR-282), equation 13-2, worked out here."""
    box = box_of("keepsake-box")
    recipe = box.recipe.corners["front left"]
    coefficient = box.recipe.panel.wood.movement.tangential  # type: ignore[union-attr]
    width = 136 + 2 * 4
    moves = width * coefficient * (recipe.home.damp.moisture - recipe.shop.moisture)
    assert box.panel_room == pytest.approx(moves)
    assert box.panel is not None
    assert box.panel.size[1] == pytest.approx(width - 2 * 0.5 - moves)
    assert box.panel.size[0] == pytest.approx(220 + 2 * 4 - 2 * 0.5)


def test_a_bottom_of_a_wood_nobody_has_measured_is_taken_to_move_as_hard_maple_does() -> None:
    """0.0035 of its width for 1 % of moisture (maple has 0.00353: Wood Handbook, FPL-GTR-190, Table 13-5), from 10.1 %
    in the usual shop to 11.9 % in the usual summer."""
    job = job_of_box("keepsake-box", 'box.panel.wood={name = "pear", kind = "hardwood", density = 690}')
    assert job.proof.box.panel_room == pytest.approx(0.0035 * 144 * 1.83, rel=0.01)
    assert any(finding.code == "bottom-movement" for finding in job.proof.findings)


@pytest.mark.parametrize("name", ["keepsake-box", "desk-drawer"])
def test_a_box_with_a_plywood_bottom_goes_together(name: str) -> None:
    """The bottom as modelled is the bottom of the cut list, and reaches into every groove that holds it."""
    proof = job_of_box(name, "box.panel.kind=plywood").proof
    assert proof.passes
    (bottom,) = (part for part in proof.cut if part.name == "bottom")
    row = cut_list(proof.box)[-1]
    assert bottom.wood.name == row.wood
    assert bottom.wood.name.endswith("plywood")
    assert measure(bottom.solid).volume == pytest.approx(row.sheet_area * row.finished[2])


# --- frames --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_every_corner_has_a_right_handed_frame_and_its_joint_is_measured_from_the_reference_edge(name: str) -> None:
    for corner in box_case(name).proof.box.corners.values():
        turn = np.array(corner.rows)[:, :3]
        assert np.linalg.det(turn) == pytest.approx(1.0)
        assert turn @ turn.T == pytest.approx(np.eye(3))
        assert corner.upright == (turn[2, 0] > 0)
        edges = [(tail.left, tail.right) for tail in corner.layout.tails]
        if not corner.upright:
            width = corner.layout.width
            edges = [(width - right, width - left) for left, right in reversed(edges)]
        assert [(tail.left, tail.right) for tail in corner.turned.tails] == [pytest.approx(pair) for pair in edges]


def test_a_mirrored_joint_has_its_tails_elsewhere_and_counts_them_alike() -> None:
    recipe = box_of("odd").recipe.corners["back right"]
    here, there = place(recipe), place(recipe, mirrored=True)
    assert [(t.left, t.right) for t in there.tails] != [(t.left, t.right) for t in here.tails]
    assert [t.number for t in there.counted(there.tails)] == [t.number for t in here.tails]


# --- solids --------------------------------------------------------------------------------------


@pytest.mark.parametrize("finished", [False, True])
@pytest.mark.parametrize("name", CASES)
def test_every_part_is_one_sound_solid_of_exact_volume_in_its_place(name: str, finished: bool) -> None:
    job = box_case(name)
    box = job.proof.box
    parts = job.proof.finished if finished else job.proof.cut
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    for part in parts:
        solid = part.in_place
        assert is_valid(solid)
        assert topology(solid).solids == 1
        if part.name in box.boards:
            assert volume_of(solid) == pytest.approx(grooved_volume(box, part.name, finished=finished), rel=1e-9)  # type: ignore[arg-type]
        low, high = np.minimum(low, bounds(solid)[0]), np.maximum(high, bounds(solid)[1])
    if finished and name != "ends left proud":
        assert low == pytest.approx([0, 0, 0], abs=1e-9)
        assert high == pytest.approx([*box.outside, box.recipe.height], abs=1e-9)


@pytest.mark.parametrize("name", CASES)
def test_no_two_parts_overlap_by_either_program(name: str) -> None:
    job = box_case(name)
    asked = proving.expected_overlaps(job.proof.assembly, finished=False)
    for state in (job.proof.cut, job.proof.finished):
        for first, second in itertools.combinations(state, 2):
            meant = asked.get(frozenset((first.name, second.name)), (0.0, 0.0))[0]
            bodies = [
                manifold.body_of(found.points, found.triangles)
                for found in (mesh(first.in_place), mesh(second.in_place))
            ]
            if state is job.proof.cut:
                assert manifold.overlap_volume(*bodies) == pytest.approx(meant, abs=1e-6)
                kernel = sum(volume_of(solid) for solid in common(first.in_place, second.in_place))
                assert kernel == pytest.approx(meant, abs=1e-6)
            else:
                assert manifold.overlap_volume(*bodies) <= meant + 1e-6


@pytest.mark.parametrize("name", ["odd", "odd, tails on the ends", "drawer"])
def test_tails_lie_in_sockets_at_the_heights_that_are_marked_from_the_reference_edge(name: str) -> None:
    """Probed with small blocks half-way into each joint: wood of the tail board within every tail, of the pin board
    between them, measured up from the reference edge."""
    job = box_case(name)
    bodies = {part: manifold.body_of(found.points, found.triangles) for part, found in meshes_of(job.proof).items()}
    for corner in job.proof.box.corners.values():
        layout = corner.layout
        low = job.proof.box.recipe.back_rise if corner.name.startswith("back") else 0.0
        y, z = layout.depth / 2, layout.recipe.tail_board.thickness / 2
        (_, _, _, ox), (_, _, _, oy), _ = corner.rows
        across = np.array(corner.rows)[:2, :3] @ (0.0, y, z)
        at = (ox + across[0], oy + across[1])
        sides = corner.name.split()
        tail_side = next(side for side in sides if job.proof.box.kind_of(side) == "tail board")  # type: ignore[arg-type]
        pin_side = next(side for side in sides if side != tail_side)
        for side, spans in (
            (tail_side, [layout.tail_edges(tail, y) for tail in layout.tails]),
            (pin_side, layout.pin_spans(y)),
        ):
            for left, right in spans:
                middle = low + (left + right) / 2
                probe = mesh(
                    block(Slab((at[0] - 0.1, at[0] + 0.1), (at[1] - 0.1, at[1] + 0.1), (middle - 0.1, middle + 0.1)))
                )
                found = manifold.overlap_volume(manifold.body_of(probe.points, probe.triangles), bodies[side])
                assert found == pytest.approx(0.008, rel=1e-6), (corner.name, side)


def test_boards_that_are_alike_are_one_part_and_coincide_when_turned() -> None:
    parts = {part.name: part for part in box_case("keepsake").proof.cut}
    assert (parts["front"].shape, parts["back"].shape) == ("front", "front")
    assert parts["left"].shape == parts["right"].shape
    box = box_of("keepsake-box")
    half_turn = ((-1.0, 0.0, 0.0, box.outside[0]), (0.0, -1.0, 0.0, box.outside[1]), (0.0, 0.0, 1.0, 0.0))

    def vertices(part: Part, *, turned: bool) -> np.ndarray:
        solid = placed(part.in_place, half_turn) if turned else part.in_place
        return np.array(
            sorted({tuple(np.round(point, 6)) for face in faces_of(solid) for loop in face for point in loop})
        )

    assert vertices(parts["front"], turned=True) == pytest.approx(vertices(parts["back"], turned=False))
    assert vertices(parts["left"], turned=True) == pytest.approx(vertices(parts["right"], turned=False))


def test_the_sides_of_a_drawer_are_two_parts_and_mirror_images() -> None:
    parts = {part.name: part for part in box_case("drawer").proof.cut}
    assert parts["left"].shape != parts["right"].shape
    left, right = (measure(parts[side].in_place) for side in ("left", "right"))
    assert left.volume == pytest.approx(right.volume, rel=1e-12)
    assert left.centroid[0] == pytest.approx(380 - right.centroid[0], abs=1e-9)
    assert left.centroid[1:] == pytest.approx(right.centroid[1:], abs=1e-9)


def test_nothing_alike_in_a_box_without_symmetry() -> None:
    parts = box_case("odd").proof.cut
    assert len({part.shape for part in parts}) == len(parts) == 5


# --- proof ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_a_box_that_is_true_to_its_recipe_passes(name: str) -> None:
    proof = box_case(name).proof
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    assert {finding.code for finding in proof.findings} >= {"ring", "square", "order", "box-board", "box-overlap"}
    assert ring_gap(proof.box) <= 1e-9
    first, second = diagonals(proof.box)
    assert first == pytest.approx(math.hypot(*proof.box.recipe.inside))
    assert second == pytest.approx(first)


def shifted(part: Part, by: tuple[float, float, float]) -> Part:
    rows = tuple((*row[:3], row[3] + step) for row, step in zip(part.rows, by, strict=True))
    return Part(part.name, part.shape, part.solid, part.wood, rows)


@pytest.mark.parametrize(
    "harm",
    [
        lambda part: shifted(part, (0.0, 0.0, 0.01)) if part.name == "left" else part,
        lambda part: shifted(part, (0.001, 0.0, 0.0)) if part.name == "bottom" else part,
        lambda part: shifted(part, (0.6, 0.0, 0.0)) if part.name == "bottom" else part,
        lambda part: Part(part.name, part.shape, block(Slab((0, 50), (0, 50), (0, 50))), part.wood, part.rows),
    ],
    ids=["a side too high", "the bottom a hair aside, within its room", "the bottom in the wood", "other solids"],
)
def test_a_planted_fault_is_found(monkeypatch: pytest.MonkeyPatch, harm: object) -> None:
    box = box_of("keepsake-box")
    monkeypatch.setattr(
        proving,
        "box_parts",
        lambda box, finished: tuple(map(harm, box_parts(box, finished=finished))),  # type: ignore[arg-type]
    )
    assert not proving.prove_piece(box).passes


def test_a_ring_that_does_not_close_and_a_skew_box_fail() -> None:
    box = box_of("keepsake-box")
    corner = box.corners["back right"]
    rows = tuple((*row[:3], row[3] + step) for row, step in zip(corner.rows, (0.01, 0.0, 0.0), strict=True))
    bent = replace(corner, rows=rows)
    skew = type(box)(box.recipe)
    skew.__dict__["corners"] = {**box.corners, "back right": bent}
    assert ring_gap(skew) == pytest.approx(0.01)
    codes = {finding.code: finding.severity for finding in ring_findings(skew)}
    assert codes == {"ring": "fail", "square": "fail"}


@pytest.mark.whole
def test_a_groove_that_shows_is_told_with_what_makers_do() -> None:
    (finding,) = [f for f in box_case("through groove").proof.findings if f.code == "groove-shows"]
    assert finding.severity == "warning"
    for word in ("Stop it", "plug it", "shift it", "socket of the pin boards"):
        assert word in finding.advice
    assert "front left" in finding.said
    drawer = job_of_box("desk-drawer", "box.groove.ends=through").proof
    assert [f.severity for f in drawer.findings if f.code == "groove-shows"] == ["pass"], "the lap hides it"


def test_plugs_fill_the_notches_of_the_finished_box_alone() -> None:
    proof = box_case("plugged").proof
    plugs = [part for part in proof.finished if part.name.startswith("plug ")]
    assert len(plugs) == 4
    assert not [part for part in proof.cut if part.name.startswith("plug ")]
    for plug in plugs:
        assert plug.wood.name == "walnut"


# --- order ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_put_together_step_by_step_in_the_order_told_no_part_meets_another(name: str) -> None:
    job = box_case(name)
    asked = {
        pair: still + way
        for pair, (still, way) in proving.expected_overlaps(job.proof.assembly, finished=False).items()
    }
    bodies = {part: manifold.body_of(found.points, found.triangles) for part, found in meshes_of(job.proof).items()}
    standing: list[str] = []
    assert [move.part for move in job.proof.order.moves] != []
    for move in job.proof.order.moves:
        for other in standing:
            x, y, z = DIRECTIONS[move.direction]
            for far in (40.0, 17.0, 9.3, 5.1, 2.2, 0.4, 0.05):
                away = manifold.moved(bodies[move.part], (x * far, y * far, z * far))
                met = manifold.overlap_volume(away, bodies[other])
                assert met <= asked.get(frozenset((move.part, other)), 0.0) + 1e-6, (move, other, far)
        standing.append(move.part)
    assert sorted(standing) == sorted(meshes_of(job.proof))


def test_a_drawers_bottom_comes_last_and_from_the_back() -> None:
    last = box_case("drawer").proof.order.moves[-1]
    assert (last.part, last.direction) == ("bottom", "from the back")


def test_parts_that_nothing_leads_to_are_told() -> None:
    def cube(low: float, high: float) -> Slab:
        return Slab((low, high), (low, high), (low, high))

    from solids.model.kernel.shaping import cut

    shell = cut(block(cube(0, 30)), [block(cube(5, 25))])
    stone = block(cube(10, 20))
    order = find_order({"shell": mesh(shell), "stone": mesh(stone)}, {})
    assert set(order.stuck) == {"shell", "stone"}
    assert proving._order_finding(order, {}, ()).severity == "fail"


@pytest.mark.parametrize("direction", DIRECTIONS.values())
def test_every_direction_is_turned_upright_without_a_mirror(direction: tuple[float, float, float]) -> None:
    turn = rotation_to_up(direction)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn @ np.array(direction) == pytest.approx([0, 0, 1])


# --- at random -----------------------------------------------------------------------------------


@examples(8)
@given(PLAIN_BOXES)
def test_random_boxes_are_proved_or_refused_with_a_reason(raw: dict[str, object]) -> None:
    plain_box_is_proved_or_refused(raw)


def test_a_box_is_read_from_a_file_too(tmp_path: object) -> None:
    assert read_box("keepsake-box", ("box.length=300",)).inside[0] == 280


def test_the_end_of_a_half_tail_may_run_on_into_the_wood_beside_it() -> None:
    """The back is 12.7 higher at its reference edge than the side, whose half tail there is narrower than that: the
    middle of its end face, which runs on behind the lap, lies beside the tail."""
    box = lay_out_box(
        check_box(
            {
                "title": "half tail",
                "joint": {"edges": ["half tail", "half pin"]},
                "tail_board": {"thickness": "19 mm"},
                "pin_board": {"thickness": "12 mm"},
                "box": {
                    "length": "160 mm",
                    "width": "230 mm",
                    "height": "120 mm",
                    "panel": {"held": "slips"},
                    "joints": {"back_right": {"kind": "half-blind", "tails": 4, "spacing": "graduated"}},
                },
                "units": "in",
            }
        )
    )
    corner = box.corners["back right"].turned
    half = next(tail for tail in corner.tails if tail.is_half)
    assert (max(corner.strips), half.width) == (pytest.approx(12.7), pytest.approx(12.134, abs=1e-3))
    assert proving.prove_piece(box).passes
