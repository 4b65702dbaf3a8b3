"""How boards lie in the machine: by hand for a corner and two boxes, against the solids for every preset and case."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from solids.base.geometry import Frame, Point, cross, dot
from solids.layout.setups import MachineBoard, Setup, end_name, machine_boards
from solids.model.kernel import bounds
from solids.model.kernel.shaping import placed
from solids.recipe.text.texts import box_preset_names
from solids.write.files.table import Job
from tests.boxes import CASES as BOXES
from tests.boxes import box_case, box_of, job_of_box
from tests.corners import CASES, PRESETS, layout_of, piece_of

CORNER_JOBS = {**{name: (name,) for name in PRESETS}, **CASES}
BOX_JOBS = {**{name: (name,) for name in box_preset_names()}, **BOXES}
EVERY = [*(("corner", name) for name in CORNER_JOBS), *(("box", name) for name in BOX_JOBS)]

each_piece = pytest.mark.parametrize(("piece", "name"), EVERY)


def job_named(piece: str, name: str) -> Job:
    if piece == "corner":
        return piece_of(*CORNER_JOBS[name])
    return box_case(name) if name in BOXES else job_of_box(*BOX_JOBS[name])


def corner_boards(*asked: str) -> dict[str, MachineBoard]:
    return machine_boards(layout_of(*asked))


def box_boards(*asked: str) -> dict[str, MachineBoard]:
    return machine_boards(box_of(*asked))


def setups_of(boards: dict[str, MachineBoard]) -> Iterator[tuple[MachineBoard, Setup]]:
    return ((board, setup) for board in boards.values() for setup in board.setups)


def is_proper(frame: Frame) -> bool:
    """Three unit axes, square to one another, that are a right hand and no left one."""
    x, y, z = frame.axes
    square = [dot(a, b) for a, b in ((x, y), (y, z), (z, x))]
    return (
        square == pytest.approx([0.0] * 3)
        and [dot(a, a) for a in (x, y, z)] == pytest.approx([1.0] * 3)
        and cross(x, y) == pytest.approx(z)
    )


def assert_moves(setup: Setup, moves: dict[Point, Point]) -> None:
    for before, after in moves.items():
        assert setup.to_machine.apply(before) == pytest.approx(after), before


# --- a joint alone, by hand ----------------------------------------------------------------------


def test_a_tail_board_lies_on_its_show_face_with_its_raw_end_to_the_left() -> None:
    """The tool tray: 96 wide, 10 thick, tails of 12 + 0.5 beyond the baseline. In the joint's frame the raw end is at
    Y = 12.5, the reference edge at X = 0, the inside face at Z = 0 and the show face at Z = 10."""
    layout = layout_of("tool-tray")
    (flat,) = corner_boards("tool-tray")["tail board"].setups
    long = layout.recipe.tail_board.length
    assert_moves(
        flat,
        {
            (0, 12.5, 0): (0, 0, 0),
            (0, 0, 0): (12.5, 0, 0),
            (96, 12.5, 0): (0, -96, 0),
            (0, 12.5, 10): (0, 0, -10),
            (0, -long, 0): (12.5 + long, 0, 0),
        },
    )
    assert (flat.name, flat.is_flat, flat.x, flat.y, flat.height) == ("flat", True, (0, long + 12.5), (-96, 0), 10)
    (joint,) = flat.joints
    assert (joint.kind, joint.side, joint.corner) == ("tail board", "left", "")
    assert joint.seen((6.0, 0.0)) == pytest.approx((12.5, -6.0)), "the foot of the half pin, from above"


def test_a_pin_board_stands_with_its_raw_end_up_and_its_inside_face_toward_you() -> None:
    """The tool tray's pin board is 12 thick; its raw end is at Z = 10.5, its inside face at Y = 0."""
    layout = layout_of("tool-tray")
    (end,) = corner_boards("tool-tray")["pin board"].setups
    long = layout.recipe.pin_board.length
    assert_moves(
        end,
        {
            (0, 0, 10.5): (0, 0, 0),
            (96, 12, 10.5): (96, 12, 0),
            (0, 0, 0): (0, 0, -10.5),
            (0, 0, -long): (0, 0, -10.5 - long),
        },
    )
    assert (end.name, end.is_flat, end.x, end.y, end.height) == ("end", False, (0, 96), (0, 12), long + 10.5)
    assert [(joint.kind, joint.side) for joint in end.joints] == [("pin board", "left")]


def test_both_boards_of_a_joint_alone_have_no_groove() -> None:
    assert [setup.grooves for _, setup in setups_of(corner_boards("drawer-front"))] == [(), ()]


