"""A picture of a piece put into the room that a sheet has for it."""

from __future__ import annotations

from collections.abc import Sequence

from solids.base.geometry import PlanePoint
from solids.write.drafting.sheet import Item, Label, bounds, placed

TOGETHER, APART = "finished, not to scale", "drawn apart, not to scale"
"""What stands below a picture of a box, and of a corner."""


def above_words(picture: Sequence[Item], low: PlanePoint, high: PlanePoint, words: str) -> list[Item]:
    """A picture as large as fits between the points `low` and `high` of the sheet, above some words."""
    return [
        *fitted_in(picture, (low[0] + 4.0, low[1] + 8.0), (high[0] - 4.0, high[1] - 4.0)),
        Label(words, ((low[0] + high[0]) / 2, low[1] + 1.5), 2.5),
    ]


def fitted_in(items: Sequence[Item], low: PlanePoint, high: PlanePoint) -> list[Item]:
    """A picture in the middle of a room between two points, as large as fits."""
    (x1, y1), (x2, y2) = bounds(items)
    scale = min((high[0] - low[0]) / (x2 - x1), (high[1] - low[1]) / (y2 - y1))
    middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    return placed(items, scale, (middle[0] - scale * (x1 + x2) / 2, middle[1] - scale * (y1 + y2) / 2))
