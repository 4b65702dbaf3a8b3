"""Tails by eye keep every limit that tails of one width keep, and another number of them is drawn anew."""

from __future__ import annotations

import copy
import re
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solids.base.errors import InputError
from solids.base.messages import said
from solids.bench.remarks import remarks
from solids.layout import Layout, frail_parts, lay_out, with_tails
from solids.recipe.text.reading import check_recipe
from tests.properties import examples
from tests.recipes import laid_out, raw_recipes, recipe

BY_EYE = "joint.spacing=by eye"
NARROW = ("joint.tails=4", "joint.slope=1:6", "joint.pin=3", "joint.half_pin=6")


def laid_out_as(raw: dict[str, Any], spacing: str, seed: int | None = None) -> Layout | None:
    """A random recipe in another spacing; None where it is refused."""
    raw = copy.deepcopy(raw)
    raw["joint"].pop("grading", None)
    raw["joint"] |= {"spacing": spacing} | ({"seed": seed} if seed else {})
    try:
        return lay_out(check_recipe(raw))
    except InputError:
        return None


@examples(300)
@given(raw_recipes(), st.integers(1, 999_999))
@pytest.mark.whole
def test_they_are_as_sound_as_even_ones(raw: dict[str, Any], seed: int) -> None:
    even = laid_out_as(raw, "even")
    assume(even is not None)
    assert even is not None
    drawn = laid_out_as(raw, "by eye", seed)
    assert drawn is not None, "accepted wherever even tails are"
    assert len(drawn.tails) == len(even.tails)
    assert {frail.why for frail in frail_parts(drawn)} <= {frail.why for frail in frail_parts(even)}
    assert {found.code for found in remarks(drawn)} <= {found.code for found in remarks(even)}
    mean = even.tails[0].width
    assert all(abs(tail.width - mean) <= mean / 10 + 1e-9 for tail in drawn.tails)
    assert drawn.tails[-1].right == pytest.approx(even.tails[-1].right, abs=1e-9)


def test_most_of_them_do_differ() -> None:
    """Or the test above would prove nothing."""
    widths = [laid_out(BY_EYE, f"joint.seed={seed}", "joint.tails=3").tails for seed in range(1, 51)]
    spread = [max(tail.width for tail in tails) - min(tail.width for tail in tails) for tails in widths]
    assert min(spread) > 0.1
    assert sorted(spread)[25] > 1.5


def width_for(neck: float) -> str:
    """A board on which even tails have this neck: 12 deep at 1:6 each narrows by 4 mm; 3 pins of 3 and two half
    pins of 6 take 21."""
    return f"joint.width={21 + 4 * (neck + 4)}"


@pytest.mark.parametrize(
    ("room", "neck", "limit", "overrides"),
    [
        ("the usual chisel", 3.2, 3.0, ()),
        ("the maker's narrowest chisel", 6.3, 6.0, ("kit.chisels=[6, 10]",)),
        ("a slender neck in soft wood, a quarter of 12", 3.1, 3.0, ("tail_board.wood=spruce",)),
        ("the narrowest chisel there is", 1.6, 1.5, ()),
        ("chamfers of 2 mm on both sides", 4.2, 0.05 + 4 * (1 + 1 / 36) ** 0.5, ("entry_chamfer.width=2",)),
    ],
)
def test_they_differ_less_where_a_limit_is_near(
    room: str, neck: float, limit: float, overrides: tuple[str, ...]
) -> None:
    """The narrowest neck comes to within a thousandth of what was drawn of the limit, never below it."""
    layout = laid_out(BY_EYE, *NARROW, width_for(neck), *overrides)
    narrowest = min(layout.tail_width(tail, 0.0) for tail in layout.tails)
    assert limit - 1e-9 <= narrowest <= limit + 0.001, room


def test_no_tail_is_wider_than_the_trade_has_it_where_even_ones_are_not() -> None:
    """1 3/4 in is 44.45 mm: even tails of 44 are within it, and no stray of theirs may be over it by more than a knife
    line."""
    layout = laid_out(BY_EYE, *NARROW, f"joint.width={21 + 4 * 44}")
    assert 44.4 < max(tail.width for tail in layout.tails) <= 44.5
    assert "wide-tail" not in {found.code for found in remarks(layout)}


def test_even_tails_at_a_limit_stay_even() -> None:
    layout = laid_out(BY_EYE, *NARROW, width_for(3.0), "joint.seed=8")
    assert {round(tail.width, 9) for tail in layout.tails} == {7.0}


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_another_number_of_tails_is_what_the_recipe_would_give(count: int) -> None:
    other = with_tails(recipe(BY_EYE, *NARROW, "joint.seed=9", "joint.width=150"), count)
    asked = recipe(BY_EYE, *NARROW[1:], "joint.seed=9", "joint.width=150", f"joint.tails={count}")
    assert other is not None
    assert other.tail_shares == asked.tail_shares


def test_fewer_tails_that_are_advised_hold_when_they_are_taken() -> None:
    """Nine tails on 96 mm: 96 - 12 - 8 x 3 = 60 mm, 6.67 each, whose necks of 1.87 mm few chisels go into."""
    joint = (BY_EYE, "joint.pin=3", "joint.half_pin=6", "joint.slope=1:5", "joint.width=96")
    (told,) = (found.remedy for found in remarks(laid_out(*joint, "joint.tails=9")) if found.code == "thin-neck")
    found = re.search(r"(\d+) tails \(joint.tails\)", said(told))
    assert found
    assert frail_parts(laid_out(*joint, f"joint.tails={found[1]}")) == ()
