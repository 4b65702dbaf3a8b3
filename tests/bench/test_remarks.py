"""What an accepted layout is worth a word about: each limit from both sides, and a remedy that silences the remark."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings

from solids.base import tolerances as tol
from solids.base.findings import Finding
from solids.base.lengths import CALIPER, format_both
from solids.base.sources import SOURCES
from solids.bench.facts import facts
from solids.bench.remarks import remarks
from solids.bench.strength import screening
from solids.recipe import preset_names, preset_text
from tests.recipes import HALF_BLIND, MINIMAL, STANDING, WHOLE, laid_out, recipe_texts, try_lay_out

THIN = ("joint.allow_thin_half_pin=true",)


def codes(*overrides: str) -> list[str]:
    return [remark.code for remark in remarks(laid_out(*overrides, text=WHOLE))]


def only(*overrides: str) -> Finding:
    (remark,) = remarks(laid_out(*overrides, text=WHOLE))
    return remark


@pytest.mark.parametrize("name", preset_names())
def test_presets_are_worth_no_remark(name: str) -> None:
    """But for the seasons, where a preset names its air: the tea box's walnut, 9.5 mm thick, moves 9.5 x 0.0019 x 3 % =
    0.05 mm through its thickness either way, which a finger finds."""
    told = ["step"] if "[climate]" in preset_text(name) else []
    assert [remark.code for remark in remarks(laid_out(text=preset_text(name)))] == told


BOTH_SIDES = [
    # code, what both share, nothing to say, a remark
    ("slope", (), "joint.slope=1:5", "joint.slope=1:4.99"),
    ("slope", (), "joint.slope=1:8", "joint.slope=1:8.01"),
    ("half-pin", THIN, "joint.half_pin=5", "joint.half_pin=4.99"),
    ("half-pin", (*THIN, "joint.pin=5.5"), "joint.half_pin=5.51", "joint.half_pin=5.5"),
    ("half-pin", (*THIN, "joint.pin=5.5", "joint.tails=2"), "joint.half_pin=5.51", "joint.half_pin=5.5"),
    ("lap", HALF_BLIND, "joint.lap=3/32 in", "joint.lap=2.38"),
    ("loose", (), "fit.flank_gap=0.15", "fit.flank_gap=0.151"),
    # More than half of a land of 2 mm.
    ("planing", ("undercut.depth=0.3", "undercut.land=2"), "finish.planing=1", "finish.planing=1.01"),
    # Between tails 3 + 2 x (12 - 3)/7 = 5.571 mm, half-blind 3 + 2 x (9 - 3)/7 = 4.714 mm.
    ("chisel", (), "kit.chisels=[5.57, 20]", "kit.chisels=[5.58, 20]"),
    ("chisel", HALF_BLIND, "kit.chisels=[4.71]", "kit.chisels=[4.72]"),
    # The gap at the raw end, 3 - 2 x 0.5/7 = 2.857 mm.
    ("knife", (), "kit.knife=2.85", "kit.knife=2.86"),
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
    assert steep.said == (
        "A slope of 1:4 is steeper than the usual 1:5 to 1:8: the short grain at the corners of the tails may break."
    )
    assert flat.said == "A slope of 1:9 is flatter than the usual 1:5 to 1:8: it holds little."
    assert (steep.measured, steep.limit, flat.measured, flat.limit) == (4, 5, 9, 8)
    assert steep.advice == flat.advice == "Take joint.slope from 1:5 to 1:8."


def test_a_thin_half_pin_that_was_insisted_on_is_named_with_its_measure() -> None:
    remark = only(*THIN, "joint.half_pin=4")
    assert remark.said.startswith("The half pins of 4 mm (0.157 in) are thinner than the rule, as you asked")
    assert (remark.measured, remark.limit, remark.unit) == (4, 5, "mm")


def test_a_half_pin_no_wider_than_the_pins_has_the_pins_as_its_limit() -> None:
    """5.5 mm is over the 5 mm that hold; what it is measured against are the inner pins of 6 mm."""
    remark = only(*THIN, "joint.pin=6", "joint.half_pin=5.5")
    assert (remark.measured, remark.limit) == (5.5, 6)


def test_a_thin_lap_is_named_with_three_thirty_seconds_of_an_inch() -> None:
    """3/32 in: common practice."""
    remark = only(*HALF_BLIND, "joint.lap=2")
    assert remark.said == "A lap of 2 mm (0.079 in) is thin and may break out."
    assert (remark.measured, remark.limit, remark.unit) == (2, pytest.approx(3 / 32 * 25.4), "mm")


def test_a_loose_flank_is_named_with_what_glue_likes() -> None:
    """0.006 in = 0.1524 mm: common practice."""
    remark = only("fit.flank_gap=0.2")
    assert remark.said == "A flank gap of 0.2 mm (0.008 in) shows as a line and is wider than glue likes."
    assert (remark.measured, remark.limit, remark.unit) == (0.2, 0.15, "mm")
    assert remark.limit == pytest.approx(0.006 * 25.4, abs=0.005)


def test_the_widest_tail_is_named_by_its_number() -> None:
    """W. Noyes, Handwork in Wood, 1910: no more than 1 3/4 in."""
    remark = only("joint.width=114", "joint.spacing=[20, 50, 20]", "joint.tails=3", "joint.half_pin=9")
    assert (remark.place, remark.measured, remark.unit) == ("tail 2", 50, "mm")
    assert remark.limit == pytest.approx(1.75 * 25.4)
    assert remark.said == "Tail 2 is 50 mm (1.969 in) wide. Over 44.45 mm, it holds less."


def test_remarks_speak_in_the_recipes_units() -> None:
    text = 'units = "in"\n[joint]\nwidth = 4\n[tail_board]\nthickness = "1/2"\n[pin_board]\nthickness = "1/2"\n'
    (remark,) = remarks(laid_out("fit.flank_gap=1/64", text=text))
    assert "1/64 in (0.4 mm)" in remark.said


def test_several_remarks_come_together() -> None:
    assert codes(*THIN, *HALF_BLIND, "joint.slope=1:4", "joint.half_pin=4", "joint.lap=2", "fit.flank_gap=0.2") == [
        "slope",
        "half-pin",
        "lap",
        "loose",
    ]


# --- chisels --------------------------------------------------------------------------------------------


def test_sockets_without_a_chisel_are_named_with_the_widest_that_would_fit() -> None:
    """5.571 mm between tails; 17.04 mm half-way and 15.32 mm at the inside face of a socket."""
    remark = only("kit.chisels=[30, 16]")
    assert remark.measured == pytest.approx(3 + 18 / 7)
    assert (remark.limit, remark.unit) == (16, "mm")
    assert remark.advice == "One of 5.57 mm or less would fit; or widen joint.pin."


@pytest.mark.parametrize(
    ("kit", "more"), [("[10]", ""), ("[16]", ", nor 1 more of the cuts"), ("[18]", ", nor 2 more of the cuts")]
)
def test_of_cuts_without_a_chisel_the_narrowest_is_named_and_the_others_are_counted(kit: str, more: str) -> None:
    """5.571 mm between tails, 15.32 and 17.04 mm in the sockets; at the edges any blade goes."""
    sentence = only(f"kit.chisels={kit}").said
    assert sentence == f"None of your chisels fits tail board, between tails, from both faces{more}."


def test_the_chisel_that_the_remedy_names_fits() -> None:
    """Told in hundredths, rounded down: a hundredth more does not fit."""
    for kind in ((), HALF_BLIND, ("joint.slope=1:5.5",), ("joint.slope=1:6.5", "joint.pin=3.33")):
        remedy = only(*kind, "kit.chisels=[30]").advice
        width = re.match(r"One of (\d+(?:\.\d\d?)?) mm or less would fit; or ", remedy)
        assert width
        assert codes(*kind, f"kit.chisels=[{width[1]}]") == []
        assert codes(*kind, f"kit.chisels=[{float(width[1]) + 0.01:.2f}]") == ["chisel"]


def test_an_inch_chisel_that_the_remedy_names_fits() -> None:
    """1/8 in + 2 x (3/8 in - 3 mm)/7 between the tails of the tea box: 5.039 mm or 0.1984 in, 12.7/64."""
    text = preset_text("tea-box")
    (remark,) = (found for found in remarks(laid_out("kit.chisels=['3/4']", text=text)) if found.code == "chisel")
    assert remark.measured == pytest.approx(25.4 / 8 + 2 * (9.525 - 3) / 7)
    width = re.match(r"One of (\d+/\d+ in) or less would fit; or ", remark.advice)
    assert "chisel" not in [found.code for found in remarks(laid_out(f"kit.chisels=['{width[1]}']", text=text))]
    assert width[1] == "3/16 in"


SIX = (
    "joint.width=80",
    "joint.pin=2",
    "joint.half_pin=9",
    "joint.tails=3",
    "joint.slope=1:6",
    "pin_board.thickness=15",
)
"""Between tails 2 + 2 x (15 - 3)/6 = 6 mm."""


def test_a_chisel_exactly_as_wide_as_the_gap_fits() -> None:
    assert codes(*SIX, "kit.chisels=[6]") == []
    assert codes(*SIX, "kit.chisels=[6.001]") == ["chisel"]


@pytest.mark.parametrize(("joint", "width"), [(SIX, "6"), (("joint.slope=1:8", "joint.pin=3.2"), "5.45")])
def test_a_remedy_tells_a_width_of_two_decimals_as_it_is(joint: tuple[str, ...], width: str) -> None:
    """2 + 2 x 12/6 and 3.2 + 2 x 9/8 mm: a chisel of just that width fits, so it is the widest that would."""
    assert codes(*joint, f"kit.chisels=[{width}]") == []
    assert only(*joint, "kit.chisels=[30]").advice.startswith(f"One of {width} mm or less would fit;")


def test_nothing_is_said_of_chisels_where_the_kit_names_none() -> None:
    assert codes() == []
    assert "chisel" not in codes("joint.pin=0.5")


NARROW_SOCKETS = ("joint.tails=3", "joint.spacing=[7, 14, 7]", "joint.pin=6", "joint.half_pin=28", "kit.chisels=[6]")
"""Sockets of 7 - 24/7 = 3.57 mm at the inside face, with 6 + 18/7 = 8.57 mm between the tails."""


def test_sockets_of_one_width_that_take_no_chisel_are_named_by_number() -> None:
    remark = only(*NARROW_SOCKETS)
    assert remark.said == (
        "None of your chisels fits pin board, sockets 1, 3, from the inside face, nor 1 more of the cuts."
    )
    assert remark.measured == pytest.approx(7 - 24 / 7)


def test_the_narrowest_cut_is_named_though_the_tail_board_stands_first() -> None:
    """8.57 mm between tails, 5.29 and 3.57 mm in sockets 1 and 3; socket 2 takes 10.57 mm."""
    remark = only(*NARROW_SOCKETS[:-1], "kit.chisels=[9]")
    assert remark.said == (
        "None of your chisels fits pin board, sockets 1, 3, from the inside face, nor 2 more of the cuts."
    )


def test_wider_pins_mend_the_tail_board_only_and_sockets_want_wider_tails() -> None:
    """Sockets are as wide as tails. Following either remedy silences the remark: 3.5 + 18/7 = 6.07 mm between tails,
    and sockets of 14 - 24/7 = 10.57 mm."""
    assert only("kit.chisels=[6]").advice == "One of 5.57 mm or less would fit; or widen joint.pin."
    assert codes("kit.chisels=[6]", "joint.pin=3.5") == []
    assert only(*NARROW_SOCKETS).advice == "One of 3.57 mm or less would fit; or take fewer, wider tails (joint.tails)."
    fewer = ("joint.tails=2", "joint.spacing=[14, 14]", "joint.half_pin=31")
    assert codes(*NARROW_SOCKETS, *fewer) == []


def test_nobody_is_told_to_take_fewer_tails_than_one() -> None:
    """One tail of 28 mm: 28 - 24/7 = 24.57 mm at the inside face."""
    assert "fewer" not in only("joint.tails=1", "joint.width=40", "kit.chisels=[30]").advice


# --- what the wood does -----------------------------------------------------------------------------------

YEAR = 'climate.home={dry="70 F, 30 %", damp="70 F, 65 %"}'
DRYING = ('climate.shop="70 F, 65 %"', YEAR)
"""12.0 to 6.2 % moisture and back: Wood Handbook, FPL-GTR-190 (2010), Table 4-2."""
SWELLING = ('climate.shop="70 F, 30 %"', YEAR)
BEECH = ("tail_board.wood=beech", "pin_board.wood=beech")
CROSSED = (*BEECH, "tail_board.sawn=flat", "pin_board.sawn=quarter", "tail_board.thickness=5", "pin_board.thickness=3")
"""Beech of both cuts: 0.00431 and 0.00190 for 1 % (Wood Handbook, FPL-GTR-190, Table 13-5)."""


def without_steps(*overrides: str) -> list[str]:
    """The codes of what is remarked but for steps, which most boards make."""
    return [code for code in codes(*overrides) if code != "step"]


def remark_of(code: str, *overrides: str) -> Finding:
    (found,) = (remark for remark in remarks(laid_out(*overrides, text=WHOLE)) if remark.code == code)
    return found


def own(radial: float, tangential: float) -> str:
    return f'{{name="own", kind="hardwood", density=600, radial={radial!r}, tangential={tangential!r}}}'


def moisture_step(*overrides: str) -> float:
    recipe = laid_out(*overrides, text=WHOLE).recipe
    steps = (recipe.home.dry.moisture - recipe.shop.moisture, recipe.home.damp.moisture - recipe.shop.moisture)
    return max(steps, key=abs)


def test_boards_that_move_apart_are_warned_of_with_the_figures() -> None:
    """96 mm x (0.00431 - 0.00190) x 5.8 % = 1.34 mm, over half of one part in a hundred of 96 mm, 0.48 mm."""
    remark = remark_of("mismatch", *CROSSED, *DRYING)
    assert remark.unit == "mm"
    assert remark.measured == pytest.approx(96 * 0.00241 * 5.8, rel=0.02)
    assert remark.limit == pytest.approx(0.48)
    assert remark.said == (
        f"When the home is driest the boards have moved apart by {format_both(remark.measured, 'mm', CALIPER)} across "
        "the width. That strains the joint and its glue: boards may cup or split."
    )
    assert without_steps(*CROSSED, *SWELLING) == ["mismatch"], "apart is apart, whichever shrinks"
    assert remark_of("mismatch", *CROSSED, *SWELLING).said.startswith("When the home is dampest ")


@pytest.mark.parametrize("air", [DRYING, SWELLING], ids=["drying", "swelling"])
def test_the_limit_of_the_mismatch_from_both_sides(air: tuple[str, ...]) -> None:
    """Half of one part in a hundred of the width, from memory: coefficients 0.005 apart over the step of moisture."""
    limit = 0.005 / abs(moisture_step(*air))
    for slack, said in ((-1e-7, []), (1e-7, ["mismatch"])):
        woods = (
            f"tail_board.wood={own(0.0001, 0.001 + limit + slack)}",
            f"pin_board.wood={own(0.001, 0.0001)}",
        )
        assert without_steps(*woods, *air, "tail_board.sawn=flat", "pin_board.sawn=quarter") == said


def test_sawing_both_boards_alike_silences_the_mismatch() -> None:
    assert without_steps(*CROSSED, *DRYING, "pin_board.sawn=flat") == []


def test_a_step_is_warned_of_with_what_stands_proud() -> None:
    """Maple 12 mm thick and quarter-sawn: 12 x 0.00353 x 5.8 = 0.246 mm. Cherry, 2 mm thick, 2 x 0.00126 x 5.8 =
    0.015 mm, is not felt: a finger needs 0.02 mm, common practice."""
    remark = only(*DRYING, "tail_board.thickness=2")
    assert (remark.code, remark.limit, remark.unit) == ("step", 0.02, "mm")
    assert remark.measured == pytest.approx(12 * 0.00353 * 5.8, rel=0.02)
    assert remark.said == (
        f"When the home is driest the ends of the tails stand {format_both(remark.measured, 'mm', CALIPER)} proud. "
        "That is for wood that is free to move; glue holds it back, so it is the most it can be. "
        "A finger feels 0.02 mm (0.001 in)."
    )


def test_wood_that_swells_leaves_its_ends_low() -> None:
    assert re.match(
        r"When the home is dampest the pins lie 0\.07 mm .* low and the ends of the tails lie 0\.2\d mm \(.*\) low\.",
        only(*SWELLING).said,
    )


def test_a_step_of_either_season_is_told() -> None:
    """Made at 9.2 %, half-way: the ends stand proud in winter and lie low in summer, by 10 x 0.00126 x 3 in cherry."""
    sentence = only('climate.shop="70 F, 50 %"', YEAR).said
    assert re.match(
        r"When the home is driest the pins stand 0\.04 mm .* proud and .* proud\. When the home is dampest the pins "
        r"lie 0\.0[34] mm .* low and .* low\.",
        sentence,
    )


def test_what_a_finger_feels_is_less_than_the_eye_sees_and_more_than_on_a_smooth_plate() -> None:
    """R. Johansson and R. LaMotte (Somatosensory Research 1, 1983): an edge of 0.85 micrometre is felt on a smooth
    plate. A gap at a flank shows from 0.1 mm on (common practice)."""
    assert 0.00085 < tol.STEP_FELT <= 0.03 < tol.GAP_SHOWS


def test_both_steps_are_told_together() -> None:
    """Beech 10 and 12 mm thick, quarter-sawn: 0.00431 x 5.8 of each."""
    sentence = only(*BEECH, "tail_board.sawn=quarter", "pin_board.sawn=quarter", *DRYING).said
    assert re.match(
        r"When the home is driest the pins stand 0\.25 mm .* and the ends of the tails stand 0\.3 mm .* proud\.",
        sentence,
    )


@pytest.mark.parametrize(("board", "thickness"), [("tail", 10), ("pin", 12)])
def test_the_limit_of_the_step_from_both_sides(board: str, thickness: float) -> None:
    """0.02 mm (common practice), through the thickness of flat-sawn boards, along the rays."""
    limit = 0.02 / abs(moisture_step(*DRYING)) / thickness
    still = own(0.0001, 0.0001)  # 12 x 0.0001 x 5.8 = 0.007 mm
    other = {"tail": "pin", "pin": "tail"}[board]
    for slack, said in ((-1e-7, []), (1e-7, ["step"])):
        moving = own(limit + slack, 0.0001)
        woods = (f"{board}_board.wood={moving}", f"{other}_board.wood={still}", "pin_board.sawn=flat")
        assert codes(*woods, *DRYING) == said


def test_a_lap_leaves_no_step_at_the_ends_of_the_tails() -> None:
    thin = (*DRYING, "tail_board.thickness=2")
    assert codes(*thin) == ["step"]
    assert codes(*thin, *HALF_BLIND) == []


@pytest.mark.parametrize(
    ("air", "said"),
    [((), []), (DRYING, ["mismatch", "step"]), (DRYING[:1], ["mismatch", "step"]), (DRYING[1:], ["mismatch", "step"])],
    ids=["assumed", "both", "shop only", "home only"],
)
def test_nobody_is_warned_of_air_that_was_only_assumed(air: tuple[str, ...], said: list[str]) -> None:
    """Beech 20 mm thick, of both cuts; the assumed air goes from 10.1 to 6.9 %, a step of 3 % that would be felt."""
    thick = ("tail_board.thickness=20", "pin_board.thickness=20", "joint.slope=1:8")
    assert codes(*CROSSED, *thick, *air) == said


def test_ends_of_unknown_wood_are_not_judged() -> None:
    unknown = '{name="pear", kind="hardwood", density=690}'
    assert codes(*DRYING, "tail_board.thickness=2", f"pin_board.wood={unknown}") == []


def test_ends_that_stand_proud_on_purpose_make_no_step() -> None:
    thick = ("tail_board.thickness=20", "pin_board.thickness=20", *BEECH)
    for air in (DRYING, SWELLING):
        assert codes(*STANDING, *air) == []
        assert "step" in codes(*thick, *air)
        assert "step" not in codes(*thick, *STANDING, *air)


def fact(code: str, *overrides: str, text: str = WHOLE) -> Finding:
    return next(finding for finding in facts(laid_out(*overrides, text=text)) if finding.code == code)


def test_the_note_on_movement_tells_rooms_moisture_and_both_boards() -> None:
    """12.0 to 6.2 % (Wood Handbook, FPL-GTR-190, Table 4-2); cherry 96 x 0.00248 x 5.8 = 1.38 mm and
    10 x 0.00126 x 5.8 = 0.07 mm, maple 96 x 0.00165 x 5.8 = 0.92 mm and 12 x 0.00353 x 5.8 = 0.25 mm (Table 13-5);
    moisture in the table is rounded to 0.1, so cherry may be 0.02 off. Ends stand by what the other board's thickness
    loses: the pins by the tail board's."""
    year = 'climate.home={dry="21 C, 30 %", damp="20 C, 65 %"}'
    sentence = fact("movement", 'climate.shop="20 C, 65 %"', year).said
    size = r"([\d.]+) mm \(0\.\d+ in\)"
    told = re.fullmatch(
        r"Made at 20 C, 65 % \(12\.0 % moisture\)\. When the home is driest, 21 C, 30 % \(6\.2 % moisture\), "
        rf"the tail board shrinks {size} in width and {size} in thickness; "
        rf"the pin board shrinks {size} in width and {size} in thickness; "
        rf"the pins stand {size} proud and the ends of the tails stand {size} proud\. "
        r"When the home is dampest, 20 C, 65 % \(12\.0 % moisture\), nothing to speak of moves\. "
        r"That is for wood that is free to move; glue holds it back, so it is the most it can be\.",
        sentence,
    )
    assert told
    assert [float(figure) for figure in told.groups()] == pytest.approx([1.38, 0.07, 0.92, 0.25, 0.07, 0.25], abs=0.02)
    assert told[5] == told[2]
    assert told[6] == told[4]


