"""How a piece goes together, step by step, as it is told. No kernel."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from solids.base.geometry import Vector

DIRECTIONS: dict[str, Vector] = {
    "from the right": (1.0, 0.0, 0.0),
    "from the left": (-1.0, 0.0, 0.0),
    "from the back": (0.0, 1.0, 0.0),
    "from the front": (0.0, -1.0, 0.0),
    "from above": (0.0, 0.0, 1.0),
    "from below": (0.0, 0.0, -1.0),
}
"""Where a part comes from, and the way back out."""

OPPOSITE = {"left": "right", "right": "left", "front": "back", "back": "front"}


def disassembly_order(*, tails_on_sides: bool) -> tuple[str, ...]:
    """Which part is tried first when the box is taken apart. Put together, one tail board lies flat, the pin boards
    are knocked into it, the bottom slides in between them and the other tail board closes the box, so that every
    part meets one that stands already. A bottom that runs under the back comes last. Common practice."""
    if tails_on_sides:
        return ("bottom", "right", "back", "front", "left")
    return ("bottom", "back", "right", "left", "front")


@dataclass(frozen=True)
class Move:
    """One part put in its place, from a direction; the first part has none."""

    part: str
    direction: str


@dataclass(frozen=True)
class Order:
    """How the box goes together, part by part; `stuck` are parts that no straight way leads to."""

    moves: tuple[Move, ...]
    stuck: tuple[str, ...]


def steps_of(order: Order, fitted: Mapping[str, str], late: Collection[str] = ()) -> list[str]:
    """The order in words, a step each. `fitted` has those of parts that are no boards, in which "{}" stands for the
    way. What is `late` goes in when the glue has set, and the box stands upright again."""
    base = order.moves[0].part if order.moves else ""
    return [
        _step(
            move,
            "" if move.part in late else base,
            fitted.get(move.part, f"Knock in the {move.part} board {WITH_BLOCK}"),
        )
        for move in order.moves
    ]


EDGEWAYS = {"from below": "from the reference edges", "from above": "from the upper edges"}
"""Up and down in the box, while one of its boards lies flat."""

WITH_BLOCK = "{}, straight, with a block under the mallet."


def _step(move: Move, base: str, words: str) -> str:
    """`base` lies flat on its show face, so that what comes from the far side of the box comes from above, and the
    edges of the boards are to the side. Without one the box stands upright."""
    lying = {f"from the {OPPOSITE.get(base)}": "from above", **EDGEWAYS} if base else {}
    way = lying.get(move.direction, move.direction)
    if not move.direction:
        return f"Lay the {move.part} board on two battens, show face down, its joints clear of the bench."
    return words.format(way)
