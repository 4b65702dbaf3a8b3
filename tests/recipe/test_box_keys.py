"""What is wrong with corners of a box is told under the keys that the maker wrote, and what mends one corner changes no
other."""

from __future__ import annotations

import pytest

from solids.base.errors import Problem, RecipeError, Told
from solids.base.messages import Key, message
from solids.bench.remarks import remarks
from solids.layout.box.kinds import kinds_of_corner, shown_layout
from solids.layout.plan import plan
from solids.recipe.completing.box_keys import changes, of_corners
from solids.recipe.tables.box_resolved import CORNERS
from tests.boxes import box_of

NOTHING_SPECIAL: dict[str, dict[str, str]] = {name: {} for name in CORNERS}


def refused(*overrides: str, preset: str = "desk-drawer") -> tuple[Told, ...]:
    with pytest.raises(RecipeError) as caught:
        plan(preset, overrides)
    return caught.value.told


def test_a_drawer_whose_half_pins_are_too_wide_is_told_under_its_own_keys() -> None:
    """At the front two half pins of 60 mm take 120 of 110 mm. At the back, 110 - 16 = 94 mm wide, two pins of 4 mm and
    two half pins take 128; three tails of 6.5 mm make it 147.5. Their necks have 6.5 - 2 x 12/7 = 3.07 mm, enough for a
    chisel of 3."""
    wide = "joint.half_pin=60", "box.joints.back.tails=3"
    front, back = refused(*wide)
    assert front.key == back.key == "box.height"
    assert front.wrong == (
        "110 mm leaves nothing for 1 tail once half pins of 60 mm (joint.half_pin) take 120 mm "
        "(front left, front right)"
    )
    assert front.remedy == "take thinner half pins (box.joints.front.half_pin), or a wider board (box.height)"
    assert back.wrong == (
        "the back stands above the bottom, and a width of 94 mm leaves nothing for 3 tails once pins of 4 mm "
        "(joint.pin) and half pins of 60 mm (joint.half_pin) take 128 mm (back left, back right)"
    )
    assert back.remedy == "take a board 147.5 mm wide (box.height less 16 mm)"
    assert "box.height" not in [told.key for told in refused(*wide, "box.height=163.5")]


def test_a_remedy_for_one_corner_changes_one_corner() -> None:
    """Twelve tails in 80 mm: (80 - 10 - 11 x 3) / 12 = 3.083 mm, less than the 2 x 12/7 that the slope takes."""
    plain = ("box.groove.width=0",)
    (told,) = refused(*plain, "box.joints.front_left.tails=12", preset="keepsake-box")
    assert told.key == "box.joints.front_left.tails"
    assert told.wrong.startswith("tail 1 is 3.08333 mm wide")
    assert told.wrong.endswith("(front left)")
    assert told.remedy == "take 7 tails (box.joints.front_left.tails), or a board 120.5 mm wide (box.height)"
    before = box_of("keepsake-box", *plain)
    after = box_of("keepsake-box", *plain, "box.joints.front_left.tails=7")
    assert [name for name in CORNERS if after.recipe.corners[name] != before.recipe.corners[name]] == ["front left"]


def test_a_value_that_all_corners_share_is_told_with_the_key_for_those_that_it_spoils() -> None:
    """Laps of 13 mm: the front is 20 mm thick and has a lap of its own, the back is 12 mm."""
    laps = ("joint.kind=half-blind", "joint.lap=13", "tail_board.proud=0")
    (told,) = refused(*laps)
    assert (told.key, told.tries) == ("joint.lap", ("11.95 mm",))
    assert told.wrong.endswith("(back left, back right)")
    assert told.remedy.endswith("; box.joints.back.lap changes these corners alone")


def test_where_no_name_is_special_all_four_corners_have_the_plain_key() -> None:
    assert changes(CORNERS, NOTHING_SPECIAL)["joint.pin"] == "joint.pin"
    assert changes(("back left", "back right"), NOTHING_SPECIAL)["undercut.depth"] == "box.joints.back.undercut.depth"
    three = changes(("front left", "back left", "back right"), NOTHING_SPECIAL)
    assert three["joint.pin"] == "box.joints.front_left.pin and box.joints.back.pin"


def test_a_key_of_a_single_corner_is_changed_there() -> None:
    """The table of an end would not change a corner that has a value of its own."""
    written = NOTHING_SPECIAL | {"front left": {"joint.pin": "box.joints.front_left.pin"}}
    both = changes(("front left", "front right"), written)["joint.pin"]
    assert both == "box.joints.front_left.pin and box.joints.front.pin"


def test_words_of_a_problem_keep_what_only_looks_like_a_key() -> None:
    """A title, or a wood's name, may hold the letters of a key."""
    problem = Problem("joint.pin", message("'joint.pin' is no {}", Key("joint.pin")), "give joint.pin in mm")
    written = {name: {"joint.pin": "box.joints.back.pin"} for name in CORNERS}
    (told,) = of_corners({name: [problem] for name in CORNERS}, written)
    assert str(told.told()) == "box.joints.back.pin: 'joint.pin' is no box.joints.back.pin; give joint.pin in mm"


def test_a_warning_at_one_corner_names_the_key_of_that_corner() -> None:
    box = box_of("keepsake-box", "box.joints.front_left.slope=1:9")
    told = {names: remarks(shown_layout(box, names)) for names in kinds_of_corner(box)}
    advice = {names: [each.advice for each in found if each.code == "slope"] for names, found in told.items()}
    assert advice[("front left",)] == ["Take box.joints.front_left.slope from 1:5 to 1:8."]
    assert all(not found for names, found in advice.items() if names != ("front left",))


def test_what_is_wrong_twice_with_a_corner_is_told_once() -> None:
    """A lap in the way of the mitred shoulders at both edges, at all four corners."""
    mitred = "joint.kind=half-blind", "joint.mitre.reference=5", "joint.mitre.other=5"
    (told,) = refused(*mitred, preset="keepsake-box")
    assert told.wrong == "5 mm mitres the shoulder of a half-blind joint, whose lap reaches the edge"
    assert told.remedy == 'leave it out, or take joint.kind = "through"'
