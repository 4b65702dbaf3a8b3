"""Paring blocks: the proof of all presets, the geometry measured anew on the cut boards, planted faults, refusals."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from solids.aids.making.aid import Aid, Refusal
from solids.aids.paring_block import plan as module
from solids.aids.paring_block.plan import paring_blocks
from solids.base.cautions import CAUTIONS
from solids.base.messages import said
from solids.bench.settings import bench_of
from solids.layout import Layout
from solids.model.corner import make_corner
from solids.model.kernel import Face, bounds, faces_of
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING, area, coplanar, faces_in_place, failing, first_use, in_place, unit
from tests.corners import PRESETS, layout_of

LARGE = replace(PRINTING, bed=(500, 500))
PLAIN = ["paring-block-tails", "paring-block-pins"]
HOLLOW = ("undercut.depth=0.3", "undercut.land=1")


def made(layout: Layout, printing: Printing = PRINTING) -> dict[str, Aid]:
    return {item.name: item for item in paring_blocks(layout, printing) if isinstance(item, Aid)}


def refused(layout: Layout, printing: Printing = PRINTING) -> dict[str, Refusal]:
    found = [item for item in paring_blocks(layout, printing) if isinstance(item, Refusal)]
    return {item.name: replace(item, why=said(item.why), remedy=said(item.remedy)) for item in found}


def points_of(aid: Aid, use: int = 0) -> np.ndarray:
    return np.array([point for face in faces_in_place(aid, use) for point in face[0]])


@pytest.fixture
def unlettered(monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks without their words, which take most of the time of a proof."""
    monkeypatch.setattr(module, "engraved", lambda body, *_, **__: body)


# --- the proof -----------------------------------------------------------------------------------


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize("preset", PRESETS)
def test_every_block_of_every_preset_proves_on_a_bed_that_holds_it(preset: str) -> None:
    aids = made(layout_of(preset), LARGE)
    assert list(aids) == PLAIN
    for aid in aids.values():
        assert failing(aid, LARGE) == set(), aid.name


@pytest.mark.parametrize("preset", PRESETS)
def test_blocks_that_a_usual_bed_holds_prove_and_the_others_are_refused(preset: str) -> None:
    layout = layout_of(preset)
    wide = layout.width > 204
    assert list(refused(layout)) == (PLAIN if wide else [])
    assert list(made(layout)) == ([] if wide else PLAIN)


def test_blocks_prove_with_their_words_on() -> None:
    for aid in made(layout_of("tool-tray", *HOLLOW)).values():
        assert failing(aid) == set(), aid.name


@pytest.mark.usefixtures("unlettered")
@pytest.mark.parametrize(
    "overrides",
    [
        ("joint.width=30", "joint.tails=1"),
        ("joint.width=24", "joint.tails=1"),
        ("joint.width=200", "joint.tails=12"),
        ("tail_board.thickness=6", "pin_board.thickness=6", "joint.tails=2"),
        ("tail_board.thickness=40", "pin_board.thickness=40", "joint.tails=1"),
        HOLLOW,
        (*HOLLOW, "entry_chamfer.width=0.5", "tail_board.proud=1.3"),
        (*HOLLOW, "joint.kind=half-blind", "joint.lap=3", "tail_board.proud=0"),
    ],
    ids=str,
)
def test_unusual_joints_prove_too(overrides: tuple[str, ...]) -> None:
    layout = layout_of("tool-tray", *overrides)
    aids = made(layout)
    assert len(aids) == (4 if layout.land is not None else 2)
    for aid in aids.values():
        assert failing(aid) == set(), aid.name


# --- the geometry, measured anew -----------------------------------------------------------------


