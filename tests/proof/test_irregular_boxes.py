"""Boxes with half tails, rebates and mitred shoulders: proved whole, with their waste, and their grooves where a maker
looks for them."""

from __future__ import annotations

from functools import cache

import pytest

from solids.base.errors import RecipeError
from solids.layout.assembly import assembly_of
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.model import BoxLayout
from solids.layout.joint.faces import UNNAMED
from solids.layout.plan import plan
from solids.proof.assembly import PieceProof, prove_piece
from solids.proof.waste import proved_waste
from tests.model.test_face_names import named_planes

BOX = """
title = "mitred box"
[joint]
mitre = { reference = 14, other = 4 }
[tail_board]
thickness = 12
rebate = 2
[pin_board]
thickness = 14
[box]
length = 320
width = 220
height = 110
[box.groove]
depth = 5
"""
BARE = "joint.mitre.reference=0"
PLAIN = (BARE, "joint.mitre.other=0")

CASES: dict[str, tuple[str, ...]] = {
    "mitred": (),
    "rebated": PLAIN,
    "mitred, planed": ("finish.planing=0.3",),
    "mitred, hollow": ("undercut.depth=0.3",),
    "half tail at the groove": (BARE, 'joint.edges=["half tail", "half pin"]'),
    "half tails, drawer": (*PLAIN, 'joint.edges=["half tail", "half tail"]', "box.back_above_bottom=true"),
    "half tail one with the wood below the back, proud": (
        *PLAIN,
        'joint.edges=["half tail", "half pin"]',
        "box.back_above_bottom=true",
        'finish.ends="proud"',
        "finish.chamfer=0.25",
    ),
    "plugged over a rebate": (BARE, 'box.groove.ends="plugged"', 'finish.ends="proud"', "finish.chamfer=0.25"),
    "groove as deep as the rebate": (BARE, "box.groove.depth=2", 'box.panel.kind="plywood"'),
    "each flank its own": ("joint.tails=3", 'joint.slope=["1:5","1:6","1:7","1:8","1:9","1:10"]'),
    "half-blind, rebated": (*PLAIN, 'joint.kind="half-blind"'),
}


@cache
def box_proof(name: str) -> PieceProof:
    return prove_piece(plan(BOX, CASES[name]))


@cache
def box_plan(name: str) -> BoxLayout:
    found = plan(BOX, CASES[name])
    assert isinstance(found, BoxLayout)
    return found


@pytest.mark.parametrize("name", CASES)
def test_the_box_goes_together_and_its_waste_makes_it_whole(name: str) -> None:
    proof = box_proof(name)
    assert proof.passes, [finding.said for finding in proof.findings if finding.severity == "fail"]
    assert proved_waste(assembly_of(box_plan(name)), proof.cut)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("mitred", "it runs from board to board within the mitred shoulder."),
        ("rebated", "it stops in the tail boards and runs out in the sockets of the pin boards."),
        ("plugged over a rebate", "it is plugged where it would show."),
        ("groove as deep as the rebate", "it ends at the shoulder of the rebate."),
    ],
)
def test_where_the_groove_goes_is_told(name: str, told: str) -> None:
    (finding,) = (finding for finding in box_proof(name).findings if finding.code == "groove-shows")
    assert finding.said.endswith(told)


def test_a_groove_that_shows_offers_a_mitre_so_wide() -> None:
    """Its upper side is 7 + 6 = 13 mm from the edge, and 0.05 mm of wood is left beside it."""
    proof = prove_piece(plan(BOX, (*PLAIN, "tail_board.rebate=0", 'box.groove.ends="through"')))
    (finding,) = (finding for finding in proof.findings if finding.code == "groove-shows")
    assert (proof.box.recipe.groove.top, finding.severity) == (13, "warning")
    assert "mitre the shoulder there, 13.05 mm wide or more (joint.mitre.reference)" in finding.advice


def test_a_rebated_board_by_hand() -> None:
    """A side of 12 mm lies between a front and a back of 14 mm; the box is 220 wide and the rebate is 2 mm deep. Inside
    it measures 220 - 28 = 192 mm. Past each baseline the tails are 10 mm thick."""
    layout = box_plan("rebated")
    corner = layout.corners["front left"].layout
    tails = sum(14 * tail.width - 14**2 / 2 * sum(1 / flank.ratio for flank in tail.flanks) for tail in corner.tails)
    groove = layout.recipe.groove
    # The groove takes 5 mm between the baselines, and 5 - 2 = 3 mm of a tail as far as the bottom's corner, 5 mm.
    taken = groove.width * (5 * 192 + 2 * 3 * 5)
    assert grooved_volume(layout, "left", finished=True) == pytest.approx(12 * 110 * 192 + 2 * 10 * tails - taken)


def test_a_mitred_groove_by_hand() -> None:
    """The mitre rises 12 - 2 = 10 mm over 14 mm. 5 mm deep in the tail board, the groove meets it 14 (5 - 2) / 10 = 4.2
    mm past the baseline; in the pin board 2 + 5 10/14 mm above the inside face of the side."""
    layout = box_plan("mitred")
    corner = layout.corners["front left"]
    tail_side, pin_side = layout.boards["left"], layout.boards["front"]
    assert layout.is_mitred(corner)
    assert layout.groove_reach(tail_side, corner, corner.layout.as_cut) == pytest.approx(4.2)
    assert layout.groove_reach(pin_side, corner, corner.layout.as_cut) == pytest.approx(2 + 50 / 14)


@pytest.mark.parametrize("name", CASES)
def test_every_face_has_a_name(name: str) -> None:
    for part in (*box_proof(name).cut, *box_proof(name).finished):
        assert UNNAMED not in named_planes(part, part.rows), part.name


def test_a_groove_a_little_deeper_than_the_rebate_is_refused() -> None:
    with pytest.raises(RecipeError) as refused:
        plan(BOX, (BARE, "box.groove.depth=2.5", 'box.panel.kind="plywood"'))
    assert [problem.key for problem in refused.value.problems] == ["box.groove.depth"]


def test_a_mitre_beside_the_wood_that_runs_on_is_refused() -> None:
    with pytest.raises(RecipeError) as refused:
        plan(BOX, ("box.back_above_bottom=true",))
    assert {problem.key for problem in refused.value.problems} == {"joint.mitre"}
