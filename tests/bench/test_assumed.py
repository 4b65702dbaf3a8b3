"""A board whose wood is not named: it is told that one was assumed, and what the figures are over common woods."""

from __future__ import annotations

import pytest

from solids.base.messages import said
from solids.bench.assumed import assumed_note, wood_figures
from solids.bench.facts import facts
from solids.bench.hand_error import hand_work
from solids.bench.listing import board_rows
from solids.bench.remarks import remarks
from solids.bench.strength import screening
from solids.layout.box.bottom import bottom_words
from solids.layout.box.refusals import lay_out_box
from solids.recipe import preset_text
from solids.recipe.text.reading import check_box, read_recipe
from solids.wood import COMMON, DEFAULT, find_wood
from tests.boxes import box_of, raw_from
from tests.recipes import laid_out

NAMELESS = """[joint]
width = 96
tails = 4
[climate]
shop = "20 C, 50 %"
home = { dry = "20 C, 35 %", damp = "20 C, 65 %" }
[tail_board]
thickness = 10
[pin_board]
thickness = 12
"""


def note(text: str = NAMELESS, *overrides: str) -> str:
    found = assumed_note(laid_out(*overrides, text=text))
    assert found is not None
    return found.said


def test_the_range_of_movement_by_hand() -> None:
    """20 C and 35 %: 7.0 % moisture; 65 %: 12.0 % (Wood Handbook, FPL-GTR-190, Table 4-2, between its rows). A board
    96 mm wide, flat-sawn: white pine moves least, 96 x 0.00212 x 5.0 = 1.0 mm, beech most, 2.1 mm."""
    least, _, most = note().partition("comes and goes by ")[2].partition(" mm")[0].partition(" to ")
    assert float(least) == pytest.approx(96 * 0.00212 * 5.0, abs=0.03)
    assert float(most) == pytest.approx(96 * 0.00431 * 5.0, abs=0.03)


def test_the_note_says_which_wood_is_assumed_and_that_every_figure_is_for_it() -> None:
    assert note().startswith(
        "No wood was named, so beech is assumed, and every figure that hangs on it is for beech. Over 9 common woods,"
    )
    assert "Density is 392 to 717 kg/m3." in note(), "1120 x 0.35 of white pine, 1120 x 0.64 of beech"


@pytest.mark.parametrize("wood", COMMON, ids=lambda wood: wood.name)
def test_the_figures_of_each_common_wood_lie_in_the_range(wood) -> None:
    """Each wood, named for both boards, gives a strength and a share of right joints inside what was told."""
    named = laid_out(f"tail_board.wood={wood.name}", f"pin_board.wood={wood.name}", "joint.slope=1:8", text=NAMELESS)
    own, over = wood_figures(named), wood_figures(laid_out(text=NAMELESS))
    for name in ("glued", "dry", "racked", "right", "pared"):
        (low, high), (least, most) = getattr(own, name), getattr(over, name)
        assert least <= low <= high <= most
    assert set(own.dry_parts) <= set(over.dry_parts)
    low, high = note().partition("gives first at about ")[2].partition(" kN")[0].split(" to ")
    glued = screening(named).glued[0]
    assert float(low) - 0.05 <= glued.least / 1000 <= glued.most / 1000 <= float(high) + 0.05
    fewest, _, rest = note().rpartition("; ")[2].partition(" to ")
    assert float(fewest) - 0.5 <= 100 * hand_work(named).right <= float(rest.partition(" %")[0]) + 0.5


@pytest.mark.parametrize("key", ["tail_board.wood", "pin_board.wood"])
def test_one_named_board_is_enough_as_its_mate_is_of_the_same_wood(key: str) -> None:
    layout = laid_out(f"{key}=walnut", text=NAMELESS)
    assert assumed_note(layout) is None
    assert "assumed-wood" not in {found.code for found in facts(layout)}


def test_beech_that_was_named_is_not_assumed() -> None:
    layout = laid_out("tail_board.wood=beech", "pin_board.wood=beech", text=NAMELESS)
    assert assumed_note(layout) is None
    assert [row[1] for row in board_rows(layout)[1]] == ["beech", "beech"]
    assert [row[1] for row in board_rows(laid_out(text=NAMELESS))[1]] == ["beech (assumed)", "beech (assumed)"]


def test_an_assumed_wood_is_the_same_wood() -> None:
    """Density, name and colour of the models stay."""
    assert find_wood("beech") == DEFAULT
    assert (DEFAULT.name, DEFAULT.told, find_wood("beech").told) == ("beech", "beech (assumed)", "beech")
    assert not any(wood.is_assumed for wood in COMMON)


def test_no_preset_leaves_a_wood_to_a_rule_but_its_note_would_say_so() -> None:
    assert not read_recipe("tool-tray").wood_is_assumed


PLUM = '{name = "plum", kind = "hardwood", density = 750}'


@pytest.mark.parametrize(("named", "unnamed"), [("tail_board", "pin board"), ("pin_board", "tail board")])
def test_one_board_may_be_named_and_the_other_still_assumed(named: str, unnamed: str) -> None:
    """As where one wood is written into a frozen recipe. What plum holds is not known, so no strength is told."""
    other = unnamed.replace(" ", "_")
    told = note(NAMELESS, f"{named}.wood={PLUM}", f'{other}.wood={{assumed = "beech"}}')
    assert told.startswith(f"No wood was named for the {unnamed}, so beech is assumed")
    assert "gives first" not in told
    assert "of such joints come out right" in told


def test_a_box_with_one_board_of_a_wood_nobody_has_measured_is_told_all_the_same() -> None:
    text = preset_text("keepsake-box")
    bare = "\n".join(line for line in text.splitlines() if not line.startswith("wood ="))
    box = lay_out_box(check_box(raw_from(bare, "plum front", f"box.front.wood={PLUM}")))
    notes = {name: assumed_note(corner.layout).said for name, corner in box.corners.items()}
    assert notes["front left"].startswith("No wood was named for the tail board,")
    assert notes["back left"].startswith("No wood was named, so")


@pytest.mark.parametrize("key", ["tail_board.sawn=quarter", "pin_board.sawn=quarter"])
def test_a_mismatch_of_assumed_woods_is_told_as_such(key: str) -> None:
    (found,) = (found for found in remarks(laid_out(key, text=NAMELESS)) if found.code == "mismatch")
    assert found.said.endswith("No wood was named: that is for beech.")
    woods = ("tail_board.wood=beech", "pin_board.wood=beech")
    (found,) = (found for found in remarks(laid_out(key, *woods, text=NAMELESS)) if found.code == "mismatch")
    assert "No wood was named" not in found.said


def test_the_bottom_of_a_box_whose_wood_is_not_named_has_a_range() -> None:
    """Of the common woods beech moves most along its rings, 0.00431, and white pine least, 0.00212 of the size."""
    text = preset_text("keepsake-box").replace('wood = "spruce"\n', "")
    box = lay_out_box(check_box(raw_from(text, "nameless")))
    told = said(bottom_words(box), "mm")
    shrinks = box.panel_moves[1]
    assert "No wood was named for it: that is for beech" in told
    least, _, most = told.partition("over common woods it shrinks ")[2].partition(" mm")[0].partition(" to ")
    assert float(most) == pytest.approx(shrinks, abs=0.011)
    assert float(least) == pytest.approx(shrinks * 0.00212 / 0.00431, abs=0.011)
    assert "No wood was named" not in said(bottom_words(box_of("keepsake-box")), "mm")
