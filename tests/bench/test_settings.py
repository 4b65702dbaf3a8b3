"""What the bench sets, scribes, saws and chops: two gauges, lines in the waste only, kerfs beside the line."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings

from solids.base import tolerances as tol
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of, gauge_settings
from tests.recipes import HALF_BLIND, STANDING, WHOLE, laid_out, recipe_texts, try_lay_out

KIT = ("kit.chisels=[3, 6, 10, 14, 16]", "kit.saw_kerf=0.6")


def test_two_settings_differ_where_the_boards_do() -> None:
    """Tail board: 12 + 0.5 proud. Pin board: 10 + 0.25 proud. One setting for both is the classic mistake (common
    practice)."""
    assert [(g.board, g.setting) for g in gauge_settings(laid_out(text=WHOLE))] == [
        ("tail board", 12.5),
        ("pin board", 10.25),
    ]


def test_a_half_blind_joint_is_gauged_to_its_depth_and_marks_no_show_face_of_the_pin_board() -> None:
    """d = 12 - 3; the lap keeps its face clean."""
    layout = laid_out(*HALF_BLIND, text=WHOLE)
    first, second = gauge_settings(layout)
    assert (first.setting, second.setting) == (9, 10.25)
    assert "end grain from its inside face" in first.lines
    marked = {(line.board, line.face) for line in bench_of(layout).scribes}
    assert ("pin board", "show face") not in marked
    assert not any(board == "pin board" and "edge" in face for board, face in marked)


def test_lines_on_show_faces_lie_in_waste_only() -> None:
    """On the tail board between the necks, on the pin board between the pins."""
    layout = laid_out(text=WHOLE)
    lines = {(line.board, line.face): line for line in bench_of(layout).scribes}
    tails = lines["tail board", "show face"]
    necks = [layout.tail_edges(tail, 0.0) for tail in layout.tails]
    assert not tails.full
    assert sum(b - a for a, b in tails.spans) + sum(b - a for a, b in necks) == pytest.approx(96)
    assert all(b <= left or a >= right for a, b in tails.spans for left, right in necks)
    pins = lines["pin board", "show face"]
    assert sum(b - a for a, b in pins.spans) + sum(layout.pin_widths(layout.depth)) == pytest.approx(96)
    assert lines["tail board", "inside face"].spans == lines["pin board", "inside face"].spans == ((0.0, 96.0),)


@pytest.mark.parametrize("kind", [(), HALF_BLIND], ids=["through", "half-blind"])
def test_every_flank_is_sawn_with_the_kerf_in_the_waste(kind: tuple[str, ...]) -> None:
    """A kerf of 0.6 mm is 0.6 sqrt(1 + 1/49) wide in X; it never touches a tail or a pin."""
    layout = laid_out(*kind, *KIT, text=WHOLE)
    lines = bench_of(layout).saw_lines
    assert len(lines) == 4 * len(layout.tails)
    wood = [layout.tail_edges(tail, layout.as_cut.tail_end) for tail in layout.tails]
    waste = [layout.socket_edges(tail, layout.depth) for tail in layout.tails]
    for line in lines:
        low, high = line.kerf
        assert high - low == pytest.approx(0.6 * math.sqrt(1 + 1 / 49))
        assert line.start in (low, high)
        if line.board == "tail board":
            assert all(high <= a + 1e-9 or low >= b - 1e-9 for a, b in wood)
        else:
            assert any(a - 1e-9 <= low and high <= b + 1e-9 for a, b in waste)
    assert all(line.kerf is None for line in bench_of(laid_out(text=WHOLE)).saw_lines)


def test_the_widest_chisel_touches_no_flank() -> None:
    """Tail board: p + 2 (d - T)/N = 3 + 18/7. Pin board: w - 2 (d/2)/N half-way from the show face, w - 2 d/N from the
    inside face, with w = 18.75."""
    between, half_way, inside = bench_of(laid_out(*KIT, text=WHOLE)).chisels[1:]
    assert between.widest == pytest.approx(3 + 2 * (12 - tol.BLADE_THICKNESS) / 7)
    assert half_way.widest == pytest.approx(18.75 - 12 / 7)
    assert inside.widest == pytest.approx(18.75 - 24 / 7)
    assert (between.own, half_way.own, inside.own) == (3, 16, 14)


def test_a_flank_gap_makes_room_for_the_chisel_in_the_pin_board() -> None:
    plain, loose = (
        bench_of(laid_out(g, text=WHOLE)).chisels[-1].widest for g in ("fit.flank_gap=0", "fit.flank_gap=0.1")
    )
    assert loose - plain == pytest.approx(0.2 * math.sqrt(1 + 1 / 49))


def test_a_socket_at_the_edge_takes_any_chisel_and_a_kit_without_one_that_fits_says_so() -> None:
    at_edge, between, *_ = bench_of(laid_out("kit.chisels=[30]", text=WHOLE)).chisels
    assert at_edge.is_open
    assert at_edge.own == 30
    assert between.own is None


def test_sockets_of_one_width_are_told_together() -> None:
    layout = laid_out("joint.spacing=[14, 25, 14]", "joint.tails=3", "joint.half_pin=18.5", text=WHOLE)
    names = {fit.sockets for fit in bench_of(layout).chisels if fit.sockets.startswith("pin board")}
    assert names == {"pin board, sockets 1, 3", "pin board, socket 2"}


def test_a_knife_thicker_than_the_gap_is_warned_of() -> None:
    """The gap at the raw end is 3 - 2 x 0.5/7 = 2.857 mm."""
    assert [f.code for f in remarks(laid_out("kit.knife=2.8", text=WHOLE))] == []
    (warned,) = remarks(laid_out("kit.knife=2.9", text=WHOLE))
    assert (warned.code, warned.severity) == ("knife", "warning")
    assert warned.measured == pytest.approx(3 - 1 / 7)


@pytest.mark.parametrize(("pin", "proud", "ratio", "gap"), [(3, 0.6, 6, 2.8), (4, 1, 8, 3.75), (2.5, 1, 5, 2.1)])
def test_a_knife_exactly_as_wide_as_its_gap_fits(pin: float, proud: float, ratio: int, gap: float) -> None:
    """The gap at the raw end is p - 2 s/N, where the tails stand proud by s."""
    assert gap == pytest.approx(pin - 2 * proud / ratio)
    joint = ("joint.tails=3", f"joint.pin={pin}", f"tail_board.proud={proud}", f"joint.slope=1:{ratio}")
    assert [f.code for f in remarks(laid_out(*joint, f"kit.knife={gap}", text=WHOLE))] == []
    assert [f.code for f in remarks(laid_out(*joint, f"kit.knife={gap + 0.001}", text=WHOLE))] == ["knife"]


def test_one_tail_has_no_gap_for_a_knife_or_a_chisel_between_tails() -> None:
    layout = laid_out("joint.tails=1", "joint.width=40", "kit.knife=9", text=WHOLE)
    assert "knife" not in [f.code for f in remarks(layout)]
    assert [fit.sockets for fit in bench_of(layout).chisels] == [
        "tail board, at the edges",
        *["pin board, all sockets"] * 2,
    ]


# --- chisels, by the formula ------------------------------------------------------------------------


@pytest.mark.parametrize("gap", [-0.05, 0, 0.1])
@pytest.mark.parametrize(("thickness", "ratio"), [(12, 7), (8, 5), (20, 8), (12, 5)])
def test_widest_chisels_by_the_formula_at_any_slope_depth_and_gap(thickness: float, ratio: float, gap: float) -> None:
    """Tail board p + 2 (d - 3)/N, and at the edges half of that on the half pin: a blade 3 mm thick (common practice)
    stands on the baseline. Pin board w - 2 s/N + 2 g sqrt(1 + 1/N^2), with s = d/2 from the show face and s = d from
    the inside face. The tails, w wide, are what the pins leave."""
    overrides = (f"pin_board.thickness={thickness}", f"joint.slope=1:{ratio}", f"fit.flank_gap={gap}")
    edge, between, half_way, inside = (fit.widest for fit in bench_of(laid_out(*overrides, text=WHOLE)).chisels)
    assert tol.BLADE_THICKNESS == 3
    assert edge == pytest.approx(6 + (thickness - 3) / ratio)
    assert between == pytest.approx(3 + 2 * (thickness - 3) / ratio)
    room = 2 * gap * math.sqrt(1 + 1 / ratio**2)
    assert half_way == pytest.approx(18.75 - thickness / ratio + room)
    assert inside == pytest.approx(18.75 - 2 * thickness / ratio + room)


def test_a_half_blind_pin_board_is_chopped_from_one_side_only() -> None:
    """Depth 9 mm: 3 + 2 x 6/7 between tails, 18.75 - 18/7 in the sockets."""
    edge, between, inside = bench_of(laid_out(*HALF_BLIND, text=WHOLE)).chisels
    assert between.widest == pytest.approx(3 + 12 / 7)
    assert inside.widest == pytest.approx(18.75 - 18 / 7)
    assert edge.is_open
    assert not inside.is_open
    assert inside.side == "from the inside face and the end"


def test_in_a_joint_shallower_than_a_blade_is_thick_the_pin_itself_is_the_limit() -> None:
    between = bench_of(laid_out("pin_board.thickness=2", text=WHOLE)).chisels[1]
    assert between.widest == pytest.approx(3)


def test_the_widest_of_the_kit_that_fits_is_taken_whatever_the_order() -> None:
    """5.571 mm between tails."""
    for kit in ("[3, 5.5, 5.6]", "[5.6, 5.5, 3]"):
        assert bench_of(laid_out(f"kit.chisels={kit}", text=WHOLE)).chisels[1].own == 5.5
    assert bench_of(laid_out(text=WHOLE)).chisels[1].own is None


def test_a_chisel_exactly_as_wide_as_the_gap_between_tails_is_taken() -> None:
    """2 + 2 x (15 - 3)/6 = 6 mm."""
    joint = ("joint.width=80", "joint.pin=2", "joint.half_pin=9", "joint.tails=3", "joint.slope=1:6")
    layout = laid_out(*joint, "pin_board.thickness=15", "kit.chisels=[3, 6, 6.001]", text=WHOLE)
    assert bench_of(layout).chisels[1].own == 6


# --- lengths, chops and planing ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("overrides", "tails", "pins"),
    [
        ((), (120, 12.5, 0.5), (110, 10.25, 0.25)),
        (HALF_BLIND, (120, 9, 0), (110, 10.25, 0.25)),
        (STANDING, (120, 15, 3), (110, 12, 2)),
        (("tail_board.proud=0", "pin_board.proud=0"), (120, 12, 0), (110, 10, 0)),
    ],
    ids=["through", "half-blind", "standing", "flush"],
)
def test_boards_are_sawn_to_their_length_the_other_boards_thickness_and_what_stands_proud(
    overrides: tuple[str, ...], tails: tuple[float, ...], pins: tuple[float, ...]
) -> None:
    """12 mm of pin board (9 to the lap) and 10 mm of tail board."""
    cuts = bench_of(laid_out(*overrides, text=WHOLE)).cut_lengths
    assert [(cut.length, cut.joint, cut.proud) for cut in cuts] == [tails, pins]
    assert [cut.saw_to for cut in cuts] == [tails[0] + tails[1], pins[0] + pins[1]]
    assert [cut.board for cut in cuts] == ["tail board", "pin board"]


def test_the_joint_sawn_is_the_gauge_setting() -> None:
    bench = bench_of(laid_out(*STANDING, text=WHOLE))
    assert [cut.joint for cut in bench.cut_lengths] == [gauge.setting for gauge in bench.gauges]


def test_chops_from_two_faces_meet_half_way() -> None:
    """10 mm of tail board, 12 mm of pin board, show face first so that the face that is seen stays crisp (common
    practice)."""
    assert [(c.board, c.face, c.depth, c.lean_deg) for c in bench_of(laid_out(text=WHOLE)).chops] == [
        ("tail board", "show face", 5, 0),
        ("tail board", "inside face", 5, 0),
        ("pin board", "show face", 6, 0),
        ("pin board", "inside face", 6, 0),
    ]


def test_a_half_blind_socket_is_chopped_to_the_lap_and_to_the_baseline() -> None:
    chops = bench_of(laid_out(*HALF_BLIND, text=WHOLE)).chops
    assert [(c.face, c.depth) for c in chops if c.board == "pin board"] == [("inside face", 9), ("end", 10.25)]
    assert [(c.face, c.depth) for c in chops if c.board == "tail board"] == [("show face", 5), ("inside face", 5)]


@pytest.mark.parametrize(("depth", "land"), [(0.3, 2), (0.5, 1)])
def test_the_chisel_leans_by_what_hollows_the_floor_past_the_land(depth: float, land: float) -> None:
    """atan(depth/(reach - land)), reach being half of 10 and of 12 mm, and 9 mm to the lap; never where it chops down
    from the end."""
    hollow = (f"undercut.depth={depth}", f"undercut.land={land}")
    tails, pins, hidden = (math.degrees(math.atan(depth / (reach - land))) for reach in (5, 6, 9))
    through = [chop.lean_deg for chop in bench_of(laid_out(*hollow, text=WHOLE)).chops]
    assert through == pytest.approx([tails, tails, pins, pins])
    blind = [chop.lean_deg for chop in bench_of(laid_out(*hollow, *HALF_BLIND, text=WHOLE)).chops]
    assert blind == pytest.approx([tails, tails, hidden, 0])


def test_planing_takes_off_what_stands_proud_and_what_the_recipe_asks_of_the_faces() -> None:
    assert [(p.what, p.amount) for p in bench_of(laid_out("finish.planing=0.4", text=WHOLE)).planing] == [
        ("ends of the tails, on the pin board's show face", 0.5),
        ("ends of the pins, on the tail board's show face", 0.25),
        ("both show faces", 0.4),
    ]


@pytest.mark.parametrize(
    ("overrides", "amounts"),
    [
        ((), [0.5, 0.25]),
        (("tail_board.proud=0",), [0.25]),
        (("pin_board.proud=0",), [0.5]),
        (HALF_BLIND, [0.25]),
        ((*HALF_BLIND, "finish.planing=0.4"), [0.25, 0.4]),
        (STANDING, []),
        (("tail_board.proud=0", "pin_board.proud=0"), []),
    ],
)
def test_nothing_is_planed_that_does_not_stand_proud_or_stays_so(
    overrides: tuple[str, ...], amounts: list[float]
) -> None:
    assert [p.amount for p in bench_of(laid_out(*overrides, text=WHOLE)).planing] == amounts


def test_end_grain_is_planed_inward_so_that_no_corner_breaks_out() -> None:
    """Common practice: a stroke that leaves the wood at the arris tears the last fibres off it."""
    ends, _, faces = bench_of(laid_out("finish.planing=0.4", text=WHOLE)).planing
    assert ends.direction == "from the arris inward, along the board, never off the arris"
    assert faces.direction == ends.direction


def test_lines_that_stay_are_told_and_none_is_on_a_show_face() -> None:
    through = bench_of(laid_out(text=WHOLE)).lines_left
    hidden = bench_of(laid_out(*HALF_BLIND, text=WHOLE)).lines_left
    assert through[0] == "No line stays on a show face: there they lie in the waste only."
    assert hidden[: len(through)] == through
    assert "end grain" in hidden[-1]
    assert not any("end grain" in line for line in through)


@pytest.mark.parametrize("proud", [0, 0.25])
def test_a_half_blind_line_on_the_end_grain_goes_only_where_the_pins_are_planed(proud: float) -> None:
    """It is gauged on the ends of the pins; planing takes them off, and it stays where there is nothing to plane."""
    bench = bench_of(laid_out(*HALF_BLIND, f"pin_board.proud={proud}", text=WHOLE))
    planed = any(planing.what.startswith("ends of the pins") for planing in bench.planing)
    assert planed == bool(proud)
    told = "The line on the pin board's end grain stays on the ends of the pins"
    assert bench.lines_left[-1] == (f"{told} until you plane them." if planed else f"{told}.")


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_bench_figures_are_sound_for_any_layout(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    bench = bench_of(layout)
    assert bench.bevel_deg == pytest.approx(math.degrees(math.atan(1 / layout.flanks[0].ratio)))
    assert all(gauge.setting > 0 for gauge in bench.gauges)
    assert all(fit.widest > 0 for fit in bench.chisels)
    assert all(0 <= a < b <= layout.width + 1e-9 for line in bench.scribes for a, b in line.spans)


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_chops_lengths_and_planing_add_up_for_any_layout(text: str) -> None:
    """Chops from both faces go through; leaning stays a small angle (a tenth of the floor at most is hollowed)."""
    layout = try_lay_out(text)
    if layout is None:
        return
    recipe, bench = layout.recipe, bench_of(layout)
    faces = [chop for chop in bench.chops if chop.face != "end"]
    for board, through in (("tail board", recipe.tail_board.thickness), ("pin board", recipe.depth)):
        assert sum(chop.depth for chop in faces if chop.board == board) == pytest.approx(through)
    assert all(0 <= chop.lean_deg < 90 for chop in bench.chops)
    assert any(chop.lean_deg for chop in bench.chops) == bool(recipe.undercut.depth)
    tails, pins = bench.cut_lengths
    assert tails.joint - tails.proud == pytest.approx(recipe.pin_board.thickness - recipe.lap)
    assert pins.joint - pins.proud == pytest.approx(recipe.tail_board.thickness)
    assert all(planing.amount > 0 or planing.more > 0 for planing in bench.planing)
    if recipe.finish.ends == "proud":
        assert bench.planing == ()


HALF_OF_THE_LAST_DIGIT = """
units = "in"
[joint]
width = "36 mm"
tails = 3
pin = "1 mm"
half_pin = "5 mm"
slope = "1:8"
kind = "half-blind"
[tail_board]
thickness = "5 mm"
[pin_board]
thickness = "5.4 mm"
"""
"""Its gaps are 1.0046875 mm wide, but for rounding: that must not part them."""


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
@example(HALF_OF_THE_LAST_DIGIT)
def test_a_chisel_of_the_widest_width_touches_no_flank_in_any_layout(text: str) -> None:
    """Between tails it stands where the gap, which closes toward the raw end, is as wide at 3 mm from the baseline; in
    a socket at its narrowest, the inside face, where it is as wide as the tail there and two gaps."""
    layout = try_lay_out(text)
    if layout is None:
        return
    stretch = math.sqrt(1 + 1 / layout.flanks[0].ratio ** 2)
    narrowest = min(tail.width for tail in layout.tails) - 2 * layout.depth / layout.flanks[0].ratio
    room = 2 * layout.recipe.flank_gap * stretch
    fits = bench_of(layout).chisels
    in_sockets = [fit.widest for fit in fits if fit.sockets.startswith("pin board")]
    assert min(in_sockets) == pytest.approx(narrowest + room, abs=1e-5)
    between = [fit.widest for fit in fits if fit.sockets == "tail board, between tails"]
    pins = [] if len(layout.tails) == 1 else [layout.recipe.pin + 2 * max(layout.depth - 3, 0) / layout.flanks[0].ratio]
    assert between == pytest.approx(pins)
