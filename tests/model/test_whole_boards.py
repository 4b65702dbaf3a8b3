"""A board with both its ends, from the faces of two halves: against the kernel's own joining of both."""

from __future__ import annotations

import pytest

from solids.base.geometry import Point, Slab
from solids.layout.box.model import BoxBoard, BoxLayout
from solids.model.boards import pin_board_faces, tail_board_faces
from solids.model.boards.whole import end_to_end
from solids.model.box import block
from solids.model.kernel import Face, faces_of, is_valid, solid_from_faces, topology, volume_of
from solids.model.kernel.shaping import fuse
from tests.boxes import CASES, box_of


def faces_in(x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> list[Face]:
    return faces_of(block(Slab(x, y, z)))


def test_two_blocks_end_to_end_are_one_block() -> None:
    """By hand: 60 and 40 long, 20 wide and 10 thick, 12 edges and 6 faces, 100 x 20 x 10 = 20000 mm3."""
    found = end_to_end(faces_in((0, 20), (-60, 0), (0, 10)), faces_in((0, 20), (-100, -60), (0, 10)))
    assert found is not None
    whole = solid_from_faces(found)
    counts = topology(whole)
    assert (counts.faces, counts.edges, counts.vertices) == (6, 12, 8)
    assert volume_of(whole) == pytest.approx(20_000.0, rel=1e-14)


@pytest.mark.parametrize("off", [0.001, -0.001, 5.0])
def test_halves_that_do_not_meet_in_one_section_are_no_board(off: float) -> None:
    near = faces_in((0, 20), (-60, 0), (0, 10))
    assert end_to_end(near, faces_in((0, 20), (-100, -60 + off), (0, 10))) is None
    assert end_to_end(near, faces_in((0, 20 + off), (-100, -60), (0, 10))) is None


def test_two_tapers_that_meet_at_an_angle_are_no_board() -> None:
    """They share the section, and their upper faces do not run on across it."""
    low, high = block(Slab((0, 20), (-60, 0), (0, 10))), block(Slab((0, 20), (-120, -60), (0, 10)))

    def tapered(faces: list[Face], y: float) -> list[Face]:
        def at(point: Point) -> Point:
            return (point[0], point[1], 5.0) if (point[1], point[2]) == (y, 10.0) else point

        return [[[at(point) for point in loop] for loop in face] for face in faces]

    near, far = tapered(faces_of(low), 0.0), tapered(faces_of(high), -120.0)
    assert end_to_end(near, far) is None
    assert end_to_end(near, faces_of(high)) is None


def halves(box: BoxLayout, board: BoxBoard, *, finished: bool) -> tuple[list[Face], list[Face]]:
    make = tail_board_faces if board.kind == "tail board" else pin_board_faces
    near, far = (make(corner.turned, corner.layout.state(finished=finished)) for corner in (board.up, board.down))
    return near, [[[board.turned_round.apply(point) for point in loop] for loop in face] for face in far]


@pytest.mark.parametrize("finished", [False, True], ids=["as cut", "finished"])
@pytest.mark.parametrize("name", list(CASES))
def test_every_board_is_what_the_kernel_joins(name: str, finished: bool) -> None:
    as_the_kernel_joins(box_of(*CASES[name]), finished=finished)


@pytest.mark.parametrize("piece", ["fitted-drawer", "shelf-carcase", "tea-chest", "work-box", "work-box-tray"])
def test_so_is_every_board_of_a_whole_piece(piece: str) -> None:
    for finished in (False, True):
        as_the_kernel_joins(box_of(piece), finished=finished)


def as_the_kernel_joins(box: BoxLayout, *, finished: bool) -> None:
    for side, board in box.boards.items():
        near, far = halves(box, board, finished=finished)
        found = end_to_end(near, far)
        assert found is not None, side
        whole, joined = solid_from_faces(found), fuse([solid_from_faces(near), solid_from_faces(far)])
        assert is_valid(whole)
        assert topology(whole) == topology(joined), side
        assert volume_of(whole) == pytest.approx(volume_of(joined), rel=1e-12)
        # No corner is moved.
        assert {point for face in found for loop in face for point in loop} <= {
            point for face in (*near, *far) for loop in face for point in loop
        }
