"""Every rule that fills in a left-out value, and every disagreement between keys with its whole message."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.recipe.completing.choosing import round_up
from solids.wood import Climate, Seasons
from tests.recipes import HALF_BLIND, MINIMAL, STANDING, WHOLE, choice, keys_of, only_problem, problems, recipe

INCH = 25.4
USUAL_HOME = Seasons(Climate(21.0, 35.0), Climate(22.0, 65.0))
AIR_AND_PAPER = (
    *("climate.shop=18 C, 60 %", "climate.home={dry='22 C, 40 %', damp='23 C, 60 %'}"),
    *("paper.size=A3", "print.bed=[200, 200]"),
    *("print.nozzle=0.6", "print.clearance=0.3", "print.magnet={diameter = 8, thickness = 3}"),
    *("glue.kind=PVA", "glue.open_time=7", "glue.assembly_time=12", "glue.clamp_time=45", "glue.spread=150"),
)
"""What WHOLE leaves out."""

INCHES = 'units = "in"\n' + MINIMAL.replace("96", "4").replace("10", '"3/8"').replace("12", '"1/2"')


# --- what a rule shows -------------------------------------------------------------------------------


def test_chosen_lengths_are_rounded_up_to_half_a_millimetre_or_a_thirty_second() -> None:
    assert round_up(3.0, "mm") == 3.0
    assert round_up(3.01, "mm") == 3.5
    assert round_up(INCH / 8, "in") == pytest.approx(INCH / 8, rel=1e-12)
    assert round_up(3.0, "in") == pytest.approx(4 * INCH / 32, rel=1e-12)
    assert round_up(0.0, "mm") == round_up(0.0, "in") == 0.0


@given(st.floats(0, 1000), st.sampled_from(["mm", "in"]))
def test_rounding_up_never_loses_nor_adds_a_whole_step(mm: float, units) -> None:
    step = INCH / 32 if units == "in" else 0.5
    chosen = round_up(mm, units)
    assert mm - 1e-6 <= chosen < mm + step
    assert chosen / step == pytest.approx(round(chosen / step), abs=1e-9)


def test_rounding_dust_does_not_add_a_step() -> None:
    assert round_up(0.1 + 0.2 + 0.2, "mm") == 0.5
    assert round_up(3.5 * (1 + 1e-15), "mm") == 3.5


# --- what is chosen ----------------------------------------------------------------------------------


def test_a_minimal_recipe_lists_every_value_that_was_chosen() -> None:
    chosen = [made.key for made in recipe().choices]
    boards = [f"{board}.{key}" for board in ("tail_board", "pin_board") for key in ("length", "wood", "sawn", "proud")]
    joint = [f"joint.{key}" for key in ("slope", "look", "pin", "spacing", "half_pin", "tails")]
    assert chosen == [
        "title",
        "joint.kind",
        *boards,
        *joint,
        "fit.flank_gap",
        "fit.sigma",
        "finish.ends",
        "finish.planing",
        "climate.shop",
        "climate.home.dry",
        "climate.home.damp",
        "paper.size",
        "print.bed",
        "print.nozzle",
        "print.clearance",
        "print.magnet",
        *(f"glue.{key}" for key in ("kind", "open_time", "assembly_time", "clamp_time", "spread")),
    ]
    assert all(made.value and made.rule for made in recipe().choices)


def test_what_the_maker_gave_is_not_listed_as_chosen() -> None:
    assert recipe("tail_board.proud=0.5", *AIR_AND_PAPER, text=WHOLE).choices == ()


def test_a_zero_that_the_maker_gave_is_not_listed_as_chosen() -> None:
    """In a half-blind joint the tails' ends cannot stand proud; a maker who writes 0 has left nothing out."""
    assert recipe(*HALF_BLIND, *AIR_AND_PAPER, text=WHOLE).choices == ()


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("title", "corner"),
        ("joint.kind", "through"),
        ("joint.spacing", "even"),
        ("tail_board.length", "150 mm (5.906 in)"),
        ("pin_board.length", "150 mm (5.906 in)"),
        ("tail_board.sawn", "flat"),
        ("tail_board.proud", "0.5 mm (0.02 in)"),
        ("pin_board.proud", "0.5 mm (0.02 in)"),
        ("joint.pin", "3 mm (0.118 in)"),
        ("joint.half_pin", "5 mm (0.197 in)"),
        ("fit.flank_gap", "0 mm (0 in)"),
        ("finish.ends", "flush"),
        ("finish.planing", "0 mm (0 in)"),
        ("climate.shop", "20 C, 55 %"),
        ("climate.home.dry", "21 C, 35 %"),
        ("climate.home.damp", "22 C, 65 %"),
        ("paper.size", "A4"),
    ],
)
def test_the_plain_rules_of_the_trade(key: str, value: str) -> None:
    assert choice(key)[0] == value


