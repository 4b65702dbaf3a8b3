"""The layout that a rule chooses, beside what textbooks and the trade would have, board by board.

- FOSTER: E. W. Foster, Carpentry and Woodwork, 1911: the toilet box, Fig. 181.
- COMPTON: A. G. Compton, First Lessons in Wood-Working, Lesson XVII.
- JOYCE: E. Joyce, The Technique of Furniture Making (title from memory), "Lapped dovetails", read in a
  stored copy: two whole pins for a drawer up to 6 in, above that three.
- NOYES: W. Noyes, Handwork in Wood, 1910, pp. 164-165: a tail is at most 1 3/4 in wide.
- Other counts are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solids.base import tolerances as tol
from solids.base.errors import RecipeError
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from solids.layout import Layout, lay_out
from solids.recipe import parse_recipe
from solids.recipe.completing.corner.looks import Look, usual_slope, usual_stoutness
from solids.wood import find_wood
from tests.recipes import HALF_BLIND, choice, recipe

INCH = 25.4
PRACTICE = "common practice"


@dataclass(frozen=True)
class Case:
    """A board, the tails that the rule gives, and the fewest and most that a source would."""

    thick: float
    wide: float
    gives: int
    wanted: tuple[int, int]
    source: str
    kind: str = "through"


THIRTY = (
    Case(3 / 16, 1.25, 2, (2, 2), PRACTICE),
    Case(3 / 8, 3, 3, (3, 3), PRACTICE),
    Case(1 / 2, 3, 3, (3, 3), "FOSTER"),
    Case(7 / 16, 5 + 11 / 16, 4, (4, 5), "COMPTON, whose five tails are as wide as his pins"),
    Case(20 / INCH, 90 / INCH, 3, (3, 3), PRACTICE),
    Case(12 / INCH, 90 / INCH, 3, (3, 3), PRACTICE),
    Case(16 / INCH, 90 / INCH, 3, (3, 3), PRACTICE),
    Case(1 / 2, 4, 3, (3, 3), PRACTICE),
    Case(1 / 2, 8, 5, (4, 5), PRACTICE),
    Case(3 / 4, 12, 7, (6, 7), PRACTICE, "half-blind"),
    Case(3 / 4, 16, 9, (8, 10), PRACTICE),
    Case(3 / 4, 20, 11, (11, 12), PRACTICE),
    Case(7 / 8, 18, 10, (9, 11), PRACTICE),
    Case(7 / 8, 24, 13, (11, 14), PRACTICE),
    Case(1 + 3 / 4, 8, 3, (3, 3), PRACTICE),
    Case(2 + 1 / 2, 5, 2, (2, 2), PRACTICE),
    Case(1 / 2, 4, 3, (3, 3), "JOYCE", "half-blind"),
    Case(1 / 2, 4.5, 3, (3, 3), "JOYCE", "half-blind"),
    Case(1 / 2, 5, 4, (3, 4), "JOYCE has one fewer at 5 in and more", "half-blind"),
    Case(1 / 2, 6, 4, (3, 4), "JOYCE, the same", "half-blind"),
    Case(1 / 2, 7, 5, (4, 5), "JOYCE, the same", "half-blind"),
    Case(1 / 2, 8, 5, (4, 5), "JOYCE, the same", "half-blind"),
    Case(1, 17 / 16, 1, (1, 1), "NOYES, by the limit"),
    Case(3 / 4, 26, 14, (14, 20), "NOYES, by the limit: 26 in hold 13 tails of 1 3/4 in and pins"),
    Case(3 / 4, 30, 16, (16, 22), "NOYES, by the limit"),
    Case(3 / 4, 36, 20, (20, 26), "NOYES, by the limit"),
    Case(1 + 1 / 4, 10, 5, (5, 6), "between the looks: fine gives 6, stout 5"),
    Case(1 + 1 / 2, 6, 3, (3, 3), PRACTICE),
    Case(2, 12, 4, (4, 5), PRACTICE),
    Case(1 + 3 / 4, 12, 5, (4, 5), PRACTICE),
)


def laid(thick: float, wide: float, kind: str = "through", *overrides: str) -> Layout:
    """A corner of two boards of one thickness, sizes in inches."""
    sizes = f"joint.width={wide * INCH}", f"tail_board.thickness={thick * INCH}", f"pin_board.thickness={thick * INCH}"
    return lay_out(recipe(*sizes, f"joint.kind={kind}", "tail_board.wood=ash", *overrides))


@pytest.mark.parametrize("case", THIRTY, ids=lambda case: f"{case.thick:.4g} x {case.wide:.4g} in, {case.kind}")
def test_thirty_boards_take_the_tails_that_a_maker_would_give_them(case: Case) -> None:
    fewest, most = case.wanted
    assert len(THIRTY) == 30
    assert fewest <= case.gives <= most
    assert len(laid(case.thick, case.wide, case.kind).tails) == case.gives


def test_a_stout_joint_by_hand() -> None:
    """Ash 1 3/4 by 8 in, 44.45 by 203.2 mm, at 1:8: each flank widens a pin by 5.56 mm. A pin of half the board at the
    baseline is 22.2 - 11.1 = 11.1 mm, rounded up to 11.5; a half pin as wide there, 11.5 + 5.56 = 17.06, is 17.5. From
    tail to tail 40 + 0.6 x 44.45 = 66.7 mm: three tails of (203.2 - 35 - 23) / 3 = 48.4 mm."""
    layout = laid(1.75, 8)
    assert (layout.recipe.pin, layout.recipe.half_pin, layout.flanks[0].ratio) == (11.5, 17.5, 8)
    assert [tail.width for tail in layout.tails] == pytest.approx([48.4] * 3)
    assert layout.pin_widths(0.0)[1] == pytest.approx(44.45 / 2, abs=0.5)


def test_a_fine_joint_by_hand() -> None:
    """7/8 by 18 in, 457.2 mm: 52 x 457.2 / (457.2 + 62) = 45.8 mm from tail to tail, ten tails of
    (457.2 - 10 - 27) / 10 = 42.0 mm."""
    layout = laid(7 / 8, 18)
    assert (layout.recipe.pin, layout.recipe.half_pin) == (3, 5)
    assert [tail.width for tail in layout.tails] == pytest.approx([42.02] * 10)


def test_between_the_looks_all_goes_by_thickness() -> None:
    """31.5 mm is half-way from 25 to 38: a pin half-way from 3 mm to 31.5/2 - 2 x 31.5/8 = 7.875 is 5.44."""
    assert usual_stoutness(31.5) == pytest.approx(0.5)
    assert Look(0.5, 31.5, 31.5, 31.5, 8.0).pin(300) == pytest.approx((3 + 7.875) / 2)
    layout = laid(31.5 / INCH, 300 / INCH)
    assert layout.recipe.pin == 5.5
    assert [usual_stoutness(t) for t in (3, 25, 38, 80)] == [0, 0, 1, 1]
    assert "joint.look" not in {made.key for made in layout.recipe.choices}


def test_a_look_is_taken_as_asked_and_told_where_a_rule_took_it() -> None:
    assert choice("joint.look") == ("fine", "usual in boards up to 25 mm thick")
    thick = "joint.width=150", "tail_board.thickness=20", "pin_board.thickness=20"
    fine, stout = recipe(*thick), recipe(*thick, "joint.look=stout")
    assert len(stout.tail_shares) < len(fine.tail_shares)
    assert "joint.look" not in {made.key for made in stout.choices}
    given = recipe("joint.pin=3", "joint.half_pin=6", "joint.tails=3")
    assert "joint.look" not in {made.key for made in given.choices}, "a look that chooses nothing is not told"


def test_a_look_that_is_no_look_is_refused() -> None:
    with pytest.raises(RecipeError, match=r'joint\.look.*"fine" or "stout"'):
        recipe("joint.look=rustic")


@given(st.floats(40, 700), st.floats(5, 80), st.floats(5, 80), st.sampled_from(["fine", "stout", None]))
def test_what_is_chosen_holds_and_looks_as_it_should(width, tails, pins, look) -> None:
    asked = (f"joint.look={look}",) if look else ()
    assume(width > 2 * pins)
    sizes = f"joint.width={width}", f"tail_board.thickness={tails}", f"pin_board.thickness={pins}"
    layout = lay_out(recipe(*sizes, *asked))
    chosen, widest = layout.recipe, max(tail.width for tail in layout.tails)
    assert chosen.half_pin > chosen.pin
    assert chosen.half_pin >= tol.HALF_PIN_LEAST
    necks = min(layout.tail_width(tail, 0.0) for tail in layout.tails)
    assert widest <= chosen.widest_tail + 1e-9 or necks < 2 * chosen.depth / 5, "deep joints lose much at the neck"
    assert chosen.widest_tail == pytest.approx(max(44.45, 1.25 * min(tails, pins)))


@given(st.floats(5, 25), st.sampled_from([(60, 120), (90, 200), (200, 400), (400, 700)]))
def test_tails_grow_with_the_board(thick: float, widths: tuple[float, float]) -> None:
    narrow, wide = (laid(thick / INCH, width / INCH) for width in widths)
    assert len(wide.tails) > len(narrow.tails)
    if thick > 11:
        assert wide.tails[0].width > narrow.tails[0].width * 0.95


@pytest.mark.parametrize("wood", ["white pine", "ash"])
@pytest.mark.parametrize("thick", [8, 12, 19, 25, 32, 45, 60])
@pytest.mark.parametrize("kind", ["through", "half-blind"])
def test_what_a_rule_chooses_is_worth_no_remark(thick: float, kind: str, wood: str) -> None:
    """Nothing slender, thin or wide, on boards from three to fifteen times as wide as they are thick."""
    for times in (3, 5, 8, 15):
        layout = laid(thick / INCH, times * thick / INCH, kind, f"tail_board.wood={wood}", f"pin_board.wood={wood}")
        assert [found.said for found in remarks(layout) if found.severity != "note"] == []


def test_a_pin_in_a_thick_tail_board_of_soft_wood_by_hand() -> None:
    """Half-way a pin is to be a quarter of 25 mm, 6.25; behind a pin board of 12 mm at 1:6 it is p + 12/6, so p = 4.25,
    rounded up to 4.5."""
    pine = "tail_board.wood=white pine", "pin_board.wood=white pine", "joint.width=200"
    assert recipe(*pine, "tail_board.thickness=25", "pin_board.thickness=12").pin == 4.5
    assert recipe(*pine, "tail_board.thickness=19", "pin_board.thickness=19").pin == 3


# --- chisels -------------------------------------------------------------------------------------


def test_pins_let_the_narrowest_chisel_down_to_the_baseline() -> None:
    """In 12 mm at 1:8 a gap of 3 mm is 3 + 2 x 9/8 = 5.25 mm wide where a blade of 3 mm stands; a 6 mm chisel asks for
    6 - 2.25 = 3.75 mm, rounded up to 4. A 3 mm chisel asks for nothing."""
    assert recipe("kit.chisels=[3, 12]").pin == 3
    own = recipe("kit.chisels=[6, 12]")
    assert own.pin == 4
    assert choice("joint.pin", "kit.chisels=[6, 12]")[1].startswith("lets your narrowest chisel, 6 mm")
    assert all(fit.own for fit in bench_of(lay_out(own)).chisels)


def test_a_chisel_wider_than_the_board_is_thick_moves_no_pin() -> None:
    assert recipe("kit.chisels=[25]").pin == 3
    assert recipe("kit.chisels=[6]", "joint.pin=3").pin == 3, "the maker's word goes first"


def test_tails_are_wide_enough_for_the_narrowest_chisel() -> None:
    """50 mm of 12 mm stock: 52 x 50/112 = 23.2 mm from tail to tail is two tails of 18.5 mm with necks of 15.5; a
    chisel of 16 mm asks for one."""
    narrow = "joint.width=50", "joint.pin=3"
    assert len(recipe(*narrow, "kit.chisels=[15]").tail_shares) == 2
    assert len(recipe(*narrow, "kit.chisels=[16]").tail_shares) == 1


# --- slope ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wood", "depth", "ratio"),
    [
        *(("beech", depth, ratio) for depth, ratio in ((4, 5), (6.5, 5), (6.6, 7), (10, 7), (10.1, 8), (45, 8))),
        *(("white pine", depth, ratio) for depth, ratio in ((4, 5), (10, 6), (20, 6), (38, 6), (38.1, 6), (38.6, 7))),
        ("basswood", 20, 6),  # of a broad-leaved tree, and soft
        ("longleaf pine", 20, 8),  # of a conifer, and hard
    ],
)
def test_slope_goes_by_what_the_wood_gives_and_by_depth(wood: str, depth: float, ratio: float) -> None:
    assert usual_slope(find_wood(wood), depth)[0] == ratio


def test_a_lap_makes_a_joint_shallow() -> None:
    """12 mm with a lap of a quarter, 3 mm: a flank of 9 mm."""
    assert recipe("tail_board.wood=beech").slope_ratio == 8
    assert recipe(*HALF_BLIND, "tail_board.wood=beech", "pin_board.thickness=12", "joint.lap=3").slope_ratio == 7


# --- necks ---------------------------------------------------------------------------------------


def test_a_number_of_tails_whose_necks_are_thin_is_not_chosen() -> None:
    """90 mm by 12 is three tails of 24.7 mm; at 1:2 each neck loses 12 mm and 12.7 are left. In 24 mm each loses 24 and
    0.7 mm are left, so two of 38.5 with necks of 14.5 are taken."""
    steep = "joint.width=90", "joint.slope=1:2", "tail_board.thickness=12"
    assert len(recipe(*steep, "pin_board.thickness=12").tail_shares) == 3
    assert len(recipe(*steep, "pin_board.thickness=24").tail_shares) == 2


def test_pins_of_the_makers_own_leave_the_tails_as_wide() -> None:
    """200 mm by 19 is five tails. Pins of 12 mm, 9 more than the rule's: (200 - 2 x 13) / (39.7 + 9) = 3.6, so four."""
    board = "joint.width=200", "tail_board.thickness=19", "pin_board.thickness=19"
    assert len(recipe(*board).tail_shares) == 5
    assert len(recipe(*board, "joint.pin=12").tail_shares) == 4
    assert recipe(*board, "joint.pin=12").half_pin == 18


@pytest.mark.parametrize(("grading", "most"), [(-0.5, 4), (-0.3, 8), (-0.1, 100), (0.25, 100), (2, 100)])
def test_graded_tails_that_would_vanish_in_the_middle_are_not_chosen(grading: float, most: int) -> None:
    """At -0.5 the third of five tails would have 1 - 2 x 0.5 = 0; of ten, the shares would even sum to nothing."""
    made = recipe("joint.width=600", "joint.spacing=graduated", f"joint.grading={grading}")
    assert min(made.tail_shares) > 0
    assert len(made.tail_shares) <= most
    if grading == 0.25:
        assert max(tail.width for tail in lay_out(made).tails) <= made.widest_tail


def test_a_recipe_in_inches_takes_the_same_tails() -> None:
    text = 'units = "in"\njoint.width = 8\ntail_board.thickness = "1/2"\npin_board.thickness = "1/2"\n'
    assert len(parse_recipe(text).tail_shares) == 5
    assert parse_recipe(text).pin == pytest.approx(INCH / 8)