@pytest.mark.parametrize(("preset", "uses"), [("tool-tray", (2, 2)), ("drawer-front", (2, 1))])
def test_the_face_lies_in_the_floors_of_the_board_as_it_is_cut(preset: str, uses: tuple[int, int]) -> None:
    layout = layout_of(preset)
    corner = make_corner(layout, layout.as_cut)
    for name, board, count in zip(PLAIN, (corner.tail_board, corner.pin_board), uses, strict=True):
        aid = made(layout)[name]
        assert len(aid.uses) == count
        axis = 1 if board is corner.tail_board else 2
        floors = [f for f in faces_of(board) if unit(f)[axis] > 0.999 and all(abs(p[axis]) < 1e-9 for p in f[0])]
        assert floors
        for use in range(count):
            shared = [f for f in faces_in_place(aid, use) if any(coplanar(f, floor, 1e-6) for floor in floors)]
            assert sum(map(area, shared)) == pytest.approx(layout.width * 23.6)


@pytest.mark.parametrize("preset", ["tool-tray", "drawer-front"])
def test_a_leaning_face_lies_in_the_hollow_that_the_recipe_asks_for(preset: str) -> None:
    """So a chisel held against it leaves the land, and comes to the full depth half-way, or at the lap."""
    layout = layout_of(preset, *HOLLOW)
    corner = make_corner(layout, layout.as_cut)
    for name, board in zip(PLAIN, (corner.tail_board, corner.pin_board), strict=True):
        aid = made(layout)[f"{name}-leaning"]
        for use in range(len(aid.uses)):
            face = max((f for f in faces_in_place(aid, use) if 1e-3 < min_lean(f) < 0.5), key=area)
            hollows = [f for f in faces_of(board) if coplanar(f, face, 1e-6)]
            assert len(hollows) == len(layout.tails) + (1 if board is corner.tail_board else 0)


def min_lean(face: Face) -> float:
    """The smaller of a normal's shares in Y and Z, 0 for a face that runs along an axis or across X."""
    _, y, z = np.abs(unit(face))
    return float(min(y, z))


def test_a_leaning_block_leans_over_the_joint_as_the_bench_says() -> None:
    layout = layout_of("tool-tray", *HOLLOW)
    aid = made(layout)["paring-block-tails-leaning"]
    lean = next(chop.lean_deg for chop in bench_of(layout).chops if chop.board == "tail board")
    assert lean == pytest.approx(math.degrees(math.atan(0.3 / (5 - 1))))
    points = points_of(aid)
    # At the chamfer of the foot, 24 - 0.4 above the show face, it stands over the joint; at the face hardly.
    near = points[(np.abs(points[:, 0] - layout.width) < 1e-9) & (points[:, 1] > -1)]
    top, bottom = near[near[:, 2].argmax()], near[near[:, 2].argmin()]
    assert top[1] == pytest.approx((23.6 + 1) * math.tan(math.radians(lean)))
    assert bottom[1] == pytest.approx(1 * math.tan(math.radians(lean)))
    assert aid.engraved == "tails, 4.3 deg"


def test_hook_and_fence_touch_the_raw_end_and_the_edge_and_stay_clear_of_bench_and_chisel() -> None:
    layout = layout_of()
    aid = made(layout)["paring-block-tails"]
    end, waste = layout.as_cut.tail_end, layout.tail_board_gaps(layout.as_cut.tail_end)[0]
    low, high = bounds(in_place(aid))
    assert high[1] == pytest.approx(end + 5)
    assert low[2] == pytest.approx(layout.as_cut.show_z - 8)
    assert low[2] >= 1
    points = points_of(aid)
    hook = points[points[:, 1] > end - 1e-6]
    assert 3 < hook[:, 0].max() <= min(4.0, waste)
    below = points[points[:, 2] < layout.as_cut.show_z - 1e-6]
    assert below[:, 0].max() == hook[:, 0].max()
    assert below[below[:, 1] < end - 1e-6][:, 0].max() == pytest.approx(0)


