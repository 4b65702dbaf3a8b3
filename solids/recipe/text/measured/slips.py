"""What looks like a slip of the rule or of the pencil: a flank that leans otherwise than the others, a tail that holds
nothing. It may be as the board is, so nothing is refused or changed. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import itertools
import math
import statistics
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass

from solids.base.errors import LengthError
from solids.base.parsing import parse_length
from solids.recipe.text.measured.marks import Mark, Marks, flank_name

LEANS_ALIKE = 4.0
"""How far, in degrees, flanks of one hand lean from each other, marks read to half a millimetre included. Our own
choice: in a board of 12 mm a slip of 1 mm leans 4.5 degrees more."""

OUTLIER = 3.5 * 1.4826
"""How many median deviations from the median make an outlier, where the flanks of a joint differ more than that: 3.5
standard deviations, of which the median deviation of a normal spread is 1 / 1.4826. B. Iglewicz and D. Hoaglin, How to
Detect and Handle Outliers, 1993. From memory."""


@dataclass(frozen=True)
class Slip:
    """A likely slip: the flank, counted from 0 at the reference edge, its row, and why."""

    flank: int
    row: int
    why: str

    def __str__(self) -> str:
        return f"row {self.row} looks like a slip: {flank_name(self.flank)} {self.why}"


def slips(marks: Marks) -> list[Slip]:
    """The likely slips of marks in order, by their rows."""
    found = [*_odd_leans(marks)]
    named = {slip.flank for slip in found}
    found += [slip for slip in _narrow_tails(marks) if not {slip.flank, slip.flank - 1} & named]
    return sorted(found, key=lambda slip: slip.row)


def lean(marks: Marks, number: int, mark: Mark) -> float:
    """How far a flank leans (degrees) from the length of the tail board: more than 0 where it makes its tail narrower
    toward the baseline."""
    inward = mark.outer - mark.base if number % 2 else mark.base - mark.outer
    return math.degrees(math.atan2(inward, marks.reach))


def _odd_leans(marks: Marks) -> Iterator[Slip]:
    """Flanks far from the median of all, which a few slips do not move. Flush edges have no lean to compare."""
    leans = {n: lean(marks, n, mark) for n, mark in enumerate(marks.marks) if not marks.is_flush(mark)}
    usual = statistics.median(leans.values())
    spread = statistics.median(abs(each - usual) for each in leans.values())
    limit = max(LEANS_ALIKE, OUTLIER * spread)
    for number, each in leans.items():
        if abs(each - usual) > limit:
            mark = marks.marks[number]
            mended = [
                words for words, other in _mended(mark, marks) if abs(lean(marks, number, other) - usual) <= limit
            ]
            hint = f"; {mended[0]}" if mended else ""
            told = f"leans by {each:.1f} degrees" if each >= 0 else f"leans the other way, by {-each:.1f} degrees"
            yield Slip(number, mark.row, f"{told}, most others by about {usual:.1f}{hint}")


def _narrow_tails(marks: Marks) -> Iterator[Slip]:
    """Told at the right flank, whose tail holds nothing."""
    for tail, grown in enumerate(marks.growths):
        flanks = [number for number in (2 * tail + 1, 2 * tail) if marks.marks[number].row]
        if grown < 0 and flanks:
            why = "makes its tail narrower at the finished face than at the baseline, so it holds nothing"
            yield Slip(flanks[0], marks.marks[flanks[0]].row, why)


def _mended(mark: Mark, marks: Marks) -> Iterator[tuple[str, Mark]]:
    """What a mark may have been before the slip: its two distances exchanged, or two digits of one."""
    yield "its two marks may stand in each other's place", Mark(mark.base, mark.outer, mark.row)
    outer, base = mark.typed
    for text in _digits_exchanged(outer):
        with suppress(LengthError):
            yield f"{outer} may be {text}", Mark(parse_length(text, marks.units), mark.base, mark.row)
    for text in _digits_exchanged(base):
        with suppress(LengthError):
            yield f"{base} may be {text}", Mark(mark.outer, parse_length(text, marks.units), mark.row)


def _digits_exchanged(text: str) -> Iterator[str]:
    """A decimal number with two digits that follow each other exchanged, also across the point; nothing of a
    fraction."""
    digits: Sequence[int] = [] if "/" in text else [place for place, sign in enumerate(text) if sign.isdigit()]
    for first, second in itertools.pairwise(digits):
        if text[first] != text[second]:
            signs = list(text)
            signs[first], signs[second] = signs[second], signs[first]
            yield "".join(signs)