def test_chosen_values_are_those_of_the_recipe() -> None:
    plain = recipe()
    assert (plain.title, plain.kind, plain.spacing, plain.units) == ("corner", "through", "even", "mm")
    assert (plain.pin, plain.half_pin, plain.lap, plain.flank_gap) == (3.0, 5.0, 0.0, 0.0)
    assert (plain.finish.ends, plain.finish.chamfer, plain.finish.planing) == ("flush", 0.0, 0.0)
    for board in (plain.tail_board, plain.pin_board):
        assert (board.length, board.sawn, board.proud) == (150.0, "flat", 0.5)
    assert plain.allow_thin_half_pin is False
    assert (plain.shop, plain.home) == (Climate(20.0, 55.0), USUAL_HOME)
    assert (plain.paper.size, plain.paper.corner_relief) == ("A4", False)
    assert (plain.kit.chisels, plain.kit.saw_kerf, plain.kit.knife, plain.kit.cutters) == ((), 0.0, 0.0, ())


def test_the_tail_boards_wood_decides_the_slope() -> None:
    assert recipe("tail_board.wood=maple", "pin_board.wood=spruce").slope_ratio == 8.0
    assert recipe("tail_board.wood=spruce", "pin_board.wood=maple").slope_ratio == 6.0


def test_a_board_without_wood_takes_that_of_the_other_or_beech() -> None:
    assert recipe("pin_board.wood=cherry").tail_board.wood.name == "cherry"
    assert recipe("tail_board.wood=cherry").pin_board.wood.name == "cherry"
    assert choice("pin_board.wood", "tail_board.wood=cherry") == ("cherry", "the same wood as the board it meets")
    assert recipe().tail_board.wood.name == recipe().pin_board.wood.name == "beech"
    assert choice("tail_board.wood") == ("beech", "no wood was named; a plain hardwood is assumed")
    assert recipe("tail_board.wood=cherry", "pin_board.wood=ash").pin_board.wood.name == "ash"


@pytest.mark.parametrize(("pin", "half_pin"), [(1, 5.0), (3, 5.0), (3.5, 5.5), (4, 6.0), (6, 9.0), (7, 10.5)])
def test_half_pins_are_half_as_wide_again_as_pins_and_at_least_5_mm(pin: float, half_pin: float) -> None:
    assert recipe(f"joint.pin={pin}").half_pin == half_pin
    assert half_pin >= max(5.0, 1.5 * pin)


@pytest.mark.parametrize(("thickness", "lap"), [(12, 3.0), (20, 5.0), (18, 4.5), (17, 4.5), (19.05, 5.0)])
def test_a_lap_is_a_quarter_of_the_pin_board_rounded_up(thickness: float, lap: float) -> None:
    made = recipe("joint.kind=half-blind", f"pin_board.thickness={thickness}")
    assert made.lap == lap
    assert made.depth == pytest.approx(thickness - lap)