def test_the_note_on_movement_tells_growth_as_growth() -> None:
    sentence = fact("movement", *SWELLING).said
    assert "shrink" not in sentence
    assert "proud" not in sentence
    assert re.search(r"the tail board grows .* in width and .* in thickness; the pin board grows .* in width", sentence)
    ends = re.search(r"; the pins lie ([\d.]+) mm \(.*\) low and the ends of the tails lie ([\d.]+) mm ", sentence)
    assert [float(figure) for figure in ends.groups()] == pytest.approx([0.07, 0.25], abs=0.01)


def test_the_note_on_movement_of_an_inch_recipe_tells_fahrenheit_and_inches_first() -> None:
    sentence = fact("movement", *DRYING, text=preset_text("tea-box")).said
    assert sentence.startswith("Made at 70 F, 65 % (12.0 % moisture). When the home is driest, 70 F, 30 % ")
    assert not re.search(r"[^(.\d][\d.]+ mm(?!\))", sentence), "millimetres stand in brackets only"


def test_the_note_on_strength_names_the_weakest_part_with_glue_and_without() -> None:
    """Glue area 960 sqrt(50)/7 mm2 on maple pins, 2330 psi = 16.06 MPa along the grain and 0.18 to 1/3 of that across
    it: 2.8 to 5.2 kN; flanks crush cherry at 690 psi = 4.757 MPa: 960 x 4.757 x (1/7 + 0.4) = 2.48 kN (Wood Handbook,
    FPL-GTR-282, Table 5-3b). For racking see the rows of a comparison."""
    found = fact("strength")
    assert found.said == (
        "To compare layouts only, not to design with. Pulled apart, it gives first at the glue lines, with about 2.8 "
        "to 5.2 kN, when glued; without glue, or once that has let go, at the flanks, which crush, with about 2.5 kN. "
        "Racked out of square, which is how boxes fail, it gives first at the glue lines, with about 5.4 to 9.9 N m, "
        "when glued."
    )
    assert found.measured == pytest.approx(960 * 50**0.5 / 7 * 0.18 * 2330 * 0.00689476, rel=1e-3)
    assert (found.severity, found.unit, found.advice) == ("note", "N", "")


