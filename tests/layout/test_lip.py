"""A drawer's front with a lip: its sizes and volumes by hand, and what is refused. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.base.errors import InputError
from solids.bench.place_words import place_words
from solids.layout.assembly import assembly_of
from solids.layout.box.cut_list import cut_list
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.kinds import box_headline, shown_layout
from solids.layout.box.model import BoxLayout
from solids.layout.box.opening import bearing_area, lip_bearing, lip_covers
from solids.layout.plan import plan_of
from solids.layout.setups import machine_boards
from solids.recipe.completing.shop import NO_SHOP
from solids.recipe.tables.lip_resolved import Lip
from solids.recipe.text.frozen import frozen_toml
from solids.recipe.text.toml import raw_in
from tests.drawers import STICKS, drawer, room

INCHES = """
units = "in"
tail_board.thickness = 0.5
pin_board.thickness = 0.5
box.front.thickness = 0.75
opening = { width = 16, height = 4, depth = 18 }
"""

LIP = "box.front.lip.width=9"


def refused(*overrides: str) -> str:
    with pytest.raises(InputError) as refusal:
        drawer(*overrides)
    return str(refusal.value)


def boxed(text: str, *overrides: str) -> BoxLayout:
    plan = plan_of(*raw_in(text, overrides=overrides), NO_SHOP)
    assert isinstance(plan, BoxLayout)
    return plan


def test_a_lip_is_part_of_the_front_and_its_sockets_end_short_of_it() -> None:
    """Two fifths of 20 are 8; the lap is 1.5 more, so that the sockets are 20 - 9.5 = 10.5 deep."""
    box = drawer(LIP)
    assert box.recipe.lip == Lip(8, 9, 9, 9, 9)
    assert {name: corner.layout.is_half_blind for name, corner in box.corners.items()} == {
        "front left": True,
        "front right": True,
        "back left": False,
        "back right": False,
    }
    assert box.corners["front left"].layout.depth == pytest.approx(10.5)
    assert box.corners["front left"].layout.recipe.pin_board.proud == 0, "no plane reaches the ends behind the lip"
    assert box.corners["back left"].layout.recipe.pin_board.proud == 0.5


def test_the_drawer_is_longer_by_the_lip_that_stays_before_the_opening() -> None:
    """The opening is 450 deep, 10 stay free behind: 440, and 8 before it. Across and up nothing changes."""
    plain, lipped = drawer(*STICKS), drawer(*STICKS, LIP)
    assert plain.outside == pytest.approx((399, 440))
    assert lipped.outside == pytest.approx((399, 448))
    assert lipped.recipe.height == plain.recipe.height
    assert replace(room(lipped), behind_damp=0) == replace(room(plain), behind_damp=0), "its bottom is longer too"
    (runner, *_) = (part for part in fitting_of(lipped).parts if part.name == "left runner")
    assert runner.extent.y == pytest.approx((8, 458)), "it begins at the face of the carcase, behind the lip"
    # The left side lies on its runner from there to its back end: 10 wide, 440 long; so does the front, 12 of its 20.
    opening = lipped.recipe.opening
    assert opening
    assert bearing_area(lipped, opening, "left") == pytest.approx(10 * 440 + (22 - 8 - 0.5 - 10) * 12)


def test_the_front_is_sawn_with_its_lip_and_weighs_with_it() -> None:
    """By hand: 399 long and H high behind the lip, 9 more on every side of it, 8 thick. The ring round the box holds
    8 x ((399 + 18) x (H + 18) - 399 x H). The rebate behind it is 20 - 8 = 12 deep and takes as much as of that ring 12
    thick."""
    box, high = drawer(LIP), drawer(LIP).recipe.height
    (front,) = (row for row in cut_list(box) if row.name == "front")
    assert front.saw_to == front.finished == pytest.approx((417, high + 18, 20))
    ring = (399 + 18) * (high + 18) - 399 * high
    strips = fitting_of(box).strips
    assert sum(strip.wood.volume for strip in strips) == pytest.approx(8 * ring)
    assert sum(strip.waste.volume for strip in strips) == pytest.approx(12 * ring)
    # The front of a drawer without a lip, with the same lap, and its ends planed flush, is what lies within the lip.
    flush = assembly_of(drawer("box.joints.front.kind=half-blind", "box.joints.front.lap=9.5"))
    assert assembly_of(box).volume("front", finished=True) == pytest.approx(
        flush.volume("front", finished=True) + 8 * ring
    )
    assert "The front with its lip measures 417 x" in box_headline(box)


def test_a_side_that_is_given_goes_before_the_width_of_all() -> None:
    assert drawer(LIP, "box.front.lip.bottom=0").recipe.lip == Lip(8, 9, 0, 9, 9)
    assert drawer("box.front.lip.top=0", "box.front.lip.thickness=6").recipe.lip == Lip(6, 0, 9.5, 9.5, 9.5)
    assert drawer("box.front.lip.width=0", "box.front.lip.thickness=6").recipe.lip == Lip()
    assert drawer("box.front.lip.width=0").outside == drawer().outside
    inches = boxed(INCHES, 'box.front.lip.top="3/8"')
    assert [mm / 25.4 for mm in (inches.recipe.lip.thickness, inches.recipe.lip.left)] == pytest.approx([5 / 16, 3 / 8])


def test_how_much_of_the_carcase_it_covers_at_the_worst() -> None:
    """Above, what is free at the driest; beside, twice the play, as the drawer may lie at the other side; below it
    rests. In the middle of the opening, 417 by H + 18 less the hole of 400 by 100 bear."""
    box = drawer(LIP)
    opening = box.recipe.opening
    assert opening
    covers = lip_covers(box, opening)
    assert covers == pytest.approx({"top": 9 - room(box).dry, "bottom": 9, "left": 8, "right": 8})
    assert lip_bearing(box, opening) == pytest.approx(417 * (box.recipe.height + 18) - 400 * 100)
    below = drawer(LIP, "box.front.lip.bottom=0", "box.front.lip.left=0")
    assert below.recipe.opening
    # No lip at the left and below: 408 by H + 9, less the hole where the front covers it, from 0.5 on and up to 100.
    assert lip_bearing(below, below.recipe.opening) == pytest.approx(408 * (box.recipe.height + 9) - 399.5 * 100)


@pytest.mark.parametrize(
    ("overrides", "wrong", "accepted"),
    [
        (("box.front.lip.left=0.9",), "box.front.lip.left: 0.9 mm leaves the play at the left", "1.01 mm or more"),
        (("box.front.lip.width=0.5",), "box.front.lip.width: 0.5 mm leaves the play at the top", "or 0 for no lip"),
        ((LIP, "joint.kind=through"), "joint.kind: through dovetails would show in the lip", 'kind = "half-blind"'),
        (
            (LIP, "box.joints.front_left.kind=through"),
            "box.joints.front_left.kind: through dovetails would show in the lip of the front (front left)",
            'box.joints.front.kind = "half-blind"',
        ),
        ((LIP, "box.front.lip.thickness=20"), "leaves nothing for the box behind it", "accepted is up to 19 mm"),
        (
            (LIP, "box.front.lip.thickness=8", "box.joints.front.lap=6"),
            "8 mm lets the sockets, which end 6 mm short of the show face, reach into the lip",
            "accepted is up to 5.95 mm, or take a thicker lap (box.joints.front.lap)",
        ),
        ((LIP, "finish.planing=0.3"), "finish.planing: 0.3 mm cannot be planed off beside a lip", "take 0"),
        ((LIP, "opening.plane=1"), "opening.plane: 1 mm cannot be planed off behind a lip", "box.front.lip.top = 0"),
        ((LIP, 'box.tails_on="ends"'), "box.tails_on: a front with a lip carries the pins", 'box.tails_on = "sides"'),
        ((LIP, "box.joints.front.mitre.reference=6"), "mitred shoulder would run out through the lip", "leave one"),
        ((LIP, 'box.lid.kind="lift off"'), "box.lid: a drawer has no lid, and a lip of its front", "leave one"),
        ((LIP, "stock.length=420"), "the front is sawn 427 mm long", "longer stock"),
    ],
)  # fmt: skip
def test_what_is_refused_says_why_and_what_is_accepted(overrides: tuple[str, ...], wrong: str, accepted: str) -> None:
    told = refused(*overrides)
    assert wrong in told
    assert accepted in told


def test_the_lip_follows_a_lap_that_is_given_and_a_lap_the_lip() -> None:
    assert drawer(LIP, "box.joints.front.lap=5").recipe.lip.thickness == 3.5
    thin = drawer(LIP, "box.front.lip.thickness=3")
    assert thin.corners["front left"].layout.recipe.lap == 5, "a quarter of the front, as without a lip"
    assert "box.joints.front.lap" not in {choice.key for choice in thin.recipe.choices}


def test_frozen_it_reads_back_as_the_same_drawer() -> None:
    box = drawer(LIP, "box.front.lip.bottom=0", *STICKS)
    again = boxed(frozen_toml(box.recipe))
    assert again.recipe.lip == box.recipe.lip
    assert again.outside == box.outside
    assert [corner.layout.recipe.lap for corner in again.corners.values()] == [
        corner.layout.recipe.lap for corner in box.corners.values()
    ]


def test_the_machine_and_the_papers_know_what_stands_beyond_the_joint() -> None:
    """The zero is at the end and the edge behind the lip, which reaches 9 past it."""
    box = drawer(LIP)
    for setup in machine_boards(box)["front"].setups:
        assert setup.lip
        assert setup.lip[0][0] == pytest.approx(setup.x[0] - 9)
    assert machine_boards(box)["front"].by_hand == tuple(
        f"rebate behind the lip at the {side}" for side in ("top", "bottom", "left", "right")
    )
    words = " ".join(place_words(shown_layout(box, ("front left", "front right"))))
    assert "a lip 8 mm (0.315 in) thick" in words
    assert "stands out by 9 mm (0.354 in)" in words
    assert "lip" not in " ".join(place_words(shown_layout(box, ("back left", "back right"))))
