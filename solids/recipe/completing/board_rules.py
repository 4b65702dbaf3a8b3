"""What boards do not allow as they are: a hollow as deep as a board is thick, a lap that an uneven board wears away,
planing that takes too much of the thinnest place, a groove that is too deep. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from solids.base import tolerances as tol
from solids.base.amounts import too_much, typed
from solids.base.errors import Problem
from solids.base.messages import message
from solids.recipe.tables.accepted import no_less_than, no_more_than, up_to
from solids.recipe.tables.box_resolved import Groove, Side
from solids.recipe.tables.resolved import Board


def board_problems(tails: Board, pins: Board, lap: float, planing: float) -> Iterator[Problem]:
    """Under the keys of a corner. `lap` is 0 in a through joint; `planing` is what is taken off both show faces."""
    yield from _too_hollow("tail_board.cup", tails)
    yield from _too_hollow("pin_board.cup", pins)
    yield from _lap_worn(lap, pins)
    yield from _planed_away(tails, pins, lap, planing)


def _lap_worn(lap: float, pins: Board) -> Iterator[Problem]:
    least = pins.uneven + tol.LEAST_FEATURE
    if 0 < lap < least - tol.ROUNDING:
        wrong = "{} leaves nothing where the pin board is {} thinner"
        remedy, tries = no_less_than(least)
        told = message("{}, or plane the pin board to one thickness first", remedy)
        yield Problem("joint.lap", message(wrong, typed(lap), typed(pins.uneven)), told, tries)


def _planed_away(tails: Board, pins: Board, lap: float, planing: float) -> Iterator[Problem]:
    """Planing takes as much everywhere, so the thinnest place limits it."""
    board = min(tails.thinnest, math.inf if lap else pins.thinnest)
    left = max(lap - pins.uneven, 0.0)
    thinnest, what = (left, "the lap") if lap and left <= board else (board, "a board")
    if planing > thinnest / 2 + tol.ROUNDING:
        uneven = pins.uneven if what == "the lap" else max(tails.uneven, pins.uneven)
        where = message(" where it is thinnest, {}", typed(thinnest)) if uneven else ""
        wrong = message("{} takes more than half of {}{}", too_much(planing), what, where)
        yield Problem("finish.planing", wrong, *up_to(thinnest / 2))


def _too_hollow(key: str, board: Board) -> Iterator[Problem]:
    if board.cup >= board.thinnest - tol.ROUNDING:
        wrong = "{} is as much as the board is thick, {}, or more"
        accepted, tries = up_to(board.thinnest - tol.LEAST_STEP)
        told = message("{}; measure with a straightedge across the width", accepted)
        yield Problem(key, message(wrong, typed(board.cup), typed(board.thinnest)), told, tries)


def too_deep(groove: Groove, stays: Mapping[Side, float], planing: float, key: str) -> Iterator[Problem]:
    """A groove that takes too much of a board, under the `key` of its depth. `stays` is the thickness of each grooved
    board once planed. Planing that takes too much is refused with the corners."""
    thin = min(stays, key=lambda side: stays[side])
    deepest = tol.GROOVE_DEEPEST * stays[thin]
    if groove.width and groove.depth > deepest + tol.ROUNDING and planing <= stays[thin]:
        planed = ", once it is planed" if planing else ""
        wrong = "{} is too deep for the {} board, which is {} thick{}"
        told = message(wrong, typed(groove.depth), thin, typed(stays[thin]), planed)
        yield Problem(key, told, *no_more_than(deepest))
