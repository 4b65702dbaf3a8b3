"""The coupons against the layout they are cut out of: the same tail, and pins at the clearance that they show."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.aids.making.aid import Aid, Refusal
from solids.aids.proof import prove_aid
from solids.aids.trial.boards import clearances
from solids.aids.trial.coupon import coupons
from solids.base.errors import RecipeError
from solids.base.findings import fails
from solids.base.messages import said
from solids.layout import Layout
from solids.model.kernel import Face, bounds, faces_of
from solids.recipe import check_recipe, preset_text
from solids.recipe.tables.resolved import Printing
from solids.recipe.text.toml import parse_toml
from tests.aids.helpers import PRINTING, faces_in_place, in_place, unit
from tests.corners import PRESETS, layout_of


def coupons_of(layout: Layout, printing: Printing = PRINTING) -> dict[str, Aid]:
    made = coupons(layout, printing)
    return {aid.name: aid for aid in made if isinstance(aid, Aid)}


def refusal_of(layout: Layout, printing: Printing = PRINTING) -> Refusal:
    (refusal,) = coupons(layout, printing)
    assert isinstance(refusal, Refusal)
    return refusal


def flanks(aid: Aid) -> list[tuple[float, float]]:
    """Of each flank in the joint's frame: the X component of its normal, and its distance from the origin along it."""
    found = []
    for face in faces_in_place(aid):
        x, y, z = unit(face)
        if abs(z) < 1e-9 and 0.01 < abs(y) < 0.5 and height(face) > 2.0:
            point = face[0][0]
            found.append((x, x * point[0] + y * point[1]))
    return sorted(found)


def height(face: Face) -> float:
    levels = [point[2] for point in face[0]]
    return max(levels) - min(levels)


@pytest.mark.parametrize("preset", PRESETS)
def test_the_coupons_of_every_preset_pass_their_proof(preset: str) -> None:
    made = coupons_of(layout_of(preset))
    assert list(made) == ["coupon-tail", "coupon-pin-1", "coupon-pin-2", "coupon-pin-3"]
    for aid in made.values():
        assert not fails(prove_aid(aid, PRINTING)), aid.name


@pytest.mark.parametrize(
    ("preset", "overrides"),
    [
        ("tool-tray", ("joint.tails=1",)),
        ("drawer-front", ("joint.slope=1:2", "joint.tails=2")),
        ("tool-tray", ("joint.slope=1:30",)),
        ("tool-tray", ("tail_board.thickness=40", "pin_board.thickness=40", "joint.tails=1")),
        ("tool-tray", ("joint.half_pin=1", "joint.allow_thin_half_pin=true", "pin_board.thickness=6")),
    ],
)
def test_unusual_joints_pass_too(preset: str, overrides: tuple[str, ...]) -> None:
    for aid in coupons_of(layout_of(preset, *overrides)).values():
        assert not fails(prove_aid(aid, PRINTING)), aid.name


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_each_pin_coupon_stands_off_the_tail_by_the_number_it_shows(preset: str) -> None:
    made = coupons_of(layout_of(preset))
    tail = flanks(made["coupon-tail"])
    assert len(tail) == 2
    for number, gap in enumerate((0.10, 0.20, 0.30), start=1):
        pins = made[f"coupon-pin-{number}"]
        # Faces that meet look at each other, so their distances from the origin have opposite signs.
        (left, at_left), (right, at_right) = flanks(pins)
        (tail_left, from_left), (tail_right, from_right) = tail
        assert (left, right) == pytest.approx((-tail_right, -tail_left))
        assert -at_right - from_left == pytest.approx(gap, abs=1e-9)
        assert -at_left - from_right == pytest.approx(gap, abs=1e-9)
        assert pins.engraved == f"{gap:g} mm"


@pytest.mark.parametrize("clearance", [0.0, 0.2, 0.25, 0.2032])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_the_line_that_a_coupon_gives_sets_its_own_clearance_in_a_recipe_of_any_units(
    clearance: float, units: str
) -> None:
    """Before, a coupon said "0.10", and 0.10 in a recipe in inches is 2.54 mm."""
    made = coupons_of(layout_of("tool-tray"), replace(PRINTING, clearance=clearance))
    for number, gap in enumerate(clearances(replace(PRINTING, clearance=clearance)), start=1):
        aid = made[f"coupon-pin-{number}"]
        line = said(dict(aid.figures)["line for the recipe, under [print]"])
        assert line in said(aid.how_to)
        text = preset_text({"mm": "tool-tray", "in": "tea-box"}[units])
        recipe = check_recipe(parse_toml(f"{text}\n[print]\n{line}\n", "mine"))
        assert recipe.printing.clearance == aid.clearance == gap
        assert line == f'clearance = "{aid.engraved}"'


