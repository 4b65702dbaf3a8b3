"""Cauls: the proof of all presets, the geometry measured anew, planted faults and refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest

from solids.base.cautions import CAUTIONS
from solids.base.messages import said
from solids.model.kernel import common
from solids.model.kernel.shaping import placed
from tests.aids.caul_helpers import faces_in, made, refused
from tests.aids.helpers import PRINTING, faces_in_place, failing, first_use
from tests.corners import PRESETS, layout_of

HALF_BLIND = ("joint.kind=half-blind", "joint.lap=2", "tail_board.proud=0")


# --- the proof -----------------------------------------------------------------------------------------


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize("preset", PRESETS)
def test_every_caul_of_every_preset_proves(preset: str) -> None:
    for aid in made(preset).values():
        assert failing(aid) == set(), aid.name


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_letters_leave_enough_to_bear(preset: str) -> None:
    # Walls between strokes of a letter, half a millimetre deep, are no walls of the tool.
    for aid in made(preset).values():
        assert failing(aid) <= {"walls"}, aid.name
        assert aid.engraved


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize(
    "overrides",
    [
        ("joint.tails=1",),
        ("joint.tails=12", "joint.pin=2", "joint.slope=1:10"),
        ("tail_board.thickness=6", "pin_board.thickness=6"),
        ("tail_board.thickness=40", "pin_board.thickness=40", "joint.slope=1:12"),
        ("undercut.depth=0.2", "undercut.land=2", "entry_chamfer.width=0.5", "entry_chamfer.back=2"),
        ("fit.flank_gap=-0.1",),
        ("joint.half_pin=1", "joint.allow_thin_half_pin=true"),
        HALF_BLIND,
    ],
    ids=str,
)
def test_unusual_joints_prove_too(overrides: tuple[str, ...]) -> None:
    for aid in made("tool-tray", *overrides).values():
        assert failing(aid) == set(), aid.name


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize(
    ("preset", "overrides"),
    [
        ("tool-tray", ()),
        ("tool-tray", ("tail_board.thickness=6", "pin_board.thickness=6")),
        ("drawer-front", ()),
        ("shoe-bench", ()),
    ],
)
def test_all_cauls_find_room_on_the_corner_at_once(preset: str, overrides: tuple[str, ...]) -> None:
    bodies = [
        placed(aid.solid, use.place)
        for aid in made(preset, *overrides).values()
        for use in aid.uses
        if not said(use.words).startswith(("Pulled", "Pushed"))
    ]
    for first, second in combinations(bodies, 2):
        assert not common(first, second)


def test_every_caul_speaks_of_clamps_and_of_glue() -> None:
    topics = {caution.topic for caution in CAUTIONS}
    for preset in ("tool-tray", "drawer-front"):
        for aid in made(preset).values():
            assert "Clamps" in aid.cautions
            assert set(aid.cautions) <= topics
            assert "packing tape or wax" in said(aid.how_to)
            assert 3 <= said(aid.how_to).count(". ") + 1 <= 6


# --- where they press ----------------------------------------------------------------------------------


@pytest.mark.usefixtures("unmarked")
def test_pads_for_tails_stay_half_a_millimetre_off_the_flanks() -> None:
    layout, aid = layout_of("tool-tray"), made("tool-tray")["caul-tails"]
    pads = sorted(faces_in(faces_in_place(aid), 2, 10.0, -1), key=lambda face: min(point[0] for point in face[0]))
    assert len(pads) == 4
    for tail, pad in zip(layout.tails, pads, strict=True):
        assert {round(y, 9) for _, y, _ in pad[0]} == {1.0, 11.0}
        for x, y, _ in pad[0]:
            left, right = layout.tail_edges(tail, y)
            off = min(x - left, right - x) * math.cos(math.atan(1 / 7))
            assert off == pytest.approx(0.5, abs=1e-9)


@pytest.mark.usefixtures("unmarked")
def test_the_bar_over_the_tails_stays_one_millimetre_above_the_pins_and_inside_the_edges() -> None:
    layout, aid = layout_of("tool-tray"), made("tool-tray")["caul-tails"]
    faces = faces_in_place(aid)
    under = faces_in(faces, 2, layout.as_cut.pin_end + 1.0, -1)
    assert len(under) == 1
    assert len(under[0]) == 1 + 4, "the bar's underside has a hole for each pad"
    assert faces_in(faces, 2, layout.as_cut.pin_end + 1.0 + 12.0, 1)
    assert faces_in(faces, 0, 1.0, -1)
    assert faces_in(faces, 0, 95.0, 1)


@pytest.mark.usefixtures("unmarked")
def test_pads_for_pins_lie_on_pins() -> None:
    layout, aid = layout_of("tea-box"), made("tea-box")["caul-pins"]
    pads = sorted(faces_in(faces_in_place(aid), 1, 9.525, -1), key=lambda face: min(point[0] for point in face[0]))
    pins = layout.pin_spans(9.525)
    assert len(pads) == len(pins) == 4
    for pin, pad in zip(pins, pads, strict=True):
        xs, zs = [x for x, _, _ in pad[0]], [z for _, _, z in pad[0]]
        assert (min(zs), max(zs)) == pytest.approx((1.0, 8.525))
        assert min(xs) >= pin[0] + 0.3 - 1e-9
        assert max(xs) <= pin[1] - 0.3 + 1e-9
    assert min(x for x, _, _ in pads[0][0]) == pytest.approx(1.4), "on a half pin it stays inside the bar"


@pytest.mark.usefixtures("unmarked")
def test_pads_for_pins_stay_off_tails_that_widen_as_they_stand_proud() -> None:
    layout, aid = layout_of("shoe-bench"), made("shoe-bench")["caul-pins-1"]
    pads = sorted(faces_in(faces_in_place(aid), 1, 24.0, -1), key=lambda face: min(point[0] for point in face[0]))
    left, right = layout.gap_spans(27.0)[1]
    xs = [x for x, _, _ in pads[1][0]]
    assert (min(xs), max(xs)) == pytest.approx((left + 0.3, right - 0.3))
    assert right - left == pytest.approx(8.0 - 2 * 3.0 / 6.0)


@pytest.mark.usefixtures("unmarked")
def test_the_plain_caul_presses_on_the_lap_with_eased_edges() -> None:
    aid = made("drawer-front")["caul-plain"]
    face = faces_in(faces_in_place(aid), 1, 20.0, -1)
    assert len(face) == 1
    xs = [x for x, _, _ in face[0][0]]
    assert (min(xs), max(xs)) == pytest.approx((1.8, 108.2))
    assert "caul-pins" not in made("drawer-front")


@pytest.mark.usefixtures("unmarked")
@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_the_edge_pad_bears_on_the_half_pin_at_both_edges(preset: str) -> None:
    layout, aid = layout_of(preset), made(preset)["edge-pad"]
    for use, edge, looks in ((0, 0.0, 1), (1, layout.width, -1)):
        faces = faces_in_place(aid, use)
        pad = faces_in(faces, 0, edge, looks)
        assert len(pad) == 1
        ys, zs = [y for _, y, _ in pad[0][0]], [z for _, _, z in pad[0][0]]
        assert (min(ys), max(ys)) == pytest.approx((1.0, layout.depth - 1.0))
        assert (min(zs), max(zs)) == pytest.approx((1.0, layout.as_cut.pin_end - 1.0))
        assert faces_in(faces, 1, layout.as_cut.show_y, 1), "its plate is flush with the show face"
        assert faces_in(faces, 2, layout.as_cut.pin_end, 1), "and with the pins' raw ends"


# --- planted faults ------------------------------------------------------------------------------------


@pytest.mark.usefixtures("unmarked")
def test_a_caul_that_lies_off_its_place_fails() -> None:
    aids = made("tool-tray")
    assert "meets" in failing(first_use(aids["caul-tails"], 0, 0, -0.05))
    assert {"bears", "works"} <= failing(first_use(aids["caul-tails"], 0, 0, 0.05))
    assert "clears" in failing(first_use(aids["caul-tails"], 0.15, 0, 0))
    assert "meets" in failing(first_use(aids["caul-pins"], 0, -0.05, 0))
    assert "clears" in failing(first_use(aids["caul-pins"], 0.15, 0, 0))
    assert {"bears", "works"} <= failing(first_use(aids["edge-pad"], -0.05, 0, 0))
    assert "clears" in failing(first_use(aids["edge-pad"], 0, -1.1, 0)), "it reaches onto the tail board"


@pytest.mark.usefixtures("unmarked")
def test_a_caul_for_another_slope_fails() -> None:
    joint, other = made("tool-tray", "joint.slope=1:5")["caul-tails"], made("tool-tray", "joint.slope=1:8")
    assert failing(joint) == set()
    assert failing(
        replace(other["caul-tails"], uses=(replace(other["caul-tails"].uses[0], boards=joint.uses[0].boards),))
    )


# --- what they say, and what they refuse ---------------------------------------------------------------


@pytest.mark.usefixtures("unmarked")
def test_pins_too_narrow_for_a_pad_are_named() -> None:
    aid = made("tool-tray", "joint.pin=1")["caul-pins"]
    assert "Only the half pins have a pad" in said(aid.how_to)
    assert len(faces_in(faces_in_place(aid), 1, 12.0, -1)) == 2


@pytest.mark.usefixtures("unmarked")
def test_no_caul_for_pins_without_a_pin_to_press_on_and_the_remedy_works() -> None:
    thin = ("joint.pin=1", "joint.half_pin=2", "joint.allow_thin_half_pin=true")
    refusal = refused("tool-tray", *thin)["caul-pins"]
    assert said(refusal.remedy) == "Set joint.pin to 1.55 mm, or joint.half_pin to 2.58 mm."
    assert not refused("tool-tray", *thin, "joint.pin=1.55")
    assert not refused("tool-tray", *thin, "joint.half_pin=2.58")


@pytest.mark.usefixtures("unmarked")
def test_no_caul_for_tails_too_narrow_for_the_nozzle_and_the_remedy_works() -> None:
    many, coarse = ("joint.tails=12", "joint.pin=1"), replace(PRINTING, nozzle=1.8)
    refusal = refused("tool-tray", *many, printing=coarse)["caul-tails"]
    count = int(said(refusal.remedy).split()[3])
    assert "caul-tails" not in refused("tool-tray", f"joint.tails={count}", "joint.pin=1", printing=coarse)
    assert "caul-tails" in refused("tool-tray", f"joint.tails={count + 1}", "joint.pin=1", printing=coarse)


@pytest.mark.usefixtures("unmarked")
def test_a_bed_too_small_is_refused_and_the_remedy_works() -> None:
    small = replace(PRINTING, bed=(25.0, 25.0))
    found = refused("blanket-chest", printing=small)
    assert set(found) == {"caul-tails", "caul-pins", "edge-pad"}
    assert said(found["caul-tails"].remedy) == "Set print.bed to 70 mm or more on both sides."
    assert not refused("blanket-chest", printing=replace(PRINTING, bed=(70.0, 70.0)))


@pytest.mark.usefixtures("unmarked")
def test_boards_too_small_for_any_pad_are_refused() -> None:
    coarse = replace(PRINTING, nozzle=2.0)
    found = refused("tea-box", "pin_board.thickness=5 mm", "tail_board.thickness=5 mm", printing=coarse)
    assert set(found) == {"caul-tails", "caul-pins", "edge-pad"}
    assert said(found["caul-tails"].remedy) == "Set print.nozzle to 1.5 mm or less."
    narrow = refused("tool-tray", "joint.width=20", "joint.tails=1")
    assert set(narrow) == {"caul-tails", "caul-pins"}
