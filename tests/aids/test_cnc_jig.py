"""The jig against the joint: what cutter and bush clear is the socket, and no cutter reaches cradle or lips."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
import shapely
from shapely.geometry import Point, Polygon, box

import solids
from solids.aids.cnc.comb import cnc_jigs
from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.modelling import extrude
from solids.aids.proof import prove_aid
from solids.base.cautions import CAUTIONS
from solids.base.findings import fails
from solids.base.messages import said
from solids.bench.milling import pin_board_cut
from solids.layout import Layout
from solids.model.boards import pin_board
from solids.model.kernel import faces_of
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING, first_use, in_place, shared
from tests.corners import PRESETS

WIDE = replace(PRINTING, bed=(600.0, 600.0))


@cache
def layout_of(preset: str, *overrides: str, bush: float = 16.0, cutters: tuple[float, ...] = (6.0,)) -> Layout:
    layout = solids.lay_out(solids.read_recipe(preset, list(overrides)))
    recipe = layout.recipe
    return replace(layout, recipe=replace(recipe, kit=replace(recipe.kit, bush=bush, cutters=cutters)))


@cache
def jig_of(layout: Layout, printing: Printing = WIDE) -> tuple[Aid, list[Aid]]:
    """The cradle and its combs."""
    cradle, *combs = [item for item in cnc_jigs(layout, printing) if isinstance(item, Aid)]
    return cradle, combs


def refusals_of(layout: Layout, printing: Printing = WIDE) -> list[Refusal]:
    return [item for item in cnc_jigs(layout, printing) if isinstance(item, Refusal)]


def sockets(layout: Layout) -> list[Polygon]:
    """In XY, from the inside face to the show face or the lap, from the recipe's numbers alone."""
    d, n, g = layout.depth, layout.ratios[0], layout.shift(layout.flanks[0])
    return [
        Polygon([(t.left + d / n - g, 0), (t.right - d / n + g, 0), (t.right + g, d), (t.left - g, d)])
        for t in layout.tails
    ]


@cache
def openings(comb: Aid, layout: Layout) -> dict[int, Polygon]:
    """The windows of a comb's underside that lie over a socket, by the socket's number."""
    end = layout.as_cut.pin_end
    level = [face for face in faces_of(in_place(comb)) if all(abs(p[2] - end) < 1e-9 for loop in face for p in loop)]
    under = max(level, key=lambda face: Polygon([p[:2] for p in face[0]]).area)
    holes = [Polygon([p[:2] for p in loop]) for loop in under[1:]]
    middles = [Point(tail.middle, layout.depth / 2) for tail in layout.tails]
    return {k: hole for k, middle in enumerate(middles, 1) for hole in holes if hole.contains(middle)}


def swept(opening: Polygon, bush: float, cutter: float) -> Polygon:
    """What the cutter clears while the bush stays in the opening."""
    return opening.buffer(-bush / 2, quad_segs=64).buffer(cutter / 2, quad_segs=64)


CASES = [
    ("tool-tray", 16.0, 6.0),
    ("drawer-front", 16.0, 6.0),
    ("drawer-front", 22.0, 12.0),
    ("gauge-case", 10.0, 6.0),
]


@pytest.mark.parametrize("preset", PRESETS)
def test_the_jig_of_every_preset_passes_its_proof_or_is_too_large_for_the_bed(preset: str) -> None:
    layout = layout_of(preset)
    cradle, combs = jig_of(layout, PRINTING)
    assert bool(combs) == (layout.width < 200.0)
    for aid in (cradle, *combs):
        assert not fails(prove_aid(aid, PRINTING)), aid.name


@pytest.mark.parametrize(
    ("preset", "overrides", "bush", "cutter"),
    [
        ("shoe-bench", (), 16.0, 6.0),
        ("tool-tray", ("joint.tails=1",), 10.0, 8.0),
        (
            "tool-tray",
            ("tail_board.thickness=6", "pin_board.thickness=4", "joint.slope=1:2", "joint.tails=2"),
            16.0,
            6.0,
        ),
        ("drawer-front", ("joint.tails=2", "undercut.depth=0.5", "fit.flank_gap=0.1"), 16.0, 6.0),
        ("tool-tray", ("tail_board.thickness=40", "pin_board.thickness=40", "joint.tails=1"), 16.0, 12.0),
    ],
)
def test_unusual_joints_pass_too(preset: str, overrides: tuple[str, ...], bush: float, cutter: float) -> None:
    _, combs = jig_of(layout_of(preset, *overrides, bush=bush, cutters=(cutter,)))
    assert not fails(prove_aid(combs[0], WIDE))


