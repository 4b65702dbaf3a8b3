"""The drawings of a joint: true proportion, both boards, every kind of joint."""

from __future__ import annotations

from typing import Any

import pytest

from solids.app.desk.piece.drawings import end_view, face_view
from solids.layout import Layout
from solids.layout.joint.volumes import tail_area
from solids.recipe import preset_text
from tests.app.desk.piece.moves import EVEN, KINDS, page

Points = list[list[float]]


def layout_of(text: str) -> Layout:
    plan = page(text)[0].plan
    assert isinstance(plan, Layout)
    return plan


def woods(drawing: dict[str, Any], board: str) -> list[Points]:
    return [shape["points"] for shape in drawing["shapes"] if shape["kind"] == "wood" and shape["words"] == board]


def area(points: Points) -> float:
    """By the shoelace formula."""
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in pairs)) / 2


def test_the_face_by_hand() -> None:
    face = face_view(layout_of(EVEN)).as_json()
    assert (face["width"], face["height"]) == (96, 18 + 12)
    (tails,) = woods(face, "tail board")
    # 96 x 18 behind the baseline, and four tails of 18.75 that lose 12 x 12/7 each.
    assert area(tails) == pytest.approx(96 * 18 + 4 * (12 * 18.75 - 12 * 12 / 7), abs=0.01)
    pins = woods(face, "pin board")
    # Three pins and two half pins fill the rest of 96 x 12.
    assert len(pins) == 5
    assert sum(map(area, pins)) == pytest.approx(96 * 12 - 4 * (12 * 18.75 - 12 * 12 / 7), abs=0.01)
    words = {shape["words"] for shape in face["shapes"]}
    assert {"baseline", "reference edge", "96 mm", "1", "4"} <= words


def test_the_end_by_hand() -> None:
    end = end_view(layout_of(EVEN)).as_json()
    assert (end["width"], end["height"]) == (96, 10 + 15)
    tails = woods(end, "tail board")
    assert [tail[0][0] for tail in tails] == [6, 27.75, 49.5, 71.25]
    assert [min(y for _, y in tail) for tail in tails] == [0] * 4, "the show face is below"
    (pins,) = woods(end, "pin board")
    assert area(pins) == pytest.approx(96 * 25 - 4 * 18.75 * 10)


@pytest.mark.parametrize("name", KINDS)
def test_every_joint_lies_inside_its_drawings(name: str) -> None:
    layout = layout_of(KINDS[name])
    for view in (face_view(layout), end_view(layout)):
        drawing = view.as_json()
        points = [point for shape in drawing["shapes"] for point in shape["points"]]
        assert all(-1e-6 <= x <= drawing["width"] + 1e-6 for x, _ in points)
        assert all(-1e-6 <= y <= drawing["height"] + 1e-6 for _, y in points)
        assert all(len(shape["points"]) > 2 for shape in drawing["shapes"] if shape["closed"])


@pytest.mark.parametrize("name", [name for name in KINDS if name != "mitred"])
def test_the_tails_have_the_areas_of_the_layout(name: str) -> None:
    layout = layout_of(KINDS[name])
    view = face_view(layout)
    (outline,) = woods(view.as_json(), "tail board")
    tails = sum(tail_area(layout, tail, layout.as_finished.tail_end) for tail in layout.tails)
    assert area(outline) == pytest.approx(layout.width * view.origin[1] + tails, abs=0.02)


def test_a_mitred_strip_is_the_tail_boards_on_the_face_and_the_pin_boards_on_the_end() -> None:
    layout = layout_of(KINDS["mitred"])
    (outline,) = woods(face_view(layout).as_json(), "tail board")
    high = face_view(layout).height
    assert [88, high] in outline, "it runs to the outside corner"
    assert [96, high] in outline
    (pins,) = woods(end_view(layout).as_json(), "pin board")
    assert [96, 0] in pins
    assert [88, 0] in pins
    tails = woods(end_view(layout).as_json(), "tail board")
    assert {round(max(y for _, y in tail), 6) for tail in tails} == {8}, "10 less the rebate of 2"


def test_a_lap_hides_the_sockets() -> None:
    layout = layout_of(KINDS["half-blind"])
    end = end_view(layout).as_json()
    assert woods(end, "tail board") == []
    assert sum(shape["kind"] == "hidden" for shape in end["shapes"]) == len(layout.tails)
    (lap,) = woods(face_view(layout).as_json(), "pin board")
    tails = sum(tail_area(layout, tail, layout.depth) for tail in layout.tails)
    assert area(lap) == pytest.approx(96 * 12 - tails, abs=0.02)


def test_the_boards_of_a_drawer_run_on_below_its_back() -> None:
    _, state = page(preset_text("desk-drawer"))
    left = next(joint for joint in state["joints"] if joint["title"] == "back left")
    edge = next(shape for shape in left["drawings"]["face"]["shapes"] if shape["words"] == "reference edge")
    assert edge["points"][0][0] == 0
    assert left["drawings"]["face"]["width"] == 110
    right = next(joint for joint in state["joints"] if joint["title"] == "back right")
    edge = next(shape for shape in right["drawings"]["face"]["shapes"] if shape["words"] == "reference edge")
    assert edge["points"][0][0] == 110, "mirrored"
