"""The marks of a joint that is there already: where each flank lies on a board, old or newly cut. Lengths in mm.

The frame is that of `layout/joint/shape/model.py`: X from the reference edge, Y = 0 the baseline, Y = d the finished
face. A flank is straight, so two marks say all of it: one at the baseline and one at an outer plane. Which plane that
is depends on the board.

- Tails: the baseline is the line that their roots end on. The outer plane is the finished face, Y = d, or their raw
  end, Y = d + o, where they still stand proud by o. Behind a lap the tails end at Y = d, and none stands proud.
- Pins: the flanks of pins are the flanks of their sockets, and those are the flanks of the tails that fit them: the
  same lines in X and Y. On the pin board's show face, or at the lap, they are seen at Y = d, which is the finished
  face; on its inside face at Y = 0, which is the tails' baseline. They run square to the pins' raw end, so it is all
  the same how far the pins stand proud.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solids.base.messages import Units

HALF_PIN, HALF_TAIL = "half pin", "half tail"
FACE, RAW_END = "finished face", "raw end"


@dataclass(frozen=True)
class Mark:
    """One flank: its distances from the reference edge at the outer plane and at the baseline, the row of the table
    that gives them, and both as they were typed. A flush edge of a half tail that the table leaves out has row 0."""

    outer: float
    base: float
    row: int = 0
    typed: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class Marks:
    """A table of marks as it was read. `proud` is how far the outer plane lies past the finished face. `edges` are what
    lies at the reference edge and at the other edge; None where the table does not say. `marks` are in any order."""

    name: str
    title: str | None
    units: Units
    board: Literal["tails", "pins"]
    proud: float | None
    width: float
    tail_board: float
    pin_board: float
    lap: float | None
    edges: tuple[str | None, str | None]
    marks: tuple[Mark, ...]

    @property
    def depth(self) -> float:
        """d, from the baseline to the finished face."""
        return self.pin_board - (self.lap or 0.0)

    @property
    def reach(self) -> float:
        """From the baseline to the outer plane."""
        return self.depth + (self.proud or 0.0)

    def at_face(self, mark: Mark) -> float:
        """Where a flank lies at the finished face: on the straight line through both of its marks."""
        return mark.base + (mark.outer - mark.base) * self.depth / self.reach

    @property
    def growths(self) -> list[float]:
        """How much wider each tail is at the finished face than at the baseline, where the marks are in order."""
        pairs = zip(self.marks[::2], self.marks[1::2], strict=True)
        return [(self.at_face(right) - self.at_face(left)) - (right.base - left.base) for left, right in pairs]

    def is_flush(self, mark: Mark) -> bool:
        """Whether a mark is an edge of the board, where a half tail is flush with it."""
        return any(abs(mark.outer - edge) < SAME and abs(mark.base - edge) < SAME for edge in (0.0, self.width))


SAME = 1e-6
"""Marks closer than this are one place: a millionth of a millimetre is rounding."""


def flank_name(number: int) -> str:
    """What the flank of this number, counted from 0 at the reference edge, is called. Left is toward that edge."""
    return f"the {'right' if number % 2 else 'left'} flank of tail {number // 2 + 1}"
