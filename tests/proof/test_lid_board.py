"""A lid that is a board of its own, as a solid: what the proof finds, faults that it must notice, and random lids."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given

from solids.layout.box.fitted.lid_board import LID
from solids.layout.box.model import BoxLayout
from solids.model.kernel import Mesh, bounds, mesh
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.lid import lid_findings
from solids.proof.lid_board import lid_board_findings
from solids.proof.waste import proved_waste
from tests.lids import HINGED, HINGES, LIFT_OFF, a_lid_board_is_proved_or_refused, chest, lid_boards
from tests.named_faces import check_names
from tests.properties import examples

CASES: dict[str, tuple[str, tuple[str, ...]]] = {
    "lifts off": (LIFT_OFF, ()),
    "lifts off, plywood, flush": (LIFT_OFF, ("box.lid.panel.kind=plywood", "box.lid.overhang=0")),
    "lifts off, proud ends": (LIFT_OFF, ("finish.ends=proud",)),
    "lifts off, grain across, planed": (LIFT_OFF, ("box.lid.panel.grain=width", "finish.planing=1.5")),
    "lifts off over dividers": (LIFT_OFF, ("box.divider=[{}, {runs = 'along'}]",)),
    "lifts off, bottom under the back": (LIFT_OFF, ("box.back_above_bottom=true", "joint.kind=half-blind")),
    "hinged": (HINGED, HINGES),
    "hinged, planed, tails on the ends": (HINGED, (*HINGES, "box.tails_on=ends", "finish.planing=1.5")),
    "hinged, mitred, three hinges": (HINGED, (*HINGES, "joint.mitre.other=12", "box.lid.hinge.count=3")),
    "hinged, nothing alike": (HINGED, (*HINGES, "box.front.thickness=15", "box.left.thickness=9")),
}


@cache
def proved(name: str) -> PieceProof:
    text, overrides = CASES[name]
    return prove_piece(chest(*overrides, text=text))


def failed(box: BoxLayout, meshes: dict[str, Mesh]) -> set[str]:
    return {found.code for found in lid_board_findings(box, meshes) if found.severity == "fail"}


def finished(name: str) -> dict[str, Mesh]:
    return {part.name: mesh(part.in_place) for part in proved(name).finished}


@pytest.mark.parametrize("name", CASES)
def test_a_box_with_such_a_lid_is_proved(name: str) -> None:
    proof = proved(name)
    assert proof.passes, [finding.words for finding in proof.findings if finding.severity == "fail"]
    codes = {finding.code for finding in proof.findings}
    assert {"lid", "lid-lies", "lid-damp", "lid-dry"} <= codes
    assert ("lid-opens" in codes) == name.startswith("hinged")
    assert proved_waste(proof.assembly, proof.cut)
    for part in proof.finished:
        check_names(part)
    assert proof.order.moves[-1].part == LID
    assert proof.order.moves[-1].direction == "from above"


def test_it_lies_where_it_should() -> None:
    low, high = bounds(next(part for part in proved("lifts off").finished if part.name == LID).in_place)
    assert low == pytest.approx((-3, -3, 134))
    assert high == pytest.approx((303, 203, 146))


def test_housings_that_come_up_to_the_edges_take_from_what_it_lies_on() -> None:
    """By hand: 300 by 200 outside and 276 by 176 inside leave 11 424. Four dividers, 20 thick, take 20 by 4 at each of
    their ends: 640."""
    across = ", ".join(f"{{at = {at}, thickness = 20, depth = 4}}" for at in (40, 100, 160, 220))
    proof = prove_piece(chest(f"box.divider=[{across}]", text=LIFT_OFF))
    (lies,) = [found for found in proof.findings if found.code == "lid-lies"]
    assert (lies.severity, lies.measured) == ("pass", pytest.approx(11_424 - 640, abs=1.0))


def test_the_back_with_mortises_is_no_longer_like_the_front() -> None:
    shapes = {part.name: part.shape for part in proved("hinged").finished}
    assert shapes["back"] != shapes["front"]
    assert {part.name: part.shape for part in proved("hinged").cut}["back"] == "front"


def test_a_lid_made_without_room_to_grow_is_noticed() -> None:
    """The tongue widened to the distance between the boards sticks in the dampest air."""
    box, meshes = chest(text=LIFT_OFF), finished("lifts off")
    points = meshes[LID].points.copy()
    in_tongue = points[:, 2] < 139.9
    points[in_tongue, 1] = np.where(points[in_tongue, 1] < 100, 12.0, 188.0)
    assert failed(box, {**meshes, LID: replace(meshes[LID], points=points)}) == {"lid-damp"}


def test_a_lid_that_is_too_narrow_or_too_high_is_noticed() -> None:
    box, meshes = chest(text=LIFT_OFF), finished("lifts off")
    narrow = meshes[LID].points.copy()
    narrow[:, 1] = 100 + (narrow[:, 1] - 100) * 0.85
    assert {"lid-lies", "lid-dry"} <= failed(box, {**meshes, LID: replace(meshes[LID], points=narrow)})
    high = meshes[LID].points + np.array((0.0, 0.0, 0.5))
    assert {"lid-lies", "lid-dry"} <= failed(box, {**meshes, LID: replace(meshes[LID], points=high)})


def test_a_hinged_lid_that_meets_the_back_as_it_opens_is_noticed() -> None:
    box, meshes = chest(*HINGES, text=HINGED), finished("hinged")
    low = replace(meshes[LID], points=meshes[LID].points - np.array((0.0, 0.0, 0.2)))
    (bad,) = lid_findings(box, proved("hinged").finished, {**meshes, LID: low})
    assert (bad.code, bad.severity) == ("lid-opens", "fail")


@examples(8)
@given(lid_boards())
@pytest.mark.whole
def test_any_such_lid_is_proved_or_refused(overrides: tuple[str, ...]) -> None:
    a_lid_board_is_proved_or_refused(overrides)


def test_a_lid_wider_than_the_stock_is_noted() -> None:
    """Also of a box that has no bottom to glue up."""
    found = {
        each.code: each.said
        for each in prove_piece(chest("stock.width=160", "box.groove.width=0", text=LIFT_OFF)).findings
    }
    assert found["lid-glue-up"].startswith("The lid is wider than stock of 160 mm: glue it up from 2 boards")
    assert "bottom-glue-up" not in found
