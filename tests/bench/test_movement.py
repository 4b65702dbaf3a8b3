"""What both boards do between shop and home: directions, signs, which sizes count, and where nothing is known."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings

from solids.bench.facts import facts
from solids.bench.movement import Season, WoodMovement, wood_movement
from solids.layout import Layout
from tests.recipes import HALF_BLIND, STANDING, WHOLE, laid_out, recipe_texts, try_lay_out

YEAR = 'climate.home={dry="70 F, 30 %", damp="70 F, 65 %"}'
DRYING = ('climate.shop="70 F, 65 %"', YEAR)
"""12.0 to 6.2 % moisture and back: Wood Handbook, FPL-GTR-190 (2010), Table 4-2."""
SWELLING = ('climate.shop="70 F, 30 %"', YEAR)
OWN = '{name="pear", kind="hardwood", density=690}'
OWN_MOVING = '{name="pear", kind="hardwood", density=690, radial=0.001, tangential=0.003}'


def all_year(*overrides: str) -> WoodMovement:
    return wood_movement(laid_out(*overrides, text=WHOLE))


def moved(*overrides: str) -> Season:
    """The season that is farther from the shop; with DRYING and SWELLING the other is like the shop."""
    found = all_year(*overrides)
    return max(found.seasons, key=lambda season: abs(season.moisture - found.shop_moisture))


def note_of(layout: Layout) -> str:
    return next(finding.said for finding in facts(layout) if finding.code == "movement")


# --- directions ----------------------------------------------------------------------------------------

# Wood Handbook, FPL-GTR-190 (2010), Table 13-5: C_R and C_T for 1 % of moisture.
CHERRY = (0.00126, 0.00248)
MAPLE = (0.00165, 0.00353)
STEP = 6.2 - 12.0
"""Table 4-2 of the same book, in %, printed to tenths: it may be 0.1 off."""


def test_a_flat_sawn_tail_board_and_a_quarter_sawn_pin_board_worked_from_the_tables() -> None:
    """Cherry 96 x 10 flat-sawn, maple 96 x 12 quarter-sawn. A flat-sawn board moves along the rings across its width
    and along the rays through its thickness (common practice), a quarter-sawn one the other way round."""
    found = moved(*DRYING)
    tails, pins = found.tail_board, found.pin_board
    assert tails.width == pytest.approx(96 * CHERRY[1] * STEP, rel=0.02)
    assert tails.thickness == pytest.approx(10 * CHERRY[0] * STEP, rel=0.02)
    assert pins.width == pytest.approx(96 * MAPLE[0] * STEP, rel=0.02)
    assert pins.thickness == pytest.approx(12 * MAPLE[1] * STEP, rel=0.02)
    assert found.mismatch == pytest.approx(96 * (CHERRY[1] - MAPLE[0]) * STEP, rel=0.02)


def test_turning_the_growth_rings_swaps_width_and_thickness() -> None:
    """0.003 along the rings, 0.001 along the rays: three to one across the width, one to three through it."""
    flat, quarter = (
        moved(*DRYING, f"tail_board.wood={OWN_MOVING}", f"tail_board.sawn={sawn}").tail_board
        for sawn in ("flat", "quarter")
    )
    assert flat.width == pytest.approx(3 * quarter.width, rel=1e-12)
    assert quarter.thickness == pytest.approx(3 * flat.thickness, rel=1e-12)


def test_figures_are_exact_for_the_moistures_told() -> None:
    found = moved(*DRYING, f"tail_board.wood={OWN_MOVING}")
    step = found.moisture - all_year(*DRYING).shop_moisture
    assert step < -5
    assert found.tail_board.width == pytest.approx(96 * 0.003 * step, rel=1e-12)
    assert found.tail_board.thickness == pytest.approx(10 * 0.001 * step, rel=1e-12)


# --- signs ------------------------------------------------------------------------------------------------


def test_drying_lets_the_ends_stand_proud_of_faces_that_shrink() -> None:
    """End grain keeps its length; the face beside it goes down by what the other board's thickness loses."""
    found = moved(*DRYING)
    assert found.tail_board.width < 0
    assert found.pins_stand == pytest.approx(10 * CHERRY[0] * -STEP, rel=0.02)
    assert found.tails_stand == pytest.approx(12 * MAPLE[1] * -STEP, rel=0.02)


def test_swelling_leaves_the_ends_below_the_faces_by_as_much() -> None:
    dry, damp = moved(*DRYING), moved(*SWELLING)
    assert damp.pins_stand == pytest.approx(-dry.pins_stand, rel=1e-12)
    assert damp.tails_stand == pytest.approx(-dry.tails_stand, rel=1e-12)
    assert damp.mismatch == pytest.approx(-dry.mismatch, rel=1e-12)
    assert damp.pins_stand < 0
    assert damp.tails_stand < 0


