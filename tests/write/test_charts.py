"""The charts of the page: their numbers against what the bench is told, and where points and words stand."""

from __future__ import annotations

import re
from functools import cache
from itertools import combinations

import pytest

from solids.base.errors import RecipeError
from solids.bench.comparing import compare, with_other_tails
from solids.layout import can_be_cut, lay_out, with_tails
from solids.layout.assembly import assembly_of
from solids.layout.plan import plan
from solids.write.page.charts import MOST_COUNTS, charts, more_or_fewer_tails, over_a_year, piece_charts
from solids.write.page.contents import layouts
from solids.write.page.plot import LETTERS, WIDTH, Chart, Label, round_step, scale_over, scales_from_zero
from tests.corners import CASES, layout_of

UNKNOWN = "{name = 'bog oak', kind = 'hardwood', density = 700}"
"""A wood without figures."""

MORE_CASES = {
    **CASES,
    "a hundred tails": ("tool-tray", "joint.width=2410", "joint.tails=100"),
    "ten tails": ("tool-tray", "joint.width=300", "joint.tails=10"),
    "thick": ("shoe-bench",),
    "a damp shop": ("tea-box", 'climate.shop="68 F, 85 %"'),
    "a dry shop": ("tool-tray", 'climate.shop="20 C, 10 %"'),
    "one board known": ("tool-tray", f"pin_board.wood={UNKNOWN}"),
}


@cache
def drawn(name: str) -> tuple[Chart, ...]:
    return tuple(charts(layout_of(*MORE_CASES[name])))


def tails_chart(*case: str) -> Chart:
    (chart,) = more_or_fewer_tails(layout_of(*case))
    return chart


def year_chart(*case: str) -> Chart:
    (chart,) = over_a_year(layout_of(*case))
    return chart


