"""From [box] to sizes: what follows from what, what is told of it, what is refused and under which key. No kernel."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import pytest

from solids.base.errors import InputError, RecipeError, Told
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.recipe import preset_text
from solids.recipe.tables.box_resolved import CORNERS, BoxRecipe
from solids.recipe.text.reading import check_box, is_box, raw_recipe, read_box
from solids.recipe.text.toml import apply_override, parse_toml

INCH = 25.4

PLAIN = """
title = "plain box"
[joint]
tails = 3
slope = "1:7"
half_pin = 6
[tail_board]
thickness = 10
[pin_board]
thickness = 12
[box]
length = 240
width = 160
height = 80
[box.groove]
width = 5
depth = 4
up = 10
"""
"""Inside 240 - 2 x 10 = 220 by 160 - 2 x 12 = 136; above the bottom 80 - 10 - 5 = 65. Necks: a tail is
(80 - 2 x 6 - 2 x 3)/3 = 20.667 wide, and 12/7 less on each side, so that the first is from 7.714 to 24.952."""


def raw(*overrides: str, text: str = PLAIN, without: tuple[str, ...] = ()) -> dict[str, Any]:
    tables = parse_toml(text, "test")
    for item in overrides:
        assert apply_override(tables, item) is None
    for key in without:
        *path, last = key.split(".")
        table = tables
        for part in path:
            table = table[part]
        del table[last]
    return tables


def box(*overrides: str, text: str = PLAIN, without: tuple[str, ...] = ()) -> BoxRecipe:
    return check_box(raw(*overrides, text=text, without=without))


def laid_out(*overrides: str, text: str = PLAIN, without: tuple[str, ...] = ()) -> BoxLayout:
    return lay_out_box(box(*overrides, text=text, without=without))


def problems(*overrides: str, text: str = PLAIN, without: tuple[str, ...] = ()) -> tuple[Told, ...]:
    with pytest.raises(RecipeError) as caught:
        laid_out(*overrides, text=text, without=without)
    assert len(set(caught.value.told)) == len(caught.value.told), "each is told once"
    for problem in caught.value.told:
        assert problem.key
        assert problem.wrong
        assert problem.remedy
    return caught.value.told


def only(*overrides: str, text: str = PLAIN, without: tuple[str, ...] = ()) -> Told:
    (problem,) = problems(*overrides, text=text, without=without)
    return problem


def told(recipe: BoxRecipe) -> dict[str, tuple[str, str]]:
    return {choice.key: (choice.value, choice.rule) for choice in recipe.choices}


# --- sizes that follow from others -----------------------------------------------------------------


def test_outside_sizes_give_the_inside_and_say_so() -> None:
    recipe = box()
    assert recipe.inside == (220, 136)
    assert told(recipe)["box.inside_length"] == ("220 mm (8.661 in)", "box.length less two boards")
    assert told(recipe)["box.inside_width"] == ("136 mm (5.354 in)", "box.width less two boards")
    assert "box.length" not in told(recipe)
    assert "box.height" not in told(recipe)


def test_inside_sizes_give_the_outside_and_say_so() -> None:
    found = laid_out("box.inside_length=220", "box.inside_width=136", without=("box.length", "box.width"))
    assert found.outside == (240, 160)
    assert told(found.recipe)["box.length"] == ("240 mm (9.449 in)", "box.inside_length and two boards")
    assert told(found.recipe)["box.width"] == ("160 mm (6.299 in)", "box.inside_width and two boards")
    assert "box.inside_length" not in told(found.recipe)


def test_one_size_outside_and_the_other_inside() -> None:
    found = laid_out("box.inside_width=136", without=("box.width",))
    assert (found.recipe.inside, found.outside) == ((220, 136), (240, 160))


def test_both_that_agree_need_no_words() -> None:
    recipe = box("box.inside_length=220", "box.inside_width=136")
    assert recipe.inside == (220, 136)
    assert not {"box.length", "box.inside_length", "box.width", "box.inside_width"} & set(told(recipe))


@pytest.mark.parametrize(
    ("thickness", "size", "inside"),
    [
        (("box.left.thickness=9", "box.right.thickness=14"), (240, 160), (217, 136)),
        (("box.front.thickness=20",), (240, 160), (220, 128)),
        (("box.back.thickness=8.5",), (240, 160), (220, 139.5)),
        (("finish.planing=0.5",), (240, 160), (221, 137)),
        (("box.tails_on=ends",), (240, 160), (216, 140)),
    ],
)
def test_each_board_counts_with_its_own_thickness(
    thickness: tuple[str, ...], size: tuple[float, float], inside: tuple[float, float]
) -> None:
    """With tails on the ends, front and back are the tail boards of 10 mm and the sides the pin boards of 12."""
    found = laid_out(*thickness)
    assert found.recipe.inside == pytest.approx(inside)
    assert found.outside == pytest.approx(size)


def test_a_thickness_follows_from_outside_and_inside() -> None:
    recipe = box("box.inside_length=223", without=("tail_board.thickness",))
    rule = "half of what box.length and box.inside_length leave"
    assert told(recipe)["tail_board.thickness"] == ("8.5 mm (0.335 in)", rule)
    assert recipe.corners["front left"].tail_board.thickness == 8.5
    assert [choice.key for choice in recipe.choices].count("tail_board.thickness") == 1


def test_a_pin_board_too() -> None:
    recipe = box("box.inside_width=130", without=("pin_board.thickness",))
    assert recipe.corners["back right"].pin_board.thickness == 15
    assert recipe.inside == (220, 130)


def test_a_thickness_that_follows_holds_what_is_planed_off_too() -> None:
    """Outside is as finished: 240 - 221 = 2 t - 2 x 0.5, so t = 10."""
    found = laid_out("box.inside_length=221", "finish.planing=0.5", without=("tail_board.thickness",))
    assert found.recipe.corners["front left"].tail_board.thickness == pytest.approx(10)
    assert found.outside[0] == pytest.approx(240)


def test_a_thickness_that_follows_is_what_the_other_side_leaves() -> None:
    """240 - 221 = 19; the left is 9, so the right is 10."""
    found = laid_out("box.inside_length=221", "box.left.thickness=9", without=("tail_board.thickness",))
    assert found.board_of("right").thickness == pytest.approx(10)


def test_a_thickness_that_nothing_gives_is_asked_for_under_its_own_key() -> None:
    found = problems(without=("tail_board.thickness", "box.groove"))
    assert [problem.key for problem in found] == ["tail_board.thickness"]
    assert (found[0].wrong, found[0].remedy) == ("is missing", "give it, as in thickness = 12")


def test_a_missing_thickness_makes_up_no_other_problem() -> None:
    assert [problem.key for problem in problems(without=("tail_board.thickness",))] == ["tail_board.thickness"]


def test_both_sides_with_their_own_thickness_need_no_pair() -> None:
    found = laid_out("box.left.thickness=9", "box.right.thickness=11", without=("tail_board.thickness",))
    assert found.recipe.inside[0] == 220
    assert "tail_board.thickness" not in told(found.recipe)


@pytest.mark.parametrize(
    ("overrides", "value", "rule"),
    [
        (("joint.width=80",), "80 mm (3.15 in)", "as joint.width says"),
        (("box.inside_height=65",), "80 mm (3.15 in)", "box.inside_height and the bottom below it"),
        (("box.inside_height=65", "joint.width=80"), "80 mm (3.15 in)", "as joint.width says"),
    ],
)
def test_a_height_follows_and_is_told_with_how(overrides: tuple[str, ...], value: str, rule: str) -> None:
    recipe = box(*overrides, without=("box.height",))
    assert recipe.height == pytest.approx(80)
    assert told(recipe)["box.height"] == (value, rule)
    assert all(corner.width == pytest.approx(80) for corner in recipe.corners.values())


def test_without_a_bottom_the_inside_is_as_high_as_the_boards() -> None:
    recipe = box("box.inside_height=65", "box.groove.width=0", without=("box.height",))
    assert recipe.height == 65


def test_all_three_heights_that_agree_need_no_words() -> None:
    assert "box.height" not in told(box("joint.width=80", "box.inside_height=65"))


@pytest.mark.parametrize("missing", ["box.length", "box.width", "box.height"])
def test_a_size_that_nothing_gives_is_asked_for(missing: str) -> None:
    problem = only(without=(missing,))
    assert (problem.key, problem.wrong) == (missing, "is missing")


def test_all_that_is_missing_is_asked_for_at_once() -> None:
    missing = ("box.length", "box.width", "box.height", "pin_board.thickness", "box.groove")
    assert {problem.key for problem in problems(without=missing)} == set(missing) - {"box.groove"}


def test_the_back_of_a_drawer_is_lower_by_the_bottom_below_it() -> None:
    recipe = box("box.back_above_bottom=true")
    assert recipe.back_rise == 15
    assert {name: corner.width for name, corner in recipe.corners.items()} == {
        "front left": 80,
        "front right": 80,
        "back left": 65,
        "back right": 65,
    }


# --- sizes that do not agree -----------------------------------------------------------------------


def test_outside_and_inside_that_disagree_name_each_other_and_the_boards() -> None:
    problem = only("box.inside_length=200")
    assert problem.key == "box.length"
    assert problem.wrong == "240 mm less 20 mm for two boards is not box.inside_length, 200 mm"
    problem = only("box.inside_width=140", "box.front.thickness=13.5")
    assert problem.key == "box.width"
    assert problem.wrong == "160 mm less 25.5 mm for two boards is not box.inside_width, 140 mm"


def test_heights_that_disagree_name_each_other() -> None:
    problem = only("joint.width=90")
    assert problem.key == "box.height"
    assert problem.wrong == "80 mm does not agree with joint.width, which makes the boards 90 mm wide"
    problem = only("box.inside_height=66")
    assert problem.wrong == "80 mm does not agree with box.inside_height, which makes the boards 81 mm wide"
    problem = only("box.inside_height=66", "joint.width=80", without=("box.height",))
    assert problem.key == "joint.width"
    assert "box.inside_height" in problem.wrong
    assert len(problems("box.inside_height=66", "joint.width=90")) == 2


@pytest.mark.parametrize(("length", "left"), [("22", "2 mm"), ("20", "0 mm"), ("15", "-5 mm"), ("3", "-17 mm")])
def test_an_inside_smaller_than_nothing_names_what_the_boards_take(length: str, left: str) -> None:
    problem = only(f"box.length={length}")
    assert problem.key == "box.length"
    assert problem.wrong == f"leaves {left} inside between boards that take 20 mm"
    assert problem.remedy == "accepted is 23 mm or more"
    assert box("box.length=23").inside[0] == 3


def test_a_width_smaller_than_its_boards_is_told_under_its_own_key() -> None:
    assert only("box.width=24").key == "box.width"


def test_what_an_inside_too_small_would_take_works_when_taken_in_inches() -> None:
    wrong = only('box.length="1/2 in"', 'units="in"', *METRIC)
    taken = wrong.remedy.removeprefix("accepted is ").removesuffix(" or more")
    assert taken.endswith(" in")
    assert box(f'box.length="{taken}"', 'units="in"', *METRIC).inside[0] >= 3


METRIC = tuple(
    f'{key}="{value} mm"'
    for key, value in {
        "joint.half_pin": 6,
        "tail_board.thickness": 10,
        "pin_board.thickness": 12,
        "box.length": 240,
        "box.width": 160,
        "box.height": 80,
        "box.groove.width": 5,
        "box.groove.depth": 4,
        "box.groove.up": 10,
    }.items()
    if key != "box.length"
)
"""The sizes of PLAIN with their unit, but for its length."""


@pytest.mark.parametrize("board", ["front", "back", "left", "right"])
def test_a_groove_too_deep_names_the_thinnest_board(board: str) -> None:
    problem = only(f"box.{board}.thickness=5")
    assert problem.key == "box.groove.depth"
    assert problem.wrong == f"4 mm is too deep for the {board} board, which is 5 mm thick"


def test_the_greatest_depth_of_a_groove_works_when_taken() -> None:
    remedy = only("box.groove.depth=9").remedy
    assert laid_out(f"box.groove.depth={remedy.removeprefix('accepted is up to ').split()[0]}")


def test_a_back_above_the_bottom_needs_a_groove_and_tails_on_the_sides() -> None:
    problem = only("box.back_above_bottom=true", "box.groove.width=0")
    assert (problem.key, problem.wrong) == ("box.back_above_bottom", "needs a groove")
    problem = only("box.back_above_bottom=true", "box.tails_on=ends")
    assert (problem.key, problem.remedy) == ("box.back_above_bottom", 'set box.tails_on = "sides"')
    assert len(problems("box.back_above_bottom=true", "box.tails_on=ends", "box.groove.width=0")) == 2


def test_what_only_slips_ask_for_is_refused_under_their_own_key() -> None:
    """Nobody wrote where the back stands: the slips ask for that."""
    slips = "box.panel.held=slips"
    problem = only(slips, "box.tails_on=ends")
    assert (problem.key, problem.remedy) == ("box.panel.held", 'set box.tails_on = "sides"')
    problem = only(slips, "box.lid.at=60")
    assert problem.key == "box.panel.held"
    assert problem.remedy == 'take "groove", or leave out [box.lid]'
    problem = only(slips, "box.back_above_bottom=false")
    assert (problem.key, problem.tries) == ("box.back_above_bottom", ("true",))
    assert only(slips, "box.groove.width=0").key == "box.groove.width"


@pytest.mark.parametrize(
    ("asked", "overrides"),
    [
        ("held", ("box.panel.held=rebate",)),
        ("thickness", ("box.panel.thickness=5",)),
        ("edge", ("box.panel.edge=fielded",)),
    ],
)
def test_a_groove_of_no_width_drops_no_bottom_that_is_asked_for(asked: str, overrides: tuple[str, ...]) -> None:
    problem = only("box.groove.width=0", *overrides)
    assert problem.key == "box.groove.width"
    assert problem.wrong == f"0 is no bottom, and box.panel.{asked} asks for one"


def test_the_wood_of_a_bottom_asks_for_one_and_is_not_left_aside_in_silence() -> None:
    assert laid_out("box.panel.wood=spruce", without=("box.groove",)).panel is not None
    found = box("box.panel.wood=spruce", "box.groove.width=0")
    assert found.notices == ("box.panel is ignored, as box.groove.width = 0 asks for no bottom",)
    lid = box("box.lid.at=60", "box.lid.panel.wood=spruce", "box.lid.groove.width=0")
    assert lid.notices == ("box.lid.panel is ignored, as box.lid.groove.width = 0 asks for no top",)


def test_nothing_is_chosen_for_a_bottom_that_is_not_there() -> None:
    assert not [key for key in told(box(without=("box.groove",))) if key.startswith("box.panel")]


def test_a_box_without_a_bottom_that_was_frozen_with_one_chosen_reads_still() -> None:
    """Freezing once wrote what a rule chose for a bottom though there was none."""
    frozen = ("box.panel.held=groove", "box.panel.kind=solid", "box.panel.clearance=0.5", "box.groove.width=0")
    assert laid_out(*frozen).panel is None


def test_a_back_above_the_bottom_gets_a_usual_groove_where_none_is_named() -> None:
    recipe = box("box.back_above_bottom=true", without=("box.groove",))
    assert (recipe.groove.width, recipe.groove.ends) == (6, "hidden")
    assert {"box.groove.width", "box.groove.depth", "box.groove.up", "box.groove.ends"} <= set(told(recipe))


# --- what is left out ------------------------------------------------------------------------------


def test_everything_that_is_chosen_is_told_with_its_rule() -> None:
    recipe = box("box.groove={}", without=("title",))
    assert recipe.title == "box"
    assert set(told(recipe)) == {
        "title",
        "box.tails_on",
        "box.back_above_bottom",
        "box.inside_length",
        "box.inside_width",
        *(f"box.groove.{key}" for key in ("width", "depth", "up", "ends")),
        *(f"box.panel.{key}" for key in ("kind", "wood", "sawn", "grain", "clearance", "held")),
        *(f"box.panel.{key}" for key in ("edge", "thickness")),
        *(f"box.rough.{key}" for key in ("length", "width", "thickness")),
        "tail_board.wood",
        "pin_board.wood",
        "climate.shop",
        "climate.home.dry",
        "climate.home.damp",
    }
    assert all(value and rule for value, rule in told(recipe).values())
    assert told(recipe)["box.groove.depth"] == ("3.5 mm (0.138 in)", "a third of the thinnest board")
    assert told(recipe)["box.panel.grain"] == ("length", "along the longer side")


def test_the_grain_of_the_bottom_runs_along_the_longer_side() -> None:
    assert box("box.length=150", "box.width=300").panel.grain == "width"
    assert box("box.length=150", "box.width=300", "box.back_above_bottom=true").panel.grain == "length"


def test_no_groove_is_no_bottom() -> None:
    found = laid_out(without=("box.groove",))
    assert found.panel is None
    assert told(found.recipe)["box.groove.width"] == ("0", "no bottom was asked for")


def test_a_recipe_that_names_everything_leaves_nothing_to_choose() -> None:
    recipe = box(
        *("box.tails_on=sides", "box.back_above_bottom=false", "box.inside_length=220", "box.inside_width=136"),
        *("box.groove.ends=through", "box.panel.wood=spruce", "box.panel.sawn=flat", "box.panel.grain=width"),
        *(
            "box.panel.kind=solid",
            "box.panel.held=groove",
            "box.panel.edge=plain",
            "box.panel.thickness=5",
            "box.panel.clearance=0.4",
            "box.rough.length=12",
            "box.rough.width=5",
            "box.rough.thickness=2",
        ),
        *("tail_board.wood=beech", "pin_board.wood=maple"),
        *("climate.shop=20 C, 50 %", "climate.home={dry='20 C, 40 %', damp='20 C, 60 %'}"),
    )
    assert recipe.choices == ()


# --- corners ---------------------------------------------------------------------------------------


def test_a_corner_takes_its_own_joint_before_that_of_its_end() -> None:
    recipe = box("box.joints.front.tails=2", "box.joints.front_right.tails=1", "box.joints.back_left.slope=1:6")
    assert {name: len(corner.tail_shares) for name, corner in recipe.corners.items()} == {
        "front left": 2,
        "front right": 1,
        "back left": 3,
        "back right": 3,
    }
    assert [name for name, corner in recipe.corners.items() if corner.slope_ratio == 6] == ["back left"]


@pytest.mark.parametrize("on", ["sides", "ends"])
def test_the_boards_that_meet_at_a_corner_are_those_of_its_name(on: str) -> None:
    thick = {"front": 11.0, "back": 13.0, "left": 14.0, "right": 15.0}
    recipe = box(f"box.tails_on={on}", *(f"box.{side}.thickness={size}" for side, size in thick.items()))
    for name, corner in recipe.corners.items():
        end, hand = name.split()
        tails, pins = (hand, end) if on == "sides" else (end, hand)
        assert corner.tail_board.thickness == thick[tails]
        assert corner.pin_board.thickness == thick[pins]


@pytest.mark.parametrize(
    ("override", "key"),
    [
        ("box.joints.front.slope=9:1x", "box.joints.front.slope"),
        ("box.joints.back_right.slope=1:99", "box.joints.back_right.slope"),
        ("box.joints.front.tails=three", "box.joints.front.tails"),
        ("box.joints.front.tails=2.5", "box.joints.front.tails"),
        ("box.joints.front_left.half_pin=-1", "box.joints.front_left.half_pin"),
        ("box.joints.front.lap=4", "box.joints.front.lap"),
        ("box.joints.front.grading=0.2", "box.joints.front.grading"),
        ("box.joints.front.spacing=[60, 60]", "box.joints.front.spacing"),
        ("box.left.thickness=0", "box.left.thickness"),
        ("box.left.thickness=600", "box.left.thickness"),
        ("box.back.wood=plastic", "box.back.wood"),
        ("box.right.sawn=round", "box.right.sawn"),
        ("box.groove.ends=open", "box.groove.ends"),
        ("box.panel.kind=chipboard", "box.panel.kind"),
        ("box.panel.grain=up", "box.panel.grain"),
        ("box.tails_on=top", "box.tails_on"),
        ("box.back_above_bottom=maybe", "box.back_above_bottom"),
        ("box.rough.length=-1", "box.rough.length"),
        ("stock.length=0", "stock.length"),
        ("finish.planing=x", "finish.planing"),
        ("kit.saw_kerf=900", "kit.saw_kerf"),
        ("units=cm", "units"),
    ],
)
def test_a_fault_is_told_under_the_key_that_the_maker_wrote(override: str, key: str) -> None:
    assert key in {problem.key for problem in problems(override, without=("joint.tails",))}


@pytest.mark.parametrize(
    "override",
    ["box.joints.front_left.half_pin=2", "box.joints.back.tails=40", "box.height=15000", "box.height=9"],
)
def test_what_the_layout_refuses_is_told_under_a_key_that_the_maker_wrote_too(override: str) -> None:
    assert all(problem.key.startswith("box.") for problem in problems(override, without=("box.groove",)))


def test_what_the_layout_refuses_names_the_corners() -> None:
    (problem,) = problems("box.joints.front_left.half_pin=2")
    assert problem.wrong.endswith("(front left)")
    (problem,) = problems("joint.half_pin=2")
    assert "(" not in problem.wrong, "all four"


def test_a_back_that_nothing_is_left_of_names_the_box_and_the_groove() -> None:
    problem = only("box.back_above_bottom=true", "box.height=16")
    assert problem.key.startswith("box.")
    assert "groove" in problem.wrong


def test_a_half_blind_front_takes_no_proud_tails_though_the_back_does() -> None:
    recipe = box("tail_board.proud=0.8", "box.joints.front.kind=half-blind", "box.joints.front.lap=4")
    assert {name: corner.tail_board.proud for name, corner in recipe.corners.items()} == {
        "front left": 0,
        "front right": 0,
        "back left": 0.8,
        "back right": 0.8,
    }


# --- unknown keys and wrong types ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "nearest"),
    [
        ("box.hight", "box.height"),
        ("box.lenght", "box.length"),
        ("box.groove.deep", "box.groove.depth"),
        ("box.left.thick", "box.left.thickness"),
        ("box.joints.front.tail", "box.joints.front.tails"),
        ("box.panels.wood", "box.panel.wood"),
        ("stock.lenth", "stock.length"),
    ],
)
def test_an_unknown_key_names_the_nearest(key: str, nearest: str) -> None:
    problem = problems(f"{key}=1")[0]
    assert key.startswith(problem.key), "a whole table may be unknown"
    assert "is not a key" in problem.wrong
    table = nearest.rpartition(".")[0]
    assert nearest in problem.remedy or table in problem.remedy


def test_the_width_of_a_corner_is_no_key_because_the_box_has_a_height() -> None:
    assert "is not a key" in only("box.joints.front.width=80").wrong


@pytest.mark.parametrize("value", ["3", "true", '"x"', "[1, 2]", "[[1]]", "1979-05-27"])
def test_a_box_that_is_no_table_is_refused(value: str) -> None:
    with pytest.raises(InputError, match="box: is not a table; write a table"):
        check_box(raw(f"box={value}"))


@pytest.mark.parametrize(
    ("override", "key"),
    [
        ("joint=3", "joint"),
        ("tail_board=[1]", "tail_board"),
        ("pin_board=x", "pin_board"),
        ("stock=3", "stock"),
        ("finish=3", "finish"),
        ("box.left=x", "box.left"),
        ("box.front=1", "box.front"),
        ("box.groove=6", "box.groove"),
        ("box.panel=spruce", "box.panel"),
        ("box.rough=10", "box.rough"),
        ("box.joints=all", "box.joints"),
        ("box.joints.front=half-blind", "box.joints.front"),
        ("box.length=[240]", "box.length"),
        ("box.length=true", "box.length"),
        ("box.length=nan", "box.length"),
        ("box.length=inf", "box.length"),
        ("box.length=1e300", "box.length"),
        ("box.height=-80", "box.height"),
        ("box.groove.width=-1", "box.groove.width"),
        ("box.groove.up={}", "box.groove.up"),
        ("title=3", "title"),
        ('title=""', "title"),
    ],
)
def test_a_wrong_type_is_told_under_its_key(override: str, key: str) -> None:
    assert key in {problem.key for problem in problems(override)}


@pytest.mark.parametrize(
    ("overrides", "key"),
    [
        (("joint.width=abc",), "joint.width"),
        (("joint.width=true",), "joint.width"),
        (("tail_board.length=abc",), "tail_board.length"),
        (("tail_board.thickness=abc", "box.inside_length=220"), "tail_board.thickness"),
        (("pin_board.thickness=abc", "box.front.thickness=12", "box.back.thickness=12"), "pin_board.thickness"),
    ],
)
def test_what_cannot_be_read_is_refused_though_something_else_says_the_same(
    overrides: tuple[str, ...], key: str
) -> None:
    assert key in {problem.key for problem in problems(*overrides)}


def test_the_length_of_a_board_is_not_replaced_without_a_word() -> None:
    """A corner's recipe that a table [box] was added to may hold one."""
    assert box("tail_board.length=300").notices == ("tail_board.length is ignored, as the box has sizes of its own",)


