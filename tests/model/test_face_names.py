"""Every face of every part has a name that says where it lies: names are held against the other board, not against the
code that gives them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solids.layout import Layout
from solids.layout.joint.faces import PinBoardFaces, TailBoardFaces
from solids.layout.joint.shape.placing import place
from solids.model.box import box_parts
from solids.model.corner import corner_parts, make_corner
from solids.model.parts import Part
from tests.boxes import CASES as BOXES
from tests.boxes import box_of
from tests.corners import CASES, case, layout_of
from tests.named_faces import Plane, against, check_names, named_planes

FEATURED = {
    "chamfered, hollow": ("tool-tray", "entry_chamfer.width=1", "undercut.depth=0.3"),
    "half-blind, hollow": ("drawer-front", "entry_chamfer.width=1", "undercut.depth=0.3"),
    "proud, hollow": ("shoe-bench", "undercut.depth=0.3"),
    "the flattest hollow": ("carcase", "undercut.depth=0.01", "undercut.land=5"),
}


def boards_of(layout: Layout, *, finished: bool = False) -> tuple[Part, ...]:
    return corner_parts(make_corner(layout, layout.state(finished=finished)))


def only(planes: set[Plane]) -> Plane:
    (one,) = planes
    return one


@pytest.mark.parametrize("finished", [False, True])
@pytest.mark.parametrize("name", [*CASES, *FEATURED])
def test_every_face_of_a_corner_has_a_name_and_one_plane_for_each_name(name: str, finished: bool) -> None:
    for part in boards_of(layout_of(*(CASES | FEATURED)[name]), finished=finished):
        check_names(part)


@pytest.mark.parametrize("finished", [False, True])
@pytest.mark.parametrize("name", BOXES)
def test_every_face_of_a_box_has_a_name_and_one_plane_for_each_name(name: str, finished: bool) -> None:
    for part in box_parts(box_of(*BOXES[name]), finished=finished):
        check_names(part)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("name", ["through", "half-blind", "listed, no symmetry"])
def test_faces_that_meet_have_names_that_belong_together(name: str, mirrored: bool) -> None:
    """Flank on flank of one name, tail n in socket n, shoulder n on pin n; with no gap their planes are the same."""
    recipe = case(name).layout.recipe
    layout = replace(place(recipe, mirrored=mirrored), standing=case(name).layout.standing)
    tails, pins = map(named_planes, boards_of(layout))
    numbers = range(1, len(layout.tails) + 1)
    for number in numbers:
        for side in ("left", "right"):
            flank = f"flank {number} {side}"
            assert only(tails[flank]) == against(only(pins[flank]))
        assert only(pins[f"socket floor {number}"]) == against(only(tails["inside face"]))
    for number in range(1, len(layout.tails) + 2):
        assert only(tails[f"shoulder {number}"]) == against(only(pins["inside face"]))
    for edge in ("reference edge", "other edge"):
        assert only(tails[edge]) == only(pins[edge])
    assert only(tails["reference edge"]) == (((1.0, 0.0, 0.0), layout.width) if mirrored else ((-1.0, 0.0, 0.0), 0.0))
    ends = {f"end of tail {number}" for number in numbers} | {f"lap {number}" for number in numbers}
    assert ends & {*tails, *pins} == (ends if layout.is_half_blind else {end for end in ends if "tail" in end})


@pytest.mark.parametrize("mirrored", [False, True])
def test_counting_starts_at_the_reference_edge_and_left_is_toward_it(mirrored: bool) -> None:
    """Of tails and pins as the list of widths has them: 10, 24 and 15 mm, from the reference edge."""
    layout = place(layout_of("gauge-case", "joint.spacing=[10, 24, 15]", "joint.half_pin=13").recipe, mirrored=mirrored)
    tails, pins = TailBoardFaces(layout), PinBoardFaces(layout)
    edges = [13 + sum(widths) for widths in ((), (10,), (10, layout.recipe.pin), (34, layout.recipe.pin))]
    at = [layout.width - x for x in edges] if mirrored else edges
    toward = 1.0 if mirrored else -1.0
    y, z = layout.depth, layout.recipe.tail_board.thickness
    lean = (1 + 1 / layout.flanks[0].ratio ** 2) ** -0.5
    for x, flank, way in zip(at, ("1 left", "1 right", "2 left", "2 right"), (1, -1, 1, -1), strict=True):
        side = toward * way
        normal = (side * lean, -lean / layout.flanks[0].ratio, 0.0)
        assert tails(normal, (x, y, z / 2)) == f"flank {flank}"
        assert pins((-normal[0], -normal[1], 0.0), (x, y, z / 2)) == f"flank {flank}"
    middles = [layout.width - x for x in (5, 27, 60)] if mirrored else [5, 27, 60]
    up = (0.0, 0.0, 1.0)
    assert [pins(up, (x, y / 2, z)) for x in middles[:2]] == ["end of half pin 1", "end of pin 2"]
    assert tails((0.0, 1.0, 0.0), (middles[1], 0.0, z / 2)) == "shoulder 2"


@pytest.mark.parametrize("name", ["keepsake", "odd", "odd, tails on the ends", "drawer", "through groove"])
def test_in_a_box_faces_of_one_name_meet_at_their_corner(name: str) -> None:
    """The boards in their places: at each corner the flanks of one name lie on each other, whichever board they are on,
    every board's reference edge looks down, and the groove's walls meet all round."""
    box = box_of(*BOXES[name])
    parts = {part.name: named_planes(part, part.rows) for part in box_parts(box, finished=False)}
    for corner in box.corners:
        one, other = (planes for side, planes in parts.items() if side in corner.split())
        flanks = {face for face in one if face.startswith(f"{corner}, flank")}
        assert flanks == {face for face in other if face.startswith(f"{corner}, flank")}
        assert len(flanks) == 2 * len(box.corners[corner].layout.tails)
        for flank in flanks:
            assert only(one[flank]) == against(only(other[flank]))
    for side, board in box.boards.items():
        assert only(parts[side]["reference edge"]) == ((0.0, 0.0, -1.0), -board.low + 0.0)
        assert only(parts[side]["other edge"]) == ((0.0, 0.0, 1.0), box.recipe.height)
        if box.is_grooved(side):
            groove = box.recipe.groove
            assert only(parts[side]["lower groove wall"]) == ((0.0, 0.0, 1.0), groove.up)
            assert only(parts[side]["upper groove wall"]) == ((0.0, 0.0, -1.0), -groove.top)
            depth = only(parts[side]["groove floor"])[1] - only(parts[side]["inside face"])[1]
            assert depth == pytest.approx(-groove.depth, abs=1e-6)
    assert only(parts["bottom"]["underside"]) == ((0.0, 0.0, -1.0), -box.recipe.groove.up)
    assert only(parts["bottom"]["front edge"])[0] == (0.0, -1.0, 0.0)


def test_a_stopped_groove_has_an_end_at_each_corner_and_a_plug_fills_an_open_one() -> None:
    left = next(part for part in box_parts(box_of("keepsake-box"), finished=False) if part.name == "left")
    assert {name for name in named_planes(left) if "groove end" in name} == {
        "front left, groove end",
        "back left, groove end",
    }
    box = box_of("keepsake-box", "box.groove.ends=plugged", "finish.ends=proud", "finish.chamfer=0.3")
    plugs = [part for part in box_parts(box, finished=True) if part.name.startswith("plug")]
    assert len(plugs) == 4
    for plug in plugs:
        named = named_planes(plug, plug.rows)
        assert set(named) == {
            *("end", "inner end", "inside face", "on the groove floor"),
            "lower side",
            "upper side",
        } | {"chamfer"}
        assert only(named["lower side"]) == ((0.0, 0.0, -1.0), -box.recipe.groove.up)
        assert only(named["upper side"]) == ((0.0, 0.0, 1.0), box.recipe.groove.top)


def test_laps_as_deep_as_the_groove_are_no_groove_floors() -> None:
    """But for the lap of the socket that the groove runs into: the two are one face."""
    box = box_of("desk-drawer", "box.joints.front.lap=15", "box.groove.depth=5", "entry_chamfer.width=0")
    front = next(part for part in box_parts(box, finished=False) if part.name == "front")
    assert box.corners["front left"].layout.depth == box.recipe.groove.depth
    named = named_planes(front)
    assert {f"front left, lap {n}" for n in (2, 3)} <= set(named)
    check_names(front)
