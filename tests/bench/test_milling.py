"""What a router needs to know: what a round cutter leaves in a corner, which cutters pass, feeds as published."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from solids.base.parsing import parse_length
from solids.bench.milling import (
    ALLOWANCE,
    CUTTERS,
    FLUTES,
    SPINDLE_RPM,
    CornerRemainder,
    CutterFit,
    corner_remainder,
    cuts,
    groove_cutter,
    pin_board_cut,
    relief_bite,
    tail_board_cut,
    why_none,
)
from tests.corners import layout_of
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

INCH = 25.4
REST = CornerRemainder(0, 0)
LOADS = (0.02, 0.06)


# --- corners -----------------------------------------------------------------------------------------


def corner(angle: float, size: float) -> Polygon:
    """An inside corner at the origin, one side along X."""
    return Polygon([(0, 0), (size, 0), (size * math.cos(angle), size * math.sin(angle))])


@settings(max_examples=50, deadline=None)
@given(st.floats(0.5, 13), st.floats(math.radians(40), math.radians(140)))
def test_what_a_cutter_leaves_is_what_rolling_a_disc_leaves(diameter: float, angle: float) -> None:
    """Shapely rolls the disc: the corner moved in by r and out again loses what the disc cannot reach."""
    r, rest = diameter / 2, corner_remainder(diameter, angle)
    area = corner(angle, 40 * diameter)
    reached = area.buffer(-r, quad_segs=400, join_style="mitre", mitre_limit=100).buffer(r, quad_segs=400)
    left = area.difference(reached).intersection(Point(0, 0).buffer(1.01 * rest.along))
    assert rest.area == pytest.approx(left.area, rel=2e-3)


@given(st.floats(0.5, 13), st.floats(math.radians(40), math.radians(140)))
def test_a_cutter_touches_both_sides_where_its_centre_is_one_radius_off(diameter: float, angle: float) -> None:
    r, along = diameter / 2, corner_remainder(diameter, angle).along
    centre = np.array([along, r])
    other = np.array([math.cos(angle), math.sin(angle)])
    assert float(centre @ other) == pytest.approx(along, rel=1e-9), "as far along the other side"
    assert abs(other[0] * centre[1] - other[1] * centre[0]) == pytest.approx(r, rel=1e-9), "and r away from it"


def test_a_square_corner_keeps_the_square_less_the_quarter_disc() -> None:
    """r and r^2 (1 - pi/4): the plain case of the formula."""
    rest = corner_remainder(8, math.pi / 2)
    assert rest.along == pytest.approx(4)
    assert rest.area == pytest.approx(16 * (1 - math.pi / 4))


def test_a_sharper_corner_and_a_thicker_cutter_leave_more() -> None:
    assert corner_remainder(6, math.radians(80)).area > corner_remainder(6, math.radians(90)).area
    assert corner_remainder(8, math.radians(80)).area == pytest.approx(
        16 / 9 * corner_remainder(6, math.radians(80)).area
    )


def test_cutters_are_sold_in_half_millimetres_and_in_sixteenths_of_an_inch() -> None:
    """Common practice; the name of each is its size."""
    for size, diameter in CUTTERS.items():
        assert parse_length(size) == pytest.approx(diameter, abs=1e-12)
        steps = diameter / INCH * 32 if size.endswith(" in") else diameter * 2
        assert steps == pytest.approx(round(steps))


# --- the two cuts --------------------------------------------------------------------------------------


@pytest.mark.parametrize("tails", [1, 2, 5])
def test_n_tails_leave_2n_acute_corners_at_the_baseline(tails: int) -> None:
    layout = laid_out(f"joint.tails={tails}", f"joint.width={40 * tails}", text=WHOLE)
    assert tail_board_cut(layout).acute_corners == 2 * tails
    assert pin_board_cut(layout).acute_corners == 0, "a through socket is open at both ends"


def test_a_half_blind_pin_board_has_2n_acute_corners_at_the_lap() -> None:
    assert pin_board_cut(laid_out(*HALF_BLIND, text=WHOLE)).acute_corners == 8


def test_acute_corners_are_counted_on_the_polygons_that_are_milled_away() -> None:
    """Corners under 90 degrees inside the board's outline, between the tails as cut."""
    layout = laid_out(text=WHOLE)
    end = layout.as_cut.tail_end
    gap_low, gap_high = layout.tail_edges(layout.tails[0], 0)[1], layout.tail_edges(layout.tails[0], end)[1]
    waste = Polygon([(gap_low, 0), (gap_low + 10, 0), (gap_high + 10, end), (gap_high, end)])
    a, b = np.array(waste.exterior.coords[1]) - waste.exterior.coords[0], np.array([gap_high - gap_low, end])
    angle = math.acos(a @ b / np.linalg.norm(a) / np.linalg.norm(b))
    assert angle < math.pi / 2
    assert tail_board_cut(layout).corner_rad == pytest.approx(angle)
    assert pin_board_cut(layout).corner_rad == pytest.approx(math.pi / 2 - math.atan(1 / 7))


