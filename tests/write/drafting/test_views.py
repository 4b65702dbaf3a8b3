"""The shop drawing: everything inside the frame, words on nothing else, dimensions that say what they measure."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from solids.layout import Layout
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.layers import ISO_WIDTHS, LAYERS, layer_of
from solids.write.drafting.paper import PAPERS, SCALES, scale_in_words
from solids.write.drafting.sheet import Angle, Distance, Sheet, Stroke
from solids.write.drafting.views import shop_drawing
from tests.corners import layout_of
from tests.sampling import few
from tests.write.drafting.flat import ODD, clashing, labels, segments, strokes, words_box

SIZES: tuple[PaperName, ...] = ("A4", "Letter", "A3")
LETTER = ("through", "half-blind", "inches", "far proud", "very thick", "short boards")
ONCE = [(name, "A4") for name in ODD]
OTHERS = [(name, size) for name in ODD for size in SIZES[1:] if size != "Letter" or name in LETTER]
EVERY = [*ONCE, *few(OTHERS, 6)]


@cache
def drawing(name: str, size: PaperName = "A4") -> Sheet:
    return shop_drawing(layout_of(*ODD[name]), size)


def layout(name: str) -> Layout:
    return layout_of(*ODD[name])


def frame_of(sheet: Sheet) -> BaseGeometry:
    """20 mm at the filing edge and 10 mm at the others."""
    return box(20.0, 10.0, sheet.width - 10.0, sheet.height - 10.0)


def told(text: str, units: str) -> float:
    """The mm of a dimension's words, read without the package: "18.75 (4x)", "13.201 [13 13/64]"."""
    (number,) = re.sub(r"\(\d+x\)|\[[\d /]+\]|in|mm", "", text).split()
    return float(number) * (1.0 if units == "mm" else 25.4)


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_everything_lies_within_the_frame(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    frame = frame_of(sheet).buffer(1e-6)
    low_x, low_y, high_x, high_y = frame.bounds
    points = [point for stroke in strokes(sheet.items) for point in stroke.points]
    assert [(x, y) for x, y in points if not (low_x <= x <= high_x and low_y <= y <= high_y)] == []
    assert [label.text for label in labels(sheet.items) if not frame.covers(words_box(label))] == []


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_no_words_lie_on_other_words(name: str, size: PaperName) -> None:
    assert clashing([(label.text, words_box(label, 0.05)) for label in labels(drawing(name, size).items)]) == []


@pytest.mark.parametrize(("name", "size"), ONCE)
def test_no_line_of_the_sheet_or_the_views_strikes_words_out(name: str, size: PaperName) -> None:
    """Extension lines may pass between figures at a pinch; the frame, the title block and outlines may not."""
    sheet = drawing(name, size)
    lines = [
        LineString(s)
        for stroke in strokes(sheet.items, "frame", "thin frame", "visible edges", "break lines")
        for s in segments(stroke)
    ]
    whole = unary_union(lines)
    struck = [label.text for label in labels(sheet.items) if words_box(label, 0.1).intersection(whole).length > 0.2]
    assert struck == []


@pytest.mark.parametrize(("name", "size"), ONCE)
def test_no_dimensions_words_are_struck_out_by_another_dimension(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    dims = [item for item in sheet.items if isinstance(item, Distance | Angle)]
    for dim in dims:
        (label,) = labels([dim])
        rest = [LineString(s) for other in dims if other is not dim for k in strokes([other]) for s in segments(k)]
        if rest:
            assert words_box(label, 0.15).intersection(unary_union(rest)).length < 0.2, label.text


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_every_dimension_says_what_it_measures(name: str, size: PaperName) -> None:
    """To half the step of its reading, or half a thousandth of an inch."""
    sheet, units = drawing(name, size), layout(name).recipe.units
    dims = [item for item in sheet.items if isinstance(item, Distance)]
    assert len(dims) >= 4
    for dim in dims:
        axis = 0 if dim.axis == "across" else 1
        length = abs(dim.end[axis] - dim.start[axis]) / sheet.scale
        slack = float(dim.reading.step) / 2 if units == "mm" else 0.00051 * 25.4
        assert told(dim.words, units) == pytest.approx(length, abs=slack + 1e-6)


@pytest.mark.parametrize(("name", "size"), ONCE)
def test_every_dimension_stands_once(name: str, size: PaperName) -> None:
    """The pin board's thickness is the depth of the joint too, unless a lap is left; no size is told in two views."""
    dims = [item for item in drawing(name, size).items if isinstance(item, Distance)]
    plan = layout(name)
    assert sum(dim.axis == "up" for dim in dims) == (3 if plan.is_half_blind else 1)
    widths = len({round(tail.width, 6) for tail in plan.tails})
    strips = sum(strip > 0 for strip in plan.strips)
    most = 3 + widths + (len(plan.tails) > 1) + strips  # the width, a half pin, the tail board's thickness; a pin
    assert 3 <= sum(dim.axis == "across" for dim in dims) <= most


@pytest.mark.parametrize(("name", "size"), ONCE)
def test_the_dimensions_are_those_of_the_layout(name: str, size: PaperName) -> None:
    """Width, depth, half pin, both thicknesses, a pin, every width of tail, and the lap of a half-blind corner."""
    sheet, plan = drawing(name, size), layout(name)
    recipe = plan.recipe
    lengths = sorted(
        abs(d.end[0] - d.start[0] if d.axis == "across" else d.end[1] - d.start[1]) / sheet.scale
        for d in sheet.items
        if isinstance(d, Distance)
    )
    meant = [recipe.width, recipe.pin_board.thickness - recipe.lap, recipe.half_pin]
    meant += [recipe.tail_board.thickness, recipe.pin_board.thickness]
    if name not in ("many widths", "inches, long fractions", "very wide", "a hundred tails", "graduated"):
        meant += [tail.right - tail.left for tail in plan.tails]
        meant += [recipe.pin] if len(plan.tails) > 1 else []
    meant += [recipe.lap] if recipe.lap else []
    for length in meant:
        assert any(abs(length - found) < 1e-6 for found in lengths), length


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_the_scale_is_one_of_the_series_and_the_title_block_names_it(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    assert sheet.scale in SCALES
    words = [label.text for label in labels(sheet.items)]
    assert f"scale {scale_in_words(sheet.scale)}" in words
    assert size in words
    paper = PAPERS[size]
    assert (sheet.width, sheet.height) == (paper.height, paper.width)


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_the_front_view_is_as_wide_as_the_board_at_its_scale(name: str, size: PaperName) -> None:
    """The widest level visible edge of the views is the board's width, or the pictorial would be one of the views."""
    sheet, plan = drawing(name, size), layout(name)
    level = [s for stroke in strokes(sheet.items, "visible edges") for s in segments(stroke) if s[0][1] == s[1][1]]
    left = min(min(a[0], b[0]) for a, b in level)
    right = max(max(a[0], b[0]) for a, b in level if max(a[0], b[0]) < left + plan.width * sheet.scale + 1e-3)
    assert right - left == pytest.approx(plan.width * sheet.scale, abs=1e-3)


@pytest.mark.parametrize("name", ODD)
def test_a_larger_sheet_never_has_a_smaller_scale(name: str) -> None:
    assert drawing(name, "A3").scale >= drawing(name, "A4").scale


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_every_layer_is_known_and_drawn_in_a_width_of_the_standard(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    for item in sheet.items:
        assert layer_of(item.layer).width in ISO_WIDTHS
    assert {item.layer for item in sheet.items} <= {layer.name for layer in LAYERS}, "and none is for a machine"


@pytest.mark.parametrize(("name", "size"), ONCE)
def test_no_edge_is_drawn_twice(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    found = [s for stroke in strokes(sheet.items, "visible edges", "hidden edges") for s in segments(stroke)]
    ends = [tuple(sorted((round(x, 5), round(y, 5)) for x, y in s)) for s in found]
    assert len(set(ends)) == len(ends)
    assert all(math.dist(*s) > 1e-6 for s in found)


def groups(sheet: Sheet) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
    """Lines of the views that hang together: those of the pictorial, which hold directions that no square view has,
    and the others. The title block, with its symbol, is left out."""
    lines = [
        LineString(s)
        for stroke in strokes(sheet.items, "visible edges", "hidden edges", "break lines")
        for s in segments(stroke)
        if min(s[0][1], s[1][1]) > 10 + 36
    ]
    edges = [LineString(s) for stroke in strokes(sheet.items, "visible edges") for s in segments(stroke)]
    whole = unary_union([line.buffer(0.01, cap_style="square") for line in lines])
    parts = list(whole.geoms) if whole.geom_type == "MultiPolygon" else [whole]
    oblique: list[BaseGeometry] = []
    square: list[BaseGeometry] = []
    for part in parts:
        # Flanks lean by 2 to 14 degrees here; what leans by more is no edge of a square view.
        is_oblique = any(
            15 < abs(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))) % 90 < 60
            for line in edges
            if line.length > 2 and part.intersects(line)
            for a, b in [tuple(line.coords)]
        )
        (oblique if is_oblique else square).append(part)
    return oblique, square


@pytest.mark.parametrize(("name", "size"), EVERY)
def test_the_pictorial_view_keeps_clear_of_the_others_and_their_dimensions(name: str, size: PaperName) -> None:
    sheet = drawing(name, size)
    oblique, square = groups(sheet)
    assert oblique
    assert square
    low_x, low_y, high_x, high_y = unary_union(oblique).bounds
    room = box(low_x, low_y, high_x, high_y)
    assert not any(room.intersects(box(*part.bounds)) for part in square)
    dims = [item for item in sheet.items if isinstance(item, Distance | Angle)]
    assert [label.text for label in labels(dims) if words_box(label).intersects(room)] == []
    assert not any(LineString(s).intersects(room) for stroke in strokes(dims) for s in segments(stroke))


def test_the_three_views_stand_in_third_angle() -> None:
    """ISO 5456-2: above stands what is seen from above, on the right what is seen from the right. The front view holds
    the flanks; right of it, at the same height, stands the side view; over it, as wide, the top view."""
    sheet, plan = drawing("listed, no symmetry"), layout("listed, no symmetry")
    _, square = groups(sheet)
    big = sorted(square, key=lambda part: part.bounds)
    boxes = [part.bounds for part in big if part.bounds[2] - part.bounds[0] > 5]
    wide = [b for b in boxes if abs(b[2] - b[0] - plan.width * sheet.scale) < 6]
    front, top = sorted(wide, key=lambda b: b[1])
    assert top[1] > front[3]
    (side,) = [b for b in boxes if b not in wide]
    assert side[0] > front[2]
    assert side[1] < front[3]
    assert side[3] > front[1]
    # The reference edge is on the left: tails of 10, 24 and 15 mm from the left, at the tails' ends.
    tops = sorted(
        (min(a[0], b[0]), abs(b[0] - a[0]))
        for stroke in strokes(sheet.items, "visible edges")
        for a, b in segments(stroke)
        if a[1] == pytest.approx(b[1], abs=1e-6) and abs(max(a[1], b[1]) - front[3]) < 0.1 and a[0] < front[2]
    )
    # They stand 0.5 mm proud at a slope of 1:8, so each is 2 x 0.0625 mm wider there.
    assert [length / sheet.scale for _, length in tops] == pytest.approx([10.125, 24.125, 15.125], abs=1e-3)


def test_a_half_blind_corner_shows_its_lap_and_hides_its_tails_from_above() -> None:
    """From above, the lap covers everything but the outline; from the front, the sockets' ends stay below the lap."""
    sheet = drawing("half-blind")
    texts = [item.words for item in sheet.items if isinstance(item, Distance)]
    assert "5" in texts
    assert "20" in texts
    assert "15" in texts


def test_two_runs_give_the_same_drawing() -> None:
    for name in ("through", "half-blind", "inches"):
        plan = layout(name)
        assert shop_drawing(plan, "A4") == shop_drawing(plan, "A4")


def test_a_title_of_eighty_wide_letters_stays_in_its_block() -> None:
    for title in ("W" * 80, " ".join(["WWWWWWWWW"] * 8), "木工の引き出しの角の箱" * 7):
        plan = layout_of("tool-tray", f'title="{title}"')
        sheet = shop_drawing(plan, "A4")
        frame = frame_of(sheet)
        assert [label.text for label in labels(sheet.items) if not frame.covers(words_box(label))] == []
        assert clashing([(label.text, words_box(label, 0.05)) for label in labels(sheet.items)]) == []


def test_own_woods_with_long_names_stay_in_the_list_of_parts() -> None:
    own = ", ".join(('kind="hardwood"', "density=690"))
    names = ["M" * 80, "W" * 80]
    plan = layout_of(
        "tool-tray",
        *(
            f'{board}.wood={{name="{name}", {own}}}'
            for board, name in zip(("tail_board", "pin_board"), names, strict=True)
        ),
    )
    sheet = shop_drawing(plan, "A4")
    left = sheet.width - 10.0
    blocks = [s for s in strokes(sheet.items, "frame") if s.closed and min(x for x, _ in s.points) > 30]
    left = min(x for stroke in blocks for x, _ in stroke.points)
    for label in labels(sheet.items):
        if any(name in label.text for name in names):
            assert words_box(label).bounds[2] < left
            assert label.height >= 1.0, "too small to read"


def test_strokes_of_the_views_are_found_by_this_file() -> None:
    """The checks above would pass on an empty drawing."""
    sheet = drawing("through")
    assert len(strokes(sheet.items, "visible edges")) > 40
    assert len(strokes(sheet.items, "hidden edges")) > 5
    assert len([item for item in sheet.items if isinstance(item, Stroke)]) > 60
    assert len(labels(sheet.items)) > 15
