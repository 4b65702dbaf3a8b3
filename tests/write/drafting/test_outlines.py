"""Outlines for machines: closed, sound and as large as the layout's closed forms; cutters that stay off the wood that
stays. Areas and offsets are checked with shapely, which shares no code with the outlines."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, LineString, Polygon, box
from shapely.ops import unary_union

from solids.bench.milling import ROUGHING_LEAVES, cuts
from solids.layout import Layout
from solids.write.drafting.cutter_words import path_of
from solids.write.drafting.outlines import (
    cutter_path,
    inset,
    machine_outlines,
    pin_board_sockets,
    tail_board_outline,
    tail_board_sockets,
)
from solids.write.drafting.sheet import Label, Stroke
from tests.corners import CASES, layout_of
from tests.recipes import recipe_texts, try_lay_out

Points = Sequence[tuple[float, float]]

ROUND = 64
"""Pieces of a quarter circle: a buffer's edge is then within r (1 - cos(pi / 256)), 0.0003 mm for 3 mm."""
SLACK = 1e-3


def is_sound(points: Points) -> bool:
    """Closed, counter-clockwise, not crossing itself and without a side of no length."""
    sides = zip(points, [*points[1:], points[0]], strict=True)
    ring = LinearRing(points)
    return bool(Polygon(points).is_valid and ring.is_ccw and min(math.dist(a, b) for a, b in sides) > 1e-6)


def outlines_of(layout: Layout) -> list[Stroke]:
    """All outlines; words that stand beside them, and the marks of zero, are left out."""
    strokes = [item for item in machine_outlines(layout) if isinstance(item, Stroke)]
    return [stroke for stroke in strokes if stroke.layer != "CAM zero"]


def paths_of(layout: Layout, board: str) -> list[Stroke]:
    """The paths of the cutters for one board, on whatever layers."""
    strokes = outlines_of(layout)
    return [stroke for stroke in strokes if stroke.layer.startswith(f"CAM {board}") and " D" in stroke.layer]


def own(*diameters: float) -> str:
    """The maker's cutters, in mm whatever the units of the recipe."""
    return f"kit.cutters={[f'{diameter} mm' for diameter in diameters]}".replace("'", '"')


def closed(layer: str, outlines: list[Stroke]) -> list[Stroke]:
    return [stroke for stroke in outlines if stroke.layer == layer]


@pytest.mark.parametrize("name", CASES)
def test_every_outline_is_closed_and_runs_counter_clockwise_without_crossing_itself(name: str) -> None:
    outlines = outlines_of(layout_of(*CASES[name]))
    assert outlines
    for stroke in outlines:
        assert stroke.closed
        assert stroke.points[0] != stroke.points[-1]
        assert is_sound(stroke.points), stroke


@pytest.mark.parametrize("name", CASES)
def test_the_tail_boards_outline_has_the_area_of_board_and_tails(name: str) -> None:
    """W L + sum of D w - (2 d D - D^2)/N, the tails being D long as cut (the layout's own formula, by hand)."""
    layout = layout_of(*CASES[name])
    recipe, d, reach = layout.recipe, layout.depth, layout.depth + layout.recipe.tail_board.proud
    tails = sum(reach * (t.right - t.left) - (2 * d * reach - reach**2) / layout.ratio for t in layout.tails)
    expected = recipe.width * recipe.tail_board.length + tails
    assert Polygon(tail_board_outline(layout)).area == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("name", CASES)
def test_tails_and_sockets_fill_the_rectangle_in_front_of_the_baseline_once(name: str) -> None:
    layout = layout_of(*CASES[name])
    reach = layout.depth + layout.recipe.tail_board.proud
    front = box(0, 0, layout.width, reach)
    tails = Polygon(tail_board_outline(layout)).intersection(front)
    sockets = [Polygon(pocket.points) for pocket in tail_board_sockets(layout)]
    assert len(sockets) == len(layout.tails) + 1
    assert all(pocket.is_valid for pocket in sockets)
    assert tails.area + sum(pocket.area for pocket in sockets) == pytest.approx(front.area, rel=1e-9)
    # Corners of tails and sockets are the same points, worked out along two ways: a hair may lie between them.
    whole = unary_union([tails.buffer(1e-9), *(pocket.buffer(1e-9) for pocket in sockets)])
    assert whole.area == pytest.approx(front.area, rel=1e-6)
    overlaps = [a.intersection(b).area for a, b in itertools.combinations([tails, *sockets], 2)]
    assert max(overlaps) < 1e-9