# --- a box, by hand ------------------------------------------------------------------------------


def test_the_front_of_the_keepsake_box_by_hand() -> None:
    """240 by 160 by 80 outside, front 12 thick, sides of 10 that carry the tails; ends stand 0.5 proud as cut, so that
    the front runs from X = -0.5 to 240.5. It carries the pins of both corners. Its inside face is Y = 12."""
    left, right, flat = sorted(box_boards("keepsake-box")["front"].setups, key=lambda setup: "lrf".index(setup.name[0]))
    # Seen from the inside, what is left in the finished box is on the right. With the left end up, the board's lower
    # edge is to the right then.
    assert_moves(
        left,
        {(-0.5, 12, 0): (0, 0, 0), (-0.5, 12, 80): (-80, 0, 0), (-0.5, 0, 0): (0, 12, 0), (240.5, 12, 0): (0, 0, -241)},
    )
    assert (left.name, left.x, left.y, left.height) == ("left end", (-80, 0), (0, 12), 241)
    assert_moves(
        right,
        {
            (240.5, 12, 0): (0, 0, 0),
            (240.5, 12, 80): (80, 0, 0),
            (240.5, 0, 0): (0, 12, 0),
            (-0.5, 12, 0): (0, 0, -241),
        },
    )
    assert (right.name, right.x, right.y, right.height) == ("right end", (0, 80), (0, 12), 241)
    assert [(setup.joints[0].side, setup.joints[0].corner) for setup in (left, right)] == [
        ("right", "front left"),
        ("left", "front right"),
    ]
    assert_moves(
        flat,
        {(-0.5, 12, 0): (0, 0, 0), (240.5, 12, 0): (241, 0, 0), (-0.5, 12, 80): (0, -80, 0), (-0.5, 0, 0): (0, 0, -12)},
    )
    assert (flat.x, flat.y, flat.height, flat.joints) == ((0, 241), (-80, 0), 12, ())


def test_the_left_side_of_the_keepsake_box_by_hand() -> None:
    """It runs from Y = -0.5 to 160.5, its inside face is X = 10. Inside face up and reference edge away, its front end
    is to the right."""
    (flat,) = box_boards("keepsake-box")["left"].setups
    assert_moves(
        flat,
        {
            (10, 160.5, 0): (0, 0, 0),
            (10, -0.5, 0): (161, 0, 0),
            (10, 160.5, 80): (0, -80, 0),
            (0, 160.5, 0): (0, 0, -10),
        },
    )
    assert (flat.x, flat.y, flat.height) == ((0, 161), (-80, 0), 10)
    assert [(joint.kind, joint.side, joint.corner) for joint in flat.joints] == [
        ("tail board", "left", "back left"),
        ("tail board", "right", "front left"),
    ]
    for joint, baseline in zip(flat.joints, (12.5, 148.5), strict=True):
        assert joint.seen((0.0, 0.0))[0] == joint.seen((80.0, 0.0))[0] == pytest.approx(baseline)
        edge = 80.0 if joint.layout.mirrored else 0.0
        assert joint.seen((edge, 0.0))[1] == pytest.approx(0.0), "where the reference edge of the joint is"


def test_the_grooves_of_the_keepsake_box_by_hand() -> None:
    """10 to 15 above the reference edge, 4 deep. It is hidden: in a side it stops 4 past the baseline, which is 12.5
    from the raw end, and in the front it runs from baseline to baseline, 10.5 from each end, into a socket."""
    boards = box_boards("keepsake-box")
    (side,) = [groove for setup in boards["left"].setups for groove in setup.grooves]
    (front,) = [groove for setup in boards["front"].setups for groove in setup.grooves]
    assert (side.x, side.y, side.depth, side.stops) == (pytest.approx((8.5, 152.5)), (-15, -10), 4, (True, True))
    assert (front.x, front.y, front.depth, front.stops) == (pytest.approx((10.5, 230.5)), (-15, -10), 4, (False, False))


def test_a_groove_stops_only_where_it_would_show() -> None:
    ((through,),) = [setup.grooves for setup in box_boards("keepsake-box", "box.groove.ends=through")["left"].setups]
    assert through is not None
    assert (through.x, through.stops) == (pytest.approx((0, 161)), (False, False))
    ((odd,),) = [setup.grooves for setup in box_boards("odd")["left"].setups]
    assert odd is not None
    # The left side of the odd box meets a lap in front, where its groove runs out unseen. At the back it stops 4.5 past
    # the baseline, which is 11 + 0.4 from the raw end. From end to end it has 11.4 + 171 + (17 - 5) mm.
    assert (odd.x, odd.stops) == (pytest.approx((11.4 - 4.5, 194.4)), (True, False))