def test_a_number_without_its_unit_is_refused_where_no_printer_has_it() -> None:
    """By hand: 0.1 in is 2.54 mm; the most is 1 mm, which is 0.03937 in, 2.52/64."""
    with pytest.raises(RecipeError) as caught:
        layout_of("tea-box", "print.clearance=0.1")
    (problem,) = caught.value.told
    assert problem.key == "print.clearance"
    assert "0.1 in is over the most" in str(problem)
    assert "to 1/32 in" in str(problem)
    assert 'write the unit too, as in "0.2 mm"' in str(problem)
    assert layout_of("tea-box", 'print.clearance="0.1 mm"').recipe.printing.clearance == pytest.approx(0.1)
    with pytest.raises(RecipeError, match=r"print\.nozzle"):
        layout_of("tea-box", "print.nozzle=0.4")


def test_the_tail_is_as_large_as_the_first_of_the_joint() -> None:
    layout = layout_of("carcase")
    faces = faces_in_place(coupons_of(layout)["coupon-tail"])
    end = layout.recipe.pin_board.thickness + layout.recipe.tail_board.proud
    tip = [point[0] for face in faces for point in face[0] if abs(point[1] - end) < 1e-9]
    widest = layout.tails[0].width + 2 * layout.recipe.tail_board.proud / layout.ratios[0]
    assert max(tip) - min(tip) == pytest.approx(widest, abs=1e-9)
    assert min(point[1] for face in faces for point in face[0]) == pytest.approx(-15.0)


def test_undercut_and_entry_chamfer_are_left_out() -> None:
    plain, worked = (
        coupons_of(layout_of("tool-tray", *extra)) for extra in ((), ("undercut.depth=0.5", "entry_chamfer.width=0.5"))
    )
    for name, aid in plain.items():
        assert len(faces_of(aid.solid)) == len(faces_of(worked[name].solid)), name


def test_a_half_blind_tail_does_not_reach_the_lap() -> None:
    layout = layout_of("drawer-front")
    aid = coupons_of(layout)["coupon-tail"]
    (_, _, _), (_, tip, _) = bounds(in_place(aid))
    assert tip == pytest.approx(layout.depth - 0.30)
    assert "lap" in said(aid.how_to)


def test_clearances_follow_the_printer_and_never_come_too_close() -> None:
    assert clearances(PRINTING) == pytest.approx((0.1, 0.2, 0.3))
    assert clearances(replace(PRINTING, clearance=0.0)) == pytest.approx((0.05, 0.1, 0.15))
    assert clearances(replace(PRINTING, clearance=0.4)) == pytest.approx((0.2, 0.4, 0.6))


def test_pins_with_another_clearance_than_stated_fail() -> None:
    made = coupons_of(layout_of("tool-tray"))
    tight, usual = made["coupon-pin-1"], made["coupon-pin-2"]
    too_tight = prove_aid(replace(usual, solid=tight.solid), PRINTING)
    assert [finding.code for finding in too_tight if finding.severity == "fail"] == ["clears"]
    too_loose = prove_aid(replace(tight, solid=usual.solid), PRINTING)
    assert "works" in [finding.code for finding in too_loose if finding.severity == "fail"]


def test_a_tail_of_another_slope_or_out_of_its_seat_fails() -> None:
    aid, other = (coupons_of(layout_of("tool-tray", f"joint.slope=1:{n}"))["coupon-tail"] for n in (7, 8))
    assert fails(prove_aid(replace(aid, solid=other.solid), PRINTING))
    uses = tuple(replace(use, place=use.place.shifted((0.0, 0.0, 0.05))) for use in aid.uses)
    assert fails(prove_aid(replace(aid, uses=uses), PRINTING))


def test_what_would_be_too_thin_or_too_large_is_refused_with_what_works() -> None:
    assert "neck" in said(refusal_of(layout_of("tool-tray", "joint.tails=12")).why)
    thin = refusal_of(layout_of("tool-tray", "tail_board.thickness=1.2"))
    assert "1.3 mm" in said(thin.remedy)
    assert "lap" in said(refusal_of(layout_of("drawer-front", "joint.lap=0.5")).why)
    layout = layout_of("tool-tray", "joint.tails=1")
    small = refusal_of(layout, replace(PRINTING, bed=(100.0, 100.0)))
    assert "106 x 38 mm" in said(small.why), "96 mm of joint and 5 mm free on both sides"
    assert len(coupons_of(layout, replace(PRINTING, bed=(106.0, 100.0)))) == 4