def test_a_three_quarter_inch_front_keeps_a_lap_of_three_sixteenths() -> None:
    """3/16 in of 3/4 in: common practice."""
    made = recipe("joint.kind=half-blind", "pin_board.thickness=3/4", text=INCHES)
    assert made.lap == pytest.approx(3 / 16 * INCH, rel=1e-12)
    assert (
        choice("joint.lap", "joint.kind=half-blind", "pin_board.thickness=3/4", text=INCHES)[0] == "3/16 in (4.75 mm)"
    )


def test_ends_stand_half_a_millimetre_proud_but_not_the_enclosed_ones() -> None:
    half_blind = recipe("joint.kind=half-blind")
    assert (half_blind.tail_board.proud, half_blind.pin_board.proud) == (0.0, 0.5)
    assert choice("tail_board.proud", "joint.kind=half-blind")[1] == "the ends are enclosed by the lap"
    assert choice("tail_board.proud")[1] == "about 0.5 mm, to be planed off"


def test_an_inch_recipe_is_chosen_in_thirty_seconds() -> None:
    """3 mm becomes 1/8 in, 5 mm 7/32 in, 0.5 mm 1/32 in, 150 mm 5 29/32 in + a little, rounded up to 5 15/16 in."""
    made = recipe(text=INCHES)
    assert made.pin == pytest.approx(INCH / 8, rel=1e-12)
    assert made.half_pin == pytest.approx(7 / 32 * INCH, rel=1e-12)
    assert made.tail_board.proud == pytest.approx(INCH / 32, rel=1e-12)
    assert made.tail_board.length == pytest.approx((5 + 29 / 32) * INCH, abs=INCH / 32)
    assert choice("joint.pin", text=INCHES)[0] == "1/8 in (3.2 mm)"
    assert choice("joint.half_pin", text=INCHES)[0] == "7/32 in (5.55 mm)"


# --- spacing -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tails", "shares"),
    [(1, [0]), (2, [0, 0]), (3, [0, 1, 0]), (4, [0, 1, 1, 0]), (5, [0, 1, 2, 1, 0]), (6, [0, 1, 2, 2, 1, 0])],
)
def test_graduated_tails_grow_from_both_edges_toward_the_middle(tails: int, shares: list[int]) -> None:
    made = recipe(f"joint.tails={tails}", "joint.width=200", "joint.spacing=graduated", "joint.grading=0.2")
    assert made.tail_shares == pytest.approx([1 + 0.2 * steps for steps in shares])
    assert made.spacing == "graduated"


def test_tails_grow_by_15_percent_where_no_grading_is_given() -> None:
    assert recipe("joint.tails=3", "joint.spacing=graduated").tail_shares == pytest.approx((1, 1.15, 1))
    assert choice("joint.grading", "joint.spacing=graduated")[0] == "0.15"


def test_even_tails_have_equal_shares() -> None:
    assert recipe("joint.tails=4").tail_shares == (1.0, 1.0, 1.0, 1.0)


def test_a_list_fixes_the_tails_and_the_half_pins_take_what_is_left() -> None:
    """(96 - 14 - 25 - 18 - 2 x 4) / 2 = 15.5 mm for each half pin."""
    made = recipe("joint.spacing=[14, 25, 18]", "joint.pin=4")
    assert (made.tail_shares, made.half_pin, made.spacing) == ((14, 25, 18), 15.5, "listed")
    assert choice("joint.half_pin", "joint.spacing=[14, 25, 18]", "joint.pin=4") == (
        "15.5 mm (0.61 in)",
        "what a list of tails leaves, half at each edge",
    )


@pytest.mark.parametrize("half_pin", [15.5, 15.5 + 0.0024, 15.5 - 0.0024])
def test_a_list_with_its_half_pins_may_miss_the_width_by_rounding(half_pin: float) -> None:
    """Twice 0.0024 mm is under the 0.005 mm of two rounded decimals."""
    listed = ("joint.spacing=[14, 25, 18]", "joint.pin=4", "joint.tails=3", f"joint.half_pin={half_pin}")
    assert recipe(*listed).half_pin == half_pin
    assert "joint.half_pin" not in [made.key for made in recipe(*listed).choices]


