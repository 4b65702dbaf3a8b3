"""Areas to clear and the rings and lines of cutters in them: sound, as large as the layout's closed forms, and off the
wood that stays. Areas and offsets are checked with shapely, which shares no code with them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, LineString, Polygon, box
from shapely.ops import unary_union

from solids.base.polygons import inset
from solids.bench.milling import RUN_OUT, STEP_OVER, cuts
from solids.layout import Layout
from solids.layout.box.kinds import shown_layout
from solids.model.manifold import nested
from solids.write.drafting.pockets import (
    Pocket,
    channel,
    cutter_ring,
    pin_board_sockets,
    reliefs,
    tail_board_end,
    tail_board_sockets,
)
from tests.boxes import box_of
from tests.corners import CASES, layout_of
from tests.recipes import recipe_texts, try_lay_out

Points = Sequence[tuple[float, float]]

ROUND = 64
"""Pieces of a quarter circle: a buffer's edge is then within r (1 - cos(pi / 256)), 0.0003 mm for 3 mm."""
SLACK = 1e-3


def is_sound(points: Points) -> bool:
    """Closed, counter-clockwise, not crossing itself and without a side of no length."""
    ring = LinearRing(points)
    return bool(Polygon(points).is_valid and ring.is_ccw and min(math.dist(a, b) for a, b in sides_of(points)) > 1e-6)


def sides_of(points: Points) -> Iterator[Points]:
    return zip(points, [*points[1:], points[0]], strict=True)


def tail_wood(layout: Layout) -> Polygon:
    """The tail board as cut, on its face."""
    length, (below, above) = layout.recipe.tail_board.length, layout.strips
    foot = [(-below, -length), (layout.width + above, -length)]
    return Polygon([*foot, *tail_board_end(layout)])


def pin_wood(layout: Layout) -> Polygon:
    """What stays of the pin board's end."""
    end = box(0, 0, layout.width, layout.recipe.pin_board.thickness)
    return end.difference(unary_union([Polygon(pocket.points).buffer(1e-9) for pocket in pin_board_sockets(layout)]))


# --- areas ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", CASES)
def test_every_area_is_closed_and_runs_counter_clockwise_without_crossing_itself(name: str) -> None:
    layout = layout_of(*CASES[name])
    for past in (0.0, 3.0, 25.0):
        for pocket in (*tail_board_sockets(layout, past), *pin_board_sockets(layout, past)):
            assert is_sound(pocket.points), pocket
    assert tail_wood(layout).is_valid
    assert tail_wood(layout).exterior.is_ccw


@pytest.mark.parametrize("name", CASES)
def test_the_tail_boards_outline_has_the_area_of_board_and_tails(name: str) -> None:
    """W L + sum of D w - (2 d D - D^2)/N, the tails being D long as cut (the layout's own formula, by hand)."""
    layout = layout_of(*CASES[name])
    recipe, d, reach = layout.recipe, layout.depth, layout.depth + layout.recipe.tail_board.proud
    tails = sum(
        reach * (t.right - t.left) - (2 * d * reach - reach**2) / layout.recipe.slope_ratio for t in layout.tails
    )
    expected = recipe.width * recipe.tail_board.length + tails
    assert tail_wood(layout).area == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("name", CASES)
def test_tails_and_sockets_fill_the_rectangle_in_front_of_the_baseline_once(name: str) -> None:
    layout = layout_of(*CASES[name])
    reach = layout.depth + layout.recipe.tail_board.proud
    front = box(0, 0, layout.width, reach)
    tails = tail_wood(layout).intersection(front)
    sockets = [Polygon(pocket.points) for pocket in tail_board_sockets(layout)]
    assert len(sockets) == len(layout.tails) + 1
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
    d, n = layout.depth, layout.recipe.slope_ratio
    sockets = [Polygon(pocket.points) for pocket in pin_board_sockets(layout)]
    gap = layout.recipe.flank_gap * math.sqrt(1 + 1 / n**2)
    expected = [d * (tail.right - tail.left) - d * d / n + 2 * d * gap for tail in layout.tails]
    assert [pocket.area for pocket in sockets] == pytest.approx(expected, rel=1e-9)
    end = box(0, 0, layout.width, layout.recipe.pin_board.thickness)
    assert all(end.buffer(1e-9).covers(pocket) for pocket in sockets)
    tops = {round(max(y for _, y in pocket.points), 9) for pocket in pin_board_sockets(layout)}
    assert tops == {round(d, 9)}


