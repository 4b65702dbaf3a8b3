"""Contacts measured on the solids: gap, area and words as the layout has them, and what is wrong seen as it is.

Faults are planted in lists of faces, which is all that `contacts` reads.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from solids.base.messages import said
from solids.layout import Layout
from solids.model.kernel import Face, newell_normal
from solids.proof.joint.contacts import Contact, contacts, gap_words, mismatched
from tests.fitted import FITTED, faces_as_cut, flank_points, layout_of, points_of, proof_of, shifted
from tests.recipes import laid_out

GAP_MM = 1e-9
AREA_MM2 = 1e-4


@pytest.fixture(params=FITTED)
def name(request: pytest.FixtureRequest) -> str:
    return request.param


def by_name(found: tuple[Contact, ...]) -> dict[str, Contact]:
    return {contact.meeting.name: contact for contact in found}


def wrong(layout: Layout, tails: list[Face], pins: list[Face]) -> dict[str, Contact]:
    return by_name(tuple(mismatched(contacts(layout, tails, pins))))


# --- joints true to their recipe -----------------------------------------------------------------------


def test_every_gap_and_area_is_the_layouts(name: str) -> None:
    found = proof_of(*FITTED[name]).contacts
    for contact in found:
        assert contact.tightest == pytest.approx(contact.meeting.gap, abs=GAP_MM)
        assert contact.widest == pytest.approx(contact.meeting.gap, abs=GAP_MM)
        assert contact.area == pytest.approx(contact.meeting.area, abs=AREA_MM2)
        assert contact.departs < GAP_MM
    assert mismatched(found) == []


def test_all_that_should_meet_is_measured(name: str) -> None:
    layout = layout_of(*FITTED[name])
    n = len(layout.tails)
    kinds = [contact.meeting.kind for contact in proof_of(*FITTED[name]).contacts]
    laps = n if layout.recipe.kind == "half-blind" else 0
    assert [kinds.count(kind) for kind in ("flank", "shoulder", "floor", "lap")] == [2 * n, n + 1, n, laps]


def test_the_order_of_the_faces_does_not_matter(name: str) -> None:
    """Faces are found by place and direction: shuffled, and each loop begun elsewhere, they measure the same."""
    layout, dice = layout_of(*FITTED[name]), random.Random(20260)
    shuffled = []
    for faces in faces_as_cut(layout):
        turned = [[loop[k:] + loop[:k] for loop in face for k in (dice.randrange(len(loop)),)] for face in faces]
        shuffled.append(dice.sample(turned, len(turned)))
    for plain, mixed in zip(contacts(layout, *faces_as_cut(layout)), contacts(layout, *shuffled), strict=True):
        assert mixed.area == pytest.approx(plain.area, abs=AREA_MM2)
        assert (mixed.tightest, mixed.widest) == pytest.approx((plain.tightest, plain.widest), abs=GAP_MM)


@pytest.mark.parametrize("name", ["plain", "both, half-blind, tight"])
def test_measuring_leaves_the_faces_as_they_were(name: str) -> None:
    layout = layout_of(*FITTED[name])
    faces = faces_as_cut(layout)
    contacts(layout, *faces)
    assert faces == faces_as_cut(layout)


# --- words ---------------------------------------------------------------------------------------------


def test_words_say_which_flank_how_tight_and_over_what_size() -> None:
    """A tail of 18 mm along its flank: the pin board is 18 N/sqrt(N^2 + 1) thick."""
    thickness = 18 * 7 / math.sqrt(50)
    overrides = (f"pin_board.thickness={thickness}", "tail_board.thickness=16", "pin_board.wood=spruce")
    found = by_name(proof_of(*overrides, "fit.flank_gap=-0.08").contacts)
    assert said(found["tail 3, left flank"].words) == "tail 3, left flank: 0.08 mm tight over 18 x 16 mm"
    assert said(found["floor of socket 2"].words) == f"floor of socket 2: no gap over 18.75 x {thickness:.1f} mm"
    loose = by_name(proof_of(*overrides, "fit.flank_gap=0.125").contacts)
    assert said(loose["tail 1, right flank"].words) == "tail 1, right flank: 0.125 mm open over 18 x 16 mm"


@pytest.mark.parametrize(
    ("tightest", "widest", "words"),
    [
        (0, 0, "no gap"),
        (0.0004, -0.0004, "no gap"),
        (0.001, 0.001, "0.001 mm open"),
        (-0.001, -0.001, "0.001 mm tight"),
        (-0.08, 0.1, "from 0.08 mm tight to 0.1 mm open"),
        (0, 0.05, "from touching to 0.05 mm open"),
        (-0.05, 0, "from 0.05 mm tight to touching"),
    ],
)
def test_a_gap_in_a_makers_words(tightest: float, widest: float, words: str) -> None:
    assert said(gap_words(tightest, widest)) == words


# --- faces that are not where they should be -------------------------------------------------------------


@pytest.mark.parametrize("by", [0.05, 0.001, -0.001, -0.05])
@pytest.mark.parametrize("kind", ["plain", "tight", "loose", "hollow, tight", "chamfered, half-blind"])
def test_a_pins_flank_moved_in_x_changes_the_gap_by_its_share_normal_to_it(kind: str, by: float) -> None:
    """A left flank of socket 3 moved by `by` toward its tail closes the gap by `by`/s."""
    layout = layout_of(*FITTED[kind])
    tails, pins = faces_as_cut(layout)
    found = wrong(layout, tails, shifted(pins, flank_points(layout, pins, 2, 0, of_pin=True), (by, 0, 0)))
    contact = found["tail 3, left flank"]
    meant = layout.recipe.flank_gap - by / layout.flanks[0].stretch
    assert (contact.tightest, contact.widest) == pytest.approx((meant, meant), abs=GAP_MM)
    assert contact.departs == pytest.approx(abs(by) / layout.flanks[0].stretch)
    assert {name for name in found if "flank" in name} == {"tail 3, left flank"}


def test_a_reader_in_inches_is_told_gaps_and_sizes_in_inches() -> None:
    """0.08 mm is 0.00315 in and 0.001 mm 0.0000394 in; 18 x 16 mm are 45/64 x 5/8 in with their rests."""
    assert said(gap_words(-0.08, 0.1), "in") == "from 0.0031 in tight to 0.0039 in open"
    assert said(gap_words(0.001, 0.001), "in") == "0.000039 in open"
    found = by_name(proof_of("fit.flank_gap=-0.08").contacts)["tail 3, left flank"]
    assert said(found.words, "in").startswith("tail 3, left flank: 0.0031 in tight over ")
    assert "mm" not in said(found.words, "in")


def test_a_flank_that_leans_is_told_from_its_tightest_to_its_widest() -> None:
    """The tail's flank turned about its end: 0.07 mm in X at the baseline is 0.07/s tight there, nothing at the end."""
    layout = layout_of("tail_board.proud=0")
    tails, pins = faces_as_cut(layout)
    points = {p for p in flank_points(layout, tails, 1, 1, of_pin=False) if p[1] == 0}
    contact = wrong(layout, shifted(tails, points, (0.07, 0, 0)), pins)["tail 2, right flank"]
    assert contact.tightest == pytest.approx(-0.07 / layout.flanks[0].stretch, rel=0.02)
    assert contact.widest == pytest.approx(0, abs=2e-4)
    assert said(contact.words).startswith("tail 2, right flank: from 0.069 mm tight to touching over")


