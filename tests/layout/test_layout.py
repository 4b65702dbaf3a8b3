"""Where tails and pins fall: every formula again by another route, polygons and numeric integration, and every refusal
with its key, its limit from both sides and a remedy that works when followed."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from shapely.affinity import translate
from shapely.geometry import Polygon, box

from solids.base.errors import RecipeError
from solids.layout import Layout, State, Tail, frail_parts, lay_out, with_layout_problems
from solids.layout.joint.volumes import (
    flank_area,
    joint_overlap,
    pin_board_volume,
    pin_end_area,
    socket_area,
    tail_area,
    tail_board_volume,
)
from tests import sections
from tests.recipes import (
    HALF_BLIND,
    STANDING,
    WHOLE,
    keys_of,
    laid_out,
    only_problem,
    problems,
    recipe_texts,
    try_lay_out,
)

CASES = {
    "whole": (),
    "one tail": ("joint.tails=1", "joint.width=30"),
    "graduated": ("joint.spacing=graduated", "joint.grading=0.3", "joint.tails=5", "joint.width=120"),
    "listed": ("joint.tails=3", "joint.spacing=[14, 25, 18]", "joint.half_pin=16.5"),
    "loose": ("fit.flank_gap=0.1",),
    "tight": ("fit.flank_gap=-0.05",),
    "steep": ("joint.slope=1:3", "pin_board.thickness=8"),
    "half-blind": HALF_BLIND,
    "half-blind, planed, loose": (*HALF_BLIND, "finish.planing=0.6", "fit.flank_gap=0.2"),
    "planed": ("finish.planing=0.6",),
    "standing": STANDING,
    "standing, loose": (*STANDING, "fit.flank_gap=0.2", "joint.pin=4"),
}


@pytest.fixture(params=CASES)
def layout(request: pytest.FixtureRequest) -> Layout:
    return laid_out(*CASES[request.param], text=WHOLE)


# --- another route to the same shapes: polygons in the XY plane --------------------------------------


def tail_polygon(layout: Layout, tail: Tail, low: float, high: float) -> Polygon:
    """A tail between two planes of Y, from its edges at Y = d and the slope alone."""
    n, d = layout.recipe.slope_ratio, layout.recipe.depth
    at = {y: (d - y) / n for y in (low, high)}
    corners = [(tail.left + at[low], low), (tail.right - at[low], low)]
    return Polygon([*corners, (tail.right - at[high], high), (tail.left + at[high], high)])


def socket_polygon(layout: Layout, tail: Tail, reach: float) -> Polygon:
    """The socket of a tail from Y = 0 to Y = reach: the tail grown by the gap normal to its flanks."""
    grown = tail_polygon(layout, tail, -2, reach + 2).buffer(
        layout.recipe.flank_gap, join_style="mitre", mitre_limit=50
    )
    return grown.intersection(box(-1e4, 0, 1e4, reach))


def pin_section(layout: Layout, state: State) -> shapely.Geometry:
    """What the pin board shows from its end, up to the show face."""
    reach = min(layout.recipe.depth, state.show_y)
    sockets = shapely.union_all([socket_polygon(layout, tail, reach) for tail in layout.tails])
    return box(0, 0, layout.recipe.width, state.show_y).difference(sockets)


def integral(of: Callable[[float], float], to: float) -> float:
    """The integral of a smooth function from 0, by Gauss with five points: exact to the ninth power."""
    points, weights = np.polynomial.legendre.leggauss(5)
    return sum(w * of((x + 1) * to / 2) for x, w in zip(points, weights, strict=True)) * to / 2


def tail_ends(layout: Layout, state: State) -> float:
    """What chamfers take off all tails: sections at u from the end are c - u smaller on each of four sides."""
    c, taken = state.chamfer, 0.0
    for tail in layout.tails:
        (low, _, high, _) = tail_polygon(layout, tail, 0, state.tail_end).bounds
        end, foot = high - low, high - low - 2 * c / layout.recipe.slope_ratio

        def lost(u: float, end: float = end, foot: float = foot) -> float:
            full, less = end + (foot - end) * u / c, (end - 2 * c) + (foot - end + 2 * c) * u / c
            return full * state.show_z - less * (state.show_z - 2 * (c - u))

        taken += integral(lost, c)
    return taken


def pin_ends(layout: Layout, state: State) -> float:
    """What chamfers take off all pins: sections at u from the end are the pins' outline moved in by c - u."""
    c, section = state.chamfer, pin_section(layout, state)
    return integral(lambda u: section.area - section.buffer(u - c, join_style="mitre", mitre_limit=50).area, c)


