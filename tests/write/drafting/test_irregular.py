"""A joint in which nothing is alike on paper and for machines: the numbers of `tests/irregular.py`, worked out by
hand, in the template, in the areas to clear and in the shop drawing."""

from __future__ import annotations

import math
from functools import cache

import pytest
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from solids.base.geometry import PlanePoint
from solids.layout import Layout
from solids.layout.joint.volumes import socket_area, tail_area
from solids.layout.setups import machine_boards
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.outlines import machine_items, picture_at_full_size, setup_words
from solids.write.drafting.pockets import pin_board_sockets, rebate, tail_board_end, tail_board_sockets
from solids.write.drafting.sheet import Angle, Distance, Label, Sheet, Stroke
from solids.write.drafting.slopes import slopes_along_flanks, table_of_slopes
from solids.write.drafting.template import BEHIND, Strip, strips
from solids.write.drafting.views import shop_drawing
from tests.irregular import at, irregular
from tests.write.drafting.flat import clashing, labels, segments, strokes, words_box
from tests.write.drafting.machine import boards_of_box, strokes_of

BOTH = pytest.mark.parametrize("mirrored", [False, True], ids=["as drawn", "mirrored"])


def turned(layout: Layout, *xs: float) -> list[float]:
    """Places from the reference edge as X."""
    return sorted(layout.width - x if layout.mirrored else x for x in xs)


def ring(points: tuple[PlanePoint, ...]) -> Polygon:
    polygon = Polygon(points)
    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    return polygon


# --- the template --------------------------------------------------------------------------------


def xs_at(strip: Strip, height: float) -> list[float]:
    """The X of all points of cut lines at one height of a strip."""
    found = {
        point for item in strip.items if isinstance(item, Stroke) and item.layer == "cut lines" for point in item.points
    }
    return sorted(x for x, y in found if abs(y - height) < 1e-9)


@BOTH
def test_the_tail_boards_strip_has_each_flank_on_its_own_line_and_folds_round_the_rebate(*, mirrored: bool) -> None:
    """Ends 12 + 1.2 from the baseline, tails 10 - 2 thick; the shoulder of the rebate is 2 high. At the raw end each
    flank is 1.2/N further out than at the finished face; the wall of the mitred shoulder is square at 96 - 6."""
    layout = irregular(mirrored=mirrored)
    strip, _ = strips(layout)
    heights = (BEHIND + 13.2, BEHIND + 21.2, BEHIND + 34.4, BEHIND + 36.4)
    assert strip.folds == pytest.approx(heights)
    assert strip.baselines == pytest.approx((BEHIND, BEHIND + 34.4))
    assert strip.height == pytest.approx(2 * BEHIND + 36.4)
    feet, tips = turned(layout, *at(0.0), 90.0), turned(layout, *at(13.2))
    assert at(13.2) == pytest.approx([20.2, 25.76, 50.0, 55.85, 80 + 1.2 / 9])
    assert xs_at(strip, BEHIND) == pytest.approx(feet)
    assert xs_at(strip, heights[2]) == pytest.approx(feet)
    assert xs_at(strip, heights[0]) == xs_at(strip, heights[1]) == pytest.approx(tips)


@BOTH
def test_the_pin_boards_strip_is_gauged_from_the_rebate(*, mirrored: bool) -> None:
    """From the raw end to the baseline it is 10 - 2 + 0.8."""
    layout = irregular(mirrored=mirrored)
    _, strip = strips(layout)
    inner = BEHIND + 8.8 + 12
    assert strip.folds == pytest.approx((BEHIND + 8.8, inner))
    assert strip.baselines == pytest.approx((BEHIND, inner + 8.8))
    seen = [sorted(96 - x for x in turned(layout, *places)) for places in (at(12.0), at(0.0), (*at(0.0), 90.0))]
    assert xs_at(strip, BEHIND) == pytest.approx(seen[0])
    assert xs_at(strip, inner) == pytest.approx(seen[1])
    assert xs_at(strip, inner + 8.8) == pytest.approx(seen[2])


@pytest.mark.parametrize(("board", "height"), [(0, 11.5 * 8 / 7.5), (1, 7.5 * 12 / 11.5)])
def test_the_template_marks_where_the_mitre_meets_the_show_face(board: int, height: float) -> None:
    """The mitre rises 7.5 over a run of 11.5: it reaches the tail board's face 8 up, the pin board's 12 out."""
    strip = strips(irregular())[board]
    lines = [item.points for item in strip.items if isinstance(item, Stroke) and item.layer == "gauge lines"]
    ends = sorted(x if board == 0 else 96 - x for x in (90.0, 96.0))
    assert any(
        sorted(x for x, _ in line) == pytest.approx(ends)
        and [y for _, y in line] == pytest.approx([BEHIND + height] * 2)
        for line in lines
    )
    (word,) = [item for item in strip.items if isinstance(item, Label) and item.text == "mitre"]
    low, high = words_box(word).bounds[1], words_box(word).bounds[3]
    assert BEHIND < low < high < BEHIND + height