@pytest.mark.parametrize("half_pin", [15.5 + 0.0026, 15.5 - 0.0026, 15])
def test_a_list_that_does_not_sum_to_the_width_is_refused(half_pin: float) -> None:
    problem = only_problem("joint.spacing=[14, 25, 18]", "joint.pin=4", f"joint.half_pin={half_pin}")
    assert problem.key == "joint.spacing"
    assert problem.wrong == f"tails, pins and half pins sum to {65 + 2 * half_pin:g} mm, not to the width 96 mm"
    assert problem.remedy == "leave out joint.half_pin (15.5 mm would be left for each) or change the list"


# --- the finish ----------------------------------------------------------------------------------------


def test_chamfers_of_standing_ends_are_half_of_what_the_lesser_stands_proud() -> None:
    ends = ("finish.ends=proud", "tail_board.proud=3", "pin_board.proud=2")
    assert recipe(*ends).finish.chamfer == 1.0
    assert choice("finish.chamfer", *ends) == ("1 mm (0.039 in)", "half of what stands proud")


@pytest.mark.parametrize(("proud", "chamfer"), [(0, 0.0), (0.01, 0.0), (0.019, 0.0), (0.02, 0.01), (0.5, 0.25)])
def test_a_chamfer_too_small_to_see_is_left_off(proud: float, chamfer: float) -> None:
    ends = ("finish.ends=proud", f"tail_board.proud={proud}", "pin_board.proud=2")
    assert recipe(*ends).finish.chamfer == chamfer


def test_a_chamfer_may_take_all_that_stands_proud_and_no_more() -> None:
    assert recipe(*STANDING, "finish.chamfer=2").finish.chamfer == 2
    assert str(only_problem(*STANDING, "finish.chamfer=2.01", "joint.pin=6", "joint.half_pin=9")) == (
        "finish.chamfer: 2.01 mm is more than the 2 mm that stand proud; "
        "accepted is 0 to 2 mm, or let the ends stand further"
    )


# --- disagreements, each with its whole message ---------------------------------------------------------

DISAGREEMENTS = [
    (
        ("joint.lap=3",),
        'joint.lap: 3 mm asks for a lap in a through joint; leave it out, or take joint.kind = "half-blind"',
    ),
    (
        ("joint.kind=half-blind", "tail_board.proud=0.5"),
        "tail_board.proud: 0.5 mm cannot stand proud in a half-blind joint; "
        'leave it out, or take joint.kind = "through"',
    ),
    (
        ("joint.kind=half-blind", "joint.lap=12"),
        "joint.lap: 12 mm leaves no depth in a pin board of 12 mm; "
        "accepted is up to 11.95 mm; a quarter of the thickness is usual",
    ),
    (
        ("joint.grading=0.2",),
        'joint.grading: 0.2 has no effect here; leave it out, or take joint.spacing = "graduated"',
    ),
    (
        ("joint.spacing=[14, 25, 18]", "joint.grading=0.2"),
        'joint.grading: 0.2 has no effect here; leave it out, or take joint.spacing = "graduated"',
    ),
    (
        ("joint.spacing=[14, 25, 18]", "joint.tails=4"),
        "joint.tails: 4 tails do not agree with a list of 3; leave it out: the list says how many",
    ),
    (
        ("joint.spacing=graduated", "joint.tails=5", "joint.grading=-0.5"),
        "joint.grading: -0.5 leaves no width for the tail in the middle; accepted is -0.49 or more with 5 tails",
    ),
    (
        ("finish.chamfer=0.2",),
        'finish.chamfer: 0.2 mm needs ends that stand proud; leave it out, or take finish.ends = "proud"',
    ),
    (
        ("joint.kind=half-blind", "finish.ends=proud"),
        'finish.ends: "proud" is for through joints; the lap encloses the tails here; take "flush"',
    ),
    (
        ("finish.ends=proud", "finish.planing=0.3"),
        'finish.planing: 0.3 mm cannot be planed across ends that are left standing; take 0, or finish.ends = "flush"',
    ),
    (("finish.planing=5.01",), "finish.planing: 5.01 mm takes more than half of a board; accepted is 0 to 5 mm"),
    (
        ("joint.kind=half-blind", "joint.lap=4", "finish.planing=2.01"),
        "finish.planing: 2.01 mm takes more than half of the lap; accepted is 0 to 2 mm",
    ),
    (
        ("joint.kind=half-blind", "joint.lap=8", "tail_board.thickness=6", "finish.planing=3.01"),
        "finish.planing: 3.01 mm takes more than half of a board; accepted is 0 to 3 mm",
    ),
]