def points(chart: Chart, style: str) -> list[list[tuple[float, float]]]:
    """The points of every shape of a style."""
    found = [outline for name, outline in chart.shapes if name == style]
    return [[(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", outline)] for outline in found]


def label(chart: Chart, words: str) -> Label:
    """The words where they stand; of numbers those along the foot."""
    (found,) = (each for each in chart.labels if each.words == words and each.anchor == "middle")
    return found


def marks(chart: Chart, tone: str) -> dict[float, float]:
    """The heights of the numbers along an upright axis, from below."""
    numbers = [each for each in chart.labels if each.tone == tone and re.fullmatch(r"[\d.]+", each.words)]
    return {float(each.words): each.y for each in numbers}


def counts(chart: Chart) -> list[int]:
    return [int(each.words) for each in chart.labels if each.words.isdecimal() and each.tone in ("", "own")]


# --- scales --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("least", "step"), [(0.03, 0.05), (1.0, 1.0), (1.01, 2.0), (2.2, 2.5), (22, 25), (26, 50), (51, 100), (100, 100)]
)
def test_steps_are_round(least: float, step: float) -> None:
    assert round_step(least) == pytest.approx(step, rel=1e-12)


def test_a_scale_holds_what_it_is_for_and_begins_at_a_round_number() -> None:
    scale = scale_over(-1.07, 0.62, 28, 312)
    assert scale.told == ["-1.5", "-1", "-0.5", "0", "0.5", "1"]
    assert [scale.at(-1.5), scale.at(0), scale.at(1)] == [28, pytest.approx(198.4), 312]


def test_two_scales_share_their_lines_with_little_room_above() -> None:
    pull, minutes = scales_from_zero([4.9, 96], 182, 32)
    assert pull.told == ["0", "1", "2", "3", "4", "5"]
    assert minutes.told == ["0", "20", "40", "60", "80", "100"]
    assert [pull.at(tick) for tick in pull.ticks] == [minutes.at(tick) for tick in minutes.ticks]


# --- more or fewer tails -------------------------------------------------------------------------


def test_the_tool_tray_by_hand() -> None:
    """2 x 4 flanks of 12 mm x sqrt(1 + 1/49) by 10 mm are 970 mm2. Maple, which shears at 16.1 MPa, rolls at
    0.18 of that, 2.90 MPa, and gives before cherry: 2.81 kN. Seven tails hold 7/4 of it, 4.92 kN, so the axis ends at
    5, 150 units up from 182."""
    chart = tails_chart("tool-tray")
    assert counts(chart) == [1, 2, 3, 4, 5, 6, 7]
    assert list(marks(chart, "accent")) == [0, 1, 2, 3, 4, 5]
    assert list(marks(chart, "quiet")) == [0, 20, 40, 60, 80, 100]
    assert [each.words for each in chart.labels[:2]] == ["pull, kN", "minutes"]
    (line,) = points(chart, "line")
    assert line[3] == (label(chart, "4").x, pytest.approx(182 - 150 * 2.81 / 5, abs=0.5))
    assert line[6][1] == pytest.approx(182 - 150 * 4.92 / 5, abs=0.5)
    assert "4 tails, as in this recipe, about 2.8 kN and 20 to 70 minutes" in chart.said


@pytest.mark.parametrize(("case", "unit"), [(("tool-tray",), 1000.0), (("tea-box",), 4.4482216152605)])
def test_every_point_is_the_figure_that_compare_tells(case: tuple[str, ...], unit: float) -> None:
    chart = tails_chart(*case)
    (line,), (band,) = points(chart, "line"), points(chart, "band")
    pull, minutes = marks(chart, "accent"), marks(chart, "quiet")
    (_, foot), (top, head) = next(iter(pull.items())), list(pull.items())[-1]
    shown = counts(chart)
    rows = [each for each in compare(case[0], (), shown, ()) if each.figures]
    assert [each.tails for each in rows] == shown
    for at, row in enumerate(rows):
        assert row.figures
        held = (foot - line[at][1]) / (foot - head) * top
        most, least = ((foot - band[k][1]) / (foot - head) * max(minutes) for k in (at, len(band) - 1 - at))
        assert held == pytest.approx(row.figures.strength.glued[0].least / unit, abs=2e-4 * top)
        time = row.figures.time
        assert (least, most) == pytest.approx((time.least, time.most), abs=2e-4 * max(minutes))


def test_the_recipes_own_number_is_marked() -> None:
    chart = tails_chart("tool-tray")
    own, words = label(chart, "4"), label(chart, "this recipe: 4 tails")
    ((upper, lower),) = points(chart, "mark")
    assert [each.words for each in chart.labels if each.tone == "own"] == ["4", "this recipe: 4 tails"]
    assert own.x == words.x == upper[0] == lower[0]
    ((here,),) = points(chart, "dot here")
    assert here in points(chart, "line")[0]
    assert here[0] == own.x


def test_numbers_that_are_refused_or_that_no_hand_can_cut_are_left_out() -> None:
    """Tool-tray's half pins take 12 mm and its pins 3 each, so that 11 tails have necks of 1.48 mm, under the narrowest
    chisel, 1.5."""
    assert counts(tails_chart("tool-tray", "joint.tails=9")) == [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]
    layout = layout_of("tool-tray", "joint.tails=9")
    assert [len(each.tails) for each in with_other_tails(layout, range(8, 40))] == [8, 9, 10]


def test_the_recipes_own_is_shown_though_no_hand_can_cut_it() -> None:
    assert counts(tails_chart("tool-tray", "joint.tails=11")) == [*range(3, 11), 11]


@pytest.mark.parametrize("name", CASES)
def test_what_can_be_cut_is_what_would_be_laid_out(name: str) -> None:
    recipe = layout_of(*CASES[name]).recipe
    answers = set()
    for count in range(1, 61, 3):
        if other := with_tails(recipe, count):
            try:
                lay_out(other)
            except RecipeError:
                accepted = False
            else:
                accepted = True
            assert can_be_cut(other) == accepted
            answers.add(accepted)
    assert answers in ({True, False}, set())


def test_a_groove_that_would_cut_a_pin_counts_as_a_refusal() -> None:
    """The keepsake box has 3 tails. The groove of its bottom no longer lies within the first of five."""
    piece = assembly_of(plan("keepsake-box"))
    (chart,) = more_or_fewer_tails(piece.kinds[0].layout)
    shown = counts(chart)
    with pytest.raises(RecipeError, match="groove"):
        plan("keepsake-box", [f"joint.tails={shown[-1] + 1}"])
    for count in shown:
        assert plan("keepsake-box", [f"joint.tails={count}"])


def test_many_tails_have_a_dozen_points_and_as_many_numbers_as_there_is_room_for() -> None:
    chart = tails_chart(*MORE_CASES["a hundred tails"])
    (line,) = points(chart, "line")
    assert len(line) == MOST_COUNTS
    assert counts(chart) == [92, 94, 96, 98, 100, 102]


@pytest.mark.parametrize(
    "case",
    [
        CASES["listed, no symmetry"],
        ("tool-tray", f"pin_board.wood={UNKNOWN}"),
        ("tool-tray", "joint.width=22", "joint.tails=1"),
    ],
    ids=["the recipe lists the tails", "no strength", "no other number can be cut"],
)
def test_no_chart_of_tails(case: tuple[str, ...]) -> None:
    assert list(more_or_fewer_tails(layout_of(*case))) == []


# --- over a year ---------------------------------------------------------------------------------


def test_the_year_of_the_tool_tray_is_what_the_note_tells() -> None:
    chart = year_chart("tool-tray")
    assert [each.words for each in chart.labels[:4]] == ["tail board", "-0.75 to +0.43", "pin board", "-1.07 to +0.62"]
    assert label(chart, "mm")
    zero, half = label(chart, "as made").x, label(chart, "0.5").x
    (tails, pins) = points(chart, "bar")
    assert [(x - zero) / (half - zero) / 2 for x, _ in tails[:2]] == pytest.approx([-0.75, 0.43], abs=0.005)
    assert [(x - zero) / (half - zero) / 2 for x, _ in pins[:2]] == pytest.approx([-1.07, 0.62], abs=0.005)
    assert {x for line in points(chart, "zero") for x, _ in line} == {zero}
    assert "the tail board from 0.75 mm narrower to 0.43 mm wider" in chart.said


def test_inches_are_told_in_thousandths() -> None:
    chart = year_chart("tea-box")
    assert label(chart, "thousandths in")
    assert [each.words for each in chart.labels[:2]] == ["tail board", "-30 to +25"]
    numbers = [each.words for each in chart.labels if re.fullmatch(r"-?[\d.]+|as made", each.words)]
    assert numbers == ["-40", "-20", "as made", "20", "40"]


def test_wood_that_was_made_in_damp_air_is_narrower_all_year() -> None:
    chart = year_chart(*MORE_CASES["a damp shop"])
    zero = label(chart, "as made")
    assert all(right < points(chart, "zero")[0][0][0] for (_, (right, _), *_) in points(chart, "bar"))
    assert zero.span[1] == pytest.approx(WIDTH), "as near as the drawing lets it"


def test_a_board_of_which_nothing_is_known_is_left_out_and_two_have_no_chart() -> None:
    chart = year_chart(*MORE_CASES["one board known"])
    assert [each.words for each in chart.labels if "board" in each.words] == ["tail board"]
    nothing = layout_of("tool-tray", f"tail_board.wood={UNKNOWN}", f"pin_board.wood={UNKNOWN}")
    assert list(charts(nothing)) == []


def test_where_the_air_never_changes_there_is_no_chart() -> None:
    still = layout_of("tool-tray", 'climate.shop="20 C, 50 %"', 'climate.home={dry="20 C, 50 %", damp="20 C, 50 %"}')
    assert list(over_a_year(still)) == []


@pytest.mark.parametrize("kind", ["solid", "plywood"])
def test_a_solid_bottom_stands_once_with_the_first_kind_of_corner(kind: str) -> None:
    by_kind = piece_charts(assembly_of(plan("desk-drawer", [f"box.panel.kind={kind}"])))
    rows = [["bottom" in (each.words for each in chart.labels) for chart in found] for found in by_kind.values()]
    assert rows == [[False, kind == "solid"], [False, False], [False, False]]


def test_each_kind_of_a_box_has_its_charts_and_the_cut_list_has_none() -> None:
    piece = assembly_of(plan("desk-drawer"))
    titles = [shown.title for shown in layouts(piece)]
    assert [title for title in titles if title in piece_charts(piece)] == titles[1:]


# --- words ---------------------------------------------------------------------------------------


def test_a_wood_that_nobody_named_is_told_with_each_chart() -> None:
    text = "\n[joint]\nwidth = 96\n[tail_board]\nthickness = 12\n[pin_board]\nthickness = 12\n"
    piece = assembly_of(plan(text))
    found = list(charts(piece.kinds[0].layout))
    assert len(found) == 2
    assert all(chart.caption.endswith("No wood was named: this is for beech.") for chart in found)
    assert all("named" not in chart.caption for chart in drawn("through"))


def test_strength_is_to_compare_with() -> None:
    assert "to compare with, never to design with" in tails_chart("tool-tray").caption


def test_letters_are_twelve_pixels_high_on_a_phone() -> None:
    """360 px less twice 16 beside the page, twice 16 within a section, and its two lines."""
    assert LETTERS * (360 - 2 * 16 - 2 * 16 - 2) / WIDTH >= 12


@pytest.mark.parametrize("name", MORE_CASES)
def test_no_words_overlap_and_all_is_within_the_drawing(name: str) -> None:
    assert drawn(name)
    for chart in drawn(name):
        for each in chart.labels:
            assert -0.01 <= each.span[0] < each.span[1] <= WIDTH + 0.01, each
            assert LETTERS / 2 <= each.y <= chart.height - LETTERS / 2, each
        for one, other in combinations(chart.labels, 2):
            beside = one.span[1] <= other.span[0] or other.span[1] <= one.span[0]
            assert beside or abs(one.y - other.y) >= LETTERS, (one, other)
        everything = [point for style, _ in chart.shapes for shape in points(chart, style) for point in shape]
        assert all(0 <= x <= WIDTH and 0 <= y <= chart.height for x, y in everything)