def test_tails_share_the_width_by_the_formula_for_even_spacing() -> None:
    """w = (W - 2h - (n - 1)p)/n = (96 - 12 - 9)/4 = 18.75 mm, from h = 6 mm on in steps of w + p."""
    tails = laid_out(text=WHOLE).tails
    assert [tail.number for tail in tails] == [1, 2, 3, 4]
    assert [tail.left for tail in tails] == pytest.approx([6 + 21.75 * i for i in range(4)])
    assert [tail.width for tail in tails] == pytest.approx([18.75] * 4)
    assert [tail.middle for tail in tails] == pytest.approx([6 + 18.75 / 2 + 21.75 * i for i in range(4)])


def test_graduated_tails_are_in_the_ratio_of_their_steps_from_the_nearer_edge() -> None:
    """w_k = w_1 (1 + 0.3 k), and all with their pins fill 120 mm."""
    widths = [tail.width for tail in laid_out(*CASES["graduated"], text=WHOLE).tails]
    assert [w / widths[0] for w in widths] == pytest.approx([1, 1.3, 1.6, 1.3, 1])
    assert sum(widths) + 4 * 3 + 2 * 6 == pytest.approx(120)


def test_listed_tails_have_the_listed_widths_from_the_reference_edge() -> None:
    tails = laid_out(*CASES["listed"], text=WHOLE).tails
    assert [tail.width for tail in tails] == pytest.approx([14, 25, 18])
    assert [tail.left for tail in tails] == pytest.approx([16.5, 16.5 + 14 + 3, 16.5 + 14 + 3 + 25 + 3])


def test_widths_at_the_planes_that_a_maker_marks(layout: Layout) -> None:
    """Pins p and p + 2d/N, half pins h and h + d/N, less the gap's g s on each flank; raw end: p - 2 o/N, h - o/N, and
    w + 2 o/N for a tail."""
    r, n = layout.recipe, len(layout.tails)
    slope, s = 1 / r.slope_ratio, math.sqrt(1 + 1 / r.slope_ratio**2)
    d, o = r.pin_board.thickness - r.lap, r.tail_board.proud
    assert layout.pin_widths(d) == pytest.approx(ends_and_middle(n, r.half_pin, r.pin, -r.flank_gap * s))
    assert layout.pin_widths(0) == pytest.approx(ends_and_middle(n, r.half_pin, r.pin, d * slope - r.flank_gap * s))
    assert layout.tail_board_gaps(d + o) == pytest.approx(ends_and_middle(n, r.half_pin, r.pin, -o * slope))
    for tail in layout.tails:
        assert layout.tail_width(tail, d) == pytest.approx(tail.width)
        assert layout.tail_width(tail, 0) == pytest.approx(tail.width - 2 * d * slope)
        assert layout.tail_width(tail, d + o) == pytest.approx(tail.width + 2 * o * slope)


def ends_and_middle(tails: int, half_pin: float, pin: float, each_flank: float) -> list[float]:
    """Half pins have one flank, pins two."""
    return [half_pin + each_flank, *[pin + 2 * each_flank] * (tails - 1), half_pin + each_flank]


