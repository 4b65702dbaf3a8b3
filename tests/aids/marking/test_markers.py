"""Marking templates to keep: true fillets, exact angles, flat fences, long legs, own words; and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solids.aids.catalogue import make_aids
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.asked import AidsAsked, asked_for
from solids.aids.making.modelling import block
from solids.aids.marking.lines import Lines, in_lines
from solids.aids.marking.sizes import HANDLE, INNER, OUTER, PLATE
from solids.aids.marking.template import LEAST_LETTERS, marker_blank, marker_body, marking_templates
from solids.aids.proof import prove_aid
from solids.base.findings import fails
from solids.base.messages import said
from solids.model.kernel import bounds, is_valid, topology, volume_of
from solids.model.kernel.shaping import cut
from tests.aids.helpers import PRINTING, failing
from tests.aids.marking.helpers import TWO, WAISTED, WHOLE, made, sizes_of
from tests.corners import CASES, layout_of

ASKED = {
    "waisted": WAISTED,
    "two slopes": ('aids.marker.slopes=["1:5", "9 deg"]',),
    "words on a plain body": ('aids.marker.words="SHOP"',),
    "long legs": (*WAISTED, "aids.marker.leg=60", "aids.marker.thickest=50"),
    "flat": (*WAISTED, 'aids.marker.slopes=["1:12"]'),
    "steep": (*WAISTED, 'aids.marker.slopes=["1:3", "1:2"]'),
    "all of it": WHOLE,
}


@pytest.mark.parametrize("name", ASKED)
def test_each_passes_every_check_printed_milled_and_in_its_nest(name: str) -> None:
    for aid in made(*ASKED[name]):
        assert not fails(prove_aid(aid, PRINTING)), aid.name


@pytest.mark.parametrize("case", ["half-blind", "inches", "one tail", "unequal ends"])
def test_a_waisted_one_works_on_every_kind_of_joint(case: str) -> None:
    preset, *overrides = CASES[case]
    for aid in made(*overrides, *WAISTED, preset=preset):
        assert not fails(prove_aid(aid, PRINTING)), aid.name


def test_a_case_by_hand() -> None:
    """For boards of 25 mm the legs are 25 + 0.5 + 4 = 29.5 long, the fence 25. At 1:6 edges take 2 x 29.5/6 = 9.833; 14
    and that is less than the 24 that neck and hollows take: it is 24 wide. The body is 24 x 30, less two hollows, 4
    deep, 12 long at the floor and 20 at the mouth, 64 each. A fillet of radius r where the outline turns by 45 degrees
    takes r2 (tan 22.5 - pi/8) = 0.0215 r2: 0.194 less at each of four outer corners, 0.775 more at each of four inner
    ones. So 720 - 128 + 4 (0.775 - 0.194) = 594.32, by 29 high: 17235. The legs add 4 x 29.5 x (24 + 14.167)/2 = 2252
    and 4 x 29.5 x (24 + 16.625)/2 = 2397: 21884 in all."""
    sizes = sizes_of(*TWO, "aids.marker.thickest=25")
    assert (sizes.width, sizes.reach, sizes.hook) == (24.0, 29.5, 25.0)
    blank = marker_blank(sizes)
    share = math.tan(math.radians(22.5)) - math.pi / 8
    body = 720 - 128 + 4 * share * (INNER**2 - OUTER**2)
    legs = 4 * 29.5 * ((24 + 24 - 2 * 29.5 / 6) / 2 + (24 + 24 - 2 * 29.5 / 8) / 2)
    assert volume_of(blank) == pytest.approx(body * 29 + legs, rel=1e-9)
    assert volume_of(blank) == pytest.approx(21884, abs=1.0)
    assert bounds(blank)[0] == pytest.approx((-12.0, -59.5, 0.0), abs=1e-6)
    assert bounds(blank)[1] == pytest.approx((12.0, 29.5, 29.0), abs=1e-6)


def test_hollows_are_cylinders_and_not_facets() -> None:
    """Eight fillets, each one face: a faceted hollow has many. The body's sides have two planes at each corner else."""
    sizes = sizes_of(*TWO)
    waisted, plain = (topology(marker_blank(replace(sizes, waist=waist))) for waist in (sizes.waist, 0.0))
    assert waisted.faces - plain.faces == 2 * (4 + 3 + 1), "four fillets, slope, floor, slope, and the land divided"


def test_angles_fences_and_legs_are_measured() -> None:
    _, milled, _ = made(*WHOLE)
    found = [finding for finding in prove_aid(milled, PRINTING) if finding.code in ("angle", "flatness", "reach")]
    assert {finding.code for finding in found} == {"angle", "flatness", "reach"}
    edges = [finding for finding in found if finding.code == "angle" and "edge of the" in finding.said]
    assert len(edges) == 4
    for finding, ratio in zip(edges, (6, 6, 8, 8), strict=True):
        assert finding.measured == pytest.approx(90 - math.degrees(math.atan(1 / ratio)), abs=1e-6)
    legs = [finding for finding in found if finding.code == "reach"]
    assert [finding.measured for finding in legs] == pytest.approx([29.5, 29.5, 25.0])
    assert all((finding.limit or 0.0) >= 25.0 for finding in legs)


