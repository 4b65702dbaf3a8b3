"""How each board lies in a machine that is moved by numbers: a setup for each way that it is held. Pure arithmetic,
lengths in mm.

One zero serves all setups of a board, and each has its own quarter of the plane round it, so that they can be drawn
together:

- flat, inside face up: X runs from the left end along the reference edge, which lies away from you against a stop;
  Y = 0 is that edge and Z = 0 the upper face. All that is cut from the inside face is cut here: the sockets of a tail
  board at both its ends, and grooves. The board is in the quarter of X > 0, Y < 0.
- upright, an end of a pin board up, the inside face toward you: X runs along that end from the reference edge, Y = 0 is
  the inside face and Z = 0 the raw end. One end has the reference edge on its left and lies in the quarter of X > 0,
  Y > 0; the other has it on its right and lies in that of X < 0, Y > 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import singledispatch
from typing import Literal

from solids.base.geometry import IDENTITY, Frame, PlanePoint, Span
from solids.layout.box.loose import BOTTOM
from solids.layout.box.model import BoardKind, BoxBoard, BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.resolved import Recipe

Hand = Literal["left", "right"]


@dataclass(frozen=True)
class JointHere:
    """A joint as one setup shows it: its layout, which of its boards this is, the motion from the joint's frame to the
    machine's, on which side it lies (the end of a flat board, or the reference edge of an upright one), and the corner
    of a box that it is; "" for a joint alone."""

    kind: BoardKind
    layout: Layout
    to_machine: Frame
    side: Hand
    corner: str = ""

    def seen(self, point: PlanePoint) -> PlanePoint:
        """A point (X, Y) of the joint's frame, as the machine sees it from above."""
        x, y, _ = self.to_machine.apply((*point, 0.0))
        return x, y


@dataclass(frozen=True)
class Channel:
    """A groove as the machine sees it: where it lies in X and Y, how deep it goes below Z = 0, and on which of its
    ends, left and right, it stops in the wood."""

    x: Span
    y: Span
    depth: float
    stops: tuple[bool, bool]


@dataclass(frozen=True)
class Setup:
    """One way that a board is held. `name` is "flat", "end", or "left end" where a board has several; `to_machine` is
    the motion from the piece. `x` and `y` are what the sawn board covers, `height` how much of it is below Z = 0."""

    name: str
    to_machine: Frame
    x: Span
    y: Span
    height: float
    joints: tuple[JointHere, ...] = ()
    groove: Channel | None = None

    @property
    def is_flat(self) -> bool:
        """Whether the board lies on its face."""
        return self.name == FLAT


@dataclass(frozen=True)
class MachineBoard:
    """A board with its setups; the models of it lie as in the first. `recipe` is that of a joint of it, for the maker's
    cutters and what a drawing is to be."""

    name: str
    recipe: Recipe
    setups: tuple[Setup, ...]

    @property
    def lies(self) -> Setup:
        """How its models lie."""
        return self.setups[0]


FLAT = "flat"


@singledispatch
def machine_boards(plan: Layout | BoxLayout) -> dict[str, MachineBoard]:
    """Every board of a piece as it lies in the machine, by name."""
    raise TypeError(plan)


@machine_boards.register
def _(plan: Layout) -> dict[str, MachineBoard]:
    recipe = plan.recipe
    tails, pins = recipe.tail_board, recipe.pin_board
    near, long = plan.as_cut.tail_end, tails.length + plan.as_cut.tail_end
    below, above = plan.strips
    flat = _flat_tails(near, -below)
    x, y = (0.0, long), (-plan.width - below - above, 0.0)
    lying = Setup(FLAT, flat, x, y, tails.thickness, (JointHere("tail board", plan, flat, "left"),))
    return {
        "tail board": MachineBoard("tail board", recipe, (lying,)),
        "pin board": MachineBoard("pin board", recipe, (_upright("end", plan, IDENTITY, pins.length),)),
    }


