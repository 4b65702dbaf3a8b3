"""One joint in which no two flanks lean alike, worked by hand: see `irregular.py` for its sizes."""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest

from solids.base import tolerances as tol
from solids.bench.comparing import figures_of, with_other_tails
from solids.bench.facts import facts
from solids.bench.hand_error import flanks_of, hand_work, simulate
from solids.bench.listing import bench_words, headline, pin_rows, raw_end_rows, table_words, tail_rows
from solids.bench.milling import pin_board_cut, tail_board_cut
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.bench.sketch import ASCII, sketch
from solids.bench.strength import CROSS_TENSION_SHARE, screening
from solids.bench.worktime import MITRE_A_SHOULDER, REBATE, work_time
from solids.layout import Layout, frail_parts, place
from solids.layout.joint.necks import necks
from solids.recipe.tables.resolved import Finish, Hand, Kit, Listed
from tests.bench.irregular import irregular, mitred
from tests.recipes import WHOLE, laid_out

KIT = Kit(chisels=(6.0, 9.0, 12.0, 25.0), saw_kerf=0.5, knife=0.0, cutters=())
STRETCHES = [math.hypot(n, 1) / n for n in (5, 6, 8, 9)]
"""s of the four flanks that lean; that of the square one is 1."""


def steps(layout: Layout) -> dict[str, str]:
    return {step.what: step.how for step in order_of_work(layout)}


# --- settings ------------------------------------------------------------------------------------


def test_gauges_follow_the_rebate() -> None:
    """12.3 from the tail board's end; 10.4 - 2 from the pin board's; 2 for the rebate itself."""
    gauges = bench_of(irregular()).gauges
    assert [(each.name, each.board) for each in gauges] == [
        ("tail board", "tail board"),
        ("pin board", "pin board"),
        ("rebate", "tail board"),
    ]
    assert [each.setting for each in gauges] == pytest.approx([12.3, 8.4, 2.0])
    assert "the other edge" in gauges[0].lines, "the half tail loses no wood at the reference edge"
    assert "the reference edge" in gauges[1].lines, "the socket of the half tail is open there"


def test_there_is_a_bevel_for_each_slope_steepest_first() -> None:
    bevels = bench_of(irregular()).bevels
    assert [(each.ratio, [flank.name for flank in each.flanks]) for each in bevels] == [
        (5.0, ["tail 1, right flank"]),
        (6.0, ["tail 2, left flank"]),
        (8.0, ["tail 3, left flank"]),
        (9.0, ["tail 3, right flank"]),
        (math.inf, ["tail 2, right flank"]),
    ]
    assert [each.degrees for each in bevels] == pytest.approx([11.3099, 9.4623, 7.1250, 6.3402, 0.0], abs=1e-4)


def test_saw_lines_are_those_of_the_flanks_with_each_ones_kerf() -> None:
    """A kerf of 0.5 in the waste, 0.5 s wide in X: that of tail 1 beyond 20.06, that of tail 3's left under 59.9625."""
    lines = bench_of(irregular(KIT)).saw_lines
    tails = {line.name: line for line in lines if line.board == "tail board"}
    pins = {line.name: line for line in lines if line.board == "pin board"}
    assert [(name, line.start, line.end) for name, line in tails.items()] == [
        ("tail 1, right flank", pytest.approx(20.06), pytest.approx(17.6)),
        ("tail 2, left flank", pytest.approx(25.95), pytest.approx(28.0)),
        ("tail 2, right flank", 52.0, 52.0),
        ("tail 3, left flank", pytest.approx(59.9625), pytest.approx(61.5)),
        ("tail 3, right flank", pytest.approx(88 + 0.3 / 9), pytest.approx(88 - 12 / 9)),
    ]
    assert tails["tail 1, right flank"].kerf == pytest.approx((20.06, 20.06 + 0.5 * STRETCHES[0]))
    assert tails["tail 3, left flank"].kerf == pytest.approx((59.9625 - 0.5 * STRETCHES[2], 59.9625))
    assert tails["tail 2, right flank"].kerf == pytest.approx((52.0, 52.5))
    assert pins["socket 2, right flank"].kerf == pytest.approx((51.5, 52.0))
    assert [line.start for line in pins.values()] == pytest.approx([20, 26, 52, 60, 88])
    assert [line.end for line in pins.values()] == pytest.approx([17.6, 28, 52, 61.5, 88 - 12 / 9])