@pytest.mark.parametrize("name", CASES)
def test_the_pin_boards_sockets_have_the_area_of_the_tails_and_their_gaps(name: str) -> None:
    """d w - d^2/N for a tail to the depth d, and a gap of g s on both sides over all of d."""
    layout = layout_of(*CASES[name])
    d, n = layout.depth, layout.ratio
    sockets = [Polygon(pocket.points) for pocket in pin_board_sockets(layout)]
    gap = layout.recipe.flank_gap * math.sqrt(1 + 1 / n**2)
    expected = [d * (tail.right - tail.left) - d * d / n + 2 * d * gap for tail in layout.tails]
    assert [pocket.area for pocket in sockets] == pytest.approx(expected, rel=1e-9)
    end = box(0, 0, layout.width, layout.recipe.pin_board.thickness)
    assert all(end.buffer(1e-9).covers(pocket) for pocket in sockets)
    tops = {round(max(y for _, y in pocket.points), 9) for pocket in pin_board_sockets(layout)}
    assert tops == {round(d, 9)}


# --- cutters ---------------------------------------------------------------------------------------------


KINDS = ("through", "half-blind", "listed, no symmetry", "graduated", "loose", "one tail", "inches")


def wood_beside(name: str) -> tuple[Polygon, Polygon]:
    """What stays of the tail board, and of the pin board's end, far and wide round the joint."""
    layout = layout_of(*CASES[name])
    tails = Polygon(tail_board_outline(layout))
    end = box(0, 0, layout.width, layout.recipe.pin_board.thickness)
    pins = end.difference(unary_union([Polygon(p.points).buffer(1e-9) for p in pin_board_sockets(layout)]))
    return tails, pins


def swept(path: Points, radius: float) -> Polygon:
    """What a cutter takes whose centre clears the inside of its path."""
    return Polygon(path).buffer(radius, quad_segs=ROUND)


@pytest.mark.parametrize("diameter", [1.0, 2.0])
@pytest.mark.parametrize("name", KINDS)
def test_a_cutter_takes_nothing_that_stays_and_reaches_every_wall(name: str, diameter: float) -> None:
    layout = layout_of(*CASES[name])
    radius = diameter / 2
    for wood, make in zip(wood_beside(name), (tail_board_sockets, pin_board_sockets), strict=True):
        for plain, reaching in zip(make(layout), make(layout, diameter + 1.0), strict=True):
            path = cutter_path(reaching, diameter, relief=False)
            assert is_sound(path)
            assert swept(path, radius).intersection(wood).area < SLACK
            # It comes as near as its radius to every wall: each side that the pocket shares with wood.
            sides = zip(plain.points, [*plain.points[1:], plain.points[0]], strict=True)
            for side in map(LineString, sides):
                if side.buffer(1e-6).intersection(wood.boundary).length > 0.9 * side.length:
                    assert LinearRing(path).distance(side) == pytest.approx(radius, abs=1e-9)


@pytest.mark.parametrize("diameter", [1.0, 2.0])
@pytest.mark.parametrize("name", KINDS)
def test_without_relief_a_cutter_leaves_only_the_rounding_of_the_corners_that_stay(name: str, diameter: float) -> None:
    """In a corner of angle a, a round cutter leaves r^2 (cot(a/2) - (pi - a)/2)."""
    layout = layout_of(*CASES[name])
    radius, lean = diameter / 2, math.atan(1 / layout.ratio)
    for make, corner in ((tail_board_sockets, math.pi / 2 + lean), (pin_board_sockets, math.pi / 2 - lean)):
        # The tail board's sockets narrow from the baseline to the end: their corners there are acute.
        angle = math.pi - corner if make is tail_board_sockets else corner
        left = radius**2 * (1 / math.tan(angle / 2) - (math.pi - angle) / 2)
        for plain, reaching in zip(make(layout), make(layout, diameter + 1.0), strict=True):
            rest = Polygon(plain.points).difference(swept(cutter_path(reaching, diameter, relief=False), radius))
            assert rest.area == pytest.approx(len(plain.closed_corners) * left, abs=5 * SLACK)