@pytest.mark.parametrize("by", [0.05, 0.001, -0.05])
def test_a_shoulder_that_is_too_deep_or_too_shallow_is_measured(by: float) -> None:
    layout = layout_of()
    tails, pins = faces_as_cut(layout)
    edge = layout.tail_edges(layout.tails[1], 0)[1], layout.tail_edges(layout.tails[2], 0)[0]
    points = {p for p in points_of(tails) if p[1] == 0 and p[0] in edge}
    found = wrong(layout, shifted(tails, points, (0, -by, 0)), pins)
    contact = found["shoulder beside tail 2"]
    assert (contact.tightest, contact.widest) == pytest.approx((by, by), abs=GAP_MM)


@pytest.mark.parametrize("by", [0.02, 0.001, 0.9])
def test_a_tail_end_short_of_the_lap_is_measured(by: float) -> None:
    layout = layout_of(*FITTED["half-blind"])
    tails, pins = faces_as_cut(layout)
    tail = layout.tails[0]
    points = {p for p in points_of(tails) if p[1] == layout.depth and tail.left - 1 < p[0] < tail.right + 1}
    found = wrong(layout, shifted(tails, points, (0, -by, 0)), pins)
    assert found["end of tail 1 at the lap"].tightest == pytest.approx(by)


def test_a_tail_end_far_from_the_lap_does_not_meet_it() -> None:
    layout = layout_of(*FITTED["half-blind"])
    tails, pins = faces_as_cut(layout)
    tail = layout.tails[0]
    points = {p for p in points_of(tails) if p[1] == layout.depth and tail.left - 1 < p[0] < tail.right + 1}
    contact = wrong(layout, shifted(tails, points, (0, -3, 0)), pins)["end of tail 1 at the lap"]
    assert (contact.area, contact.tightest) == (0, math.inf)
    assert said(contact.words) == "end of tail 1 at the lap: the faces do not meet"


