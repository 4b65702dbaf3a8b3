"""The best cutting plan by going through every way to divide the parts: what the solver has to reach. It shares nothing
with the solver but the records. Its time grows as 3 to the power of the parts."""

from __future__ import annotations

from collections.abc import Iterator

from solids.layout.cutting.model import EXACT, Task, clear_of, cross_section

Found = tuple[float, float, float]
"""Pieces missing, wood used up and wood in boards begun."""


def best_by_search(task: Task) -> Found:
    """The least of the three, one after another."""
    everything = (1 << len(task.parts)) - 1
    best: dict[int, tuple[float, float]] = {0: (0.0, 0.0)}
    for kind, board in enumerate(task.boards):
        usable = sum(1 << part for part, kinds in enumerate(task.kinds) if kind in kinds)
        lengths = _least_lengths(task, board.width, usable)
        spans = [high - low for low, high in clear_of(board, task.kerf)]
        for _ in range(min(board.count, len(task.parts))):
            on_one = _on_one_board(lengths, spans, task.kerf)
            added: dict[int, tuple[float, float]] = dict(best)
            for done, (used, begun) in best.items():
                for more, length in on_one.items():
                    if more and not more & done:
                        wood = round(used + length * cross_section(board), 3)  # so that equal sums are equal
                        whole = begun + board.length * cross_section(board)
                        if (wood, whole) < added.get(done | more, (float("inf"), 0.0)):
                            added[done | more] = wood, whole
            best = added
    pieces = [len(part.names) for part in task.parts]
    return min(
        (sum(n for part, n in enumerate(pieces) if not done >> part & 1), *best[done])
        for done in best
        if done <= everything
    )


def _least_lengths(task: Task, width: float, usable: int) -> dict[int, float]:
    """For every set of parts, the least length of board with their sections and a kerf after each."""
    found = {0: 0.0}
    for parts in sorted(_subsets(usable)):
        if not parts:
            continue
        first = parts & -parts
        best = float("inf")
        for rest in _subsets(parts ^ first):
            section = [task.parts[place] for place in range(parts.bit_length()) if (rest | first) >> place & 1]
            if sum(part.width + task.kerf for part in section) <= width + task.kerf + EXACT:
                length = max(part.length for part in section) + task.kerf
                best = min(best, length + found[parts ^ rest ^ first])
        found[parts] = best
    return found


def _on_one_board(lengths: dict[int, float], spans: list[float], kerf: float) -> dict[int, float]:
    """The sets of parts that one board holds on its clear lengths, and how much length they take."""
    found = {0: 0.0}
    for span in spans:
        fits = {parts: length for parts, length in lengths.items() if length <= span + kerf + EXACT}
        longer = dict(found)
        for done, taken in found.items():
            for more, length in fits.items():
                if not more & done and taken + length < longer.get(done | more, float("inf")):
                    longer[done | more] = taken + length
        found = longer
    return found


def _subsets(parts: int) -> Iterator[int]:
    subset = parts
    while True:
        yield subset
        if not subset:
            return
        subset = (subset - 1) & parts
