"""The chapter on the boards: the cut list, and a sketch of each board with its ends, its marks and its sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportlab.platypus import Flowable, Paragraph

from solids.layout.boards import boards_of
from solids.layout.box.cut_list import TALLIED, glue_ups_told, told_rows
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.write.drafting.boards import SketchedBoard, scale_of, sketch, sketched
from solids.write.drafting.paper import units_in_words
from solids.write.paper.booklet.heads import put_head
from solids.write.paper.box_sheet import cut_list_table
from solids.write.paper.typesetting.columns import BETWEEN
from solids.write.paper.typesetting.flow import flow_height, put, safe, style
from solids.write.paper.typesetting.pdf import EDGE, Pages

SIZE = 9.5

LEAST = 44.0
"""How high the place of one sketch is at least."""

KEY = "Each board lies with its reference edge down and its show face up. Crossed: waste. Red dashes: gauge here."

GROOVED = " Blue dashes: the {}, on the inside face."

LIDDED = " Violet: here the lid is sawn off, and not before the box is glued."

DIVIDED = " Black dashes: housings, on the inside face, each with its divider. A divider lies with its near face up."


def put_boards(file: Pages, plan: Layout | BoxLayout, larger: float) -> None:
    """The cut list with the sketches below it, on a page of their own where they need one."""
    width, size = file.width - 2 * EDGE, SIZE * larger
    file.chapter("Cut list")
    top = put_head(file, "Cut list")
    flow = _words(plan, size, width)
    height = flow_height(flow, width)
    put(file, flow, (EDGE, top - height), (width, height))
    boards, top = sketched(plan), top - height - 2.0
    if (top - EDGE) / math.ceil(len(boards) / 2) < LEAST * larger:
        file.next_page()
        top = file.height - EDGE
    on_a_page = max(2 * int((top - EDGE) / (LEAST * larger)), 1)
    for first in range(0, len(boards), on_a_page):
        _put_sketches(file, plan, boards[first : first + on_a_page], top)
        file.next_page()
        top = file.height - EDGE


def _words(plan: Layout | BoxLayout, size: float, width: float) -> list[Flowable]:
    units = plan.recipe.units
    more = glue_ups_told(plan) if isinstance(plan, BoxLayout) else ""
    body = style(size * 0.92, after=size * 0.2)
    return [
        cut_list_table(told_rows(boards_of(plan), units), size, width),
        Paragraph(safe(f"{TALLIED[units]}{more}"), body),
        Paragraph(safe(f"{_key(plan)} Sketches: {units_in_words(units)}, not to scale."), body),
    ]


def _key(plan: Layout | BoxLayout) -> str:
    """What the lines mean."""
    if not isinstance(plan, BoxLayout):
        return KEY
    rebated, has_top = plan.recipe.panel.in_rebate, plan.recipe.top_groove.width > 0
    if plan.panel is None:
        grooves = "groove for the top" if has_top else ""
    elif has_top:
        grooves = "rebate for the bottom and the groove for the top" if rebated else "grooves for bottom and top"
    else:
        grooves = "rebate" if rebated else "groove"
    told = [KEY, GROOVED.format(grooves) if grooves else ""]
    return "".join([*told, LIDDED * (plan.recipe.lid is not None), DIVIDED * bool(plan.recipe.dividers)])


def _put_sketches(file: Pages, plan: Layout | BoxLayout, boards: Sequence[SketchedBoard], top: float) -> None:
    """Row by row, from left to right: in one column or in two, whichever lets boards be drawn larger, and where both
    do, whichever shows more of their length."""
    ways = [(_room(file, columns, len(boards), top), columns) for columns in (2, 1)]
    (wide, high), columns = max(ways, key=lambda way: (min(scale_of(board, way[0]) for board in boards), way[0]))
    for number, board in enumerate(boards):
        row, column = divmod(number, columns)
        low = EDGE + column * (wide + BETWEEN), top - (row + 1) * high
        file.draw(sketch(board, plan.recipe.units, low, (wide, high)))


def _room(file: Pages, columns: int, count: int, top: float) -> tuple[float, float]:
    """The place of each of so many sketches."""
    high = (top - EDGE) / math.ceil(count / columns)
    return (file.width - 2 * EDGE - BETWEEN * (columns - 1)) / columns, high
