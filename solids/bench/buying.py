"""What to buy for a piece: its boards as they are taken from the plank, and what else it takes."""

from __future__ import annotations

import math

from solids.base.lengths import format_length, format_sizes
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import AMOUNT_HEADS, Rows, amount_to_buy
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.recipe.completing.choosing import round_up

SCREW_EVERY = 150.0
"""How far screws under a back are apart at most (mm); two are the least. Common practice."""

SCREW_LONG = 3.0
"""How long a screw is, as a multiple of the thickness of what it holds. Common practice."""


def wood_rows(plan: Layout | BoxLayout) -> Rows:
    """The heads of the table of boards, and its rows: each board rough, and how much wood that is; the last row is the
    sum."""
    units, boards = plan.recipe.units, boards_of(plan)
    told = [(row.name, row.wood, format_sizes(row.rough, units), amount_to_buy([row], units)) for row in boards]
    return ("board", "wood", "rough size", AMOUNT_HEADS[units][0]), [
        *told,
        ("all", "", "", amount_to_buy(boards, units)),
    ]


def else_to_buy(plan: Layout | BoxLayout) -> list[str]:
    """Glue, and screws where the bottom takes some."""
    screws = screws_for(plan) if isinstance(plan, BoxLayout) else None
    if screws is None:
        return ["Wood glue."]
    long = format_length(screws[1], plan.recipe.units)
    return ["Wood glue.", f"{screws[0]} thin screws, {long} long, with washers: they hold the bottom to the back."]


def screws_for(box: BoxLayout) -> tuple[int, float] | None:
    """How many screws go up through the bottom into the back, and how long they are; None where there are none."""
    if box.panel is None or not box.recipe.panel.under_back:
        return None
    count = max(2, math.ceil(box.recipe.inside[0] / SCREW_EVERY))
    return count, round_up(SCREW_LONG * box.recipe.groove.width, box.recipe.units)
