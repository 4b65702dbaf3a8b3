"""Saw guides: the proof of all presets, the geometry measured anew on the cut boards, planted faults and refusals."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from solids.aids.making.aid import Aid, Refusal
from solids.aids.saw_guides import plan as module
from solids.aids.saw_guides.plan import saw_guides
from solids.base.cautions import CAUTIONS
from solids.base.messages import said
from solids.layout import Layout
from solids.layout.joint.shape.placing import place
from solids.model.corner import make_corner
from solids.model.kernel import Face, common, faces_of, volume_of
from solids.model.kernel.shaping import placed, prism
from solids.recipe.tables.resolved import Magnet, Printing
from tests.aids.helpers import PRINTING, area, coplanar, faces_in_place, failing, first_use, unit
from tests.corners import PRESETS, layout_of

NAMES = ["saw-guide-tails", "saw-guide-pins", "saw-guide-square"]


def made(layout: Layout, printing: Printing = PRINTING) -> dict[str, Aid]:
    return {item.name: item for item in saw_guides(layout, printing) if isinstance(item, Aid)}


def refused(layout: Layout, printing: Printing = PRINTING) -> dict[str, Refusal]:
    found = [item for item in saw_guides(layout, printing) if isinstance(item, Refusal)]
    return {item.name: replace(item, why=said(item.why), remedy=said(item.remedy)) for item in found}


def depths_behind(end: Face, faces: list[Face]) -> set[float]:
    """How far behind an end there are faces parallel to it (mm)."""
    normal, point = unit(end), np.array(end[0][0])
    parallel = [face for face in faces if abs(abs(unit(face) @ normal) - 1) < 1e-9]
    return {round(float((point - np.array(face[0][0])) @ normal), 6) for face in parallel}


@pytest.fixture
def unlettered(monkeypatch: pytest.MonkeyPatch) -> None:
    """Guides without their words, which take most of the time of a proof."""
    monkeypatch.setattr(module, "engraved", lambda body, *_, **__: body)


# --- the proof -----------------------------------------------------------------------------------


def prove_all(layout: Layout, printing: Printing = PRINTING) -> None:
    aids = made(layout, printing)
    assert list(aids) == NAMES
    for aid in aids.values():
        assert failing(aid, printing) == set(), aid.name


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize("preset", PRESETS)
def test_all_three_guides_of_every_preset_prove(preset: str) -> None:
    prove_all(layout_of(preset))


def test_guides_prove_with_their_words_on() -> None:
    prove_all(layout_of("tool-tray"))
    for aid in made(layout_of("tool-tray")).values():
        assert len(aid.uses) == 2
        assert all(use.works_in and len(use.rests) == 2 for use in aid.uses)


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize(
    "overrides",
    [
        ("joint.width=30", "joint.tails=1"),
        ("joint.width=200", "joint.tails=12"),
        ("tail_board.thickness=6", "pin_board.thickness=6", "joint.tails=2"),
        ("tail_board.thickness=40", "pin_board.thickness=40", "joint.tails=1"),
        ("joint.slope=1:2", "joint.tails=2"),
        ("undercut.depth=0.3", "undercut.land=1", "entry_chamfer.width=0.5"),
        ("fit.flank_gap=0.1",),
    ],
    ids=str,
)
def test_unusual_joints_prove_too(overrides: tuple[str, ...]) -> None:
    prove_all(layout_of("tool-tray", *overrides))


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize(
    "printing",
    [
        Printing((220, 220), 0.8, 0.3, Magnet(25, 5)),
        Printing((220, 220), 0.25, 0.1, Magnet(4, 1)),
        Printing((220, 220), 0.4, 0.2, Magnet(20, 20)),
    ],
)
def test_other_magnets_and_nozzles_prove_too(printing: Printing) -> None:
    prove_all(layout_of(), printing)


# --- the geometry, measured anew -----------------------------------------------------------------


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
@pytest.mark.parametrize("name", NAMES[:2])
def test_each_end_lies_in_a_flank_of_the_board_as_it_is_cut(preset: str, name: str) -> None:
    layout = layout_of(preset)
    corner = make_corner(layout, layout.as_cut)
    cut = faces_of(corner.tail_board if "tails" in name else corner.pin_board)
    flanks = [face for face in cut if 1e-3 < abs(unit(face)[1]) < 0.5 and abs(unit(face)[2]) < 1e-9]
    assert len(flanks) == 2 * len(layout.tails)
    for use in (0, 1):
        faces = faces_in_place(made(layout)[name], use)
        shared = [face for face in faces if any(coplanar(face, flank) for flank in flanks)]
        assert sum(map(area, shared)) > 400


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_the_guide_stands_on_the_wood_that_stays(preset: str) -> None:
    layout = layout_of(preset)
    for name, side in (("saw-guide-tails", 1.0), ("saw-guide-pins", -1.0)):
        for use, left in ((0, True), (1, False)):
            aid = made(layout)[name]
            plane = aid.uses[use].works_in
            assert plane is not None
            points = np.array([p for face in faces_in_place(aid, use) for p in face[0]])
            inward = (points - np.array(plane.point)) @ np.array(plane.normal) * side * (1 if left else -1)
            assert inward.min() > -1e-9
            assert inward.max() > 15


def test_tails_ends_follow_the_marks_at_raw_end_and_baseline() -> None:
    layout = layout_of()
    first, last, end = layout.tails[0], layout.tails[-1], layout.as_cut.tail_end
    guide = made(layout)["saw-guide-tails"]
    for use, tail, side in ((0, first, 0), (1, last, 1)):
        ends = [face for face in faces_in_place(guide, use) if area(face) > 400 and 0.5 < abs(unit(face)[0]) < 1 - 1e-6]
        misses = [max(abs(x - layout.tail_edges(tail, y)[side]) for x, y, _ in face[0]) for face in ends]
        assert min(misses) < 1e-9
        reach = {round(y, 6) for face in ends for _, y, _ in face[0]}
        assert {round(end, 6), round(end + 5, 6), -20.0} <= reach


def test_a_half_blind_board_is_sawn_from_its_inside_face() -> None:
    layout = layout_of("drawer-front")
    guide = made(layout)["saw-guide-pins"]
    points = [p for use in (0, 1) for face in faces_in_place(guide, use) for p in face[0]]
    end = layout.as_cut.pin_end
    assert min(y for _, y, _ in points) == pytest.approx(-20)
    assert max(y for _, y, z in points if z < end - 1e-6) == pytest.approx(0)
    assert max(y for _, y, z in points) == pytest.approx(10)
    assert "inside face" in said(guide.how_to)


def test_a_through_board_is_sawn_from_its_show_face() -> None:
    layout = layout_of()
    points = [p for face in faces_in_place(made(layout)["saw-guide-pins"], 0) for p in face[0]]
    assert min(y for _, y, z in points if z < layout.as_cut.pin_end - 1e-6) == pytest.approx(layout.as_cut.show_y)


def test_the_square_guide_stands_behind_the_baseline_at_both_edges() -> None:
    layout = layout_of()
    guide = made(layout)["saw-guide-square"]
    for use, edge, outward in ((0, 0.0, -1.0), (1, layout.width, 1.0)):
        points = np.array([p for face in faces_in_place(guide, use) for p in face[0]])
        assert points[:, 1].max() == pytest.approx(0)
        assert ((points[:, 0] - edge) * outward).max() == pytest.approx(5)
        shoulder = layout.tail_board_gaps(0.0)[0]
        assert ((points[:, 0] - edge) * outward).min() == pytest.approx(-shoulder - 20)


@pytest.mark.parametrize("name", NAMES)
def test_floor_slot_and_groove_lie_where_they_are_said_to_lie(name: str) -> None:
    faces = faces_of(made(layout_of())[name].solid)
    ends = [face for face in faces if area(face) > 400 and abs(unit(face)[0]) > 0.9]
    assert len(ends) == 2
    for end in ends:
        # The floor toward the saw and the far wall of the slot; the two sides of a groove 0.6 wide, 1.5 in.
        assert {0.0, 0.8, 0.8 + 2.4, 1.2, 1.8} <= depths_behind(end, faces)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
@pytest.mark.parametrize("name", NAMES)
def test_a_disc_magnet_goes_into_each_slot_and_the_board_closes_it(preset: str, name: str) -> None:
    layout = layout_of(preset)
    aid = made(layout)[name]
    use = aid.uses[0]
    assert use.works_in is not None
    body, (_, board) = placed(aid.solid, use.place), use.boards[0]
    end = next(f for f in faces_of(body) if area(f) > 400 and abs(unit(f) @ np.array(use.works_in.normal)) > 1 - 1e-9)
    out = -np.array([row[2] for row in use.place])  # away from the board, toward the bed
    up = np.array([row[1] for row in use.place])
    normal = unit(end)
    along = up - (up @ normal) * normal
    along /= np.linalg.norm(along)
    deep = np.cross(normal, along)
    deep *= math.copysign(1.0, deep @ out)
    walls = [f for f in faces_of(body) if abs(unit(f) @ normal - 1) < 1e-9 or abs(unit(f) @ normal + 1) < 1e-9]
    floor = next(f for f in walls if 90 < area(f) < 160 and abs((np.array(end[0][0]) - f[0][0]) @ normal - 0.8) < 1e-6)
    middle = (np.array(floor[0]).min(axis=0) + np.array(floor[0]).max(axis=0)) / 2
    disc = prism([(5 * math.cos(k * math.pi / 12), 5 * math.sin(k * math.pi / 12)) for k in range(24)], 0.0, 2.0)
    centre = middle - 0.2 * normal
    axes = (along, np.cross(-normal, along), -normal)
    rows = tuple((axes[0][i], axes[1][i], axes[2][i], centre[i]) for i in range(3))
    magnet = placed(disc, rows)
    assert sum(map(volume_of, common(magnet, body))) < 1e-9
    # Drawn out by its radius it meets the board: the slot is closed.
    lifted = placed(disc, tuple((*row[:3], row[3] - 6 * deep[i]) for i, row in enumerate(rows)))
    assert sum(map(volume_of, common(lifted, board))) > 1


# --- planted faults ------------------------------------------------------------------------------


@pytest.mark.usefixtures("unlettered")
def test_a_guide_that_stands_a_twentieth_off_is_caught() -> None:
    for aid in made(layout_of()).values():
        across = (0.0, 0.05, 0.0) if aid.name == "saw-guide-square" else (0.05, 0.0, 0.0)
        assert "works" in failing(first_use(aid, *across)), aid.name


@pytest.mark.usefixtures("unlettered")
def test_a_guide_that_stands_off_its_face_or_its_end_is_caught() -> None:
    guide = made(layout_of())["saw-guide-tails"]
    assert "bears" in failing(first_use(guide, 0.0, 0.0, 0.05))
    assert "bears" in failing(first_use(guide, 0.0, 0.05, 0.0))
    assert "meets" in failing(first_use(guide, 0.0, 0.0, -0.05))


@pytest.mark.usefixtures("unlettered")
def test_a_guide_made_for_another_slope_is_caught() -> None:
    layout = layout_of()
    other = made(place(replace(layout.recipe, slope_ratio=7.3)))
    for name in NAMES[:2]:
        right = made(layout)[name]
        assert failing(first_use(right, 0, 0, 0)) == set()
        assert "works" in failing(first_use(right, 0, 0, 0, solid=other[name].solid))


def test_pins_guide_of_a_through_joint_does_not_pass_for_a_half_blind_one() -> None:
    through, blind = made(layout_of("tool-tray"))["saw-guide-pins"], made(layout_of("drawer-front"))["saw-guide-pins"]
    assert "works" in failing(first_use(blind, 0, 0, 0, solid=through.solid))


# --- refusals ------------------------------------------------------------------------------------


def figure(text: str) -> float:
    found = re.search(r"to (?:1:)?([\d.]+)", text)
    assert found
    return float(found[1])


def test_a_slope_flatter_than_one_in_twenty_leaves_the_square_guide_only() -> None:
    layout = layout_of("tool-tray", "joint.slope=1:21")
    assert set(refused(layout)) == {"saw-guide-tails", "saw-guide-pins"}
    assert set(made(layout)) == {"saw-guide-square"}
    assert "square guide" in refused(layout)["saw-guide-tails"].remedy
    assert set(made(layout_of("tool-tray", "joint.slope=1:20"))) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_too_large_a_magnet_is_refused_and_the_largest_that_fits_is_told(name: str) -> None:
    layout = layout_of()
    refusal = refused(layout, replace(PRINTING, magnet=Magnet(70, 2)))[name]
    assert "print.magnet.diameter" in refusal.remedy
    largest_fit = figure(refusal.remedy)
    assert name in made(layout, replace(PRINTING, magnet=Magnet(largest_fit, 2)))
    assert name in refused(layout, replace(PRINTING, magnet=Magnet(largest_fit + 0.02, 2)))


@pytest.mark.parametrize("name", NAMES)
def test_too_thick_a_magnet_is_refused_and_the_thickest_that_fits_is_told(name: str) -> None:
    layout = layout_of()
    refusal = refused(layout, replace(PRINTING, magnet=Magnet(10, 40)))[name]
    thickest = figure(refusal.remedy)
    assert name in made(layout, replace(PRINTING, magnet=Magnet(10, thickest)))
    assert name in refused(layout, replace(PRINTING, magnet=Magnet(10, thickest + 0.02)))


def test_a_board_thinner_than_a_wall_is_refused_with_the_nozzle_that_works() -> None:
    layout = layout_of("tool-tray", "tail_board.thickness=1.5")
    coarse = replace(PRINTING, nozzle=0.8)
    assert set(refused(layout, coarse)) == {"saw-guide-tails", "saw-guide-square"}
    fine = figure(refused(layout, coarse)["saw-guide-tails"].remedy)
    assert set(made(layout, replace(PRINTING, nozzle=fine))) == set(NAMES)


def test_a_bed_that_is_too_small_is_refused_with_the_size_that_is_needed() -> None:
    refusal = refused(layout_of(), replace(PRINTING, bed=(40, 40)))["saw-guide-tails"]
    need = [float(side) for side in re.findall(r"\d+", refusal.remedy)]
    assert "saw-guide-tails" in made(layout_of(), replace(PRINTING, bed=(need[0], need[1])))


# --- what is said --------------------------------------------------------------------------------


def test_the_words_are_short_and_complete() -> None:
    topics = {caution.topic for caution in CAUTIONS}
    for aid in made(layout_of()).values():
        assert 3 <= len(re.findall(r"[.](?: |$)", said(aid.how_to))) <= 6
        assert set(aid.cautions) <= topics
        assert "Magnets" in aid.cautions
        figures = {name: said(value) for name, value in aid.figures}
        assert figures["floor between magnet and saw"].startswith("0.8 mm")
        assert "thinner pulls harder" in figures["floor between magnet and saw"]
        assert figures["slot for a magnet"] == "2.4 x 10.4 x 10.4 mm"
    assert [aid.engraved for aid in made(layout_of()).values()] == ["1:7 tails", "1:7 pins", "square"]
    assert said(dict(made(layout_of())["saw-guide-tails"].figures)["saw plate below its back, at least"]) == "17.5 mm"