@pytest.mark.parametrize(("name", "below", "above"), [("back left", 16, 0), ("back right", 0, 16)])
def test_wood_that_runs_on_beside_the_joint_closes_the_socket_there(name: str, below: float, above: float) -> None:
    """The sides of the desk drawer are 110 wide, their joint with the back 94: 16 stay, as long as the tails."""
    layout = shown_layout(box_of("desk-drawer"), (name,))  # type: ignore[arg-type]
    wood, end = tail_wood(layout), layout.as_cut.tail_end
    strip = box(-below, 0, 0, end) if below else box(94, 0, 94 + above, end)
    assert wood.buffer(1e-9).covers(strip)
    assert strip.area == pytest.approx(16 * end)
    pockets = list(tail_board_sockets(layout, 4.0))
    assert all(Polygon(pocket.points).intersection(wood).area < 1e-6 for pocket in pockets)
    first, last = pockets[0], pockets[-1]
    beside, free = (first, last) if below else (last, first)
    assert (len(beside.closed_corners), len(free.closed_corners)) == (2, 1)


def test_a_groove_is_a_rectangle_without_corners_to_relieve() -> None:
    assert channel((2.0, 50.0), (-15.0, -10.0)) == Pocket(((2, -15), (50, -15), (50, -10), (2, -10)), ())


# --- cutters -------------------------------------------------------------------------------------


KINDS = ("through", "half-blind", "listed, no symmetry", "graduated", "loose", "one tail", "inches")
each_cutter = pytest.mark.parametrize(("name", "diameter"), itertools.product(KINDS, (1.0, 2.0)))


def swept(path: Points, radius: float) -> Polygon:
    """What a cutter takes whose centre clears the inside of its path."""
    return Polygon(path).buffer(radius, quad_segs=ROUND)


@each_cutter
def test_a_cutter_takes_nothing_that_stays_and_reaches_every_wall(name: str, diameter: float) -> None:
    layout = layout_of(*CASES[name])
    radius = diameter / 2
    for wood, make in ((tail_wood(layout), tail_board_sockets), (pin_wood(layout), pin_board_sockets)):
        for plain, reaching in zip(make(layout), make(layout, diameter + RUN_OUT), strict=True):
            path = cutter_ring(reaching, diameter)
            assert is_sound(path)
            assert swept(path, radius).intersection(wood).area < SLACK
            # It comes as near as its radius to every wall: each side that the pocket shares with wood.
            for side in map(LineString, sides_of(plain.points)):
                if side.buffer(1e-6).intersection(wood.boundary).length > 0.9 * side.length:
                    assert LinearRing(path).distance(side) == pytest.approx(radius, abs=1e-9)


@each_cutter
def test_a_cutter_leaves_only_the_rounding_of_the_corners_that_stay(name: str, diameter: float) -> None:
    """In a corner of angle a, a round cutter leaves r^2 (cot(a/2) - (pi - a)/2). The corners are acute: the sockets of
    a tail board narrow toward its end, and those of a pin board widen toward the lap."""
    layout = layout_of(*CASES[name])
    radius, angle = diameter / 2, math.pi / 2 - math.atan(1 / layout.recipe.slope_ratio)
    left = radius**2 * (1 / math.tan(angle / 2) - (math.pi - angle) / 2)
    for make in (tail_board_sockets, pin_board_sockets):
        for plain, reaching in zip(make(layout), make(layout, diameter + RUN_OUT), strict=True):
            rest = Polygon(plain.points).difference(swept(cutter_ring(reaching, diameter), radius))
            assert rest.area == pytest.approx(len(plain.closed_corners) * left, abs=5 * SLACK)


@each_cutter
def test_a_line_of_relief_goes_from_the_last_ring_to_the_radius_from_its_corner_and_no_further(
    name: str, diameter: float
) -> None:
    layout = layout_of(*CASES[name])
    radius = diameter / 2
    counts = []
    for make in (tail_board_sockets, pin_board_sockets):
        found = 0
        for pocket in make(layout, diameter + RUN_OUT):
            lines = list(reliefs(pocket, diameter))
            ring = cutter_ring(pocket, diameter)
            for (start, end), corner in zip(lines, pocket.closed_corners, strict=True):
                assert start in ring
                assert math.dist(end, pocket.points[corner]) == pytest.approx(radius, abs=1e-9)
                assert math.dist(start, pocket.points[corner]) > 1.05 * radius
                # Straight at the corner: the three points lie on one line, the end between the others.
                assert math.dist(start, end) + radius == pytest.approx(math.dist(start, pocket.points[corner]))
            found += len(lines)
        counts.append(found)
    n = len(layout.tails)
    # Two in each socket between tails, one at each edge; two at each half-blind lap, none in a through pin board.
    assert counts == [2 * (n - 1) + 2, 2 * n if layout.is_half_blind else 0]