@pytest.mark.parametrize(("overrides", "message"), DISAGREEMENTS)
def test_keys_that_disagree_are_refused_with_the_whole_message(overrides: tuple[str, ...], message: str) -> None:
    assert str(only_problem(*overrides)) == message


ACCEPTED = [
    ("joint.kind=half-blind", "joint.lap=11.95"),
    ("joint.kind=half-blind", "tail_board.proud=0"),
    ("joint.spacing=[14, 25, 18]", "joint.tails=3"),
    ("joint.spacing=graduated", "joint.tails=4", "joint.grading=-0.5"),
    ("joint.spacing=graduated", "joint.tails=5", "joint.grading=-0.4"),
    ("finish.chamfer=0",),
    ("finish.ends=proud", "finish.planing=0"),
    ("finish.planing=5",),
    ("joint.kind=half-blind", "joint.lap=4", "finish.planing=2"),
]


@pytest.mark.parametrize("overrides", ACCEPTED)
def test_what_a_remedy_asks_for_is_accepted(overrides: tuple[str, ...]) -> None:
    assert problems(*overrides) == ()


def test_all_disagreements_come_at_once() -> None:
    wrong = ("joint.lap=3", "joint.grading=0.2", "finish.chamfer=0.2", "finish.planing=6")
    assert keys_of(problems(*wrong)) == ["joint.lap", "joint.grading", "finish.chamfer", "finish.planing"]


def test_messages_speak_in_the_recipes_units() -> None:
    assert only_problem("joint.lap=1/8", text=INCHES).wrong == "0.125 in asks for a lap in a through joint"


@pytest.mark.parametrize(
    ("overrides", "land"),
    [((), 2.0), (("tail_board.thickness=6",), 1.5), (("joint.kind=half-blind", "joint.lap=8"), 1.0)],
)
def test_the_land_of_an_undercut_is_two_millimetres_or_a_quarter_of_the_shortest_floor(
    overrides: tuple[str, ...], land: float
) -> None:
    """Floors of 10 and 12 mm; of 6 mm; and, 12 mm less a lap of 8, of 4 mm."""
    assert recipe("undercut.depth=0.2", *overrides).undercut.land == pytest.approx(land)


@pytest.mark.parametrize(("proud", "back"), [(0.5, 2.5), (0, 3.0), (1.2, 2.0), (4, 0.5)])
def test_an_entry_chamfer_stops_about_three_millimetres_short_of_the_raw_end(proud: float, back: float) -> None:
    """Common practice; rounded up to half a millimetre, and never less than that."""
    assert recipe("entry_chamfer.width=0.5", f"tail_board.proud={proud}").entry_chamfer.back == pytest.approx(back)


@pytest.mark.parametrize(
    ("key", "needs"), [("entry_chamfer.back", "entry_chamfer.width"), ("undercut.land", "undercut.depth")]
)
def test_half_a_feature_is_told_to_have_no_effect(key: str, needs: str) -> None:
    assert str(only_problem(f"{key}=1")) == f"{key}: 1 mm has no effect by itself; give {needs} too, or leave it out"
    assert problems(f"{key}=1", f"{needs}=0") == ()


# --- air, paper and tools ----------------------------------------------------------------------------


