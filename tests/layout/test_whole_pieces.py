"""Whole pieces that ship with the tool: what their lids, feet, dividers and openings make of their sizes."""

from __future__ import annotations

import pytest

from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lining import room_within
from solids.layout.box.fitted.top import TOP
from solids.layout.box.lid_words import inside_z
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan_of
from solids.proof.assembly import prove_piece
from solids.recipe import box_preset_names, preset_text
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.text.toml import raw_in
from solids.write.drafting.whole.elevations import overall
from tests.lids import chest


def box_of(name: str, *overrides: str) -> BoxLayout:
    plan = plan_of(*raw_in(preset_text(name), overrides=overrides), NO_SHOP)
    assert isinstance(plan, BoxLayout)
    return plan


@pytest.mark.parametrize("name", box_preset_names())
def test_every_piece_that_ships_is_proved_without_a_warning(name: str) -> None:
    proof = prove_piece(box_of(name))
    assert [finding.sentence for finding in proof.findings if finding.severity in ("fail", "warning")] == []


def test_a_chest_on_feet_is_as_high_as_its_closed_box_and_they_are() -> None:
    """Glued up 150 high, the kerf takes 1 and planing 0.5 off both edges: 148 closed. The feet are 14: 162 over all.
    Inside, its bottom begins at 8, its groove is 6 wide, and nothing stands above that; the top's underside is 8 + 6
    below the upper edge: 148 - 14 - 14 = 120."""
    box = box_of("tea-chest")
    low, high = overall(box)[2]
    assert (low, high) == pytest.approx((-14.0, 148.0))
    foot, head = inside_z(box)
    assert head - foot == pytest.approx(120.0)


def test_a_top_that_comes_down_with_its_lid_adds_no_height() -> None:
    """Glued up 140 high, the kerf takes 6 and planing 2 off both edges: 130 closed. The top lies 6.5 below the upper
    edge before the lid comes down by those 10, and after it."""
    box = chest("box.lid.kerf=6", "box.lid.planing=2")
    (top,) = (part for part in fitting_of(box).parts if part.name == TOP)
    assert top.extent.z[1] == pytest.approx(140 - 6.5)
    assert overall(box)[2] == pytest.approx((0.0, 130.0))


def test_a_tray_lies_in_the_work_box_with_a_millimetre_of_room_all_round() -> None:
    inside, tray = room_within(box_of("work-box")), box_of("work-box-tray").outside
    assert [room - size for room, size in zip(inside, tray, strict=True)] == pytest.approx([2.0, 2.0])


def test_what_stands_on_a_bottom_does_not_hold_it() -> None:
    """The divider of the tray stands on its bottom; the edges alone count as held."""
    (found,) = (one for one in prove_piece(box_of("work-box-tray")).findings if one.code == "bottom-bears")
    assert found.severity == "pass"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("fitted-drawer", {"bottom", "left runner", "right runner", "left kicker", "right kicker"}),
        ("shelf-carcase", {"bottom", "divider 1", "divider 2"}),
        (
            "tea-chest",
            {"bottom", "top", *(f"foot {end} {hand}" for end in ("front", "back") for hand in ("left", "right"))},
        ),
    ],
)
def test_what_is_fitted_into_each(name: str, told: set[str]) -> None:
    assert {part.name for part in fitting_of(box_of(name)).parts} == told