def test_a_wood_of_unknown_strength_has_no_note_on_strength() -> None:
    unknown = 'tail_board.wood={name="pear", kind="hardwood", density=690}'
    assert "strength" not in [finding.code for finding in facts(laid_out(unknown, text=WHOLE))]


def test_the_note_on_the_chamfer_agrees_with_the_note_on_strength() -> None:
    chamfer = ("entry_chamfer.width=1", "entry_chamfer.back=2")
    found = fact("entry-chamfer", *chamfer)
    plain, cut = (screening(laid_out(*overrides, text=WHOLE)) for overrides in ((), chamfer))
    assert f"takes {found.measured:.1f} % of each flank's contact and glue." in found.said
    assert found.measured == pytest.approx(100 * (1 - cut.glue_area / plain.glue_area))
    assert fact("strength", *chamfer).measured == pytest.approx(
        fact("strength").measured * (1 - found.measured / 100)
    ), "the glue lines give first"
    assert found.said.endswith("It does not change how the joint locks.")
    crushed = {"flanks, which crush": 1 - found.measured / 100}
    assert {part.name: part.least for part in cut.dry} == pytest.approx(
        {part.name: part.least * crushed.get(part.name, 1) for part in plain.dry}
    )
    assert "flanks, which crush" in {part.name for part in cut.dry}