def test_a_thickness_that_is_no_length_is_told_as_such() -> None:
    wrong = {problem.key: problem.wrong for problem in problems("tail_board.thickness=abc")}
    assert "not a length" in wrong["tail_board.thickness"]


def test_faults_in_several_tables_are_told_at_once_and_each_once() -> None:
    found = problems("entry_chamfer.width=x", "kit.saw_kerf=900", "finish.planing=x", "fit.sigma=-1")
    assert {problem.key for problem in found} == {
        *("entry_chamfer.width", "kit.saw_kerf", "finish.planing", "fit.sigma")
    }
    found = problems("box.left.wood=plastic", "box.length=-1", "box.groove.ends=open")
    assert {problem.key for problem in found} == {"box.left.wood", "box.length", "box.groove.ends"}


def test_faults_in_box_and_in_other_tables_are_told_at_once() -> None:
    found = problems("box.left.wood=plastic", "stock.length=-1", "kit.saw_kerf=900")
    assert {problem.key for problem in found} == {"box.left.wood", "stock.length", "kit.saw_kerf"}


def test_reading_a_box_changes_nothing_of_what_it_was_given() -> None:
    given = raw("box.joints.front.tails=2", "box.left.thickness=9")
    before = repr(given)
    assert check_box(given) == check_box(given)
    assert repr(given) == before


