"""What a cutting plan is made of. Lengths in mm.

Each board lies with its grain along X, from its left end, and with Y across it, from its lower edge. It is crosscut
into sections, a section is ripped into strips that begin at Y = 0, and a strip is crosscut into its pieces, which begin
at the section's left end. Each cut takes a kerf.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from solids.base.geometry import Span
from solids.base.messages import Words
from solids.layout.box.rows import CutListRow
from solids.wood.rack import RackBoard

IN_ONE_PIECE = ("front", "right", "back", "left", "tail board", "pin board")
"""Boards that carry joints. What carries none, such as a bottom, may be glued up from several."""

CutKind = Literal["crosscut", "rip", "crosscut of a strip"]


@dataclass(frozen=True)
class Part:
    """What is sawn out as one strip: a piece of the cut list by its name, or several of one width in a row with a kerf
    between them. `lengths` and `width` are rough sizes. It takes a board as thick as `rough`, or one that has been
    planed and is as thick as `planed`. `wood` is as the cut list tells it."""

    names: tuple[str, ...]
    lengths: tuple[float, ...]
    width: float
    rough: float
    planed: float
    wood: str
    kerf: float

    @property
    def length(self) -> float:
        """From end to end, with the kerfs inside."""
        return sum(self.lengths) + self.kerf * (len(self.lengths) - 1)

    @property
    def name(self) -> str:
        """What it is called."""
        return ", ".join(self.names)

    @property
    def is_glued(self) -> bool:
        """Whether it may be glued up, so that no board need be as wide as it is."""
        return not any(name in IN_ONE_PIECE for name in self.names)

    def thickness_for(self, board: RackBoard) -> float:
        """How thick such a board must be."""
        return self.planed if board.planed else self.rough

    def is_right(self, board: RackBoard) -> bool:
        """Whether it can be cut from such a board in all but its width: the wood, the thickness and a clear length."""
        is_thick = self.thickness_for(board) <= board.thickness + EXACT
        is_long = self.length <= longest_clear(board, self.kerf) + EXACT
        return is_same_wood(self.wood, board) and is_thick and is_long


# --- what is to be solved --------------------------------------------------------------------------


@dataclass(frozen=True)
class Stretch:
    """A clear length of one board, which is the `copy`-th of its `kind`, both counted from 0."""

    kind: int
    copy: int
    span: Span

    @property
    def length(self) -> float:
        """How long it is."""
        return self.span[1] - self.span[0]


@dataclass(frozen=True)
class Section:
    """A length of board that is crosscut off and holds some parts side by side, each by its place in the list of
    parts, the longest first."""

    stretch: Stretch
    parts: tuple[int, ...]


@dataclass(frozen=True)
class Solution:
    """Which sections are cut. `proved` says that no plan is better. `over` is by what share it might take more wood
    than the best: 0 where it is the best, and None where that is not known."""

    sections: tuple[Section, ...]
    proved: bool
    over: float | None = None


@dataclass(frozen=True)
class Task:
    """Which parts are to be cut from which boards."""

    parts: tuple[Part, ...]
    boards: tuple[RackBoard, ...]
    kerf: float

    @cached_property
    def kinds(self) -> tuple[frozenset[int], ...]:
        """For each part, the kinds of board that it can be cut from."""
        return tuple(
            frozenset(k for k, b in enumerate(self.boards) if part.is_right(b) and part.width <= b.width + EXACT)
            for part in self.parts
        )

    @cached_property
    def stretches(self) -> tuple[Stretch, ...]:
        """The clear lengths of as many boards as can be of use."""
        return tuple(
            Stretch(kind, copy, span)
            for kind, board in enumerate(self.boards)
            for copy in range(self._of_use(kind))
            for span in clear_of(board, self.kerf)
        )

    def _of_use(self, kind: int) -> int:
        """How many boards of a kind can be of use. Of boards with one clear length each, two that are at most half full
        are one: so all but one are more than half full."""
        board = self.boards[kind]
        lengths = [part.length for part, kinds in zip(self.parts, self.kinds, strict=True) if kind in kinds]
        most = min(board.count, len(lengths))
        if board.avoid:
            return most
        full = sum(length + self.kerf for length in lengths) / (board.length + self.kerf)
        return min(most, math.ceil(2 * full))

    def section_length(self, parts: tuple[int, ...]) -> float:
        """How long a section with these parts is, without its kerf."""
        return max(self.parts[part].length for part in parts)

    # What a plan is judged by, in this order.

    def missing(self, sections: tuple[Section, ...]) -> int:
        """How many pieces are not cut."""
        cut = [part for section in sections for part in section.parts]
        return sum(len(part.names) for part in self.parts) - sum(len(self.parts[part].names) for part in cut)

    def used(self, sections: tuple[Section, ...]) -> float:
        """The wood that is used up: all sections, as wide and thick as the board, with their kerfs (mm3)."""
        return sum(
            (self.section_length(section.parts) + self.kerf) * cross_section(self.boards[section.stretch.kind])
            for section in sections
        )

    def begun(self, sections: tuple[Section, ...]) -> float:
        """The wood of all boards that are begun (mm3). Short boards go first by this, and whole ones stay whole."""
        boards = {(section.stretch.kind, section.stretch.copy) for section in sections}
        return sum(cross_section(self.boards[kind]) * self.boards[kind].length for kind, _ in boards)


EXACT = 1e-6
"""How much a length may miss by what floating point does to a sum, in mm."""


def clear_of(board: RackBoard, kerf: float) -> tuple[Span, ...]:
    """The clear lengths of a board, a kerf apart where the span between them is narrower than that."""
    found = list[Span]()
    for low, high in board.clear:
        start = max(low, found[-1][1] + kerf) if found else low
        if high > start:
            found.append((start, high))
    return tuple(found)


def longest_clear(board: RackBoard, kerf: float) -> float:
    """The longest of them."""
    return max(high - low for low, high in clear_of(board, kerf))


def cross_section(board: RackBoard) -> float:
    """Width times thickness (mm2)."""
    return board.width * board.thickness


def is_same_wood(wood: str, board: RackBoard) -> bool:
    """Whether a board is of the wood that the cut list tells; one that nobody named may be assumed to be."""
    return wood in (board.wood.told, board.assumed_wood)


# --- the plan --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Placed:
    """A piece where it lies on its board."""

    name: str
    x: Span
    y: Span


@dataclass(frozen=True)
class Cut:
    """One cut, by its number on this board, what the saw takes there, and the pieces that it frees. `setting`
    is what is read off a rule: where a crosscut's mark is, from the left end of the board; how wide a strip is ripped;
    how long a piece is cut off a strip. The kerf of a crosscut lies to the right of its mark, or, where it cuts off a
    span to avoid, to the `left`."""

    number: int
    kind: CutKind
    x: Span
    y: Span
    setting: float
    names: tuple[str, ...]
    left: bool = False


@dataclass(frozen=True)
class Offcut:
    """A rectangle that is left over, clear and large enough to keep."""

    x: Span
    y: Span

    @property
    def size(self) -> tuple[float, float]:
        """Length along the grain, and width."""
        return self.x[1] - self.x[0], self.y[1] - self.y[0]


@dataclass(frozen=True)
class BoardPlan:
    """One board of the rack: its place among the kinds there, which of those that are alike it is, both from 1, its
    pieces, its cuts in their order, and what is left of it."""

    number: int
    board: RackBoard
    copy: int
    pieces: tuple[Placed, ...]
    cuts: tuple[Cut, ...]
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True)
class Missing:
    """A piece for which there is no board: its rough sizes and wood, why, by how much in mm where that is a length,
    and what would do."""

    name: str
    size: tuple[float, float, float]
    wood: str
    why: Words
    short_mm: float | None
    accepted: Words


@dataclass(frozen=True)
class CuttingPlan:
    """How a piece is cut out of the boards in the rack. `left_out` are rows of the cut list that are sawn from sheets.
    `grain` says how it runs from board to board. `used`, `in_boards` and `in_pieces` are volumes (mm3): what is used
    up, that of all boards begun, and that of the pieces. `proved` and `over` are as in a `Solution`."""

    boards: tuple[BoardPlan, ...]
    missing: tuple[Missing, ...]
    left_out: tuple[CutListRow, ...]
    grain: Words
    runs_round: bool
    kerf: float
    used: float
    in_boards: float
    in_pieces: float
    proved: bool
    over: float | None
