"""Any recipe either makes valid solids that pass every check, or is refused with a clear error.

`tests/campaign.py` does the same by the thousand, outside CI.
"""

from __future__ import annotations

import math

from hypothesis import HealthCheck, assume, given, settings

from solids.corner import make_corner
from solids.errors import InputError, RecipeError
from solids.fit import prove
from solids.layout import Layout, complete, lay_out
from solids.recipe import parse_recipe
from solids.tolerances import tight_limit
from tests.recipes import recipe_texts, try_lay_out


@settings(max_examples=2000, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(recipe_texts())
def test_arithmetic_accepts_or_explains(text: str) -> None:
    try:
        layout = lay_out(parse_recipe(text))
    except RecipeError as err:
        for problem in complete(err).problems:
            assert problem.key
            assert problem.wrong
            assert problem.remedy
        return
    except InputError as err:
        assert str(err)
        return
    raw = layout.as_cut.tail_end
    assert all(width > 0 for width in layout.tail_board_gaps(raw))
    assert all(width > 0 for width in layout.pin_widths(layout.depth))
    assert all(layout.tail_width(tail, 0) > 0 for tail in layout.tails)
    assert layout.tails[-1].right < layout.width
    for state in (layout.as_cut, layout.as_finished):
        assert layout.tail_board_volume(state) > 0
        assert layout.pin_board_volume(state) > 0
    assert layout.tail_board_volume(layout.as_finished) <= layout.tail_board_volume(layout.as_cut)


@settings(max_examples=500, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(recipe_texts(max_tails=12))
def test_what_is_accepted_is_built_and_proved(text: str) -> None:
    layout = try_lay_out(text)
    assume(layout is not None)
    assert layout is not None
    proof = prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))
    too_tight = -layout.recipe.flank_gap > tight_limit(both_hardwood=layout.recipe.both_hardwood)
    meant = ({"overlap"} if too_tight else set()) | cut_by_no_hand(layout)
    assert {f.code for f in proof.findings if f.severity == "fail"} == meant
    assert not proof.overlap.disagreements


def cut_by_no_hand(layout: Layout) -> set[str]:
    """What fails though the boards go together, reckoned from the recipe: sockets and gaps under 1.5 mm where a chisel
    goes in, pins and the gaps at the raw end under 0.3 mm where a saw does."""
    recipe, ratio, d = layout.recipe, layout.recipe.slope_ratio, layout.depth
    thinned = recipe.flank_gap * math.hypot(1, 1 / ratio)
    neck = min(tail.width for tail in layout.tails) - 2 * d / ratio + 2 * min(thinned, 0.0)
    found = {"thin-neck"} if neck < 1.5 - 1e-9 else set()
    narrow = min(recipe.pin - 2 * recipe.tail_board.proud / ratio, recipe.pin - 2 * thinned)
    if len(layout.tails) > 1 and (narrow < 0.3 - 1e-9 or recipe.pin + 2 * d / ratio < 1.5 - 1e-9):
        found.add("thin-pin")
    return found | ({"thin-half-pin"} if recipe.half_pin - thinned < 0.3 - 1e-9 else set())