@pytest.mark.parametrize("overrides", [("joint.slope=1:4",), (*HALF_BLIND, "joint.lap=1"), ("fit.flank_gap=0.2",)])
def test_following_a_remedy_silences_the_remark(overrides: tuple[str, ...]) -> None:
    remedy = only(*overrides).advice
    found = re.search(r"Take (\S+) (?:of (.*?) or |from (\S+) to)", remedy)
    assert found
    assert codes(*overrides, f"{found[1]}={found[2] or found[3]}") == []


def test_one_wide_graduated_tail_is_told_to_be_more() -> None:
    """61.3 less two half pins of 5 is 51.3, over 44.45. How more of them would grow, one tail does not show."""
    found = remarks(laid_out("joint.width=61.3", "joint.tails=1", "joint.spacing=graduated", text=MINIMAL))
    assert {each.code: each.advice for each in found}["wide-tail"] == "Take more tails (joint.tails)."


def test_where_no_more_graduated_tails_hold_the_widest_is_to_grow_by_less() -> None:
    thick = ("tail_board.thickness=21.95", "pin_board.thickness=21.95")
    steep = ("joint.width=249.2", "joint.pin=1", "joint.slope=1:4", "joint.tails=8", "joint.grading=1")
    sizes = (*thick, *steep, "joint.spacing=graduated")
    found = {each.code: each.advice for each in remarks(laid_out(*sizes, text=MINIMAL))}
    assert found["wide-tail"] == "No more tails would hold here: let them grow by less (joint.grading)."
    narrower = remarks(laid_out(*sizes, "joint.grading=0.5", text=MINIMAL))
    assert "wide-tail" not in [each.code for each in narrower]


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_remarks_are_warnings_or_what_no_hand_can_cut_each_once_with_measure_limit_and_remedy(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    made = remarks(layout)
    assert len({remark.code for remark in made}) == len(made)
    for remark in made:
        assert remark.severity == "warning" or (remark.severity == "fail" and remark.code.startswith("thin-"))
        assert remark.measured is not None
        assert remark.limit is not None
        assert remark.advice.endswith(".")
        assert remark.said.endswith(".")


def test_every_limit_that_is_told_says_where_it_comes_from() -> None:
    """Joints that are warned of in many ways; each warning carries its mark, and what a maker reads ends with it."""
    found = [
        *remarks(laid_out("joint.slope=1:4", "joint.half_pin=4", "joint.allow_thin_half_pin=true", text=WHOLE)),
        *remarks(laid_out("fit.flank_gap=0.2", "joint.tails=1", text=WHOLE)),
        *remarks(laid_out("kit.chisels=[30]", text=WHOLE)),
    ]
    assert {"slope", "half-pin", "loose", "wide-tail", "chisel"} <= {finding.code for finding in found}
    for finding in found:
        assert finding.source in SOURCES
        assert finding.words.endswith(f"({finding.source})")
    assert next(finding for finding in found if finding.code == "chisel").source == "your own sizes"


def test_tails_that_would_vanish_are_no_way_out() -> None:
    """At -0.25 ten tails more would have shares that sum to nothing; they are not tried."""
    sizes = "joint.width=1479", "tail_board.thickness=87", "pin_board.thickness=4.8"
    graded = "joint.spacing=graduated", "joint.grading=-0.25", "joint.half_pin=8.7"
    assert "wide-tail" in [finding.code for finding in remarks(laid_out(*sizes, *graded, text=MINIMAL))]