def test_sizes_follow_from_the_recipe(layout: Layout) -> None:
    r = layout.recipe
    assert (layout.width, layout.flanks[0].ratio) == (r.width, r.slope_ratio)
    assert layout.depth == pytest.approx(r.pin_board.thickness - r.lap)
    assert math.tan(layout.flanks[0].slope_rad) == pytest.approx(1 / r.slope_ratio)
    assert layout.flanks[0].stretch == pytest.approx(1 / math.cos(layout.flanks[0].slope_rad))
    assert layout.shift(layout.flanks[0]) == pytest.approx(r.flank_gap / math.cos(layout.flanks[0].slope_rad))
    assert layout.is_half_blind is (r.kind == "half-blind")


def test_areas_are_those_of_the_polygons(layout: Layout) -> None:
    for tail in layout.tails:
        for reach in (layout.depth / 3, layout.depth, layout.as_cut.tail_end):
            assert tail_area(layout, tail, reach) == pytest.approx(tail_polygon(layout, tail, 0, reach).area)
        for reach in (layout.depth / 3, layout.depth):
            assert socket_area(layout, tail, reach) == pytest.approx(socket_polygon(layout, tail, reach).area)


def test_the_flanks_where_glue_holds_are_as_long_as_the_polygons_sides(layout: Layout) -> None:
    side = math.hypot(layout.depth, layout.depth / layout.flanks[0].ratio)
    assert flank_area(layout) == pytest.approx(2 * len(layout.tails) * layout.recipe.tail_board.thickness * side)


def assert_volumes(layout: Layout) -> None:
    r = layout.recipe
    for state in (layout.as_cut, layout.as_finished):
        tails = sum(tail_polygon(layout, tail, 0, state.tail_end).area for tail in layout.tails)
        taken = tail_ends(layout, state) if state.chamfer else 0.0
        taken += sections.chamfers(layout) + sections.tail_hollows(layout)
        volume = state.show_z * (r.width * r.tail_board.length + tails) - taken
        assert tail_board_volume(layout, state) == pytest.approx(volume, rel=1e-9)
        taken = (pin_ends(layout, state) if state.chamfer else 0.0) + sections.pin_hollows(layout)
        body = state.show_y * r.width * r.pin_board.length
        volume = body + state.pin_end * pin_section(layout, state).area - taken
        assert pin_board_volume(layout, state) == pytest.approx(volume, rel=1e-9)


def assert_overlap_and_play(layout: Layout) -> None:
    r = layout.recipe
    tails = shapely.union_all([tail_polygon(layout, tail, 0, layout.as_cut.tail_end) for tail in layout.tails])
    pins = pin_section(layout, layout.as_cut)
    assert joint_overlap(layout) == pytest.approx(sections.overlap(layout), abs=1e-7)
    play = layout.free_play()
    assert (play > 0) == (r.flank_gap > 0)
    if r.flank_gap >= 0:
        assert translate(tails, yoff=-0.999 * play).intersection(pins).area == pytest.approx(0, abs=1e-9)
        assert translate(tails, yoff=-1.001 * play - 1e-5).intersection(pins).area > 1e-7


def test_volumes_are_those_of_the_polygons_less_what_chamfers_take(layout: Layout) -> None:
    assert_volumes(layout)


def test_overlap_and_free_play_are_those_of_the_polygons(layout: Layout) -> None:
    assert_overlap_and_play(layout)


