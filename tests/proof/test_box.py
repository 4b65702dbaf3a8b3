"""The proof of a box: that it passes what is right, at every corner, and fails what is planted; the order in which it
goes together; and boxes at random."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given

from solids.base.errors import RecipeError
from solids.base.geometry import IDENTITY, Slab
from solids.bench.assembling import DIRECTIONS, Move, Order
from solids.layout.assembly import Assembly, assembly_of
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.model import box as making
from solids.model import manifold
from solids.model.box import block, box_parts
from solids.model.kernel import Face, faces_of, mesh
from solids.model.kernel.shaping import cut, fuse, placed
from solids.model.parts import Part
from solids.proof import assembly as proving
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.box import ring_findings
from solids.proof.joint.contacts import contacts
from solids.proof.order import find_order
from solids.proof.verdict import late_in
from solids.recipe.text.reading import check_box
from tests.boxes import box_case, box_of, meshes_of, raw_of
from tests.layout.lopsided import OVERRIDES, lopsided, raw_lopsided
from tests.model.test_box import sides_of
from tests.properties import BOXES, box_is_proved_or_refused, examples

Harm = Callable[[Part], Part]


def failing(proof: PieceProof) -> set[str]:
    return {finding.code for finding in proof.findings if finding.severity == "fail"}


# --- what is right passes --------------------------------------------------------------------------


@pytest.mark.parametrize("name", OVERRIDES)
@pytest.mark.whole
def test_a_lopsided_box_passes_and_its_four_corners_are_proved_one_by_one(name: str) -> None:
    proof = lopsided(name).proof
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    assert [joint.kind.names for joint in proof.joints] == [
        *(("front left",), ("front right",), ("back left",), ("back right",))
    ]
    assert all(joint.proof.passes for joint in proof.joints)
    assert {finding.place for finding in proof.findings if finding.code == "corner"} == {
        *("front left", "front right", "back left", "back right")
    }
    codes = {finding.code for finding in proof.findings if finding.severity == "pass"}
    assert codes >= {"corner", "box-board", "ring", "square", "box-overlap", "bottom", "order"}


def test_what_a_corner_fails_is_told_with_the_names_of_the_corners() -> None:
    found = prove_piece(box_of("keepsake-box", "fit.flank_gap=-0.08"))
    assert not found.passes
    grave = [finding for finding in found.findings if finding.severity == "fail"]
    assert {finding.place for finding in grave} == {"all four corners"}
    assert all(finding.said.startswith("All four corners: ") for finding in grave)


@pytest.mark.whole
def test_a_groove_that_shows_is_a_warning_at_the_corners_where_it_shows() -> None:
    (finding,) = [each for each in lopsided("through").proof.findings if each.code == "groove-shows"]
    assert finding.severity == "warning"
    assert finding.place == "front right, back left, back right", "a lap hides it at the front left"
    words = {"stopped": ["stops in the tail boards"], "plugged": ["is plugged", "is hidden by the laps"]}
    words["hidden"] = ["stops in the tail boards", "elsewhere it is hidden by the laps"]
    for name, word in ((name, word) for name, found in words.items() for word in found):
        (finding,) = [each for each in lopsided(name).proof.findings if each.code == "groove-shows"]
        assert finding.severity == "pass"
        assert word in finding.said


def test_a_groove_that_runs_out_below_the_back_is_told_as_such() -> None:
    (finding,) = [each for each in box_case("drawer").proof.findings if each.code == "groove-shows"]
    assert "back" in finding.said
    assert "it is hidden by the laps." in finding.said


# --- every corner as the proof of a single corner measures it ----------------------------------------


def in_frame(solid_faces: list[Face], rows: tuple[tuple[float, ...], ...]) -> list[Face]:
    """Faces of a box in the frame of one of its corners."""
    turn, at = np.array(rows)[:, :3], np.array(rows)[:, 3]

    def back(point: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(float(x) for x in turn.T @ (np.array(point) - at))

    return [[[back(point) for point in loop] for loop in face] for face in solid_faces]  # type: ignore[misc]


def untrue_at(found: BoxLayout, parts: dict[str, Part], name: str, kinds: tuple[str, ...] = ()) -> list[str]:
    """The meetings at a corner whose gap, place or area is not that of its layout, measured on the boards as placed."""
    corner = found.corners[name]  # type: ignore[index]
    tails, pins = (in_frame(faces_of(parts[side].in_place), corner.rows) for side in sides_of(found, name))
    measured = contacts(corner.turned, tails, pins)
    assert len(measured) >= 4
    return [each.words for each in measured if not each.matches and (not kinds or each.meeting.kind in kinds)]


UNGROOVED = {
    "stopped": ("stopped", ()),
    "loose": ("through", ()),
    "tails on the ends": ("tails on the ends", ()),
    "ends left proud": ("ends left proud", ()),
    "tight": ("stopped", ("fit.flank_gap=-0.02",)),
}


@cache
def ungrooved(name: str) -> BoxLayout:
    of, overrides = UNGROOVED[name]
    return lay_out_box(check_box(raw_lopsided(of, "box.groove.width=0", *overrides)))


@pytest.mark.parametrize("name", UNGROOVED)
def test_placed_boards_meet_at_every_corner_as_the_single_corner_does(name: str) -> None:
    """Every flank, shoulder, floor and lap of all four corners, measured on the boards with both their ends, in the
    box: the same gap over the same area as the layout of the corner alone has. Without a groove, which takes area."""
    found = ungrooved(name)
    parts = {part.name: part for part in box_parts(found, finished=False)}
    for corner in found.corners:
        assert untrue_at(found, parts, corner) == []


@pytest.mark.parametrize("name", ["stopped", "back above the bottom"])
@pytest.mark.whole
def test_a_groove_takes_nothing_from_any_flank(name: str) -> None:
    job = lopsided(name)
    parts = {part.name: part for part in job.proof.cut}
    for corner in job.proof.box.corners:
        assert untrue_at(job.proof.box, parts, corner, ("flank",)) == []


def shifted(part: Part, by: tuple[float, float, float]) -> Part:
    rows = tuple((*row[:3], row[3] + step) for row, step in zip(part.rows, by, strict=True))
    return Part(part.name, part.shape, part.solid, part.wood, rows)


@pytest.mark.parametrize(
    ("side", "by"),
    [("left", (-0.01, 0, 0)), ("right", (0.01, 0, 0)), ("front", (0, -0.01, 0)), ("back", (0, 0.01, 0))],
)
def test_a_board_drawn_out_by_a_hundredth_of_a_millimetre_is_seen_in_the_contacts(
    side: str, by: tuple[float, float, float]
) -> None:
    found = ungrooved("stopped")
    parts = {part.name: part for part in box_parts(found, finished=False)}
    parts[side] = shifted(parts[side], by)
    for corner in ("front left", "back right"):
        assert bool(untrue_at(found, parts, corner)) == (side in corner)


# --- what is planted fails -------------------------------------------------------------------------


KEPT: dict[tuple[int, object], tuple[object, ...]] = {}
"""Corners and parts of boxes that are kept for the whole run, made once, by the identity of the box."""


def once(found: BoxLayout, what: object, make: Callable[[], Iterable[object]]) -> tuple[object, ...]:
    if (id(found), what) not in KEPT:
        KEPT[id(found), what] = tuple(make())
    return KEPT[id(found), what]


def proved_with(monkeypatch: pytest.MonkeyPatch, found: BoxLayout, name: str, harm: Harm) -> PieceProof:
    """The proof of a box one of whose parts is not as it should be, in both states. Its corners are proved already."""
    made = {
        state: once(found, state, lambda state=state: box_parts(found, finished=state))  # type: ignore[misc]
        for state in (False, True)
    }
    return proved_with_parts(
        monkeypatch,
        found,
        lambda state: tuple(harm(part) if part.name == name else part for part in made[state]),  # type: ignore[arg-type, attr-defined]
    )


def proved_with_parts(
    monkeypatch: pytest.MonkeyPatch, found: BoxLayout, parts: Callable[[bool], tuple[Part, ...]]
) -> PieceProof:
    joints = once(found, "joints", lambda: map(proving._proved, assembly_of(found).kinds))
    monkeypatch.setattr(proving, "_proved", lambda kind: next(each for each in joints if each.kind == kind))  # type: ignore[attr-defined]
    monkeypatch.setattr(proving, "box_parts", lambda _, finished: parts(finished))
    return prove_piece(found)


STEP = 0.01
SHIFTS = [
    *(("left", by) for by in ((STEP, 0, 0), (0, STEP, 0), (0, 0, -STEP))),
    *(("right", by) for by in ((-STEP, 0, 0), (0, -STEP, 0), (0, 0, STEP))),
    *(("front", by) for by in ((STEP, 0, 0), (0, STEP, 0), (0, -STEP, 0))),
    *(("back", by) for by in ((-STEP, 0, 0), (0, STEP, 0), (0, 0, -STEP))),
    *(("bottom", by) for by in ((0, 0, STEP), (0, 0, -STEP), (0.6, 0, 0))),
]
DRAWN_OUT = [("left", (-STEP, 0, 0)), ("left", (-50, 0, 0)), ("right", (STEP, 0, 0)), ("bottom", (0, 300, 0))]


@pytest.mark.parametrize(("side", "by"), SHIFTS)
def test_a_board_out_of_its_place_fails(
    monkeypatch: pytest.MonkeyPatch, side: str, by: tuple[float, float, float]
) -> None:
    proof = proved_with(monkeypatch, box_of("keepsake-box"), side, lambda part: shifted(part, by))
    assert "box-overlap" in failing(proof)


@pytest.mark.parametrize(("side", "by"), DRAWN_OUT)
def test_a_board_drawn_out_of_its_joints_fails(
    monkeypatch: pytest.MonkeyPatch, side: str, by: tuple[float, float, float]
) -> None:
    proof = proved_with(monkeypatch, box_of("keepsake-box"), side, lambda part: shifted(part, by))
    code = "box-place" if side == "bottom" else "box-joint"
    assert code in failing(proof)
    assert {finding.severity for finding in proof.findings if finding.code == code} == {"fail"}, (
        "nothing says it passes"
    )


def turned(part: Part, box: BoxLayout, flip: tuple[float, float, float]) -> Part:
    """A part turned half round about the middle of its box, along one axis."""
    middle = np.array((*box.outside, box.recipe.height)) / 2
    rows = np.array(part.rows)
    turn = np.diag(flip)
    rows = np.column_stack([turn @ rows[:, :3], turn @ (rows[:, 3] - middle) + middle])
    return replace(part, rows=tuple(tuple(float(x) for x in row) for row in rows))  # type: ignore[arg-type]


def test_a_board_upside_down_fails_because_its_groove_is_at_the_top(monkeypatch: pytest.MonkeyPatch) -> None:
    """The left board turned about X lies where it lay, but for the groove."""
    found = box_of("keepsake-box")
    proof = proved_with(monkeypatch, found, "left", lambda part: turned(part, found, (1, -1, -1)))
    assert failing(proof) >= {"box-overlap"}


@pytest.mark.parametrize(("side", "flip"), [("left", (1, -1, -1)), ("front", (-1, 1, -1)), ("back", (-1, -1, 1))])
def test_a_board_of_a_lopsided_box_turned_any_way_fails(
    monkeypatch: pytest.MonkeyPatch, side: str, flip: tuple[float, float, float]
) -> None:
    found = ungrooved("stopped")
    proof = proved_with(monkeypatch, found, side, lambda part: turned(part, found, flip))
    assert not proof.passes


def test_two_boards_that_change_places_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    found = box_of("keepsake-box", "box.left.thickness=11", "box.front.thickness=13")
    parts = {part.name: part for part in box_parts(found, finished=False)}
    proof = proved_with(monkeypatch, found, "left", lambda part: replace(parts["right"], name="left", rows=part.rows))
    assert failing(proof) >= {"box-board"}


@pytest.mark.parametrize(("side", "lift"), [("front", 0.01), ("left", -0.01), ("left", 0.5), ("back", -3)])
def test_a_groove_at_another_height_fails(monkeypatch: pytest.MonkeyPatch, side: str, lift: float) -> None:
    found = box_of("keepsake-box", "box.left.thickness=11", "box.front.thickness=13")
    real = making._groove_tool

    def lifted(box: BoxLayout, board: object, *, finished: bool) -> object:
        tool = real(box, board, finished=finished)  # type: ignore[arg-type]
        rows = ((1.0, 0.0, 0.0, lift), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))
        return placed(tool, rows) if board.side == side else tool  # type: ignore[attr-defined]

    monkeypatch.setattr(making, "_groove_tool", lifted)
    proof = proved_with_parts(monkeypatch, found, lambda finished: box_parts(found, finished=finished))
    assert "box-overlap" in failing(proof), "the bottom stands in wood"


@pytest.mark.parametrize("grow", [0.01, 2.0])
def test_a_bottom_too_large_fails(monkeypatch: pytest.MonkeyPatch, grow: float) -> None:
    found = box_of("keepsake-box")
    assert found.panel is not None
    (x0, x1), y, z = found.panel.x, found.panel.y, found.panel.z
    larger = block(Slab((x0 - grow, x1 + grow), y, z))
    proof = proved_with(monkeypatch, found, "bottom", lambda part: replace(part, solid=larger))
    assert "box-board" in failing(proof)
    assert ("box-overlap" in failing(proof)) == (grow > found.recipe.panel.clearance)


@pytest.mark.parametrize("name", ["front", "right", "back", "left", "bottom"])
def test_a_bite_out_of_any_part_fails(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """A corner of a tenth of a millimetre is gone, out of some 100 000 mm3."""
    found = box_of("keepsake-box")

    def bitten(part: Part) -> Part:
        point = min(point for face in faces_of(part.solid) for loop in face for point in loop)
        spans = [(x - 0.1, x + 0.1) for x in point]
        return replace(part, solid=cut(part.solid, [block(Slab(*spans))]))

    proof = proved_with(monkeypatch, found, name, bitten)
    assert failing(proof) - {"box-joint"} == {"box-board"}, "the bite may take from where boards meet"
    places = [finding.place for finding in proof.findings if finding.severity == "fail" and finding.code == "box-board"]
    assert places == [name, name], "both states"


@pytest.mark.parametrize("finished", [False, True])
def test_a_formula_that_is_off_by_a_millionth_fails(monkeypatch: pytest.MonkeyPatch, finished: bool) -> None:
    real = Assembly.volume

    def off(self: Assembly, part: str, *, finished: bool) -> float:
        volume = real(self, part, finished=finished)
        return volume * (1 + 1e-6) if (part, finished) == ("back", state) else volume

    state = finished
    monkeypatch.setattr(Assembly, "volume", off)
    (fault,) = [each for each in prove_piece(box_of("keepsake-box")).findings if each.severity == "fail"]
    assert (fault.code, fault.place) == ("box-board", "back")
    assert (", finished," in fault.said) == finished


def test_a_plug_in_the_wrong_place_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    found = box_of("keepsake-box", "box.groove.ends=plugged")
    proof = proved_with(monkeypatch, found, "plug front left", lambda part: shifted(part, (0, 0, 3.0)))
    assert failing(proof) == {"box-overlap", "box-place"}


def test_a_corner_out_of_place_opens_the_ring_and_skews_it(monkeypatch: pytest.MonkeyPatch) -> None:
    found = box_of("odd")
    corner = found.corners["back left"]
    for step, fails in ((0.0, False), (1e-10, False), (1e-8, True), (0.01, True)):
        rows = tuple((*row[:3], row[3] + push) for row, push in zip(corner.rows, (0.0, step, 0.0), strict=True))
        bent = type(found)(found.recipe)
        bent.__dict__["corners"] = {**found.corners, "back left": replace(corner, rows=rows)}
        codes = {each.code: each.severity == "fail" for each in ring_findings(bent)}
        assert codes == {"ring": fails, "square": fails}


# --- false alarms ----------------------------------------------------------------------------------


def test_a_deep_groove_over_hollow_floors_is_no_fault() -> None:
    found = box_of(
        *("keepsake-box", "tail_board.thickness=12", "undercut.depth=0.5", "box.groove.up=11", "box.groove.depth=7.5")
    )
    assert prove_piece(found).passes


def test_a_groove_deeper_than_a_half_blind_joint_is_right_or_refused() -> None:
    overrides = (
        *("box.groove.ends=through", "tail_board.thickness=14", "pin_board.thickness=14", "box.joints.front.lap=12"),
        *("box.groove.depth=9", "box.groove.up=10"),
    )
    try:
        found = lay_out_box(check_box(raw_of("desk-drawer", *overrides)))
    except RecipeError as err:
        assert {problem.key for problem in err.told} == {"box.groove.depth"}
        return
    assert prove_piece(found).passes


@pytest.mark.parametrize("thick", ["10", "12"])
def test_a_groove_deeper_than_the_planed_board_is_refused(thick: str) -> None:
    overrides = (f"pin_board.thickness={thick}", "finish.planing=4", "box.groove.depth=6.5")
    try:
        found = lay_out_box(check_box(raw_of("keepsake-box", *overrides)))
    except RecipeError:
        return
    assert prove_piece(found).passes


# --- the order -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", OVERRIDES)
def test_put_together_in_its_order_by_small_steps_no_part_meets_another(name: str) -> None:
    """Each part comes home from a length of the box away, ever slower: to 0.01 mm."""
    job = lopsided(name)
    proof = job.proof
    bodies = {each: manifold.body_of(found.points, found.triangles) for each, found in meshes_of(proof).items()}
    assert sorted(move.part for move in proof.order.moves) == sorted(bodies)
    assert proof.order.stuck == ()
    standing: list[str] = []
    for move in proof.order.moves:
        direction = np.array(DIRECTIONS[move.direction]) if move.direction else np.zeros(3)
        for far in (260.0, 90.0, 35.0, 14.0, 11.0, 8.0, 4.0, 1.5, 0.5, 0.1, 0.01, 0.0):
            away = manifold.moved(bodies[move.part], tuple(direction * far))
            for other in standing:
                assert manifold.overlap_volume(away, bodies[other]) < 1e-3, (move, other, far)
        standing.append(move.part)
    assert [bool(move.direction) for move in proof.order.moves] == [False, True, True, True, True]


def test_boards_that_carry_tails_come_along_their_own_normal() -> None:
    for name, ways in (
        ("stopped", {"left": "from the left", "right": "from the right"}),
        ("tails on the ends", {"front": "from the front", "back": "from the back"}),
    ):
        moves = {move.part: move.direction for move in lopsided(name).proof.order.moves}
        told = {side: way for side, way in ways.items() if moves[side]}
        assert told
        assert {side: moves[side] for side in told} == told


def test_a_bottom_under_the_back_comes_last_and_one_that_is_held_all_round_does_not() -> None:
    assert lopsided("back above the bottom").proof.order.moves[-1] == Move("bottom", "from the back")
    assert lopsided("stopped").proof.order.moves[-1].part != "bottom"


UP = {"left": "from the right", "front": "from the back"}
"""Which way out of the box is up while one of its boards lies flat on its show face."""


@pytest.mark.parametrize("name", OVERRIDES)
def test_a_step_is_told_for_every_part_and_says_what_was_proved(name: str) -> None:
    proof = lopsided(name).proof
    order, told = proof.order, proof.steps
    late = late_in(proof.assembly.box) if proof.assembly.box else set()
    moves = [move for move in order.moves if move.part not in late]
    assert len(order.moves) == 5
    assert len(told) == len(moves) == 5 - len(late)
    base = order.moves[0].part
    assert told[0] == f"Lay the {base} board on two battens, show face down, its joints clear of the bench."
    for sentence, move in zip(told[1:], moves[1:], strict=True):
        assert move.part in sentence
        assert ("from above" if move.direction == UP[base] else move.direction) in sentence


@pytest.mark.parametrize("name", OVERRIDES)
def test_each_part_goes_onto_one_that_stands_already(name: str) -> None:
    """No two boards wait for each other in the air: the pin boards go into a tail board that lies flat, the bottom
    between three boards or under the back, the other tail board onto both pin boards."""
    job = lopsided(name)
    first, *rest = job.proof.order.moves
    ends, sides = {"front", "back"}, {"left", "right"}
    tails = sides if job.proof.box.recipe.tails_on_sides else ends
    assert first.part in tails
    standing = {first.part}
    for move in rest:
        neighbours = sides | ends if move.part == "bottom" else (ends if move.part in sides else sides)
        assert standing & neighbours, move
        standing.add(move.part)
    assert [move.part for move in rest if move.part != "bottom"][:2] == sorted(
        (sides | ends) - tails, key=["front", "back", "left", "right"].index
    )


def test_a_bottom_in_a_ring_that_is_glued_already_cannot_come_out() -> None:
    job = box_case("keepsake")
    parts = {part.name: part for part in job.proof.cut}
    ring = fuse([parts[side].in_place for side in ("front", "right", "back", "left")])
    order = find_order({"ring": mesh(ring), "bottom": meshes_of(job.proof)["bottom"]}, {})
    assert order == Order((), ("ring", "bottom"))
    finding = proving._order_finding(order, {}, ())
    assert finding.severity == "fail"
    assert "ring, bottom" in finding.said
    assert finding.advice


def test_a_drawers_bottom_in_such_a_ring_comes_out_to_the_back() -> None:
    job = box_case("drawer")
    parts = {part.name: part for part in job.proof.cut}
    ring = fuse([parts[side].in_place for side in ("front", "right", "back", "left")])
    order = find_order({"ring": mesh(ring), "bottom": meshes_of(job.proof)["bottom"]}, {})
    assert order.stuck == ()
    assert [(move.part, move.direction) for move in order.moves] in (
        [("ring", ""), ("bottom", "from the back")],
        [("bottom", ""), ("ring", "from the front")],
    )


def test_a_box_with_a_part_that_cannot_come_out_fails_its_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pegs through both sides, with heads outside, of one piece with the bottom."""
    found = box_of("keepsake-box")
    assert found.panel is not None
    x = found.panel.x
    pegs = [
        *(Slab((0.0, x[1]), (70.0, 75.0), (11.0, 14.0)), Slab((-5.0, 0.0), (65.0, 80.0), (8.0, 17.0))),
        *(Slab((x[0], 240.0), (80.0, 85.0), (11.0, 14.0)), Slab((240.0, 245.0), (75.0, 90.0), (8.0, 17.0))),
    ]

    def pegged(box: BoxLayout, *, finished: bool) -> tuple[Part, ...]:
        made = []
        for part in box_parts(box, finished=finished):
            if part.name == "bottom":
                made.append(replace(part, solid=fuse([part.solid, *(block(peg) for peg in pegs)])))
            else:
                made.append(replace(part, solid=cut(part.in_place, map(block, pegs)), rows=IDENTITY))
        return tuple(made)

    monkeypatch.setattr(proving, "box_parts", pegged)
    proof = prove_piece(found)
    assert "order" in failing(proof)
    assert set(proof.order.stuck) == {"front", "right", "back", "left", "bottom"}
    assert "box-overlap" not in failing(proof)


# --- at random -------------------------------------------------------------------------------------


@examples(10)
@given(BOXES)
@pytest.mark.whole
def test_a_random_box_is_valid_and_proved_or_refused_with_a_reason(raw: dict[str, object]) -> None:
    box_is_proved_or_refused(raw)


@pytest.mark.whole
def test_a_chosen_groove_beside_hollow_floors_is_proved() -> None:
    """Chosen within the first tail, whose neck lies on half a millimetre: the hollow beside it does not break in."""
    raw = raw_of(
        "keepsake-box",
        *("joint.slope=1:5", "joint.half_pin=5", "pin_board.thickness=20", "tail_board.thickness=6", "box.height=110"),
        *(
            "box.front.thickness=11",
            "undercut.depth=0.2",
            "undercut.land=2",
            "box.groove.width=6",
            "box.panel.grain=width",
        ),
    )
    for key in ("up", "depth"):
        del raw["box"]["groove"][key]
    found = lay_out_box(check_box(raw))
    assert found.recipe.groove.up > 5 + 20 / 5
    assert prove_piece(found).passes
