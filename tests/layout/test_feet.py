"""Feet: four square blocks under the corners of a box. Lengths in mm."""

from __future__ import annotations

from typing import Any

import pytest

from solids.base.errors import InputError
from solids.bench.buying import else_to_buy
from solids.bench.materials import bill_of_materials
from solids.layout.assembly import assembly_of
from solids.layout.box.fitted.feet import bearing
from solids.layout.box.kinds import box_headline
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan_of
from solids.proof.assembly import prove_piece
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.toml import raw_in

CHEST = """
[joint]
tails = 4
[tail_board]
thickness = 15
[pin_board]
thickness = 12
[box]
length = 300
width = 200
height = 120
[box.feet]
height = 25
width = 45
inset = 3
"""


def chest(*overrides: str) -> BoxLayout:
    plan = plan_of(*raw_in(CHEST, overrides=overrides), NO_SHOP)
    assert isinstance(plan, BoxLayout)
    return plan


def test_a_foot_bears_on_the_edges_of_both_boards() -> None:
    """By hand: a square of 45 x 45 reaches 12 under the side (15 less 3) and 9 under the front (12 less 3). Of its
    2025 mm2, (45 - 12) x (45 - 9) = 1188 mm2 are under the inside: 837 mm2 are left."""
    assert bearing(chest(), "front left") == pytest.approx(837.0, abs=1e-9)


def test_under_a_back_that_stands_higher_a_foot_bears_on_the_side_alone() -> None:
    """12 x 45 = 540 mm2."""
    box = chest("box.back_above_bottom=true", "box.groove.width=6")
    assert bearing(box, "back left") == pytest.approx(540.0, abs=1e-9)
    assert bearing(box, "front left") == pytest.approx(837.0, abs=1e-9)


def test_a_chest_on_feet_is_proved_and_its_feet_come_last() -> None:
    proof = prove_piece(chest("box.groove.width=6"))
    assert proof.passes
    assert [move.direction for move in proof.order.moves[-4:]] == ["from below"] * 4
    feet = [part for part in proof.finished if part.name.startswith("foot")]
    assert len(feet) == 4
    for part in feet:
        assert proof.assembly.volume(part.name, finished=True) == pytest.approx(45 * 45 * 25, abs=1e-6)


def test_the_headline_tells_how_high_they_stand() -> None:
    assert "120 mm" in box_headline(chest())
    assert "on feet of 25 mm" in box_headline(chest())


@pytest.mark.parametrize(
    ("override", "told"),
    [
        (
            "box.feet.inset=11",
            "box.feet.inset: 11 mm leaves 4 mm of a board's edge over a foot",
        ),
        ("box.feet.inset=120", "box.feet.inset: 120 mm leaves 0 mm of a board's edge over a foot"),
        ("box.feet.width=100", "box.feet.width: 100 mm lets feet meet that have 97 mm each; accepted is up to 97 mm"),
        ("box.feet.height=0.5", "box.feet.height"),
    ],
)
def test_feet_that_do_not_hold_are_refused(override: str, told: str) -> None:
    with pytest.raises(InputError) as caught:
        chest(override)
    assert told in str(caught.value)
    assert "\n" not in str(caught.value), "it is told alone"


def test_feet_without_a_height_ask_for_one() -> None:
    raw: Any
    raw, found = raw_in(CHEST)
    del raw["box"]["feet"]["height"]
    with pytest.raises(InputError, match=r"box\.feet\.height: is missing"):
        plan_of(raw, found, NO_SHOP)


def test_a_foot_that_is_a_leg_is_refused() -> None:
    """Twice its width of 45."""
    with pytest.raises(InputError) as caught:
        chest("box.feet.height=91")
    assert "box.feet.height: 91 mm is too high for a block 45 mm wide" in str(caught.value)
    assert "accepted is up to 90 mm, or take wider feet (box.feet.width)" in str(caught.value)
    assert chest("box.feet.height=90").recipe.feet


def test_the_bill_has_two_screws_for_each_foot() -> None:
    """25 through the foot and 20 into the edge of the board."""
    box = chest()
    assert "8 screws, 45 mm long: they hold the feet, 2 each." in else_to_buy(box)
    (screws,) = (item for item in bill_of_materials(assembly_of(box)) if item.names == ("screw",))
    assert (screws.count, screws.note) == (8, "45 mm long, for the feet")