def test_the_air_is_that_of_a_shop_now_and_then_heated_and_of_a_room_in_winter_and_in_summer() -> None:
    """Common practice; what was given is kept, and only the rest is chosen."""
    assert choice("climate.shop")[1] == "a shop that is heated now and then"
    assert choice("climate.home.dry")[1] == "a heated room in winter"
    assert choice("climate.home.damp")[1] == "a room in a damp summer"
    assert {c.source for c in recipe().choices if c.key.startswith("climate")} == {"common practice"}
    made = recipe("climate.shop=18 C, 60 %")
    assert (made.shop, made.home) == (Climate(18.0, 60.0), USUAL_HOME)
    assert [c.key for c in made.choices if c.key.startswith("climate")] == ["climate.home.dry", "climate.home.damp"]


def test_wood_dries_and_swells_again_where_nothing_was_named() -> None:
    """The usual recipe lies between its seasons: wood made at 10.1 % goes down to 7.0 and up to 11.9 %."""
    plain = recipe()
    assert plain.home.dry.moisture < plain.shop.moisture < plain.home.damp.moisture


def seasons(*overrides: str) -> tuple[str, str, list[str]]:
    """The home's driest and dampest air, and which of both was chosen."""
    made = recipe("climate.shop=20 C, 50 %", *overrides)
    chosen = [c.key.rpartition(".")[2] for c in made.choices if c.key.startswith("climate.home")]
    return made.home.dry.words("mm"), made.home.damp.words("mm"), chosen


@pytest.mark.parametrize(
    ("home", "dry", "damp", "chosen"),
    [
        # One air: drier than the shop's, damper, and like it, which is no season.
        ("21 C, 30 %", "21 C, 30 %", "22 C, 65 %", ["damp"]),
        ("22 C, 70 %", "21 C, 35 %", "22 C, 70 %", ["dry"]),
        ("20 C, 50 %", "21 C, 35 %", "22 C, 65 %", ["dry", "damp"]),
        ("21 C, 52 %", "21 C, 35 %", "22 C, 65 %", ["dry", "damp"]),
        # A table, whole and in part; a season left out is the usual one, unless the other lies beyond it.
        ('{dry="20 C, 40 %", damp="20 C, 60 %"}', "20 C, 40 %", "20 C, 60 %", []),
        ('{dry="20 C, 40 %"}', "20 C, 40 %", "22 C, 65 %", ["damp"]),
        ('{damp="20 C, 60 %"}', "21 C, 35 %", "20 C, 60 %", ["dry"]),
        ('{dry="25 C, 80 %"}', "25 C, 80 %", "25 C, 80 %", ["damp"]),
        ('{damp="20 C, 20 %"}', "20 C, 20 %", "20 C, 20 %", ["dry"]),
        ("{}", "21 C, 35 %", "22 C, 65 %", ["dry", "damp"]),
    ],
)
def test_one_air_tells_a_season_and_the_other_follows(home: str, dry: str, damp: str, chosen: list[str]) -> None:
    assert seasons(f"climate.home={home}") == (dry, damp, chosen)


def test_an_air_like_the_shops_is_told_to_be_no_season_and_widens_the_year() -> None:
    """At 20 C wood comes to 9.3 % in 50 % of humidity and to 9.6 % in 52 %; both within 1 % of moisture."""
    both = ("climate.shop=20 C, 50 %", "climate.home=20 C, 52 %")
    assert choice("climate.home.dry", *both)[1] == (
        "a heated room in winter; the one air you give is like the shop's and names no season"
    )
    damp = recipe("climate.shop=25 C, 80 %", "climate.home=25 C, 81 %").home
    assert (damp.dry.words("mm"), damp.damp.words("mm")) == ("21 C, 35 %", "25 C, 81 %")


def test_a_season_may_be_set_alone() -> None:
    assert seasons("climate.home.damp=23 C, 75 %") == ("21 C, 35 %", "23 C, 75 %", ["dry"])


