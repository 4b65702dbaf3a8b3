"""Sketches of boards: which end is which, where the lines lie, and that all of it keeps to its place."""

from __future__ import annotations

import pytest

from solids.base.geometry import PlanePoint
from solids.write.drafting.boards import HEAD, RIGHT, SketchedBoard, scale_of, sketch, sketched
from solids.write.drafting.dimensions import drawn
from solids.write.drafting.sheet import Label, Stroke
from tests.boxes import box_case
from tests.corners import layout_of
from tests.drawers import drawer
from tests.sampling import few
from tests.write.drafting.flat import ODD, words_box

LOW, ROOM = (12.0, 20.0), (186.0, 90.0)

ENDS = {
    "front": ("front left", "front right"),
    "right": ("front right", "back right"),
    "back": ("back right", "back left"),
    "left": ("back left", "front left"),
}
"""The corners on the left and on the right of each board, seen from outside with its reference edge down."""


def board_of(name: str, *asked: str) -> SketchedBoard:
    (found,) = (board for board in sketched(layout_of(*asked)) if board.row.name == name)
    return found


def strokes(board: SketchedBoard, layer: str) -> list[tuple[PlanePoint, ...]]:
    items = sketch(board, "mm", LOW, ROOM)
    return [item.points for item in items if isinstance(item, Stroke) and item.layer == layer]


def test_each_board_of_a_box_is_seen_from_outside() -> None:
    """The odd box has four corners that differ."""
    box = box_case("odd").proof.box
    boards = {board.row.name: board for board in sketched(box)}
    assert list(boards) == ["front", "right", "back", "left", *(["bottom"] if box.panel else [])]
    for side, corners in ENDS.items():
        for end, corner in zip((boards[side].left, boards[side].right), corners, strict=True):
            assert end is not None
            assert end.layout.recipe == box.corners[corner].layout.recipe  # type: ignore[index]
            assert end.kind == box.kind_of(side)  # type: ignore[arg-type]


def test_a_tail_board_by_hand() -> None:
    """The tray's tail board, 132.5 x 96 mm, in a place that takes it at 1:1: tails 18.75 wide at the finished face from
    6 mm on, wider by 0.5/7 at both sides of the raw end, narrower by 12/7 at the baseline, 12.5 from the end."""
    board = board_of("tail board", "tool-tray")
    room = (RIGHT + 132.5, 96.0 + HEAD + 14.5)
    assert scale_of(board, room) == pytest.approx(1.0)
    items = sketch(board, "mm", (0.0, 0.0), room)
    edges = [item.points for item in items if isinstance(item, Stroke) and item.layer == "kept edges"]
    first = min(edges, key=lambda points: points[0][1] if len(points) == 2 else 1e9)
    assert first == (pytest.approx((0.0, 14.5 + 6 - 0.5 / 7)), pytest.approx((12.5, 14.5 + 6 + 12 / 7)))
    numbers = [item.text for item in items if isinstance(item, Label) and item.text.isdigit()]
    assert numbers == ["1", "2", "3", "4"]


def test_a_groove_is_drawn_where_it_runs_and_above_the_reference_edge() -> None:
    """Keepsake box: 10 mm up and 5 wide; in the front it ends in the sockets, whose floors are 10.5 mm from the ends,
    in the sides it stops 4 mm past baselines 12.5 mm from the ends."""
    box = box_case("keepsake").proof.box
    boards = {board.row.name: board for board in sketched(box)}
    for side, gap in (("front", 10.5), ("left", 12.5 - 4.0)):
        board, scale = boards[side], scale_of(boards[side], ROOM)
        xs, ys = zip(*(point for points in strokes(board, "groove") for point in points), strict=True)
        outline = [point for points in strokes(board, "visible edges") for point in points]
        left, foot = (min(point[axis] for point in outline) for axis in (0, 1))
        assert min(xs) - left == pytest.approx(gap * scale)
        assert (min(ys) - foot, max(ys) - foot) == (pytest.approx(10 * scale), pytest.approx(15 * scale))
    assert strokes(boards["bottom"], "groove") == []


