"""What to buy for a piece: its boards as they are taken from the plank, and what else it takes."""

from __future__ import annotations

import math

from solids.base.lengths import format_length, format_sizes
from solids.base.messages import Units
from solids.layout.boards import boards_of
from solids.layout.box.cut_list import AMOUNT_HEADS, GlueUp, Rows, amount_to_buy, glue_ups
from solids.layout.box.model import BoxLayout
from solids.layout.box.rows import CutListRow
from solids.layout.joint.shape.model import Layout
from solids.recipe.completing.choosing import round_up
from solids.recipe.tables.box_resolved import CORNERS

SCREW_EVERY = 150.0
"""How far screws under a back are apart at most (mm); two are the least. Common practice."""

SCREW_LONG = 3.0
"""How long a screw is, as a multiple of the thickness of what it holds. Common practice."""


def wood_rows(plan: Layout | BoxLayout) -> Rows:
    """The heads of the table of boards, and its rows: each board rough, and how much wood that is; the last row is the
    sum."""
    units, boards = plan.recipe.units, boards_of(plan)
    glued = {each.name: each for each in glue_ups(plan)} if isinstance(plan, BoxLayout) else {}
    told = [
        (row.name, row.stock, _rough_told(row, glued.get(row.name), units), amount_to_buy([row], units))
        for row in boards
    ]
    return ("board", "wood", "rough size", AMOUNT_HEADS[units][0]), [
        *told,
        ("all", "", "", amount_to_buy(boards, units)),
    ]


def _rough_told(row: CutListRow, glued: GlueUp | None, units: Units) -> str:
    """The rough size of a board, or of each of those that it is glued up from."""
    if glued is None:
        return format_sizes(row.rough, units)
    long, _, thick = row.rough
    return f"{glued.boards} of {format_sizes((long, glued.sawn_width, thick), units)}"


SCREWS_PER_FOOT, INTO_EDGE = 2, 20.0
"""How many screws hold a foot, and how far they reach past it into the edge of the board (mm). Common practice."""


def else_to_buy(plan: Layout | BoxLayout) -> list[str]:
    """Glue, and screws where the bottom or the feet take some."""
    found = ["Wood glue."]
    if not isinstance(plan, BoxLayout):
        return found
    if feet := foot_screws(plan):
        long = format_length(feet[1], plan.recipe.units)
        found.append(f"{feet[0]} screws, {long} long: they hold the feet, {SCREWS_PER_FOOT} each.")
    screws = screws_for(plan)
    if screws is None:
        return found
    long = format_length(screws[1], plan.recipe.units)
    where = "in its rebate" if plan.recipe.panel.in_rebate else "to the back"
    return [*found, f"{screws[0]} thin screws, {long} long, with washers: they hold the bottom {where}."]


def foot_screws(box: BoxLayout) -> tuple[int, float] | None:
    """How many screws hold the feet, from below, and how long they are; None where it has none."""
    feet = box.recipe.feet
    if feet is None:
        return None
    return SCREWS_PER_FOOT * len(CORNERS), round_up(feet.height + INTO_EDGE, box.recipe.units)


def screws_for(box: BoxLayout) -> tuple[int, float] | None:
    """How many screws go up through the bottom, and how long they are: into the back, or all round into a rebate; None
    where there are none, as in a groove all round, and with plywood that is glued into a rebate."""
    panel, inside = box.recipe.panel, box.recipe.inside
    long = round_up(SCREW_LONG * panel.thickness, box.recipe.units)
    along, across = (max(2, math.ceil(mm / SCREW_EVERY)) for mm in inside)
    if box.panel is None or not (panel.under_back or (panel.in_rebate and panel.kind == "solid")):
        return None
    return (2 * (along + across) if panel.in_rebate else along), long
