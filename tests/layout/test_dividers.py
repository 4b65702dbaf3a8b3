"""Dividers laid out: volumes and contacts by hand, what is cut from the boards, and what no box can hold."""

from __future__ import annotations

import math

import pytest

from solids.base.errors import RecipeError
from solids.layout.assembly import assembly_of
from solids.layout.box.cut_list import cut_list
from solids.layout.box.divider_meetings import divider_bearings
from solids.layout.box.fitted.every import cuts_in, fitting_of
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.model import BoxLayout
from solids.layout.plan import plan_of
from solids.recipe.text.toml import parse_toml
from tests.boxes import raw_from
from tests.dividers import TRAY, tray

HIGH, THICK, DEEP = 64.5, 7.0, 3.5
TIP = THICK - 1.5 * (HIGH / 2) / 67.5
"""The mean width of a dovetail at its end: its housing narrows by 1.5 mm over the 67.5 mm from the boards' upper edge
to the bottom, so half-way down the divider it is 1.5 x 32.25 / 67.5 narrower than the divider."""


def test_the_volume_of_a_divider_in_plain_housings_less_its_notch() -> None:
    """180 + 2 x 3.5 = 187 long; where the third crosses, half of its height goes, 7 wide."""
    part = fitting_of(tray()).parts[1]
    assert part.name == "divider 1"
    assert part.volume == pytest.approx(187 * HIGH * THICK - THICK * THICK * HIGH / 2, rel=1e-12)


def test_the_volume_of_a_divider_with_sliding_dovetails() -> None:
    """A slope of 1:8 takes 3.5 / 8 = 0.4375 from each side at the neck, 0.4375 on the mean over both sides."""
    part = fitting_of(tray()).parts[2]
    tongue = HIGH * DEEP * (TIP - DEEP / 8)
    assert part.volume == pytest.approx(180 * HIGH * THICK + 2 * tongue - THICK * THICK * HIGH / 2, rel=1e-12)


def test_the_wood_that_housings_take_from_the_front() -> None:
    """Both run 67.5 mm down to the bottom. The plain one is 7 wide. The dovetailed one is 7 wide at its floor where the
    divider's upper edge is, 3 mm below that of the boards: on the mean, half-way down, 7 - 1.5 x (33.75 - 3) / 67.5."""
    box = tray()
    plain, dovetailed = (cut.wood.volume for cut in cuts_in(box, "front"))
    assert plain == pytest.approx(67.5 * THICK * DEEP, rel=1e-12)
    mean = THICK - 1.5 * (33.75 - 3) / 67.5
    assert dovetailed == pytest.approx(67.5 * DEEP * (mean - DEEP / 8), rel=1e-12)
    taken = grooved_volume(box, "front", finished=True) - assembly_of(box).volume("front", finished=True)
    assert taken == pytest.approx(plain + dovetailed, rel=1e-9)


def test_the_areas_where_a_dovetailed_divider_meets_the_front() -> None:
    areas = {
        each.kind: each.area for each in divider_bearings(tray()) if (each.part, each.mate) == ("divider 2", "front")
    }
    assert areas["end"] == pytest.approx(TIP * HIGH)
    assert areas["near side"] == pytest.approx(math.hypot(3.5, 0.4375) * HIGH)
    # Both shoulders are 0.4375 wide, and the far one wider by what the taper takes.
    assert areas["shoulders"] == pytest.approx((2 * 0.4375 + THICK - TIP) * HIGH)


def test_a_divider_stands_on_the_bottom_as_far_as_that_goes() -> None:
    """The bottom lies 3.5 mm deep in its grooves less its clearance and room; divider 3 loses two notches of 7 x 7."""
    box = tray()
    assert box.panel is not None
    on_bottom = {each.part: each.area for each in divider_bearings(box) if each.mate == "bottom"}
    long = box.panel.x[1] - box.panel.x[0]
    assert on_bottom["divider 3"] == pytest.approx(THICK * long - 2 * THICK * THICK)