def test_a_chisel_for_each_socket_is_as_wide_as_its_narrowest_place() -> None:
    """Between tails 1 and 2 a blade 3 mm thick has 10.4 - 3/5 - 3/6 = 9.3; between 2 and 3 9.5 - 3/8 = 9.125. Socket 2
    is 24 wide inside and 25 half-way; socket 3 25.1667 inside and (86.6667 + 2/3) - (61.5 - 0.75) = 26.5833 half-way.
    At the half pin and in the half tail's socket a blade may hang over."""
    fits = bench_of(irregular(KIT)).chisels
    assert [(fit.sockets, fit.is_open) for fit in fits] == [
        ("tail board, at the edge", True),
        ("tail board, between tails 1 and 2", False),
        ("tail board, between tails 2 and 3", False),
        ("pin board, socket 1, open at the edge", True),
        ("pin board, socket 1, open at the edge", True),
        ("pin board, socket 2", False),
        ("pin board, socket 2", False),
        ("pin board, socket 3", False),
        ("pin board, socket 3", False),
    ]
    closed = [fit for fit in fits if not fit.is_open]
    expected = [9.3, 9.125, 25.0, 24.0, 86 + 4 / 3 - 60.75, 86 + 2 / 3 - 61.5]
    assert [fit.widest for fit in closed] == pytest.approx(expected)
    assert [fit.own for fit in closed] == [9, 9, 25, 12, 25, 25]
    assert all(fit.own == 25 for fit in fits if fit.is_open)


def test_a_blade_between_flanks_that_lean_the_same_way_has_less_than_their_distance() -> None:
    """Both walls of the gap shift by 1 in 5 toward X = W: 6 wide at every height, 6 - 3/5 for a blade of 3 mm."""
    listed = Listed(ratios=(5.0, -5.0, 5.0, 5.0), faces=((8.0, 45.0), (51.0, 88.0)))
    between = next(fit for fit in bench_of(irregular(listed=listed)).chisels if "between" in fit.where)
    assert between.widest == pytest.approx(5.4)


def test_scribe_lines_skip_the_edge_of_the_half_tail() -> None:
    lines = {(line.board, line.face): line for line in bench_of(irregular()).scribes}
    assert set(lines) == {
        *(("tail board", face) for face in ("show face", "inside face", "other edge")),
        *(("pin board", face) for face in ("show face", "inside face", "reference edge")),
    }
    gaps, sockets = lines["tail board", "show face"].spans, lines["pin board", "show face"].spans
    assert gaps == (pytest.approx((17.6, 28)), pytest.approx((52, 61.5)), pytest.approx((88 - 12 / 9, 96)))
    assert sockets == (pytest.approx((0, 20)), pytest.approx((26, 52)), pytest.approx((60, 88)))


def test_chops_go_through_what_the_rebate_leaves() -> None:
    chops = [(chop.board, chop.depth) for chop in bench_of(irregular()).chops]
    assert chops == [("tail board", 4.0), ("tail board", 4.0), ("pin board", 6.0), ("pin board", 6.0)]


def test_the_lines_that_stay_are_those_that_were_drawn() -> None:
    told = " ".join(bench_of(irregular()).lines_left)
    assert "on the tail board's other edge stays" in told
    assert "on the pin board's reference edge stays" in told
    assert "edges stay" not in told


