"""Tidies the straight edges of a projection: each stretch of line is drawn once, as long as it can be, and visible
rather than hidden. Two solids that touch give their common edges twice, and a drawing must hold no line twice."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from solids.base.geometry import PlanePoint, Segment, Span

GRID = 1e-6
"""Ends closer than this are one (mm). A feature of a board is at least ten thousand times as long."""

CELL = 0.01
"""The size of the cells by which lines are looked up, in radians and mm."""

SAME_WAY = 1e-9
"""A unit direction's part in X that is nothing but rounding."""


def tidy(visible: Iterable[Segment], hidden: Iterable[Segment]) -> tuple[list[Segment], list[Segment]]:
    """Visible and hidden segments without duplicates: pieces of one line that touch are joined, and what is visible is
    taken out of what is hidden."""
    lines = _Lines()
    seen, behind = lines.sorted_in(visible), lines.sorted_in(hidden)
    shown = {line: _joined(spans) for line, spans in seen.items()}
    rest = {line: _less(_joined(spans), shown.get(line, [])) for line, spans in behind.items()}
    return lines.segments(shown), lines.segments(rest)


@dataclass(frozen=True)
class _Line:
    """A line, given by its unit direction, to the right or straight up, and its distance from the origin."""

    dx: float
    dy: float
    distance: float


class _Lines:
    """All lines met so far. A segment belongs to a line that it lies within `GRID` of. Lines are looked up by coarse
    cells and their neighbours, so that none falls between two cells."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], list[_Line]] = defaultdict(list)
        self._order: dict[_Line, int] = {}

    def sorted_in(self, segments: Iterable[Segment]) -> dict[_Line, list[Span]]:
        """The spans along each line."""
        found: dict[_Line, list[Span]] = defaultdict(list)
        for start, end in segments:
            if math.dist(start, end) >= GRID:
                line = self._line_of(start, end)
                low, high = sorted(point[0] * line.dx + point[1] * line.dy for point in (start, end))
                found[line].append((low, high))
        return found

    def _line_of(self, start: PlanePoint, end: PlanePoint) -> _Line:
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = math.hypot(dx, dy)
        dx, dy = dx / length, dy / length
        if dx < -SAME_WAY or (abs(dx) <= SAME_WAY and dy < 0):
            dx, dy = -dx, -dy
        new = _Line(dx, dy, start[1] * dx - start[0] * dy)
        cell = round(math.atan2(dy, dx) / CELL), round(new.distance / CELL)
        for turn in (-1, 0, 1):
            for step in (-1, 0, 1):
                for known in self._cells.get((cell[0] + turn, cell[1] + step), ()):
                    if _is_one(known, start, end):
                        return known
        self._cells[cell].append(new)
        self._order[new] = len(self._order)
        return new

    def segments(self, spans: dict[_Line, list[Span]]) -> list[Segment]:
        """The spans as segments, in the order in which their lines were met."""
        found = []
        for line in sorted(spans, key=self._order.__getitem__):
            foot = (-line.distance * line.dy, line.distance * line.dx)
            for low, high in spans[line]:
                ends = ((foot[0] + reach * line.dx, foot[1] + reach * line.dy) for reach in (low, high))
                found.append((next(ends), next(ends)))
        return found


def _is_one(line: _Line, start: PlanePoint, end: PlanePoint) -> bool:
    """Whether both ends of a segment lie on a line."""
    return all(abs(y * line.dx - x * line.dy - line.distance) < GRID for x, y in (start, end))


def _joined(spans: list[Span]) -> list[Span]:
    joined: list[Span] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1] + GRID:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def _less(spans: list[Span], taken: list[Span]) -> list[Span]:
    """The spans, less what is taken already."""
    for low, high in taken:
        spans = [piece for start, end in spans for piece in ((start, min(end, low)), (max(start, high), end))]
        spans = [(start, end) for start, end in spans if end - start > GRID]
    return spans
