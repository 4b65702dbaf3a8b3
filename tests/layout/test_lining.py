"""The lining of a box that a lid is sawn off: its boards by hand, what is chosen, and what is refused."""

from __future__ import annotations

import pytest

from solids.base.errors import RecipeError
from solids.layout.assembly import assembly_of
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.lining import room_within
from solids.layout.plan import plan
from tests.lids import CHEST, HINGES, LINING, chest


def test_a_lining_by_hand() -> None:
    """276 by 176 between the boards. The groove of 5 begins 6.5 up, so that the bottom ends at 11.5; the box ends at
    94: the boards are 94 - 11.5 + 6 = 88.5 wide. From above the front one is a trapezoid of 276 and 276 - 2 x 5, 5
    wide, up to the edge; above it its outer face is 0.2 further in."""
    box = chest(*LINING)
    parts = {part.name: part for part in fitting_of(box).parts}
    front, left = parts["front lining"], parts["left lining"]
    assert front.row.finished == pytest.approx((276, 88.5, 5))
    assert left.row.finished == pytest.approx((176, 88.5, 5))
    assert left.row.saw_to == pytest.approx((178, 88.5, 5))
    assert front.extent.z == pytest.approx((11.5, 100))
    below = (276 + 266) / 2 * 5 * 82.5
    above = (275.6 + 266) / 2 * 4.8 * 6
    assert assembly_of(box).volume("front lining", finished=True) == pytest.approx(below + above, rel=1e-12)
    assert room_within(box) == pytest.approx((266, 166))
    assert {front.row.grain, left.row.grain} == {"along its length"}


def test_what_is_chosen_is_told_with_its_rule() -> None:
    box = chest("box.lid.lining.stands=4")
    lid = box.recipe.lid
    assert lid
    assert lid.lining
    assert (lid.lining.thickness, lid.lining.clearance, lid.lining.wood.name) == (5.0, 0.2, "walnut")
    told = {choice.key: choice.rule for choice in box.recipe.choices}
    assert told["box.lid.lining.thickness"] == "two fifths of the thinnest board"  # 4.8, to the next half


def test_what_is_chosen_for_thin_boards_and_low_lids_finds_room() -> None:
    """Boards of 8 would have a lining of 3.2. Below the top of so low a lid a millimetre of air is left."""
    thin = ("tail_board.thickness=8", "pin_board.thickness=8", "box.panel.kind=plywood", "box.lid.panel.kind=plywood")
    low = ("box.lid.at=119.5", "box.lid.groove.down=9", "joint.lid_tails=1")
    insisted = ("joint.half_pin=4", "joint.allow_thin_half_pin=true")
    box = chest("box.lid.lining.clearance=0.2", *thin, *low, *insisted)
    assert box.recipe.lid
    assert box.recipe.lid.lining
    told = {choice.key: choice.rule for choice in box.recipe.choices}
    assert box.recipe.lid.lining.thickness == 4
    assert told["box.lid.lining.thickness"] == "thinner boards do not stay flat"
    room = box.recipe.top_groove.up - box.recipe.lid.high
    assert room - 1.5 < box.recipe.lid.lining.stands <= room - 1.0
    assert told["box.lid.lining.stands"] == "as much as there is room for"


@pytest.mark.parametrize(
    ("changes", "key", "says"),
    [
        (HINGES, "box.lid.lining", "a lid that turns about the back catches on a lining"),
        (
            ("box.groove.width=0", "box.lid.groove.width=5"),
            "box.lid.lining",
            "nothing to stand on: the box has no bottom",
        ),
        (
            ("box.panel.face=upper face", "box.panel.edge=rebated", "box.panel.thickness=8"),
            "box.lid.lining",
            "no level bottom to stand on, as the field of that is raised",
        ),
        (('box.divider=[{runs="across", at=100, thickness=6}]',), "box.lid.lining", "the housings of the dividers"),
        (
            ("box.lid.lining.thickness=87",),
            "box.lid.lining.thickness",
            "leaves no room between the boards",
        ),
        (
            ("box.lid.lining.clearance=4",),
            "box.lid.lining.clearance",
            "4 mm leaves 1 mm of a lining that is 5 mm",
        ),
        (("box.lid.lining.stands=40",), "box.lid.lining.stands", "40 mm finds no room under the top, which is "),
        (
            ("box.lid.lining.stands=50", "box.lid.groove.width=0"),
            "box.lid.lining.stands",
            "50 mm finds no room under the upper edge of the lid, which is 44 mm above the edge; accepted is up to 43",
        ),
    ],
)
def test_refusals_say_what_is_in_the_way(changes: tuple[str, ...], key: str, says: str) -> None:
    with pytest.raises(RecipeError) as err:
        plan(CHEST, (*LINING, *changes))
    told = {problem.key: f"{problem.wrong}; {problem.remedy}" for problem in err.value.told}
    assert says in told[key]


@pytest.mark.parametrize("kind", ["lift off", "hinged"])
def test_only_a_lid_that_is_sawn_off_has_one(kind: str) -> None:
    with pytest.raises(RecipeError) as err:
        plan(CHEST.replace("at = 95", f'kind = "{kind}"'), LINING)
    assert any(problem.key.startswith("box.lid.lining") for problem in err.value.told)


def test_a_lining_as_high_as_is_accepted_is_taken() -> None:
    with pytest.raises(RecipeError) as err:
        plan(CHEST, (*LINING, "box.lid.lining.stands=40"))
    (problem,) = err.value.told
    assert problem.tries
    assert chest(*LINING, f"box.lid.lining.stands={str(problem.tries[0]).removesuffix(' mm')}")