def test_a_mirrored_joint_has_the_same_places_from_its_reference_edge() -> None:
    one, other = (bench_of(irregular(mirrored=mirrored)) for mirrored in (False, True))

    def places(bench: object) -> list[tuple[float, float]]:
        return sorted((round(line.start, 9), round(line.end, 9)) for line in bench.saw_lines)  # type: ignore[attr-defined]

    assert places(one) == places(other)
    assert [fit.sockets for fit in one.chisels] == [fit.sockets for fit in other.chisels]
    assert [fit.widest for fit in one.chisels] == pytest.approx([fit.widest for fit in other.chisels])


# --- in words ------------------------------------------------------------------------------------


def test_the_headline_tells_half_tail_slopes_and_rebate() -> None:
    assert headline(irregular()) == (
        "small tray: through dovetail, 3 tails (tail 1 a half tail), slopes 1:5 to square (0.0 to 11.3 degrees), 96 mm "
        "wide, rebate 2 mm deep"
    )
    assert headline(mitred()).endswith("rebate 2 mm deep, shoulder mitred 6 mm at the other edge")


def test_bevels_are_told_with_the_flanks_that_have_them() -> None:
    words = bench_words(irregular())
    assert "Bevel 11.3 degrees, 1 in 5: right flank of tail 1." in words
    assert "Square, no bevel: right flank of tail 2." in words
    listed = Listed(ratios=(7.0, 7.0, 7.0, 5.0, 7.0, 7.0), faces=((8.0, 28.0), (32.0, 60.0), (66.0, 88.0)))
    seven = [line for line in bench_words(irregular(listed=listed)) if line.startswith("Bevel 8.1")]
    assert seven == ["Bevel 8.1 degrees, 1 in 7: both flanks of tails 1, 3; left flank of tail 2."]


def test_the_slope_of_nearly_all_flanks_is_told_without_a_list() -> None:
    faces = tuple((8.0 + 16 * i, 20.0 + 16 * i) for i in range(5))
    listed = Listed(ratios=(7.0,) * 9 + (5.0,), faces=faces)
    words = bench_words(irregular(listed=listed))
    assert "Bevel 11.3 degrees, 1 in 5: right flank of tail 5." in words
    assert "Bevel 8.1 degrees, 1 in 7: all other flanks." in words


def test_a_flank_that_runs_outward_is_told_so() -> None:
    listed = Listed(ratios=(5.0, -9.0), faces=((8.0, 88.0),))
    assert "Bevel 6.3 degrees, 1 in 9, outward: right flank of tail 1." in bench_words(irregular(listed=listed))


def test_tables_name_half_tails_and_half_pins_where_they_are() -> None:
    layout = irregular()
    assert [row[0] for row in tail_rows(layout)[1]] == ["1, half tail", "2", "3"]
    assert [row[0] for row in raw_end_rows(layout)[1]] == ["1, half tail", "2", "3"]
    assert [row[0] for row in pin_rows(layout)[1]] == ["1", "2", "3, half pin"]
    assert [row[0] for row in pin_rows(irregular(mirrored=True))[1]] == ["1", "2", "3, half pin"]


def test_the_pin_boards_length_is_told_from_the_inside_face() -> None:
    assert table_words(irregular()).endswith("The pin board's runs from the tail board's inside face, 2 mm below it.")
    assert table_words(laid_out(text=WHOLE)) == "Length runs from the baseline."


def test_the_rebate_is_cut_before_the_tails_are_laid_out_and_places_the_boards() -> None:
    told = steps(irregular())
    order = list(told)
    assert order.index("Gauge") < order.index("Cut the rebate") < order.index("Mark and saw the tails")
    assert "2 mm deep across the tail board's whole inside face" in told["Cut the rebate"]
    assert "shoulder of the rebate tight against the inside face" in told["Mark the pins"]
    assert "8.4 mm: the pin board's inside face and reference edge" in told["Gauge"]
    assert "Cut the rebate" not in steps(laid_out(text=WHOLE))


