"""Why a piece is missing from a plan, by how much, and what board would do. Lengths in mm."""

from __future__ import annotations

from collections.abc import Callable

from solids.base.amounts import at_least, sizes
from solids.base.messages import Words, joined, message
from solids.layout.cutting.model import EXACT, Missing, Part, Task, is_same_wood, longest_clear
from solids.wood.rack import RackBoard

Why = tuple[Words, float | None]
"""The reason, and how much too small the board that comes nearest is."""

USED_UP = "the boards that it could come from are used up"


def missing_of(task: Task, part: Part) -> Missing:
    """What is told of a part that has no board."""
    why, short = why_not(task, part)
    return Missing(part.name, (part.length, part.width, part.rough), part.wood, why, short, _accepted(part))


def why_not(task: Task, part: Part) -> Why:
    """Why a part has no board: the first of wood, thickness, width and length that no board has which has those
    before. Where there is such a board, others have used it up."""
    boards = [board for board in task.boards if is_same_wood(part.wood, board)]
    if not boards:
        there = dict.fromkeys(board.wood.told for board in task.boards)
        return message("the rack has no {}, but {}", part.wood, joined(there, ", ")), None
    asked: tuple[tuple[Callable[[RackBoard], float], Callable[[RackBoard], float], Words, str], ...] = (
        (lambda board: board.thickness, part.thickness_for, "the thickest {} is {} thick", "thin"),
        (lambda board: board.width, lambda _: part.width, "the widest {} that is thick enough is {} wide", "narrow"),
        (
            lambda board: longest_clear(board, task.kerf),
            lambda _: part.length,
            "the longest {} that is thick and wide enough is clear over {}",
            "short",
        ),
    )
    for has, takes, words, too in asked:
        enough = [board for board in boards if takes(board) <= has(board) + EXACT]
        if not enough:
            nearest = min(boards, key=lambda board: takes(board) - has(board))
            short = takes(nearest) - has(nearest)
            told = message(str(words), nearest.wood.told, sizes(has(nearest)))
            return message("{}, and it takes {}: {} too {}", told, sizes(takes(nearest)), sizes(short), too), short
        boards = enough
    return USED_UP, None


def _accepted(part: Part) -> Words:
    """The least board that would do."""
    words = "a board of {} with a clear length of {}, {} wide, and {} thick, or {} where it is planed"
    least = (part.length, part.width, part.rough, part.planed)
    return message(words, part.wood, *(at_least(size) for size in least))
