"""The bottom of a box through the year: a chest and three boxes worked by hand, and what is told where a groove cannot
give room and hold, each remedy taken."""

from __future__ import annotations

import re

import pytest

from solids.base import tolerances as tol
from solids.base.errors import RecipeError, Told
from solids.base.messages import said
from solids.layout.box.bottom import bottom_words, slip_for, slot_for
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.recipe.text.reading import check_box
from tests.boxes import raw_from

CHEST = """
title = "chest"
[joint]
tails = 11
slope = "1:6"
pin = 6
half_pin = 12
[tail_board]
thickness = 22
wood = "white pine"
[pin_board]
thickness = 22
wood = "white pine"
[box]
length = 1000
width = 500
height = 450
[box.groove]
width = 10
depth = 8
up = 20
[box.panel]
wood = "white pine"
[climate]
shop = "20 C, 50 %"
home = "20 C, 50 %"
"""
"""Inside 956 x 456 mm. Between the floors of the grooves 456 + 2 x 8 = 472 mm, less 0.5 mm at each edge: 471 mm."""

PINE = 0.00212
"""C_T of eastern white pine, Wood Handbook, FPL-GTR-190 (2010), Table 13-5, for 1 % of moisture. By the equation of
its Table 4-2 (Simpson), wood comes to 9.27 % at 20 C and 50 %, to 6.94 % at 21 C and 35 %, to 11.93 % at 22 C and 65 %
and to 13.04 % at 22 C and 70 %."""

WET = "climate.home.damp=22 C, 70 %"
YEAR = ("climate.home={dry='21 C, 35 %', damp='22 C, 70 %'}",)


def chest(*overrides: str) -> BoxLayout:
    return lay_out_box(check_box(raw_from(CHEST, "chest", *overrides)))


def refused(*overrides: str) -> Told:
    with pytest.raises(RecipeError) as caught:
        chest(*overrides)
    (problem,) = caught.value.told
    return problem


# --- by hand -------------------------------------------------------------------------------------


def test_the_pine_chest_has_room_for_a_damp_summer() -> None:
    """471 mm of pine from 9.27 to 13.04 %: 471 x 0.00212 x 3.77 = 3.8 mm wider. The bottom is made narrower by that and
    still is 471 mm and no more in the dampest air, within the 472 mm of its grooves."""
    box = chest(*YEAR)
    assert box.panel is not None
    assert box.panel_room == pytest.approx(3.8, abs=0.05)
    assert box.panel.size[1] == pytest.approx(471 - 3.8, abs=0.05)
    assert box.panel.size[1] + box.panel_moves[0] == pytest.approx(471, abs=0.05)
    assert box.panel.size[1] + box.panel_moves[0] <= 471


def test_the_pine_chest_is_held_in_a_dry_winter() -> None:
    """From 9.27 to 6.94 %: 467.2 x 0.00212 x 2.33 = 2.3 mm narrower, 464.9 mm. Fixed in the middle of 456 mm, 4.45 mm
    stay on each side."""
    box = chest(*YEAR)
    assert box.panel_moves[1] == pytest.approx(2.3, abs=0.05)
    assert box.panel_hold == pytest.approx((464.9 - 456) / 2, abs=0.05)


def test_seasons_come_though_shop_and_home_are_alike() -> None:
    """20 C and 50 % in both tell no season: the usual ones are taken. 471 x 0.00212 x 2.66 = 2.7."""
    box = chest()
    assert box.panel_room == pytest.approx(2.66, abs=0.05)
    told = {choice.key: choice.value for choice in box.recipe.choices}
    assert (told["climate.home.dry"], told["climate.home.damp"]) == ("21 C, 35 %", "22 C, 65 %")


