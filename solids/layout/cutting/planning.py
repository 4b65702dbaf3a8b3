"""The cutting plan of a piece: which part lies where on which board of the rack. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solids.base.messages import Words, message
from solids.layout.box.rows import CutListRow
from solids.layout.cutting.first_fit import first_fit
from solids.layout.cutting.lacking import missing_of, why_not
from solids.layout.cutting.model import CuttingPlan, Part, Solution, Task
from solids.layout.cutting.parts import in_a_row, parts_of
from solids.layout.cutting.placing import board_plans
from solids.layout.cutting.solver import solve
from solids.wood.rack import Rack

ON_ROUND_A_BOX = (
    "The grain runs on round the box: left, front, right and back come from one board in a row. It runs on at the "
    "front left, front right and back right corners. At the back left corner, where the row begins and ends, it does "
    "not."
)
ON_ROUND_A_CORNER = "The grain runs on round the corner: tail board and pin board come from one board in a row."
FOR_YIELD = "Each piece comes from where it wastes least, so the grain does not run on from one to the next."
NOT_ROUND = "The grain does not run on round the piece, as {}."


def cutting_plan(rows: Sequence[CutListRow], rack: Rack) -> CuttingPlan:
    """How the boards of a cut list come out of a rack. A rack that is too small is no error: what is missing is in the
    plan. Rows that are sheets are left out."""
    parts = parts_of(rows, rack)
    task, solution, grain = _planned(parts, rack)
    cut = {place for section in solution.sections for place in section.parts}
    missing = [part for place, part in enumerate(task.parts) if place not in cut]
    sawn = [part for place, part in enumerate(task.parts) if place in cut]
    return CuttingPlan(
        boards=board_plans(task, solution),
        missing=tuple(missing_of(task, part) for part in missing),
        left_out=tuple(row for row in rows if row.sheet),
        grain=grain,
        runs_round=any(len(part.names) > 1 for part in sawn),
        kerf=rack.kerf,
        used=task.used(solution.sections),
        in_boards=task.begun(solution.sections),
        in_pieces=sum(math.prod((sum(part.lengths), part.width, part.rough)) for part in sawn),
        proved=solution.proved,
        over=solution.over,
    )


def _planned(parts: tuple[Part, ...], rack: Rack) -> tuple[Task, Solution, Words]:
    """The best plan with the sides in a row, where that lacks no piece which another plan has; else the best plan; and
    what is said of the grain."""
    why: Words = ""
    if rack.grain == "round":
        rowed, why = in_a_row(parts)
        if not why:
            task = Task(rowed, rack.boards, rack.kerf)
            found = _round(task, Task(parts, rack.boards, rack.kerf))
            if isinstance(found, Solution):
                return task, found, ON_ROUND_A_BOX if len(rowed[0].names) > 2 else ON_ROUND_A_CORNER
            why = found
    task = Task(parts, rack.boards, rack.kerf)
    return task, solved(task), message(NOT_ROUND, why) if why else FOR_YIELD


def _round(task: Task, free: Task) -> Solution | Words:
    """The plan with the row, which is the first part of its task; or why there is none that is worth it."""
    if not task.kinds[0]:
        why, _ = why_not(task, task.parts[0])
        return message("for all sides in a row {}", why)
    found = solved(task)
    missing = task.missing(found.sections)
    has_row = any(0 in section.parts for section in found.sections)
    if has_row and (not missing or missing <= free.missing(solved(free).sections)):
        return found
    return "more pieces find a board without that"


def solved(task: Task) -> Solution:
    """The best plan that is found: that of the solver, or the quick one where the solver ran out of time before it came
    as far."""
    quick, found = first_fit(task), solve(task)
    if found is None or (not found.proved and _judged(task, quick) < _judged(task, found)):
        return quick
    return found


def _judged(task: Task, solution: Solution) -> tuple[int, float]:
    return task.missing(solution.sections), task.used(solution.sections)
