"""A lid that is sawn off, as solids: what the proof finds, faults that it must notice, and random boxes with lids."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given

from solids.base.polygons import newell_normal
from solids.layout.box.model import BoxLayout
from solids.model.box import box_parts
from solids.model.kernel import bounds, faces_of, mesh, volume_of
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.lid import lid_findings, plain_section, rim_area
from solids.proof.waste import proved_waste
from tests.lids import HINGES, LINING, a_lid_is_proved_or_refused, chest, lids
from tests.named_faces import check_names
from tests.properties import examples

CASES = {
    "plain": (),
    "tight": ("fit.flank_gap=-0.03",),
    "half-blind": ("joint.kind=half-blind",),
    "mitred, rebated": ("joint.mitre.other=12", "joint.mitre.reference=12", "tail_board.rebate=2"),
    "tails on the ends, planed": ("box.tails_on=ends", "finish.planing=0.4", "box.lid.panel.kind=plywood"),
    "without bottom and top": ("box.groove.width=0", "box.lid.groove.width=0"),
    "hinged": HINGES,
    "hinged, tails on the ends": (*HINGES, "box.tails_on=ends", "box.lid.hinge.count=3"),
    "lined": LINING,
    "lined, tails on the ends, no top": (*LINING, "box.tails_on=ends", "box.lid.groove.width=0"),
    "nothing alike": ("box.front.thickness=15", "box.left.thickness=9", "box.joints.front_left.tails=7"),
}


@cache
def proved(*overrides: str) -> PieceProof:
    return prove_piece(chest(*overrides))


@pytest.mark.parametrize("name", CASES)
def test_a_box_with_a_lid_is_proved(name: str) -> None:
    proof = proved(*CASES[name])
    assert proof.passes, [finding.words for finding in proof.findings if finding.severity == "fail"]
    assert {"lid-cut", "lid-rings", "lid-height"} <= {finding.code for finding in proof.findings}
    assert proved_waste(proof.assembly, proof.cut)
    for part in proof.finished:
        check_names(part)


def test_the_finished_box_is_two_rings_that_meet() -> None:
    parts = {part.name: part for part in proved().finished}
    names = {"front", "right", "back", "left", "bottom", "top"}
    assert set(parts) == names | {f"lid {side}" for side in ("front", "right", "back", "left")}
    for side in ("front", "right", "back", "left"):
        assert bounds(parts[side].in_place)[1][2] == pytest.approx(94)
        low, high = bounds(parts[f"lid {side}"].in_place)
        assert (low[2], high[2]) == pytest.approx((94, 138))
    assert parts["front"].shape == parts["back"].shape
    assert parts["lid left"].shape == parts["lid right"].shape


def test_the_rims_by_hand() -> None:
    """300 by 200 outside less 276 by 176 inside: 60 000 - 48 576 = 11 424 mm2, measured here from the faces by their
    shoelace sums."""
    box, parts = chest(), proved().finished
    assert sum(plain_section(box, side) for side in box.boards) == pytest.approx(11424)
    rims = [rim_area(part, box) for part in parts if part.name.startswith("lid ")]
    assert sum(rims) == pytest.approx(11424)
    upper = [loop for part in parts if part.name == "lid front" for (loop, *_) in faces_of(part.in_place)]
    edges = [loop for loop in upper if all(abs(point[2] - 138) < 1e-9 for point in loop)]
    assert sum(newell_normal(loop)[2] / 2 for loop in edges) == pytest.approx(12 * 300)


def test_a_lid_left_too_high_and_a_tail_sawn_into_are_noticed() -> None:
    """The solids of a box that is sawn elsewhere do not pass for those of this one."""
    box, recipe = chest(), chest().recipe
    assert recipe.lid is not None
    for at, code in ((96.0, "lid-cut"), (110.0, "lid-cut")):
        other = replace(recipe, lid=replace(recipe.lid, at=at))
        parts = box_parts(BoxLayout(other), finished=True)
        meshes = {part.name: mesh(part.in_place) for part in parts}
        failed = {found.code for found in lid_findings(box, parts, meshes) if found.severity == "fail"}
        assert code in failed
    thick = replace(recipe, lid=replace(recipe.lid, planing=0.2))
    parts = box_parts(BoxLayout(thick), finished=True)
    meshes = {part.name: mesh(part.in_place) for part in parts}
    assert "lid-height" in {found.code for found in lid_findings(box, parts, meshes) if found.severity == "fail"}


def test_kerf_and_planing_are_all_that_is_lost() -> None:
    """What the finished whole would weigh, less its halves, is the rim times 2 mm."""
    box = chest()
    assert box.recipe.lid is not None
    whole = box_parts(BoxLayout(replace(box.recipe, lid=None)), finished=True)
    halves = {part.name: volume_of(part.solid) for part in proved().finished}
    groove = 5 * 4  # the top's, which the box without a lid does not have
    for part in whole:
        if part.name in box.boards:
            board = box.boards[part.name]  # type: ignore[index]
            long = board.length + (8 if board.kind == "tail board" else 0)
            lost = volume_of(part.solid) - halves[part.name] - halves[f"lid {part.name}"]
            assert lost == pytest.approx(2 * plain_section(box, board.side) + groove * long)


def test_a_lid_that_meets_the_box_as_it_opens_is_noticed() -> None:
    """A lid whose back stands lower than the pins turns into the edge of the box."""
    box = chest(*HINGES)
    parts = proved(*HINGES).finished
    meshes = {part.name: mesh(part.in_place) for part in parts}
    (good,) = (found for found in lid_findings(box, parts, meshes) if found.code == "lid-opens")
    assert good.severity == "pass"
    back = meshes["lid back"]
    moved = {**meshes, "lid back": replace(back, points=back.points - np.array((0.0, 0.0, 0.2)))}
    (bad,) = (found for found in lid_findings(box, parts, moved) if found.code == "lid-opens")
    assert bad.severity == "fail"


@examples(8)
@given(lids())
@pytest.mark.whole
def test_any_lid_is_proved_or_refused(overrides: tuple[str, ...]) -> None:
    a_lid_is_proved_or_refused(overrides)