def test_waste_is_sawn_off_only_where_an_edge_is_open() -> None:
    assert "Saw off the waste at the other edge, beside the baseline." in steps(irregular())["Clear between the tails"]
    halves = Listed(ratios=(math.inf, 7.0, 7.0, math.inf), faces=((0.0, 40.0), (50.0, 96.0)), edges=("half tail",) * 2)
    told = steps(irregular(listed=halves))
    assert told["Clear between the tails"].startswith("Saw out most of the waste.")
    assert "half pin" not in told["Try it dry"]
    assert "Do not drive a half pin" in steps(irregular())["Try it dry"]


# --- the mitre -----------------------------------------------------------------------------------


def test_the_mitre_meets_each_board_at_its_own_angle() -> None:
    """From (0, 2) to (12, 10): it rises 8 over 12. tan a = 8/12, a = 33.69 degrees on the tail board, 1 in 1.5, and
    56.31 on the pin board, 1 in 0.667. It comes out 0.3 and 0.4 from the raw ends, by which they stand proud."""
    bench = bench_of(mitred())
    tails, pins = bench.mitre
    assert [(each.edge, each.width) for each in bench.mitred] == [("other edge", 6.0)]
    assert (math.degrees(tails.angle_rad), tails.ratio) == (pytest.approx(33.690, abs=1e-3), pytest.approx(1.5))
    assert (math.degrees(pins.angle_rad), pins.ratio) == (pytest.approx(56.310, abs=1e-3), pytest.approx(2 / 3))
    assert (tails.out, tails.from_arris) == ("show face", pytest.approx(0.3))
    assert (pins.out, pins.from_arris) == ("show face", pytest.approx(0.4))


def test_the_mitre_closes_at_the_planed_corner() -> None:
    """With 0.5 to plane off both faces it runs from (0, 2) to (11.5, 9.5), 7.5 over 11.5. At the show face of the tail
    board, 8 up, it has run 8 x 11.5/7.5 = 12.267, 0.033 from the end. On the pin board it has risen 12 x 7.5/11.5 =
    7.826, 0.574 from the end of 8.4."""
    tails, pins = bench_of(mitred(finish=Finish("flush", 0.0, 0.5))).mitre
    assert (tails.out, tails.from_arris) == ("show face", pytest.approx(12.3 - 8 * 11.5 / 7.5))
    assert (pins.out, pins.from_arris) == ("show face", pytest.approx(8.4 - 12 * 7.5 / 11.5))
    tails, _ = bench_of(mitred(finish=Finish("flush", 0.0, 1.0))).mitre
    assert tails.out == "raw end", "7 over 11: 8 up it would have run 12.57, past the end at 12.3"
    assert tails.from_arris == pytest.approx(8 - 12.3 * 7 / 11)


def test_beside_the_mitre_both_boards_are_sawn_square() -> None:
    """At 90, in the tail board with the kerf on the half pin's side, in the pin board on that of the strip."""
    lines = [line for line in bench_of(mitred(kit=KIT)).saw_lines if "mitred" in line.name]
    assert [(line.board, line.start, line.end) for line in lines] == [("tail board", 90, 90), ("pin board", 90, 90)]
    assert [line.kerf for line in lines] == [pytest.approx((89.5, 90.0)), pytest.approx((90.0, 90.5))]


def test_the_mitre_has_steps_of_its_own() -> None:
    told = steps(mitred())
    order = list(told)
    assert order.index("Mark the mitre") < order.index("Mark and saw the tails")
    assert order.index("Saw and chop the pins") < order.index("Saw the mitre") < order.index("Try it dry")
    assert "33.7 degrees, 1 in 1.5" in told["Mark the mitre"]
    assert "56.3 degrees, 1 in 0.667" in told["Mark the mitre"]
    assert "leave the strip itself" in told["Clear between the tails"]
    assert "bring those down to it first" in told["Plane"]
    stands = steps(mitred(finish=Finish("proud", 0.0, 0.0)))
    assert "below the ends that stay proud" in stands["Plane"]
    assert not any("mitre" in how for how in steps(irregular()).values())