def test_a_thin_cutter_that_runs_into_a_corner_bites_no_deeper_than_is_told() -> None:
    """r - r sin(a/2): 1.5 mm at 81.87 degrees is 1.5 (1 - 0.6552) = 0.517 mm into both walls."""
    layout = layout_of("drawer-front")
    wood = tail_wood(layout)
    for pocket in tail_board_sockets(layout, 4.0):
        lines = [LineString(line) for line in reliefs(pocket, 3.0)]
        taken = unary_union([line.buffer(1.5, quad_segs=ROUND) for line in lines]).intersection(wood)
        assert taken.area > 0.1
        assert taken.difference(wood.buffer(-0.517 - SLACK)).area == pytest.approx(taken.area, abs=1e-6)
        assert taken.difference(wood.buffer(-0.5)).area < taken.area - 1e-4


@given(st.floats(3.0, 40.0), st.floats(3.0, 40.0), st.floats(-1.0, 1.0), st.floats(0.1, 1.4))
def test_an_inset_moves_every_side_by_its_distance(width: float, height: float, lean: float, by: float) -> None:
    points = [(0.0, 0.0), (width, 0.0), (width + lean, height), (-lean, height)]
    for ((x1, y1), (x2, y2)), ends in zip(sides_of(points), sides_of(inset(points, by)), strict=True):
        length = math.dist((x1, y1), (x2, y2))
        for x, y in ends:
            assert ((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / length == pytest.approx(by, abs=1e-9)


@pytest.mark.parametrize("diameter", [6.0, 25.0])
def test_a_wide_cutter_beside_a_single_tail_takes_nothing_that_stays(diameter: float) -> None:
    layout = layout_of("tool-tray", "joint.width=60", "joint.tails=1")
    wood, pockets = tail_wood(layout), list(tail_board_sockets(layout, diameter + RUN_OUT))
    assert len(pockets) == 2
    for pocket in pockets:
        assert is_sound(cutter_ring(pocket, diameter))
        assert swept(cutter_ring(pocket, diameter), diameter / 2).intersection(wood).area < SLACK


@pytest.mark.parametrize("diameter", [8.0, 10.0, 12.0, 20.0])
def test_a_cutter_thicker_than_a_flank_is_long_stays_off_the_baseline_too(diameter: float) -> None:
    """Boards of 5 mm, 1:4: a flank is 5 sqrt(1 + 1/16) = 5.15 mm long. A cutter of radius r beside it takes r cot(a/2)
    of its length at the foot, a = 76 degrees, and gives back r tan(7 degrees) at the tip: from 9 mm up, more than all.
    Then the ring has its corner above the baseline by r, and left of the tip by r."""
    layout = layout_of(
        *("tool-tray", "joint.width=68", "joint.tails=1", "joint.half_pin=30", "joint.slope=1:4"),
        *("tail_board.thickness=5", "pin_board.thickness=5", "tail_board.proud=0.5"),
    )
    wood, radius = tail_wood(layout), diameter / 2
    first, last = tail_board_sockets(layout, diameter + RUN_OUT)
    for pocket in (first, last):
        ring = cutter_ring(pocket, diameter)
        assert is_sound(ring)
        assert LinearRing(ring).distance(wood) == pytest.approx(radius, abs=1e-6)
        ((_, end),) = reliefs(pocket, diameter)
        assert math.dist(end, pocket.points[pocket.closed_corners[0]]) == pytest.approx(radius, abs=1e-6)
    tip = layout.tail_edges(layout.tails[0], layout.as_cut.tail_end)[0]
    lowest = min((y, -x) for x, y in cutter_ring(first, diameter))
    assert lowest[0] == pytest.approx(radius, abs=1e-6)
    if diameter >= 10:
        assert -lowest[1] == pytest.approx(tip - radius, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(recipe_texts(max_tails=8), st.sampled_from((0.8, 1.5, 3.0, 6.0)))
def test_no_accepted_recipe_has_a_path_into_its_own_wood(text: str, diameter: float) -> None:
    layout = try_lay_out(text)
    assume(layout is not None)
    assert layout is not None
    kit = replace(layout.recipe.kit, cutters=(diameter, 2 * diameter))
    layout = replace(layout, recipe=replace(layout.recipe, kit=kit))
    boards = ((tail_board_sockets, tail_wood(layout)), (pin_board_sockets, pin_wood(layout)))
    for cut, (make, stays) in zip(cuts(layout), boards, strict=True):
        for run in cut.runs:
            thick = run.cutter.diameter
            for pocket in make(layout, thick + RUN_OUT):
                ring = cutter_ring(pocket, thick, run.leaves)
                assert is_sound(ring)
                assert LinearRing(ring).distance(stays) >= thick / 2 + run.leaves - 1e-6
                for inner in nested(pocket.points, thick / 2 + run.leaves, STEP_OVER * thick):
                    assert LinearRing(inner).distance(stays) >= thick / 2 + run.leaves - 1e-6
                for (_, end), corner in zip(reliefs(pocket, thick), pocket.closed_corners, strict=True):
                    assert math.dist(end, pocket.points[corner]) == pytest.approx(thick / 2, abs=1e-6)