@machine_boards.register
def _(plan: BoxLayout) -> dict[str, MachineBoard]:
    boards: dict[str, MachineBoard] = {}
    for name, each in plan.boards.items():
        boards[name] = MachineBoard(name, each.up.layout.recipe, _setups(plan, each))
    if plan.panel:
        slab = plan.panel
        lying = Frame.of((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (-slab.x[0], -slab.y[1], -slab.z[1]))
        long, wide, thick = slab.size
        flat = Setup(FLAT, lying, (0.0, long), (-wide, 0.0), thick)
        boards[BOTTOM] = MachineBoard(BOTTOM, plan.recipe.corners["front left"], (flat,))
    return boards


def end_name(board: str, corner: str) -> str:
    """ "left end" of a front at the corner "front left", "back end" of a side."""
    (other,) = (side for side in corner.split() if side != board)
    return f"{other} end"


def _setups(plan: BoxLayout, board: BoxBoard) -> tuple[Setup, ...]:
    flat = _flat(plan, board)
    if board.kind == "tail board":
        return (flat,)
    ends = []
    for corner in (board.up, board.down):
        frame = corner.rows.inverse()
        long = board.end_to_end(finished=False) - corner.layout.as_cut.pin_end
        ends.append(_upright(end_name(board.side, corner.name), corner.turned, frame, long, corner.name))
    return (*ends, flat) if flat.groove else tuple(ends)


def _upright(name: str, layout: Layout, to_joint: Frame, hangs: float, corner: str = "") -> Setup:
    """One end of a pin board up. `to_joint` is the motion from the piece to the frame of the joint there."""
    edge = layout.width if layout.mirrored else 0.0
    lift = (-edge, 0.0, -layout.as_cut.pin_end)
    here = JointHere("pin board", layout, IDENTITY.shifted(lift), "right" if layout.mirrored else "left", corner)
    x = (-layout.width, 0.0) if layout.mirrored else (0.0, layout.width)
    y, height = (0.0, layout.recipe.pin_board.thickness), hangs + layout.as_cut.pin_end
    return Setup(name, to_joint.shifted(lift), x, y, height, (here,))


def _flat_tails(near: float, edge: float) -> Frame:
    """From the frame of a tail board's joint, its raw end at Y = `near` and its reference edge at X = `edge`, to that
    of the machine, the end on the left."""
    return Frame((0.0, -1.0, 0.0, near), (-1.0, 0.0, 0.0, edge), (0.0, 0.0, -1.0, 0.0))


def _flat_pins(far: float, edge: float) -> Frame:
    """The same from that of a pin board's joint, the other raw end at Z = -`far`."""
    return Frame((0.0, 0.0, 1.0, far), (-1.0, 0.0, 0.0, edge), (0.0, -1.0, 0.0, 0.0))


def _flat(plan: BoxLayout, board: BoxBoard) -> Setup:
    """A board of a box on its show face."""
    edge = board.low - board.up.rows.origin[2]
    near, far = (board.reach(corner, finished=False) for corner in (board.up, board.down))
    tails = board.kind == "tail board"
    to_board = board.up.rows.inverse()
    lies = to_board.then(_flat_tails(near, edge) if tails else _flat_pins(board.length + far, edge))
    # A tail board's end where X runs up lies on the left, a pin board's on the right.
    hands: tuple[Hand, Hand] = ("left", "right") if tails else ("right", "left")
    joints = tuple(
        JointHere(board.kind, corner.turned, corner.rows.then(lies), hand, corner.name)
        for corner, hand in zip((board.up, board.down), hands, strict=True)
    )
    long = board.end_to_end(finished=False)
    groove = _channel(plan, board, (near, far) if tails else (far, near)) if plan.is_grooved(board.side) else None
    return Setup(FLAT, lies, (0.0, long), (-board.width, 0.0), board.board.thickness, joints if tails else (), groove)


def _channel(plan: BoxLayout, board: BoxBoard, reaches: tuple[float, float]) -> Channel:
    """The groove of a board that lies flat; `reaches` are how far it runs past its baselines on the left and right."""
    groove = plan.recipe.groove
    corners = (board.up, board.down) if board.kind == "tail board" else (board.down, board.up)
    left, right = (plan.groove_reach(board, corner, corner.layout.as_cut) for corner in corners)
    stops = tuple(plan.stops(board, corner) for corner in corners)
    x = (reaches[0] - left, reaches[0] + board.length + right)
    return Channel(x, (board.low - groove.top, board.low - groove.up), groove.depth, (stops[0], stops[1]))