@pytest.mark.parametrize(("preset", "bush", "cutter"), CASES)
def test_the_cutter_clears_the_socket_and_nothing_else_of_the_board(preset: str, bush: float, cutter: float) -> None:
    layout = layout_of(preset, bush=bush, cutters=(cutter,))
    board = box(0.0, 0.0, layout.width, layout.recipe.pin_board.thickness)
    seen: dict[int, Polygon] = {}
    for comb in jig_of(layout)[1]:
        seen |= openings(comb, layout)
    assert sorted(seen) == [tail.number for tail in layout.tails]
    for number, socket in enumerate(sockets(layout), start=1):
        cleared = swept(seen[number], bush, cutter).intersection(board)
        assert socket.buffer(0.01).contains(cleared)
        missed = socket.difference(cleared.buffer(0.01))
        # Only the corners at a lap stay as round as the cutter, from where it touches one side to where the other.
        touches = cutter / 2 * (layout.flanks[0].stretch + 1 / layout.ratios[0])
        corners = [Point(x, y) for x, y in socket.exterior.coords if y > 0] if layout.is_half_blind else []
        rounds = shapely.union_all([corner.buffer(touches) for corner in corners])
        assert missed.difference(rounds).area == 0.0


@pytest.mark.parametrize(("preset", "bush", "cutter"), CASES)
def test_the_whole_cutter_leaves_the_wood_through_each_open_face(preset: str, bush: float, cutter: float) -> None:
    layout = layout_of(preset, bush=bush, cutters=(cutter,))
    for comb in jig_of(layout)[1]:
        for opening in openings(comb, layout).values():
            _, low, _, high = opening.buffer(-bush / 2).bounds
            assert low <= -(cutter / 2 + 1.0)
            if layout.is_half_blind:
                assert high == pytest.approx(layout.depth - cutter / 2)
            else:
                assert high >= layout.recipe.pin_board.thickness + cutter / 2 + 1.0


@pytest.mark.parametrize(("preset", "bush", "cutter"), CASES[1:4])
def test_no_cutter_reaches_the_cradle_or_a_lip(preset: str, bush: float, cutter: float) -> None:
    layout = layout_of(preset, bush=bush, cutters=(cutter,))
    cradle, combs = jig_of(layout)
    for comb in combs:
        for opening in openings(comb, layout).values():
            path = swept(opening, bush, cutter)
            tool = extrude(list(path.exterior.coords)[:-1], -1.0, layout.as_cut.pin_end + 8.0)
            assert shared(in_place(cradle), tool) < 1e-9
            assert shared(in_place(comb), tool) < 1e-9


@pytest.mark.parametrize(("preset", "bush", "cutter"), CASES)
def test_walls_are_thick_enough_and_there_are_no_more_combs_than_needed(
    preset: str, bush: float, cutter: float
) -> None:
    layout = layout_of(preset, bush=bush, cutters=(cutter,))
    combs = jig_of(layout)[1]
    for comb in combs:
        for left, right in pairwise(openings(comb, layout).values()):
            assert left.distance(right) >= 4.0
    if len(combs) == 2:
        both = {**openings(combs[0], layout), **openings(combs[1], layout)}
        ordered = [both[number] for number in sorted(both)]
        assert min(a.distance(b) for a, b in pairwise(ordered)) < 4.0 + (bush - cutter)
    assert [comb.name for comb in combs] == [f"cnc-comb-{k}" for k in range(1, len(combs) + 1)]


def test_each_comb_shows_the_numbers_of_its_sockets() -> None:
    layout = layout_of("tool-tray")
    for comb in jig_of(layout)[1]:
        assert comb.engraved == " ".join(str(number) for number in openings(comb, layout))


def test_a_later_comb_still_lies_on_pins_whose_neighbours_are_cut() -> None:
    layout = layout_of("tool-tray")
    cut_board = pin_board(layout, layout.as_cut)
    for comb in jig_of(layout)[1]:
        pressed = placed(in_place(comb), ((1, 0, 0, 0.0), (0, 1, 0, 0.0), (0, 0, 1, -0.02)))
        assert shared(pressed, cut_board) / 0.02 > 100.0
        against = placed(in_place(comb), ((1, 0, 0, 0.0), (0, 1, 0, 0.02), (0, 0, 1, 0.0)))
        assert shared(against, cut_board) / 0.02 > 50.0


