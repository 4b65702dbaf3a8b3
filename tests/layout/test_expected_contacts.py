"""Where the faces should meet: every area again as polygons (shapely) laid over each other in the contact's plane."""

from __future__ import annotations

import math
from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from shapely.geometry import Polygon, box

from solids.layout import Layout, Tail
from solids.layout.joint.expected_contacts import Meeting, meetings, place_of
from tests.fitted import FITTED, layout_of
from tests.recipes import recipe_texts, try_lay_out


@pytest.fixture(params=FITTED)
def layout(request: pytest.FixtureRequest) -> Layout:
    return layout_of(*FITTED[request.param])


def of_kind(layout: Layout, kind: str) -> list[Meeting]:
    return [meeting for meeting in meetings(layout) if meeting.kind == kind]


# --- the same areas by polygons ------------------------------------------------------------------------


def flank_area(layout: Layout, tail: Tail, side: int) -> float:
    """Both flanks turned into the plane of the tail's: u along the flank, v along Z."""
    r, n = layout.recipe, layout.flanks[0].ratio
    s, g = math.sqrt(1 + 1 / n**2), layout.recipe.flank_gap
    outward = 1 if side else -1
    x, d = (tail.right if side else tail.left), layout.depth

    def u(px: float, py: float) -> float:
        return ((px - x) * outward / n + (py - d)) / s

    def at(y: float, moved: float) -> tuple[float, float]:
        return x - outward * (d - y) / n + outward * moved, y

    mine = box(u(*at(0, 0)), 0, u(*at(d + r.tail_board.proud, 0)), r.tail_board.thickness)
    theirs = box(u(*at(0, g * s)), 0, u(*at(d, g * s)), r.tail_board.thickness + r.pin_board.proud)
    if r.entry_chamfer.width:
        mine -= box(u(*at(0, 0)) - 1, -1, u(*at(d - r.entry_chamfer.back, 0)), r.entry_chamfer.width)
    return mine.intersection(theirs).area


def shoulder_areas(layout: Layout) -> list[float]:
    """In the plane Y = 0, x and z: between the tails, with what a chamfer leaves, less the hollow; and the pins."""
    r, d, n = layout.recipe, layout.depth, layout.flanks[0].ratio
    t, c, s = r.tail_board.thickness, r.entry_chamfer.width, math.sqrt(1 + 1 / layout.flanks[0].ratio ** 2)
    necks = [(tail.left + d / n, tail.right - d / n) for tail in layout.tails]
    edges = [0.0, *(x for neck in necks for x in neck), r.width]
    pins = [0.0, *(x for a, b in necks for x in (a - r.flank_gap * s, b + r.flank_gap * s)), r.width]
    areas = []
    for k in range(len(layout.tails) + 1):
        x0, x1 = edges[2 * k], edges[2 * k + 1]
        inner0, inner1 = k > 0, k < len(layout.tails)
        face = box(x0, 0, x1, t)
        if c:
            triangles = [Polygon([(x, 0), (x + way * c * s, 0), (x, c)]) for x, way, is_flank in
                         ((x0, -1, inner0), (x1, 1, inner1)) if is_flank]  # fmt: skip
            face = shapely.union_all([face, *triangles])
        if r.undercut.depth:
            land = r.undercut.land
            face -= box(x0 + (0 if inner0 else land), land, x1 - (0 if inner1 else land), t - land)
        areas.append(face.intersection(box(pins[2 * k], -9, pins[2 * k + 1], t + 9)).area)
    return areas


def floor_area(layout: Layout, tail: Tail) -> float:
    """In the plane Z = 0, x and y: the tail's inside face less its chamfers, the socket's floor less its hollow."""
    r, d, n, s = layout.recipe, layout.depth, layout.flanks[0].ratio, math.sqrt(1 + 1 / layout.flanks[0].ratio ** 2)

    def trapezium(low: float, high: float, grown: float) -> Polygon:
        left = [(tail.left + (d - y) / n - grown, y) for y in (low, high)]
        right = [(tail.right - (d - y) / n + grown, y) for y in (high, low)]
        return Polygon(left + right)

    c, back, end = r.entry_chamfer.width, r.entry_chamfer.back, d + r.tail_board.proud
    mine = trapezium(0, end, 0)
    if c:
        mine = shapely.union_all([trapezium(0, d - back, -c * s), trapezium(d - back, end, 0)])
    floor = trapezium(0, d, r.flank_gap * s)
    if r.undercut.depth:
        land = r.undercut.land
        floor -= box(-1, land, r.width + 1, d + 1 if r.kind == "half-blind" else d - land)
    return mine.intersection(floor).area


def assert_areas(layout: Layout) -> None:
    flanks = [flank_area(layout, tail, side) for tail in layout.tails for side in (0, 1)]
    assert [m.area for m in of_kind(layout, "flank")] == pytest.approx(flanks, rel=1e-9)
    assert [m.area for m in of_kind(layout, "shoulder")] == pytest.approx(shoulder_areas(layout), rel=1e-9)
    floors = [floor_area(layout, tail) for tail in layout.tails]
    assert [m.area for m in of_kind(layout, "floor")] == pytest.approx(floors, rel=1e-9)
    if layout.is_half_blind:
        t, tight = layout.recipe.tail_board.thickness, min(layout.recipe.flank_gap, 0) * layout.flanks[0].stretch
        laps = [(tail.right - tail.left + 2 * tight) * t for tail in layout.tails]
        assert [m.area for m in of_kind(layout, "lap")] == pytest.approx(laps)


