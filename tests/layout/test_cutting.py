"""Cutting plans: one by hand, many against a search through everything and against the linear limit, and what is said
where a rack is too small."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.base.messages import said
from solids.layout.box.rows import CutListRow
from solids.layout.cutting import planning, solver
from solids.layout.cutting.first_fit import first_fit
from solids.layout.cutting.model import CuttingPlan, Part, Task
from solids.layout.cutting.placing import board_plans
from solids.layout.cutting.planning import cutting_plan, solved
from solids.wood import find_wood
from solids.wood.rack import Rack, RackBoard
from tests.cutting_lists import against_limit, against_search, faults_of, faults_on, small

CHERRY = find_wood("cherry")


def row(
    name: str, length: float, width: float, thickness: float, wood: str = "cherry", *, sheet: bool = False
) -> CutListRow:
    """A row with 10, 4 and 3 mm for sawing and planing in its rough sizes."""
    saw_to = (length - 10.0, width - 4.0, thickness - 3.0)
    return CutListRow(name, (length, width, thickness), saw_to, saw_to, wood, "along its length", "", sheet)


BOX = tuple(
    row(name, length, 94.0, 15.0)
    for name, length in zip(("front", "right", "back", "left"), [311.0, 211.0] * 2, strict=True)
)
BOTTOM = row("bottom", 290.0, 190.0, 9.0)


def rack(*boards: RackBoard, grain: str = "round", kerf: float = 3.0) -> Rack:
    return Rack(boards, kerf, grain)  # type: ignore[arg-type]


def board(length: float, width: float, thickness: float = 25.0, **more: object) -> RackBoard:
    return RackBoard(length, width, thickness, CHERRY, **more)  # type: ignore[arg-type]


def placed(plan: CuttingPlan) -> dict[str, tuple[tuple[float, float], tuple[float, float]]]:
    return {piece.name: (piece.x, piece.y) for one in plan.boards for piece in one.pieces}


# --- by hand -------------------------------------------------------------------------------------


def test_a_box_in_a_row_by_hand() -> None:
    """The row is 211 + 311 + 211 + 311 and three kerfs of 3 long, 1053 in all. It cannot begin at the left end, as the
    knot from 310 to 360 is in its way, and so it begins at 360: left 360 to 571, front 574 to 885, right 888 to 1099,
    back 1102 to 1413. The saw takes 357 to 360 before it, out of the knot, and 1413 to 1416 behind it. Of the length,
    310 are left before the knot and 2400 - 1416 = 984 behind the row; over it, 120 - 94 - 3 = 23 are too narrow."""
    plan = cutting_plan(BOX, rack(board(2400.0, 120.0, avoid=((310.0, 360.0),))))
    assert placed(plan) == {
        "left": ((360.0, 571.0), (0.0, 94.0)),
        "front": ((574.0, 885.0), (0.0, 94.0)),
        "right": ((888.0, 1099.0), (0.0, 94.0)),
        "back": ((1102.0, 1413.0), (0.0, 94.0)),
    }
    (only,) = plan.boards
    assert [(cut.kind, cut.x, cut.setting) for cut in only.cuts] == [
        ("crosscut", (357.0, 360.0), 360.0),
        ("crosscut", (1413.0, 1416.0), 1413.0),
        ("rip", (360.0, 1413.0), 94.0),
        ("crosscut of a strip", (571.0, 574.0), 211.0),
        ("crosscut of a strip", (885.0, 888.0), 311.0),
        ("crosscut of a strip", (1099.0, 1102.0), 211.0),
    ]
    assert [offcut.size for offcut in only.offcuts] == [(310.0, 120.0), (984.0, 120.0)]
    assert plan.runs_round
    assert "At the back left corner" in said(plan.grain)
    assert plan.used == pytest.approx((1053 + 3) * 120 * 25)
    assert plan.in_boards == pytest.approx(2400 * 120 * 25)
    assert plan.in_pieces == pytest.approx((2 * 211 + 2 * 311) * 94 * 15)
    assert plan.proved
    assert not plan.missing


def test_two_side_by_side_use_less_than_a_row() -> None:
    """On a board 200 wide two strips of 94 and a kerf of 3 make 191. By yield, two lengths are cut off, of 311 and 211,
    each with its kerf: 311 + 3 + 211 + 3 = 528, which is half of what the row takes with its own kerf, 1053 + 3."""
    wide = board(2400.0, 200.0)
    by_yield, in_a_row = (cutting_plan(BOX, rack(wide, grain=grain)) for grain in ("yield", "round"))
    assert by_yield.used == pytest.approx(528 * 200 * 25)
    assert in_a_row.used == pytest.approx(1056 * 200 * 25)
    assert not by_yield.runs_round
    assert "does not run on" in said(by_yield.grain)


def test_an_exact_fit_fits() -> None:
    """Three pieces of 298 and two kerfs of 3 are 900 long: the board ends where the last of them does, uncut."""
    three = tuple(row(f"rail {number}", 298.0, 94.0, 15.0) for number in (1, 2, 3))
    plan = cutting_plan(three, rack(board(900.0, 94.0)))
    assert not plan.missing
    assert [cut.kind for cut in plan.boards[0].cuts] == ["crosscut", "crosscut"]
    assert plan.boards[0].offcuts == ()
    assert len(cutting_plan(three, rack(board(899.9, 94.0))).missing) == 1


def test_the_saw_has_room_beside_a_knot_narrower_than_its_kerf() -> None:
    """Two pieces of 300 with a crack from 300 to 301 between them: the second begins a kerf behind the first, at 303,
    and so 603 are needed, not 601."""
    two = tuple(row(f"rail {number}", 300.0, 94.0, 15.0) for number in (1, 2))
    crack = ((300.0, 301.0),)
    plan = cutting_plan(two, rack(board(603.0, 94.0, avoid=crack)))
    assert sorted(x for x, _ in placed(plan).values()) == [(0.0, 300.0), (303.0, 603.0)]
    assert len(cutting_plan(two, rack(board(602.9, 94.0, avoid=crack))).missing) == 1


def test_of_boards_that_do_as_well_the_short_one_is_begun() -> None:
    plan = cutting_plan(BOX[:1], rack(board(2400.0, 120.0), board(600.0, 120.0)))
    assert [one.number for one in plan.boards] == [2]
    assert plan.boards[0].copy == 1


def test_a_thick_board_is_not_planed_away_where_a_thin_one_does() -> None:
    plan = cutting_plan(BOX[:1], rack(board(600.0, 120.0, 50.0), board(2400.0, 120.0, 15.0)))
    assert [one.number for one in plan.boards] == [2]


# --- the grain -----------------------------------------------------------------------------------


def test_sides_that_differ_do_not_lie_in_a_row() -> None:
    low = (*BOX[:2], replace(BOX[2], rough=(311.0, 80.0, 15.0)), BOX[3])
    plan = cutting_plan(low, rack(board(2400.0, 120.0)))
    assert "the left is sawn 94 mm wide, and the back 80 mm" in said(plan.grain)
    other = (*BOX[:2], replace(BOX[2], wood="walnut"), BOX[3])
    assert "the left is of cherry, and the back of walnut" in said(
        cutting_plan(other, rack(board(2400.0, 120.0))).grain
    )


def test_boards_too_short_for_a_row_are_told_by_how_much() -> None:
    plan = cutting_plan(BOX, rack(board(700.0, 120.0, count=3)))
    assert not plan.missing
    assert not plan.runs_round
    assert "clear over 700 mm, and it takes 1053 mm: 353 mm too short" in said(plan.grain)


def test_a_row_gives_way_where_it_takes_another_piece_its_board() -> None:
    """1053 of row and 290 of bottom do not share 1200, 200 wide. Without the row, all pieces have room."""
    plan = cutting_plan((*BOX, BOTTOM), rack(board(1200.0, 200.0)))
    assert not plan.missing
    assert not plan.runs_round
    assert "more pieces find a board without that" in said(plan.grain)


def test_a_corner_has_a_row_too() -> None:
    both = (row("tail board", 310.0, 100.0, 15.0), row("pin board", 210.0, 100.0, 15.0))
    plan = cutting_plan(both, rack(board(600.0, 120.0)))
    assert placed(plan)["pin board"] == ((313.0, 523.0), (0.0, 100.0))
    assert "round the corner" in said(plan.grain)


# --- what is missing -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("boards", "why", "short"),
    [
        ((board(2400.0, 120.0, 12.0),), "the thickest cherry is 12 mm thick, and it takes 15 mm: 3 mm too thin", 3.0),
        ((board(2400.0, 90.0),), "is 90 mm wide, and it takes 94 mm: 4 mm too narrow", 4.0),
        ((board(300.0, 120.0),), "clear over 300 mm, and it takes 311 mm: 11 mm too short", 11.0),
        ((board(600.0, 120.0, avoid=((300.0, 310.0),)),), "300 mm, and it takes 311 mm: 11 mm too short", 11.0),
        ((replace(board(2400.0, 120.0), wood=find_wood("walnut")),), "the rack has no cherry, but walnut", None),
        ((board(2400.0, 90.0), board(300.0, 120.0)), "clear over 300 mm", 11.0),
    ],
    ids=["thin", "narrow", "short", "knot", "wood", "each in another way"],
)
def test_what_no_board_does_for_is_told_with_both_sizes(
    boards: tuple[RackBoard, ...], why: str, short: float | None
) -> None:
    plan = cutting_plan(BOX[:1], rack(*boards))
    (missing,) = plan.missing
    assert why in said(missing.why)
    assert missing.short_mm == (None if short is None else pytest.approx(short))
    assert "a clear length of 311 mm, 94 mm wide, and 15 mm thick, or 12 mm where it is planed" in said(
        missing.accepted
    )
    assert plan.boards == ()


def test_used_up_boards_are_told_as_that() -> None:
    plan = cutting_plan(BOX, rack(board(1000.0, 120.0)))
    assert len(plan.missing) == 1
    assert "used up" in said(plan.missing[0].why)
    assert plan.missing[0].short_mm is None


def test_a_planed_board_needs_nothing_for_planing() -> None:
    assert cutting_plan(BOX[:1], rack(board(600.0, 120.0, 12.0))).missing
    assert not cutting_plan(BOX[:1], rack(board(600.0, 120.0, 12.0, planed=True))).missing


def test_an_assumed_wood_is_found_under_its_name() -> None:
    assumed = replace(BOX[0], wood=replace(CHERRY, is_assumed=True).told)
    assert not cutting_plan((assumed,), rack(board(600.0, 120.0))).missing


def test_a_wide_bottom_is_glued_up_and_a_wide_side_is_not() -> None:
    """A bottom 190 wide of boards 120 wide: two, of 190 / 2 and the 4 that their edges lose, 99 each."""
    plan = cutting_plan((BOTTOM,), rack(board(900.0, 120.0)))
    assert [piece.y[1] - piece.y[0] for piece in plan.boards[0].pieces] == pytest.approx([99.0, 99.0])
    assert sorted(placed(plan)) == ["bottom 1 of 2", "bottom 2 of 2"]
    side = replace(BOTTOM, name="left")
    assert [one.name for one in cutting_plan((side,), rack(board(900.0, 120.0))).missing] == ["left"]


def test_a_bottom_too_long_and_too_wide_for_the_rack_is_too_long() -> None:
    """Boards of 120 would be glued up to its 190, were they long enough; a side would not, and lacks its width first.
    One of 4 is used up by what its edges lose, and makes no bottom however long it is."""
    rows = (BOTTOM, replace(BOTTOM, name="left"), BOTTOM)
    racks = (rack(board(200.0, 120.0)), rack(board(200.0, 120.0)), rack(board(900.0, 4.0)))
    (bottom,), (side,), (strips,) = (cutting_plan((row,), rack).missing for row, rack in zip(rows, racks, strict=True))
    assert said(bottom.why) == (
        "the longest cherry that is thick enough is clear over 200 mm, and it takes 290 mm: 90 mm too short"
    )
    assert bottom.short_mm == pytest.approx(90.0)
    assert said(bottom.accepted).endswith("9 mm thick, or 6 mm where it is planed; or narrower ones, to glue up")
    assert said(side.why).endswith("is 120 mm wide, and it takes 190 mm: 70 mm too narrow")
    assert said(side.accepted).endswith("where it is planed")
    assert "thick and long enough is 4 mm wide, and it takes 190 mm: 186 mm too narrow" in said(strips.why)


def test_sheets_are_not_cut_from_boards() -> None:
    plan = cutting_plan((BOX[0], replace(BOTTOM, sheet=True)), rack(board(900.0, 120.0)))
    assert [left.name for left in plan.left_out] == ["bottom"]
    assert list(placed(plan)) == ["front"]


# --- how good ------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", range(40))
def test_no_plan_is_better_than_that_of_the_solver(number: int) -> None:
    assert against_search(number, most=7) == "right"


@pytest.mark.parametrize("number", [2, 7])
def test_long_lists_come_near_the_linear_limit(number: int) -> None:
    assert against_limit(number) == "right"


@given(st.integers(0, 10**9))
def test_any_plan_can_be_sawn(number: int) -> None:
    task = small(number, 9)
    for found in (solved(task), first_fit(task)):
        assert faults_of(task, found) == []


def test_faults_are_found_at_all() -> None:
    """A plan whose saw takes nothing, judged by a saw that takes 3 mm, and on a board with a knot."""
    two = tuple(Part((f"rail {n}",), (300.0,), 94.0, 15.0, 12.0, "cherry", 0.0) for n in (1, 2))
    thin = Task(two, (board(600.0, 94.0),), 0.0)
    (plan,) = board_plans(thin, solved(thin))
    assert faults_on(plan, 0.0) == []
    assert faults_on(plan, 3.0) == ["rail 1 and rail 2 have no room for the saw between them"]
    knotty = replace(plan, board=replace(plan.board, avoid=((290.0, 300.0),)))
    assert faults_on(knotty, 0.0) == ["rail 1 lies on a knot"]


def test_the_solver_beats_the_quick_plan() -> None:
    task = small(48, 9)
    quick, best = first_fit(task), solved(task)
    assert task.missing(best.sections) == task.missing(quick.sections)
    assert task.used(best.sections) < 0.7 * task.used(quick.sections)


def test_a_plan_that_ran_out_of_time_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "solve", lambda _: None)
    plan = cutting_plan(BOX, rack(board(2400.0, 200.0), grain="yield"))
    assert not plan.missing
    assert not plan.proved
    assert plan.over is None


def test_too_many_patterns_are_never_called_the_best(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a board 200 wide, two of the four sides lie side by side in three ways."""
    wide = rack(board(2400.0, 200.0), grain="yield")
    assert cutting_plan(BOX, wide).proved
    monkeypatch.setattr(solver, "MOST_PATTERNS", 1)
    plan = cutting_plan(BOX, wide)
    assert not plan.missing
    assert not plan.proved
    assert plan.over is None


def test_the_same_rack_gives_the_same_plan() -> None:
    assert cutting_plan(BOX, rack(board(1200.0, 200.0))) == cutting_plan(BOX, rack(board(1200.0, 200.0)))
