"""Bottoms of every kind, worked by hand: tongues and bevels, rebates, slips, and what is refused. Lengths in mm."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.base.errors import RecipeError, Told
from solids.layout.box.bottom import shoulder_room, slot_for
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.model import BoxLayout
from solids.layout.box.refusals import lay_out_box
from solids.layout.joint.necks import highest_at_edge
from solids.recipe.tables.box_resolved import NO_GROOVE
from solids.recipe.text.reading import check_box
from tests.boxes import raw_from

BOX = """
title = "box"
[joint]
half_pin = 9
[tail_board]
thickness = 12
wood = "white pine"
[pin_board]
thickness = 12
wood = "white pine"
[box]
inside_length = 300
inside_width = 200
height = 100
[box.groove]
width = 6
depth = 4
up = 12
[box.panel]
wood = "white pine"
clearance = 0.5
[climate]
shop = "20 C, 50 %"
home = { dry = "21 C, 35 %", damp = "22 C, 65 %" }
"""
REBATE = ("box.panel.held=rebate", "box.groove.up=0")
SLIPS = ("box.panel.held=slips",)
PLYWOOD = ("box.panel.kind=plywood", "climate.home={dry='20 C, 50 %', damp='20 C, 50 %'}")
"""Plywood in air that stays the same moves not at all."""


def box(*overrides: str) -> BoxLayout:
    return lay_out_box(check_box(raw_from(BOX, "box", *overrides)))


def refused(*overrides: str) -> Told:
    with pytest.raises(RecipeError) as caught:
        box(*overrides)
    (problem,) = caught.value.told
    return problem


# --- the shape -------------------------------------------------------------------------------------


def test_a_fielded_panel_has_the_volume_worked_on_paper() -> None:
    """In air that stays the same the bottom is 300 + 2 x (4 - 0.5) = 307 by 207. Its tongue is 6 thick:
    307 x 207 x 6 = 381 294 mm3. On it the bevel rises 4 from 4 mm to 24 mm inside the edge: from 299 x 199, which is
    59 501 mm2, to 259 x 159, which is 41 181 mm2. Half-way up it is 279 x 179, or 49 941 mm2. By the prismoidal formula
    that is 4 / 6 x (59 501 + 4 x 49 941 + 41 181) = 200 297 1/3 mm3."""
    found = box("box.panel.edge=fielded", "box.panel.thickness=10", "box.panel.border=24", *PLYWOOD)
    (part,) = fitting_of(found).parts
    assert part.volume == pytest.approx(381_294 + 200_297 + 1 / 3, abs=1e-6)
    assert part.row.finished == pytest.approx((307, 207, 10))
    assert part.extent.z == pytest.approx((8, 18)), "the bevel is on the underside, its tongue in the groove"


def test_a_rebated_bottom_has_the_volume_of_its_tongue_and_its_field() -> None:
    """307 x 207 x 6 and, 4 inside that all round, 299 x 199 x 3."""
    (part,) = fitting_of(box("box.panel.thickness=9", *PLYWOOD)).parts
    assert part.volume == pytest.approx(307 * 207 * 6 + 299 * 199 * 3, abs=1e-6)


def test_a_tongue_on_the_underside_raises_the_inside() -> None:
    assert box("box.panel.thickness=9", "box.panel.face=upper face").recipe.floor == pytest.approx(21)
    assert box("box.panel.thickness=9").recipe.floor == pytest.approx(18)


def test_slips_hold_the_bottom_between_their_grooves() -> None:
    """Slips of 7 (4 deep, 3 behind) leave 286 between them. The bottom is 286 + 2 x 3.5 = 293 wide. Each slip is 21
    high and 212 long (200 and the back): 7 x 21 x 200 less a groove 4 x 6 x 200, and under the back 7 x 12 x 12 and
    3 x 6 x 12."""
    found = box(*SLIPS, *PLYWOOD)
    bottom, left, right = fitting_of(found).parts
    assert bottom.row.finished[0] == pytest.approx(293)
    assert left.volume == pytest.approx(7 * 21 * 200 - 4 * 6 * 200 + 7 * 12 * 12 + 3 * 6 * 12, abs=1e-6)
    assert left.volume == pytest.approx(right.volume)
    assert left.row.finished == pytest.approx((212, 21, 7))
    assert [side for side in found.boards if found.is_grooved(side)] == ["front"]


# --- through the year --------------------------------------------------------------------------------


def test_a_pine_bottom_of_300_mm_moves_as_the_published_equation_has_it() -> None:
    """Wood Handbook, FPL-GTR-190 (2010): eastern white pine moves 0.00212 of its width across the rings for 1 % of
    moisture (Table 13-5), and comes to 9.27 % at 20 C and 50 %, 6.94 % at 21 C and 35 %, 11.93 % at 22 C and 65 % (the
    equation of its Table 4-2). With its grain from front to back it is 300 + 2 x 4 = 308 between the floors, and left
    308 x 0.00212 x 2.66 = 1.74 mm of room: 305.26 wide. It shrinks 305.26 x 0.00212 x 2.33 = 1.51 mm. On each side
    4 - 0.5 - 1.74 / 2 - 1.51 / 2 = 1.88 mm are still covered."""
    found = box("box.panel.grain=width", *REBATE)
    assert found.panel is not None
    assert found.panel.size[0] == pytest.approx(305.26, abs=0.02)
    assert found.panel_moves[1] == pytest.approx(1.51, abs=0.02)
    assert found.panel_hold == pytest.approx(1.88, abs=0.02)
    assert slot_for(found) == pytest.approx(3.5), "1.73 and 1.51, rounded up to a half"


def test_a_shoulder_stays_as_far_from_the_boards_as_the_tongue_from_its_floor() -> None:
    """The tongue is as long as the groove is deep, so that both have the clearance of 0.5; a longer one has more."""
    assert shoulder_room(box("box.panel.thickness=9")) == pytest.approx(0.5)
    assert shoulder_room(box("box.panel.thickness=9", "box.panel.border=6")) == pytest.approx(2.5)
    assert shoulder_room(box("box.panel.thickness=9", "box.panel.edge=fielded")) == pytest.approx(0.5)


def test_the_edges_are_held_over_their_area_in_the_rebate() -> None:
    """307 x 207 less the 300 x 200 between the boards."""
    assert box(*REBATE, *PLYWOOD).panel_bearing == pytest.approx(307 * 207 - 300 * 200)


# --- what is chosen -----------------------------------------------------------------------------------


def test_a_thicker_bottom_gets_a_tongue_and_a_lower_groove_turns_it_over() -> None:
    panel = box("box.panel.thickness=9").recipe.panel
    assert (panel.edge, panel.face, panel.tongue, panel.border) == ("rebated", "underside", 6, 4)
    assert box(
        "box.panel.thickness=9", "box.groove.up=2", "joint.edges=['half tail', 'half pin']"
    ).recipe.panel.face == ("upper face")


def test_a_thickness_alone_makes_the_groove() -> None:
    raw = raw_from(BOX, "box", "box.panel.thickness=8", "box.panel.edge=plain")
    del raw["box"]["groove"]
    found = lay_out_box(check_box(raw)).recipe
    assert (found.groove.width, found.panel.thickness) == (8, 8)


def test_slips_make_the_bottom_slide_in_under_the_back() -> None:
    assert box(*SLIPS).recipe.back_above_bottom


# --- the rebate at the corners --------------------------------------------------------------------------


def test_a_rebate_ends_in_the_half_pins() -> None:
    """The half pin is 9 at its end. The rebate runs 4 into it, past the inside of the tail board; the tail board's own
    runs out in the socket. In the pin board, half of it is 4 x (150 + 4) x 6; in the tail board 4 x 100 x 6."""
    found = box(*REBATE)
    corner = found.corners["front left"]
    assert highest_at_edge(corner.layout) == pytest.approx(8.95)
    assert found.groove_reach(found.boards["front"], corner, corner.layout.as_cut) == 4
    assert found.groove_reach(found.boards["left"], corner, corner.layout.as_cut) == 0
    assert found.stops(found.boards["front"], corner)
    assert not found.shows(corner)


@pytest.mark.parametrize(
    ("overrides", "key", "told", "accepted"),
    [
        (("box.panel.thickness=4",), "box.panel.thickness", "4 mm is less than its groove", "6 mm or more"),
        (("box.panel.thickness=6.2",), "box.panel.thickness", "no shoulder above a tongue of 6 mm", "6.5 mm or more"),
        (
            ("box.panel.edge=plain", "box.panel.thickness=9"),
            "box.panel.edge",
            "a bottom of 9 mm does not go into a groove of 6 mm",
            "rebated",
        ),
        (
            ("box.panel.thickness=20", "box.panel.face=underside"),
            "box.panel.thickness",
            "20 mm stands 2 mm out below the boards",
            "up to 18 mm",
        ),
        (("box.panel.thickness=9", "box.panel.border=3"), "box.panel.border", "a groove 4 mm deep", "4 mm or more"),
        (
            ("box.panel.thickness=9", "box.panel.edge=fielded", "box.panel.border=6"),
            "box.panel.border",
            "steeper than 45 degrees",
            "7 mm or more",
        ),
        (
            ("box.panel.thickness=9", "box.panel.border=120"),
            "box.panel.border",
            "120 mm at each edge leaves no field of a bottom",
            "up to 97.9",
        ),
        (("box.panel.border=9",), "box.panel.border", "neither shoulder nor bevel", 'box.panel.edge = "rebated"'),
        (("box.panel.slip=9",), "box.panel.slip", "there are no slips", 'box.panel.held = "slips"'),
        ((*SLIPS, "box.panel.slip=4"), "box.panel.slip", "behind a groove 4 mm deep", "5 mm or more"),
        ((*SLIPS, "box.panel.slip=149"), "box.panel.slip", "two slips of 149 mm leave 2 mm of 300 mm", "up to"),
        (
            (*SLIPS, "box.back_above_bottom=false"),
            "box.back_above_bottom",
            "slides in under the back",
            'box.panel.held = "groove"',
        ),
        (("box.panel.held=rebate",), "box.groove.up", "12 mm is no place for a rebate", 'box.panel.held = "groove"'),
        ((*REBATE, "box.panel.thickness=8"), "box.panel.thickness", "out below a rebate that is 6 mm high", "up to 6"),
        ((*REBATE, "box.panel.edge=fielded"), "box.panel.edge", "has no tongue", 'box.panel.held = "groove"'),
        ((*REBATE, "box.groove.width=12"), "box.groove.width", "a rebate 12 mm high reaches the first tail", "8.95 mm"),
        ((*REBATE, "box.groove.ends=through"), "box.groove.ends", "would cut through the half pins", '"hidden"'),
        ((*REBATE, "undercut.depth=0.2"), "undercut.depth", "hollow socket floors meet the rebate", "accepted is 0"),
        (
            (*REBATE, "box.groove.depth=1.6"),
            "box.groove.depth",
            "1.6 mm holds",
            "or more",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_both_figures(
    overrides: tuple[str, ...], key: str, told: str, accepted: str
) -> None:
    problem = refused(*overrides)
    assert problem.key == key
    assert told in problem.wrong
    assert accepted in problem.remedy


def test_a_rebate_that_is_too_high_goes_into_a_mitred_shoulder_as_it_is_told() -> None:
    high = (*REBATE, "box.groove.width=12")
    assert "a mitred shoulder of 12.05 mm or more at the reference edge" in refused(*high).remedy
    found = box(*high, "joint.mitre.reference=13")
    assert all(found.is_mitred(corner) for corner in found.corners.values())
    assert "half pins of 12.05 mm or more" in refused(*high).remedy
    assert box(*high, "joint.half_pin=12.05").recipe.groove.width == 12


def test_a_rebate_in_boards_too_thin_for_any_still_says_what_helps() -> None:
    """A board of 3 takes a rebate 2 deep at most, and the bottom moves by more, however it is made."""
    problem = refused(*REBATE, "box.front.thickness=3", "box.groove.depth=1")
    assert (problem.key, problem.remedy) == ("box.groove.depth", "take thicker boards, or a smaller box")


def test_two_chamfers_have_taken_wood_from_a_rebate_at_the_end_of_a_half_tail() -> None:
    """By hand: past the joint's rebate of 3 the rebate is 3 deep in the tail and 7.5 high. The chamfer of 0.25 along
    the inside face took 7.5 x 0.25^2 / 2 of that, the one along the lower edge 3 x 0.25^2 / 2; at the corner, where
    they meet, both took the same pyramid, 0.25^3 / 3."""
    cuts = ("box.groove.width=7.5", "box.groove.depth=6", "tail_board.rebate=3", "box.groove.ends=through")
    ends = ("finish.ends=proud", "finish.chamfer=0.25", 'joint.edges=["half tail", "half pin"]')
    found = box(*REBATE, *PLYWOOD, *cuts, *ends)
    whole = BoxLayout(replace(found.recipe, groove=NO_GROOVE))
    taken = [
        grooved_volume(whole, "right", finished=finished) - grooved_volume(found, "right", finished=finished)
        for finished in (False, True)
    ]
    as_cut, chamfers = 7.5 * (200 * 6 + 2 * 12.5 * 3), 7.5 * 0.25**2 / 2 + 3 * 0.25**2 / 2 - 0.25**3 / 3
    assert taken == pytest.approx([as_cut, as_cut - 2 * chamfers])
