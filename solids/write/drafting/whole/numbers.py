"""The numbers of parts on drawings, those of the rows of the cut list, and the list of parts that goes with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.base.fonts import fitted
from solids.base.geometry import PlanePoint
from solids.base.lengths import format_sizes
from solids.base.messages import capital
from solids.layout.boards import boards_of
from solids.layout.box.model import BoxLayout
from solids.write.drafting.sheet import Item, Label, arc, box, line

LETTERS, ROW = 2.5, 4.6
"""Height of capitals in the list, and of a row."""

COLUMNS = (0.0, 9.0, 31.0, 56.0)
"""Where number, name, wood and size begin, from the left side of the list."""

ROUND = 2.6
"""The radius of the circle round a number."""


def numbers_of(box: BoxLayout) -> dict[str, int]:
    """The number of each part that has a row in the cut list, by its name."""
    return {row.name: number for number, row in enumerate(boards_of(box), start=1)}


def list_height(box: BoxLayout) -> float:
    """How high the list is."""
    return ROW * (len(boards_of(box)) + 1)


def list_of_parts(plan: BoxLayout, low: PlanePoint, width: float) -> Iterator[Item]:
    """Number, name, wood and finished size of each part, the first on top; `low` is the lower left corner."""
    rows: list[Sequence[str]] = [("no.", "part", "wood", f"finished, {_order(plan)}")]
    for number, row in enumerate(boards_of(plan), start=1):
        rows.append((str(number), capital(row.name), row.stock, format_sizes(row.finished, plan.recipe.units)))
    yield box("frame", low, (low[0] + width, low[1] + list_height(plan)))
    ends = (*COLUMNS[1:], width)
    for place, told in enumerate(reversed(rows)):
        y = low[1] + ROW * place
        if place:
            yield line("thin frame", (low[0], y), (low[0] + width, y))
        for left, right, text in zip(COLUMNS, ends, told, strict=True):
            bold = place == len(rows) - 1
            _, fits = fitted(text, right - left - 2.0, LETTERS, bold=bold)
            yield Label(text, (low[0] + left + 1.5, y + (ROW - LETTERS) / 2), fits, "left", bold=bold)


def _order(plan: BoxLayout) -> str:
    return "length x width x thickness" if plan.recipe.units == "mm" else "L x W x T"


def numbered(number: int, at: PlanePoint) -> Iterator[Item]:
    """A number in a circle."""
    yield arc("dimensions", at, ROUND, 0.0, 360.0, 36)
    yield Label(str(number), (at[0], at[1] - LETTERS / 2), LETTERS, bold=True)
