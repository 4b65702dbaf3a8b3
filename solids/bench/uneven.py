"""What boards that are not of one thickness do at a joint, as a warning. Pure arithmetic on a layout, lengths in mm.

The inside faces are the reference: there the boards meet at every place. Gauges are set by the thickest places, so all
that is missing elsewhere is missing at the show faces. With a difference u:

- tail board: the pins stand o_p + u proud of its thinnest place, as they are long enough for its thickest;
- pin board, through: the tails stand o_t + u proud of it;
- pin board, half-blind: the depth is the same everywhere, so u is missing in the lap.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.base import tolerances as tol
from solids.base.amounts import at_most, fine
from solids.base.findings import Finding
from solids.base.messages import Key, Words, joined, message
from solids.layout import Layout
from solids.recipe.tables.resolved import Board


def uneven_warning(layout: Layout) -> Finding | None:
    """What the difference makes, place by place; None where a finger would not feel it."""
    uneven = [(name, board) for name, board in _boards(layout) if board.uneven > tol.STEP_FELT]
    if not uneven:
        return None
    told = [_tails_told(layout, board) if name == "tail board" else _pins_told(layout, board) for name, board in uneven]
    first = [words for name, board in uneven if (words := _first(layout, name, board))]
    return Finding(
        code="uneven",
        severity="warning",
        sentence=joined([*told, "Gauges are set by the thickest places. Inside, the boards meet all the same."]),
        place=" and ".join(name for name, _ in uneven),
        measured=max(board.uneven for _, board in uneven),
        limit=tol.STEP_FELT,
        unit="mm",
        remedy=joined(first or _along(layout)),
    )


def _boards(layout: Layout) -> tuple[tuple[str, Board], ...]:
    return ("tail board", layout.recipe.tail_board), ("pin board", layout.recipe.pin_board)


def _tails_told(layout: Layout, board: Board) -> Words:
    return _stand("tail board", board, "pins", layout.recipe.pin_board.proud)


def _pins_told(layout: Layout, board: Board) -> Words:
    recipe, finish = layout.recipe, layout.recipe.finish
    if not layout.is_half_blind:
        return _stand("pin board", board, "tails", recipe.tail_board.proud)
    left = fine(recipe.least_lap - finish.planing)
    planed = message(", and {} once the face is planed", left) if finish.planing else ""
    return message(
        "The pin board is {} to {} thick: where it is thinnest its lap is {}{}, and not {}. Gauge the depth of the "
        "sockets from the inside face: gauged from the show face, their floors would stop the tails up to {} short.",
        *(fine(board.thinnest), fine(board.thickness), fine(recipe.least_lap), planed, fine(recipe.lap)),
        fine(board.uneven),
    )


def _stand(name: str, board: Board, ends: str, proud: float) -> Words:
    """How far the mate's ends stand past a board at its thinnest and at its thickest place."""
    return message(
        "The {} is {} to {} thick: where it is thinnest the {} stand {} proud of it, and {} where it is thickest.",
        *(name, fine(board.thinnest), fine(board.thickness), ends, fine(proud + board.uneven), fine(proud)),
    )


def _first(layout: Layout, name: str, board: Board) -> Words:
    """Why a board is to be planed to one thickness before it is laid out; empty where it need not be."""
    recipe = layout.recipe
    why: Words = ""
    if board.uneven > tol.UNEVEN_MOST:
        why = message("it is uneven by more than {}", fine(tol.UNEVEN_MOST))
    elif name == "pin board" and layout.is_half_blind and recipe.least_lap < tol.LAP_THIN <= recipe.lap:
        why = "its lap gets thin"
    elif recipe.finish.ends == "proud":
        why = "ends that stay proud show it"
    if not why:
        return ""
    key = Key(f"{name.replace(' ', '_')}.thickness")
    return message("Plane the {} to one thickness first, as {}: {} = {}.", name, why, key, at_most(board.thinnest))


def _along(layout: Layout) -> Iterator[Words]:
    if layout.recipe.finish.ends == "flush" and not (layout.is_half_blind and not layout.recipe.tail_board.uneven):
        yield "Plane the ends down to the face beside them, place by place."
    yield message("A board that is uneven by more than {} is planed to one thickness first.", fine(tol.UNEVEN_MOST))