def other_solid(solid: object) -> Aid:
    _, milled, _ = made(*TWO)
    return replace(milled, solid=solid)


def test_a_slope_that_is_a_little_off_is_found() -> None:
    sizes = sizes_of(*TWO)
    off = marker_body(replace(sizes, slopes=(6.01, 8.0)), milled=True)
    assert math.degrees(math.atan(1 / 6)) - math.degrees(math.atan(1 / 6.01)) == pytest.approx(0.0155, abs=0.0005)
    assert "angle" in failing(other_solid(off))
    assert failing(other_solid(marker_body(sizes, milled=True))) == set()


def test_a_fence_that_is_not_flat_is_found() -> None:
    good = marker_body(sizes_of(*TWO), milled=True)
    stepped = cut(good, [block((-20.0, -0.005, PLATE), (0.0, 1.0, 50.0))])
    assert "flatness" in failing(other_solid(stepped))


def test_a_leg_that_is_too_short_is_found() -> None:
    short = cut(marker_body(sizes_of(*TWO), milled=True), [block((-20.0, 12.4, -1.0), (20.0, 30.0, PLATE + 1.0))])
    assert failing(other_solid(short)) & {"reach", "face"}


def test_with_one_slope_the_other_end_is_square() -> None:
    _, milled, _ = made(*WAISTED)
    assert milled.engraved == "1:7, square"
    found = [finding for finding in prove_aid(milled, PRINTING) if "edge of the rear leg" in finding.said]
    assert [finding.measured for finding in found if finding.code == "angle"] == pytest.approx([90.0, 90.0])


@pytest.mark.whole
def test_more_slopes_on_the_command_line_are_those_of_the_front_edge_whatever_the_recipe_has() -> None:
    layout = layout_of("tool-tray", *TWO)
    good = make_aids(layout, asked_for(("marking-template",), "1:10")).good
    engraved = {item.aid.name: item.aid.engraved for item in good}
    assert engraved["marking-template"] == "1:6, 1:8"
    assert engraved["marking-template-1-10"] == "1:10, square"


def test_own_words_and_hole_take_wood_away() -> None:
    _, plain, _ = made(*TWO)
    _, bored, _ = made(*TWO, "aids.marker.hang_hole=5")
    _, worded, _ = made(*TWO, 'aids.marker.words="OAK"')
    height = plain.sizes.height if plain.sizes else 0.0
    assert volume_of(plain.solid) - volume_of(bored.solid) == pytest.approx(math.pi * 2.5**2 * height, rel=1e-6)
    assert 0 < volume_of(plain.solid) - volume_of(worded.solid) < 0.5 * HANDLE * 16
    assert worded.engraved.endswith(", OAK")
    assert is_valid(worded.solid)


@pytest.mark.parametrize("hole", [0, 5])
@pytest.mark.whole
def test_words_that_do_not_fit_are_refused_with_how_many_letters_do(hole: int) -> None:
    words = "The incomparable joiners of Valleybottoms, makers of indispensable tools"
    layout = layout_of("tool-tray", f'aids.marker.words="{words}"', f"aids.marker.hang_hole={hole}")
    (refusal,) = marking_templates(layout, layout.recipe.printing)
    assert isinstance(refusal, Refusal)
    assert "under 2 mm they cannot be read" in said(refusal.why)
    remedy = said(refusal.remedy)
    assert ("aids.marker.hang_hole" in remedy) == bool(hole)
    count = int(remedy.split("about ")[1].split()[0])
    again = layout_of("tool-tray", f'aids.marker.words="{words[:count]}"', f"aids.marker.hang_hole={hole}")
    assert len(marking_templates(again, again.recipe.printing)) == 3
    workshop = make_aids(layout, AidsAsked(("marking-template",)))
    assert (workshop.good, len(workshop.refused)) == ((), 1), "nothing is made, so no file is"


@pytest.mark.parametrize("words", ["I", "OAK", "OAK & ASH WORKS", "ELM STREET SHOP"])
def test_words_stand_large_enough_to_read_in_as_many_lines_as_it_takes(words: str) -> None:
    sizes = sizes_of(*WHOLE, f'aids.marker.words="{words}"')
    middle, room = sizes.words_room
    lines = in_lines(words, room)
    assert " ".join(lines.rows) == words
    assert lines.height >= LEAST_LETTERS
    rows = list(lines.placed(middle, room))
    assert [row for row, _, _ in rows] == list(lines.rows)
    assert sum(x * y for _, _, (x, y) in rows) == pytest.approx(room[0] * room[1])
    assert is_valid(marker_body(sizes, milled=True))


def test_lines_run_from_the_top_and_from_the_left_where_they_are_turned() -> None:
    for turned, along in ((False, 1), (True, 0)):
        lines = Lines(("A", "B", "C"), 2.0, turned)
        places = [at[along] for _, at, _ in lines.placed((0.0, -9.0), (12.0, 18.0))]
        assert places == ([-4.0, 0.0, 4.0] if turned else [-3.0, -9.0, -15.0])
    assert in_lines("ELM STREET", (12.0, 16.0)).rows == ("ELM", "STREET")
    assert in_lines("OAK & ASH", (60.0, 7.0)).rows == ("OAK & ASH",)