# --- inches, titles, overrides ---------------------------------------------------------------------


IN_INCHES = """
units = "in"
[joint]
tails = 3
[tail_board]
thickness = "3/8"
[pin_board]
thickness = "1/2"
[box]
length = "9 1/2"
inside_width = 6
height = 3.25
[box.groove]
width = "1/4"
depth = "3/16"
"""


def test_plain_numbers_are_inches_where_the_recipe_says_so() -> None:
    recipe = box(text=IN_INCHES)
    assert recipe.units == "in"
    assert recipe.inside == pytest.approx((8.75 * INCH, 6 * INCH), rel=1e-12)
    assert recipe.height == pytest.approx(3.25 * INCH, rel=1e-12)
    assert told(recipe)["box.inside_length"][0] == "8 3/4 in (222.25 mm)"
    assert told(recipe)["box.width"][0] == "7 in (177.8 mm)"
    assert lay_out_box(recipe).outside == pytest.approx((9.5 * INCH, 7 * INCH), rel=1e-12)


def test_a_chosen_place_of_the_groove_is_one_that_a_rule_shows() -> None:
    up = box(text=IN_INCHES).groove.up
    assert up / (INCH / 32) == pytest.approx(round(up / (INCH / 32)))
    assert box(without=("box.groove.up",)).groove.up * 2 == pytest.approx(
        round(box(without=("box.groove.up",)).groove.up * 2)
    )


