"""A drawer follows from its opening: its sizes, its play through the year, and what is refused. Lengths in mm."""

from __future__ import annotations

import pytest

from solids.base.errors import InputError, RecipeError
from solids.base.sources import WOOD_HANDBOOK
from solids.layout.box.cut_list import cut_list
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.opening import bearing_area
from solids.layout.plan import plan
from solids.recipe.completing.shop import Shop
from solids.recipe.tables.resolved import Choice
from solids.recipe.text.frozen import frozen_toml
from solids.wood.moisture import equilibrium_moisture
from tests.drawers import OAK, STICKS, drawer, room

OAK_FLAT, OAK_QUARTER, PINE_FLAT = 0.00365, 0.00180, 0.00212
"""Wood Handbook, Table 13-5: white oak and eastern white pine, for 1 % of moisture."""


def chosen(box_key: str, *overrides: str) -> Choice:
    (choice,) = [each for each in drawer(*overrides).recipe.choices if each.key == box_key]
    return choice


def test_the_front_is_as_high_as_the_published_equation_has_it() -> None:
    """By hand, with Table 4-2 of the Wood Handbook at 70 F: 8 % at 42 % humidity, 12 % at 65 %. Flat-sawn white oak
    grows 0.00365 x 4 = 1.46 %, so (100 - 1) / 1.0146 = 97.58; a tenth of 1 % of moisture is 0.04 mm of that."""
    box = drawer()
    assert box.recipe.height == pytest.approx(97.58, abs=0.05)
    shop, damp, dry = (equilibrium_moisture((70 - 32) / 1.8, humidity) for humidity in (42, 65, 30))
    assert box.recipe.height * (1 + OAK_FLAT * (damp - shop)) + 1 == pytest.approx(100, abs=1e-9)
    found = room(box)
    assert found.damp == pytest.approx(1, abs=1e-9)
    assert found.now == pytest.approx(100 - box.recipe.height)
    assert found.dry == pytest.approx(100 - box.recipe.height * (1 - OAK_FLAT * (shop - dry)))
    assert found.side == "front", "flat-sawn; the sides are quarter-sawn"
    assert chosen("box.height").source == WOOD_HANDBOOK


def test_the_board_that_moves_most_sets_the_height() -> None:
    """Fronts on the quarter and flat-sawn sides turn it round."""
    box = drawer('tail_board.sawn="flat"', 'box.front.sawn="quarter"')
    assert box.recipe.height == pytest.approx(drawer().recipe.height)
    assert room(box).side in ("left", "right")
    calm = drawer('box.front.sawn="quarter"')
    shop, damp = (equilibrium_moisture((70 - 32) / 1.8, humidity) for humidity in (42, 65))
    assert calm.recipe.height == pytest.approx(99 / (1 + OAK_QUARTER * (damp - shop)))


def test_length_and_depth_take_their_play_alone_as_wood_does_not_move_in_length() -> None:
    """400 less twice 0.5; 450 less 10."""
    box = drawer()
    assert box.outside == pytest.approx((399, 440))
    assert {key: chosen(key).chosen for key in ("box.length", "box.width")} == pytest.approx(
        {"box.length": 399, "box.width": 440}
    )
    assert drawer("opening.side_play=0.8").outside[0] == pytest.approx(398.4)


def test_a_bottom_that_grows_out_far_asks_for_more_room_behind() -> None:
    """440 of pine grow 0.00212 x 4 x 440 = 3.7 and need no more than 10; flat-sawn beech across 1000 needs more."""
    behind = room(drawer())
    assert behind.behind == pytest.approx(10)
    assert behind.behind - behind.behind_damp == pytest.approx(PINE_FLAT * 4 * drawer().panel.size[1], rel=0.02)  # type: ignore[union-attr]
    deep = drawer('box.panel.wood="beech"', "opening.depth=1000", "box.groove.depth=4.9")
    assert room(deep).behind > 15
    assert room(deep).behind_damp >= 2 - 1e-9


def test_rails_that_swell_into_the_opening_make_the_drawer_lower() -> None:
    """By hand: 60 of flat-sawn white oak swell 60 x 0.0146 = 0.88 into it: (99 - 0.88) / 1.0146 = 96.71."""
    box = drawer("opening.rail=60", 'opening.wood="white oak"')
    assert box.recipe.height == pytest.approx(96.71, abs=0.06)
    assert room(box).damp == pytest.approx(1, abs=1e-9)
    assert room(box).dry > room(drawer()).dry