def test_the_mismatch_is_what_the_tail_board_grows_more_than_the_pin_board() -> None:
    """Drying flat-sawn beech against quarter-sawn beech: the tail board shrinks more, so the mismatch is negative."""
    boards = ("tail_board.wood=beech", "pin_board.wood=beech", "tail_board.sawn=flat", "pin_board.sawn=quarter")
    assert moved(*boards, *DRYING).mismatch < 0
    turned = (*boards[:2], "tail_board.sawn=quarter", "pin_board.sawn=flat")
    assert moved(*turned, *DRYING).mismatch == pytest.approx(-moved(*boards, *DRYING).mismatch, rel=1e-12)


@pytest.mark.parametrize("sawn", ["flat", "quarter"])
def test_two_boards_of_one_wood_and_one_cut_move_together(sawn: str) -> None:
    boards = ("tail_board.wood=beech", "pin_board.wood=beech", f"tail_board.sawn={sawn}", f"pin_board.sawn={sawn}")
    assert moved(*boards, *DRYING).mismatch == 0


def test_a_room_that_keeps_the_shops_air_all_year_moves_nothing() -> None:
    same = all_year('climate.shop="20 C, 50 %"', 'climate.home={dry="20 C, 50 %", damp="20 C, 50 %"}')
    for found in same.seasons:
        assert (found.tail_board.width, found.pin_board.thickness, found.mismatch) == (0, 0, 0)
        assert found.pins_stand == found.tails_stand == 0


def test_seasons_come_where_shop_and_home_are_alike() -> None:
    """20 C and 50 % in both: wood at 9.3 % goes down to 6.9 % and up to 11.9 %, the usual winter and summer. Cherry
    96 mm wide: 96 x 0.00248 x -2.3 = -0.55 mm and 96 x 0.00248 x 2.7 = 0.63 mm."""
    found = all_year('climate.shop="20 C, 50 %"', 'climate.home="20 C, 50 %"')
    assert (found.dry.moisture, found.damp.moisture) == (pytest.approx(6.9, abs=0.1), pytest.approx(11.9, abs=0.1))
    assert found.dry.tail_board.width == pytest.approx(-0.55, abs=0.02)
    assert found.damp.tail_board.width == pytest.approx(0.63, abs=0.02)
    assert found.dry.pins_stand > 0 > found.damp.pins_stand


# --- which sizes count ---------------------------------------------------------------------------------------


def test_thickness_is_what_planing_leaves_and_width_is_the_whole_board() -> None:
    """0.5 mm off both show faces: 9.5 of 10 mm, 11.5 of 12 mm."""
    plain, planed = moved(*DRYING), moved(*DRYING, "finish.planing=0.5")
    assert planed.tail_board.thickness == pytest.approx(plain.tail_board.thickness * 9.5 / 10, rel=1e-12)
    assert planed.pin_board.thickness == pytest.approx(plain.pin_board.thickness * 11.5 / 12, rel=1e-12)
    assert planed.tail_board.width == plain.tail_board.width
    assert planed.pins_stand == pytest.approx(plain.pins_stand * 9.5 / 10, rel=1e-12)


def test_a_wider_joint_moves_more_across_and_no_more_through() -> None:
    narrow, wide = moved(*DRYING), moved(*DRYING, "joint.width=192")
    assert wide.pin_board.width == pytest.approx(2 * narrow.pin_board.width, rel=1e-12)
    assert wide.pin_board.thickness == narrow.pin_board.thickness


def test_a_lap_hides_the_ends_of_the_tails_but_not_those_of_the_pins() -> None:
    """The whole thickness of the pin board moves, the lap included."""
    through, hidden = moved(*DRYING), moved(*DRYING, *HALF_BLIND)
    assert hidden.tails_stand is None
    assert hidden.pins_stand == through.pins_stand
    assert hidden.pin_board.thickness == through.pin_board.thickness


def test_ends_left_standing_change_no_thickness() -> None:
    assert moved(*DRYING, *STANDING).pin_board == moved(*DRYING).pin_board


# --- what is not known ---------------------------------------------------------------------------------------


def test_a_wood_of_ones_own_without_movement_gives_no_figures() -> None:
    found = moved(*DRYING, f"tail_board.wood={OWN}")
    assert (found.tail_board.width, found.tail_board.thickness) == (None, None)
    assert found.mismatch is None
    assert found.pins_stand is None
    assert found.tails_stand == moved(*DRYING).tails_stand, "the pin board's thickness is known"


def test_the_other_board_of_unknown_wood_hides_only_what_rests_on_it() -> None:
    found = moved(*DRYING, f"pin_board.wood={OWN}")
    assert found.tails_stand is None
    assert found.pins_stand == moved(*DRYING).pins_stand
    assert found.mismatch is None


