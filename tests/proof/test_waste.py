"""A plain board less its waste is the board as cut; what departs from that by a thousandth of a millimetre is found."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given

from solids.base.errors import FaultError
from solids.base.geometry import PlanePoint, Slab
from solids.layout.assembly import assembly_of
from solids.layout.boards import boards_of
from solids.model.kernel import Solid, bounds, moved, volume_of
from solids.model.kernel.shaping import prism
from solids.model.waste import SawnBoard
from solids.proof.waste import check_waste, proved_waste
from solids.recipe.tables.box_resolved import SIDES
from solids.write.files.table import Job
from tests.boxes import CASES as BOXES
from tests.boxes import box_case
from tests.corners import CASES, case, piece_of
from tests.layout.lopsided import LOPSIDED, lopsided
from tests.model.by_slices import board_volume
from tests.properties import PROPERTIES, a_plain_board_less_its_waste_is_the_board, examples
from tests.sampling import few

PIECES: dict[str, Callable[[], Job]] = {
    **{f"corner, {name}": lambda name=name: case(name).job for name in CASES},  # type: ignore[misc]
    **{f"box, {name}": lambda name=name: box_case(name) for name in BOXES},  # type: ignore[misc]
    **{f"lopsided, {name}": lambda name=name: lopsided(name) for name in LOPSIDED},  # type: ignore[misc]
}


def sawn(job: Job) -> tuple[SawnBoard, ...]:
    return proved_waste(job.proof.assembly, job.proof.cut)


def wasted(board: SawnBoard) -> float:
    return math.fsum(volume_of(part.solid) for part in board.waste)


@examples(15)
@given(PROPERTIES["waste"][0])
@pytest.mark.whole
def test_of_any_piece(raw: str | dict[str, object]) -> None:
    a_plain_board_less_its_waste_is_the_board(raw)


@pytest.mark.parametrize("name", few(PIECES, 12))
def test_a_blank_is_the_board_as_it_is_sawn_to_size(name: str) -> None:
    job = PIECES[name]()
    sizes = {row.name: row.saw_to for row in boards_of(job.proof.assembly.plan)}
    for board in sawn(job):
        # Length, width and thickness lie along other axes in a tail board than in a pin board.
        assert sorted(board.blank.size) == pytest.approx(sorted(sizes[board.name]), rel=1e-12)


@pytest.mark.parametrize("name", few(LOPSIDED, 3))
def test_the_waste_is_what_slices_of_the_board_lack(name: str) -> None:
    """Slices read nothing of the layout's volumes, nor of any solid."""
    job = lopsided(name)
    assert [board.name for board in sawn(job)] == list(SIDES)
    for board, side in zip(sawn(job), SIDES, strict=True):
        lacks = board.blank.volume - board_volume(job.proof.box, side, finished=False)
        assert wasted(board) == pytest.approx(lacks, rel=1e-9)


def test_what_a_plain_corner_loses_by_hand() -> None:
    """The tool tray: from the baseline to Y = D a tail covers D w - (2 d D - D^2)/N, a socket d w - d^2/N."""
    layout = piece_of("tool-tray").joints[0].layout
    width, thick = layout.width, layout.recipe.tail_board.thickness
    d, end, n = layout.depth, layout.as_cut.tail_end, layout.flanks[0].ratio
    tails = sum(end * tail.width - (2 * d * end - end**2) / n for tail in layout.tails)
    sockets = sum(d * tail.width - d**2 / n for tail in layout.tails)
    tail_board, pin_board = sawn(piece_of("tool-tray"))
    assert wasted(tail_board) == pytest.approx(thick * (end * width - tails), rel=1e-9)
    assert wasted(pin_board) == pytest.approx(layout.as_cut.pin_end * sockets, rel=1e-9)


# --- names -------------------------------------------------------------------------------------------


def test_the_cuts_of_a_corner_are_named_from_the_reference_edge() -> None:
    tail_board, pin_board = sawn(piece_of("tool-tray", "joint.tails=3"))
    assert [part.name for part in tail_board.waste] == [f"tail board, socket {n}" for n in (1, 2, 3, 4)]
    assert [part.name for part in pin_board.waste] == [f"pin board, socket for tail {n}" for n in (1, 2, 3)]
    for board in (tail_board, pin_board):
        lows = [bounds(part.solid)[0][0] for part in board.waste]
        assert lows == sorted(lows)