def test_a_kerf_is_as_wide_in_x_as_its_own_flank_leans() -> None:
    """0.4 sqrt(1 + 1/36) beside the half tail's 1:6, 0.4 beside the square flank and the wall of the mitre."""
    strip, _ = strips(irregular("kit.saw_kerf=0.4"))
    waste = [item.points for item in strip.items if isinstance(item, Stroke) and item.layer == "waste"]
    starts = sorted(line[0][0] for line in waste if line[0][1] == BEHIND and abs(line[0][0] - line[1][0]) < 5)
    stretch = [0.4 * math.sqrt(1 + 1 / n**2) for n in (6, 5, 8, 9)]
    kerfs = [18 + stretch[0], 28.4 - stretch[1], 50.4, 57.5 - stretch[2], 80 - 4 / 3 + stretch[3], 89.6]
    assert all(any(abs(x - kerf) < 1e-9 for x in starts) for kerf in kerfs)


@BOTH
def test_no_words_of_a_strip_lie_on_each_other(*, mirrored: bool) -> None:
    for strip in strips(irregular(mirrored=mirrored)):
        found = [item for item in (*strip.items, *strip.names(0.0, strip.width)) if isinstance(item, Label)]
        assert clashing([(item.text, words_box(item)) for item in found]) == []


# --- machines --------------------------------------------------------------------------------------


@BOTH
def test_areas_between_the_tails_are_what_the_tails_and_the_mitred_strip_leave(*, mirrored: bool) -> None:
    """By hand from 0 to 13.2: a gap of two flanks has 13.2 times its width half-way; the mitre's strip is in none."""
    layout = irregular(mirrored=mirrored)
    gaps = [ring(pocket.points) for pocket in tail_board_sockets(layout)]
    middle = at(6.6)
    widths = [middle[1] - middle[0], middle[3] - middle[2], 90 - middle[4]]
    assert [gap.area for gap in gaps] == pytest.approx([13.2 * width for width in layout.counted(widths)])
    front = box(0, 0, 96, 13.2)
    closed = sum(tail_area(layout, tail, 13.2) for tail in layout.tails)
    assert sum(gap.area for gap in gaps) == pytest.approx(front.area - closed - 6 * 13.2)
    wood = ring(((0.0, -50.0), (96.0, -50.0), *tail_board_end(layout)))
    assert wood.area == pytest.approx(96 * 50 + closed + 6 * 13.2)
    assert max(wood.intersection(gap).area for gap in gaps) < 1e-9
    low, high = turned(layout, 0, 18)
    beside = max(gap.intersection(box(low, 0, high, 13.2)).area for gap in gaps)
    assert beside < 1e-9, "there is no gap beside the flush edge"


@BOTH
def test_sockets_have_the_area_of_their_tails_and_that_of_a_half_tail_runs_out_over_the_edge(*, mirrored: bool) -> None:
    layout = irregular("fit.flank_gap=0.1", mirrored=mirrored)
    sockets = [ring(pocket.points) for pocket in pin_board_sockets(layout)]
    assert [socket.area for socket in sockets] == pytest.approx([socket_area(layout, t, 12) for t in layout.tails])
    by_hand = [
        12 * (at(6.0)[0] + 0.1 * math.sqrt(1 + 1 / 36)),
        12 * (at(6.0)[2] - at(6.0)[1] + 0.1 + 0.1 * math.sqrt(1.04)),
    ]
    assert [sockets[i].area for i in ((-1, -2) if mirrored else (0, 1))] == pytest.approx(by_hand)
    assert all(pocket.closed_corners == () for pocket in pin_board_sockets(layout, 3.0))
    past = [ring(pocket.points).bounds for pocket in pin_board_sockets(layout, 3.0)]
    edge = max(right for _, _, right, _ in past) if mirrored else min(left for left, *_ in past)
    assert edge == (99.0 if mirrored else -3.0)


@BOTH
def test_the_rebate_is_cut_first_and_all_sockets_from_the_upper_face(*, mirrored: bool) -> None:
    layout = irregular("kit.cutters=[3, 6]", mirrored=mirrored)
    boards = machine_boards(layout)
    layers = [stroke.layer for stroke in strokes_of(machine_items(boards["tail board"]))]
    assert list(dict.fromkeys(layers))[:4] == [
        "flat outline",
        "flat mitre by hand",
        "flat rebate Z-2",
        "flat sockets Z-10",
    ]
    assert layers.index("flat last D6 Z-2") < layers.index("flat last D3 Z-10")
    assert ring(rebate(layout).points).area == pytest.approx(96 * 13.2)
    pins = [stroke.layer for stroke in strokes_of(machine_items(boards["pin board"]))]
    assert "end sockets Z-8.8" in pins
    assert not any("rebate" in layer for layer in pins)