@pytest.mark.parametrize("board", ["tail", "pin"])
def test_the_note_says_that_a_wood_is_left_out(board: str) -> None:
    other = {"tail": "pin", "pin": "tail"}[board]
    note = note_of(laid_out(*DRYING, f"{board}_board.wood={OWN}", text=WHOLE))
    assert note.count("A wood whose movement is not given is left out.") == 1
    assert f"the {board} board" not in note
    assert f"the {other} board" in note
    assert "left out" not in note_of(laid_out(*DRYING, text=WHOLE))


def test_the_note_of_two_unknown_woods_tells_the_moisture_alone() -> None:
    note = note_of(laid_out(*DRYING, f"tail_board.wood={OWN}", f"pin_board.wood={OWN}", text=WHOLE))
    assert note.index("(12.0 % moisture)") < note.index("(6.2 % moisture)"), "Wood Handbook, FPL-GTR-190, Table 4-2"
    assert "board" not in note
    assert "left out" in note


# --- the note on it ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [(), HALF_BLIND, STANDING, (f"pin_board.wood={OWN}",)])
def test_the_note_says_that_nothing_moves_where_the_moisture_stays(kind: tuple[str, ...]) -> None:
    still = ('climate.shop="70 F, 65 %"', 'climate.home={dry="70 F, 65 %", damp="70 F, 65 %"}')
    same = note_of(laid_out(*kind, *still, text=WHOLE))
    assert same.count("(12.0 % moisture), nothing to speak of moves.") == 2
    assert not re.search(r"grow|shrink|proud|low|board", same)
    for air in (DRYING, SWELLING):
        assert note_of(laid_out(*kind, *air, text=WHOLE)).count("nothing to speak of moves") == 1


@pytest.mark.parametrize(
    ("kind", "pins", "tails"),
    [
        ((), True, True),
        (HALF_BLIND, True, False),
        ((f"tail_board.wood={OWN}",), False, True),
        ((f"pin_board.wood={OWN}",), True, False),
    ],
)
def test_the_note_tells_of_ends_only_what_is_known_and_seen(kind: tuple[str, ...], pins: bool, tails: bool) -> None:
    """A lap hides the ends of the tails; ends stand by what the other board's thickness loses."""
    note = note_of(laid_out(*DRYING, *kind, text=WHOLE))
    assert ("the pins stand" in note) == pins
    assert ("the ends of the tails stand" in note) == tails
    assert "glue holds it back, so it is the most it can be" in note


def test_ends_left_proud_stand_further_by_what_the_other_board_loses() -> None:
    plain, standing = (note_of(laid_out(*DRYING, *kind, text=WHOLE)) for kind in ((), STANDING))
    assert "further" not in plain
    assert re.search(
        r"; the pins stand [^;]* further out and the ends of the tails stand [^;]* further out\.", standing
    )
    assert re.findall(r"[\d.]+ mm", standing) == re.findall(r"[\d.]+ mm", plain)


def test_ends_left_proud_do_not_lie_low_where_the_wood_swells_by_less() -> None:
    """They stand 2 and 3 mm proud; the faces rise by a quarter of a millimetre at most."""
    layout = laid_out(*SWELLING, *STANDING, text=WHOLE)
    assert not re.search(r"\blow\b", note_of(layout))


@pytest.mark.parametrize(
    ("shop", "home", "known"),
    [
        ("70 F, 65 %", "70 F, 30 %", True),  # Table 4-2: 12.0 and 6.2 %
        ("70 F, 65 %", "70 F, 25 %", False),  # 5.4 %
        ("70 F, 80 %", "70 F, 50 %", False),  # 16.0 %
        ("70 F, 50 %", "70 F, 80 %", False),
    ],
)
def test_the_range_of_the_published_coefficients_is_minded(shop: str, home: str, known: bool) -> None:
    """6 to 14 %; moistures from the Wood Handbook, FPL-GTR-190 (2010), Table 4-2."""
    layout = laid_out(f'climate.shop="{shop}"', f'climate.home="{home}"', text=WHOLE)
    assert wood_movement(layout).in_range is known
    assert ("only a guide" in note_of(layout)) is not known


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_signs_agree_in_any_layout(text: str) -> None:
    """Boards grow where the home is damper than the shop, ends stand proud where it is drier, a lap hides the tails.
    The dampest is no drier than the driest."""
    layout = try_lay_out(text)
    if layout is None:
        return
    year = wood_movement(layout)
    assert year.dry.moisture <= year.damp.moisture
    for found in year.seasons:
        step = found.moisture - year.shop_moisture
        for board, stands in ((found.tail_board, found.pins_stand), (found.pin_board, found.tails_stand)):
            assert (board.width is None) == (board.thickness is None)
            for grown in (board.width, board.thickness):
                assert grown is None or sign(grown) == sign(step)
            assert stands is None or stands == -board.thickness
        assert not (layout.is_half_blind and found.tails_stand is not None)
        known = found.tail_board.width is not None and found.pin_board.width is not None
        assert (found.mismatch is not None) == known


def sign(value: float) -> int:
    return (value > 0) - (value < 0)