def test_openings_are_measured_where_they_are_narrowest() -> None:
    """Tail board: p - 2 o/N at the raw end; pin board: w - 2d/N and the gap at the inside face. WHOLE has w = 18.75."""
    layout = laid_out("fit.flank_gap=0.1", text=WHOLE)
    assert tail_board_cut(layout).opening == pytest.approx(3 - 2 * 0.5 / 7)
    assert pin_board_cut(layout).opening == pytest.approx(18.75 - 24 / 7 + 0.2 * math.sqrt(50 / 49))
    assert (tail_board_cut(layout).depth, pin_board_cut(layout).depth) == (10, 10.25)


def test_the_narrowest_of_unequal_sockets_counts() -> None:
    layout = laid_out("joint.spacing=[14, 25, 18]", "joint.tails=3", "joint.half_pin=16.5", text=WHOLE)
    assert pin_board_cut(layout).opening == pytest.approx(14 - 24 / 7)


def test_a_single_tail_lets_any_cutter_pass_beside_it() -> None:
    cut = tail_board_cut(laid_out("joint.tails=1", "joint.width=40", text=WHOLE))
    assert cut.opening is None
    assert [reach.diameter for reach in cut.passing] == sorted(CUTTERS.values(), reverse=True)


def test_a_cutter_passes_with_wood_left_on_both_lines() -> None:
    """3 mm and 0.3 mm on each side need 3.6 mm."""
    just = laid_out(f"joint.pin={3 + 2 * ALLOWANCE + 1e-6}", "tail_board.proud=0", text=WHOLE)
    assert tail_board_cut(just).passing[0].diameter == 3
    narrower = laid_out(f"joint.pin={3 + 2 * ALLOWANCE - 1e-6}", "tail_board.proud=0", text=WHOLE)
    assert tail_board_cut(narrower).passing[0].diameter == 2.5


def test_a_cutter_that_just_fits_passes_however_the_sums_round() -> None:
    """Pins of 2.8 to 6.5 mm in widths of 60 to 99 mm, each with a cutter that is 0.6 mm thinner: 4.6 less 4 less 0.6
    is seldom 0."""
    for tenths in range(28, 66):
        width, pin, cutter = (
            f"joint.width={32 + tenths}",
            f"joint.pin={tenths / 10}",
            f"kit.cutters=[{tenths / 10 - 0.6:g}]",
        )
        layout = laid_out(width, pin, cutter, "joint.tails=3", "tail_board.proud=0", text=WHOLE)
        assert tail_board_cut(layout).passing, (width, pin)


@pytest.mark.parametrize(("cutter", "deep"), [(3 / 16, 15 / 16), (1 / 8, 5 / 8), (1 / 4, 5 / 4)])
def test_a_cutter_reaches_just_five_times_its_diameter_in_inches_too(cutter: float, deep: float) -> None:
    """3/16 in into 15/16 in is 5.000000000000001, by plain division."""
    ratio = (deep * INCH) / (cutter * INCH)
    assert CutterFit("3/16 in", cutter * INCH, ratio, 10, REST, LOADS).reaches
    assert groove_cutter((cutter * INCH,), INCH, deep * INCH) == cutter * INCH