@pytest.mark.parametrize("name", ["odd", "drawer"])
@pytest.mark.whole
def test_in_a_box_every_name_has_board_and_end_and_is_the_only_one(name: str) -> None:
    """The place of a body in the box says the same as its name: its end, and its number from the lower edge."""
    job = box_case(name)
    (x0, x1), (y0, y1) = job.proof.box.inside
    middle = {"left": (0, x0 + x1, -1), "right": (0, x0 + x1, 1), "front": (1, y0 + y1, -1), "back": (1, y0 + y1, 1)}
    heights: dict[str, list[float]] = {}
    for board in sawn(job):
        for part in board.waste:
            low, high = bounds(part.in_place)
            side, _, cut = part.name.partition(", ")
            assert side == board.name
            if cut == "groove":
                assert low[2] == pytest.approx(job.proof.box.recipe.groove.up, abs=1e-9)
                continue
            end, _, number = cut.partition(" end, ")
            axis, twice, way = middle[end]
            assert way * (low[axis] + high[axis] - twice) > 0
            heights.setdefault(f"{side}, {end}, {number.rpartition(' ')[0]}", []).append(low[2] + high[2])
    assert len(heights) == 8, "two ends of four boards"
    assert all(found == sorted(found) for found in heights.values()), "counted from the lower edge"
    names = [part.name for board in sawn(job) for part in board.waste]
    assert len(set(names)) == len(names)


def test_boards_that_are_alike_share_their_waste() -> None:
    front, right, back, left = sawn(box_case("keepsake"))
    for one, other in ((front, back), (right, left)):
        assert [part.solid for part in one.waste] == [part.solid for part in other.waste]
        assert not {part.name for part in one.waste} & {part.name for part in other.waste}


# --- what is wrong is found --------------------------------------------------------------------------


def tool_tray() -> tuple[SawnBoard, Solid, float]:
    """The tail board of the tool tray."""
    job = piece_of("tool-tray")
    board, _ = sawn(job)
    return board, job.proof.cut[0].solid, assembly_of(job.joints[0].layout).volume("tail board", finished=False)


def with_body(board: SawnBoard, index: int, solid: Solid) -> SawnBoard:
    parts = list(board.waste)
    parts[index] = replace(parts[index], solid=solid)
    return replace(board, waste=tuple(parts))


def test_as_it_is_it_passes() -> None:
    check_waste(*tool_tray())


def test_a_cut_left_out_is_found() -> None:
    board, as_cut, formula = tool_tray()
    with pytest.raises(FaultError, match="tail board \\(its solid\\) and its waste are -"):
        check_waste(replace(board, waste=board.waste[1:]), as_cut, formula)


def test_a_board_that_is_not_its_formula_is_found() -> None:
    board, as_cut, formula = tool_tray()
    with pytest.raises(FaultError, match="its formula"):
        check_waste(board, as_cut, formula * (1 + 1e-7))


@pytest.mark.parametrize("by", [0.001, -0.001])
def test_a_body_out_of_its_place_shares_wood_with_the_board(by: float) -> None:
    board, as_cut, formula = tool_tray()
    shifted = with_body(board, 2, moved(board.waste[2].solid, (by, 0.0, 0.0)))
    with pytest.raises(FaultError, match="tail board, socket 3 and tail board share 0"):
        check_waste(shifted, as_cut, formula)


def test_a_body_that_reaches_out_of_the_sawn_board_is_found() -> None:
    board, as_cut, formula = tool_tray()
    shifted = with_body(board, 2, moved(board.waste[2].solid, (0.0, 0.001, 0.0)))
    with pytest.raises(FaultError, match="socket 3 reaches out of the sawn board"):
        check_waste(shifted, as_cut, formula)


def cube_of_ten(*outlines: list[PlanePoint]) -> SawnBoard:
    """A sawn board of 10 mm each way whose waste are prisms from face to face."""
    board, _, _ = tool_tray()
    parts = [replace(part, solid=prism(line, 0.0, 10.0)) for part, line in zip(board.waste, outlines, strict=False)]
    return replace(board, blank=Slab((0.0, 10.0), (0.0, 10.0), (0.0, 10.0)), waste=tuple(parts))


def strip(low: float, high: float) -> list[PlanePoint]:
    return [(low, 0.0), (high, 0.0), (high, 10.0), (low, 10.0)]


def test_wood_that_is_taken_twice_is_found() -> None:
    """As much as is missing elsewhere, so that no volume tells."""
    with pytest.raises(FaultError, match="socket 1 and tail board, socket 2 share 100"):
        check_waste(cube_of_ten(strip(0, 2), strip(1, 3)), prism(strip(4, 10), 0.0, 10.0), 600.0)


def test_a_body_that_crosses_itself_is_found() -> None:
    """Of the right volume, in its place: one lobe of its outline counts as a hole."""
    crossed: list[PlanePoint] = [(0, 0), (5.1, 0), (5.1, 10), (0, 10), (1, 1), (1, 9)]
    with pytest.raises(FaultError, match="socket 1 is no valid closed solid"):
        check_waste(cube_of_ten(crossed), prism(strip(5, 10), 0.0, 10.0), 500.0)