def test_a_lap_hides_the_sockets() -> None:
    assert strokes(board_of("pin board", "drawer-front"), "hidden edges")
    assert not strokes(board_of("pin board", "tool-tray"), "hidden edges")
    assert len(strokes(board_of("pin board", "tool-tray"), "waste")) == 2 * 4


def test_a_long_board_is_broken_off_and_a_short_one_is_not() -> None:
    assert strokes(board_of("tail board", "tool-tray", "tail_board.length=2000"), "break lines")
    assert not strokes(board_of("tail board", "tool-tray"), "break lines")


@pytest.mark.parametrize("name", few(ODD, 14))
@pytest.mark.parametrize("room", [ROOM, (89.0, 60.0)])
def test_a_sketch_keeps_to_its_place_and_no_words_lie_on_others(name: str, room: tuple[float, float]) -> None:
    layout = layout_of(*ODD[name])
    for board in sketched(layout):
        items = list(drawn(sketch(board, layout.recipe.units, LOW, room)))
        labels = [item for item in items if isinstance(item, Label)]
        shapes = [words_box(label) for label in labels]
        for shape in shapes:
            assert shape.bounds[0] >= LOW[0] - 3
            assert shape.bounds[1] >= LOW[1] - 0.5
            assert shape.bounds[3] <= LOW[1] + room[1] + 0.5
        clashes = [
            (labels[one].text, labels[other].text)
            for one in range(len(shapes))
            for other in range(one)
            if shapes[one].buffer(-0.15).intersects(shapes[other].buffer(-0.15))
        ]
        assert clashes == []


def test_a_front_with_a_lip_shows_where_it_begins_and_its_joints_behind_it() -> None:
    """9 wide at the left, 5 at the bottom: every socket lies within the rebate."""
    box = drawer("box.front.lip.width=9", "box.front.lip.bottom=5")
    (front,) = (board for board in sketched(box) if board.row.name == "front")
    room = (RIGHT + 417.0, 200.0)
    items = sketch(front, "mm", (0.0, 0.0), room)
    hidden = [item.points for item in items if isinstance(item, Stroke) and item.layer == "hidden edges"]
    scale = scale_of(front, room)
    rebate = max(hidden, key=lambda points: max(x for x, _ in points) - min(x for x, _ in points))
    left, right = min(x for x, _ in rebate), max(x for x, _ in rebate)
    low, high = min(y for _, y in rebate), max(y for _, y in rebate)
    assert (right - left) / scale == pytest.approx(399)
    assert (high - low) / scale == pytest.approx(box.recipe.height)
    sockets = [points for points in hidden if points != rebate]
    assert sockets
    assert all(left - 1e-9 <= x <= right + 1e-9 and low < y < high for points in sockets for x, y in points)
    assert "lip 8 mm thick" in " ".join(item.text for item in items if isinstance(item, Label))


def test_housings_of_a_front_with_a_lip_are_sketched_behind_it() -> None:
    """The sides are 11 thick, and the lip reaches 9 past them and 5 below: a divider 100 from the left one stands
    9 + 11 + 100 from the end of the front, and so far above its lower edge as it is up in the box, and 5."""
    overrides = ("box.front.lip.width=9", "box.front.lip.bottom=5", "box.divider=[{runs = 'across', at = 100}]")
    box = drawer(*overrides)
    (front,) = (board for board in sketched(box) if board.row.name == "front")
    (cut,) = front.cuts
    thick = box.inside[0][0]
    assert cut.x[0] == pytest.approx(9 + thick + 100)
    assert cut.y[0] == pytest.approx(5 + box.recipe.dividers[0].up)
    (back,) = (board for board in sketched(box) if board.row.name == "back")
    assert back.cuts[0].y[0] == pytest.approx(box.recipe.dividers[0].up - box.boards["back"].low)
