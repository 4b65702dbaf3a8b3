"""Bottoms of every kind, proved: held over the area of the formula, free in the dampest air, held in the driest; and
planted faults that the proof must find."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from solids.base.findings import Finding
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.model.box import box_parts
from solids.model.kernel import Mesh, faces_of
from solids.model.manifold import triangles_of
from solids.proof.assembly import prove_piece
from solids.proof.bottom import bottom_proof
from solids.proof.waste import proved_waste
from solids.recipe.text.reading import check_box
from solids.recipe.text.toml import parse_toml
from tests.bottoms import random_bottom_text
from tests.boxes import raw_from
from tests.layout.test_bottoms import BOX, REBATE, SLIPS
from tests.properties import box_is_proved_or_refused

KINDS = {
    "rebated": ("box.panel.thickness=9",),
    "fielded, upper face": ("box.panel.edge=fielded", "box.panel.face=upper face"),
    "fielded, in a drawer": ("box.panel.edge=fielded", "box.back_above_bottom=true"),
    "rebate in half pins": REBATE,
    "rebate in half tails": (*REBATE, 'joint.edges=["half tail", "half pin"]'),
    "rebate in half tails left proud": (*REBATE, 'joint.edges=["half tail", "half pin"]', "finish.ends=proud"),
    "rebate in a mitre, plywood": (*REBATE, "joint.mitre.reference=10", "box.panel.kind=plywood"),
    "rebate, half-blind": (*REBATE, "joint.kind=half-blind"),
    "slips": SLIPS,
    "slips, moving between them": (*SLIPS, "box.panel.grain=width"),
}


def box(*overrides: str) -> BoxLayout:
    return lay_out_box(check_box(raw_from(BOX, "box", *overrides)))


def found_of(layout: BoxLayout, made: BoxLayout) -> dict[str, Finding]:
    """What is found of the bottom by `layout`, of the parts that another made."""
    meshes = {part.name: Mesh(*triangles_of(faces_of(part.in_place))) for part in box_parts(made, finished=True)}
    return {finding.code: finding for finding in bottom_proof(layout, meshes)}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_proved_with_its_waste(kind: str) -> None:
    proof = prove_piece(box(*KINDS[kind]))
    found = {finding.code: finding for finding in proof.findings}
    assert proof.passes, [each.said for each in proof.findings if each.severity == "fail"]
    assert found["bottom-bears"].measured == pytest.approx(proof.box.panel_bearing, rel=1e-3)
    proved_waste(proof.assembly, proof.cut)
    if proof.box.recipe.panel.in_rebate:
        assert (proof.order.moves[-1].part, proof.order.moves[-1].direction) == ("bottom", "from below")


def test_a_bottom_that_was_left_no_room_binds_in_the_dampest_air() -> None:
    """Made as if the air stayed the same, it is too wide by what it grows, less the clearance of 0.5 at each edge."""
    damp = ("climate.home={dry='21 C, 35 %', damp='24 C, 85 %'}", "box.groove.depth=6")
    dry = box("climate.home={dry='20 C, 50 %', damp='20 C, 50 %'}", *damp[1:])
    found = found_of(box(*damp), dry)
    assert found["bottom-year"].severity == "fail"
    assert "binds" in found["bottom-year"].said


def test_a_bottom_that_shrinks_out_of_its_groove_is_found() -> None:
    layout = box("box.panel.thickness=9")
    lively = replace(layout.recipe.panel, shrinks=0.05)
    dry = BoxLayout(replace(layout.recipe, panel=lively))
    found = found_of(dry, layout)
    assert found["bottom-year"].severity == "fail"
    assert "front, back" in found["bottom-year"].said


def test_a_bottom_that_is_held_over_less_is_found() -> None:
    """The parts of a box whose groove is half as deep."""
    found = found_of(box("box.groove.depth=6"), box())
    assert found["bottom-bears"].severity == "fail"


@pytest.mark.whole
def test_random_bottoms_are_proved_or_refused() -> None:
    dice = random.Random(4)
    for _ in range(12):
        box_is_proved_or_refused(parse_toml(random_bottom_text(dice), "the box"))