@settings(max_examples=80, deadline=None)
@given(recipe_texts())
def test_any_joint_that_is_accepted_has_the_polygons_volumes_and_wood_everywhere(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    assert_volumes(layout)
    assert_overlap_and_play(layout)
    least = 0.05 - 1e-9
    assert min(layout.pin_widths(layout.depth)) >= least
    assert min(layout.tail_board_gaps(layout.as_cut.tail_end)) >= least
    assert (
        min(layout.tail_width(tail, 0) for tail in layout.tails) + 2 * min(layout.shift(layout.flanks[0]), 0) >= least
    )
    assert layout.tail_board_gaps(layout.depth)[-1] == pytest.approx(layout.recipe.half_pin, abs=1e-9)


def test_an_overlap_is_the_formula_of_tight_flanks() -> None:
    """2 n t_t d |g| s = 2 x 4 x 10 x 12 x 0.05 sqrt(1 + 1/49), and none where flanks are loose."""
    assert joint_overlap(laid_out(*CASES["tight"], text=WHOLE)) == pytest.approx(48 * math.sqrt(50 / 49))
    assert joint_overlap(laid_out(*CASES["loose"], text=WHOLE)) == 0
    assert laid_out(*CASES["loose"], text=WHOLE).free_play() == pytest.approx(0.1 * math.sqrt(50))
    assert laid_out(*CASES["tight"], text=WHOLE).free_play() == 0


# --- the two states -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("overrides", "cut", "finished"),
    [
        # tail_end, pin_end, show_y, show_z, chamfer; WHOLE: t_t 10, t_p 12, o_t 0.5 by rule, o_p 0.25
        ((), (12.5, 10.25, 12, 10, 0), (12, 10, 12, 10, 0)),
        (("finish.planing=0.6",), (12.5, 10.25, 12, 10, 0), (11.4, 9.4, 11.4, 9.4, 0)),
        (HALF_BLIND, (9, 10.25, 12, 10, 0), (9, 10, 12, 10, 0)),
        ((*HALF_BLIND, "finish.planing=0.6"), (9, 10.25, 12, 10, 0), (9, 9.4, 11.4, 9.4, 0)),
        (STANDING, (15, 12, 12, 10, 0), (15, 12, 12, 10, 1.5)),
    ],
)
def test_how_far_wood_reaches_as_cut_and_as_finished(overrides, cut, finished) -> None:
    plan = laid_out(*overrides, text=WHOLE)
    for state, name, reach in ((plan.as_cut, "as cut", cut), (plan.as_finished, "finished", finished)):
        assert state.name == name
        found = (state.tail_end, state.pin_end, state.show_y, state.show_z, state.chamfer)
        assert found == pytest.approx(reach)


# --- refusals ---------------------------------------------------------------------------------------------

ONE = ("joint.tails=1", "tail_board.proud=0", "pin_board.thickness=4", "joint.slope=1:2")
"""One tail whose neck is 2 x 4 / 2 = 4 mm narrower than its end; 12 mm of half pins beside it."""
THIN = ("joint.allow_thin_half_pin=true", "tail_board.proud=0")
STRETCH = math.sqrt(1 + 1 / 49)

BOTH_SIDES = [
    # key, what both share, accepted, refused
    ("joint.width", (), "joint.width=96", "joint.width=21.19"),  # 2 x 6 + 3 x 3 + 4 x 0.05 = 21.2
    ("joint.tails", ONE, "joint.width=16.051", "joint.width=16.049"),  # neck 0.05
    ("joint.tails", (*ONE, "fit.flank_gap=-0.1"), "joint.width=16.275", "joint.width=16.273"),  # and 0.2 sqrt(5/4)
    ("joint.half_pin", (), "joint.half_pin=5", "joint.half_pin=4.999"),
    ("joint.half_pin", ("joint.pin=5.5",), "joint.half_pin=5", "joint.half_pin=4.999"),
    ("joint.pin", ("tail_board.proud=0.35",), "joint.pin=0.151", "joint.pin=0.149"),  # 2 x 0.35 / 7 = 0.1
    ("joint.pin", ("fit.flank_gap=0.1",), f"joint.pin={0.051 + 0.2 * STRETCH}", f"joint.pin={0.049 + 0.2 * STRETCH}"),
    ("joint.half_pin", (*THIN, "tail_board.proud=0.7"), "joint.half_pin=0.151", "joint.half_pin=0.149"),
    ("joint.half_pin", (*THIN, "fit.flank_gap=0.2"), f"joint.half_pin={0.051 + 0.2 * STRETCH}", "joint.half_pin=0.25"),
    ("joint.pin", STANDING, f"joint.pin={0.051 + 3 * (STRETCH - 1 / 7)}", f"joint.pin={0.049 + 3 * (STRETCH - 1 / 7)}"),
    ("joint.half_pin", (*STANDING, *THIN[:1]), f"joint.half_pin={0.051 + 1.5 * (1 + STRETCH - 1 / 7)}",
     f"joint.half_pin={0.049 + 1.5 * (1 + STRETCH - 1 / 7)}"),
    ("finish.chamfer", (*STANDING, "joint.pin=4", "tail_board.thickness=3.5"), "finish.chamfer=1.724",
     "finish.chamfer=1.726"),
    ("finish.chamfer", (*STANDING, "joint.pin=4", "pin_board.thickness=3.5"), "finish.chamfer=1.724",
     "finish.chamfer=1.726"),
]  # fmt: skip


