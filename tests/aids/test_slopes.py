"""Which slopes take a tool each: one for all that a hand cannot tell apart."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solids.aids.making.slopes import MOST, marked_slopes, slope_name, slopes_of, too_many
from solids.base.messages import said
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.recipe.tables.resolved import Listed
from tests.aids.irregular import uneven
from tests.corners import layout_of

SQUARE = math.inf


def with_slopes(*ratios: float) -> Layout:
    """A wide joint with a tail for every two slopes."""
    faces = tuple((10.0 + 40 * i, 40.0 + 40 * i) for i in range(len(ratios) // 2))
    width = faces[-1][1] + 10.0
    return place(replace(layout_of("tool-tray").recipe, width=width, listed=Listed(ratios=ratios, faces=faces)))


def test_one_slope_takes_one_tool_without_a_name_of_its_own() -> None:
    (slope,) = slopes_of(layout_of("tool-tray"))
    assert (slope.ratio, slope.words, slope.suffix, slope.figures("tail")) == (7.0, "1:7", "", ())


def test_each_slope_takes_a_tool_that_says_which_flanks_it_is_for() -> None:
    slopes = slopes_of(uneven())
    assert [slope.suffix for slope in slopes] == ["-1-5", "-1-6", "-1-8", "-square"]
    assert [said(dict(slope.figures("tail"))["for"]) for slope in slopes] == [
        "tail 2, left flank",
        "tail 1, right flank; tail 3, right flank",
        "tail 2, right flank",
        "tail 3, left flank",
    ]


def test_slopes_within_a_quarter_of_a_degree_share_the_angle_between_them() -> None:
    """1:6 is 9.462 degrees and 1:6.1 is 9.310; half-way is 9.386 degrees, which is 1:6.049."""
    (first, second) = slopes_of(with_slopes(6.0, 6.1, 9.0, 6.0))
    assert first.ratio == pytest.approx(1 / math.tan(math.radians((9.46232 + 9.30999) / 2)), abs=1e-4)
    assert (first.words, second.words) == ("1:6.05", "1:9") or first.words.startswith("1:6.0")
    assert said(dict(first.figures("tail"))["serves slopes from"]).startswith("1:6 to 1:6.1, which are within 0.25 deg")
    assert "serves slopes from" not in dict(second.figures("tail"))


def test_slopes_further_apart_take_two_tools() -> None:
    """1:6 and 1:6.2 differ by 0.299 degrees."""
    assert [slope.ratio for slope in slopes_of(with_slopes(6.0, 6.2))] == [6.0, 6.2]


def test_a_chain_of_slopes_is_not_one_group() -> None:
    """Each lies 0.2 degrees from the next; the first and the third are 0.4 apart."""
    leans = [math.tan(math.radians(degrees)) for degrees in (9.0, 8.8, 8.6, 8.4)]
    groups = slopes_of(with_slopes(*(1 / lean for lean in leans)))
    assert [len(slope.flanks) for slope in groups] == [2, 2]


def test_what_is_all_but_square_is_square() -> None:
    """1:400 is 0.143 degrees: half-way to square it is 0.07 off."""
    (steep, flat) = slopes_of(with_slopes(7.0, 400.0, SQUARE, 7.0))
    assert (steep.ratio, flat.words, flat.lean) == (7.0, "square", 0.0)


def test_a_slope_outward_has_a_guide_of_its_own_but_is_marked_with_the_other_edge() -> None:
    layout = with_slopes(7.0, -15.0, 5.0, 15.0, SQUARE, 7.0)
    assert [slope.suffix for slope in slopes_of(layout)] == ["-1-5", "-1-7", "-1-15", "-square", "-1-15-outward"]
    assert [slope.suffix for slope in marked_slopes(layout)] == ["-1-5", "-1-7", "-1-15"]
    assert [flank.tail for flank in marked_slopes(layout)[-1].flanks] == [1, 2]


def test_more_slopes_than_anyone_keeps_apart_are_refused() -> None:
    few, many = (slopes_of(with_slopes(*map(float, range(4, 4 + count)))) for count in (MOST, MOST + 2))
    assert too_many("saw-guides", few) is None
    refusal = too_many("saw-guides", many)
    assert refusal
    assert "8 slopes" in said(refusal.why)
    assert "sliding bevel" in said(refusal.remedy)


def test_a_long_list_of_flanks_is_cut_short() -> None:
    slope = slopes_of(with_slopes(*(ratio for _ in range(10) for ratio in (7.0, 9.0))))[0]
    assert said(dict(slope.figures("tail"))["for"]).endswith("tail 8, left flank; 2 more")


def test_a_slope_has_a_name_that_is_a_name_of_a_file() -> None:
    assert [slope_name(ratio) for ratio in (7.0, 6.5, SQUARE, -9.0)] == ["1-7", "1-6-5", "square", "1-9-outward"]