@pytest.mark.parametrize(
    ("overrides", "room", "shrinks", "held"),
    [
        # Flat-sawn beech, 0.00431, grooves 8 deep, 472 between their floors: 472 x 0.00431 x 3.77 = 7.67 of room; made
        # 471 - 7.67 = 463.33, shrinks 463.33 x 0.00431 x 2.33 = 4.65; 8 - 0.5 - 3.83 - 2.33 = 1.34 stays.
        (("box.panel.wood=beech",), 7.67, 4.65, 1.34),
        # Quarter-sawn oak, 0.00180: 472 x 0.00180 x 3.77 = 3.20; 467.8 x 0.00180 x 2.33 = 1.96; 8 - 0.5 - 1.6 - 0.98.
        (("box.panel.wood=white oak", "box.panel.sawn=quarter"), 3.20, 1.96, 4.92),
        # A keepsake of 150 x 100, boards of 10, groove 4 deep: 80 + 8 = 88 across; 88 x 0.00212 x 3.77 = 0.70;
        # 86.3 x 0.00212 x 2.33 = 0.43; 4 - 0.5 - 0.35 - 0.21 = 2.94.
        (
            (
                *("box.length=150", "box.width=100", "tail_board.thickness=10", "pin_board.thickness=10"),
                *("box.groove.depth=4", "box.groove.width=6"),
            ),
            0.70,
            0.43,
            2.94,
        ),
    ],
    ids=["beech", "quarter-sawn oak", "small box"],
)
def test_three_more_bottoms_by_hand(overrides: tuple[str, ...], room: float, shrinks: float, held: float) -> None:
    box = chest(*YEAR, *overrides)
    assert box.panel_room == pytest.approx(room, abs=0.05)
    assert box.panel_moves[1] == pytest.approx(shrinks, abs=0.05)
    assert box.panel_hold == pytest.approx(held, abs=0.06)


def test_a_bottom_fits_its_grooves_at_the_dampest_and_is_held_at_the_driest() -> None:
    for wood in ("white pine", "beech", "red oak", "teak"):
        for depth in (6, 8, 12):
            try:
                box = chest(*YEAR, f"box.panel.wood={wood}", f"box.groove.depth={depth}")
            except RecipeError:
                continue
            assert box.panel is not None
            grows, shrinks = box.panel_moves
            assert box.panel.size[1] + grows <= 456 + 2 * depth - 2 * 0.5 + 1e-9
            assert (box.panel.size[1] - shrinks - 456) / 2 >= tol.PANEL_HELD - 1e-9


# --- what is told ----------------------------------------------------------------------------------


def test_the_words_tell_the_year_the_room_and_how_it_is_fixed() -> None:
    words = said(bottom_words(chest(*YEAR)))
    assert words == (
        "The bottom is held all round. Made at 20 C, 50 %, it shrinks 2.3 mm (0.091 in) by the driest time at home, "
        "21 C, 35 %, and grows 3.75 mm (0.147 in) by the dampest, 22 C, 70 %. It has 3.78 mm (0.149 in) of room to "
        "grow across its grain. At the driest 4.46 mm (0.175 in) of its edge stays in the groove on each side, if it "
        "is fixed in the middle, with a dab of glue in the middle of each end-grain edge and nowhere else."
    )
    assert bottom_words(chest("box.groove.width=0")) == ""


def test_the_words_are_told_in_inches_to_who_thinks_in_them() -> None:
    words = said(bottom_words(chest(*YEAR)), "in")
    assert "Made at 68 F, 50 %, it shrinks 3/32 in (0.091 in, 2.3 mm) by the driest time at home, 69.8 F" in words


def test_a_drawers_bottom_is_fastened_at_the_front_alone() -> None:
    words = said(bottom_words(chest(*YEAR, "box.back_above_bottom=true")))
    assert "slides in under the back and moves there" in words
    assert "Fasten it at the front alone; a screw under the back needs a slot." in words
    assert "room" not in words


# --- plywood ---------------------------------------------------------------------------------------

PLYWOOD = "box.panel.kind=plywood"


def test_a_plywood_bottom_by_hand() -> None:
    """0.0002 of its size for 1 % of moisture, both ways. From 9.27 to 13.04 %: 972 mm between the floors of the grooves
    in X, 972 x 0.0002 x 3.77 = 0.73 mm of room; 472 mm in Y, 0.36 mm. Made 971 - 0.73 = 970.27 mm long, it shrinks
    970.27 x 0.0002 x 2.33 = 0.45 mm, and 8 - 0.5 - (0.73 + 0.45)/2 = 6.91 mm of its edge stay in each groove."""
    box = chest(*YEAR, PLYWOOD)
    assert box.panel is not None
    assert box.panel.size[:2] == pytest.approx((971 - 0.73, 471 - 0.36), abs=0.01)
    assert box.panel_room == pytest.approx(0.73, abs=0.01)
    assert box.panel_moves == pytest.approx((0.73, 0.45), abs=0.01)
    assert box.panel_hold == pytest.approx(6.91, abs=0.01)


