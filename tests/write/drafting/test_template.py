"""The paper template: cut lines where the layout has its flanks, mirrored for the pin board, and, wrapped round the
board, on the very edges of its solid."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from solids.base.geometry import PlanePoint
from solids.layout import Layout
from solids.model.corner import Corner, make_corner
from solids.model.kernel import faces_of
from solids.write.drafting.sheet import Item, Label, Stroke
from solids.write.drafting.template import BEHIND, Strip, strips
from tests.corners import CASES, case, layout_of
from tests.irregular import irregular
from tests.write.drafting.flat import Edge, edges_of, segments, words_box

Place = tuple[float, float, float]
Wrap = Callable[[PlanePoint], list[Place]]

ODD = CASES["listed, no symmetry"]
"""Tails of 10, 24 and 15 mm, a flank gap of 0."""


def of_layer(strip: Strip, layer: str) -> list[Stroke]:
    return [item for item in strip.items if isinstance(item, Stroke) and item.layer == layer]


def words(strip: Strip, text: str) -> list[Label]:
    return [item for item in strip.items if isinstance(item, Label) and item.text == text]


def xs_at(strip: Strip, height: float) -> list[float]:
    """The X of all points of cut lines at one height of the strip, from the left."""
    points = {point for stroke in of_layer(strip, "cut lines") for point in stroke.points}
    return sorted(round(x, 9) for x, y in points if abs(y - height) < 1e-9)


# --- round the board ---------------------------------------------------------------------------------


def round_tail_board(layout: Layout) -> Wrap:
    """From paper to space: up the show face Z = t, over the raw end Y = D, down the inside face Z = 0 or the rebate."""
    reach, top = layout.depth + layout.recipe.tail_board.proud, layout.recipe.tail_board.thickness
    thick = top - layout.recipe.rebate
    return lambda point: wrapped(
        point, reach, thick, lambda x, up, over: (x, up, top - over), layout.width, mirrored=False
    )


def round_pin_board(layout: Layout) -> Wrap:
    """The same with the show face Y = t, the raw end Z = D and the inside face Y = 0, X running to the left."""
    low = layout.recipe.rebate
    reach = layout.recipe.tail_board.thickness - low + layout.recipe.pin_board.proud
    thick = layout.recipe.pin_board.thickness
    return lambda point: wrapped(
        point, reach, thick, lambda x, up, over: (x, thick - over, low + up), layout.width, mirrored=True
    )


def wrapped(
    point: PlanePoint,
    reach: float,
    thick: float,
    put: Callable[[float, float, float], Place],
    width: float,
    *,
    mirrored: bool,
) -> list[Place]:
    """Where a point of the strip comes to lie: two places, alike, where it lies on a fold."""
    x, v = (width - point[0] if mirrored else point[0]), point[1] - BEHIND
    places = []
    if v <= reach + 1e-9:
        places.append(put(x, v, 0.0))
    if reach - 1e-9 <= v <= reach + thick + 1e-9:
        places.append(put(x, reach, v - reach))
    if v >= reach + thick - 1e-9:
        places.append(put(x, reach - (v - reach - thick), thick))
    return places


def is_on(place: Place, edge: Edge) -> bool:
    """Whether a point lies on an edge, to a millionth of a millimetre."""
    a, b = edge
    length = math.dist(a, b)
    share = sum((p - u) * (w - u) for p, u, w in zip(place, a, b, strict=True)) / length**2
    if not -1e-9 <= share <= 1 + 1e-9:
        return False
    return math.dist(place, [u + share * (w - u) for u, w in zip(a, b, strict=True)]) < 1e-6


def edges_through(points: list[Place], edges: set[Edge]) -> list[Edge]:
    return [edge for edge in edges if all(is_on(point, edge) for point in points)]


SOLIDS = ("through", "half-blind", "listed, no symmetry", "loose", "tight half-blind", "unequal ends", "inches")
IRREGULAR = {"irregular": False, "irregular, mirrored": True}


def corner_of(name: str) -> Corner:
    if name not in IRREGULAR:
        return case(name).cut
    layout = irregular(mirrored=IRREGULAR[name])
    return make_corner(layout, layout.as_cut)


def mitred(layout: Layout, stroke: Stroke, strip: Strip) -> bool:
    """Whether a cut line is the one beside a mitred shoulder, which a saw follows past the mitre."""
    shown = [
        x + layout.strips[0] if strip.board == "tail board" else layout.width - x for x in (6.0, layout.width - 6.0)
    ]
    return any(layout.mitred) and stroke.points[0][0] in shown


@pytest.mark.parametrize("name", [*SOLIDS, *IRREGULAR])
@pytest.mark.parametrize("board", [0, 1], ids=["tail board", "pin board"])
def test_a_strip_wrapped_round_its_board_has_every_cut_line_on_an_edge_of_the_solid(name: str, board: int) -> None:
    corner = corner_of(name)
    layout = corner.layout
    strip, wrap = strips(layout)[board], (round_tail_board, round_pin_board)[board](layout)
    edges = edges_of(faces_of(corner.boards[board][1]))
    met: set[Edge] = set()
    strokes = [stroke for stroke in of_layer(strip, "cut lines") if not mitred(layout, stroke, strip)]
    assert len(strokes) == len(of_layer(strip, "cut lines")) - (name in IRREGULAR)
    for stroke in strokes:
        for a, b in segments(stroke):
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            (inside,) = wrap(middle)
            near = [min(wrap(end), key=lambda place: math.dist(place, inside)) for end in (a, b)]
            found = edges_through([near[0], inside, near[1]], edges)
            assert len(found) == 1, (stroke, near)
            met.add(found[0])
    # Three edges bound each flank away from its floor; a lap hides the one on the show face.
    each = 2 if board == 1 and layout.is_half_blind else 3
    assert len(met) == each * len(layout.flanks)


@pytest.mark.parametrize("name", [*SOLIDS, *IRREGULAR])
@pytest.mark.parametrize("board", [0, 1], ids=["tail board", "pin board"])
def test_gauge_lines_on_show_faces_lie_on_edges_of_the_waste_alone(name: str, board: int) -> None:
    corner = corner_of(name)
    layout = corner.layout
    strip, wrap = strips(layout)[board], (round_tail_board, round_pin_board)[board](layout)
    edges = edges_of(faces_of(corner.boards[board][1]))
    lines = of_layer(strip, "gauge lines")
    outside = [line for line in lines if line.points[0][1] < strip.folds[1] - 1e-9]
    mitre = name in IRREGULAR
    assert len(outside) == (len(layout.tails) if board else len(layout.gaps)) + mitre
    for line in outside:
        ends = [place for point in line.points for place in wrap(point)]
        assert edges_through(ends, edges)
    (inner,) = [line for line in lines if line not in outside]
    assert sorted(x for x, _ in inner.points) == pytest.approx([0.0, layout.width])
    assert [y for _, y in inner.points] == pytest.approx([strip.baselines[1]] * 2)
    assert {round(wrap(point)[0][2 - board], 9) for point in inner.points} == {0.0 if board else layout.rebate}


# --- on the paper ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_folds_and_baselines_stand_where_the_board_has_its_corners(name: str) -> None:
    layout = layout_of(*CASES[name])
    recipe = layout.recipe
    depth = recipe.pin_board.thickness - recipe.lap
    for strip, reach, thick in zip(
        strips(layout),
        (depth + recipe.tail_board.proud, recipe.tail_board.thickness + recipe.pin_board.proud),
        (recipe.tail_board.thickness, recipe.pin_board.thickness),
        strict=True,
    ):
        assert strip.baselines[0] == pytest.approx(BEHIND)
        assert strip.folds == pytest.approx((BEHIND + reach, BEHIND + reach + thick))
        assert strip.baselines[1] == pytest.approx(BEHIND + 2 * reach + thick)
        assert strip.height == pytest.approx(2 * BEHIND + 2 * reach + thick)
        assert strip.width == pytest.approx(recipe.width)
        drawn = {round(point[1], 9) for line in of_layer(strip, "fold lines") for point in line.points}
        assert drawn == {round(fold, 9) for fold in strip.folds}
        (frame,) = of_layer(strip, "thin frame")
        assert frame.closed
        assert set(frame.points) == {(x, y) for x in (0.0, strip.width) for y in (0.0, strip.height)}


def test_the_tail_boards_cut_lines_stand_at_the_tails_edges_from_the_left() -> None:
    """By hand: half pin 13, tails of 10, 24 and 15, pins of 2.5 at Y = d = 18; slope 1:8; ends 0.5 proud. A flank is
    18/8 = 2.25 further in at the baseline and 0.5/8 = 0.0625 further out at the raw end."""
    strip = strips(layout_of(*ODD))[0]
    at_finish = [(13, 23), (25.5, 49.5), (52, 67)]
    feet = sorted(x for left, right in at_finish for x in (left + 2.25, right - 2.25))
    tips = sorted(x for left, right in at_finish for x in (left - 0.0625, right + 0.0625))
    assert xs_at(strip, strip.baselines[0]) == pytest.approx(feet)
    assert xs_at(strip, strip.baselines[1]) == pytest.approx(feet)
    assert xs_at(strip, strip.folds[0]) == xs_at(strip, strip.folds[1]) == pytest.approx(tips)


def test_the_pin_boards_strip_is_mirrored_and_its_sockets_are_widest_at_the_show_face() -> None:
    """The same joint seen from the other side, 80 mm wide: x becomes 80 - x. Its slope runs over the raw end."""
    strip = strips(layout_of(*ODD))[1]
    at_finish = [(13, 23), (25.5, 49.5), (52, 67)]
    wide = sorted(80 - x for pair in at_finish for x in pair)
    narrow = sorted(80 - x for left, right in at_finish for x in (left + 2.25, right - 2.25))
    assert xs_at(strip, strip.baselines[0]) == xs_at(strip, strip.folds[0]) == pytest.approx(wide)
    assert xs_at(strip, strip.baselines[1]) == xs_at(strip, strip.folds[1]) == pytest.approx(narrow)


def test_a_flank_gap_widens_the_sockets_on_paper_and_leaves_the_tails_alone() -> None:
    """A gap g normal to a flank of 1:7 is g sqrt(1 + 1/49) in X, on each side of each socket."""
    exact, loose = (strips(layout_of("tool-tray", f"fit.flank_gap={gap}")) for gap in (0, 0.1))
    assert xs_at(loose[0], loose[0].folds[0]) == xs_at(exact[0], exact[0].folds[0])
    shift = 0.1 * math.sqrt(1 + 1 / 49)
    before, after = (xs_at(pair[1], pair[1].folds[0]) for pair in (exact, loose))
    moves = [b - a for a, b in zip(before, after, strict=True)]
    assert moves == pytest.approx([-shift, shift] * 4)


def test_a_half_blind_strip_stops_at_the_lap() -> None:
    """The drawer front: 20 mm thick with a lap of 5 mm; on the raw end the sockets begin 5 mm from the show face."""
    strip = strips(layout_of("drawer-front"))[1]
    heights = [point[1] for stroke in of_layer(strip, "cut lines") for point in stroke.points]
    assert min(heights) == pytest.approx(strip.folds[0] + 5.0)
    assert max(heights) == pytest.approx(strip.baselines[1])
    shown = [line for line in of_layer(strip, "gauge lines") if line.points[0][1] < strip.folds[1]]
    assert {round(y, 9) for line in shown for _, y in line.points} == {round(strip.folds[0] + 5.0, 9)}


@pytest.mark.parametrize("name", CASES)
def test_the_reference_edge_is_named_on_its_own_side_and_the_tails_are_numbered_from_it(name: str) -> None:
    layout = layout_of(*CASES[name])
    tails, pins = strips(layout)
    for strip, is_left in ((tails, True), (pins, False)):
        edge = words(strip, "ref. edge")
        assert len(edge) == 2
        assert all((label.at[0] < strip.width / 2) == is_left for label in edge)
        numbers = [words(strip, str(tail.number)) for tail in layout.tails]
        assert all(len(found) == 1 for found in numbers)
        at = [found[0].at[0] for found in numbers]
        middles = [(tail.left + tail.right) / 2 for tail in layout.tails]
        assert at == pytest.approx(middles if is_left else [layout.width - x for x in middles])


@pytest.mark.parametrize("name", CASES)
def test_the_crosses_of_the_waste_lie_between_the_cut_lines(name: str) -> None:
    """Wrapped round the board, every point of a cross is wood that goes: beside every tail, within every socket."""
    layout = layout_of(*CASES[name])
    shift = layout.recipe.flank_gap * math.sqrt(1 + 1 / layout.recipe.slope_ratio**2)
    wraps = (round_tail_board(layout), round_pin_board(layout))
    for strip, wrap, is_tails in zip(strips(layout), wraps, (True, False), strict=True):
        lines = of_layer(strip, "waste")
        for line in lines:
            (x1, v1), (x2, v2) = line.points
            for share in (0.1, 0.3, 0.5, 0.7, 0.9):
                x, y, _ = wrap((x1 + share * (x2 - x1), v1 + share * (v2 - v1)))[0]
                lean = (
                    (layout.depth - y) / layout.recipe.slope_ratio
                    if is_tails
                    else (layout.depth - min(y, layout.depth)) / layout.recipe.slope_ratio
                )
                grown = -lean if is_tails else shift - lean
                within = [tail.left - grown < x < tail.right + grown for tail in layout.tails]
                assert any(within) is not is_tails
        n = len(layout.tails)
        areas, sawn = (n + 1, 2 * n) if is_tails else (n, 2 * n)
        faces = 2 if layout.is_half_blind and not is_tails else 3
        kerfs = sawn * faces if layout.recipe.kit.saw_kerf else 0
        assert len(lines) == 2 * areas * faces + kerfs


@pytest.mark.parametrize("board", [0, 1], ids=["tail board", "pin board"])
@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_a_kerf_ends_as_far_into_the_waste_as_the_saw_is_thick(preset: str, board: int) -> None:
    """0.6 mm normal to the flank: that far from a leaning cut line, and 0.6 sqrt(1 + 1/49) in X from an upright one."""
    layout = layout_of(preset, "kit.saw_kerf=0.6")
    strip = strips(layout)[board]
    cuts = [segment for stroke in of_layer(strip, "cut lines") for segment in segments(stroke)]
    lines = [stroke.points for stroke in of_layer(strip, "waste")]
    found = 0
    for a, b in cuts:
        wanted = 0.6 * math.sqrt(1 + 1 / 49) if abs(a[0] - b[0]) < 1e-9 else 0.6
        beside = [far for line in lines if (far := apart((a, b), (line[0], line[1]))) is not None]
        assert min(beside) == pytest.approx(wanted, abs=1e-9)
        found += 1
    assert found == 2 * len(layout.tails) * (2 if board and layout.is_half_blind else 3)


def apart(cut: tuple[PlanePoint, PlanePoint], line: tuple[PlanePoint, PlanePoint]) -> float | None:
    """How far a parallel line at the same height is from a cut line; None where it is none."""
    (a, b), (c, d) = sorted(cut, key=lambda p: p[1]), sorted(line, key=lambda p: p[1])
    same_height = abs(a[1] - c[1]) < 1e-9 and abs(b[1] - d[1]) < 1e-9
    if not same_height or abs((b[0] - a[0]) - (d[0] - c[0])) > 1e-9:
        return None
    return abs(c[0] - a[0]) * abs(b[1] - a[1]) / math.dist(a, b)


def test_a_strip_asks_nothing_of_the_kernel_and_is_the_same_each_time() -> None:
    layout = layout_of(*ODD)
    assert strips(layout) == strips(layout)


@pytest.mark.parametrize("name", CASES)
def test_the_words_of_a_strip_lie_on_it_and_not_on_each_other(name: str) -> None:
    for strip in strips(layout_of(*CASES[name])):
        labels: list[Item] = [item for item in strip.items if isinstance(item, Label)]
        boxes = [(item.text, words_box(item, 0.05)) for item in labels if isinstance(item, Label)]
        for text, box in boxes:
            low_x, low_y, high_x, high_y = box.bounds
            assert low_x >= 0, text
            assert low_y >= 0, text
            assert high_x <= strip.width, text
            assert high_y <= strip.height, text
        shared = [(a, b) for i, (a, one) in enumerate(boxes) for b, other in boxes[i + 1 :] if one.intersects(other)]
        assert shared == []