def test_areas_are_those_of_polygons_laid_over_each_other(layout: Layout) -> None:
    assert_areas(layout)


@settings(max_examples=80, deadline=None)
@given(recipe_texts())
def test_areas_of_any_joint_that_is_accepted_are_those_of_polygons(text: str) -> None:
    layout = try_lay_out(text)
    if layout is not None:
        assert_areas(layout)


# --- how many, which, where --------------------------------------------------------------------------------


def test_there_are_2n_flanks_n_plus_1_shoulders_n_floors_and_n_laps(layout: Layout) -> None:
    n = len(layout.tails)
    kinds = Counter(meeting.kind for meeting in meetings(layout))
    assert (kinds["flank"], kinds["shoulder"], kinds["floor"]) == (2 * n, n + 1, n)
    assert kinds["lap"] == (n if layout.recipe.kind == "half-blind" else 0)


def test_no_two_meetings_have_one_name(layout: Layout) -> None:
    names = [meeting.name for meeting in meetings(layout)]
    assert len(set(names)) == len(names)


def test_gaps_are_the_recipes_on_flanks_and_none_elsewhere(layout: Layout) -> None:
    for meeting in meetings(layout):
        assert meeting.gap == (layout.recipe.flank_gap if meeting.kind == "flank" else 0)


def test_normals_point_out_of_the_tail_board(layout: Layout) -> None:
    """Flanks lean by atan(1/N) toward the baseline, shoulders look along +Y, tails sit down along -Z."""
    lean = math.atan(1 / layout.recipe.slope_ratio)
    for meeting in meetings(layout):
        assert math.hypot(*meeting.normal) == pytest.approx(1)
        if meeting.kind == "flank":
            side = -1 if "left" in meeting.name else 1
            assert meeting.normal == pytest.approx((side * math.cos(lean), -math.sin(lean), 0))
    assert {m.normal for m in meetings(layout) if m.kind != "flank"} <= {(0, 1, 0), (0, 0, -1)}
    assert {m.normal for m in of_kind(layout, "floor")} == {(0, 0, -1)}


def test_flanks_pass_through_the_edges_of_their_tails(layout: Layout) -> None:
    """The distance of both ends of a flank from its plane is nothing."""
    for i, meeting in enumerate(of_kind(layout, "flank")):
        tail = layout.tails[i // 2]
        for y in (0.0, layout.depth, layout.as_cut.tail_end):
            point = (layout.tail_edges(tail, y)[i % 2], y, 0.0)
            away = sum((p - q) * k for p, q, k in zip(point, meeting.at, meeting.normal, strict=True))
            assert away == pytest.approx(0, abs=1e-9)
            assert meeting.low <= point[0] <= meeting.high


def test_sizes_are_what_a_maker_measures() -> None:
    """A flank of 12 mm along the tail is 12 sqrt(1 + 1/49) long; shoulders and floors are as wide as they look."""
    plain = layout_of()
    assert of_kind(plain, "flank")[0].size == pytest.approx((12 * math.sqrt(50 / 49), 10))
    assert [m.size for m in of_kind(plain, "shoulder")] == [
        pytest.approx((width, 10)) for width in (6 + 12 / 7, *[3 + 24 / 7] * 3, 6 + 12 / 7)
    ]
    assert of_kind(plain, "floor")[0].size == pytest.approx((18.75, 12))


def test_the_area_that_a_chamfer_takes_from_a_flank_is_its_length_by_its_leg() -> None:
    """s (d - back) c: 1.2 mm from the baseline to 2 mm short of the finished face."""
    lost = of_kind(layout_of(), "flank")[0].area - of_kind(layout_of(*FITTED["chamfered"]), "flank")[0].area
    assert lost == pytest.approx(math.sqrt(50 / 49) * (12 - 2) * 1.2)


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_place_is_named_by_the_nearest_flank(side: str) -> None:
    plain = layout_of()
    tail = plain.tails[2]
    x = tail.left if side == "left" else tail.right
    assert place_of(plain, x - 0.5, x + 0.5) == f"tail 3, {side} flank"


def test_what_is_wider_than_half_a_tail_is_placed_at_the_whole_tail() -> None:
    plain = layout_of()
    assert place_of(plain, plain.tails[1].left, plain.tails[1].right) == "tail 2"
    assert place_of(plain, plain.tails[1].left, plain.tails[1].middle - 0.01) == "tail 2, left flank"


def test_shoulders_are_named_from_the_reference_edge() -> None:
    names = [meeting.name for meeting in of_kind(layout_of(), "shoulder")]
    assert names == ["shoulder at the reference edge", *(f"shoulder beside tail {i}" for i in (1, 2, 3, 4))]
