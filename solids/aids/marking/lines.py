"""A maker's words in lines on the body of a marking template, as large as they fit. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from solids.aids.making.engraving import letter_height
from solids.base.geometry import PlanePoint

MOST_LINES = 4


@dataclass(frozen=True)
class Lines:
    """Words in lines, the first on top, whose capitals are `height` high; `turned` along Y."""

    rows: tuple[str, ...]
    height: float
    turned: bool

    def placed(self, middle: PlanePoint, room: PlanePoint) -> Iterator[tuple[str, PlanePoint, PlanePoint]]:
        """Each line with its middle and its room, in the room (X and Y) round a middle."""
        count = len(self.rows)
        for number, row in enumerate(self.rows):
            off = (count - 1) / 2 - number
            if self.turned:
                step = room[0] / count
                yield row, (middle[0] - off * step, middle[1]), (step, room[1])
            else:
                step = room[1] / count
                yield row, (middle[0], middle[1] + off * step), (room[0], step)


def in_lines(words: str, room: PlanePoint) -> Lines:
    """The words in at most four lines, broken between words and run along X or Y, so that they come out largest."""
    parts = words.split()
    found = []
    for turned in (False, True):
        along, across = (room[1], room[0]) if turned else room
        for count in range(1, min(MOST_LINES, len(parts)) + 1):
            for cuts in combinations(range(1, len(parts)), count - 1):
                rows = tuple(" ".join(parts[a:b]) for a, b in pairwise([0, *cuts, len(parts)]))
                height = min(letter_height(row, (along, across / count)) for row in rows)
                found.append(Lines(rows, height, turned))
    return max(found, key=lambda lines: lines.height)
