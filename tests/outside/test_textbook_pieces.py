"""Whole pieces from old books in the public domain, each by the sizes that its book prints, in inches. What a book does
not say of its piece is ours, and said to be.

- WINDSOR: H. H. Windsor, Mission Furniture: How to Make It, Part Three, Popular Mechanics Company, 1912 (Project
  Gutenberg 23666), A Writing Desk, p. 38, read in a stored copy. Its list gives thickness, width and length of pieces
  that a mill has planed and cut to length.
- NOYES: W. Noyes, Handwork in Wood, 1910 (Project Gutenberg 20846), drawers, pp. 190-191.
- FOSTER: E. W. Foster, Carpentry and Woodwork, Doubleday, Page and Company, 1911, the toilet box with its bill of
  material beside Fig. 181, read in a stored copy.
"""

from __future__ import annotations

import pytest

from solids.layout.box.cut_list import cut_list
from solids.layout.box.model import BoxLayout
from solids.proof.assembly import prove_piece
from tests.drawers import drawer

INCH = 25.4

DESK_DRAWER = """
title = "drawer of a writing desk"
units = "in"
[joint]
slope = "1:6"
[tail_board]
thickness = "1/2"
wood = "white oak"
proud = 0
[pin_board]
thickness = "3/8"
wood = "white oak"
proud = 0
[box]
length = 14
width = "19 1/4"
height = "4 1/4"
[box.front]
thickness = "3/4"
[box.joints.front]
kind = "half-blind"
lap = "1/4"
[box.back]
down = "1/4"
[box.groove]
width = "1/4"
[box.panel]
wood = "white oak"
thickness = "3/8"
edge = "fielded"
grain = "length"
"""
"""Ours: the lap, the slope, where the groove runs, and air, which is left to the rules. A side of 19 behind a lap of
1/4 makes a drawer 19 1/4 deep. NOYES has the front's dovetails half-blind, a groove of 1/4, and the bottom bevelled to
it; and of the best drawers the back dovetailed and grooved too."""

LISTED = {
    "front": (3 / 4, 4 + 1 / 4, 14.0),
    "left": (1 / 2, 4 + 1 / 4, 19.0),
    "right": (1 / 2, 4 + 1 / 4, 19.0),
    "back": (3 / 8, 4.0, 14.0),
    "bottom": (3 / 8, 19.0, 14.0),
}
"""Thickness, width and length of the pieces of each of both drawers (WINDSOR, p. 38). The bottom is 19 wide and 14
long, so that its grain runs from left to right, as NOYES has it too."""

TOILET_BOX = """
title = "toilet box"
units = "in"
[joint]
tails = 3
[tail_board]
thickness = "1/2"
wood = "walnut"
[pin_board]
thickness = "1/2"
wood = "walnut"
[box]
length = 7
width = 11
height = 3
[box.groove]
width = 0
"""
"""Four boards, the long ones its sides; its top and its bottom are glued on, which is not ours to prove."""


def sizes(box: BoxLayout) -> dict[str, tuple[float, float, float]]:
    """Thickness, width and length of every finished part, in inches."""
    rows = {row.name: row.finished for row in cut_list(box)}
    return {name: (thick / INCH, wide / INCH, long / INCH) for name, (long, wide, thick) in rows.items()}


def test_the_drawer_comes_out_of_the_pieces_of_its_book() -> None:
    """The four boards are those of the list, to the last bit of an inch; and the bottom is sawn out of its own: wide
    enough for both grooves, and no longer than its piece."""
    box = drawer(text=DESK_DRAWER)
    found = sizes(box)
    assert set(found) == set(LISTED)
    for name in ("front", "left", "right", "back"):
        assert found[name] == pytest.approx(LISTED[name], abs=1e-9), name
    for found_mm, piece in zip(found["bottom"], LISTED["bottom"], strict=True):
        assert found_mm <= piece + 1e-9
    thick, wide, long = found["bottom"]
    assert thick == pytest.approx(3 / 8)
    assert wide > 19.25 - 3 / 4 - 3 / 8, "more than from front to back inside"
    assert long > 14 - 2 * 1 / 2, "more than from left to right inside"


def test_the_drawer_is_proved_and_joined_as_the_other_book_has_it() -> None:
    """Half-blind in front and through behind; a groove of 1/4; the bottom bevelled to it from 3/8."""
    box = drawer(text=DESK_DRAWER)
    proof = prove_piece(box)
    assert proof.passes, [each.said for each in proof.findings if each.severity == "fail"]
    assert {name: corner.layout.is_half_blind for name, corner in box.corners.items()} == {
        "front left": True,
        "front right": True,
        "back left": False,
        "back right": False,
    }
    assert box.recipe.groove.width == pytest.approx(INCH / 4)
    assert (box.recipe.panel.edge, box.recipe.panel.tongue) == ("fielded", pytest.approx(INCH / 4))
    assert box.recipe.panel.thickness == pytest.approx(3 / 8 * INCH)


def test_a_side_cut_to_its_list_does_not_fit_a_drawer_of_another_depth() -> None:
    """The list holds for this lap alone: behind one of 3/16 the sides come out 1/16 longer."""
    other = sizes(drawer('box.joints.front.lap="3/16"', text=DESK_DRAWER))
    assert other["left"] == pytest.approx((1 / 2, 4 + 1 / 4, 19 + 1 / 16))


def test_the_toilet_box_has_its_bill_of_material_and_twelve_dovetails() -> None:
    """FOSTER: two pieces 11 x 3 x 1/2 and two 7 x 3 x 1/2; four box dovetails, "or twelve individual dovetail joints",
    laid out on the side pieces."""
    box = drawer(text=TOILET_BOX)
    assert sizes(box) == {
        **dict.fromkeys(("front", "back"), pytest.approx((1 / 2, 3.0, 7.0))),
        **dict.fromkeys(("left", "right"), pytest.approx((1 / 2, 3.0, 11.0))),
    }
    assert all(box.boards[side].kind == "tail board" for side in ("left", "right"))
    assert sum(len(corner.layout.tails) for corner in box.corners.values()) == 12
    proof = prove_piece(box)
    assert proof.passes
    assert [part.name for part in proof.cut] == ["front", "right", "back", "left"]