def test_the_socket_beside_a_mitred_shoulder_is_closed() -> None:
    """From tail 3's right flank, 82 - 12/9 = 80.667 at the baseline and 81 at 3 mm, to the strip at 90: 9 wide."""
    fit = next(fit for fit in bench_of(mitred()).chisels if "mitred" in fit.where)
    assert (fit.sockets, fit.is_open) == ("tail board, beside the mitred shoulder", False)
    assert fit.widest == pytest.approx(9.0)


def test_a_sketch_shows_the_half_tail_and_the_strip() -> None:
    top = sketch(mitred(), 96, ASCII)[0]
    assert (top[0], top[95]) == ("#", "#")
    assert top[86] == "."
    assert sketch(irregular(), 96, ASCII)[0][95] == "."


# --- strength and hand ---------------------------------------------------------------------------


def test_strength_is_a_sum_over_the_flanks() -> None:
    """Tails 8 thick, 12 deep; (N, s): 1:5, 1:6, square, 1:8, 1:9."""
    layout = irregular()
    tails, pins = (board.wood.strength for board in (layout.recipe.tail_board, layout.recipe.pin_board))
    assert tails
    assert pins
    assert tails.compression_mpa
    assert pins.compression_mpa
    found = screening(layout)
    parts = {part.name: part.least for part in found.dry}
    assert found.glue_area == pytest.approx(8 * 12 * (sum(STRETCHES) + 1))
    assert parts["necks of the tails"] == pytest.approx(8 * (17.6 + 24 + 86 + 2 / 3 - 61.5) * tails.bending_mpa)
    assert parts["corners of the tails"] == pytest.approx(4 * 8 * 12 * tails.shear_mpa), "the square one holds nothing"
    softer = min(tails.compression_mpa, pins.compression_mpa)
    leans = 1 / 5 + 1 / 6 + 1 / 8 + 1 / 9
    assert parts["flanks, which crush"] == pytest.approx(8 * 12 * (leans + 4 * 0.4) * softer)
    push = 2 / 3 * pins.shear_mpa * 12 * (8 + 2 / 3)
    outward = (1 - 0.4 / 9) / (1 / 9 + 0.4)
    assert found.half_pin_push_n == pytest.approx(push), "one half pin, 8.667 wide half-way"
    assert parts["half pins"] == pytest.approx(4 * push / outward)


def test_racking_is_a_sum_over_the_flanks() -> None:
    layout = irregular()
    tails, pins = (board.wood.strength for board in (layout.recipe.tail_board, layout.recipe.pin_board))
    assert tails
    assert pins
    racked = {part.name: part.least for part in screening(layout).racked}
    patches = sum(12 * s * 8 * math.hypot(12 * s, 8) / 6 for s in (*STRETCHES, 1.0))
    assert racked["glue lines"] == pytest.approx(0.18 * min(tails.shear_mpa, pins.shear_mpa) * patches / 1000)
    # Half-way up gaps are 8.2, 8.75 and 8.667 wide.
    assert racked["pins"] == pytest.approx((8.2 + 8.75 + 8 + 2 / 3) * 12**2 / 6 * pins.bending_mpa / 1000)


def test_each_flank_steeper_than_1_in_3_opens_its_own_corner() -> None:
    """At 1:2, 3/2 - 8/9 = 11/18 is left to open it; the flank at 1:8 only shears."""
    layout = irregular(listed=Listed(ratios=(2.0, 8.0), faces=((20.0, 76.0),)), rebate=0.0)
    wood = layout.recipe.tail_board.wood.strength
    assert wood
    corners = next(part.least for part in screening(layout).dry if part.part == "corners")
    opened = 120 / (1 / wood.shear_mpa + 11 / 18 / (CROSS_TENSION_SHARE * wood.shear_mpa))
    assert corners == pytest.approx(120 * wood.shear_mpa + opened)


def test_without_half_pins_none_splits() -> None:
    halves = Listed(ratios=(math.inf, 7.0, 7.0, math.inf), faces=((0.0, 40.0), (50.0, 96.0)), edges=("half tail",) * 2)
    layout = irregular(listed=halves)
    found = screening(layout)
    assert found.half_pin_push_n is None
    assert "half pins" not in {part.part for part in found.dry}
    assert flanks_of(layout).splitting == 0
    assert hand_work(layout).pared == pytest.approx(NormalDist(0, 0.05).cdf(0.1) ** 2)
    assert any(finding.code == "strength" for finding in facts(layout))