def test_the_cradle_is_level_with_the_end_and_begins_to_touch_below_the_cut() -> None:
    layout = layout_of("tool-tray")
    points = [p for face in faces_of(in_place(jig_of(layout)[0])) for p in face[0]]
    assert max(p[2] for p in points) == pytest.approx(layout.as_cut.pin_end)
    assert max(p[2] for p in points if p[1] > -10.0 and p[0] > -10.0) <= -3.0
    assert max(p[1] for p in points if p[0] > 0.0) == 0.0
    assert max(p[0] for p in points if p[1] > 0.0) == 0.0


def test_an_m6_bolt_slides_in_each_slot() -> None:
    cradle, _ = jig_of(layout_of("drawer-front"))
    faces = [face for face in faces_of(cradle.solid) if all(abs(p[2] - 8.0) < 1e-9 for loop in face for p in loop)]
    (foot,) = [face for face in faces if len(face) > 1]
    assert len(foot) == 4, "three slots in a long foot"
    for loop in foot[1:]:
        slot = Polygon([p[:2] for p in loop])
        x0, y0, x1, y1 = slot.bounds
        assert (x1 - x0, y1 - y0) == pytest.approx((6.5, 20.0))
        assert slot.contains(Point((x0 + x1) / 2, y0 + 3.25).buffer(3.0))


def test_without_bush_or_cutter_there_is_one_refusal_and_the_cradle() -> None:
    for layout in (layout_of("tool-tray", bush=0.0), layout_of("tool-tray", cutters=())):
        cradle, combs = jig_of(layout)
        (refusal,) = refusals_of(layout)
        assert (cradle.name, combs) == ("cnc-cradle", [])
        assert 'kit.bush = "16 mm"' in said(refusal.remedy)
        assert 'kit.cutters = ["6 mm"]' in said(refusal.remedy)


def test_a_bush_too_narrow_for_its_cutter_is_refused() -> None:
    (refusal,) = refusals_of(layout_of("tool-tray", bush=7.0, cutters=(6.0,)))
    assert "more than 7 mm" in said(refusal.remedy)
    assert refusals_of(layout_of("tool-tray", bush=7.5, cutters=(6.0,))) == []


def test_the_widest_cutter_that_passes_socket_and_bush_is_taken() -> None:
    for bush, cutters, taken in ((16.0, (3.0, 6.0, 20.0), "6"), (7.0, (3.0, 6.0), "3")):
        _, combs = jig_of(layout_of("tool-tray", bush=bush, cutters=cutters))
        assert said(dict(combs[0].figures)["cutter"]) == f"{taken} mm"


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front", "gauge-case"])
@pytest.mark.parametrize("cutters", [(3.0, 6.0, 8.0), (6.0, 4.0), (2.4, 3.0, 5.0)])
def test_the_comb_leads_the_cutter_that_drawing_and_note_tell(preset: str, cutters: tuple[float, ...]) -> None:
    layout = layout_of(preset, bush=16.0, cutters=cutters)
    best = pin_board_cut(layout).best
    assert best
    _, combs = jig_of(layout)
    assert {said(dict(comb.figures)["cutter"]) for comb in combs} == {best.size}
    assert not any("the drawing" in said(comb.how_to).lower() for comb in combs)


def test_a_comb_that_cannot_lead_that_cutter_says_so_and_which_way_round_to_go() -> None:
    _, combs = jig_of(layout_of("tool-tray", bush=7.0, cutters=(3.0, 6.0)))
    assert "The drawing and the note for CNC take a cutter of 6 mm, which this bush does not" in said(combs[0].how_to)
    assert "clockwise as seen from above" in said(combs[0].how_to)


def test_a_cutter_too_thin_for_the_depth_is_refused_with_one_that_is_not() -> None:
    """10.5 mm deep: a fifth is 2.1 mm."""
    (refusal,) = refusals_of(layout_of("tool-tray", bush=12.0, cutters=(1.0, 2.0)))
    assert "too thin for a cut 10.5 mm deep" in said(refusal.why)
    assert "no less than 2.1 mm" in said(refusal.remedy)
    assert refusals_of(layout_of("tool-tray", bush=12.0, cutters=(2.1,))) == []


