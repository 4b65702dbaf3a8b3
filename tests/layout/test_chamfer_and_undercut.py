"""Entry chamfer and undercut on paper: formulas against slices, every refusal with a remedy that works, remarks."""

from __future__ import annotations

import math
import re

import pytest

from solids.base.findings import Finding
from solids.bench.facts import facts
from solids.bench.remarks import remarks
from solids.layout import Layout
from solids.layout.joint.volumes import joint_overlap, pin_board_volume, tail_board_volume
from tests import sections
from tests.fitted import CHAMFERED, FITTED, HOLLOW, layout_of
from tests.recipes import HALF_BLIND, WHOLE, keys_of, only_problem, problems

S = math.sqrt(1 + 1 / 49)


@pytest.fixture(params=FITTED)
def layout(request: pytest.FixtureRequest) -> Layout:
    return layout_of(*FITTED[request.param])


def refused(*overrides: str) -> list[str]:
    return keys_of(problems(*overrides, text=WHOLE))


def volumes(*overrides: str) -> tuple[float, float]:
    plan = layout_of(*overrides)
    return tail_board_volume(plan, plan.as_cut), pin_board_volume(plan, plan.as_cut)


# --- formulas -----------------------------------------------------------------------------------------------


def test_what_is_cut_in_is_what_slices_show(layout: Layout) -> None:
    """The difference to the same joint without chamfer and hollow."""
    plain = layout_of(*[o for name in FITTED if layout_of(*FITTED[name]) is layout for o in FITTED[name]
                        if not o.startswith(("entry_chamfer", "undercut"))])  # fmt: skip
    for cut, whole in ((layout.as_cut, plain.as_cut), (layout.as_finished, plain.as_finished)):
        taken = sections.chamfers(layout) + sections.tail_hollows(layout)
        assert tail_board_volume(plain, whole) - tail_board_volume(layout, cut) == pytest.approx(taken, abs=1e-7)
        taken = sections.pin_hollows(layout)
        assert pin_board_volume(plain, whole) - pin_board_volume(layout, cut) == pytest.approx(taken, abs=1e-7)


def test_the_overlap_is_what_slices_show(layout: Layout) -> None:
    assert joint_overlap(layout) == pytest.approx(sections.overlap(layout), abs=1e-8)


def test_a_chamfer_takes_a_prism_from_each_flank() -> None:
    """2 n s (d - back) c^2/2 = 2 x 4 x s x (12 - 2) x 1.2^2/2."""
    assert volumes()[0] - volumes(*CHAMFERED)[0] == pytest.approx(8 * S * 10 * 1.2**2 / 2)
    assert volumes()[1] == volumes(*CHAMFERED)[1]


@pytest.mark.parametrize("gap", [-0.05, -0.02, -0.001])
def test_a_chamfer_wider_than_the_flanks_are_tight_spares_so_much_overlap(gap: float) -> None:
    """2 n |g| s (t_t d - (d - back)(c - |g|/2))."""
    tight = layout_of(*CHAMFERED, f"fit.flank_gap={gap}")
    assert joint_overlap(tight) == pytest.approx(8 * -gap * S * (10 * 12 - 10 * (1.2 + gap / 2)))


def test_a_hollow_is_a_triangle_over_each_floor() -> None:
    """Tail board: depth (t - 2 land)/2 over sockets less edge lands; pin board: depth (d - 2 land)/2, half-way."""
    sockets = 2 * (6 + 12 / 7) + 3 * (3 + 24 / 7)
    assert volumes()[0] - volumes(*HOLLOW)[0] == pytest.approx(0.3 * (10 - 3) / 2 * (sockets - 2 * 1.5))
    assert volumes()[1] - volumes(*HOLLOW)[1] == pytest.approx(0.3 * (12 - 3) / 2 * 4 * (18.75 - 12 / 7))


def test_a_half_blind_floor_slopes_from_its_one_land_to_the_lap() -> None:
    """Depth (d - land)/2, its middle two thirds of the way to the lap."""
    whole, hollow = volumes(*HALF_BLIND)[1], volumes(*HALF_BLIND, *HOLLOW)[1]
    width = 18.75 - 2 * (9 - (1.5 + 7.5 * 2 / 3)) / 7
    assert whole - hollow == pytest.approx(0.3 * 7.5 / 2 * 4 * width)


def test_a_width_or_depth_of_nothing_switches_the_feature_off() -> None:
    off = ("entry_chamfer.width=0", "entry_chamfer.back=1", "undercut.depth=0", "undercut.land=1")
    assert volumes(*off) == volumes()
    assert (layout_of(*off).land, layout_of(*off).chamfer_reach) == (None, 0)


# --- planing into the hollow --------------------------------------------------------------------------------


