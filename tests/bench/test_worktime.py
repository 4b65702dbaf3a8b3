"""Minutes at the bench: one small joint counted by hand, and what makes any joint take longer."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings

from solids.bench.worktime import SET_UP, WorkTime, work_time
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


def whole(*overrides: str) -> WorkTime:
    return work_time(laid_out(*overrides, text=WHOLE))


def test_the_small_joint_counted_by_hand() -> None:
    """Rates are common practice: 0.5 min to mark a flank, 0.4 to start a cut, 500 mm2 sawn and 500 mm3 chopped a
    minute, 1 min a socket; two boards with four flanks each.

    Sawn: a flank of 12 s by 10 mm on each board, s = sqrt(37)/6. Chopped: tails and gaps share 60 x 12 mm, of which
    tails take 2 x (20 x 12 - 24) = 432 mm2: so 288 mm2 between the tails and 432 mm2 of sockets, 10 mm thick.
    """
    found = small()
    assert found.marking == pytest.approx(8 * 0.5, rel=1e-12)
    assert found.sawing == pytest.approx(8 * 0.4 + 8 * 120 * math.sqrt(37) / 6 / 500, rel=1e-12)
    assert found.chopping == pytest.approx(5 * 1.0 + (2880 + 4320) / 500, rel=1e-12)


def test_the_whole_is_setting_up_and_all_parts() -> None:
    found = small()
    assert found.total == pytest.approx(12 + found.marking + found.sawing + found.chopping, rel=1e-12)
    assert SET_UP == 12, "common practice"


def test_a_half_blind_socket_takes_two_and_a_half_times_as_long_to_chop() -> None:
    """9 of 12 mm deep: gaps of 60 x 9 - 2 x (20 x 9 - 13.5) = 207 mm2, sockets of 333 mm2, 10 mm thick."""
    found = small("joint.kind=half-blind", "joint.lap=3")
    assert found.chopping == pytest.approx(5 + (2070 + 2.5 * 3330) / 500, rel=1e-12)


def test_a_half_blind_corner_takes_longer_than_a_through_one() -> None:
    assert whole(*HALF_BLIND).total > whole("tail_board.proud=0").total


def test_more_tails_take_longer() -> None:
    totals = [whole(f"joint.tails={n}").total for n in range(1, 7)]
    assert totals == sorted(set(totals))


@pytest.mark.parametrize("board", ["tail_board", "pin_board"])
def test_denser_wood_takes_longer_and_marking_does_not(board: str) -> None:
    """Densities at 12 % moisture: pine 392, cherry 560, hickory 806 kg/m3 (1120 times the specific gravity of the Wood
    Handbook, FPL-GTR-282, Table 5-3b)."""
    found = [whole(f'{board}.wood="{wood}"') for wood in ("white pine", "cherry", "hickory")]
    for part in ("sawing", "chopping", "total"):
        minutes = [getattr(time, part) for time in found]
        assert minutes == sorted(set(minutes))
    assert len({time.marking for time in found}) == 1


def test_twice_the_density_takes_twice_as_long_in_the_wood_and_no_longer_around_it() -> None:
    heavy = MIDDLING.replace("650", "1300")
    plain, dense = small(), small(f"tail_board.wood={heavy}", f"pin_board.wood={heavy}")
    assert dense.sawing - 3.2 == pytest.approx(2 * (plain.sawing - 3.2), rel=1e-12)
    assert dense.chopping - 5 == pytest.approx(2 * (plain.chopping - 5), rel=1e-12)


def test_each_board_counts_with_its_own_density() -> None:
    """Of the chopped 7200 mm3, 2880 are the tail board's and 4320 the pin board's."""
    heavy = MIDDLING.replace("650", "1300")
    plain = small().chopping
    assert small(f"tail_board.wood={heavy}").chopping - plain == pytest.approx(2880 / 500, rel=1e-9)
    assert small(f"pin_board.wood={heavy}").chopping - plain == pytest.approx(4320 / 500, rel=1e-9)


def test_thicker_boards_and_prouder_ends_take_longer() -> None:
    for longer in ("tail_board.thickness=12", "pin_board.thickness=14", "tail_board.proud=1", "pin_board.proud=1"):
        assert small(longer).total > small().total


@settings(max_examples=60, deadline=None)
@given(recipe_texts())
def test_minutes_are_positive_and_finite_for_any_layout(text: str) -> None:
    layout = try_lay_out(text)
    if layout is None:
        return
    found = work_time(layout)
    parts = (found.marking, found.sawing, found.chopping)
    assert all(math.isfinite(part) and part > 0 for part in parts)
    assert found.total == pytest.approx(12 + sum(parts), rel=1e-12)
    assert found.marking == len(layout.tails) * 2
