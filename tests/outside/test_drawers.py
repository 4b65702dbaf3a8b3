"""A drawer to an opening beside published sources.

NOYES: W. Noyes, Handwork in Wood, 1910: half-blind dovetails, p. 166, No. 49; drawers, pp. 190-191.
HANDBOOK: Wood Handbook, FPL-GTR-190, 2010: moisture of wood, Table 4-2; change of size, chapter 13 with Table 13-5.
"""

from __future__ import annotations

import pytest

from solids.bench.box_procedure import box_work
from solids.layout.box.opening import moves_up
from tests.drawers import drawer, room

INCHES = """
units = "in"
title = "table drawer"
[tail_board]
thickness = "3/8 in"
wood = "yellow-poplar"
[pin_board]
thickness = "3/8 in"
wood = "yellow-poplar"
[box.front]
thickness = "7/8 in"
wood = "white oak"
[box.groove]
width = "1/4 in"
[climate]
shop = "70 F, 40 %"
home = { dry = "70 F, 30 %", damp = "70 F, 65 %" }
[opening]
width = "16 in"
height = "4 in"
depth = "18 in"
play = "1/32 in"
"""
"""A groove of 1/4 in is proper for a drawer's bottom (NOYES, p. 190)."""

MOISTURE = {40: 7.7, 30: 6.2, 65: 12.0}
"""Equilibrium moisture in % at 70 F, by relative humidity (HANDBOOK, Table 4-2)."""

WHITE_OAK = 0.00365
"""Tangential, for 1 % of moisture (HANDBOOK, Table 13-5)."""


def test_the_height_by_the_handbooks_own_tables() -> None:
    """In inches: from 7.7 to 12.0 % white oak grows 0.00365 x 4.3 = 1.57 %; (4 - 1/32) / 1.0157 = 3.907. The table is
    printed to a tenth of 1 %, which is 0.0015 in of that."""
    box = drawer(text=INCHES)
    grown = WHITE_OAK * (MOISTURE[65] - MOISTURE[40])
    assert box.recipe.height / 25.4 == pytest.approx((4 - 1 / 32) / (1 + grown), abs=0.003)
    assert moves_up(box, "front")[0] == pytest.approx(grown, abs=0.0006)
    shrunk = WHITE_OAK * (MOISTURE[40] - MOISTURE[30])
    assert room(box).dry / 25.4 == pytest.approx(4 - 3.907 * (1 - shrunk), abs=0.006)


def test_the_drawer_is_joined_as_the_book_has_it() -> None:
    """NOYES p. 166: the front half-blind, the groove for the bottom completely within the lower tail; pp. 190-191: the
    grain of the bottom right and left, and it is fastened to the front alone."""
    box = drawer(text=INCHES)
    assert box.recipe.groove.width == pytest.approx(25.4 / 4)
    for name in ("front left", "front right"):
        corner = box.corners[name]  # type: ignore[index]
        assert corner.layout.is_half_blind
        low, high = corner.layout.tail_edges(corner.layout.tails[0], 0.0)
        assert low <= box.recipe.groove.up
        assert box.recipe.groove.top <= high
    assert box.recipe.panel.grain == "length"
    after = {step.what: step.how for step in box_work(box, (), ()).after}
    assert "glue on its front edge alone" in after["Fit the bottom"]
