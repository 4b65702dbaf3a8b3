"""A drawer's front with a lip, proved on its solids: that it closes on the carcase, and that each face has its name."""

from __future__ import annotations

import numpy as np
import pytest

from solids.base.findings import in_units
from solids.bench.box_procedure import box_work
from solids.layout.box.model import BoxLayout
from solids.model.kernel import Mesh, bounds
from solids.proof.assembly import _triangles
from solids.proof.opening import opening_findings
from solids.proof.waste import proved_waste
from solids.write.report.making.reports import piece_report
from solids.write.report.records.reports import BoxReport
from tests.drawers import STICKS, drawer, proved_drawer
from tests.named_faces import named_planes

LIP = ("box.front.lip.width=9", "box.front.lip.bottom=5")


LIPPED_BOX = """
title = "box with a lip"
units = "in"
[tail_board]
thickness = "3/8 in"
[pin_board]
thickness = "3/8 in"
[box]
length = 12
width = 14
height = 4
[box.front]
thickness = "3/4 in"
[box.front.lip]
{lip}
"""
"""No opening is given, so that nothing is known of its play."""


def test_it_passes_and_its_waste_and_the_board_are_the_sawn_board() -> None:
    proof = proved_drawer(*LIP)
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    boards = {board.name: board for board in proved_waste(proof.assembly, proof.cut)}
    assert sorted(boards["front"].blank.size) == pytest.approx([20, proof.box.recipe.height + 14, 399 + 18])
    assert "front, rebate behind the lip at the left" in {part.name for part in boards["front"].waste}
    (told,) = (finding for finding in proof.findings if finding.code == "opening-lip")
    assert told.measured == pytest.approx(417 * (proof.box.recipe.height + 14) - 400 * 100, rel=1e-3)


def test_a_lip_that_stands_off_or_is_too_short_is_seen() -> None:
    """A front that lies 12 to the left leaves the right of the opening uncovered; one that lies 1 before it, all."""
    proof = proved_drawer(*LIP)
    for by in ((-12, 0, 0), (0, -1, 0)):
        meshes = {each.name: _triangles(each) for each in proof.finished}
        front = meshes["front"]
        meshes["front"] = Mesh(front.points + np.array(by), front.triangles)
        assert {each.code: each.severity for each in opening_findings(proof.box, meshes)}["opening-lip"] == "fail"


def narrow(box: BoxLayout) -> list[str]:
    """What is said of a lip that covers too little."""
    found = in_units(opening_findings(box, {}), box.recipe.units)
    return [one.words for one in found if one.code == "lip"]


def test_a_lip_that_covers_less_than_3_mm_is_warned_of() -> None:
    """A play of 0.5 at each side is 1 where the drawer lies at the other: 1.3 cover 0.3, and 4 are needed for 3."""
    proof = proved_drawer("box.front.lip.width=1.3", "box.front.lip.thickness=8", "box.front.lip.top=0")
    assert proof.passes
    (told,) = (one for one in proof.findings if one.code == "lip")
    assert (told.severity, told.measured, told.limit) == ("warning", pytest.approx(0.3), 3.0)
    assert told.words == (
        "The lip at the left, right and bottom covers as little as 0.3 mm (0.012 in) of the carcase at the worst time: "
        "so little hardly hides the play, nor an edge that chips. Make it 4 mm wide or more (box.front.lip.width). "
        "(common practice)"
    )
    assert not [one for one in proved_drawer(*LIP).findings if one.code == "lip"]


def test_the_width_that_a_narrow_lip_is_told_is_enough() -> None:
    """Of the side that has a width of its own under its own key, and in inches for who thinks in them."""
    text = LIPPED_BOX.format(lip='width = "5/64 in"\nleft = "1/2 in"\ntop = "1/16 in"')
    top, others = narrow(drawer(text=text))
    assert top.startswith("The lip at the top reaches 1/16 in (1.59 mm) past the box: so little")
    assert "Make it 1/8 in wide or more (box.front.lip.top)." in top
    assert "The lip at the bottom and right" in others
    assert "Make it 1/8 in wide or more (box.front.lip.width)." in others
    enough = LIPPED_BOX.format(lip='width = "1/8 in"\nleft = "1/2 in"\ntop = "1/8 in"')
    assert narrow(drawer(text=enough)) == []


def test_its_faces_are_named_where_they_lie() -> None:
    proof = proved_drawer(*LIP)
    high = proof.box.recipe.height
    (front,) = (part for part in proof.finished if part.name == "front")
    low, top = bounds(front.in_place)
    assert (*low, *top) == pytest.approx((-9, 0, -5, 408, 20, high + 9))
    found = named_planes(front, front.rows)
    assert found["lip, back"] == {((0.0, 1.0, 0.0), 8.0)}
    assert found["lip, left edge"] == {((-1.0, 0.0, 0.0), 9.0)}
    assert found["lip, bottom edge"] == {((0.0, 0.0, -1.0), 5.0)}
    assert found["reference edge"] == {((0.0, 0.0, -1.0), 0.0)}
    assert found["show face"] == {((0.0, -1.0, 0.0), 0.0)}


def test_the_order_of_work_cuts_it_first_and_needs_no_stops() -> None:
    work = box_work(drawer(*STICKS, *LIP), [], [])
    steps = {step.what: step.how for step in (*work.before, *work.after)}
    names = list(steps)
    assert names.index("Cut the lip") < names.index("Plough the groove") < names.index("Cut the joints")
    assert "5 mm (0.197 in) at the bottom" in steps["Cut the lip"]
    assert "12 mm (0.472 in) deep, so that a lip 8 mm (0.315 in) thick stays" in steps["Cut the lip"]
    assert "No stops are needed" in steps["Stop it"]


def test_the_report_holds_the_lip_and_what_it_covers() -> None:
    proof = proved_drawer(*LIP)
    report = piece_report(proof.assembly, proof)
    assert isinstance(report, BoxReport)
    assert report.recipe.lip
    assert report.recipe.lip.bottom_mm == 5
    assert report.opening
    assert report.opening.lip_covers_mm["left"] == pytest.approx(8)


def test_a_front_that_is_planed_to_its_opening_closes_with_what_stays() -> None:
    """The boards are 5 higher than the drawer is when it is fitted, and without a lip at the top they are planed to it:
    9 at the left, right and bottom, up to where the plane stops, less the hole of 400 by 100."""
    proof = proved_drawer("box.front.lip.width=9", "box.front.lip.top=0", "opening.plane=5", "joint.half_pin=12")
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    (told,) = (finding for finding in proof.findings if finding.code == "opening-lip")
    high = proof.box.recipe.height - 5
    assert high < 100 < proof.box.recipe.height
    assert told.measured == pytest.approx(417 * (high + 9) - 400 * high, rel=1e-3)