@BOTH
def test_the_mitred_strip_is_left_to_the_saw_and_no_path_of_a_socket_enters_it(*, mirrored: bool) -> None:
    layout = irregular("kit.cutters=[3, 6]", mirrored=mirrored)
    for board, deep in (("tail board", 13.2), ("pin board", 12.0)):
        drawn = strokes_of(machine_items(machine_boards(layout)[board]))
        (strip,) = [stroke for stroke in drawn if stroke.layer.endswith("mitre by hand")]
        area = ring(strip.points)
        assert area.area == pytest.approx(6 * deep)
        cut = [s for s in drawn if " last " in s.layer and not s.layer.endswith("Z-2")]
        assert cut
        for stroke in cut:
            thick = float(stroke.layer.split(" D")[1].split()[0])
            swept = LineString([*stroke.points, stroke.points[0]]).buffer(thick / 2 - 1e-6)
            assert swept.intersection(area).area < 1e-6


def test_words_tell_of_the_rebate_and_of_the_strip_that_is_left() -> None:
    board = machine_boards(irregular())["tail board"]
    told = list(setup_words(board, board.setups[0]))
    assert told[1:] == [
        "first a rebate, 2 mm deep, from baseline to end; all depths are from the upper face",
        "leave 6 mm along the other edge to the saw: it is mitred by hand",
    ]
    board = machine_boards(irregular())["pin board"]
    assert list(setup_words(board, board.setups[0]))[2:] == [told[2]]


def test_words_on_a_board_of_a_box_say_once_what_both_ends_have() -> None:
    asked = ("keepsake-box", "tail_board.rebate=1.5", "joint.mitre.reference=8", "box.groove.up=16")
    board = boards_of_box(*asked)["left"]
    assert list(setup_words(board, board.setups[0]))[1:] == [
        "first a rebate at both ends, 1.5 mm deep, from baseline to end; all depths are from the upper face",
        "leave 8 mm along the reference edge at both ends to the saw: it is mitred by hand",
    ]


def test_the_picture_at_full_size_has_no_edge_twice() -> None:
    for board in machine_boards(irregular()).values():
        sheet = picture_at_full_size(board, "by hand")
        layers = {stroke.layer for stroke in strokes(sheet.items)}
        assert not any("mitre" in layer or "rebate" in layer for layer in layers)


# --- the shop drawing --------------------------------------------------------------------------------


@cache
def drawing(size: PaperName, *, mirrored: bool) -> Sheet:
    return shop_drawing(irregular(mirrored=mirrored), size)


@BOTH
@pytest.mark.parametrize("size", ["A4", "A3"])
def test_the_drawing_dimensions_each_width_once_the_rebate_and_the_mitre(size: PaperName, *, mirrored: bool) -> None:
    sheet = drawing(size, mirrored=mirrored)
    dims = [item for item in sheet.items if isinstance(item, Distance)]
    across = sorted(item.words for item in dims if item.axis == "across")
    assert across == sorted(["96", "20", "24 (2x)", "6", "6", "10", "10", "2"])  # a pin and the mitre, both 6 wide
    for item in dims:
        along = 0 if item.axis == "across" else 1
        told = float(item.number.split()[0])
        assert abs(item.end[along] - item.start[along]) / sheet.scale == pytest.approx(told, abs=1e-9)
    angles = {item.words for item in sheet.items if isinstance(item, Angle)}
    tails, pins = math.degrees(math.atan(7.5 / 11.5)), math.degrees(math.atan(11.5 / 7.5))
    assert angles == {f"{tails:.1f}° tail board", f"{pins:.1f}° pin board"} == {"33.1° tail board", "56.9° pin board"}
    words = [label.text for label in labels(sheet.items)]
    assert sorted(text for text in words if text in ("1:5", "1:6", "square", "1:8", "1:9")) == [
        *("1:5", "1:6", "1:8", "1:9"),
        "square",
    ]
    assert "3 tails, listed, slope 1:5 to square" in words
    assert "mitred shoulder: 6 mm at the other edge" in words


@BOTH
@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_words_of_the_drawing_stand_clear_of_each_other_and_of_lines(size: PaperName, *, mirrored: bool) -> None:
    sheet = drawing(size, mirrored=mirrored)
    assert clashing([(label.text, words_box(label, 0.05)) for label in labels(sheet.items)]) == []
    seen = strokes(sheet.items, "frame", "thin frame", "visible edges", "break lines", "dimensions")
    lines = unary_union([LineString(ends) for stroke in seen for ends in segments(stroke)])
    struck = [label.text for label in labels(sheet.items) if words_box(label, 0.1).intersection(lines).length > 0.2]
    assert struck == []


def test_where_a_tail_has_no_room_the_slopes_stand_in_a_table() -> None:
    layout = irregular()
    assert slopes_along_flanks(layout, 1.0)
    assert slopes_along_flanks(layout, 0.25) == []
    assert table_of_slopes(layout) == ("slopes: tail 1 1:6; tail 2 1:5, square; tail 3 1:8, 1:9",)
    assert table_of_slopes(irregular(mirrored=True)) == table_of_slopes(layout)