def test_a_chosen_depth_of_the_groove_is_one_that_is_accepted() -> None:
    assert laid_out(text=IN_INCHES, without=("box.groove.depth",))


def test_a_chosen_depth_of_the_groove_is_one_that_a_rule_shows() -> None:
    depth = box(text=IN_INCHES, without=("box.groove.depth",)).groove.depth
    assert depth / (INCH / 32) == pytest.approx(round(depth / (INCH / 32)))


def test_units_may_be_mixed() -> None:
    recipe = box('box.length="9 1/2 in"', "box.width=160 mm", 'stock.length="40 in"')
    assert recipe.inside == pytest.approx((9.5 * INCH - 20, 136))
    assert recipe.stock == (pytest.approx(40 * INCH), None)


def test_a_disagreement_in_inches_is_told_in_inches() -> None:
    problem = only('box.length="9 1/2"', "box.inside_length=8", text=IN_INCHES)
    assert problem.wrong == "9.5 in less 0.75 in for two boards is not box.inside_length, 8 in"


def test_a_title_of_eighty_letters_names_the_box_and_its_corners() -> None:
    title = "walnut " * 11 + "box"
    assert len(title) == 80
    recipe = box(f'title="{title}"')
    assert recipe.title == title
    assert recipe.slug == title.replace(" ", "-")
    for name in CORNERS:
        assert recipe.corners[name].title.endswith(f", {name}")


