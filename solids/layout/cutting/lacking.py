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
    before. Where there is such a board, others have used it up. What may be glued up lacks its length before its width:
    were a board long enough, several would make it up."""
    boards = [board for board in task.boards if is_same_wood(part.wood, board)]
    if not boards:
        there = dict.fromkeys(board.wood.told for board in task.boards)
        return message("the rack has no {}, but {}", part.wood, joined(there, ", ")), None
    for has, takes, words, too in _asked(task, part):
        enough = [board for board in boards if takes(board) <= has(board) + EXACT]
        if not enough:
            nearest = min(boards, key=lambda board: takes(board) - has(board))
            short = takes(nearest) - has(nearest)
            told = message(words, nearest.wood.told, sizes(has(nearest)))
            return message("{}, and it takes {}: {} too {}", told, sizes(takes(nearest)), sizes(short), too), short
        boards = enough
    return USED_UP, None


Measure = tuple[Callable[[RackBoard], float], Callable[[RackBoard], float], str, str]
"""What a board has and what it takes, the words for the one that has most, and what it is too."""


def _asked(task: Task, part: Part) -> tuple[Measure, Measure, Measure]:
    """The sides of a board, in the order in which they are asked for."""

    def wide(than: str) -> Measure:
        return lambda board: board.width, lambda _: part.width, f"the widest {{}} that is {than} is {{}} wide", "narrow"

    def long(than: str) -> Measure:
        clear = f"the longest {{}} that is {than} is clear over {{}}"
        return lambda board: longest_clear(board, task.kerf), lambda _: part.length, clear, "short"

    thick: Measure = lambda board: board.thickness, part.thickness_for, "the thickest {} is {} thick", "thin"
    if part.is_glued:
        return thick, long("thick enough"), wide("thick and long enough")
    return thick, wide("thick enough"), long("thick and wide enough")


def _accepted(part: Part) -> Words:
    """The least board that would do."""
    words = "a board of {} with a clear length of {}, {} wide, and {} thick, or {} where it is planed"
    least = (part.length, part.width, part.rough, part.planed)
    told = message(words, part.wood, *(at_least(size) for size in least))
    return message("{}; or narrower ones, to glue up", told) if part.is_glued else told