def test_a_cutter_that_does_not_pass_is_refused_with_one_that_does() -> None:
    (refusal,) = refusals_of(layout_of("tool-tray", bush=30.0, cutters=(20.0,)))
    found = re.search(r"([\d.]+) mm or less", said(refusal.remedy))
    assert found
    assert refusals_of(layout_of("tool-tray", bush=20.0, cutters=(float(found[1]),))) == []


def test_a_bush_too_wide_to_leave_a_hold_is_refused_with_one_that_works() -> None:
    (refusal,) = refusals_of(layout_of("tool-tray", "joint.tails=1", bush=50.0, cutters=(12.0,)))
    found = re.search(r"([\d.]+) mm\.$", said(refusal.remedy))
    assert found
    bush = float(found[1])
    assert refusals_of(layout_of("tool-tray", "joint.tails=1", bush=bush, cutters=(12.0,))) == []
    assert refusals_of(layout_of("tool-tray", "joint.tails=1", bush=bush + 0.5, cutters=(12.0,)))


def test_combs_wider_than_the_bed_are_refused_once_with_the_size_they_need() -> None:
    layout = layout_of("carcase")
    (refusal,) = refusals_of(layout, PRINTING)
    found = re.search(r"of (\d+) x (\d+) mm;", said(refusal.why))
    assert found
    needed = (float(found[1]), float(found[2]))
    assert refusals_of(layout, replace(PRINTING, bed=needed)) == []


def test_a_board_too_small_to_hold_is_refused() -> None:
    (refusal,) = cnc_jigs(layout_of("tool-tray", "pin_board.length=15"), WIDE)
    assert isinstance(refusal, Refusal)
    assert "20 mm of length" in said(refusal.remedy)


@pytest.mark.parametrize("by", [(-0.05, 0.0, 0.0), (0.0, 0.05, 0.0), (0.0, 0.0, 0.05)])
def test_a_comb_that_lies_off_by_a_hair_fails(by: tuple[float, float, float]) -> None:
    comb = jig_of(layout_of("tool-tray", "joint.tails=1", bush=10.0, cutters=(8.0,)))[1][0]
    use = replace(comb.uses[0], place=comb.uses[0].place.shifted(by))
    assert fails(prove_aid(replace(comb, uses=(use,)), WIDE))


def test_a_comb_for_another_bush_or_slope_fails() -> None:
    comb = jig_of(layout_of("tool-tray"))[1][0]
    wider = jig_of(layout_of("tool-tray", bush=16.1))[1][0]
    gentler = jig_of(layout_of("tool-tray", "joint.slope=1:7.2"))[1][0]
    for other in (wider, gentler):
        # Its own place, so that all that differs is the opening.
        use = replace(comb.uses[0], place=other.uses[0].place)
        found = prove_aid(replace(comb, solid=other.solid, uses=(use,)), WIDE)
        assert "works" in [finding.code for finding in found if finding.severity == "fail"]


def test_a_cradle_out_of_place_fails() -> None:
    cradle, _ = jig_of(layout_of("tool-tray"))
    assert fails(prove_aid(first_use(cradle, 0.0, -0.05, 0.0), WIDE))


def test_router_cautions_stand_beside_each_part() -> None:
    cradle, combs = jig_of(layout_of("tool-tray"))
    topics = {"Router and CNC", "Cutter speed", "Scorching and fire", "Clamps", "Eyes", "Noise", "Dust"}
    topics |= {"Manuals come first", "Printed aids are not guards"}
    for aid in (cradle, *combs):
        assert set(aid.cautions) == topics
        assert topics <= {caution.topic for caution in CAUTIONS}


def test_the_cradle_says_how_the_work_is_clamped_and_what_it_may_be_made_of() -> None:
    """It does not only show where to cut: a board that comes loose from it is thrown."""
    aid = next(each for each in cnc_jigs(layout_of("tool-tray"), WIDE) if each.name == "cnc-cradle")
    assert isinstance(aid, Aid)
    for words in ("below the ledge with two clamps", "a bolt in each slot", "nothing may move"):
        assert words in said(aid.how_to)
    for words in ("hardwood or plywood", "better than a printed one", "not PLA", "look for cracks"):
        assert words in said(aid.printing)
