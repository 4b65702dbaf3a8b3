"""What contacts, way in and hold mean for a maker: the right code, severity, place, figures and words."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solids.base.findings import Finding
from solids.base.messages import said
from solids.layout.joint.expected_contacts import meetings
from solids.model.manifold import OverlapPiece
from solids.proof.joint.contacts import Contact, contact_findings
from solids.proof.joint.corner import Proof
from solids.proof.joint.way_in import Entry, Hold, directions, entry_finding, hold_findings
from tests.fitted import FITTED, layout_of, proof_of

HALF_BLIND = layout_of(*FITTED["half-blind"])
PLAIN = layout_of()


def true_contacts(*overrides: str) -> list[Contact]:
    """As a perfect measure would have them; no solids."""
    return [Contact(m, m.gap, m.gap, m.area, 0.0) for m in meetings(layout_of(*overrides))]


def spoiled(name: str, **change: float) -> list[Finding]:
    contacts = true_contacts(*FITTED["half-blind"])
    return list(contact_findings([replace(c, **change) if c.meeting.name == name else c for c in contacts]))


# --- contacts --------------------------------------------------------------------------------------------


def test_true_contacts_are_told_kind_by_kind_with_their_area() -> None:
    contacts = true_contacts(*FITTED["half-blind"])
    found = list(contact_findings(contacts))
    assert [f.code for f in found] == ["contact-flank", "contact-shoulder", "contact-floor", "contact-lap"]
    assert {f.severity for f in found} == {"pass"}
    for finding, count in zip(found, (8, 5, 4, 4), strict=True):
        area = sum(c.area for c in contacts if finding.code == f"contact-{c.meeting.kind}")
        assert finding.said.startswith(f"{count} ")
        assert f"no gap, over {area:.0f} mm2" in finding.said
        assert f"({area / 25.4**2:.2f} sq in)" in finding.said
        assert f"no gap, over {area / 25.4**2:.2f} sq in" in said(finding.sentence, "in")


def test_a_through_joint_says_nothing_of_a_lap() -> None:
    assert [f.code for f in contact_findings(true_contacts())] == ["contact-flank", "contact-shoulder", "contact-floor"]


@pytest.mark.parametrize(("gap", "words"), [(-0.04, "0.04 mm tight"), (0.1, "0.1 mm open"), (0, "no gap")])
def test_flanks_are_told_with_the_gap_of_the_recipe(gap: float, words: str) -> None:
    flanks = next(iter(contact_findings(true_contacts(f"fit.flank_gap={gap}"))))
    assert flanks.said.startswith(f"8 flanks: {words}, over ")
    assert (flanks.measured, flanks.unit) == (gap, "mm")


SPOILED = [
    ("tail 2, left flank", 0.001, "Tail 2, left flank: 0.001 mm open over"),
    ("tail 4, right flank", -0.05, "Tail 4, right flank: 0.05 mm tight over"),
    ("shoulder beside tail 1", 0.2, "Shoulder beside tail 1: 0.2 mm open over"),
    ("floor of socket 3", -0.01, "Floor of socket 3: 0.01 mm tight over"),
    ("end of tail 1 at the lap", 0.5, "End of tail 1 at the lap: 0.5 mm open over"),
]


@pytest.mark.parametrize(("name", "gap", "words"), SPOILED)
def test_a_face_that_is_not_where_it_should_be_fails_by_name(name: str, gap: float, words: str) -> None:
    (found,) = spoiled(name, tightest=gap, widest=gap)
    assert (found.code, found.severity, found.place, found.unit) == ("contact", "fail", name, "mm")
    assert (found.measured, found.limit) == (gap, 0)
    assert found.said.startswith(words)
    assert found.said.endswith("the recipe has: no gap.")
    assert "Do not cut" in found.advice


@pytest.mark.parametrize("change", [{"departs": 0.001}, {"area": 90.0}, {"widest": 0.001}, {"tightest": -0.001}])
def test_place_area_and_both_ends_of_the_gap_count(change: dict[str, float]) -> None:
    (found,) = spoiled("tail 1, left flank", **change)
    assert found.place == "tail 1, left flank"


@pytest.mark.parametrize("change", [{"departs": 0.0004}, {"widest": 0.0004}, {"tightest": -0.0004}])
def test_less_than_half_a_thousandth_is_rounding(change: dict[str, float]) -> None:
    assert {f.severity for f in spoiled("tail 1, left flank", **change)} == {"pass"}


def test_faces_that_do_not_meet_fail_and_say_so() -> None:
    (found,) = spoiled("tail 1, left flank", area=0.0, tightest=math.inf, widest=math.inf)
    assert found.said.startswith("Tail 1, left flank: the faces do not meet;")


# --- the way in ---------------------------------------------------------------------------------------------


def test_a_free_way_passes() -> None:
    found = entry_finding(PLAIN, Entry(0.0, 0.0, ()))
    assert (found.code, found.severity, found.advice) == ("entry", "pass", "")
    assert "without meeting any wood" in found.said


def test_a_way_against_tight_flanks_passes_and_says_so() -> None:
    found = entry_finding(PLAIN, Entry(1.5, 1.5, ()))
    assert found.severity == "pass"
    assert "the tight flanks that you ask for" in found.said


@pytest.mark.parametrize("asked", [0.0, 1.5])
def test_a_blocked_way_fails_and_names_what_blocks_it(asked: float) -> None:
    tail = PLAIN.tails[2]
    found = entry_finding(PLAIN, Entry(asked + 0.02, asked, (OverlapPiece(0.02, tail.left, tail.left + 0.1),)))
    assert (found.code, found.severity, found.place) == ("entry", "fail", "tail 3, left flank")
    assert (found.measured, found.limit, found.unit) == (asked + 0.02, asked, "mm3")
    assert "cannot be brought in" in found.said
    assert "(tail 3, left flank)" in found.said


@pytest.mark.parametrize("overlap", [math.nan, math.inf])
def test_a_way_that_could_not_be_measured_fails(overlap: float) -> None:
    assert entry_finding(PLAIN, Entry(overlap, 0.0, ())).severity == "fail"


# --- the hold -----------------------------------------------------------------------------------------------


def held(play: float | None, *, confirmed: bool = True) -> list[Hold]:
    first, *others = directions(PLAIN)
    return [*(Hold(name, 0.0, "the flanks", True) for name in others), Hold(first, play, "the flanks", confirmed)]


def test_each_direction_that_holds_is_told() -> None:
    found = list(hold_findings(PLAIN, held(0.0)))
    assert {f.severity for f in found} == {"pass"}
    assert {f.place for f in found} == set(directions(PLAIN))
    assert all("held at once by the flanks" in f.said for f in found)


def test_play_is_told_in_both_units() -> None:
    """0.71 mm is 0.028 in."""
    last = list(hold_findings(PLAIN, held(0.71)))[-1]
    assert "held after 0.71 mm (0.028 in) of play by the flanks" in last.said
    assert (last.measured, last.unit) == (0.71, "mm")


def test_a_direction_that_nothing_holds_fails() -> None:
    (found,) = hold_findings(PLAIN, held(None))
    assert (found.code, found.severity, found.place) == ("hold", "fail", next(iter(directions(PLAIN))))
    assert found.said.startswith("Nothing holds the tail board")


def test_boards_that_do_not_bear_out_their_faces_fail() -> None:
    (found,) = hold_findings(PLAIN, held(0.1, confirmed=False))
    assert (found.code, found.severity, found.measured) == ("hold", "fail", 0.1)
    assert "do not behave as their faces say" in found.said


# --- all of it --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FITTED)
def test_a_true_joint_passes_with_one_line_for_each_thing_proved(name: str) -> None:
    proof: Proof = proof_of(*FITTED[name])
    found = [f for f in proof.findings if f.code.startswith(("contact", "entry", "hold")) and f.code != "entry-chamfer"]
    kinds = 4 if layout_of(*FITTED[name]).is_half_blind else 3
    # Necks of 0.2 mm and pins of 0.15 mm fit as well as others, but no hand cuts them.
    hair = {"thin-neck", "thin-pin"} if name.startswith("tails nearer") else set()
    assert {f.code for f in proof.findings if f.severity == "fail"} == hair
    assert len(found) == kinds + 1 + len(directions(layout_of(*FITTED[name])))
    assert {f.severity for f in found} == {"pass"}
