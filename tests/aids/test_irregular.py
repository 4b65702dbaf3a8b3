"""Aids for an irregular joint: each kind against numbers worked out by hand, and all kinds for random joints."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from solids.aids.catalogue import make_aids
from solids.aids.cauls.catalogue import cauls
from solids.aids.cnc.comb import cnc_jigs
from solids.aids.cnc.comb_plans import Router, plan_combs
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.asked import AidsAsked
from solids.aids.making.modelling import tail_blank
from solids.aids.marking.template import marking_templates
from solids.aids.marking.transfer_rest import transfer_rests
from solids.aids.paring_block.plan import paring_blocks
from solids.aids.saw_guides.plan import saw_guides
from solids.aids.trial.boards import trial_recipe
from solids.aids.trial.coupon import coupons
from solids.aids.trial.sample import samples
from solids.base.messages import said
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.model.kernel import volume_of
from tests.aids.helpers import PRINTING, area, faces_in_place, failing, unit
from tests.aids.irregular import made, random_joints, uneven
from tests.sampling import few


def corners_in_place(aid: Aid, use: int = 0) -> np.ndarray:
    return np.array([point for face in faces_in_place(aid, use) for point in face[0]])


def has(points: np.ndarray, *point: float) -> bool:
    """Whether one of the points lies there, in the coordinates that are given; the others are NaN."""
    asked = np.array(point)
    known = ~np.isnan(asked)
    return bool((np.abs(points[:, known] - asked[known]).max(axis=1) < 1e-6).any())


ANY = math.nan


# --- saw guides and marking templates ------------------------------------------------------------


@pytest.mark.whole
def test_there_is_a_saw_guide_for_each_slope_and_board() -> None:
    aids = made(saw_guides(uneven(), PRINTING))
    slopes = ["1-5", "1-6", "1-8", "square"]
    assert list(aids) == [f"saw-guide-{board}-{slope}" for board in ("tails", "pins") for slope in slopes] + [
        "saw-guide-square"
    ]
    assert aids["saw-guide-tails-1-5"].engraved == "1:5 tails"
    assert said(dict(aids["saw-guide-pins-1-6"].figures)["for"]) == "socket 1, right flank; socket 3, right flank"
    for aid in aids.values():
        assert failing(aid) == set(), aid.name


def test_a_guide_follows_its_own_flank_from_the_raw_end_to_the_baseline() -> None:
    """Tail 2, left: X = 30 at Y = 12 and 1:5, so 30 - 0.5/5 = 29.9 at the raw end; 5 mm on, at the lip, 28.9; and 36.4
    where the guide ends 20 mm behind the baseline, after 32.5 mm."""
    aids = made(saw_guides(uneven(), PRINTING))
    points = corners_in_place(aids["saw-guide-tails-1-5"])
    assert has(points, 28.9, 17.5, ANY)
    assert has(points, 29.9, 12.5, ANY)
    assert has(points, 36.4, -20.0, ANY)
    # The square flank of tail 3 lies at 62 all along.
    points = corners_in_place(aids["saw-guide-tails-square"])
    assert has(points, 62.0, 17.5, ANY)
    assert has(points, 62.0, -20.0, ANY)


def test_a_guide_works_at_the_flanks_that_it_is_for() -> None:
    aids = made(saw_guides(uneven(), PRINTING))
    uses = {name: [use.words for use in aid.uses] for name, aid in aids.items()}
    assert uses["saw-guide-tails-1-5"] == ["At a left flank"]
    assert uses["saw-guide-tails-1-8"] == ["At a right flank"]
    assert uses["saw-guide-square"] == ["At the other edge"], "a half tail lies at the reference edge"


def test_where_no_shoulder_is_square_the_square_guide_is_refused() -> None:
    (refusal,) = [item for item in saw_guides(uneven(mitre=6.0), PRINTING) if isinstance(item, Refusal)]
    assert refusal.name == "saw-guide-square"
    assert "half tail or a mitre" in said(refusal.why)


@pytest.mark.whole
def test_a_guide_for_a_rebated_board_hooks_over_what_the_rebate_leaves() -> None:
    aids = made(saw_guides(uneven(rebate=4.0), PRINTING))
    for aid in aids.values():
        assert failing(aid) == set(), aid.name
    assert corners_in_place(aids["saw-guide-tails-1-5"])[:, 2].min() == pytest.approx(12.0 - 8.0)


@pytest.mark.whole
def test_each_slope_that_leans_has_a_marking_template() -> None:
    aids = made(marking_templates(uneven(), PRINTING))
    heads = ("marking-template", "marking-template-milled", "marking-template-nest")
    assert list(aids) == [f"{head}-{slope}" for slope in ("1-5", "1-6", "1-8") for head in heads]
    template = aids["marking-template-1-5"]
    assert (template.engraved, [use.words for use in template.uses]) == ("1:5", ["At a left flank"])
    assert has(corners_in_place(template), 29.9, 12.5, 12.0), "the corner of its fence on the mark"
    for aid in aids.values():
        assert failing(aid) == set(), aid.name


def test_the_blank_of_a_rebated_tail_board_has_its_rebate() -> None:
    """4 mm over 100 mm of width and 12.5 mm to the raw end."""
    plain, rebated = (volume_of(tail_blank(uneven(rebate=rebate))) for rebate in (0.0, 4.0))
    assert plain - rebated == pytest.approx(4.0 * 100.0 * 12.5)


# --- cauls ---------------------------------------------------------------------------------------


def pads(aid: Aid, axis: int, at: float) -> list[tuple[float, float]]:
    """From X to X of the pads that press in a plane, at their widest."""
    faces = [face for face in faces_in_place(aid) if all(abs(point[axis] - at) < 1e-6 for point in face[0])]
    return sorted((min(p[0] for p in face[0]), max(p[0] for p in face[0])) for face in faces)


@pytest.mark.usefixtures("unmarked")
def test_the_caul_for_the_tails_presses_on_each_tail_as_it_is() -> None:
    """A pad ends 1 mm off the show face, at Y = 11, and 0.5 mm off its flanks, normal to them. Tail 1 is flush at the
    edge: its pad begins 1.4 mm in, and ends at 20 - 1/6 - 0.5 sqrt(1 + 1/36)."""
    aid = made(cauls(uneven(), PRINTING))["caul-tails"]
    first, second, third = pads(aid, 2, 12.0)
    assert first == pytest.approx((1.4, 20 - 1 / 6 - 0.5 * math.hypot(1, 1 / 6)))
    assert second == pytest.approx((30 + 0.2 + 0.5 * math.hypot(1, 0.2), 50 - 0.125 - 0.5 * math.hypot(1, 0.125)))
    assert third == pytest.approx((62.5, 84 - 1 / 6 - 0.5 * math.hypot(1, 1 / 6)))
    assert failing(aid) == set()


@pytest.mark.usefixtures("unmarked")
def test_the_caul_for_the_pins_leaves_a_mitred_strip_alone() -> None:
    """The pins are narrowest at the tails' raw ends, Y = 12.5: 20 + 0.5/6 to 29.9, 50.0625 to 62, and the half pin from
    84 + 0.5/6 to the mitre at 94. A pad stays 0.3 mm off."""
    aid = made(cauls(uneven(mitre=6.0), PRINTING))["caul-pins"]
    first, second, third = pads(aid, 1, 12.0)
    assert first == pytest.approx((20 + 0.5 / 6 + 0.3, 29.9 - 0.3))
    assert second == pytest.approx((50.0625 + 0.3, 62.0 - 0.3))
    assert third == pytest.approx((84 + 0.5 / 6 + 0.3, 94.0 - 0.3))
    assert failing(aid) == set()


@pytest.mark.usefixtures("unmarked")
def test_the_edge_pad_is_for_the_edge_with_a_half_pin_alone() -> None:
    aid = made(cauls(uneven(rebate=4.0), PRINTING))["edge-pad"]
    assert (aid.copies, len(aid.uses), said(aid.title)) == (1, 1, "Pad for the edge of the half pin")
    assert failing(aid) == set()
    # The half pin is 12.5 - 4 long; the pad stays 1 mm off both its ends.
    pressing = [face for face in faces_in_place(aid) if all(abs(point[0] - 100.0) < 1e-6 for point in face[0])]
    heights = [point[2] for face in pressing for point in face[0]]
    assert (min(heights), max(heights)) == pytest.approx((5.0, 11.5))
    refusals = [item for item in cauls(uneven(mitre=6.0), PRINTING) if isinstance(item, Refusal)]
    assert [item.name for item in refusals] == ["edge-pad"]


# --- transfer rest and paring blocks -------------------------------------------------------------


def test_a_rebated_tail_board_lies_lower_on_the_rest_and_is_stopped_by_its_shoulder() -> None:
    """The tails lie on the end at 12.5; the inside face behind them lies 4 mm lower, at 8.5."""
    (aid,) = made(transfer_rests(uneven(rebate=4.0), PRINTING)).values()
    assert failing(aid) == set()
    level = [face for face in faces_in_place(aid) if unit(face)[2] > 1 - 1e-9 and abs(face[0][0][2] - 8.5) < 1e-6]
    assert max(map(area, level)) > 48 * 70 * 0.9
    assert "the level plate 4 mm below the end" in said(aid.how_to)
    assert "toward its tails until the shoulder of its rebate" in said(aid.how_to)


def test_beside_a_half_tail_the_rest_has_no_lip() -> None:
    (aid,) = made(transfer_rests(uneven(), PRINTING)).values()
    assert said(dict(aid.figures)["lip"]) == "none: no square shoulder lies beside the first tail"
    assert failing(aid) == set()


def test_the_block_for_the_pins_stands_on_the_baseline_that_a_rebate_moves() -> None:
    """With a rebate of 4 the baseline lies at Z = 4, 8.5 mm from the raw end. The block for the tails stays at Y = 0,
    and its fence hangs 4 mm further down, so that the hook finds end grain below the rebate."""
    aids = made(paring_blocks(uneven(rebate=4.0), PRINTING))
    tails, pins = aids["paring-block-tails"], aids["paring-block-pins"]
    assert (tails.engraved, pins.engraved) == ("tails, 12.5", "pins, 8.5")
    assert said(dict(tails.figures)["fence below the face"]) == "11 mm", "1 mm off the bench"
    assert said(dict(pins.figures)["fence below the face"]) == "8 mm"
    for aid, axis, at in ((tails, 1, 0.0), (pins, 2, 4.0)):
        assert failing(aid) == set()
        for use in (0, 1):
            face = [f for f in faces_in_place(aid, use) if unit(f)[axis] > 1 - 1e-9 and abs(f[0][0][axis] - at) < 1e-6]
            assert max(map(area, face)) > 2000


def test_a_hook_bears_on_a_half_tail_or_on_waste_and_says_when() -> None:
    """At X = W the waste beside tail 3 is 100 - 84 - 0.5/6 wide at the raw end; at X = 0 the half tail is 20."""
    aids = made(paring_blocks(uneven(), PRINTING))
    assert "saw off the waste beside the half pin" in said(aids["paring-block-tails"].how_to)
    assert "before you saw a mitre or an open socket" in said(aids["paring-block-pins"].how_to)


def test_a_rebate_that_leaves_no_end_grain_for_the_hook_is_refused() -> None:
    """The fence reaches 11 mm down, 1 mm off the bench, and a printed wall is 0.8: a rebate of 10.2 works."""
    refusals = [item for item in paring_blocks(uneven(rebate=10.5), PRINTING) if isinstance(item, Refusal)]
    assert [item.name for item in refusals] == ["paring-block-tails"]
    assert "tail_board.rebate to 10.2 mm or less" in said(refusals[0].remedy)
    assert "paring-block-tails" in made(paring_blocks(uneven(rebate=10.2), PRINTING))


# --- combs and trial pieces ----------------------------------------------------------------------


def test_a_comb_opens_along_each_flank_and_leaves_open_sockets_to_the_saw() -> None:
    """A bush of 12 on a cutter of 6 lies 3 mm outside a flank, normal to it. At the baseline the left flank of tail 2
    lies at 30 + 12/5 = 32.4, its right one at 50 - 12/8 = 48.5."""
    combs = plan_combs(uneven(), Router(12.0, 6.0))
    assert [tail.number for comb in combs for tail in comb.tails] == [2, 3]
    (opening,) = [
        opening for comb in combs for tail, opening in zip(comb.tails, comb.openings, strict=True) if tail.number == 2
    ]
    crossing = []
    for (ax, ay), (bx, by) in zip(opening, [*opening[1:], opening[0]], strict=True):
        if (ay < 0.0) != (by < 0.0):
            crossing.append(ax + (bx - ax) * -ay / (by - ay))
    left, right = 32.4 - 3 * math.hypot(1, 0.2), 48.5 + 3 * math.hypot(1, 0.125)
    assert sorted(crossing) == pytest.approx([left, right])


def test_combs_prove_and_say_what_is_left_to_the_saw() -> None:
    layout = uneven()
    layout = replace(layout, recipe=replace(layout.recipe, kit=replace(layout.recipe.kit, bush=12.0, cutters=(6.0,))))
    combs = {name: aid for name, aid in made(cnc_jigs(layout, PRINTING)).items() if "comb" in name}
    assert {said(dict(aid.figures)["sockets"]) for aid in combs.values()} == {"2 3"}
    for aid in combs.values():
        assert failing(aid) == set(), aid.name
        assert "only after this" in said(aid.how_to)


def test_a_coupon_has_the_tail_whose_flanks_lean_most() -> None:
    """Tail 2: 1/5 + 1/8 is more than 1/6 of tail 3 and than the half tail's. It is 20 wide, and 12 thick."""
    aids = made(coupons(uneven(), PRINTING))
    assert [aid.name for aid in aids.values()] == ["coupon-tail", "coupon-pin-1", "coupon-pin-2", "coupon-pin-3"]
    assert aids["coupon-tail"].engraved == "1:5 and 1:8"
    assert said(dict(aids["coupon-tail"].figures)["width at the end"]) == f"{20 + 0.5 / 5 + 0.5 / 8:.2f} mm"
    for aid in aids.values():
        assert failing(aid) == set(), aid.name