@pytest.mark.parametrize(("thickness", "best"), [(15, 3.0), (15.1, None), (5, 3.0)])
def test_the_best_cutter_is_the_thickest_that_passes_and_is_not_five_times_as_deep(thickness: float, best) -> None:
    cut = tail_board_cut(
        laid_out("joint.pin=3.7", "tail_board.proud=0", f"tail_board.thickness={thickness}", text=WHOLE)
    )
    assert (cut.best.diameter if cut.best else None) == best


def test_easy_is_up_to_three_diameters() -> None:
    assert CutterFit("4 mm", 4, 3.0, 6, REST, LOADS).is_easy
    assert not CutterFit("4 mm", 4, 3.01, 7, REST, LOADS).is_easy


@pytest.mark.parametrize(("thickness", "passes"), [(6, 4), (6.01, 5), (1.5, 1), (1.51, 2)])
def test_a_pass_is_half_a_diameter_deep(thickness: float, passes: int) -> None:
    cut = tail_board_cut(
        laid_out("joint.pin=3.7", f"tail_board.thickness={thickness}", "tail_board.proud=0", text=WHOLE)
    )
    (three,) = (reach for reach in cut.passing if reach.diameter == 3)
    assert three.passes == passes
    assert three.ratio == pytest.approx(thickness / 3)


# --- feeds, against published figures ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rpm", "flutes", "chip_load", "feed", "source"),
    [
        (18_000, 2, 0.1, 3_600, "in mm"),
        (18_000, 2, 0.00278 * INCH, 100 * INCH, "18,000, 2 flutes, 100 in/min -> 0.00278 in"),
        (16_000, 2, 0.002 * INCH, 64 * INCH, "arithmetic"),
        (18_000, 2, 0.005 * INCH, 180 * INCH, "arithmetic"),
    ],
)
def test_feed_is_rpm_by_flutes_by_chip_load(rpm, flutes, chip_load, feed, source, monkeypatch) -> None:
    monkeypatch.setattr("solids.bench.milling.SPINDLE_RPM", rpm)
    monkeypatch.setattr("solids.bench.milling.FLUTES", flutes)
    slow, usual = CutterFit("1/4 in", 6.35, 1.0, 2, REST, (chip_load / 3, chip_load)).feeds_mm_min
    assert usual == pytest.approx(feed, rel=1e-3), source
    assert slow == pytest.approx(feed / 3, rel=1e-3), source


@pytest.mark.parametrize(
    ("wood", "least", "most"),
    [
        *(("maple", 0.001, 0.003), ("longleaf pine", 0.001, 0.003)),
        *(("white pine", 0.002, 0.004), ("basswood", 0.002, 0.004), ("lime", 0.002, 0.004)),
    ],
)
def test_chip_loads_of_a_quarter_inch_cutter_are_the_range_for_light_routers(wood, least, most) -> None:
    """0.001 to 0.003 in in hard wood, 0.002 to 0.004 in in soft wood, whatever its tree: common practice."""
    layout = laid_out(f"tail_board.wood={wood}", "joint.tails=1", "joint.width=40", text=WHOLE)
    by_diameter = {reach.diameter: reach.chip_loads for reach in tail_board_cut(layout).passing}
    assert by_diameter[6.35] == pytest.approx((least * INCH, most * INCH))
    assert by_diameter[12.7] == by_diameter[6.35]
    half = tuple(load / 2 for load in by_diameter[6.35])
    assert by_diameter[3.175] == pytest.approx(half), "about half: common practice"


def test_each_board_is_fed_by_its_own_wood() -> None:
    layout = laid_out("tail_board.wood=maple", "pin_board.wood=spruce", text=WHOLE)
    hard = next(reach for reach in tail_board_cut(layout).passing if reach.diameter == 2)
    soft = next(reach for reach in pin_board_cut(layout).passing if reach.diameter == 2)
    assert soft.chip_loads[0] == pytest.approx(2 * hard.chip_loads[0])
    assert hard.feeds_mm_min == pytest.approx([SPINDLE_RPM * FLUTES * load for load in hard.chip_loads])


def test_a_feed_worked_by_hand() -> None:
    """3 mm in maple: 3/6.35 of 0.0254 to 0.0762 mm is 0.012 to 0.036 mm a tooth; by 16,000 x 2 teeth, 384 to 1152 mm a
    minute."""
    layout = laid_out("tail_board.wood=maple", "joint.pin=4", text=WHOLE)
    (three,) = (reach for reach in tail_board_cut(layout).passing if reach.diameter == 3)
    assert three.feeds_mm_min == pytest.approx((384, 1152))