@pytest.mark.parametrize(("thickness", "reach"), [(6, 5), (7, 6), (12, 8)])
def test_the_fence_reaches_as_far_down_as_the_board_allows(thickness: float, reach: float) -> None:
    layout = layout_of("tool-tray", f"tail_board.thickness={thickness}")
    (_, _, low), _ = bounds(in_place(made(layout)["paring-block-tails"]))
    assert thickness - low == pytest.approx(reach)


def test_a_thin_half_pin_shortens_the_hook_so_that_it_stays_on_waste() -> None:
    layout = layout_of("tool-tray", "joint.half_pin=3", "joint.allow_thin_half_pin=true")
    for name in PLAIN:
        points = points_of(made(layout)[name])
        axis, end = (1, layout.as_cut.tail_end) if "tails" in name else (2, layout.as_cut.pin_end)
        widest = points[points[:, axis] > end - 1e-6][:, 0].max()
        assert 2.0 < widest < 3.0 - 0.5 / layout.ratios[0]


def test_turned_over_its_fence_lies_at_the_other_edge() -> None:
    layout = layout_of()
    for aid in made(layout).values():
        assert bounds(in_place(aid, 0))[0][0] == pytest.approx(-6)
        assert bounds(in_place(aid, 1))[1][0] == pytest.approx(layout.width + 6)
        assert [use.words for use in aid.uses] == ["On the show face", "On the inside face"]


def test_a_half_blind_pin_board_is_pared_from_its_inside_face_at_the_reference_edge() -> None:
    layout = layout_of("drawer-front")
    aid = made(layout)["paring-block-pins"]
    assert [use.words for use in aid.uses] == ["On the inside face"]
    low, high = bounds(in_place(aid))
    assert low[0] == pytest.approx(-6)
    assert low[1] == pytest.approx(-24)
    assert high[1] == pytest.approx(8)
    assert "turn the board over" not in said(aid.how_to)


@pytest.mark.parametrize("width", [30, 96])
def test_two_clamp_pads_of_15_mm_lie_level_behind_the_block(width: float) -> None:
    aid = made(layout_of("tool-tray", f"joint.width={width}", "joint.tails=1"))["paring-block-tails"]
    bed = next(face for face in faces_of(aid.solid) if all(abs(p[2]) < 1e-9 for p in face[0]))
    xs, ys = np.array(bed[0])[:, 0], np.array(bed[0])[:, 1]
    behind = ys.min()
    rear = xs[np.abs(ys - behind) < 1e-9]
    assert behind == pytest.approx(-47.6)
    # On a narrow board one pad holds two clamps side by side, on a wide one there are two.
    assert rear.max() - rear.min() >= 30
    if width > 50:
        assert len(rear) == 4
        edges = np.sort(rear)
        assert edges[1] - edges[0] >= 15
        assert edges[3] - edges[2] >= 15


# --- planted faults ------------------------------------------------------------------------------


@pytest.mark.usefixtures("unlettered")
def test_a_block_that_stands_a_twentieth_off_is_caught() -> None:
    aid = made(layout_of())["paring-block-tails"]
    assert failing(first_use(aid, 0, 0, 0)) == set()
    assert {"works", "bears"} <= failing(first_use(aid, 0, 0.05, 0))
    assert "works" in failing(first_use(aid, 0, -0.05, 0))
    assert "meets" in failing(first_use(aid, 0, -0.05, 0))
    assert "bears" in failing(first_use(aid, -0.05, 0, 0))
    assert "bears" in failing(first_use(aid, 0, 0, 0.05))


@pytest.mark.usefixtures("unlettered")
def test_a_block_made_for_another_setting_or_lean_is_caught() -> None:
    layout = layout_of("tool-tray", *HOLLOW)
    aids = made(layout)
    longer = made(layout_of("tool-tray", *HOLLOW, "tail_board.proud=0.55"))["paring-block-tails"]
    assert "bears" in failing(first_use(aids["paring-block-tails"], 0, 0, 0, solid=longer.solid))
    leaning = first_use(aids["paring-block-tails-leaning"], 0, 0, 0)
    assert failing(leaning) == set()
    deeper = made(layout_of("tool-tray", "undercut.depth=0.32", "undercut.land=1"))["paring-block-tails-leaning"]
    assert "works" in failing(replace(leaning, solid=deeper.solid))
    assert "works" in failing(replace(leaning, solid=aids["paring-block-tails"].solid))