@pytest.mark.parametrize(("key", "shared", "accepted", "refused"), BOTH_SIDES)
def test_every_limit_of_wood_from_both_sides(key: str, shared: tuple[str, ...], accepted: str, refused: str) -> None:
    assert problems(*shared, accepted, text=WHOLE) == ()
    assert key in keys_of(problems(*shared, refused, text=WHOLE))


def test_a_chamfered_pin_is_as_narrow_as_its_polygon_moved_in() -> None:
    """The limit for chamfers is where the outline of a pin, moved in by c, is 0.05 mm wide at its narrow side."""
    pin = 3 * (STRETCH - 1 / 7) + 0.05 + 1e-6
    section = pin_section(laid_out(*STANDING, f"joint.pin={pin}", text=WHOLE), laid_out(*STANDING, text=WHOLE).as_cut)
    inset = sorted(section.geoms, key=lambda part: part.bounds)[1].buffer(-1.5, join_style="mitre", mitre_limit=50)
    low, _, high, top = inset.intersection(box(0, 12 - 1.5 - 1e-7, 96, 12)).bounds
    assert top == pytest.approx(12 - 1.5)
    assert high - low == pytest.approx(0.05, abs=1e-5)


def test_a_chamfer_leaves_something_of_the_narrowest_tails_end() -> None:
    """w + 2 o/N - 2c: tails of 2 mm and 6/7 mm at the raw end keep 0.05 mm up to c = 1.4036 mm."""
    narrow = (*STANDING, "joint.spacing=[30, 2, 30]", "joint.tails=3", "joint.half_pin=13", "joint.pin=4",
              "pin_board.thickness=4")  # fmt: skip
    limit = (2 + 2 * 3 / 7 - 0.05) / 2
    assert problems(*narrow, f"finish.chamfer={limit - 1e-3}", text=WHOLE) == ()
    assert str(only_problem(*narrow, f"finish.chamfer={limit + 1e-3}", text=WHOLE)) == (
        f"finish.chamfer: {limit + 1e-3:.6g} mm leaves nothing of an end; take a smaller chamfer"
    )