@pytest.mark.parametrize(
    ("title", "slug"),
    [
        ("小箱", f"xiaoxiang-{sha256('小箱'.encode()).hexdigest()[:6]}"),
        ("Schmuckkästchen", "schmuckkastchen"),
        ("Kiste 2, größer", "kiste-2-groer"),
        ("7/8 drawer: ½", "7-8-drawer-1-2"),
        ("../..", "corner"),
    ],
)
def test_titles_in_any_letters(title: str, slug: str) -> None:
    recipe = box(f'title="{title}"')
    assert recipe.title == title
    assert recipe.slug == slug


@pytest.mark.parametrize("title", ["a\\nb", "\\u0007", "x" * 81, "   ", "\\U0001F4E6"])
def test_a_title_that_is_no_name_is_refused(title: str) -> None:
    assert only(f'title="{title}"').key == "title"


def test_overrides_reach_every_table_of_a_box() -> None:
    recipe = read_box(
        "keepsake-box",
        (
            *("box.length=300", "box.left.wood=cherry", "box.joints.back.tails=2", "box.groove.ends=through"),
            *("box.panel.sawn=quarter", "box.rough.width=6", "stock.width=150"),
        ),
    )
    assert recipe.inside[0] == 280
    assert recipe.corners["front left"].tail_board.wood.name.endswith("cherry")
    assert recipe.corners["front right"].tail_board.wood.name.endswith("walnut")
    assert len(recipe.corners["back right"].tail_shares) == 2
    assert (recipe.groove.ends, recipe.panel.sawn, recipe.rough.width) == ("through", "quarter", 6)
    assert recipe.stock == (1200, 150)