def worst_gap(layout: Layout, planing: float) -> float:
    """How deep the hollow is at the show faces once so much is planed off both: the tail board's sockets and, where
    their floor runs through, the pin board's."""
    r = layout.recipe
    floors = [r.tail_board.thickness] if r.kind == "half-blind" else [r.tail_board.thickness, r.pin_board.thickness]
    return max(sections.depth_at(planing, r.undercut.depth, r.undercut.land, floor) for floor in floors)


@pytest.mark.parametrize("planing", [0.0, 1.0, 1.5, 1.6, 2.0, 3.0])
@pytest.mark.parametrize("thickness", [8, 10, 14])
@pytest.mark.parametrize("kind", [(), HALF_BLIND], ids=["through", "half-blind"])
def test_the_gap_after_planing_is_the_depth_of_the_hollow_there(kind, thickness: float, planing: float) -> None:
    plan = layout_of(*HOLLOW, f"pin_board.thickness={thickness}", *kind)
    assert plan.gap_after_planing(planing) == pytest.approx(worst_gap(plan, planing), abs=1e-12)


def test_without_a_hollow_planing_opens_no_gap() -> None:
    assert layout_of().gap_after_planing(4.0) == 0


def said(code: str, *overrides: str) -> Finding:
    plan = layout_of(*overrides)
    (found,) = (finding for finding in (*facts(plan), *remarks(plan)) if finding.code == code)
    return found


def test_what_may_be_planed_and_the_gap_beyond_are_told() -> None:
    """Half a millimetre past a land of 1.5 mm: 0.3 x 0.5/(10/2 - 1.5) = 0.043 mm."""
    told = said("undercut", *HOLLOW)
    assert "Up to 1.45 mm (0.057 in) may be planed" in told.said
    assert f"2 mm (0.079 in) would open a gap of {0.3 * 0.5 / 3.5:.2f} mm" in told.said


def test_as_much_as_is_told_may_be_planed() -> None:
    may = said("undercut", *HOLLOW).measured
    assert may is not None
    assert may == pytest.approx(1.5 - 0.05)
    assert refused(*HOLLOW, f"finish.planing={may}") == []


@pytest.mark.parametrize(("planing", "warned"), [(0.75, False), (0.76, True), (1.45, True)])
def test_planing_past_half_the_land_is_warned_of(planing: float, warned: bool) -> None:
    found = [f for f in remarks(layout_of(*HOLLOW, f"finish.planing={planing}")) if f.code == "planing"]
    assert [(f.severity, f.measured, f.limit) for f in found] == ([("warning", planing, 0.75)] if warned else [])


def test_following_the_warning_silences_it() -> None:
    remedy = said("planing", *HOLLOW, "finish.planing=1.2").advice
    most = re.search(r"Plane (.*) or less", remedy)
    assert most
    assert "planing" not in [f.code for f in remarks(layout_of(*HOLLOW, f"finish.planing={most[1]}"))]


@pytest.mark.parametrize("kind", [(), HALF_BLIND], ids=["through", "half-blind"])
def test_the_contact_that_a_chamfer_costs_is_told_as_a_share_of_each_flank(kind) -> None:
    """(d - back) c/(d t_t)."""
    plan = layout_of(*kind, *CHAMFERED)
    share = (plan.depth - 2) * 1.2 / (plan.depth * 10)
    told = said("entry-chamfer", *kind, *CHAMFERED)
    assert told.severity not in ("warning", "fail")
    assert (told.unit, told.measured) == ("%", pytest.approx(100 * share))
    assert f"takes {100 * share:.1f} % of each flank's contact" in told.said


# --- refusals -------------------------------------------------------------------------------------------------

BEYOND_LAND = (*HOLLOW, "undercut.land=1")
THIN_EDGE = (*HOLLOW, "joint.half_pin=0.2", "joint.allow_thin_half_pin=true", "joint.slope=1:20", "tail_board.proud=0")
NARROW = (*CHAMFERED, "joint.tails=1", "joint.width=17.5", "tail_board.proud=0")

BOTH_SIDES = [
    # key, what is shared, the last value accepted, the first refused
    ("entry_chamfer.width", CHAMFERED, 2.5, 2.501),  # a quarter of 10 mm
    ("entry_chamfer.width", (*CHAMFERED, *HOLLOW), 1.5, 1.501),  # the land
    ("entry_chamfer.width", NARROW, (5.5 - 24 / 7 - 0.05) / 2 / S - 1e-6, (5.5 - 24 / 7 - 0.05) / 2 / S + 1e-6),
    ("entry_chamfer.back", CHAMFERED, 0.05, 0.049),  # a knife line in front of the finished face
    ("entry_chamfer.back", (*CHAMFERED, "finish.planing=0.7"), 0.75, 0.749),  # and what is planed off it
    ("entry_chamfer.back", CHAMFERED, 11.95, 11.951),
    ("entry_chamfer.back", (*CHAMFERED, *HALF_BLIND), 8.95, 8.951),
    ("undercut.depth", HOLLOW, 1.0, 1.001),  # a tenth of 10 mm
    ("undercut.depth", (*HOLLOW, *HALF_BLIND), 0.9, 0.901),  # a tenth of 12 - 3 mm
    ("undercut.land", HOLLOW, 0.05, 0.049),
    ("undercut.land", HOLLOW, 4.975, 4.976),  # (10 - 0.05)/2
    ("undercut.land", THIN_EDGE, 0.75, 0.751),  # a socket of 0.2 + 12/20 at the edge, less a knife line
    ("finish.planing", BEYOND_LAND, 0.95, 0.951),
]