def test_a_rebate_makes_trial_tails_thinner_and_is_told() -> None:
    aids = made(coupons(uneven(rebate=4.0), PRINTING))
    assert corners_in_place(aids["coupon-tail"])[:, 2].max() == pytest.approx(8.0)
    assert "Undercut, rebate and entry chamfer are left out." in said(aids["coupon-tail"].how_to)


def test_a_sample_has_every_tail_where_the_joint_has_it() -> None:
    joint = place(trial_recipe(uneven(), uneven().tails, PRINTING, 0.1, 20.0, 0.1, mirrored=False))
    assert [(tail.left, tail.right) for tail in joint.tails] == [
        pytest.approx(span) for span in ((0.0, 20.0), (30.0, 50.0), (62.0, 84.0))
    ]
    assert [flank.ratio for flank in joint.flanks] == [6.0, 5.0, 8.0, math.inf, 6.0]
    assert joint.width == pytest.approx(100.0)
    aids = made(samples(uneven(), PRINTING))
    assert list(aids) == ["sample-tails", "sample-pins"]
    for aid in aids.values():
        assert failing(aid) == set(), aid.name


# --- whatever comes ------------------------------------------------------------------------------

JOINTS = random_joints(30)


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize("number", few(range(len(JOINTS)), 4))
@pytest.mark.whole
def test_every_aid_of_a_random_joint_passes_or_is_refused_with_a_reason(number: int) -> None:
    layout = JOINTS[number]
    workshop = make_aids(layout, AidsAsked())
    assert [item.aid.name for item in workshop.failed] == []
    names = [item.aid.name for item in workshop.good]
    assert len(set(names)) == len(names)
    for refusal in workshop.refused:
        assert said(refusal.why).endswith(".")
        assert said(refusal.remedy).endswith(".")
        assert refusal.name not in names
    assert any(name.startswith("mitre-block") for name in names) == any(layout.mitred)
    assert _kinds(names, workshop.refused) >= {"saw-guide", "paring-block", "transfer-rest", "caul", "cnc", "coupon"}


def _kinds(names: list[str], refused: tuple[Refusal, ...]) -> set[str]:
    heads = ("marking-template", "saw-guide", "paring-block", "transfer-rest", "caul", "cnc", "coupon")
    all_names = [*names, *(refusal.name for refusal in refused)]
    return {head for head in heads for name in all_names if name.startswith(head)}


def test_random_joints_have_all_that_is_irregular() -> None:
    def some(ask: object) -> bool:
        return any(map(ask, JOINTS))  # type: ignore[arg-type]

    def half_tails(layout: Layout) -> bool:
        return any(tail.is_half for tail in layout.tails)

    assert some(half_tails)
    assert some(lambda layout: any(layout.mitred))
    assert some(lambda layout: layout.rebate > 0)
    assert some(lambda layout: layout.is_half_blind and half_tails(layout))
    assert some(lambda layout: any(flank.lean < 0 for flank in layout.flanks))