def test_a_back_that_stands_on_the_bottom_has_its_zero_at_its_own_lower_edge() -> None:
    """The desk drawer's back begins 16 above the sides' lower edge, is 94 wide and has no groove; its sides are 110."""
    boards = box_boards("desk-drawer")
    right_hand, left_hand = sorted(boards["back"].setups, key=lambda setup: setup.x[0])
    assert [setup.name for setup in (right_hand, left_hand)] == ["right end", "left end"]
    assert (right_hand.x, left_hand.x) == ((-94, 0), (0, 94))
    # It is 12 thick and its outside is Y = 452: Y = 440 is its inside face.
    assert_moves(left_hand, {(-0.5, 440, 16): (0, 0, 0), (-0.5, 440, 110): (94, 0, 0), (-0.5, 452, 16): (0, 12, 0)})
    assert_moves(right_hand, {(380.5, 440, 16): (0, 0, 0), (380.5, 440, 110): (-94, 0, 0)})
    (flat,) = boards["left"].setups
    assert flat.y == (-110, 0)
    back = next(joint for joint in flat.joints if joint.corner == "back left")
    assert back.seen((0.0, 0.0))[1] == pytest.approx(-16.0), "the joint begins 16 from the reference edge"


def test_the_bottom_of_a_box_lies_good_face_up_with_its_back_edge_away_from_you() -> None:
    """Its upper face is the one that is seen, and its back edge that of the greatest Y. Left stays left."""
    found = box_of("desk-drawer")
    panel = found.panel
    assert panel is not None
    board = box_boards("desk-drawer")["bottom"]
    (flat,) = board.setups
    assert board.lies is flat
    (x0, x1), (y0, y1), (z0, z1) = panel.x, panel.y, panel.z
    assert (flat.x, flat.y, flat.height) == ((0, x1 - x0), (y0 - y1, 0), z1 - z0)
    assert_moves(flat, {(x0, y1, z1): (0, 0, 0), (x1, y1, z1): (x1 - x0, 0, 0), (x0, y0, z0): (0, y0 - y1, z0 - z1)})


def test_ends_are_named_for_what_they_meet() -> None:
    assert end_name("front", "front left") == "left end"
    assert end_name("left", "back left") == "back end"


# --- every piece, against its solids -------------------------------------------------------------


@each_piece
def test_every_setup_is_a_turn_and_a_shift_and_no_mirror_image(piece: str, name: str) -> None:
    job = job_named(piece, name)
    assert list(job.boards) == [part.name for part in job.proof.cut if "plug" not in part.name]
    for _, setup in setups_of(job.boards):
        assert is_proper(setup.to_machine)
        assert all(is_proper(joint.to_machine) for joint in setup.joints)


def test_a_mirror_image_would_be_found_out() -> None:
    assert not is_proper(Frame((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, -1, 0)))


@each_piece
def test_the_model_of_each_board_lies_where_each_setup_says(piece: str, name: str) -> None:
    """As the kernel finds its bounds: X and Y as told, the highest point at Z = 0, and the height below it."""
    job = job_named(piece, name)
    parts = {part.name: part for part in job.proof.cut}
    for board, setup in setups_of(job.boards):
        part = parts[board.name]
        low, high = bounds(placed(part.solid, part.rows.then(setup.to_machine)))
        assert (low[0], high[0]) == pytest.approx(setup.x, abs=1e-6), (board.name, setup.name)
        assert (low[1], high[1]) == pytest.approx(setup.y, abs=1e-6), (board.name, setup.name)
        assert (low[2], high[2]) == pytest.approx((-setup.height, 0.0), abs=1e-6), (board.name, setup.name)


@each_piece
def test_every_joint_of_a_piece_is_cut_once_on_each_of_its_boards(piece: str, name: str) -> None:
    job = job_named(piece, name)
    cut = [(joint.kind, joint.corner) for _, setup in setups_of(job.boards) for joint in setup.joints]
    corners = list(job.proof.box.corners) if piece == "box" else [""]
    assert sorted(cut) == sorted((kind, corner) for kind in ("pin board", "tail board") for corner in corners)


@each_piece
def test_setups_of_one_board_lie_in_quarters_of_their_own_round_one_zero(piece: str, name: str) -> None:
    for board in job_named(piece, name).boards.values():
        quarters = []
        for setup in board.setups:
            assert 0.0 in setup.x
            assert 0.0 in setup.y
            quarters.append((setup.x[0] < 0, setup.y[0] < 0))
        assert len(set(quarters)) == len(quarters)
