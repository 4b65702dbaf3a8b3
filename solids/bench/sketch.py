"""A drawing of the joint in characters, to scale: the tail board's show face, baseline at the bottom.

Pure text from a layout. A character cell is taken to be twice as high as it is wide.
"""

from __future__ import annotations

from dataclasses import dataclass

from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitred_edges

CELL_HEIGHT = 2.0
LEAST_ROWS, BODY_ROWS = 3, 2


@dataclass(frozen=True)
class Charset:
    """What tails and pins are drawn with; `halves` are a cell with tail on its left or right half only."""

    tail: str
    pin: str
    halves: tuple[str, str] | None


BLOCKS = Charset("█", "░", ("▌", "▐"))
ASCII = Charset("#", ".", None)


def sketch(layout: Layout, columns: int, charset: Charset = BLOCKS) -> list[str]:
    """Rows of exactly `columns` characters (at least 10): the joint from the show face down to the baseline, then a
    little of the tail board below it."""
    columns = max(columns, 10)
    cell = layout.width / columns
    height = layout.as_cut.show_y
    rows = max(LEAST_ROWS, round(height / (CELL_HEIGHT * cell)))
    lines = [_row(layout, height * (1 - (row + 0.5) / rows), columns, charset) for row in range(rows)]
    return lines + [charset.tail * columns] * BODY_ROWS


def _row(layout: Layout, y: float, columns: int, charset: Charset) -> str:
    if y > layout.depth:
        return charset.pin * columns
    samples = _samples(layout, y, 2 * columns)
    return "".join(_cell(left, right, charset) for left, right in zip(samples[::2], samples[1::2], strict=True))


def _samples(layout: Layout, y: float, count: int) -> list[bool]:
    """Whether a tail, or the tail board's part of a mitred shoulder, shows at each of `count` points evenly spread over
    the width."""
    edges = [*(layout.tail_edges(tail, y) for tail in layout.tails), *mitred_edges(layout)]
    step = layout.width / count
    return [any(left <= (i + 0.5) * step < right for left, right in edges) for i in range(count)]


def _cell(left: bool, right: bool, charset: Charset) -> str:
    if left == right or charset.halves is None:
        return charset.tail if left else charset.pin
    return charset.halves[0 if left else 1]