def test_a_hand_errs_on_five_flanks_one_of_them_a_half_pins() -> None:
    layout = irregular()
    hand, limit = NormalDist(0, 0.05), layout.recipe.tight_limit
    closed = hand.cdf(0.1)
    found = hand_work(layout)
    assert found.right == pytest.approx((closed - hand.cdf(-limit)) ** 5)
    assert found.pared == pytest.approx(closed**4 * (closed - hand.cdf(-tol.SPLITS_AT * limit)))


def test_a_shift_moves_each_flank_by_its_own_share() -> None:
    """Left flanks open, right ones close, by the shift over s: tail 2 left 1:6, tail 3 left 1:8, then the right ones in
    order of X, tail 1 1:5, tail 2 square, tail 3 1:9, which is the half pin's."""
    layout = irregular(hand=Hand(0.05, 0.04))
    flanks = flanks_of(layout)
    five, six, eight, nine = (0.04 / s for s in STRETCHES)
    assert flanks.moves == pytest.approx((six, eight, -five, -0.04, -nine))
    assert flanks.half_pins == (4,)
    assert hand_work(layout) == simulate(flanks, 0.0, 0.05, layout.recipe.tight_limit)


# --- milling and time ----------------------------------------------------------------------------


def test_a_router_meets_an_acute_corner_at_each_flank_that_leans() -> None:
    """Four; the sharpest at 1:5, 90 - 11.31 degrees. Between tails 1 and 2 it must pass 25.95 - 20.06 = 5.89."""
    cut = tail_board_cut(irregular())
    assert cut.acute_corners == 4
    assert math.degrees(cut.corner_rad) == pytest.approx(78.690, abs=1e-3)
    assert cut.opening == pytest.approx(5.89)
    assert cut.depth == 10


def test_the_pin_boards_sockets_are_milled_from_the_pins_ends_to_the_rebates_height() -> None:
    """10.4 - 2 deep; socket 2 is 24 wide at the inside face, and that of the half tail open to the side."""
    cut = pin_board_cut(irregular())
    assert (cut.depth, cut.opening) == (pytest.approx(8.4), pytest.approx(24.0))
    assert cut.acute_corners == 0


def test_walls_that_lean_the_same_way_are_nearer_than_they_are_wide() -> None:
    """6 wide in X between walls at 1 in 5: 6 cos = 6 x 5/sqrt(26) = 5.883 from wall to wall."""
    listed = Listed(ratios=(5.0, -5.0, 5.0, 5.0), faces=((8.0, 45.0), (51.0, 88.0)))
    cut = tail_board_cut(irregular(listed=listed))
    assert cut.opening == pytest.approx(6 * 5 / math.sqrt(26))
    assert cut.acute_corners == 3, "the corner behind a flank that runs outward is blunt"


def test_time_follows_flanks_gaps_and_shoulders() -> None:
    """Marking 4 + 2 x 5 x 0.6; fitting 5 x 0.5; a rebate, and a mitred shoulder."""
    plain, more = work_time(irregular()), work_time(mitred())
    assert (plain.marking, plain.fitting) == (pytest.approx(10.0), pytest.approx(2.5))
    assert (plain.shoulders, more.shoulders) == (REBATE, REBATE + MITRE_A_SHOULDER)
    floors = 8 * (10.4 + 9.5 + 96 - 86 - 2 / 3)
    sockets = 12 * (18.8 + 25.0 + 26 + 7 / 12)
    hard = [board.wood.density / 650 for board in (irregular().recipe.tail_board, irregular().recipe.pin_board)]
    assert plain.chopping == pytest.approx(3 + 3 + (floors * hard[0] + sockets * hard[1]) / 110)
    flanks = sum(STRETCHES) + 1
    sawn = (flanks * 12.3 * 8 + floors) * hard[0] + (flanks * 8.4 * 12 + sockets) * hard[1]
    assert plain.sawing == pytest.approx((10 + 3 + 3) * 0.5 + sawn / 500)