MESSAGES = [
    (
        ("joint.width=18",),
        "joint.width: 18 mm leaves nothing for 4 tails once pins of 3 mm (joint.pin) and half pins of 6 mm "
        "(joint.half_pin) take 21 mm; take a board 47 mm wide (joint.width)",
    ),
    (
        (*ONE, "joint.width=15"),
        "joint.tails: tail 1 is 3 mm wide at the show face and closes before the baseline 4 mm below it, at a slope of "
        "1:2; take a board 19 mm wide (joint.width)",
    ),
    (
        (*ONE, "joint.width=12.3"),
        "joint.tails: tail 1 is 0.3 mm wide at the show face and closes before the baseline 4 mm below it, at a slope "
        "of 1:2; take a board 19 mm wide (joint.width)",
    ),
    (
        ("joint.half_pin=4",),
        "joint.half_pin: 4 mm is under 5 mm, the least that holds at an edge; "
        "accepted is 5 mm or more, or insist with joint.allow_thin_half_pin = true",
    ),
    (
        ("joint.pin=0.1", "tail_board.proud=0.7"),
        "joint.pin: 0.1 mm vanishes on the tail board's raw end, which stands 0.7 mm proud; accepted is 1 mm or more",
    ),
    (
        ("joint.pin=0.4", "fit.flank_gap=0.7", "joint.slope=1:30"),
        "joint.pin: 0.4 mm vanishes once a flank gap of 0.7 mm is cut; accepted is 3 mm or more",
    ),
    (
        (*STANDING, "joint.pin=2"),
        "joint.pin: 2 mm vanishes inside its chamfer of 1.5 mm; accepted is 3 mm or more",
    ),
]
"""Each remedy is the nearest layout that holds, in steps of 0.5 mm:

- four tails whose necks have 3 mm at 1:7, 12 mm deep: 21 + 4 (3 + 24/7) = 46.7 mm, so 47 mm. One
  tail would have 6 - 24/7 = 2.6 mm.
- a neck of 3 mm at 1:2, 4 mm deep: 12 + 3 + 4 = 19 mm.
- a gap of 0.5 mm for a knife at the raw end: 0.5 + 2 x 0.7/7 = 0.7 mm, so 1 mm.
- pins that are half-way a sixth of the tail board's 10 mm: 10/6 - 12/30 + 1.4 = 2.67 mm, so 3 mm.
- pins that are there inside their chamfer: 3 (sqrt(50)/7 - 1/7) + 0.05 = 2.65 mm, so 3 mm."""


@pytest.mark.parametrize(("overrides", "message"), MESSAGES)
def test_a_refusal_names_key_value_limit_and_remedy(overrides: tuple[str, ...], message: str) -> None:
    assert str(only_problem(*overrides, text=WHOLE)) == message


HALF_INCH = (f"{board}.{key}=1/2" for board in ("tail_board", "pin_board") for key in ("thickness", "length"))
INCHES = ("units=in", *HALF_INCH, "tail_board.proud=0", "pin_board.proud=0", "joint.pin=1/8")

REMEDIES = [
    *(((*ONE, f"joint.width={12 + w}"), "joint.width", r"a board ([\d.]+ mm) wide") for w in (0.6, 1, 2.5, 3, 4)),
    (("joint.width=35.1", "joint.slope=1:3"), "joint.tails", r"(\d) tails? \(joint.tails\)"),
    (("joint.width=35.1", "joint.slope=1:3"), "joint.width", r"a board ([\d.]+ mm) wide"),
    *(
        (("joint.pin=0.06", f"joint.slope=1:{n}"), "joint.pin", r"accepted is (.*) or more")
        for n in (5, 6, 7, 8, 9, 11)
    ),
    *((("joint.pin=0.06", f"fit.flank_gap={g}"), "joint.pin", r"accepted is (.*) or more") for g in (0.1, 0.13, 0.3)),
    (("joint.half_pin=0.05", *THIN, "tail_board.proud=0.5"), "joint.half_pin", r"accepted is (.*) or more"),
    (("joint.half_pin=4 mm", "joint.width=96 mm", *INCHES), "joint.half_pin", r"accepted is (.*) or more"),
    (("joint.half_pin=4",), "joint.allow_thin_half_pin", r"joint.allow_thin_half_pin = (true)"),
]


@pytest.mark.parametrize(("overrides", "key", "pattern"), REMEDIES)
def test_a_refused_recipe_is_accepted_once_its_remedy_is_followed(overrides, key: str, pattern: str) -> None:
    found = re.search(pattern, only_problem(*overrides, text=WHOLE).remedy)
    assert found
    assert problems(*overrides, f"{key}={found[1]}", text=WHOLE) == ()
    if key != "joint.allow_thin_half_pin":  # which takes what it gets
        assert frail_parts(laid_out(*overrides, f"{key}={found[1]}", text=WHOLE)) == ()


