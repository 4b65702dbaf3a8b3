"""The best way to cut parts from boards, as an integer program that HiGHS solves through SciPy.

A pattern is a set of parts that lie side by side in one section of a kind of board. It is counted how many sections of
each pattern come from each clear length. Judged in this order: the fewest pieces missing, the least wood used up, the
least wood in boards begun, and the longest clear length left on a board that is begun. Each is solved for by itself,
with what was found before as a limit. Patterns and cutting stock: P. C. Gilmore and R. E. Gomory, "A linear programming
approach to the cutting-stock problem", Operations Research 9 (1961), from memory.

SciPy comes with CadQuery and carries HiGHS. It takes half a second to load, and is loaded where a plan is made.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from solids.layout.cutting.model import EXACT, Section, Solution, Stretch, Task, cross_section

if TYPE_CHECKING:
    import numpy as np

SECONDS, MOST_NODES = (4.0, 8.0, 3.0, 3.0), 20_000
"""How long each of the four is sought, and in how many branches. A box takes a tenth of a second, so that it has one
plan on any machine. A list of some thirty parts may run out of time, and be cut in another way on a faster one."""

MOST_PATTERNS = 4000
"""Of one kind of board. With more, those that waste the least width are looked at, and nothing is proved."""

SLACK = 1e-6
"""By what share a later solution may be worse in what was solved for before: what the solver takes for equal."""

Counts = tuple[int, ...]
Class = tuple[float, float, frozenset[int], int]
"""Length, width, kinds of board, and how many pieces: what parts have in common that are alike to the solver."""


@dataclass(frozen=True)
class Pattern:
    """How many parts of each class lie side by side in one section, and how long it is."""

    counts: Counts
    length: float


class _Model:
    """The program of a task. Its columns are the numbers of sections by stretch and pattern, the parts missing by
    class, and whether each board is begun."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.members: dict[Class, list[int]] = {}
        for place, (part, kinds) in enumerate(zip(task.parts, task.kinds, strict=True)):
            self.members.setdefault((part.length, part.width, kinds, len(part.names)), []).append(place)
        self.classes = sorted(self.members, key=lambda one: (-one[0], -one[1], sorted(one[2]), one[3]))
        self.wanted = tuple(len(self.members[one]) for one in self.classes)
        self.whole = True
        self.patterns = [self._of_kind(kind) for kind in range(len(task.boards))]
        self.columns = [
            (place, pattern)
            for place, stretch in enumerate(task.stretches)
            for pattern in self.patterns[stretch.kind]
            if pattern.length <= stretch.length + EXACT
        ]
        self.boards = list(dict.fromkeys((stretch.kind, stretch.copy) for stretch in task.stretches))

    # --- patterns --------------------------------------------------------------------------------

    def _of_kind(self, kind: int) -> list[Pattern]:
        """The patterns of a kind of board to which no further part can be added."""
        width, kerf = self.task.boards[kind].width, self.task.kerf
        usable = [place for place, one in enumerate(self.classes) if kind in one[2]]
        found: list[tuple[float, Pattern]] = []
        for leader in range(len(usable)):
            for counts, left in self._filled(usable[leader:], width + kerf + EXACT):
                found.append((left, Pattern(counts, self.classes[usable[leader]][0])))
                if len(found) > 20 * MOST_PATTERNS:
                    break
        if len(found) > MOST_PATTERNS:
            self.whole = False
            found = sorted(found, key=lambda one: one[0])[:MOST_PATTERNS] + self._alone(usable)
        return list(dict.fromkeys(pattern for _, pattern in found))

    def _filled(self, usable: list[int], room: float) -> Iterator[tuple[Counts, float]]:
        """All ways to fill a width with at least one part of the first class, and the room that each leaves."""

        def fill(place: int, left: float, counts: dict[int, int]) -> Iterator[tuple[Counts, float]]:
            if place == len(usable):
                if not any(self._step(one) <= left and counts[one] < self.wanted[one] for one in usable):
                    yield tuple(counts.get(one, 0) for one in range(len(self.classes))), left
                return
            one, least = usable[place], int(place == 0)
            most = min(self.wanted[one], int(left / self._step(one)))
            for count in range(most, least - 1, -1):
                yield from fill(place + 1, left - count * self._step(one), {**counts, one: count})

        yield from fill(0, room, {})

    def _step(self, one: int) -> float:
        """How much width a part of a class takes with its kerf."""
        return self.classes[one][1] + self.task.kerf

    def _alone(self, usable: list[int]) -> list[tuple[float, Pattern]]:
        """A pattern of one part for each class, so that every part has one."""
        each = [(one, tuple(int(one == other) for other in range(len(self.classes)))) for one in usable]
        return [(0.0, Pattern(counts, self.classes[one][0])) for one, counts in each]

    # --- the program -----------------------------------------------------------------------------

    @cached_property
    def sizes(self) -> tuple[int, int, int]:
        """How many columns there are of each sort."""
        return len(self.columns), len(self.classes), len(self.boards)

    @cached_property
    def upper(self) -> np.ndarray[Any, Any]:
        """The most that each column can be."""
        import numpy as np

        most = [
            max(-(-want // count) for want, count in zip(self.wanted, p.counts, strict=True) if count)
            for _, p in self.columns
        ]
        return np.array([*most, *self.wanted, *[1] * len(self.boards)], dtype=float)

    def rows(self) -> tuple[Any, Any, Any]:
        """The limits: each part is cut or missing, a stretch holds its sections, and of boards that are alike the first
        are taken first. A sparse matrix, and the least and the most of each row."""
        import numpy as np
        from scipy.sparse import coo_array

        first, classes, boards = self.sizes
        entries: list[tuple[int, int, float]] = []
        least: list[float] = []
        most: list[float] = []
        for one, want in enumerate(self.wanted):
            entries += [(one, column, p.counts[one]) for column, (_, p) in enumerate(self.columns) if p.counts[one]]
            entries.append((one, first + one, 1.0))
            least.append(want)
            most.append(np.inf)
        by_place: dict[int, list[tuple[int, float]]] = {}
        for column, (place, pattern) in enumerate(self.columns):
            by_place.setdefault(place, []).append((column, pattern.length + self.task.kerf))
        for place, columns in by_place.items():
            row, stretch = len(least), self.task.stretches[place]
            board = self.boards.index((stretch.kind, stretch.copy))
            whole = stretch.length + self.task.kerf + EXACT
            entries += [(row, column, length / whole) for column, length in columns]
            entries.append((row, first + classes + board, -1.0))
            least.append(-np.inf)
            most.append(0.0)
        for board, (kind, copy) in enumerate(self.boards):
            if copy:
                row = len(least)
                before = self.boards.index((kind, copy - 1))
                entries += [(row, first + classes + before, 1.0), (row, first + classes + board, -1.0)]
                least.append(0.0)
                most.append(np.inf)
        at, columns_at, values = zip(*entries, strict=True)
        matrix = coo_array((values, (at, columns_at)), shape=(len(least), first + classes + boards))
        return matrix, np.array(least), np.array(most)

    def goals(self) -> list[np.ndarray[Any, Any]]:
        """What is made as small as can be, one after another: pieces missing, wood used up, wood in boards begun. The
        wood is counted in boards' worth, so that the figures are near 1."""
        import numpy as np

        first, classes, boards = self.sizes
        unit = max(cross_section(board) * board.length for board in self.task.boards)
        found = [np.zeros(first + classes + boards) for _ in range(3)]
        found[0][first : first + classes] = [one[3] for one in self.classes]
        found[1][:first] = [
            (p.length + self.task.kerf) * cross_section(self.task.boards[self.task.stretches[place].kind]) / unit
            for place, p in self.columns
        ]
        found[2][first + classes :] = [
            cross_section(self.task.boards[kind]) * self.task.boards[kind].length / unit for kind, _ in self.boards
        ]
        return found


def solve(task: Task) -> Solution | None:
    """The best solution, or the best that was found in time; None where none was found, or there is nothing to cut."""
    model = _Model(task)
    if not model.columns:
        return None
    import numpy as np
    from scipy.optimize import LinearConstraint

    proved, fewest, over, best = model.whole, False, None, None
    limits = [LinearConstraint(*model.rows())]
    for number, goal in enumerate(model.goals()):
        found = _least(goal, np.ones(len(goal)), (np.zeros(len(goal)), model.upper), limits, SECONDS[number])
        if found.x is None:
            proved = False
            break
        best = found.x
        proved = proved and found.status == 0
        if number == 0:
            fewest = proved
        if number == 1:
            over = _over(found) if fewest else None
        reached = float(goal @ np.round(found.x))
        limits.append(LinearConstraint(goal, ub=reached + SLACK * max(1.0, reached)))
    if best is None:
        return None
    best, is_longest = _with_longest_rest(model, limits, best)
    sections = _sections(model, best)
    return Solution(sections, proved and is_longest, over) if _holds(task, sections) else None


def _least(goal: Any, integrality: Any, bounds: tuple[Any, Any], limits: Sequence[Any], seconds: float) -> Any:
    """The columns that make a goal as small as can be, as SciPy tells it. Where HiGHS stumbles over what it has
    simplified, it solves the program as it stands."""
    from scipy.optimize import Bounds, milp

    for presolve in (True, False):
        options = {"time_limit": seconds, "node_limit": MOST_NODES, "mip_rel_gap": 0.0}
        found = milp(
            goal,
            integrality=integrality,
            bounds=Bounds(*bounds),
            constraints=limits,
            options={**options, "presolve": presolve},
        )
        if found.status in (0, 1):
            break
    return found


def _over(found: Any) -> float:
    """By what share more wood is used than the least that there might be."""
    bound = float(found.mip_dual_bound)
    return max(0.0, float(found.fun) / bound - 1.0) if found.status and bound > 0 else 0.0


def least_used(task: Task) -> float:
    """A limit below which no plan uses wood (mm3) that lacks no piece: sections may be broken numbers. For judging how
    good a plan is. ValueError where the boards do not hold all parts even so."""
    import numpy as np
    from scipy.optimize import LinearConstraint

    model = _Model(task)
    _, used, _ = model.goals()
    upper = model.upper.copy()
    first, classes, _ = model.sizes
    upper[first : first + classes] = 0.0
    zeros, limits = np.zeros(len(used)), [LinearConstraint(*model.rows())]
    found = _least(used, zeros, (zeros, upper), limits, SECONDS[1])
    if found.x is None:
        raise ValueError("the boards do not hold all parts")
    return float(found.fun) * max(cross_section(board) * board.length for board in task.boards)


def _with_longest_rest(model: _Model, limits: list[Any], best: Any) -> tuple[Any, bool]:
    """Of all solutions as good, one that leaves the longest clear length on a board that is begun, and whether that is
    proved. One more column chooses the stretch, and one is its rest."""
    import numpy as np
    from scipy.optimize import LinearConstraint
    from scipy.sparse import coo_array

    task, (first, classes, boards) = model.task, model.sizes
    stretches, columns = len(task.stretches), first + classes + boards
    total = columns + stretches + 1
    longest = max(stretch.length for stretch in task.stretches)
    wide = [LinearConstraint(_wider(limit.A, stretches + 1), limit.lb, limit.ub) for limit in limits]
    entries: list[tuple[int, int, float]] = []
    most: list[float] = []
    for place, stretch in enumerate(task.stretches):
        # rest <= length - sections + longest (1 - chosen), and only a board that is begun is chosen; all by the longest
        row, board = 2 * place, model.boards.index((stretch.kind, stretch.copy))
        entries += [(row, total - 1, 1.0), (row, columns + place, 1.0)]
        taken = ((column, p.length + task.kerf) for column, (at, p) in enumerate(model.columns) if at == place)
        entries += [(row, column, length / longest) for column, length in taken]
        entries += [(row + 1, columns + place, 1.0), (row + 1, first + classes + board, -1.0)]
        most += [stretch.length / longest + 1.0, 0.0]
    entries += [(2 * stretches, columns + place, 1.0) for place in range(stretches)]
    most.append(1.0)
    least = [-np.inf] * (2 * stretches) + [1.0]
    at, columns_at, values = zip(*entries, strict=True)
    matrix = coo_array((values, (at, columns_at)), shape=(len(most), total))
    goal = np.zeros(total)
    goal[-1] = -1.0
    bounds = np.append(np.zeros(total - 1), -1.0), np.concatenate([model.upper, np.ones(stretches), [1.0]])
    limit = LinearConstraint(matrix, np.array(least), np.array(most))
    found = _least(goal, np.append(np.ones(total - 1), 0), bounds, [*wide, limit], SECONDS[3])
    return (best, False) if found.x is None else (found.x[:columns], found.status == 0)


def _wider(matrix: Any, by: int) -> Any:
    """A matrix with so many empty columns more."""
    from scipy.sparse import coo_array, hstack

    given = coo_array(matrix.reshape(1, -1) if matrix.ndim == 1 else matrix)
    return hstack([given, coo_array((given.shape[0], by))])


def _sections(model: _Model, best: Any) -> tuple[Section, ...]:
    """The sections of a solution. A part that two patterns would cut is cut in the first of them."""
    left = {one: list(model.members[one]) for one in model.classes}
    found: list[Section] = []
    numbers = Counter({column: round(best[column]) for column in range(len(model.columns))})
    for column in numbers.elements():
        place, pattern = model.columns[column]
        parts = [
            left[one].pop(0)
            for one, count in zip(model.classes, pattern.counts, strict=True)
            for _ in range(min(count, len(left[one])))
        ]
        if parts:
            found.append(Section(model.task.stretches[place], tuple(parts)))
    return tuple(found)


def _holds(task: Task, sections: tuple[Section, ...]) -> bool:
    """Whether the sections lie on their stretches, which the solver only knows to its own tolerance."""
    lengths: dict[Stretch, float] = {}
    for section in sections:
        taken = task.section_length(section.parts) + task.kerf
        lengths[section.stretch] = lengths.get(section.stretch, 0.0) + taken
    return all(length <= stretch.length + task.kerf + 100 * EXACT for stretch, length in lengths.items())
