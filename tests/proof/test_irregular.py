"""Joints of which nothing is alike, built and proved: one by hand in many states, some random ones, and faults of a
thousandth of a millimetre planted in them. `tests/campaign/` does the same by the thousand."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from solids.layout import Layout, lay_out
from solids.model.corner import corner_parts, make_corner
from solids.proof.joint.corner import Proof, prove
from solids.recipe import parse_recipe
from tests.irregular_faults import PLANTS, boards_of, codes_with, with_flank
from tests.irregular_joints import irregular, planted
from tests.named_faces import check_names, named_planes
from tests.recipes import IRREGULAR, IRREGULAR_CASES


def laid_out(text: str, *overrides: str) -> Layout:
    return lay_out(parse_recipe(text, "recipe", overrides))


def proof_of(layout: Layout) -> Proof:
    return prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))


@pytest.mark.parametrize("name", IRREGULAR_CASES)
def test_the_joint_by_hand_passes_and_all_its_faces_have_names(name: str) -> None:
    layout = laid_out(IRREGULAR, *IRREGULAR_CASES[name])
    proof = proof_of(layout)
    assert [finding.said for finding in proof.findings if finding.severity == "fail"] == []
    assert all(contact.matches for contact in proof.contacts)
    for part in (
        *corner_parts(make_corner(layout, layout.as_cut)),
        *corner_parts(make_corner(layout, layout.as_finished)),
    ):
        check_names(part)


@pytest.mark.parametrize("number", range(24))
def test_a_random_one_is_proved_or_refused(number: int) -> None:
    assert irregular(number) in ("right", "refused", "lets go")


# --- planted faults --------------------------------------------------------------------------------


@pytest.mark.parametrize("by", [0.001, -0.001])
@pytest.mark.parametrize("kind", PLANTS)
def test_a_fault_in_the_joint_by_hand_is_found(kind: str, by: float) -> None:
    layout = laid_out(IRREGULAR)
    found = codes_with(layout, PLANTS[kind][0](layout, random.Random(1), by))
    assert found & {"contact", "wrong-volume"}


@pytest.mark.parametrize("number", range(12))
def test_a_fault_in_a_random_one_is_found(number: int) -> None:
    assert planted(number).startswith("found")


def test_without_a_fault_nothing_is_found() -> None:
    layout = laid_out(IRREGULAR)
    assert codes_with(layout, boards_of(layout)) == set()


def test_a_flank_moved_is_found_at_that_flank_alone() -> None:
    layout = laid_out(IRREGULAR)
    cut, finished = make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished)
    moved = make_corner(with_flank(layout, layout.flanks[2], 0.001, 0.001), layout.as_cut).tail_board
    found = {each.place for each in prove(replace(cut, tail_board=moved), finished).findings if each.code == "contact"}
    assert {place for place in found if "flank" in place} == {"tail 2, right flank"}


# --- what random ones have brought up ----------------------------------------------------------------

STEEP = """\
[joint]
width = 60
flanks = [[12, 12], [19, 14], [30, 30], [45, 40]]
[tail_board]
thickness = 15
[pin_board]
thickness = 20
[undercut]
depth = 0.2
land = 2
"""


def test_a_shoulder_that_reaches_under_the_next_tail_keeps_its_number() -> None:
    """Tail 1 is 12 to 19 at the finished face, and its neck 12 to 14: the second shoulder begins left of 15.5."""
    (tails, _) = corner_parts(make_corner(layout := laid_out(STEEP), layout.as_cut))
    found = named_planes(tails)
    assert found["undercut of shoulder 1, left end"] == {((1.0, 0.0, 0.0), 2.0)}
    assert found["undercut of shoulder 2, left end"] == {((1.0, 0.0, 0.0), 14.0)}


def test_a_tight_flank_along_which_the_boards_all_but_slide_need_not_go_free() -> None:
    """Out along the easiest line, which leans by 0.0005, a square flank opens by 1 in 2000. It is 0.05 mm tight, so it
    would be free after 100 mm, when the tails are out."""
    flanks = "[[10, 12], [30, 30], [40, 40], [60, 57.98]]"
    layout = laid_out(STEEP, f"joint.flanks={flanks}", "joint.width=70", "fit.flank_gap=-0.05", "undercut.depth=0")
    assert layout.easiest == pytest.approx(-0.0005)
    assert [hold.direction for hold in proof_of(layout).holds if not hold.confirmed] == []


def test_a_cheek_that_all_but_slides_is_moved_on_until_it_bites() -> None:
    """Loose flanks lean so nearly alike that the easiest line leans by 0.0005: the cheek beside a mitre, which has no
    gap, closes along it by 1 in 2000."""
    flanks = "[[20, 23], [40, 37.02]]"
    sizes = ("joint.width=60", "joint.mitre={ reference = 8 }", "undercut.depth=0", "fit.flank_gap=0.1")
    layout = laid_out(STEEP, f"joint.flanks={flanks}", *sizes)
    assert layout.easiest == pytest.approx(0.0005)
    assert [hold.direction for hold in proof_of(layout).holds if not hold.confirmed] == []
