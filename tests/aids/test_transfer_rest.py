"""The transfer rest against what it must do: hold both boards square, stop the tail board, leave room for the knife."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.modelling import extrude
from solids.aids.marking.transfer_rest import transfer_rests
from solids.aids.proof import prove_aid
from solids.base.findings import fails
from solids.base.messages import said
from solids.layout import Layout
from solids.model.kernel import Solid, bounds, faces_of
from solids.model.kernel.shaping import placed
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING, first_use, in_place, shared
from tests.corners import PRESETS, layout_of

NARROW = ("joint.half_pin=1.5", "joint.allow_thin_half_pin=true", "pin_board.thickness=6", "joint.slope=1:8")


def rest_of(layout: Layout) -> Aid:
    (aid,) = transfer_rests(layout, PRINTING)
    assert isinstance(aid, Aid)
    return aid


def refusal_of(layout: Layout, printing: Printing = PRINTING) -> Refusal:
    (refusal,) = transfer_rests(layout, printing)
    assert isinstance(refusal, Refusal)
    return refusal


def shifted(body: Solid, x: float, y: float, z: float) -> Solid:
    return placed(body, ((1, 0, 0, x), (0, 1, 0, y), (0, 0, 1, z)))


@pytest.mark.parametrize("preset", PRESETS)
def test_the_rest_of_every_preset_passes_its_proof(preset: str) -> None:
    assert not fails(prove_aid(rest_of(layout_of(preset)), PRINTING))


@pytest.mark.parametrize(
    "overrides",
    [
        ("joint.tails=1",),
        ("joint.tails=12",),
        ("tail_board.thickness=6", "pin_board.thickness=40"),
        ("tail_board.thickness=40", "pin_board.thickness=6"),
        ("undercut.depth=0.5", "entry_chamfer.width=0.5"),
        ("tail_board.length=25", "pin_board.length=20"),
        NARROW,
    ],
)
def test_unusual_joints_pass_too(overrides: tuple[str, ...]) -> None:
    assert not fails(prove_aid(rest_of(layout_of("tool-tray", *overrides)), PRINTING))


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_the_tails_lie_on_the_pin_boards_end_up_to_the_gauged_line(preset: str) -> None:
    layout = layout_of(preset)
    boards = dict(rest_of(layout).uses[0].boards)
    (_, _, foot), (_, tip, _) = bounds(boards["tail board"])
    assert foot == pytest.approx(bounds(boards["pin board"])[1][2])
    proud = layout.recipe.tail_board.proud
    assert tip == pytest.approx(layout.recipe.pin_board.thickness - layout.recipe.lap + proud)


def test_its_faces_are_square_to_each_other_and_meet_where_the_boards_do() -> None:
    layout = layout_of("tool-tray")
    faces = faces_of(in_place(rest_of(layout)))

    def has_plane(axis: int, value: float, least: int) -> bool:
        found = [face for face in faces if all(abs(point[axis] - value) < 1e-9 for point in face[0])]
        return len(found) >= least

    assert has_plane(0, 0.0, 1)
    assert has_plane(1, 0.0, 2), "the upright plate, and the back of the lip"
    assert has_plane(2, layout.recipe.tail_board.thickness + layout.recipe.pin_board.proud, 1)


def test_the_lip_stops_the_tail_board_on_its_way_out_and_lets_it_back() -> None:
    aid = rest_of(layout_of("tool-tray"))
    tails = dict(aid.uses[0].boards)["tail board"]
    assert shared(in_place(aid), shifted(tails, 0.0, 0.05, 0.0)) > 1.0
    assert shared(in_place(aid), shifted(tails, 0.0, -0.05, 0.0)) < 1e-9


@pytest.mark.parametrize(("preset", "knife"), [("tool-tray", 0.8), ("drawer-front", 0.8), ("shoe-bench", 1.2)])
def test_the_knife_has_room_along_the_first_flank(preset: str, knife: float) -> None:
    layout = layout_of(preset, f"kit.knife={knife}")
    body, end = in_place(rest_of(layout)), layout.as_cut.pin_end
    d, n, left = layout.depth, layout.ratios[0], layout.tails[0].left
    foot, tip, room = left + d / n, left, 1.0 + knife
    strip = [(foot - room, 0.0), (foot, 0.0), (tip, d), (tip - room, d)]
    assert shared(body, extrude(strip, end, end + 50.0)) < 1e-9
    wider = [(foot - room - 0.01, 0.0), (foot, 0.0), (tip, d), (tip - room - 0.01, d)]
    assert shared(body, extrude(wider, end, end + 50.0)) > 0.0, "the lip is as wide as it can be"


def test_nothing_stands_over_the_pin_boards_end_beyond_the_lip() -> None:
    layout = layout_of("tool-tray")
    over = extrude([(-60.0, 3.001), (200.0, 3.001), (200.0, 60.0), (-60.0, 60.0)], layout.as_cut.pin_end, 100.0)
    assert shared(in_place(rest_of(layout)), over) < 1e-9


def test_a_narrow_half_pin_gets_no_lip_and_the_text_says_so() -> None:
    aid = rest_of(layout_of("tool-tray", *NARROW))
    assert "no room for a lip" in said(aid.how_to)
    assert said(dict(aid.figures)["lip"]).startswith("none")
    tails = dict(aid.uses[0].boards)["tail board"]
    assert shared(in_place(aid), shifted(tails, 0.0, 0.5, 0.0)) < 1e-9


@pytest.mark.parametrize("by", [(0.05, 0.0, 0.0), (0.0, 0.05, 0.0), (0.0, -0.05, 0.0), (0.0, 0.0, 0.05)])
def test_a_rest_that_stands_off_by_a_hair_fails(by: tuple[float, float, float]) -> None:
    aid = rest_of(layout_of("tool-tray"))
    assert fails(prove_aid(first_use(aid, *by), PRINTING))


def test_a_rest_made_for_longer_pins_fails() -> None:
    aid = rest_of(layout_of("tool-tray"))
    other = rest_of(layout_of("tool-tray", "pin_board.proud=0.6"))
    assert fails(prove_aid(replace(aid, solid=other.solid), PRINTING))


def test_too_small_boards_and_beds_are_refused_with_what_works() -> None:
    short = refusal_of(layout_of("tool-tray", "pin_board.length=19"))
    assert "20 mm" in said(short.remedy)
    thin = refusal_of(layout_of("tool-tray", "tail_board.thickness=1.3"))
    assert "1.38 mm" in said(thin.remedy)
    assert not fails(prove_aid(rest_of(layout_of("tool-tray", "tail_board.thickness=1.4")), PRINTING))
    layout = layout_of("tool-tray")
    small = refusal_of(layout, replace(PRINTING, bed=(60.0, 220.0)))
    assert "79 x 71 mm" in said(small.why)
    assert isinstance(transfer_rests(layout, replace(PRINTING, bed=(71.0, 79.0)))[0], Aid)
    assert "nozzle" in said(refusal_of(layout, replace(PRINTING, nozzle=5.0)).remedy)