@pytest.mark.parametrize("override", ["box.length", "=3", "box..length=3", "box.length.x=3"])
def test_an_override_that_goes_nowhere_is_refused(override: str) -> None:
    with pytest.raises(RecipeError):
        read_box("keepsake-box", (override,))


def test_overrides_make_a_box_of_a_corner() -> None:
    assert not is_box(raw_recipe("tool-tray")[0])
    tables, problems = raw_recipe("tool-tray", ("box.length=400", "box.width=300"))
    assert problems == []
    assert is_box(tables)
    recipe = check_box(tables)
    assert recipe.height == parse_toml(preset_text("tool-tray"), "tool-tray")["joint"]["width"]


def test_inline_tables_are_read_as_others_are() -> None:
    text = PLAIN.replace(
        "[box.groove]\nwidth = 5\ndepth = 4\nup = 10\n", "groove = { width = 5, depth = 4, up = 10 }\n"
    )
    assert box(text=text) == box()


# --- what follows, told where the maker wrote it -----------------------------------------------------


def test_planing_that_takes_too_much_is_told_as_such_and_not_as_a_groove() -> None:
    for planing in (6, 9, 12, 50):
        found = problems(f"finish.planing={planing}")
        assert {problem.key for problem in found} == {"finish.planing"}, planing