@pytest.mark.parametrize("grain", ["length", "width"])
def test_plywood_moves_alike_whichever_way_its_faces_run(grain: str) -> None:
    assert chest(*YEAR, PLYWOOD, f"box.panel.grain={grain}").panel == chest(*YEAR, PLYWOOD).panel


def test_a_drawer_of_plywood_has_room_at_its_sides_and_none_at_the_open_back() -> None:
    """In X 972 x 0.0002 x 3.77 = 0.73 mm; in Y it ends with the back: 500 mm less 22 for the front, with 8 - 0.5 mm in
    its groove, is 485.5 mm."""
    box = chest(*YEAR, PLYWOOD, "box.back_above_bottom=true")
    assert box.panel is not None
    assert box.panel.size[:2] == pytest.approx((971 - 0.73, 485.5), abs=0.01)
    assert box.panel_hold == pytest.approx(6.91, abs=0.01)


def test_the_words_of_plywood_tell_that_it_may_be_glued() -> None:
    words = said(bottom_words(chest(*YEAR, PLYWOOD)))
    assert words.startswith("The plywood bottom is held all round. Made at 20 C, 50 %, it shrinks 0.45 mm")
    assert words.endswith("It moves so little that it may be glued into its groove.")
    assert "fixed in the middle" not in words
    assert "slides in under the back" in said(bottom_words(chest(*YEAR, PLYWOOD, "box.back_above_bottom=true")))


def test_plywood_takes_its_name_and_density_from_its_faces() -> None:
    named = chest(PLYWOOD, "box.panel.wood=cherry").recipe.panel.wood
    solid = chest("box.panel.wood=cherry").recipe.panel.wood
    assert (named.name, named.density, named.colour) == ("cherry plywood", solid.density, solid.colour)
    assert named.strength is None
    own = '{name = "Baltic plywood", kind = "hardwood", density = 680, radial = 0.002, tangential = 0.004}'
    found = chest(PLYWOOD, f"box.panel.wood={own}")
    assert found.recipe.panel.wood.name == "Baltic plywood"
    assert found.panel == chest(PLYWOOD).panel, "what is sold as plywood moves as plywood"


def test_plywood_that_its_groove_does_not_hold_is_not_told_to_be_plywood() -> None:
    problem = refused(*YEAR, PLYWOOD, "box.groove.depth=1.2")
    assert problem.key == "box.groove.depth"
    assert "plywood" not in problem.remedy
    assert "quarter" not in problem.remedy


def test_how_plywood_was_sawn_is_set_aside_and_told() -> None:
    found = chest(PLYWOOD, "box.panel.sawn=quarter").recipe
    assert found.notices == ("box.panel.sawn is ignored, as plywood is peeled, not sawn",)
    assert found.panel == chest(PLYWOOD).recipe.panel
    assert "box.panel.sawn" not in {choice.key for choice in chest(PLYWOOD).recipe.choices}


def test_a_slot_under_the_back_is_as_long_as_the_bottom_moves() -> None:
    """485.5 mm of pine from 6.94 to 13.04 %: 485.5 x 0.00212 x 6.1 = 6.3 mm, 6.5 as a rule shows it."""
    assert slot_for(chest(*YEAR, "box.back_above_bottom=true")) == 6.5


SHALLOW = (*YEAR, "box.panel.wood=red oak", "box.groove.depth=3.5")
"""463 x 0.00369 x 3.77 = 6.4 of room: 3.5 - 0.5 - 3.2 - 2 leaves nothing. Quarter-sawn, 0.00158 along the rays:
3.5 - 0.5 - 1.4 - 0.85 = 0.75, less than the 1 mm that must stay."""