# --- whose cutters, and which ------------------------------------------------------------------------------


def test_the_makers_cutters_come_first_and_the_usual_ones_only_where_none_is_named() -> None:
    """WHOLE: 15.32 mm of opening in the pin board. 8 mm is the thickest in the kit; the usual list would say 1/2 in."""
    named, unnamed = (pin_board_cut(laid_out(*more, text=WHOLE)) for more in (("kit.cutters=[3, 6, 8]",), ()))
    assert (named.own, named.best and named.best.diameter) == (True, 8)
    assert (unnamed.own, unnamed.best and unnamed.best.diameter) == (False, 12.7)
    assert [reach.size for reach in named.passing] == ["8 mm", "6 mm", "3 mm"]


def test_an_inch_kit_is_told_in_fractions() -> None:
    layout = layout_of("tea-box", 'kit.cutters=["1/4", "3/8"]')
    assert [reach.size for reach in pin_board_cut(layout).passing] == ["3/8 in", "1/4 in"]


HALF = (*HALF_BLIND, "joint.pin=6", "joint.half_pin=8")


def test_a_thick_cutter_roughs_and_a_thin_one_finishes_where_much_would_stay_in_a_corner() -> None:
    """At 1:7 a corner is 81.87 degrees inside, so a cutter reaches r cot(40.93 deg) = 1.153 r along both sides: 6.92 mm
    for 12 mm, 3.46 mm for 6 mm, 1.73 mm for 3 mm. A chisel of 3 mm takes 1.73 mm in one go, and one of 4 mm 3.46 mm."""
    for chisels, finish in ((), 3), ("kit.chisels=[3, 12]", 3), ("kit.chisels=[4, 12]", 6), ("kit.chisels=[7]", None):
        more = (chisels,) if chisels else ()
        cut = pin_board_cut(laid_out(*HALF, "kit.cutters=[3, 6, 12]", *more, text=WHOLE))
        assert cut.best
        assert cut.best.diameter == 12
        assert (cut.finish and cut.finish.diameter) == finish, chisels
        assert [run.cutter.diameter for run in cut.runs] == ([12, finish] if finish else [12])
        assert cut.runs[-1].is_last


def test_where_no_cutter_leaves_little_the_thinnest_that_reaches_finishes() -> None:
    cut = pin_board_cut(laid_out(*HALF, "kit.cutters=[1, 8, 12]", text=WHOLE))
    assert [run.cutter.diameter for run in cut.runs] == [12, 8], "1 mm is too thin for the depth"
    assert pin_board_cut(laid_out(*HALF, "kit.cutters=[12]", text=WHOLE)).finish is None


def test_a_through_pin_board_has_no_corner_to_finish() -> None:
    cut = pin_board_cut(laid_out("kit.cutters=[3, 12]", text=WHOLE))
    assert [run.cutter.diameter for run in cut.runs] == [12]


def test_relief_is_for_cutters_that_bite_no_deeper_than_a_millimetre() -> None:
    """At 81.87 degrees r (1 - 0.6552): 0.52 mm for 3 mm, 2.07 mm for 12 mm, and 1 mm for 5.80 mm."""
    asked = "paper.corner_relief=true"
    assert pin_board_cut(laid_out(*HALF, "kit.cutters=[3, 12]", asked, text=WHOLE)).runs[-1].relief
    assert not pin_board_cut(laid_out(*HALF, "kit.cutters=[12]", asked, text=WHOLE)).runs[-1].relief
    assert pin_board_cut(laid_out(*HALF, "kit.cutters=[5.79]", asked, text=WHOLE)).runs[-1].relief
    assert not pin_board_cut(laid_out(*HALF, "kit.cutters=[5.81]", asked, text=WHOLE)).runs[-1].relief
    assert not pin_board_cut(laid_out(*HALF, "kit.cutters=[12]", "kit.chisels=[20]", asked, text=WHOLE)).runs[-1].relief
    assert not pin_board_cut(laid_out(*HALF, "kit.cutters=[3, 12]", text=WHOLE)).runs[-1].relief