def test_what_stands_beside_a_raised_field_has_air_below_it() -> None:
    """A bottom with a bevel of 30 all round, in grooves 4 deep with 0.5 of clearance at each edge, its edge 3.5 past
    the boards: the field begins 26.5 from them. A divider from 10 to 16 stands on none of it, one from 24 to 30 on 3.5
    of its 6, over a field of 200 - 2 x 26.5 = 147 but for the notches of what crosses."""
    text = """
title = "tray"
[tail_board]
thickness = 12
[pin_board]
thickness = 12
[box]
inside_length = 200
inside_width = 150
height = 90
[box.groove]
width = 6
depth = 4
[box.panel]
kind = "plywood"
thickness = 10
edge = "fielded"
face = "upper face"
border = 30
clearance = 0.5
[[box.divider]]
runs = "along"
at = 10
thickness = 6
[[box.divider]]
runs = "along"
at = 24
thickness = 6
[[box.divider]]
runs = "across"
at = 97
thickness = 6
"""
    box = plan_of(parse_toml(text, ""))
    assert isinstance(box, BoxLayout)
    assert box.panel is not None
    past = box.inside[0][0] - box.panel.x[0], box.inside[1][0] - box.panel.y[0]
    assert past == pytest.approx((3.5, 3.5), abs=0.1)
    on_bottom = {each.part: each.area for each in divider_bearings(box) if each.mate == "bottom"}
    field = 200 + 2 * past[0] - 60, 150 + 2 * past[1] - 60
    assert on_bottom == {
        "divider 2": pytest.approx(past[1] * (field[0] - 6)),
        "divider 3": pytest.approx(6 * field[1]),
    }


def test_the_cut_list_has_a_row_for_each_with_its_number() -> None:
    rows = {row.name: row for row in cut_list(tray())}
    assert rows["divider 3"].finished == (287, HIGH, THICK)
    assert rows["divider 3"].rough == (297, HIGH + 4, THICK + 3)
    assert rows["divider 1"].mark.startswith("1 on the face to the left")


def test_raising_a_divider_leaves_a_stop_in_the_wood() -> None:
    """At 20 mm up, 7.5 above the bottom, its ends stand on 7 x 3.5 mm of the housing's lower end."""
    stops = [each for each in divider_bearings(tray("box.divider.1.up=20")) if "stop" in each.kind]
    assert [(each.part, each.area) for each in stops] == [("divider 1", pytest.approx(THICK * DEEP))] * 2


def test_dividers_of_different_heights_halve_what_they_share() -> None:
    """Divider 3, from 12.5 to 42.5, shares 30 mm: it is notched 15 deep, and divider 1 from its top at 77 to 27.5."""
    parts = {part.name: part for part in fitting_of(tray("box.divider.3.height=30")).parts}
    (notch,) = parts["divider 1"].cuts
    assert notch.extent.z == (27.5, 77.0)
    assert {cut.extent.z for cut in parts["divider 3"].cuts} == {(12.5, 27.5)}


REFUSED = [
    (
        "box.divider.1.at=2",
        "2 mm leaves that much beside its housing at the left, under 3.5 mm; accepted is from 3.5 mm",
    ),
    ("box.divider.1.at=270", "270 mm leaves 3 mm (0.118 in) beside its housing at the right, under 3.5 mm"),
    ("box.divider.1.at=300", "300 mm leaves nothing beside its housing at the right"),
    ("box.divider.1.at=186", "box.divider.2.at: 190 mm is within divider 1, which stands from 186 mm to 193 mm"),
    ("box.divider.1.at=181", "190 mm leaves 2 mm (0.079 in) of wood beside the housing of divider 1"),
    ("box.divider.1.thickness=400", "400 mm does not fit between boards that are 280 mm apart"),
    ("box.divider.1.height=90", "90 mm takes its upper edge to 102.5 mm, over the boards, which are 80 mm high"),
    ("box.divider.1.height=2", "2 mm is under the least; it takes from 4 mm"),
    ("box.divider.1.up=9", "9 mm is within the bottom, whose upper face is 12.5 mm up; accepted is 12.5 mm or more"),
    ("box.divider.1.depth=6", "6 mm is over half of the front board, which is 10 mm thick; accepted is up to 5 mm"),
    ("box.divider.3.housing=stopped", "box.divider.3.housing: it crosses divider 1, and is halved over it"),
    ("box.divider.2.thickness=3", "3 mm leaves a neck of 0.69 mm (0.027 in), under half of it, to its dovetail"),
    ("box.divider.2.taper=30", "box.divider.2.taper: 30 mm leaves a neck of 0 mm (0 in) of a divider"),
    ("stock.width=60", "the divider is sawn 68.5 mm wide, and stock.width is 60 mm"),
]