def test_where_a_groove_cannot_hold_it_the_remedies_work() -> None:
    problem = refused(*SHALLOW)
    assert problem.key == "box.groove.depth"
    assert "3.5 mm holds 0 mm of a bottom that moves" in problem.wrong
    deeper = re.search(r"accepted is ([\d.]+ mm) or more", problem.remedy)
    assert deeper
    assert chest(*SHALLOW, f'box.groove.depth="{deeper[1]}"').panel_hold >= tol.PANEL_HELD - 1e-9
    plywood = re.search(r"plywood \(box\.panel\.kind = \"(.*?)\"\)", problem.remedy)
    assert plywood
    assert chest(*SHALLOW, f"box.panel.kind={plywood[1]}").panel_hold >= tol.PANEL_HELD
    assert "quarter-sawn" not in problem.remedy
    assert refused(*SHALLOW, "box.panel.sawn=quarter").key == "box.groove.depth"


def test_quarter_sawn_wood_is_told_where_it_would_hold() -> None:
    shallow = (*YEAR, "box.groove.depth=3.5")
    assert 'box.panel.sawn = "quarter"' in refused(*shallow).remedy
    assert chest(*shallow, "box.panel.sawn=quarter")


def test_slips_hold_what_no_groove_in_thin_boards_does() -> None:
    """Beech in boards of 10 mm: a groove of two thirds, 6.7 mm, is too shallow. A slip's groove is as deep as need be:
    the floor of it lies 3 mm from the board."""
    thin = (*YEAR, "box.panel.wood=beech", "tail_board.thickness=10", "pin_board.thickness=10", "joint.slope=1:8")
    problem = refused(*thin, "box.groove.depth=4")
    assert "accepted is" not in problem.remedy
    told = re.search(r"slips glued to the boards, ([\d.]+) mm .* thick, their groove ([\d.]+) mm", problem.remedy)
    assert told
    slip, groove = float(told[1]), float(told[2])
    raw = raw_from(CHEST, "chest", *thin, "box.groove.depth=6")
    panel = check_box(raw).panel
    assert panel.hold(480 - 2 * slip, groove) >= tol.PANEL_HELD, "480 mm inside, less both slips"
    assert panel.hold(480 - 2 * slip, groove - 0.5) < tol.PANEL_HELD, "and no deeper than needed, by the rule"
    assert slip - groove == 3


def test_a_groove_that_was_left_out_is_as_deep_as_the_year_asks_or_says_what_would_do() -> None:
    """A third of 22 mm is 7.5; beech wants more: 1 + 0.5 + (7.7 + 4.7)/2 = 7.7 mm, and 8 is chosen. In boards of 10 mm
    no groove does, and nobody is told that a depth is too much which was not asked for."""
    raw = raw_from(CHEST, "chest", *YEAR, "box.panel.wood=beech")
    del raw["box"]["groove"]["depth"]
    assert lay_out_box(check_box(raw)).recipe.groove.depth == 8
    raw["tail_board"]["thickness"] = raw["pin_board"]["thickness"] = 10
    with pytest.raises(RecipeError) as caught:
        lay_out_box(check_box(raw))
    assert [problem.key for problem in caught.value.told] == ["box.groove.depth"]
    assert "take plywood" in str(caught.value)


def test_a_drawers_bottom_must_not_come_out_from_under_its_back() -> None:
    """A bottom 1200 mm deep of beech, from 9.3 to 2.6 %: 1200 x 0.00431 x 6.7 = 35 mm, and the back is 22 mm thick."""
    deep = ("box.back_above_bottom=true", "box.width=1200", "box.panel.wood=beech", "climate.home.dry=20 C, 10 %")
    raw = raw_from(CHEST.replace('home = "20 C, 50 %"', ""), "chest", *deep)
    with pytest.raises(RecipeError) as caught:
        lay_out_box(check_box(raw))
    (problem,) = caught.value.told
    assert problem.key == "box.panel.wood"
    assert re.match(r"shrinks 3\d\.\d+ mm .* at the back, which is 22 mm .* thick", problem.wrong)
    back = re.search(r"a back of ([\d.]+) mm or thicker", problem.remedy)
    assert back
    assert "quarter-sawn" in problem.remedy, "1200 x 0.00190 x 6.7 = 15 mm"
    for override in (f"box.back.thickness={back[1]} mm", "box.panel.sawn=quarter"):
        once = raw_from(CHEST.replace('home = "20 C, 50 %"', ""), "chest", *deep, override)
        assert lay_out_box(check_box(once))


def test_slips_are_told_as_a_rule_shows_them() -> None:
    slip, groove = slip_for(chest(*YEAR))
    assert (groove * 2).is_integer()
    assert slip == groove + 3
