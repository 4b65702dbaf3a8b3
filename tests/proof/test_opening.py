"""A drawer in its opening is proved on its solids, and told at the bench. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from solids.bench.box_procedure import box_work
from solids.bench.materials import weight_kg
from solids.layout.assembly import assembly_of
from solids.model.kernel import Mesh
from solids.proof.assembly import _triangles
from solids.proof.opening import opening_findings
from solids.write.report.making.reports import piece_report
from solids.write.report.records.reports import BoxReport
from tests.drawers import STICKS, drawer, proved_drawer, random_drawer


def findings(by: float = 0.0, grow: float = 1.0, part: str = "front") -> dict[str, str]:
    """What is found where one part lies so far to the left, and is so many times as high."""
    proof = proved_drawer()
    meshes = {each.name: _triangles(each) for each in proof.finished}
    mesh = meshes[part]
    meshes[part] = Mesh(mesh.points * np.array((1, 1, grow)) - np.array((by, 0, 0)), mesh.triangles)
    return {found.code: found.severity for found in opening_findings(proof.box, meshes)}


def test_a_drawer_passes_with_its_runners_kickers_and_guides() -> None:
    proof = proved_drawer()
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    assert findings() == {"opening": "pass", "opening-way": "pass", "opening-runners": "pass"}
    assert {move.part for move in proof.order.moves} == {"front", "right", "back", "left", "bottom"}
    told = {finding.code: finding for finding in proof.findings}
    assert told["opening"].measured == pytest.approx(1, abs=1e-6)
    assert told["opening-runners"].measured == pytest.approx(4470, rel=1e-3)


@pytest.mark.parametrize(
    ("by", "grow", "failing"),
    [(1.2, 1.0, {"opening", "opening-way"}), (0.0, 1.04, {"opening", "opening-way"}), (0.0, 1.0, set())],
)
def test_a_front_that_is_too_long_or_too_high_is_seen(by: float, grow: float, failing: set[str]) -> None:
    """0.5 are free at each side and 1 above it at the dampest; 4 % of 97.6 are 3.9. A front that lies 1.2 to the left
    runs into the guide."""
    assert {code for code, severity in findings(by, grow).items() if severity == "fail"} == failing


def test_a_drawer_that_hangs_above_its_runner_is_seen() -> None:
    proof = proved_drawer()
    meshes = {each.name: _triangles(each) for each in proof.finished}
    for name in ("front", "left", "right", "back"):
        meshes[name] = Mesh(meshes[name].points + np.array((0, 0, 0.2)), meshes[name].triangles)
    found = {each.code: each.severity for each in opening_findings(proof.box, meshes)}
    assert found["opening-runners"] == "fail"


def test_a_short_drawer_with_a_lap_behind_lies_on_less_of_its_runners() -> None:
    """By hand: the drawer is 140 deep, and its sides, 10 thick, end 3 short of that behind the lap of a back that
    stands above the bottom: 1370. Beside a side, 3.5 of the front lie on the runner, 20 thick: 70."""
    proof = proved_drawer("joint.kind=half-blind", "box.joints.back.lap=3", "opening.depth=150")
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    (told,) = [finding for finding in proof.findings if finding.code == "opening-runners"]
    assert told.measured == pytest.approx(1440, rel=1e-3)


def test_a_rebate_below_a_raised_back_takes_from_what_lies_on_the_runners() -> None:
    """By hand: sides 10 thick lie over 140 of a short drawer, and 3.5 of the front beside each, 20 thick: 1470. At the
    back, 10 thick, a rebate takes 2 of the side's inside face: 20."""
    proof = proved_drawer("tail_board.rebate=2", "opening.depth=150")
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    (told,) = [finding for finding in proof.findings if finding.code == "opening-runners"]
    assert told.measured == pytest.approx(1450, abs=0.1)


def test_housings_that_run_out_below_take_from_what_lies_on_the_runners() -> None:
    """By hand: sides 10 thick lie over 440, and 3.5 beside each the front and the back, 30 together: 4505. A divider
    without a bottom below it, 20 thick and 3.5 deep in each side, takes 70 of that."""
    proof = proved_drawer("box.groove.width=0", "box.divider=[{runs='along', at=100, joint='housing', thickness=20}]")
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    (told,) = [finding for finding in proof.findings if finding.code == "opening-runners"]
    assert told.measured == pytest.approx(4435, abs=0.01)


def test_planed_by_what_was_left_for_it_it_still_slides_in() -> None:
    proof = proved_drawer("opening.plane=2")
    assert proof.passes
    steps = {step.what: step.how for step in box_work(proof.box, [], []).after}
    assert "left 2 mm (0.079 in) higher for this: plane that off their upper edges now" in steps["Fit it in height"]


def test_a_back_as_high_as_the_sides_is_planed_with_them() -> None:
    """It stands above the bottom, so it is narrower than they are. In air that hardly changes the sides grow by less
    than the millimetre that was left on them, and the back would meet the kickers."""
    air = "climate.home={dry = '70 F, 40 %', damp = '70 F, 43 %'}"
    proof = proved_drawer("opening.plane=1", "opening.play=0.5", "box.back.down=0", air)
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]


def test_the_steps_say_which_edge_how_much_and_when() -> None:
    steps = {step.what: step.how for step in box_work(drawer(*STICKS), [], []).after}
    assert [name for name in steps if name.startswith(("Fit", "Stop"))] == [
        *("Fit the carcase", "Fit it sideways", "Fit it in height", "Fit the bottom", "Stop it"),
    ]
    height = steps["Fit it in height"]
    assert "upper edges" in height
    assert "at the dampest, 21.11 C, 65 %, 1 mm (0.039 in) of it stay".lower() in height.lower()
    assert "20 mm (0.787 in) behind the front of the opening" in steps["Stop it"], "as thick as the front"
    plain = replace(drawer(), recipe=replace(drawer().recipe, opening=None))
    assert not [step for step in box_work(plain, [], []).after if step.what.startswith("Fit it")]


def test_the_carcase_does_not_weigh_with_the_drawer() -> None:
    assert weight_kg(assembly_of(drawer(*STICKS))) == pytest.approx(weight_kg(assembly_of(drawer())))


def test_the_report_has_the_opening_and_the_room_in_it() -> None:
    proof = proved_drawer()
    report = piece_report(proof.assembly, proof)
    assert isinstance(report, BoxReport)
    record = report.opening
    assert record is not None
    assert (record.width_mm, record.height_mm, record.depth_mm) == (400, 100, 450)
    assert record.free_damp_mm == pytest.approx(1)
    assert record.free_now_mm == pytest.approx(100 - record.drawer_mm)
    assert [stick.name for stick in record.sticks] == ["guide", "runner", "kicker"]


@pytest.mark.whole
def test_random_drawers_are_proved_or_refused_with_a_reason() -> None:
    """The campaign tries others by the hundred."""
    outcomes = [random_drawer(number) for number in range(20)]
    assert set(outcomes) == {"proved", "refused"}
