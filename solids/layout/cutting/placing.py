"""Where sections, strips and pieces lie on their boards, in which order they are cut, and what is left. Lengths in
mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

from solids.base.geometry import Span
from solids.layout.cutting.model import (
    EXACT,
    BoardPlan,
    Cut,
    CutKind,
    Offcut,
    Part,
    Placed,
    Section,
    Solution,
    Task,
)
from solids.wood.rack import RackBoard

KEPT_LENGTH, KEPT_WIDTH = 100.0, 25.0
"""An offcut shorter or narrower than this is not worth keeping. Common practice."""

Saw = tuple[CutKind, Span, Span, float, tuple[str, ...], bool]
"""A cut without its number."""


def board_plans(task: Task, solution: Solution) -> tuple[BoardPlan, ...]:
    """A plan of each board that is begun, in the order of the rack."""

    def board_of(section: Section) -> tuple[int, int]:
        return section.stretch.kind, section.stretch.copy

    found = []
    for (kind, copy), sections in groupby(sorted(solution.sections, key=board_of), key=board_of):
        found.append(_Board(task, task.boards[kind], list(sections)).plan(kind, copy))
    return tuple(found)


class _Board:
    """One board in the making."""

    def __init__(self, task: Task, board: RackBoard, sections: Sequence[Section]) -> None:
        self.task, self.board, self.kerf = task, board, task.kerf
        self.pieces: list[Placed] = []
        self.offcuts: list[Offcut] = []
        self.crosscuts: list[Saw] = []
        self.within: list[Saw] = []
        self.taken: list[Span] = []
        self.end = 0.0
        by_place = sorted(sections, key=lambda one: (one.stretch.span, -task.section_length(one.parts), one.parts))
        for span, inside in groupby(by_place, key=lambda one: one.stretch.span):
            self._stretch(span, inside)

    def plan(self, kind: int, copy: int) -> BoardPlan:
        cuts = tuple(Cut(number, *saw) for number, saw in enumerate((*self.crosscuts, *self.within), start=1))
        offcuts = (*self._lengths_left(), *self.offcuts)
        return BoardPlan(kind + 1, self.board, copy + 1, tuple(self.pieces), cuts, offcuts)

    def _stretch(self, span: Span, sections: Iterator[Section]) -> None:
        """Lays sections from the left end of a clear length on. A cut before it takes its kerf from the span to
        avoid."""
        if span[0] > EXACT:
            self._crosscut((max(span[0] - self.kerf, self.end), span[0]), span[0], (), left=True)
        at = span[0]
        for section in sections:
            end = min(at + self.task.section_length(section.parts), span[1])
            self.taken.append((at, end))
            parts = [self.task.parts[part] for part in section.parts]
            self._strips(parts, (at, end))
            names = tuple(name for part in parts for name in part.names)
            self._crosscut((end, end + self.kerf), end, names)
            at = end + self.kerf

    def _crosscut(self, x: Span, setting: float, names: tuple[str, ...], *, left: bool = False) -> None:
        """A cut across the whole board; none where the board ends, or has been cut already."""
        start, end = x[0], min(x[1], self.board.length)
        if end - start > EXACT:
            self.crosscuts.append(("crosscut", (start, end), (0.0, self.board.width), setting, names, left))
            self.taken.append((start, end))
        self.end = end

    def _strips(self, parts: Sequence[Part], x: Span) -> None:
        """Rips a section into strips from its lower edge on, the longest part first, and cuts those to length."""
        at, to_length = 0.0, list[Saw]()
        for part in sorted(parts, key=lambda part: (-part.length, -part.width, part.name)):
            y = at, min(at + part.width, self.board.width)
            to_length += self._pieces(part, x, y)
            at = min(y[1] + self.kerf, self.board.width)
            if at - y[1] > EXACT:
                self.within.append(("rip", x, (y[1], at), part.width, part.names, False))
        self._keep(x, (at, self.board.width))
        self.within += to_length

    def _pieces(self, part: Part, x: Span, y: Span) -> Iterator[Saw]:
        """Lays the pieces of a strip end to end, and says where it is crosscut."""
        at = x[0]
        for name, length in zip(part.names, part.lengths, strict=True):
            end = min(at + length, x[1])
            self.pieces.append(Placed(name, (at, end), y))
            at = min(end + self.kerf, x[1])
            if at - end > EXACT:
                yield "crosscut of a strip", (end, at), y, length, (name,), False
        self._keep((at, x[1]), y)

    def _lengths_left(self) -> Iterator[Offcut]:
        """What is left of the whole width, without the spans to avoid."""
        gone = sorted([(0.0, 0.0), *self.taken, *self.board.avoid, (self.board.length, self.board.length)])
        reach = 0.0
        for (_, end), (start, _) in pairwise(gone):
            reach = max(reach, end)
            if start - reach >= KEPT_LENGTH - EXACT and self.board.width >= KEPT_WIDTH:
                yield Offcut((reach, start), (0.0, self.board.width))

    def _keep(self, x: Span, y: Span) -> None:
        if x[1] - x[0] >= KEPT_LENGTH - EXACT and y[1] - y[0] >= KEPT_WIDTH - EXACT:
            self.offcuts.append(Offcut(x, y))