@pytest.mark.parametrize(
    ("home", "wrong"),
    [
        (
            '{dry="22 C, 65 %", damp="21 C, 35 %"}',
            "climate.home: dry is damper than damp: wood comes to 11.9 % moisture in one and to 6.9 % in the other; "
            "swap them",
        ),
        (
            '{dry="21 C, 35 %", wet="22 C, 65 %"}',
            "climate.home: 'wet' is not a season; accepted are dry and damp; give one air, as in \"21 C, 35 %\", or "
            '{ dry = "21 C, 35 %", damp = "22 C, 65 %" }',
        ),
        (
            '{dry="21 C, 3 %"}',
            "climate.home: a humidity of 3 % is outside the published table of wood moisture; accepted is 5 to 95 %",
        ),
    ],
)
def test_seasons_that_cannot_be_are_refused(home: str, wrong: str) -> None:
    assert str(only_problem(f"climate.home={home}")) == wrong


def test_an_inch_recipe_is_told_the_air_in_fahrenheit_but_has_the_same() -> None:
    """20 C are 20 x 1.8 + 32 = 68 F, 21 C 69.8 F and 22 C 71.6 F."""
    assert choice("climate.shop", text=INCHES)[0] == "68 F, 55 %"
    assert choice("climate.home.dry", text=INCHES)[0] == "69.8 F, 35 %"
    assert choice("climate.home.damp", text=INCHES)[0] == "71.6 F, 65 %"
    assert (recipe(text=INCHES).shop, recipe(text=INCHES).home) == (recipe().shop, recipe().home)


@pytest.mark.parametrize(
    ("overrides", "assumed"),
    [
        ((), True),
        (("climate.shop=20 C, 55 %",), False),
        (("climate.home=21 C, 35 %",), False),
        (("climate.shop=20 C, 55 %", "climate.home=21 C, 35 %"), False),
        (("paper.size=A4", "kit.cutters=[3]"), True),
    ],
)
def test_air_is_assumed_where_neither_room_was_named(overrides: tuple[str, ...], assumed: bool) -> None:
    assert recipe(*overrides).air_is_assumed is assumed


def test_paper_is_letter_where_lengths_are_in_inches_and_a4_elsewhere() -> None:
    assert choice("paper.size") == ("A4", "the usual sheet where lengths are in millimetres")
    assert choice("paper.size", text=INCHES) == ("Letter", "the usual sheet where lengths are in inches")
    assert recipe(text=INCHES).paper.size == "Letter"
    assert recipe("units=in", text=INCHES.partition("\n")[2]).paper.size == "Letter"


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("text", [MINIMAL, INCHES], ids=["mm", "in"])
def test_a_sheet_that_was_named_is_taken_in_either_unit(size: str, text: str) -> None:
    made = recipe(f"paper.size={size}", text=text)
    assert made.paper.size == size
    assert "paper.size" not in [c.key for c in made.choices]


@pytest.mark.parametrize("size", ["a4", "Letter ", "A5", "legal", 4])
def test_another_sheet_is_refused_with_the_three(size: object) -> None:
    problem = only_problem(f"paper.size={size}" if isinstance(size, int) else f'paper.size="{size}"')
    assert problem.wrong == f"{size!r} is not known here"
    assert problem.remedy == 'accepted is "A4" or "Letter" or "A3"'


def test_corners_are_not_relieved_unless_asked_and_nothing_is_said_of_it() -> None:
    assert "paper.corner_relief" not in [c.key for c in recipe().choices]
    assert recipe("paper.corner_relief=true").paper.corner_relief is True
    assert recipe("paper.corner_relief=false").paper.corner_relief is False


def test_cutters_are_kept_in_millimetres_in_the_order_given() -> None:
    assert recipe("kit.cutters=[6, 3]").kit.cutters == (6.0, 3.0)
    assert recipe('kit.cutters=["1/4", "3 mm"]', text=INCHES).kit.cutters == pytest.approx((6.35, 3.0))