@pytest.mark.parametrize(("key", "shared", "accepted", "too_far"), BOTH_SIDES)
def test_every_limit_from_both_sides(key: str, shared: tuple[str, ...], accepted: float, too_far: float) -> None:
    assert refused(*shared, f"{key}={accepted:.9f}") == []
    assert refused(*shared, f"{key}={too_far:.9f}") == [key]


SHORT = ("joint.kind=half-blind", "tail_board.proud=0")
"""A floor shorter than two knife lines: nothing can be cut into it."""

REMEDIES = [
    ((*CHAMFERED, "entry_chamfer.width=3"), "entry_chamfer.width", r"0 to (.*)"),
    ((*CHAMFERED, *HOLLOW, "entry_chamfer.width=2"), "entry_chamfer.width", r"0 to (.*)"),
    (NARROW, "entry_chamfer.width", r"0 to (.*)"),
    (
        (*CHAMFERED, "joint.tails=1", "joint.width=15.49", "tail_board.proud=0"),
        "entry_chamfer.width",
        r"accepted is (0)$",
    ),
    ((*CHAMFERED, "entry_chamfer.back=0"), "entry_chamfer.back", r"from (.*) to"),
    ((*CHAMFERED, "finish.planing=0.3", "entry_chamfer.back=0.3"), "entry_chamfer.back", r"from (.*) to"),
    ((*CHAMFERED, "entry_chamfer.back=12"), "entry_chamfer.back", r"to (.*)"),
    ((*SHORT, "joint.lap=11.95", "entry_chamfer.width=0.01"), "entry_chamfer.width", r"take (0)$"),
    ((*HOLLOW, "undercut.depth=2"), "undercut.depth", r"0 to (.*?),"),
    ((*HOLLOW, "undercut.land=0.01"), "undercut.land", r"from (.*) to"),
    ((*HOLLOW, "undercut.land=5"), "undercut.land", r"to (.*)"),
    ((*SHORT, "joint.lap=11.9", "undercut.depth=0.01"), "undercut.depth", r"take (0)$"),
    ((*BEYOND_LAND, "finish.planing=2"), "finish.planing", r"0 to (.*?),"),
]


@pytest.mark.parametrize(("overrides", "key", "pattern"), REMEDIES)
def test_a_refused_recipe_is_accepted_once_its_remedy_is_followed(overrides, key: str, pattern: str) -> None:
    problem = only_problem(*overrides, text=WHOLE)
    found = re.search(pattern, problem.remedy)
    assert problem.key == key
    assert found
    assert problems(*overrides, f'{key}="{found[1]}"', text=WHOLE) == ()


def test_a_wider_land_lets_more_be_planed() -> None:
    assert refused(*BEYOND_LAND, "finish.planing=1.2", "undercut.land=1.25") == []


def test_planing_past_the_land_is_refused_with_the_gap_that_it_opens() -> None:
    """0.3 x (1.2 - 1)/(10/2 - 1) = 0.015 mm."""
    assert str(only_problem(*BEYOND_LAND, "finish.planing=1.2", text=WHOLE)) == (
        "finish.planing: 1.2 mm leaves no land over the hollow of the socket floors and opens a gap of 0.015 mm; "
        "accepted is 0 to 0.95 mm, or a wider undercut.land"
    )


def test_a_chamfer_that_would_show_after_flushing_is_refused_by_name() -> None:
    assert str(only_problem(*CHAMFERED, "entry_chamfer.back=0", text=WHOLE)) == (
        "entry_chamfer.back: 0 mm lets the chamfer show at the finished face; accepted is from 0.05 mm to 11.95 mm"
    )


@pytest.mark.parametrize(("alone", "needs"), [("entry_chamfer.back", "width"), ("undercut.land", "depth")])
def test_a_key_without_effect_names_the_one_it_needs(alone: str, needs: str) -> None:
    problem = only_problem(f"{alone}=1", text=WHOLE)
    assert problem.key == alone
    assert f"{alone.partition('.')[0]}.{needs}" in problem.remedy