@pytest.mark.usefixtures("unlettered")
def test_the_block_of_the_other_hand_is_caught() -> None:
    aids = made(layout_of("tool-tray", "tail_board.thickness=12"))
    swapped = first_use(aids["paring-block-tails"], 0, 0, 0, solid=aids["paring-block-pins"].solid)
    assert {"meets", "bears"} & failing(swapped)


# --- refusals ------------------------------------------------------------------------------------


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text)]


def test_a_board_wider_than_the_bed_is_refused_with_the_size_that_is_needed() -> None:
    layout = layout_of("blanket-chest")
    for name, refusal in refused(layout).items():
        need = numbers(refusal.remedy)
        assert need[0] == 450 + 6 + 10
        assert name in made(layout, replace(PRINTING, bed=(need[0], need[1])))
        assert name in refused(layout, replace(PRINTING, bed=(need[0] - 1, need[1])))


def test_a_board_too_thin_for_a_fence_is_refused_with_the_thickness_that_works() -> None:
    refusal = refused(layout_of("tool-tray", "tail_board.thickness=1.5"))["paring-block-tails"]
    (thick,) = numbers(refusal.remedy)
    assert "paring-block-tails" in made(layout_of("tool-tray", f"tail_board.thickness={thick}"))


def test_a_board_too_short_for_the_pads_is_refused_with_the_length_that_works() -> None:
    refusal = refused(layout_of("tool-tray", "pin_board.length=40"))["paring-block-pins"]
    (length,) = numbers(refusal.remedy)
    assert "paring-block-pins" in made(layout_of("tool-tray", f"pin_board.length={length}"))


def test_a_half_pin_too_thin_for_a_hook_is_refused_with_the_width_that_works() -> None:
    thin = "joint.allow_thin_half_pin=true"
    refusal = refused(layout_of("tool-tray", "joint.half_pin=0.8", thin))["paring-block-tails"]
    (width,) = numbers(refusal.remedy)
    assert "paring-block-tails" in made(layout_of("tool-tray", f"joint.half_pin={width}", thin))


def test_too_steep_a_lean_is_refused_with_the_depth_that_works() -> None:
    layout = layout_of("tool-tray", "undercut.depth=1", "undercut.land=3.5")
    refusal = refused(layout)["paring-block-tails-leaning"]
    assert list(made(layout))[:2] == PLAIN
    depth = numbers(refusal.remedy)[-1]
    shallower = layout_of("tool-tray", f"undercut.depth={depth}", "undercut.land=3.5")
    assert "paring-block-tails-leaning" in made(shallower)
    deeper = layout_of("tool-tray", f"undercut.depth={depth + 0.02}", "undercut.land=3.5")
    assert "paring-block-tails-leaning" in refused(deeper)


# --- what is said --------------------------------------------------------------------------------


def test_the_words_are_short_and_say_when_and_how() -> None:
    topics = {caution.topic for caution in CAUTIONS}
    aids = made(layout_of("tool-tray", *HOLLOW))
    for aid in aids.values():
        assert 3 <= len(re.findall(r"[.](?: |$)", said(aid.how_to))) <= 6
        assert "15 x 18 mm" in said(aid.how_to)
        assert set(aid.cautions) <= topics
    assert "before you saw off the waste at the two edges" in said(aids["paring-block-tails"].how_to)
    assert [aid.engraved for aid in aids.values()] == [
        "tails, 12.5",
        "pins, 10.5",
        "tails, 4.3 deg",
        "pins, 3.4 deg",
    ]
    assert made(layout_of("tea-box"))["paring-block-tails"].engraved == "tails, 13/32 in"