@pytest.mark.parametrize("diameter", [1.0, 2.0])
@pytest.mark.parametrize("name", KINDS)
def test_with_relief_the_path_goes_to_the_radius_from_each_corner_that_stays_and_no_further(
    name: str, diameter: float
) -> None:
    layout = layout_of(*CASES[name])
    radius = diameter / 2
    counts = []
    for make in (tail_board_sockets, pin_board_sockets):
        count = 0
        for pocket in make(layout, diameter + 1.0):
            plain, relieved = (LinearRing(cutter_path(pocket, diameter, relief=relief)) for relief in (False, True))
            for corner in pocket.closed_corners:
                at = LineString([pocket.points[corner]] * 2)
                assert relieved.distance(at) == pytest.approx(radius, abs=1e-9)
                assert plain.distance(at) > radius + 0.05 * radius
                count += 1
            assert relieved.buffer(1e-9).covers(plain)
        counts.append(count)
    n = len(layout.tails)
    # Two in each socket between tails, one at each edge; two at each half-blind lap, none in a through pin board.
    assert counts == [2 * (n - 1) + 2, 2 * n if layout.is_half_blind else 0]


@given(st.floats(3.0, 40.0), st.floats(3.0, 40.0), st.floats(-1.0, 1.0), st.floats(0.1, 1.4))
def test_an_inset_moves_every_side_by_its_distance(width: float, height: float, lean: float, by: float) -> None:
    points = [(0.0, 0.0), (width, 0.0), (width + lean, height), (-lean, height)]
    inner = inset(points, by)
    sides = list(zip(points, [*points[1:], points[0]], strict=True))
    moved = list(zip(inner, [*inner[1:], inner[0]], strict=True))
    for ((x1, y1), (x2, y2)), ends in zip(sides, moved, strict=True):
        length = math.dist((x1, y1), (x2, y2))
        for x, y in ends:
            assert ((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / length == pytest.approx(by, abs=1e-9)


# --- which cutter ------------------------------------------------------------------------------------------


def test_the_thickest_cutter_that_passes_is_taken_for_each_board_and_its_layer_says_so() -> None:
    """The tool tray: pins of 3 mm stand 1:7 steep, so the opening between tails on the raw end, 0.5 mm proud, is
    3 - 2 x 0.5/7 = 2.857 mm, and 2.257 mm with 0.3 mm of wood on both lines; the sockets' entry at the inside face is
    18.75 - 2 x 12/7 = 15.321 mm. The boards are cut 10 and 10.5 mm deep."""
    layout = layout_of("tool-tray", "kit.cutters=[1.5, 2, 2.5, 3, 6, 12, 15, 16]")
    assert {stroke.layer for stroke in paths_of(layout, "tail board")} == {"CAM tail board path D2 Z-10"}
    assert {stroke.layer for stroke in paths_of(layout, "pin board")} == {"CAM pin board path D12 Z-10.5"}


def test_an_inch_cutter_and_its_depth_are_told_in_millimetres_as_all_of_the_file_is() -> None:
    """1/16 in is 1.5875 mm; 3/8 in is 9.525 mm of wood. Layers tell a thousandth of a millimetre."""
    layout = layout_of("tea-box", 'kit.cutters=["1/16"]', "tail_board.thickness=0.25", "joint.pin=0.12")
    assert {stroke.layer for stroke in paths_of(layout, "tail board")} == {"CAM tail board path D1.587 Z-6.35"}


def test_no_path_is_drawn_where_no_cutter_passes() -> None:
    layout = layout_of("tool-tray", "kit.cutters=[3, 40]")
    assert paths_of(layout, "tail board") == []
    assert {stroke.layer for stroke in paths_of(layout, "pin board")} == {"CAM pin board path D3 Z-10.5"}


def test_no_path_is_drawn_for_a_cutter_that_bends() -> None:
    """1.9 mm passes the tool tray's 2.857 mm with wood on both lines, and 10 mm is 5.3 times as deep."""
    assert paths_of(layout_of("tool-tray", "kit.cutters=[1.9]"), "tail board") == []
    assert len(paths_of(layout_of("tool-tray", "kit.cutters=[2]"), "tail board")) == 5


def test_a_recipe_without_cutters_has_outlines_and_no_paths() -> None:
    layout = layout_of("tool-tray")
    assert not [stroke for stroke in outlines_of(layout) if " D" in stroke.layer]


def test_a_single_tail_lets_any_cutter_pass_beside_it_and_a_thin_one_finishes() -> None:
    layout = layout_of("tool-tray", "joint.width=30", "joint.tails=1", "kit.cutters=[3, 25]")
    layers = [stroke.layer for stroke in paths_of(layout, "tail board")]
    assert layers == [*["CAM tail board rough path D25 Z-10"] * 2, *["CAM tail board path D3 Z-10"] * 2]


def test_a_rough_path_leaves_wood_on_every_wall_and_the_last_round_takes_it() -> None:
    layout = layout_of("drawer-front", "kit.cutters=[3, 12]")
    rough = [path for path in paths_of(layout, "pin board") if "rough" in path.layer]
    last = [path for path in paths_of(layout, "pin board") if "rough" not in path.layer]
    (end,) = (stroke for stroke in outlines_of(layout) if stroke.layer == "CAM pin board end")
    lift = end.points[0][1]
    walls = [Polygon([(x, y + lift) for x, y in pocket.points]) for pocket in pin_board_sockets(layout)]
    for first, second, socket in zip(rough, last, walls, strict=True):
        board = box(0, lift, layout.width, lift + layout.recipe.pin_board.thickness).difference(socket)
        assert board.distance(swept(first.points, 6.0)) == pytest.approx(ROUGHING_LEAVES, abs=SLACK)
        assert swept(second.points, 1.5).intersection(board).area < SLACK
        assert board.distance(swept(second.points, 1.5)) == pytest.approx(0, abs=SLACK)


@pytest.mark.parametrize("name", KINDS)
def test_paths_run_clockwise_so_that_the_cutter_works_against_the_feed(name: str) -> None:
    """Inside a socket the wall lies to the left of a path that runs clockwise. There the edge of a cutter that turns
    clockwise moves the way that the cutter goes, so the wood pushes it back: no climb cut. Common practice."""
    layout = layout_of(*CASES[name], own(1.6, 2, 3, 6))
    paths = [*paths_of(layout, "tail board"), *paths_of(layout, "pin board")]
    assert paths
    assert not any(LinearRing(path.points).is_ccw for path in paths)


@pytest.mark.parametrize("name", CASES)
def test_a_cross_marks_the_zero_of_each_board_where_the_note_sets_it(name: str) -> None:
    """Tail board: reference edge and raw end. Pin board: reference edge and inside face."""
    layout = layout_of(*CASES[name])
    lines = [item for item in machine_outlines(layout) if isinstance(item, Stroke) and item.layer == "CAM zero"]
    crosses = [(LineString(a.points), LineString(b.points)) for a, b in zip(lines[::2], lines[1::2], strict=True)]
    tails, pins = ((at.x, at.y) for at in (a.intersection(b) for a, b in crosses))
    outline = Polygon(tail_board_outline(layout))
    assert tails == pytest.approx((0.0, outline.bounds[3]))
    (end,) = (stroke for stroke in outlines_of(layout) if stroke.layer == "CAM pin board end")
    assert pins == pytest.approx(end.points[0])


@pytest.mark.parametrize("cutters", [(), (1.6, 2, 3), (3, 50), (1, 6, 25)])
@pytest.mark.parametrize("name", ["through", "half-blind", "one tail", "inches"])
def test_words_stand_clear_of_boards_paths_and_crosses(name: str, cutters: tuple[float, ...]) -> None:
    layout = layout_of(*CASES[name], own(*cutters))
    items = machine_outlines(layout)
    drawn = unary_union([LineString(item.points) for item in items if isinstance(item, Stroke)])
    texts = [item for item in items if isinstance(item, Label)]
    assert len(texts) >= 3
    for item in texts:
        assert not drawn.intersects(box(item.at[0], item.at[1] - 0.9, item.at[0] + 60.0, item.at[1] + item.height))


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front", "carcase"])
def test_every_pocket_gets_one_path_on_its_own_layer(preset: str) -> None:
    layout = layout_of(preset, "kit.cutters=[2, 3, 4]")
    for cut, count in zip(cuts(layout), (len(layout.tails) + 1, len(layout.tails)), strict=True):
        paths = paths_of(layout, cut.board)
        assert cut.runs
        assert [stroke.layer for stroke in paths] == [path for run in cut.runs for path in [path_of(cut, run)] * count]


def along(path: Points, radius: float) -> Polygon:
    """What a cutter takes whose centre goes along a path and clears its inside, spikes into corners too."""
    return LinearRing(path).buffer(radius, quad_segs=ROUND).union(Polygon(path).buffer(0.0))


@pytest.mark.parametrize("diameter", [6.0, 25.0])
@pytest.mark.parametrize("relief", ["true", "false"])
def test_a_wide_cutter_beside_a_single_tail_takes_nothing_that_stays_though_relief_is_asked(
    diameter: float, relief: str
) -> None:
    layout = layout_of(
        "tool-tray",
        "joint.width=60",
        "joint.tails=1",
        f"kit.cutters=[{diameter}]",
        f"paper.corner_relief={relief}",
    )
    wood = Polygon(tail_board_outline(layout))
    paths = paths_of(layout, "tail board")
    assert len(paths) == 2
    for path in paths:
        assert is_sound(path.points[::-1])
        assert along(path.points, diameter / 2).intersection(wood).area < 10 * SLACK


def test_a_thin_cutter_that_runs_into_a_corner_bites_no_deeper_than_is_told() -> None:
    """r - r sin(a/2): 1.5 mm at 81.87 degrees is 1.5 (1 - 0.6552) = 0.517 mm into both walls."""
    layout = layout_of("drawer-front", "kit.cutters=[3]", "paper.corner_relief=true")
    wood = Polygon(tail_board_outline(layout))
    for path in paths_of(layout, "tail board"):
        taken = along(path.points, 1.5).intersection(wood)
        assert taken.area > 0.1
        assert taken.difference(wood.buffer(-0.517 - SLACK)).area == pytest.approx(taken.area, abs=1e-6)
        assert taken.difference(wood.buffer(-0.5)).area < taken.area - 1e-4


def test_the_boards_outlines_do_not_lie_on_each_other() -> None:
    for name in CASES:
        layout = layout_of(*CASES[name], own(1, 3, 6))
        outlines = outlines_of(layout)
        tails = unary_union([Polygon(s.points) for s in outlines if "tail board" in s.layer])
        pins = unary_union([Polygon(s.points) for s in outlines if "pin board" in s.layer])
        assert tails.intersection(pins).area == 0, name


@settings(max_examples=60, deadline=None)
@given(recipe_texts(max_tails=8), st.sampled_from((0.8, 1.5, 3.0, 6.0)), st.booleans())
def test_no_accepted_recipe_has_a_path_into_its_own_wood(text: str, diameter: float, relief: bool) -> None:
    layout = try_lay_out(text)
    assume(layout is not None)
    assert layout is not None
    kit = replace(layout.recipe.kit, cutters=(diameter, 2 * diameter))
    layout = replace(layout, recipe=replace(layout.recipe, kit=kit))
    wood = Polygon(tail_board_outline(layout))
    end = box(0, 0, layout.width, layout.recipe.pin_board.thickness)
    pins = end.difference(unary_union([Polygon(p.points) for p in pin_board_sockets(layout)]))
    for cut, make, stays in zip(cuts(layout), (tail_board_sockets, pin_board_sockets), (wood, pins), strict=True):
        for run in cut.runs:
            radius = run.cutter.diameter / 2
            for pocket in make(layout, 2 * radius + 1.0):
                path = cutter_path(pocket, 2 * radius, relief=False, leaves=run.leaves)
                assert is_sound(path)
                assert LinearRing(path).distance(stays) >= radius + run.leaves - 1e-6
                if relief and run.is_last:
                    reaching = LinearRing(cutter_path(pocket, 2 * radius, relief=True))
                    for corner in pocket.closed_corners:
                        at = LineString([pocket.points[corner]] * 2)
                        assert reaching.distance(at) == pytest.approx(radius, abs=1e-6)
