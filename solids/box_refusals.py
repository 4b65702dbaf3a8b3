"""Every way in which a box cannot be made as it is asked for, with what would be accepted. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids import tolerances as tol
from solids.box_layout import BoxCorner, BoxLayout, Span
from solids.errors import Problem, RecipeError
from solids.layout import Layout, lay_out
from solids.lengths import format_decimal, format_most
from solids.recipe.box_resolved import BoxRecipe

HELD_LEAST = 1.0
"""How much of a bottom's edge must stay in its groove when it has shrunk (mm). Common practice."""


def lay_out_box(recipe: BoxRecipe) -> BoxLayout:
    """The layout of a box. RecipeError holds every reason why it cannot be made."""
    at: dict[Problem, list[str]] = {}
    for name, corner in recipe.corners.items():
        try:
            lay_out(corner)
        except RecipeError as err:
            for problem in err.problems:
                at.setdefault(problem, []).append(name)
    problems = [
        problem if len(names) == 4 else replace(problem, wrong=f"{problem.wrong} ({', '.join(names)})")
        for problem, names in at.items()
    ]
    box = BoxLayout(recipe)
    if not problems:
        problems = [*_groove_problems(box), *_panel_problems(box), *_stock_problems(box)]
    if problems:
        raise RecipeError(dict.fromkeys(problems))
    return box


def neck_of(layout: Layout, low: float, high: float) -> bool:
    """Whether a groove from X to X lies within the neck of one tail, less any gap and chamfer."""
    return any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in necks(layout))


def necks(layout: Layout) -> Iterator[Span]:
    """Where a groove may run through each tail: its neck at the baseline, less any gap and chamfer."""
    chamfer = layout.recipe.entry_chamfer.width * layout.flank_stretch if layout.chamfer_reach else 0.0
    less = abs(layout.flank_shift) + chamfer
    for tail in layout.tails:
        left, right = layout.tail_edges(tail, 0.0)
        yield left + less, right - less


def _groove_problems(box: BoxLayout) -> Iterator[Problem]:
    recipe, groove = box.recipe, box.recipe.groove
    if not groove.width:
        return
    if groove.top > recipe.height - tol.LEAST_FEATURE:
        most = format_most(max(recipe.height - tol.LEAST_FEATURE - groove.width, 0.0), recipe.units)
        wrong = f"{format_decimal(groove.up, recipe.units)} puts the groove off the edge of boards that are "
        yield Problem(
            "box.groove.up", f"{wrong}{format_decimal(recipe.height, recipe.units)} wide", f"accepted is up to {most}"
        )
        return
    closed = [corner for corner in box.corners.values() if not box.is_open(corner)]
    for corner in closed:
        if not neck_of(corner.layout, groove.up, groove.top):
            yield _cuts_a_pin(box, corner)
        if not box.runs_out(corner) and groove.depth > corner.layout.depth - tol.LEAST_FEATURE:
            deep, joint = (format_decimal(size, recipe.units) for size in (groove.depth, corner.layout.depth))
            yield Problem(
                "box.groove.depth",
                f"{deep} is as deep as the joint of {joint} at the {corner.name}, so that the groove cannot stop in it",
                f"accepted is less than {joint}",
            )


def _cuts_a_pin(box: BoxLayout, corner: BoxCorner) -> Problem:
    """Names the nearest place that cuts no pin at any corner."""
    recipe, groove = box.recipe, box.recipe.groove
    common = [
        (low, high)
        for low, high in necks(corner.layout)
        if high - low >= groove.width - tol.ROUNDING
        and all(
            any(left <= low + tol.ROUNDING and high <= right + tol.ROUNDING for left, right in necks(other.layout))
            for other in box.corners.values()
            if not box.is_open(other)
        )
    ]
    remedy = "take a narrower groove, or fewer and wider tails"
    if common:
        nearest = min(common, key=lambda span: max(span[0] - groove.up, groove.top - span[1]))
        say = [format_decimal(value, recipe.units) for value in (nearest[0], nearest[1] - groove.width)]
        remedy = f"shift it: accepted is from {say[0]} to {say[1]}"
    where = " to ".join(format_decimal(value, recipe.units) for value in (groove.up, groove.top))
    return Problem("box.groove.up", f"from {where} the groove cuts a pin at the {corner.name}", remedy)


def _panel_problems(box: BoxLayout) -> Iterator[Problem]:
    panel, recipe = box.panel, box.recipe
    if panel is None:
        return
    if box.panel_hold < HELD_LEAST:
        room, held = (format_decimal(max(size, 0.0), recipe.units) for size in (box.panel_room, box.panel_hold))
        deeper = recipe.groove.depth + HELD_LEAST - box.panel_hold
        yield Problem(
            "box.groove.depth",
            f"{format_decimal(recipe.groove.depth, recipe.units)} holds {held} of a bottom that moves {room}",
            f"accepted is about {format_decimal(round(deeper + 0.05, 1), recipe.units)} or more, or a quieter wood",
        )


def _stock_problems(box: BoxLayout) -> Iterator[Problem]:
    """Boards that are larger, as sawn, than any that can be had. A bottom is glued up of narrower ones."""
    (longest, widest), units, rough = box.recipe.stock, box.recipe.units, box.recipe.rough
    for side, board in box.boards.items():
        length, width = board.end_to_end(finished=False) + rough.length, board.width + rough.width
        if longest is not None and length > longest:
            key = "box.length" if side in ("front", "back") else "box.width"
            wrong = f"the {side} is sawn {format_decimal(length, units)} long, and stock.length is "
            yield Problem(key, f"{wrong}{format_decimal(longest, units)}", "take a smaller box or longer stock")
        if widest is not None and width > widest:
            wrong = f"the {side} is sawn {format_decimal(width, units)} wide, and stock.width is "
            yield Problem("box.height", f"{wrong}{format_decimal(widest, units)}", "take a lower box or wider stock")
