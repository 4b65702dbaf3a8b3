"""Joints of which nothing is alike, on paper: closed forms against slices of the boards, one worked by hand, and what
is refused."""

from __future__ import annotations

import math

import pytest

from solids.layout import Layout, lay_out
from solids.layout.joint.volumes import joint_overlap, pin_board_volume, tail_board_volume
from solids.recipe import parse_recipe
from tests import sections
from tests.model.by_slices import corner_volumes
from tests.recipes import IRREGULAR, IRREGULAR_CASES, keys_of, problems


def irregular(name: str) -> Layout:
    return lay_out(parse_recipe(IRREGULAR, "recipe", IRREGULAR_CASES[name]))


@pytest.mark.parametrize("name", IRREGULAR_CASES)
def test_volumes_are_what_slices_show(name: str) -> None:
    layout = irregular(name)
    for state in (layout.as_cut, layout.as_finished):
        found = tail_board_volume(layout, state), pin_board_volume(layout, state)
        assert found == pytest.approx(corner_volumes(layout, state), rel=1e-12)


@pytest.mark.parametrize("name", IRREGULAR_CASES)
def test_the_overlap_is_what_slices_show(name: str) -> None:
    layout = irregular(name)
    assert joint_overlap(layout) == pytest.approx(sections.overlap(layout), rel=1e-9, abs=1e-8)


def test_volumes_by_hand() -> None:
    """Tails are trapezia 10 deep, with (20 + 18)/2 = 19, (24 + 22)/2 = 23 and (31 + 29)/2 = 30 as mean widths. The
    mitre is a wedge of 10 x 10 / 2 on a strip of 6."""
    layout = irregular("by hand")
    tails = 10 * (19 + 23 + 30)
    assert tail_board_volume(layout, layout.as_cut) == pytest.approx(100 * 100 * 12 + 10 * tails + 6 * 50)
    crown = 10 * (10 * (100 - 6) - tails) + 6 * 50
    assert pin_board_volume(layout, layout.as_cut) == pytest.approx(10 * 100 * (50 + 2) + crown)
    assert joint_overlap(layout) == 0.0


def test_a_tight_overlap_by_hand() -> None:
    """0.04 mm on each flank, 10 mm high, along 10 mm of depth, each longer by its own slope. A flush edge has none."""
    leans = (2 / 10, 2 / 10, 0.0, -1 / 10, 3 / 10)
    assert joint_overlap(irregular("tight")) == pytest.approx(0.04 * 10 * 10 * sum(math.hypot(1, x) for x in leans))


def test_one_half_tail_from_edge_to_edge_is_refused_whatever_is_cut_into_it() -> None:
    edges = 'joint.edges=["half tail", "half tail"]'
    assert "joint.edges" in keys_of(problems(edges, "joint.tails=1", "entry_chamfer.width=0.5"))
    assert keys_of(problems(edges, "joint.spacing=[96]")) == ["joint.edges"]


def test_planing_over_a_hollow_of_a_rebated_board_by_hand() -> None:
    """A board of 14 mm with a rebate of 2 mm has shoulders of 12 mm: from a land of 2 mm the hollow goes down 0.3 mm in
    4 mm. Planed by 3 mm, it shows a quarter of that. The pin board's, 12 mm through, shows as much."""
    hollow = "[joint]\nwidth = 96\n[tail_board]\nthickness = 14\nrebate = 2\n[pin_board]\nthickness = 12\n"
    layout = lay_out(parse_recipe(hollow, "recipe", ("undercut.depth=0.3", "undercut.land=2")))
    assert layout.gap_after_planing(3.0) == pytest.approx(0.075)


def test_a_slope_is_chosen_only_for_flanks_that_take_it() -> None:
    boards = "[tail_board]\nthickness = 10\n[pin_board]\nthickness = 12\n"
    told = {
        flanks: [made.value for made in parse_recipe(f"[joint]\nwidth = 90\nflanks = {flanks}\n{boards}").choices
                 if made.key == "joint.slope"]
        for flanks in ("[0, [20, 18], [30, 32], [80, 78]]", "[0, 20, [30, 32], [80, 78]]")
    }  # fmt: skip
    assert list(told.values()) == [[], ["1:8"]]