# --- remarks -------------------------------------------------------------------------------------


def told(layout: Layout, code: str) -> list[str]:
    return [finding.words for finding in remarks(layout) if finding.code == code]


def test_slopes_out_of_the_usual_are_told_with_their_flanks() -> None:
    """The flattest that is told is the square one; steeper than 1:5 there is none."""
    (square,) = told(irregular(), "slope")
    assert "right flank of tail 2" in square
    assert "holds nothing by itself" in square
    listed = Listed(ratios=(4.0, 7.0, 7.0, 9.0), faces=((8.0, 40.0), (50.0, 88.0)))
    steep, flat = told(irregular(listed=listed), "slope")
    assert "1:4 (left flank of tail 1) is steeper" in steep
    assert "1:9 (right flank of tail 2) is flatter" in flat


def test_the_rebate_shows_where_no_shoulder_is_mitred() -> None:
    (both,), (one,) = told(irregular(), "rebate"), told(mitred(), "rebate")
    assert "both edges" in both
    assert "joint.mitre" in both
    assert "the reference edge" in one
    assert "joint.mitre" not in one, "no shoulder is mitred beside a half tail"
    assert told(laid_out(text=WHOLE), "rebate") == []
    assert "rebate" not in figures_of(irregular()).warnings, "a note is no warning"


def test_a_thin_pin_or_half_pin_is_named() -> None:
    """Pin 3 of 0.2 mm at the finished face, and a half pin of 3 mm beside one of 8."""
    faces = ((8.0, 28.0), (34.0, 60.0), (60.2, 93.0))
    layout = irregular(listed=Listed(ratios=(7.0,) * 6, faces=faces))
    assert {(each.part, each.place, each.uncut) for each in frail_parts(layout)} == {("pin", "pin 3", True)}
    assert any(words.startswith("Pin 3 is 0.") for words in told(layout, "thin-pin"))
    (half,) = told(layout, "half-pin")
    assert half.startswith("Half pin 4 of 3 mm (0.118 in) is thinner")


def test_the_neck_of_a_half_tail_takes_any_chisel() -> None:
    """Both necks are 2 mm; only the whole tail's socket is closed."""
    faces = ((0.0, 2.0 + 12 / 7), (40.0, 42.0 + 24 / 7))
    layout = irregular(listed=Listed(ratios=(math.inf, 7.0, 7.0, 7.0), faces=faces, edges=("half tail", "half pin")))
    (neck,) = (each for each in frail_parts(layout) if each.part == "neck")
    assert neck.place == "tail 2"


def test_a_groove_may_pass_a_half_tail_up_to_the_edge() -> None:
    assert next(iter(necks(irregular()))) == pytest.approx((tol.LEAST_FEATURE, 17.6))


def test_a_knife_names_the_gap_that_it_does_not_fit() -> None:
    knife = Kit(chisels=(), saw_kerf=0.0, knife=7.0, cutters=())
    (words,) = told(irregular(knife), "knife")
    assert "between tails 1 and 2" in words


def test_comparing_leaves_listed_flanks_alone() -> None:
    layout = irregular()
    assert list(with_other_tails(layout, [2, 3, 4])) == [layout]
    figures = figures_of(layout)
    assert figures.widest_between_tails == pytest.approx(9.125)
    assert figures.widest_in_sockets == pytest.approx(24.0)


@pytest.mark.parametrize("mirrored", [False, True])
def test_an_even_joint_says_nothing_of_it(mirrored: bool) -> None:
    layout = place(laid_out(text=WHOLE).recipe, mirrored=mirrored)
    words = " ".join([headline(layout), *bench_words(layout), *steps(layout).values()])
    assert not any(word in words for word in ("half tail", "rebate", "mitre", "slopes", "flank of"))
