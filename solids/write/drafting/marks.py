"""The marks that a maker puts on a board, as drawings have them. On paper in mm."""

from __future__ import annotations

from collections.abc import Iterator

from solids.base.geometry import PlanePoint
from solids.write.drafting.sheet import Item, Label, Stroke

SMALL = 1.8
"""The height of the capitals beside a mark."""

MARK = 2.6
"""Half the width of a board's share of the cabinetmaker's triangle."""


def triangle(mark: tuple[str, str], foot: PlanePoint) -> Iterator[Item]:
    """A board's share of the cabinetmaker's triangle, and its letter."""
    letter, part = mark
    x, y = foot
    wide, top = (MARK, 0.0) if part == "point" else (1.6 * MARK, 0.6 * MARK)
    points = ((x - wide, y - 1.2), (x + wide, y - 1.2), (x + top, y + 2.2), (x - top, y + 2.2))
    yield Stroke("dimensions", points if top else points[:3], closed=True)
    yield Label(letter, (x + wide + 1.6, y - 0.6), SMALL, bold=True)


def reference_edge(tip: PlanePoint) -> Iterator[Item]:
    """An arrow to the edge above it, and what that is."""
    x, y = tip
    yield Stroke("kept edges", ((x, y), (x + 1.4, y - 2.6), (x - 1.4, y - 2.6)), closed=True)
    yield Label("reference edge", (x + 2.4, y - 2.7), SMALL, "left")