def test_a_single_tail_has_no_inner_pins_that_half_pins_or_gaps_could_fail() -> None:
    assert problems("joint.tails=1", "joint.width=40", "joint.pin=20", text=WHOLE) == ()
    assert problems("joint.tails=1", "joint.width=40", "joint.pin=0.05", text=WHOLE) == ()


def test_every_reason_comes_at_once() -> None:
    many = ("joint.half_pin=4", "joint.pin=0.06", "joint.width=25", "joint.slope=1:2")
    assert keys_of(problems(*many, text=WHOLE)) == ["joint.tails", "joint.half_pin", "joint.pin"]


def test_an_error_of_keys_is_completed_by_the_layouts_own_reasons() -> None:
    with pytest.raises(RecipeError) as caught:
        laid_out("joint.grading=0.2", "joint.half_pin=4", text=WHOLE)
    assert keys_of(caught.value.told) == ["joint.grading"]
    assert keys_of(with_layout_problems(caught.value).told) == ["joint.grading", "joint.half_pin"]


def test_laying_out_is_repeatable_and_leaves_the_recipe_as_it_was(layout: Layout) -> None:
    assert lay_out(layout.recipe) == layout


# --- chamfers and hollows --------------------------------------------------------------------------

SLENDER = ("joint.spacing=[28, 5, 28]", "joint.tails=3", "joint.pin=4", "joint.half_pin=13.5")


@pytest.mark.parametrize(
    ("overrides", "reason"),
    [
        (("entry_chamfer.width=4",), "a quarter of the thickness"),
        ((*SLENDER, "entry_chamfer.width=1"), "the most that the necks of the tails can spare"),
        (("undercut.depth=0.2", "undercut.land=0.5", "entry_chamfer.width=1"), "the land of the undercut"),
    ],
)
def test_what_limits_an_entry_chamfer_is_named(overrides: tuple[str, ...], reason: str) -> None:
    (problem,) = (found for found in problems(*overrides, text=WHOLE) if found.key == "entry_chamfer.width")
    assert problem.wrong.endswith(reason)


def test_the_least_and_the_most_that_a_chamfer_stays_back_are_both_accepted() -> None:
    """A joint 12 mm deep: 0.05 mm of it are shown and as much is chamfered, at the least."""
    for back in ("0.05", "11.95"):
        assert problems("entry_chamfer.width=1", f"entry_chamfer.back={back}", text=WHOLE) == ()
    for back in ("0.04", "11.96"):
        assert keys_of(problems("entry_chamfer.width=1", f"entry_chamfer.back={back}", text=WHOLE)) == [
            "entry_chamfer.back"
        ]


@pytest.mark.parametrize(("land", "what"), [("0.04", "land"), ("9", "hollow")])
def test_a_land_that_is_too_narrow_or_too_wide_says_what_is_lost(land: str, what: str) -> None:
    (problem,) = problems("undercut.depth=0.2", f"undercut.land={land}", text=WHOLE)
    assert problem.wrong == f"{land} mm leaves no {what}"


def test_the_end_of_each_pin_is_its_polygon_moved_in(layout: Layout) -> None:
    """Half pins have one straight side and one that leans, inner pins two that lean."""
    state = layout.as_cut
    if layout.recipe.flank_gap or state.show_y > layout.depth:
        return  # other shapes; their ends are added up above
    parts = sorted(pin_section(layout, state).geoms, key=lambda part: part.bounds)
    for gap, part in zip(layout.gaps, parts, strict=True):
        moved_in = part.buffer(-0.1, join_style="mitre", mitre_limit=50)
        assert pin_end_area(layout, gap, state, 0.1) == pytest.approx(moved_in.area)
