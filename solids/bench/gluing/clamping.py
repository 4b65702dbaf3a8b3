"""Where clamps and cauls press when a piece is glued. Common practice, lengths in mm.

Clamps run along the pin boards and press the tail boards down between the pins. The other way the flanks draw the
joint shut by themselves, so nothing presses there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import singledispatch

from solids.base.lengths import MM_PER_INCH
from solids.base.messages import Units
from solids.layout.box.fitted.bodies import Fitted
from solids.layout.box.fitted.every import fitting_of
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.box_resolved import Side

LAID_OUT = "Glue and a brush, a damp rag, a square, a mallet and a block"
"""What lies ready before glue is spread."""

THICK = 25.0
"""How thick a caul is, where clamps are chosen that open far enough."""

WAXED = "Wax each caul, or tape it, so that no glue holds it."

CLAMP_EVERY = 150.0
"""One clamp holds so much of a tail board's height at each of its ends, and so much of a slip's length; two are the
least."""

IN_PAIRS: tuple[Side, ...] = ("left", "right", "front", "back")
"""The boards of a box as they are told."""

PLACED_BY: dict[Units, float] = {"mm": 5.0, "in": float(MM_PER_INCH / 4)}
"""Nobody places a clamp by less."""

ABOVE_PINS = 1.0
"""How far a caul stays off pins that stand proud: its blocks are so much thicker than they are proud."""


@dataclass(frozen=True)
class Caul:
    """The caul at one corner: the board it lies on, how long it is at least, and where pins stand proud, how thick the
    blocks are that clear them; then one goes on each of so many tails, and none may be wider than `widest`."""

    corner: str
    board: str
    length: float
    tails: int
    widest: float
    blocks: float

    @property
    def clears(self) -> bool:
        """Whether it has to clear pins, so that it presses on tails alone."""
        return self.blocks > 0.0


@dataclass(frozen=True)
class Run:
    """The clamps along one board: how far each is from the reference edge of the piece."""

    along: str
    at: tuple[float, ...]


@dataclass(frozen=True)
class Pinch:
    """The small clamps that press a part onto the face of a board: how many, and how far each opens."""

    part: str
    board: str
    count: int
    opens: float


@dataclass(frozen=True)
class Clamping:
    """All clamps and cauls: how far each clamp opens, which boards they press, and both diagonals inside, which are
    alike, None where there are none to measure. `pinches` press what is glued in later."""

    opens: float
    runs: tuple[Run, ...]
    pressed: tuple[str, ...]
    cauls: tuple[Caul, ...]
    diagonal: float | None = None
    pinches: tuple[Pinch, ...] = ()

    @property
    def count(self) -> int:
        """How many clamps press the corners."""
        return sum(len(run.at) for run in self.runs)

    @property
    def clears(self) -> bool:
        """Whether any caul has to clear pins."""
        return any(caul.clears for caul in self.cauls)


@singledispatch
def clamping(plan: Layout | BoxLayout) -> Clamping:
    """Clamps and cauls of a corner, or of a box."""
    raise TypeError(plan)


@clamping.register
def _(plan: Layout) -> Clamping:
    """Clamps reach over the length of the pin board and press the tails down between its pins."""
    opens = plan.recipe.pin_board.length + plan.as_cut.pin_end + THICK
    run = Run("pin board", places(0.0, plan.width, plan.recipe.units))
    return Clamping(opens, (run,), ("tail board",), (_caul("", "tail board", plan, plan.width),))


@clamping.register
def _(plan: BoxLayout) -> Clamping:
    """Clamps run along the pin boards and press the tail boards inward."""
    told = [plan.boards[side] for side in IN_PAIRS]
    along = [board for board in told if board.kind == "pin board"]
    pressed = tuple(board.side for board in told if board.kind == "tail board")
    corners = ((name, corner, next(side for side in pressed if side in name)) for name, corner in plan.corners.items())
    return Clamping(
        opens=max(board.end_to_end(finished=False) for board in along) + 2 * THICK,
        runs=tuple(Run(board.side, places(board.low, board.low + board.width, plan.recipe.units)) for board in along),
        pressed=pressed,
        cauls=tuple(_caul(name, side, corner.layout, plan.recipe.height) for name, corner, side in corners),
        diagonal=math.hypot(*plan.recipe.inside),
        pinches=tuple(_pinch(plan, part, part.glued.side) for part in fitting_of(plan).parts if part.glued),
    )


def _pinch(box: BoxLayout, part: Fitted, side: Side) -> Pinch:
    """Over the lower edge of the side that it is glued to, with a caul on the show face."""
    opens = box.board_of(side).thickness + part.thickness + THICK
    return Pinch(part.name, side, max(2, math.ceil(part.row.finished[0] / CLAMP_EVERY)), opens)


def places(low: float, high: float, units: Units) -> tuple[float, ...]:
    """How far the clamps at one end are from the reference edge: each in the middle of an equal part of the joint, as
    near as a clamp is placed; on a narrow one just there."""
    count, step = max(2, math.ceil((high - low) / CLAMP_EVERY)), PLACED_BY[units]
    each = (high - low) / count
    middles = (low + (number + 0.5) * each for number in range(count))
    return tuple(round(middle / step) * step if each > 2 * step else middle for middle in middles)


def _caul(corner: str, board: str, layout: Layout, length: float) -> Caul:
    proud = layout.recipe.pin_board.proud
    return Caul(
        corner=corner,
        board=board,
        length=length,
        tails=len(layout.tails),
        widest=layout.tail_width(layout.narrowest, 0.0),
        blocks=proud + ABOVE_PINS if proud else 0.0,
    )
