"""What the bench sets, scribes, saws and chops: two gauges, lines in the waste only, kerfs beside the line."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from solids.bench import BLADE_THICKNESS, bench_of, gauge_settings
from solids.remarks import remarks
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

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
    assert between.widest == pytest.approx(3 + 2 * (12 - BLADE_THICKNESS) / 7)
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
    assert names == {"pin board, socket 1, 3", "pin board, socket 2"}


def test_a_knife_thicker_than_the_gap_is_warned_of() -> None:
    """The gap at the raw end is 3 - 2 x 0.5/7 = 2.857 mm."""
    assert [f.code for f in remarks(laid_out("kit.knife=2.8", text=WHOLE))] == []
    (warned,) = remarks(laid_out("kit.knife=2.9", text=WHOLE))
    assert (warned.code, warned.severity) == ("knife", "warning")
    assert warned.measured == pytest.approx(3 - 1 / 7)


def test_one_tail_has_no_gap_for_a_knife_or_a_chisel_between_tails() -> None:
    layout = laid_out("joint.tails=1", "joint.width=40", "kit.knife=9", text=WHOLE)
    assert "knife" not in [f.code for f in remarks(layout)]
    assert [fit.sockets for fit in bench_of(layout).chisels] == [
        "tail board, at the edges",
        *["pin board, all sockets"] * 2,
    ]


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_bench_figures_are_sound_for_any_layout(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    bench = bench_of(layout)
    assert bench.bevel_deg == pytest.approx(math.degrees(math.atan(1 / layout.ratio)))
    assert all(gauge.setting > 0 for gauge in bench.gauges)
    assert all(fit.widest > 0 for fit in bench.chisels)
    assert all(0 <= a < b <= layout.width + 1e-9 for line in bench.scribes for a, b in line.spans)
