"""Minutes at the bench: one small joint counted by hand, what makes any joint take longer, and a box as a whole."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from solids.bench.worktime import SET_UP, Minutes, WorkTime, corners_of, piece_minutes, time_words, work_time
from solids.layout.assembly import assembly_of
from solids.layout.plan import plan
from tests.recipes import HALF_BLIND, WHOLE, laid_out, recipe_texts, try_lay_out

MIDDLING = '{name="middling", kind="hardwood", density=650}'
SMALL = f"""\
[joint]
width = 60
tails = 2
slope = "1:6"
pin = 4
half_pin = 8
[tail_board]
thickness = 10
proud = 0
wood = {MIDDLING}
[pin_board]
thickness = 12
proud = 0
wood = {MIDDLING}
"""
"""Two tails of 20 mm, depth 12 mm, in a wood for which the rates hold."""


def small(*overrides: str) -> WorkTime:
    return work_time(laid_out(*overrides, text=SMALL))


def whole(*overrides: str) -> float:
    return work_time(laid_out(*overrides, text=WHOLE)).cutting


def test_the_small_joint_counted_by_hand() -> None:
    """4 min to gauge the corner and 0.6 to mark a flank; 0.5 to start a cut and 500 mm2 sawn a minute; 1 min a socket
    and 110 mm2 pared a minute; 0.5 min to fit a flank. Two boards with four flanks each.

    Cuts: 8 flanks; beside the baseline, one between the tails, two at the edges and two in sockets. Sawn: a flank of
    12 s by 10 mm on each board, s = sqrt(37)/6, and the floors. Floors: the gaps between the tails are 10, 8 and 10 mm
    at the baseline, by 10 mm; and sockets take 60 x 12 mm less gaps of 28 mm at the baseline and 20 mm at the end, so
    432 mm2.
    """
    found = small()
    s = math.sqrt(37) / 6
    assert found.marking == pytest.approx(4 + 8 * 0.6, rel=1e-12)
    assert found.sawing == pytest.approx(13 * 0.5 + (8 * 120 * s + 280 + 432) / 500, rel=1e-12)
    assert found.chopping == pytest.approx(5 * 1.0 + (280 + 432) / 110, rel=1e-12)
    assert found.fitting == pytest.approx(4 * 0.5, rel=1e-12)


def test_the_whole_is_setting_up_and_all_parts() -> None:
    found = small()
    minutes = piece_minutes([laid_out(text=SMALL)])
    assert found.cutting == pytest.approx(found.marking + found.sawing + found.chopping + found.fitting, rel=1e-12)
    assert minutes.most == pytest.approx(12 + found.cutting, rel=1e-12)
    assert minutes.least == pytest.approx(minutes.most / 3, rel=1e-12)
    assert minutes.middle == pytest.approx(minutes.most * 2 / 3, rel=1e-12)
    assert SET_UP == 12, "common practice"


def test_a_half_blind_socket_is_chopped_and_has_a_wall_more() -> None:
    """9 of 12 mm deep, floors of 260 and 333 mm2. Of a pin's flank half is sawn, no socket is; 3330 mm3 are chopped at
    1000 mm3 a minute, and two laps of 20 x 10 mm pared."""
    found = small("joint.kind=half-blind", "joint.lap=3")
    s = math.sqrt(37) / 6
    assert found.sawing == pytest.approx(11 * 0.5 + (4 * 90 * s + 4 * 45 * s + 260) / 500, rel=1e-12)
    assert found.chopping == pytest.approx(5 + (260 + 333 + 400) / 110 + 3330 / 1000, rel=1e-12)


def test_a_half_blind_corner_takes_longer_than_a_through_one() -> None:
    assert whole(*HALF_BLIND) > whole("tail_board.proud=0")


def test_more_tails_take_longer() -> None:
    totals = [whole(f"joint.tails={n}") for n in range(1, 7)]
    assert totals == sorted(set(totals))


def test_getting_set_up_counts_once_for_four_corners() -> None:
    one, box = assembly_of(plan("tool-tray")), assembly_of(plan("keepsake-box"))
    assert len(corners_of(one)) == 1
    corners = corners_of(box)
    assert len(corners) == 4
    each = [work_time(layout).cutting for layout in corners]
    assert piece_minutes(corners).most == pytest.approx(12 + sum(each), rel=1e-12)


def test_each_corner_of_a_drawer_counts_as_what_it_is() -> None:
    kinds = [layout.recipe.kind for layout in corners_of(assembly_of(plan("desk-drawer")))]
    assert sorted(kinds) == ["half-blind", "half-blind", "through", "through"]


def test_a_range_is_told_rounded_outward_to_five_minutes() -> None:
    assert Minutes(19.9, 55.1).words == "15 to 60"
    assert Minutes(20.0, 60.0).words == "20 to 60"
    assert "About 60 to 195 minutes for all 4 corners" in time_words(corners_of(assembly_of(plan("keepsake-box"))))


@pytest.mark.parametrize("board", ["tail_board", "pin_board"])
def test_denser_wood_takes_longer_and_marking_does_not(board: str) -> None:
    """Densities at 12 % moisture: pine 392, cherry 560, hickory 806 kg/m3 (1120 times the specific gravity of the Wood
    Handbook, FPL-GTR-282, Table 5-3b)."""
    layouts = [laid_out(f'{board}.wood="{wood}"', text=WHOLE) for wood in ("white pine", "cherry", "hickory")]
    found = [work_time(layout) for layout in layouts]
    for part in ("sawing", "chopping", "cutting"):
        minutes = [getattr(time, part) for time in found]
        assert minutes == sorted(set(minutes))
    assert len({time.marking for time in found}) == 1


def test_twice_the_density_takes_twice_as_long_in_the_wood_and_no_longer_around_it() -> None:
    heavy = MIDDLING.replace("650", "1300")
    plain, dense = small(), small(f"tail_board.wood={heavy}", f"pin_board.wood={heavy}")
    assert dense.sawing - 6.5 == pytest.approx(2 * (plain.sawing - 6.5), rel=1e-12)
    assert dense.chopping - 5 == pytest.approx(2 * (plain.chopping - 5), rel=1e-12)


def test_each_board_counts_with_its_own_density() -> None:
    """Of the floors of 712 mm2, 280 are the tail board's and 432 the pin board's."""
    heavy = MIDDLING.replace("650", "1300")
    plain = small().chopping
    assert small(f"tail_board.wood={heavy}").chopping - plain == pytest.approx(280 / 110, rel=1e-9)
    assert small(f"pin_board.wood={heavy}").chopping - plain == pytest.approx(432 / 110, rel=1e-9)


def test_thicker_boards_and_prouder_ends_take_longer() -> None:
    for longer in ("tail_board.thickness=12", "pin_board.thickness=14", "tail_board.proud=1", "pin_board.proud=1"):
        assert small(longer).cutting > small().cutting


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_minutes_are_positive_and_finite_for_any_layout(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    found = work_time(layout)
    parts = (found.marking, found.sawing, found.chopping, found.fitting)
    assert all(math.isfinite(part) and part > 0 for part in parts)
    assert piece_minutes([layout]).most == pytest.approx(12 + sum(parts), rel=1e-12)
    assert found.marking == pytest.approx(4 + len(layout.tails) * 2.4, rel=1e-12)
