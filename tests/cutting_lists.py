"""Random lists of parts and boards, each drawn from a number, and what must hold of the plan of any list."""

from __future__ import annotations

import random
from itertools import combinations

from solids.base.geometry import Span
from solids.layout.cutting.model import BoardPlan, Part, Solution, Task
from solids.layout.cutting.placing import board_plans
from solids.layout.cutting.planning import solved
from solids.layout.cutting.solver import least_used
from solids.wood import find_wood
from solids.wood.rack import RackBoard
from tests.cutting_by_search import best_by_search

KERFS = (1.5, 3.0, 3.2)
WOOD = find_wood("cherry")

NEAR = 1e-9
"""Of a measure in mm, and as a share of a volume."""

SHARE = 0.05
"""By how much a plan of a long list may miss the linear limit."""


def small(number: int, most: int) -> Task:
    """Up to so many parts, and boards that often are too few, too small, or have knots."""
    dice = random.Random(number)
    kerf = dice.choice(KERFS)
    parts = _parts(dice, dice.randint(1, most), kerf, (60.0, 96.0, 110.0, 150.0))
    boards = []
    for _ in range(dice.randint(1, 3)):
        knots = ((310.0, 360.0),) if dice.random() < 0.4 else ()
        length, width, thickness = dice.randint(6, 25) * 100.0, dice.choice((100.0, 160.0, 200.0, 260.0)), 25.0
        thickness = dice.choice((19.0, thickness))
        planed = dice.random() < 0.3
        boards.append(RackBoard(length, width, thickness, WOOD, dice.randint(1, 2), planed=planed, avoid=knots))
    return Task(parts, tuple(boards), kerf)


def large(number: int) -> Task:
    """13 to 40 parts, and boards enough for all of them."""
    dice = random.Random(number)
    kerf = dice.choice(KERFS)
    parts = _parts(dice, dice.randint(13, 40), kerf, (60.0, 72.0, 96.0, 110.0, 150.0))
    widths = dice.choice((160.0, 200.0, 220.0)), dice.choice((160.0, 200.0, 260.0))
    boards = RackBoard(2400.0, widths[0], 27.0, WOOD, 20), RackBoard(1800.0, widths[1], 27.0, WOOD, 6)
    return Task(parts, boards, kerf)


def _parts(dice: random.Random, count: int, kerf: float, widths: tuple[float, ...]) -> tuple[Part, ...]:
    """Parts of which some are alike, as in a box."""
    parts: list[Part] = []
    while len(parts) < count:
        length, width, rough = dice.randint(10, 90) * 10.0, dice.choice(widths), dice.choice((15.0, 22.0))
        for _ in range(min(dice.choice((1, 2, 2, 4)), count - len(parts))):
            parts.append(Part((f"part {len(parts) + 1}",), (length,), width, rough, 12.0, "cherry", kerf))
    return tuple(parts)


def against_search(number: int, most: int = 12) -> str:
    """The solver against the search through everything: "right", or what is wrong."""
    task = small(number, most)
    found = solved(task)
    mine = task.missing(found.sections), task.used(found.sections), task.begun(found.sections)
    best = best_by_search(task)
    is_best = all(abs(one - other) <= 3e-6 * max(1e6, other) for one, other in zip(mine, best, strict=True))
    faults = faults_of(task, found)
    if faults or not is_best:
        return f"wrong: {faults or f'{mine} where {best} can be'}"
    # One list in some hundreds takes more branches than it is given to prove what it has found.
    return "right" if found.proved else "right, and not proved"


def against_limit(number: int) -> str:
    """A long list against the linear limit: "right", or what is wrong. A list whose own best plan lies farther from it
    is right where the solver has proved that none uses less wood."""
    task = large(number)
    found = solved(task)
    over = task.used(found.sections) / least_used(task) - 1
    if faults := faults_of(task, found):
        return f"wrong: {faults}"
    if task.missing(found.sections):
        return "wrong: a part is missing"
    return (
        "right" if -1e-6 <= over <= SHARE or (over > 0 and found.over == 0.0) else f"wrong: {over:.1%} over the limit"
    )


def faults_of(task: Task, solution: Solution) -> list[str]:
    """What no plan may have: a piece off its board, over a knot, over another or its saw cut, or cut twice."""
    plans = board_plans(task, solution)
    found = [fault for plan in plans for fault in faults_on(plan, task.kerf)]
    names = [piece.name for plan in plans for piece in plan.pieces]
    return [*found, *(f"{name} is cut twice" for name in set(names) if names.count(name) > 1)]


def faults_on(plan: BoardPlan, kerf: float) -> list[str]:
    """The same of one board, for a saw of this kerf."""
    board, pieces = plan.board, plan.pieces
    found = [f"{p.name} hangs over" for p in pieces if p.x[0] < -NEAR or p.x[1] > board.length + NEAR]
    found += [f"{p.name} is too wide" for p in pieces if p.y[0] < -NEAR or p.y[1] > board.width + NEAR]
    found += [f"{p.name} lies on a knot" for p in pieces for knot in board.avoid if _overlap(p.x, knot) > 1e-4]
    for one, other in combinations(pieces, 2):
        apart = max(_between(one.x, other.x), _between(one.y, other.y))
        if apart < kerf - 1e-4:
            found.append(f"{one.name} and {other.name} have no room for the saw between them")
    for cut in plan.cuts:
        hit = [p.name for p in pieces if _overlap(p.x, cut.x) > 1e-4 and _overlap(p.y, cut.y) > 1e-4]
        found += [f"cut {cut.number} runs into {name}" for name in hit]
    for left in plan.offcuts:
        spots = [(p.x, p.y) for p in (*pieces, *plan.cuts)] + [(knot, (0.0, board.width)) for knot in board.avoid]
        if any(_overlap(left.x, x) > 1e-4 and _overlap(left.y, y) > 1e-4 for x, y in spots):
            found.append(f"what is left at {left.x} is not")
    return found


def _overlap(one: Span, other: Span) -> float:
    return min(one[1], other[1]) - max(one[0], other[0])


def _between(one: Span, other: Span) -> float:
    return max(one[0], other[0]) - min(one[1], other[1])
