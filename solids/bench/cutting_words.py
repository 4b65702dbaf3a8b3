"""A cutting plan in words, in the maker's units."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solids.base.lengths import bare_mm, format_length, format_sizes, fraction_of_inch
from solids.base.messages import Units, capital, counted, said
from solids.layout.cutting.model import BoardPlan, Cut, CuttingPlan, Missing

HOW = (
    "Boards lie as in the drawing: places are measured from the left end. Make the crosscuts of a board first, then "
    "rip each length, then cut its strips to length, in the order of the numbers. Sizes are rough: they leave what is "
    "planed and squared off later. Before the first cut, look whether the board is as it was noted."
)


def on_the_drawing(sizes: Sequence[float], units: Units) -> str:
    """Sizes, or a place, as short as a drawing needs them: in inches to the nearest line of the rule alone."""
    return " x ".join(bare_mm(mm) if units == "mm" else fraction_of_inch(mm) for mm in sizes)


def board_heading(plan: BoardPlan, units: Units) -> str:
    """Which board it is, by what is chalked on it or its place in the list, and its sizes."""
    board = plan.board
    name = f", {board.name}" if board.name else ""
    copy = f", {plan.copy} of {board.count}" if board.count > 1 else ""
    sizes = format_sizes((board.length, board.width, board.thickness), units)
    return f"Board {plan.number}{name}{copy}: {board.wood.name}, {sizes}, {'planed' if board.planed else 'rough'}"


def cut_words(cut: Cut, units: Units) -> str:
    """What to do, and what it gives."""
    place, pieces = format_length(cut.setting, units), ", ".join(cut.names)
    if cut.kind == "rip":
        return f"Rip a strip {place} wide: {pieces}."
    if cut.kind == "crosscut of a strip":
        return f"Cut {pieces} off its strip, {place} long."
    if cut.left:
        return f"Crosscut at {place}, the kerf to the left of the mark: what is to be avoided comes off."
    return f"Crosscut at {place}, the kerf to the right of the mark: the length for {pieces}."


def left_words(plan: BoardPlan, units: Units) -> str:
    """What is left of a board."""
    sizes = [format_sizes(offcut.size, units) for offcut in plan.offcuts]
    return f"Left over and clear: {'; '.join(sizes)}." if sizes else "Nothing is left over that is worth keeping."


def missing_words(one: Missing, units: Units) -> str:
    """What is missing, why, and what would do, without the full stop."""
    sizes = format_sizes(one.size, units)
    return f"No board for the {one.name} ({sizes}): {said(one.why, units)}. It takes {said(one.accepted, units)}"


def sums(plan: CuttingPlan) -> str:
    """How many boards are begun, and how much of the wood goes into pieces."""
    if not plan.boards:
        return "Nothing can be cut from this rack."
    pieces = sum(len(board.pieces) for board in plan.boards)
    share = plan.in_pieces / plan.used
    return (
        f"{capital(counted(pieces, 'piece'))} from {counted(len(plan.boards), 'board')}. Of the wood that is used up, "
        f"{100 * share:.0f} % goes into the pieces at their rough sizes."
    )


def how_good(plan: CuttingPlan) -> str:
    """What is known of how good the plan is."""
    if not plan.boards:
        return ""
    if plan.proved and plan.missing:
        return "It is proved that no plan finds a board for more pieces, and none for as many uses up less wood."
    if plan.proved:
        return "It is proved that no plan uses up less wood."
    if plan.over == 0:
        return "No plan uses up less wood; whether another begins smaller boards was not found out in the time for it."
    if plan.over is None:
        return "This is the best plan that was found in the time for it; a better one may exist."
    best = f"the best of all uses up at most {100 * plan.over:.1f} % less"
    return f"This is the best plan that was found in the time for it; {best}."


def short_words(plan: CuttingPlan, units: Units) -> Iterator[str]:
    """The plan in a few sentences: sums, grain, what is missing, and what is not in it."""
    yield sums(plan)
    yield said(plan.grain, units)
    yield from (f"{missing_words(one, units)}." for one in plan.missing)
    if plan.left_out:
        names = " and ".join(row.name for row in plan.left_out)
        yield f"Not in the plan, as sawn from a sheet: {names}."