def test_what_is_left_for_the_plane_stands_on_top_of_the_height() -> None:
    box, plain = drawer("opening.plane=0.7"), drawer()
    assert box.recipe.height == pytest.approx(plain.recipe.height + 0.7)
    assert (room(box).damp, room(box).now) == pytest.approx((room(plain).damp, room(plain).now))


def test_a_drawer_is_made_as_drawers_are() -> None:
    box = drawer()
    assert {name: corner.kind for name, corner in box.recipe.corners.items()} == {
        "front left": "half-blind",
        "front right": "half-blind",
        "back left": "through",
        "back right": "through",
    }
    assert box.recipe.back_above_bottom
    assert box.recipe.panel.grain == "length"
    rise = box.recipe.groove.top
    assert box.boards["back"].low == rise
    assert box.boards["back"].width == pytest.approx(box.recipe.height - rise - box.recipe.back_down)
    rules = {key: chosen(key).rule for key in ("box.joints.front.kind", "box.back.down", "box.back_above_bottom")}
    assert rules == {
        "box.joints.front.kind": "a drawer's front shows no end grain",
        "box.back.down": "so that air gets out as it is pushed in",
        "box.back_above_bottom": "a drawer's bottom slides in under the back",
    }


def test_what_the_maker_says_stays() -> None:
    box = drawer('joint.kind="through"', "box.back.down=0", "box.length=380", "opening.depth=500", "box.width=440")
    assert {corner.kind for corner in box.recipe.corners.values()} == {"through"}
    assert box.recipe.back_down == 0
    assert box.outside == pytest.approx((380, 440))
    assert room(box).sides == pytest.approx(10)
    assert room(box).behind == pytest.approx(60)


def test_a_play_that_nobody_named_is_what_the_given_size_leaves() -> None:
    box = drawer("box.length=399.4")
    assert box.recipe.opening
    assert box.recipe.opening.side_play == pytest.approx(0.3)
    assert chosen("opening.side_play", "box.length=399.4").rule == "what box.length leaves"


@pytest.mark.parametrize(
    ("overrides", "told"),
    [
        (("opening.width=20",), "opening.width: 20 mm leaves 19 mm for a drawer, less its play (opening.side_play)"),
        (("opening.play=120",), "opening.play: 120 mm leaves 0 mm of an opening of 100 mm (opening.height)"),
        (("opening.side_play=199",), "opening.side_play: 199 mm leaves 2 mm of an opening of 400 mm (opening.width)"),
        (("box.back.down=90",), "box.back.down: 90 mm leaves 0 mm for the back in boards that are 97.5"),
        (("opening.height=9",), "(box.height follows from opening.height)"),
        (("box.length=402",), "402 mm is 3 mm (0.118 in) longer than an opening 400 mm wide (opening.width) takes"),
        (("box.height=99.5", "opening.play=1"), "higher than an opening 100 mm high (opening.height) takes, with 1 mm"),
        (("box.width=445", "opening.back_play=8"), "445 mm is 3 mm (0.118 in) more than an opening 450 mm deep"),
        (("opening.plane=3",), "opening.plane: 3 mm takes more than half of the half pin at the upper edge"),
        (
            ("opening.runner.width=11", "opening.guide.thickness=8"),
            "11 mm does not reach under the sides of the drawer",
        ),
        (("opening.runner.behind=449",), "opening.runner.behind: 449 mm leaves nothing of the runners"),
        (("opening.guide.width=101",), "opening.guide.width: 101 mm is higher than the opening, 100 mm"),
        (("box.feet.height=20",), "box.feet: a drawer slides on its sides and has no feet"),
    ],
)
def test_what_does_not_go_in_is_refused_with_both_sides_named(overrides: tuple[str, ...], told: str) -> None:
    with pytest.raises(RecipeError) as caught:
        drawer(*overrides)
    assert told in str(caught.value)


@pytest.mark.parametrize("size", ["width", "height", "depth"])
def test_an_opening_lacks_no_size(size: str) -> None:
    lines = [line for line in OAK.splitlines() if not line.startswith(f"{size} = ")]
    with pytest.raises(RecipeError, match=rf"opening\.{size}: is missing"):
        drawer(text="\n".join(lines))


def test_an_opening_without_a_box_is_refused() -> None:
    with pytest.raises(InputError, match=r"write the table \[box\] beside it"):
        drawer(text=OAK[: OAK.index("[box]")] + OAK[OAK.index("[opening]") :])


@pytest.mark.parametrize("overrides", [(), STICKS, ("opening.rail=33", 'units="mm"'), ("box.length=397.1234",)])
def test_a_frozen_drawer_is_the_same_to_the_last_bit(overrides: tuple[str, ...]) -> None:
    box = drawer(*overrides)
    again = plan(frozen_toml(box.recipe))
    assert again.recipe.choices == ()
    assert again.recipe.opening == box.recipe.opening  # type: ignore[union-attr]
    assert {side: (board.width, board.length) for side, board in again.boards.items()} == {  # type: ignore[union-attr]
        side: (board.width, board.length) for side, board in box.boards.items()
    }


