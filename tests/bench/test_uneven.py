"""What uneven boards do at a joint: each case by hand."""

from __future__ import annotations

import pytest

from solids.base import tolerances as tol
from solids.base.findings import Finding
from solids.bench.procedure import order_of_work
from solids.bench.remarks import remarks
from solids.bench.settings import bench_of
from tests.recipes import STANDING, WHOLE, laid_out

TAILS, PINS = "tail_board.thickness=[10, 9.7, 9.8]", "pin_board.thickness=[11.6, 12]"
HALF_BLIND = ("joint.kind=half-blind", "tail_board.proud=0")


def told(*overrides: str) -> Finding | None:
    found = [each for each in remarks(laid_out(*overrides, text=WHOLE)) if each.code == "uneven"]
    return found[0] if found else None


def words(*overrides: str) -> str:
    finding = told(*overrides)
    assert finding is not None
    return finding.words


def test_ends_stand_prouder_where_the_board_beside_them_is_thinner() -> None:
    """Pins 0.25 mm proud of a tail board of 10 mm stand 0.25 + 0.3 = 0.55 mm proud where it is 9.7 mm; tails 0.5 mm
    proud of a pin board of 12 mm stand 0.9 mm proud where it is 11.6 mm."""
    both = words(TAILS, PINS)
    assert "The tail board is 9.7 mm (0.382 in) to 10 mm (0.394 in) thick" in both
    assert "the pins stand 0.55 mm (0.022 in) proud of it, and 0.25 mm (0.01 in) where it is thickest" in both
    assert "the tails stand 0.9 mm (0.035 in) proud of it, and 0.5 mm (0.02 in) where it is thickest" in both
    assert "Gauges are set by the thickest places." in both
    assert "Plane the ends down to the face beside them" in both
    finding = told(TAILS, PINS)
    assert finding is not None
    assert (finding.place, finding.measured) == ("tail board and pin board", pytest.approx(0.4))


def test_what_is_planed_grows_by_as_much() -> None:
    tails, pins = bench_of(laid_out(TAILS, PINS, text=WHOLE)).planing
    assert (tails.amount, tails.more) == (0.5, pytest.approx(0.4))
    assert (pins.amount, pins.more) == (0.25, pytest.approx(0.3))
    steps = {step.what: step.how for step in order_of_work(laid_out(TAILS, PINS, text=WHOLE))}
    assert "0.5 mm, and up to 0.4 mm more where that board is thinner." in steps["Plane"]
    assert "set by the thickest places" in steps["Gauge"]


def test_ends_that_come_out_flush_are_planed_where_the_board_is_thinner() -> None:
    (planing,) = bench_of(laid_out(TAILS, "tail_board.proud=0", "pin_board.proud=0", text=WHOLE)).planing
    assert (planing.amount, planing.more) == (0, pytest.approx(0.3))


def test_a_lap_loses_the_difference() -> None:
    """Gauged from the inside face the sockets are 12 - 3 = 9 mm deep; where the board is 11.6 mm the lap is 2.6 mm, and
    2.3 mm once 0.3 mm is planed off. Gauged from the show face they would be 8.6 mm deep there, and stop tails of 9 mm
    0.4 mm short."""
    said = words(PINS, *HALF_BLIND, "joint.lap=3", "finish.planing=0.3")
    assert "its lap is 2.6 mm (0.102 in), and 2.3 mm (0.091 in) once the face is planed, and not 3 mm" in said
    assert "from the inside face" in said
    assert "would stop the tails up to 0.4 mm (0.016 in) short" in said
    assert "Plane the ends" not in said, "the lap hides the tails, and the tail board is even"


def test_a_lap_that_gets_thin_is_a_reason_to_plane_first() -> None:
    """3/32 in is 2.38 mm: 2.6 mm holds, and 2.6 - 0.4 = 2.2 mm is warned of."""
    thin = (PINS, *HALF_BLIND, "joint.lap=2.6")
    assert "Plane the pin board to one thickness first, as its lap gets thin: pin_board.thickness = 11.6 mm" in words(
        *thin
    )
    codes = [each.code for each in remarks(laid_out(*thin, text=WHOLE))]
    assert "lap" in codes
    mended = ("pin_board.thickness=11.6 mm", *HALF_BLIND, "joint.lap=2.6")
    assert not {"lap", "uneven"} & {each.code for each in remarks(laid_out(*mended, text=WHOLE))}


@pytest.mark.parametrize(("thinnest", "first"), [("9.5", False), ("9.49", True)])
def test_when_to_plane_a_board_first(thinnest: str, first: bool) -> None:
    said = words(f"tail_board.thickness=[10, {thinnest}]")
    assert ("Plane the tail board to one thickness first" in said) is first
    assert tol.UNEVEN_MOST == 0.5


def test_ends_that_stay_proud_show_it() -> None:
    assert "ends that stay proud show it" in words("tail_board.thickness=[10, 9.9]", *STANDING)


@pytest.mark.parametrize("thickness", ["10", "[10]", "[10, 10]", "[10, 9.98]"])
def test_nothing_is_said_of_what_nobody_feels(thickness: str) -> None:
    """A finger feels 0.02 mm."""
    assert told(f"tail_board.thickness={thickness}") is None