@pytest.mark.parametrize("by", [-0.05, -0.001, 0.02])
def test_a_socket_floor_that_is_too_low_or_too_high_is_measured(by: float) -> None:
    layout = layout_of()
    tails, pins = faces_as_cut(layout)
    xs = {x for y in (0.0, layout.depth) for x in layout.socket_edges(layout.tails[3], y)}
    points = {p for p in points_of(pins) if p[2] == 0 and p[0] in xs}
    contact = wrong(layout, tails, shifted(pins, points, (0, 0, by)))["floor of socket 4"]
    assert (contact.tightest, contact.widest) == pytest.approx((-by, -by), abs=GAP_MM)


@pytest.mark.parametrize("kind", ["plain", "loose", "tight", "hollow", "half-blind"])
def test_a_board_without_a_face_does_not_meet_there(kind: str) -> None:
    """Each flank of the tail board taken away in turn: that flank and no other is missed."""
    layout = layout_of(*FITTED[kind])
    tails, pins = faces_as_cut(layout)
    flanks = [i for i, face in enumerate(tails) if 0.9 < abs(unit(face)[0]) < 1 - 1e-9]
    assert len(flanks) == 2 * len(layout.tails)
    missed = [set(wrong(layout, tails[:i] + tails[i + 1 :], pins)) for i in flanks]
    names = [c.meeting.name for c in contacts(layout, tails, pins) if c.meeting.kind == "flank"]
    assert missed == [{name} for name in names]


def unit(face: Face) -> np.ndarray:
    normal = np.array(newell_normal(face[0]))
    return normal / np.linalg.norm(normal)


def test_a_mirrored_board_meets_nothing_where_it_should() -> None:
    """Half pins are alike, so only the two outermost flanks of tails of 14, 25 and 18 mm still lie in their places."""
    layout = layout_of(*FITTED["listed, no symmetry"])
    tails, pins = faces_as_cut(layout)
    mirrored = [[[(layout.width - x, y, z) for x, y, z in loop][::-1] for loop in face] for face in tails]
    flanks = {f"tail {i}, {side} flank" for i in (1, 2, 3) for side in ("left", "right")}
    found = {name for name in wrong(layout, mirrored, pins) if "flank" in name}
    assert found == flanks - {"tail 1, left flank", "tail 3, right flank"}


@pytest.mark.parametrize("lap", [3.5, 4.05, 4.6, 4.9])
def test_faces_that_lie_less_than_a_millimetre_apart_are_not_taken_for_each_other(lap: float) -> None:
    """A joint of 1.5 to 0.1 mm depth in a board of 5 mm: shoulders and ends of the tails, inside face and lap."""
    layout = laid_out(
        *("joint.kind=half-blind", f"joint.lap={lap}", "joint.width=18", "joint.tails=1", "joint.half_pin=5"),
        *("tail_board.thickness=5", "pin_board.thickness=5", "joint.slope=1:4"),
    )
    measured = contacts(layout, *faces_as_cut(layout))
    assert measured
    assert mismatched(measured) == []
