"""Tidies the straight edges of a projection: each stretch of line once, the longest way, what is seen before what is
hidden. Two solids that touch give their common edges twice, and a drawing must hold no line twice."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable

Point = tuple[float, float]
Segment = tuple[Point, Point]
Span = tuple[float, float]

GRID = 1e-6
"""Ends closer than this are one (mm); a feature of a board is at least ten thousand times as long."""


def tidy(visible: Iterable[Segment], hidden: Iterable[Segment]) -> tuple[list[Segment], list[Segment]]:
    """Visible and hidden segments without doubles: pieces of one line that touch are joined, and what is seen is taken
    out of what is hidden."""
    seen, behind = _by_line(visible), _by_line(hidden)
    kept_hidden = {line: _less(spans, seen.get(line, [])) for line, spans in behind.items()}
    return _segments(seen), _segments(kept_hidden)


Line = tuple[float, float, float]
"""Direction angle on a grid, and the line's distance from the origin on a grid; the third is spare for the sign."""


def _by_line(segments: Iterable[Segment]) -> dict[Line, list[Span]]:
    """The spans along each line, joined where they touch."""
    lines: dict[Line, list[Span]] = defaultdict(list)
    for start, end in segments:
        dx, dy = end[0] - start[0], end[1] - start[1]
        length = math.hypot(dx, dy)
        if length < GRID:
            continue
        dx, dy = dx / length, dy / length
        if (round(dx / GRID), round(dy / GRID)) < (0, 0):
            dx, dy = -dx, -dy
        distance = start[1] * dx - start[0] * dy
        key = (round(dx, 6) + 0.0, round(dy, 6) + 0.0, round(distance, 4) + 0.0)
        along = sorted(point[0] * dx + point[1] * dy for point in (start, end))
        lines[key].append((along[0], along[1]))
    return {line: _joined(spans) for line, spans in lines.items()}


def _joined(spans: list[Span]) -> list[Span]:
    joined: list[Span] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1] + GRID:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def _less(spans: list[Span], taken: list[Span]) -> list[Span]:
    """What is left of the spans outside those that are taken."""
    for low, high in taken:
        spans = [piece for start, end in spans for piece in ((start, min(end, low)), (max(start, high), end))]
        spans = [(start, end) for start, end in spans if end - start > GRID]
    return spans


def _segments(lines: dict[Line, list[Span]]) -> list[Segment]:
    found = []
    for (dx, dy, distance), spans in sorted(lines.items()):
        foot = (-distance * dy, distance * dx)
        for low, high in spans:
            found.append(((foot[0] + low * dx, foot[1] + low * dy), (foot[0] + high * dx, foot[1] + high * dy)))
    return found
