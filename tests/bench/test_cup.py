"""Hollow boards pressed flat: a case by hand, the limits from both sides, and what is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.base import tolerances as tol
from solids.base.findings import Finding
from solids.bench.cup import Closes, Pressed, cup_note, cup_warning, pressed
from solids.bench.facts import facts
from solids.bench.remarks import remarks
from tests.recipes import WHOLE, laid_out


def told(*overrides: str) -> Finding:
    layout = laid_out(*overrides, text=WHOLE)
    (found,) = (each for each in (*remarks(layout), *facts(layout)) if each.code == "cup")
    return found


def only(*overrides: str) -> Pressed:
    (found,) = pressed(laid_out(*overrides, text=WHOLE))
    return found


def test_a_case_by_hand() -> None:
    """A tail board of cherry, 96 mm wide and 10 mm thick, hollow by 0.5 mm. G = 560/1120 = 0.5, so along the grain
    E = 16500 x 0.5^0.7 = 10157 MPa, across it 0.06 of that, 609 MPa; it holds 10.1 x 0.5^1.3 = 4.10 MPa.
    Stress 609 x 4 x 0.5 x 10/96^2 = 1.322 MPa, 32 %. Force 6.4 x 609 x 48 x 0.5 x (10/96)^3 = 106 N."""
    found = only("tail_board.cup=0.5")
    assert found.share == pytest.approx(1.322 / 4.10, rel=2e-3)
    assert found.force_n == pytest.approx(105.8, rel=2e-3)
    assert (found.closes, found.by) == ("under strain", "by hand")
    assert "takes about 110 N and strains it to 32 % of what cherry holds" in told("tail_board.cup=0.5").said


def test_a_quarter_sawn_board_is_twice_as_stiff_and_no_stronger() -> None:
    flat, quarter = only("tail_board.cup=0.5"), only("tail_board.cup=0.5", "tail_board.sawn=quarter")
    assert quarter.share == pytest.approx(2 * flat.share)
    assert quarter.force_n == pytest.approx(2 * flat.force_n)


def test_how_it_grows() -> None:
    """Stress as c t/W^2, force as c t^3/W^2."""
    one = only("tail_board.cup=0.5", "joint.tails=2")
    twice = only("tail_board.cup=1", "tail_board.thickness=20", "joint.width=192", "joint.tails=2")
    assert twice.share == pytest.approx(one.share)
    assert twice.force_n == pytest.approx(4 * one.force_n)


@pytest.mark.parametrize(
    ("share", "force", "closes", "by"),
    [
        (tol.CUP_RESTS, tol.HAND_PRESS, "well", "by hand"),
        (tol.CUP_RESTS, tol.HAND_PRESS + 1, "well", "under clamps"),
        (tol.CUP_RESTS + 0.01, tol.CLAMPS_PRESS, "under strain", "under clamps"),
        (tol.CUP_HOLDS, tol.CLAMPS_PRESS + 1, "under strain", "under heavy clamps only"),
        (tol.CUP_HOLDS, tol.CLAMPS_MOST, "under strain", "under heavy clamps only"),
        (tol.CUP_HOLDS + 0.01, 1.0, "not", "by hand"),
        (0.1, tol.CLAMPS_MOST + 1, "not", "under heavy clamps only"),
    ],
)
def test_each_limit_from_both_sides(share: float, force: float, closes: Closes, by: str) -> None:
    found = replace(only("tail_board.cup=0.5"), share=share, force_n=force)
    assert (found.closes, found.by) == (closes, by)


def test_a_board_that_closes_is_worth_a_note() -> None:
    found = told("tail_board.cup=0.2")
    assert (found.severity, found.place) == ("note", "tail board")
    assert "It closes by hand." in found.said
    assert "Plane" not in found.advice
    assert "Turn the hollow to the inside" in found.advice
    assert "No joint closes wind" in found.advice
    assert found.source == "from memory"


def test_a_board_under_strain_is_better_planed() -> None:
    """10 mm less a hollow of 0.5 mm."""
    found = told("tail_board.cup=0.5")
    assert found.severity == "warning"
    assert "but stays under strain" in found.said
    assert "Better plane the tail board flat first: it is then about 9.5 mm (0.374 in) thick" in found.advice


def test_a_board_that_does_not_close_is_planed_first() -> None:
    """What is planed flat is taken from the thinnest place: 9.8 - 1 = 8.8 mm."""
    found = told("tail_board.cup=1", "tail_board.thickness=[10, 9.8]", "pin_board.cup=0.1")
    assert found.severity == "warning"
    assert found.place == "tail board and pin board"
    assert "It does not close: pressed flat it splits" in found.said
    assert "Plane the tail board flat first: it is then about 8.8 mm" in found.advice
    assert "pin board flat" not in found.advice
    assert found.advice.count("wind") == 1, "once for both boards"
    assert found.measured is not None
    assert found.measured > 100 * tol.CUP_HOLDS


def test_a_very_stiff_board_is_beyond_all_clamps() -> None:
    """A plank 90 mm thick and 400 mm wide, hollow by 3 mm, in white oak."""
    plank = ("tail_board.thickness=90", "joint.width=400", "joint.half_pin=30", "joint.tails=3", "tail_board.cup=3")
    found = replace(only(*plank), share=0.3)
    assert found.force_n > tol.CLAMPS_MOST
    assert found.closes == "not"


def test_a_flat_board_is_not_worth_a_word() -> None:
    layout = laid_out(text=WHOLE)
    assert pressed(layout) == ()
    assert cup_note(layout) is cup_warning(layout) is None


def test_a_wood_that_nobody_named_is_told_as_assumed() -> None:
    found = cup_warning(laid_out("pin_board.cup=1"))
    assert found is not None
    assert "beech (assumed)" in found.said