@pytest.mark.parametrize("override", ["box.length=20000", "box.width=15000", "box.height=9999"])
def test_a_large_box_is_laid_out(override: str) -> None:
    assert laid_out(override, without=("box.groove", "joint.tails"))


@pytest.mark.parametrize(
    ("overrides", "without", "key", "mm"),
    [
        (("box.inside_height=9990",), "box.height", "box.inside_height", 9990 + 10 + 5),
        (("box.length=2000", "box.inside_length=200"), "tail_board.thickness", "tail_board.thickness", 1800 / 2),
        (("box.width=2000", "box.inside_width=200"), "pin_board.thickness", "pin_board.thickness", 1800 / 2),
    ],
)
def test_a_size_that_follows_is_refused_like_one_that_is_written(
    overrides: tuple[str, ...], without: str, key: str, mm: float
) -> None:
    problem = only(*overrides, without=(without,))
    assert (problem.key, problem.wrong) == (key, f"{mm:g} mm is over the most")


def test_a_fault_in_stock_hides_nothing_of_the_box() -> None:
    assert {problem.key for problem in problems("stock.length=x", without=("box.width",))} == {
        *("stock.length", "box.width")
    }


def test_corners_and_single_boards_are_completed_without_a_change_to_what_they_come_from() -> None:
    """Each corner is the recipe with other values; the others, and what the maker wrote, keep theirs."""
    given = raw("box.joints.front_left.tails=2", "box.left.thickness=9", "box.joints.back.undercut.depth=0.2")
    corners = check_box(given).corners
    assert {name: len(corner.tail_shares) for name, corner in corners.items()} == {
        "front left": 2,
        "front right": 3,
        "back left": 3,
        "back right": 3,
    }
    assert [corners[name].tail_board.thickness for name in CORNERS] == [9, 10, 9, 10]
    assert [corners[name].undercut.depth for name in CORNERS] == [0, 0, 0.2, 0.2]
    assert check_box(given) == check_box(given)