@pytest.mark.parametrize(("override", "words"), REFUSED, ids=[override for override, _ in REFUSED])
def test_what_no_box_holds_is_refused_with_both_sides_and_what_would_do(override: str, words: str) -> None:
    with pytest.raises(RecipeError) as caught:
        plan_of(raw_from(TRAY, "tray", override))
    assert words in str(caught.value)


def test_dividers_outside_a_box_that_was_made_smaller_are_told_where_they_fit() -> None:
    """280 mm inside, and both beyond it: each has room of its own."""
    told = refused(TRAY, "box.divider.1.at=292", "box.divider.2.at=308")
    assert told
    assert not [words for words in told if "no value helps by itself" in words]
    assert all("accepted is from" in words for words in told)


def test_a_thin_divider_with_a_large_taper_is_told_what_does_with_the_usual_one() -> None:
    """1.5 mm thick and 3.5 in the boards at 1:8, its flanks take 2 x 0.4375 mm, more than half of it whatever its
    taper. With the usual one as much thickness does as without the other."""
    (thin,) = refused(TRAY, "box.divider.2.thickness=1.5")
    assert thin.startswith("box.divider.2.thickness: ")
    (both,) = refused(TRAY, "box.divider.2.thickness=1.5", "box.divider.2.taper=30")
    assert both == f"{thin}; then box.divider.2.taper must change too"


def test_a_stopped_housing_too_near_to_the_edge_is_refused() -> None:
    with pytest.raises(RecipeError, match="leaves 1 mm of wood above its housing"):
        tray("box.divider.1.housing=stopped", "box.divider.1.height=66.5")


def test_dividers_that_hardly_cross_are_refused() -> None:
    with pytest.raises(RecipeError, match=r"shares 2\.5 mm of its height with divider 1, too little to halve"):
        tray("box.divider.3.height=10", "box.divider.1.up=20", "box.divider.2.up=30")


def test_a_stopped_divider_above_one_that_slides_in_bars_its_way() -> None:
    """It goes in with the boards; where it slides in too, it comes after the lower one."""
    under = "box.divider.3.height=10", "box.divider.2.up=30", "box.divider.1.up=30", "box.divider.1.height=30"
    with pytest.raises(RecipeError, match="bars the way from above to divider 3 below it; leave it out"):
        tray(*under, "box.divider.1.housing=stopped")
    assert tray(*under, "box.divider.1.housing=open")


# --- what is told once -------------------------------------------------------------------------------


def refused(text: str, *overrides: str) -> list[str]:
    with pytest.raises(RecipeError) as caught:
        plan_of(raw_from(text, "tray", *overrides))
    return list(map(str, caught.value.told))


def test_too_many_dividers_are_refused_in_one_line_with_how_many_find_room() -> None:
    """Between the sides there are 280 mm. 30 dividers of 7 mm take 210, and 31 times 3.5 beside their housings 108.5:
    318.5. 26 take 182 and 94.5, 27 would take 287."""
    plain = TRAY.partition("[[")[0] + '[[box.divider]]\nruns = "across"\n'
    (told,) = refused(plain + '[[box.divider]]\nruns = "across"\n' * 29)
    takes = "30 dividers that run across take 318.5 mm, with the wood that must stay beside their housings"
    assert told.startswith(f"box.divider: {takes}, and there is 280 mm; ")
    assert told.endswith("fewer: 26 as thick as these find room")
    assert plan_of(raw_from(plain + '[[box.divider]]\nruns = "across"\n' * 25, "tray"))
    assert refused(plain + '[[box.divider]]\nruns = "across"\n' * 26)


def test_what_is_wrong_with_several_dividers_is_told_once_with_their_numbers() -> None:
    """The upper edge would be 12.5 + 90 = 102.5 up."""
    each = [f"box.divider.{number}.height=90" for number in (1, 2, 3)]
    (told,) = refused(TRAY, *each)
    over = "90 mm takes its upper edge to 102.5 mm, over the boards, which are 80 mm high (dividers 1 to 3)"
    assert told == f"box.divider.1.height: {over}; accepted is up to 67.5 mm"
    assert "(dividers 1, 3)" in refused(TRAY, *each[::2])[0]
    (plain,) = refused(TRAY, "box.divider.1.slope=1:7", "box.divider.3.slope=1:6")
    assert plain.startswith("box.divider.1.slope: a plain housing has none (dividers 1, 3)")
    assert plain.endswith('box.divider.1.joint = "sliding dovetail"'), "the remedy names a key of each"