def test_a_bite_worked_by_hand() -> None:
    """In a square corner r - r/sqrt(2): 0.293 r, 1.76 mm for 12 mm."""
    assert relief_bite(12, math.pi / 2) == pytest.approx(6 * (1 - math.sqrt(0.5)))


@pytest.mark.parametrize("board", ["tail board", "pin board"])
@pytest.mark.parametrize("cutter", [0.6, 1.9, 3, 20])
@pytest.mark.parametrize(
    "more",
    [("joint.pin=3",), ("joint.pin=5",), ("tail_board.thickness=19",), ("tail_board.thickness=400",), HALF_BLIND],
)
def test_what_is_told_in_place_of_a_cutter_that_does_not_pass_or_reach_does(more, cutter, board) -> None:
    which = ["tail board", "pin board"].index(board)
    cut = cuts(laid_out(f"kit.cutters=[{cutter}]", *more, text=WHOLE))[which]
    if cut.best:
        return
    what, mend = why_none(cut, "mm")
    assert board in what
    told = [float(number) for number in re.findall(r"([\d.]+) mm", mend)]
    assert bool(told) != ("saw it by hand" in mend)
    for diameter in told:
        again = cuts(laid_out(f"kit.cutters=[{diameter}]", *more, text=WHOLE))[which]
        assert again.best
        assert again.best.diameter == diameter


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_every_cutter_that_passes_fits_and_none_that_fits_is_left_out(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    for cut in (tail_board_cut(layout), pin_board_cut(layout)):
        room = math.inf if cut.opening is None else cut.opening
        fitting = [c for c in set(layout.recipe.kit.cutters) or CUTTERS.values() if c + 2 * ALLOWANCE <= room]
        assert [reach.diameter for reach in cut.passing] == sorted(fitting, reverse=True)
        for reach in cut.passing:
            assert reach.passes * 0.5 * reach.diameter >= cut.depth * (1 - 1e-9)
            assert (reach.passes - 1) * 0.5 * reach.diameter < cut.depth
            assert reach.rest == corner_remainder(reach.diameter, cut.corner_rad)
        if cut.best:
            assert cut.best.ratio <= 5
            assert not [reach for reach in cut.passing if reach.diameter > cut.best.diameter and reach.ratio <= 5]


# --- grooves, and a thin cutter after a thick one ------------------------------------------------


def test_the_thickest_cutter_that_goes_into_a_groove_and_reaches_its_floor() -> None:
    """5 wide, 4 deep: 5 mm just goes in, 6 does not. A cutter reaches five times its diameter: 0.8 mm just does."""
    assert groove_cutter((3, 5, 6), 5.0, 4.0) == 5
    assert groove_cutter((6, 3), 5.0, 4.0) == 3
    assert groove_cutter((0.8,), 5.0, 4.0) == 0.8
    assert groove_cutter((0.79, 5.01), 5.0, 4.0) is None
    assert groove_cutter((), 5.0, 4.0) is None


@pytest.mark.parametrize(("thick", "rounds"), [(12, 0), (20, 1), (25, 2)])
def test_a_thin_cutter_takes_as_many_rounds_as_the_thick_one_left_wood_in_the_corners(
    thick: float, rounds: int
) -> None:
    """1:7 is 81.87 degrees in the corner, and sin 40.93 degrees 0.6552. A thick cutter of radius r, 0.25 mm off the
    walls, comes no nearer to both than 0.3448 r + 0.25: 2.32, 3.70 and 4.56 mm. The last round of 3 mm takes 3 mm of
    that, and each round inside it 0.45 x 3 = 1.35 mm: none, one and two more."""
    layout = layout_of("tool-tray", "joint.width=90", "joint.tails=1", "joint.half_pin=30", f"kit.cutters=[3, {thick}]")
    cut = tail_board_cut(layout)
    assert [run.cutter.diameter for run in cut.runs] == [thick, 3]
    assert cut.further_rounds == rounds


def test_one_cutter_alone_takes_no_further_rounds() -> None:
    assert tail_board_cut(layout_of("tool-tray", "kit.cutters=[2]")).further_rounds == 0