def test_a_height_beyond_any_board_is_told_as_height() -> None:
    assert only("box.height=10001").key == "box.height"


def test_a_board_that_the_sizes_leave_nothing_for_is_told_with_the_sizes() -> None:
    without = ("tail_board.thickness",)
    problem = only("box.inside_length=220", "box.left.thickness=25", without=without)
    assert problem.key == "box.length"
    assert problem.wrong == (
        "240 mm less box.inside_length, 220 mm, leaves 20 mm for the right and the left board, of which the left takes "
        "25 mm"
    )
    assert only("box.inside_length=240", without=without).key == "box.length"
    assert only("box.inside_length=239.5", without=without).key == "box.length"


def test_a_place_that_is_chosen_below_an_inside_height_cuts_no_pin() -> None:
    for more in ((), ("box.back_above_bottom=true",)):
        found = laid_out("box.inside_height=50", *more, without=("box.height", "box.groove.up", "joint.half_pin"))
        assert found.recipe.height == 50 + found.recipe.groove.top


@pytest.mark.parametrize(
    ("overrides", "remedy"),
    [
        (
            ("box.joints.front.half_pin=3", "box.joints.front.allow_thin_half_pin=false"),
            "insist with box.joints.front.allow_thin_half_pin = true",
        ),
        (("box.joints.front.kind=through", "box.joints.front.lap=5"), 'take box.joints.front.kind = "half-blind"'),
        (
            ("box.joints.front.spacing=[20, 20, 25]", "box.joints.front.half_pin=6"),
            "leave out box.joints.front.half_pin",
        ),
    ],
)
def test_a_remedy_names_the_key_that_the_maker_wrote(overrides: tuple[str, ...], remedy: str) -> None:
    assert remedy in " ".join(problem.remedy for problem in problems(*overrides, without=("box.groove",)))


def test_a_groove_without_depth_is_told_with_what_is_accepted() -> None:
    problem = only("box.groove.depth=0")
    assert (problem.key, problem.remedy) == ("box.groove.depth", "it takes from 0.01 mm to 500 mm")


def test_a_back_that_is_too_low_for_its_tails_is_told_as_the_back() -> None:
    found = problems("box.back_above_bottom=true", "box.groove.up=70")
    assert any("the back stands above the bottom" in problem.wrong for problem in found)