def test_the_sticks_of_the_carcase_lie_round_the_drawer_and_stand_in_the_cut_list() -> None:
    """The opening is 400 wide and begins 0.5 beside the drawer; the guides stand 8 outside it, and the runners begin
    where they do."""
    box = drawer(*STICKS)
    parts = {part.name: part for part in fitting_of(box).parts if part.of_carcase}
    assert list(parts) == [f"{hand} {name}" for name in ("guide", "runner", "kicker") for hand in ("left", "right")]
    assert parts["left guide"].extent.x == pytest.approx((-8.5, -0.5))
    assert parts["right guide"].extent.x == pytest.approx((399.5, 407.5))
    assert parts["left runner"].extent.x == pytest.approx((-8.5, 13.5))
    assert parts["right runner"].extent.x == pytest.approx((385.5, 407.5))
    assert parts["left runner"].extent.z == pytest.approx((-15, 0))
    assert parts["left kicker"].extent.z == pytest.approx((100, 115))
    assert all(part.extent.y == (0, 450) for part in parts.values())
    rows = {row.name: row.finished for row in cut_list(box)}
    assert rows["left runner"] == (450, 22, 15)
    assert parts["left runner"].volume == pytest.approx(450 * 22 * 15)


def test_a_side_and_the_end_of_the_front_bear_on_the_runner() -> None:
    """By hand: the runner reaches 22 - 8 - 0.5 = 13.5 under the drawer. The side is 10 thick and 440 long: 4400; beside
    it the front, 20 thick, lies on the other 3.5: 70."""
    box = drawer(*STICKS)
    assert box.recipe.opening
    assert bearing_area(box, box.recipe.opening, "left") == pytest.approx(4470)


@pytest.mark.parametrize(
    ("override", "most"),
    [("box.back.down=80", "is too little for its dovetails"), ("box.back.down=95", "above a groove that ends at")],
)
def test_a_back_too_far_down_is_told_how_far_it_may_be(override: str, most: str) -> None:
    """What is accepted is taken, as it stands: no other key has to change."""
    with pytest.raises(RecipeError) as refusal:
        drawer(override)
    (told,) = refusal.value.told
    assert told.key == "box.back.down"
    assert most in str(told.wrong)
    assert "must change too" not in str(told.remedy)
    accepted = str(told.remedy).removeprefix("accepted is 0 to ")
    assert drawer(f'box.back.down="{accepted}"').recipe.back_down > 50


def test_a_recipe_in_inches_gets_inches() -> None:
    boards = "tail_board.thickness = 0.5\npin_board.thickness = 0.5\nbox.front.thickness = 0.75\n"
    hole = "[opening]\nwidth = 16\nheight = 4\ndepth = 18\n"
    with pytest.raises(InputError) as refusal:
        drawer("opening.side_play=7.9", text=f'units = "in"\n{boards}{hole}')
    told = str(refusal.value)
    assert "for a drawer that takes 1 1/8 in or more; take less: 1/32 in is usual" in told
    assert "mm" not in told


@pytest.mark.parametrize(("back", "far"), [("true", 437.0), ("false", 440.0)])
def test_a_side_behind_the_lap_of_a_back_ends_short_of_it(back: str, far: float) -> None:
    """By hand: the back is 10 thick with a lap of 3, and the drawer 440 deep. Where the back stands above the bottom,
    only the side lies on the runner, 437 long and 10 wide; else the lap lies there too. Beside the side, 3.5 of the
    front lie on it, 20 thick, and of the back, 10 thick, where that stands as low."""
    lap = ("joint.kind=half-blind", "box.joints.back.lap=3", f"box.back_above_bottom={back}")
    box = drawer(*STICKS, *lap)
    assert box.recipe.opening
    beside = 3.5 * (20 if back == "true" else 30)
    assert bearing_area(box, box.recipe.opening, "left") == pytest.approx(10 * far + beside)


def test_where_a_size_follows_from_the_opening_the_advice_is_for_the_opening_too() -> None:
    """A box too low for its joints is told to be higher, and cannot be in this opening."""
    with pytest.raises(RecipeError) as caught:
        plan("fitted-drawer", ("opening.height=30",), Shop())
    (problem,) = caught.value.told
    assert problem.key == "box.height"
    assert problem.remedy.endswith("; a higher box takes a higher opening (opening.height)")
