"""One quantity, one figure: what the terminal, the setup sheet, the note, the shop drawing and the remarks tell of a
joint is the same.

The figures are rounded here by Python's decimals alone, from the layout: half up to 0.05 mm for what is marked or set,
down to 0.01 mm for a limit. Common practice: no chisel is wider than it is told, no line is where no rule shows it.
"""

from __future__ import annotations

import re
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from functools import cache

import pytest

from solids.bench.comparing import compare, compare_heads, compare_tables
from solids.bench.listing import bench_words, board_rows, chisel_rows, raw_end_rows, tail_rows
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.layout import Layout
from solids.write.drafting.sheet import Distance, Label
from solids.write.drafting.views import shop_drawing
from solids.write.paper.setup_sheet import setup_sheet_bytes
from tests.corners import job_of, layout_of
from tests.write.paper.reading import tight, words_of

ODD = ("joint.width=96.37", "pin_board.thickness=12.37", "tail_board.proud=0.52", "joint.half_pin=6.013")
CASES: dict[str, tuple[str, ...]] = {
    "tool tray": ("tool-tray",),
    "odd sizes": ("tool-tray", *ODD),
    "half-blind": ("drawer-front", "pin_board.thickness=20.43", "tail_board.thickness=11.06"),
    "own chisels": ("tool-tray", *ODD, "kit.chisels=[3, 6.03]"),
}


@cache
def plan(name: str) -> Layout:
    return layout_of(*CASES[name])


def ruled(mm: float) -> str:
    """Half up to 0.05 mm."""
    twentieths = (Decimal(str(round(mm, 9))) * 20).quantize(Decimal(1), ROUND_HALF_UP)
    return f"{float(twentieths) / 20:g} mm"


def at_most(mm: float) -> str:
    """Down to 0.01 mm."""
    return f"{float(Decimal(str(round(mm, 9))).quantize(Decimal('0.01'), ROUND_FLOOR)):g} mm"


@cache
def sheet(name: str) -> str:
    return tight(words_of(setup_sheet_bytes(plan(name), failing=False)))


@cache
def note(name: str) -> str:
    from tests.write.test_note import flat

    return flat(job_of(*CASES[name]))


@cache
def drawing(name: str) -> tuple[list[str], str]:
    """The numbers of the dimensions, and all other words."""
    items = shop_drawing(plan(name), "A4").items
    numbers = [item.number for item in items if isinstance(item, Distance)]
    return numbers, " / ".join(item.text for item in items if isinstance(item, Label))


def test_the_worked_case_of_the_tool_tray() -> None:
    """Tail 1 begins 6 - 0.5/7 = 5.9286 mm from the edge of the raw end: 5.95 everywhere. Half-way down, a socket is
    18.75 - 12/7 = 17.0357 mm wide: a chisel of 17.03 mm goes in, one of 17.05 mm does not."""
    assert (ruled(6 - 0.5 / 7), at_most(18.75 - 12 / 7)) == ("5.95 mm", "17.03 mm")
    layout = plan("tool tray")
    assert raw_end_rows(layout)[1][0][1] == "5.95 mm"
    assert [row[2] for row in chisel_rows(layout)[1]] == ["any", "5.57 mm", "17.03 mm", "15.32 mm"]
    assert "15.95mm24.8mm18.75mm" in sheet("tool tray")
    assert "upto17.03mm" in sheet("tool tray")


@pytest.mark.parametrize("name", CASES)
def test_a_tail_begins_at_one_place(name: str) -> None:
    """On the raw end, in the terminal and on the sheet; its width on the finished face there and on the drawing."""
    layout = plan(name)
    numbers, _ = drawing(name)
    for tail, on_end, shown in zip(layout.tails, raw_end_rows(layout)[1], tail_rows(layout)[1], strict=True):
        near, far = (ruled(x) for x in layout.tail_edges(tail, layout.as_cut.tail_end))
        assert on_end[1:3] == (near, far)
        assert shown[3] == ruled(tail.width)
        assert tight(f"{tail.number}{near}{far}{ruled(tail.width)}") in sheet(name)
        assert ruled(tail.width).removesuffix(" mm") in numbers


@pytest.mark.parametrize("name", CASES)
def test_a_gauge_is_set_to_one_figure(name: str) -> None:
    layout = plan(name)
    terminal = " ".join(bench_words(layout))
    steps = {step.what: step.how for step in order_of_work(layout)}
    for gauge in bench_of(layout).gauges:
        told = ruled(gauge.setting)
        assert f"Gauge {told}: " in terminal
        assert f"{told}: the " in steps["Gauge"]
        assert tight(f"gauge, {gauge.board}{told}") in sheet(name)
        assert f"{gauge.board} {told}" in drawing(name)[1]
    shoulders, floors = (ruled(gauge.setting) for gauge in bench_of(layout).gauges)
    assert re.search(rf"the shoulders lie {re.escape(shoulders)} \([\d.]+ in\) from the raw end", note(name))
    assert re.search(rf"sockets lie {re.escape(floors)} \([\d.]+ in\) below the end", note(name))


@pytest.mark.parametrize("name", CASES)
def test_a_board_is_sawn_to_one_length(name: str) -> None:
    layout = plan(name)
    for cut, row in zip(bench_of(layout).cut_lengths, board_rows(layout)[1], strict=True):
        told = ruled(cut.saw_to)
        assert row[4] == told
        assert tight(f"saw {cut.board} to{told}") in sheet(name)
        assert f"saw to {told}" in drawing(name)[1]
        assert told in order_of_work(layout)[0].how


@pytest.mark.parametrize("name", CASES)
def test_a_chisel_is_told_no_wider_than_goes_in(name: str) -> None:
    layout = plan(name)
    for fit, row in zip(bench_of(layout).chisels, chisel_rows(layout)[1], strict=True):
        told = "any" if fit.is_open else at_most(fit.widest)
        assert row[2] == told
        assert tight(f"{fit.sockets}, {fit.side}: {'' if fit.is_open else 'up to '}{told}") in sheet(name)
        assert fit.is_open or float(told.removesuffix(" mm")) <= fit.widest


def test_layouts_side_by_side_and_remarks_tell_the_same_chisel() -> None:
    layout = plan("odd sizes")
    narrowest = at_most(min(fit.widest for fit in bench_of(layout).chisels if not fit.is_open))
    ((_, (row,)),) = compare_tables(compare("tool-tray", ODD, [4], []))
    assert row[compare_heads("mm").index("chisel mm")] == narrowest.removesuffix(" mm")
    (remark,) = (found for found in remarks(layout_of("tool-tray", *ODD, "kit.chisels=[30]")) if found.code == "chisel")
    assert f"One of {narrowest} or less would fit" in remark.advice


@pytest.mark.parametrize("name", ["tool tray", "odd sizes"])
def test_what_passes_a_gap_is_told_no_thicker_than_the_gap(name: str) -> None:
    """The gap at the raw end, which a cutter or a knife must pass."""
    layout = plan(name)
    gap = at_most(min(layout.closed_gaps(layout.as_cut.tail_end)))
    assert re.search(rf"gap between the tails at the raw end, which is {re.escape(gap)} \(", note(name))


def test_sizes_that_were_asked_for_are_told_as_they_were_asked() -> None:
    """12.37 mm is no figure of a rule, but it is the board's."""
    layout = plan("odd sizes")
    assert board_rows(layout)[1][1][2] == "12.37 mm"
    assert "12.37" in drawing("odd sizes")[0]
    assert "12.37 mm thick" in drawing("odd sizes")[1]
    assert "12.37 mm (0.487 in) thick" in note("odd sizes")
