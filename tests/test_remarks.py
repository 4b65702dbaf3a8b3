"""What an accepted layout is worth a word about: each limit from both sides, and a remedy that silences the remark."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings

from solids.findings import Finding
from solids.recipe import preset_names, preset_text
from solids.remarks import remarks
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

THIN = ("joint.allow_thin_half_pin=true",)


def codes(*overrides: str) -> list[str]:
    return [remark.code for remark in remarks(laid_out(*overrides, text=WHOLE))]


def only(*overrides: str) -> Finding:
    (remark,) = remarks(laid_out(*overrides, text=WHOLE))
    return remark


@pytest.mark.parametrize("name", preset_names())
def test_presets_are_worth_no_remark(name: str) -> None:
    assert remarks(laid_out(text=preset_text(name))) == ()


BOTH_SIDES = [
    # code, what both share, nothing to say, a remark
    ("slope", (), "joint.slope=1:5", "joint.slope=1:4.99"),
    ("slope", (), "joint.slope=1:8", "joint.slope=1:8.01"),
    ("half-pin", THIN, "joint.half_pin=5", "joint.half_pin=4.99"),
    ("half-pin", (*THIN, "joint.pin=5.5"), "joint.half_pin=5.51", "joint.half_pin=5.5"),
    ("half-pin", (*THIN, "joint.pin=5.5", "joint.tails=2"), "joint.half_pin=5.51", "joint.half_pin=5.5"),
    ("lap", HALF_BLIND, "joint.lap=3/32 in", "joint.lap=2.38"),
    ("loose", (), "fit.flank_gap=0.15", "fit.flank_gap=0.151"),
    # One tail of W - 12 mm: 1 3/4 in is 44.45 mm, and 0.05 mm is a knife line.
    ("wide-tail", ("joint.tails=1",), "joint.width=56.49", "joint.width=56.51"),
]


@pytest.mark.parametrize(("code", "shared", "silent", "remarked"), BOTH_SIDES)
def test_every_limit_from_both_sides(code: str, shared: tuple[str, ...], silent: str, remarked: str) -> None:
    assert codes(*shared, silent) == []
    assert codes(*shared, remarked) == [code]


def test_a_single_tail_has_no_pins_that_its_half_pins_could_be_thinner_than() -> None:
    assert codes(*THIN, "joint.tails=1", "joint.width=50", "joint.pin=9") == []


def test_a_through_joint_has_no_lap_to_break() -> None:
    assert codes("joint.kind=through") == []


def test_a_steep_slope_breaks_and_a_flat_one_holds_little() -> None:
    steep, flat = only("joint.slope=1:4"), only("joint.slope=1:9")
    assert steep.sentence == (
        "A slope of 1:4 is steeper than the usual 1:5 to 1:8: the short grain at the corners of the tails may break."
    )
    assert flat.sentence == "A slope of 1:9 is flatter than the usual 1:5 to 1:8: it holds little."
    assert (steep.measured, steep.limit, flat.measured, flat.limit) == (4, 5, 9, 8)
    assert steep.remedy == flat.remedy == "Take joint.slope from 1:5 to 1:8."


def test_a_thin_half_pin_that_was_insisted_on_is_named_with_its_measure() -> None:
    remark = only(*THIN, "joint.half_pin=4")
    assert remark.sentence.startswith("The half pins of 4 mm (0.157 in) are thinner than the rule, as you asked")
    assert (remark.measured, remark.limit, remark.unit) == (4, 5, "mm")


def test_a_half_pin_no_wider_than_the_pins_has_the_pins_as_its_limit() -> None:
    """5.5 mm is over the 5 mm that hold; what it is measured against are the inner pins of 6 mm."""
    remark = only(*THIN, "joint.pin=6", "joint.half_pin=5.5")
    assert (remark.measured, remark.limit) == (5.5, 6)


def test_a_thin_lap_is_named_with_three_thirty_seconds_of_an_inch() -> None:
    """3/32 in, from a furniture-making handbook of 2007, pp. 84-86."""
    remark = only(*HALF_BLIND, "joint.lap=2")
    assert remark.sentence == "A lap of 2 mm (0.079 in) is thin and may break out."
    assert (remark.measured, remark.limit, remark.unit) == (2, pytest.approx(3 / 32 * 25.4), "mm")


def test_a_loose_flank_is_named_with_what_glue_likes() -> None:
    """0.006 in = 0.1524 mm: G. Wengert, woodworkingnetwork.com."""
    remark = only("fit.flank_gap=0.2")
    assert remark.sentence == "A flank gap of 0.2 mm (0.008 in) shows as a line and is more than glue likes."
    assert (remark.measured, remark.limit, remark.unit) == (0.2, 0.15, "mm")
    assert remark.limit == pytest.approx(0.006 * 25.4, abs=0.005)


def test_the_widest_tail_is_named_by_its_number() -> None:
    """W. Noyes, Handwork in Wood, 1910: no more than 1 3/4 in."""
    remark = only("joint.width=114", "joint.spacing=[20, 50, 20]", "joint.tails=3", "joint.half_pin=9")
    assert (remark.place, remark.measured, remark.unit) == ("tail 2", 50, "mm")
    assert remark.limit == pytest.approx(1.75 * 25.4)
    assert remark.sentence == "Tail 2 is 50 mm (1.969 in) wide. Over 1 3/4 in, it holds less."


def test_remarks_speak_in_the_recipes_units() -> None:
    text = 'units = "in"\n[joint]\nwidth = 4\n[tail_board]\nthickness = "1/2"\n[pin_board]\nthickness = "1/2"\n'
    (remark,) = remarks(laid_out("fit.flank_gap=1/64", text=text))
    assert "1/64 in (0.4 mm)" in remark.sentence


def test_several_remarks_come_together() -> None:
    assert codes(*THIN, *HALF_BLIND, "joint.slope=1:4", "joint.half_pin=4", "joint.lap=2", "fit.flank_gap=0.2") == [
        "slope",
        "half-pin",
        "lap",
        "loose",
    ]


@pytest.mark.parametrize("overrides", [("joint.slope=1:4",), (*HALF_BLIND, "joint.lap=1"), ("fit.flank_gap=0.2",)])
def test_following_a_remedy_silences_the_remark(overrides: tuple[str, ...]) -> None:
    remedy = only(*overrides).remedy
    found = re.search(r"Take (\S+) (?:of (.*?) or |from (\S+) to)", remedy)
    assert found
    assert codes(*overrides, f"{found[1]}={found[2] or found[3]}") == []


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_remarks_are_warnings_only_each_once_with_measure_limit_and_remedy(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    made = remarks(layout)
    assert len({remark.code for remark in made}) == len(made)
    for remark in made:
        assert remark.severity == "warning"
        assert remark.measured is not None
        assert remark.limit is not None
        assert remark.remedy.endswith(".")
        assert remark.sentence.endswith(".")
