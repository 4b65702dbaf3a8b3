"""What the figures would be in other woods, where the recipe names none: one wood is taken to have figures at all, and
the range over common woods is told beside them. Pure arithmetic on a layout, lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.base.amounts import spread
from solids.base.findings import Finding
from solids.base.lengths import format_forces
from solids.base.messages import Amount, Words, joined, message
from solids.bench.hand_error import hand_work
from solids.bench.movement import BoardChange, Season, wood_movement
from solids.bench.strength import screening
from solids.layout import Layout
from solids.recipe.tables.resolved import Board
from solids.wood import COMMON, Wood


def assumed_note(layout: Layout) -> Finding | None:
    """The range over common woods of what hangs on the wood; None where the recipe names the woods of both boards."""
    if not layout.recipe.wood_is_assumed:
        return None
    tried = [_made_of(layout, wood) for wood in COMMON]
    densities = [wood.density for wood in COMMON]
    told: list[Words] = [
        message("No wood was named, so {} is assumed, and every figure is for it.", _assumed_name(layout)),
        message("Over {} common woods, from {} to {}:", len(COMMON), COMMON[0].name, COMMON[-1].name),
        joined([_movement(layout, tried), _strength(tried), _hand(tried)], "; "),
        message("Density is {:.0f} to {:.0f} kg/m3.", min(densities), max(densities)),
    ]
    return Finding(code="assumed-wood", severity="note", sentence=joined(told))


def _assumed_name(layout: Layout) -> str:
    boards = (layout.recipe.tail_board, layout.recipe.pin_board)
    return next(board.wood.name for board in boards if board.wood.is_assumed)


def _made_of(layout: Layout, wood: Wood) -> Layout:
    """The same joint with this wood in place of the assumed one."""
    recipe = layout.recipe
    tails, pins = (_board_of(board, wood) for board in (recipe.tail_board, recipe.pin_board))
    return replace(layout, recipe=replace(recipe, tail_board=tails, pin_board=pins))


def _board_of(board: Board, wood: Wood) -> Board:
    return replace(board, wood=wood) if board.wood.is_assumed else board


def _movement(layout: Layout, tried: Sequence[Layout]) -> Words:
    """How much the width of the board without a named wood comes and goes through the year."""
    moves = [wood_movement(each) for each in tried]
    widths = [abs(_width(layout, each.damp) - _width(layout, each.dry)) for each in moves]
    return message("a board comes and goes by {} in width through the year", spread(min(widths), max(widths)))


def _width(layout: Layout, season: Season) -> float:
    change: BoardChange = season.tail_board if layout.recipe.tail_board.wood.is_assumed else season.pin_board
    return change.width or 0.0


def _strength(tried: Sequence[Layout]) -> Words:
    """What the joint holds when glued, in those woods whose strength is printed."""
    glued = [found.glued[0] for found in map(screening, tried) if found.glued]
    load = Amount(format_forces, (min(part.least for part in glued), max(part.most for part in glued)))
    return message("pulled apart, the glued joint gives first at about {}", load)


def _hand(tried: Sequence[Layout]) -> Words:
    """How often a hand gets the joint right: a softer wood forgives more."""
    right = [100 * hand_work(each).right for each in tried]
    return message("{:.0f} to {:.0f} % of such joints come out right.", min(right), max(right))
