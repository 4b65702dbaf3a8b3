"""The top of a lid that is sawn off, in its groove. The groove is cut as that of the bottom is; the boards have it as a
cut beside their joints. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solids.base.geometry import PlanePoint, Point, Span
from solids.base.polygons import sides
from solids.layout.box.fitted.bodies import AIR, Body, Cut, Fitting
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout, with_top
from solids.recipe.tables.box_resolved import SIDES

TOP, TOP_GROOVE = "top", "top groove"


def top(box: BoxLayout, bottom: Callable[[BoxLayout], Fitting]) -> Fitting:
    """The top and its groove, if there is one. It is made as the `bottom` of a box is. It goes in when the box is glued
    up, and comes down with the lid."""
    lid = box.recipe.lid
    if lid is None or not box.recipe.top_groove.width:
        return Fitting()
    twin = with_top(box)
    (lying,) = bottom(twin).parts
    row = replace(lying.row, name=TOP)
    part = replace(lying, name=TOP, row=row, step="Slide in the top {}.", drop=lid.lost)
    return Fitting((part,), tuple(_groove(twin, twin.boards[side]) for side in SIDES))


def _groove(twin: BoxLayout, board: BoxBoard) -> Cut:
    """What a groove takes of a board whose joints are cut, and the tool that cuts it."""
    groove = twin.recipe.groove
    x = (groove.up - board.up.low, groove.top - board.up.low)
    wood = _body(board, x, _outline(board, *(_end(twin, board, corner) for corner in (board.up, board.down))))
    tool = _body(board, x, _outline(board, *(_end_of_tool(twin, board, corner) for corner in (board.up, board.down))))
    return Cut(board.side, TOP_GROOVE, wood, tool)


def _end(twin: BoxLayout, board: BoxBoard, corner: BoxCorner) -> list[PlanePoint]:
    """The end of the groove's outline, from the board's inside face to its depth: (along, into) the board, from the
    baseline."""
    deep, rebate = twin.recipe.groove.depth, corner.layout.rebate
    reach = twin.groove_reach(board, corner, corner.layout.as_cut)
    if board.kind == "pin board":
        return [(rebate, 0.0), (reach, deep)]
    if deep <= rebate:
        return [(0.0, 0.0), (0.0, deep)]
    step = [(0.0, 0.0), (0.0, rebate)] if rebate else []
    if twin.is_mitred(corner):
        return [*(step or [(0.0, 0.0)]), (reach, deep)]
    return [*step, (reach, rebate), (reach, deep)]


def _end_of_tool(twin: BoxLayout, board: BoxBoard, corner: BoxCorner) -> list[PlanePoint]:
    """The same of a plain block that reaches into the air, but where the groove stops in the wood."""
    deep, stops = twin.recipe.groove.depth, twin.stops(board, corner)
    reach = twin.groove_reach(board, corner, corner.layout.as_cut) + (0.0 if stops else AIR)
    return [(reach, -AIR), (reach, deep)]


def _outline(board: BoxBoard, near: list[PlanePoint], far: list[PlanePoint]) -> list[PlanePoint]:
    """The whole outline in (Y, Z) of the board's frame, counter-clockwise seen from where X comes."""
    whole = [*((-board.length - along, into) for along, into in reversed(far)), *near]
    if board.kind == "tail board":
        return whole
    return [(into, along) for along, into in reversed(whole)]


def _body(board: BoxBoard, x: Span, outline: list[PlanePoint]) -> Body:
    """An outline raised along X, from the groove's lower wall to its upper one, where the board stands in the box."""
    low, high = (tuple[Point, ...]((at, *point) for point in outline) for at in x)
    into = 0 if board.kind == "pin board" else 1
    deepest = max(point[into] for point in outline)
    names = []
    for first, second in sides(outline):
        is_floor = first[into] == second[into] == deepest
        corner = board.up if first[1 - into] + second[1 - into] > -board.length else board.down
        names.append("floor" if is_floor else f"{corner.name} end")
    return Body(low, high, ("lower wall", "upper wall", *names)).moved(board.up.rows)
