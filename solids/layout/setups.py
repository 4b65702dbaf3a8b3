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

from dataclasses import dataclass, replace
from functools import singledispatch
from typing import Literal

from solids.base.geometry import IDENTITY, Frame, PlanePoint, Slab, Span
from solids.base.tolerances import ROUNDING
from solids.layout.box.cut_list import PANELS
from solids.layout.box.fitted.bodies import Fitted, extent_of
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.dividers import dovetails_of
from solids.layout.box.fitted.every import cuts_in, fitting_of, strips_of
from solids.layout.box.fitted.lid_board import LID
from solids.layout.box.fitted.top import TOP
from solids.layout.box.model import BoardKind, BoxBoard, BoxLayout, with_top
from solids.layout.joint.shape.model import Layout
from solids.recipe.tables.box_resolved import Side
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
    ends, left and right, it stops in the wood. `is_top` is that for the top of a lid."""

    x: Span
    y: Span
    depth: float
    stops: tuple[bool, bool]
    is_top: bool = False


Area = tuple[Span, Span]
"""From where to where something reaches in X and in Y."""

ShapedLine = Literal["shoulder", "tongue", "field"]


@dataclass(frozen=True)
class Shaping:
    """How the edge of a bottom is shaped, as the machine sees it: its `lines` by what they are, each a ring, the depth
    down to the tongue, and whether it is cut on the upper face."""

    lines: tuple[tuple[ShapedLine, tuple[PlanePoint, ...]], ...]
    depth: float
    is_on_top: bool


@dataclass(frozen=True)
class Setup:
    """One way that a board is held. `name` is "flat", "end", or "left end" where a board has several; `to_machine` is
    the motion from the piece. `x` and `y` are what the sawn board covers, `height` how much of it is below Z = 0; where
    the board has a lip, it covers `lip` with it. `notches` go through it from an edge, and `dovetails` are on its ends:
    what both cover."""

    name: str
    to_machine: Frame
    x: Span
    y: Span
    height: float
    joints: tuple[JointHere, ...] = ()
    grooves: tuple[Channel, ...] = ()
    lip: Area | None = None
    shaping: Shaping | None = None
    notches: tuple[Area, ...] = ()
    dovetails: tuple[Area, ...] = ()

    @property
    def is_flat(self) -> bool:
        """Whether the board lies on its face."""
        return self.name == FLAT


@dataclass(frozen=True)
class MachineBoard:
    """A board with its setups; the models of it lie as in the first. `recipe` is that of a joint of it, for the maker's
    cutters and what a drawing is to be. `by_hand` are the names of cuts that are in the models alone."""

    name: str
    recipe: Recipe
    setups: tuple[Setup, ...]
    by_hand: tuple[str, ...] = ()

    @property
    def lies(self) -> Setup:
        """How its models lie."""
        return self.setups[0]


FLAT = "flat"

GOOD_FACE_UP = PANELS
"""What is fitted into a box and lies with its good face up."""


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


def _under_lid(box: BoxLayout, part: Fitted) -> tuple[str, ...]:
    """What is cut into the underside of a lid; nothing for any other part."""
    lid = box.recipe.lid_board
    if lid is None or part.name != LID:
        return ()
    hinges = dict.fromkeys(name.partition(",")[0] for cut in part.cuts for name in cut.names)
    return (*(["rebate round the underside"] if lid.drop else []), *hinges)


@machine_boards.register
def _(plan: BoxLayout) -> dict[str, MachineBoard]:
    boards: dict[str, MachineBoard] = {}
    for name, each in plan.boards.items():
        by_hand = (*(strip.cut for strip in strips_of(plan, name)), *(cut.name for cut in cuts_in(plan, name)))
        setups = tuple(_with_lip(plan, name, setup) for setup in _setups(plan, each))
        boards[name] = MachineBoard(name, each.up.layout.recipe, setups, by_hand)
    for part in fitting_of(plan).parts:
        first = plan.recipe.corners["front left"]
        boards[part.name] = MachineBoard(part.name, first, (_flat_part(part),), _under_lid(plan, part))
    return boards


def _flat_part(part: Fitted) -> Setup:
    """What no dovetail holds, flat."""
    lying = part.lying
    long, wide, thick = extent_of([body.moved(lying) for body in part.bodies]).size
    notches, dovetails = ([body.moved(lying).extent for body in bodies] for bodies in (part.cuts, dovetails_of(part)))
    return Setup(
        *(FLAT, lying, (0.0, long), (-wide, 0.0), thick),
        shaping=_shaping(part, lying),
        notches=tuple((each.x, each.y) for each in notches if each.size[2] >= thick - ROUNDING),
        dovetails=tuple((each.x, each.y) for each in dovetails),
    )


def _shaping(part: Fitted, lying: Frame) -> Shaping | None:
    """That of a bottom or a top whose edge is not plain: a shoulder where it is rebated; where it is fielded, the line
    to which the tongue reaches, and that of the field."""
    if part.name not in (BOTTOM, TOP) or len(part.bodies) == 1:
        return None
    raised = part.bodies[1]
    foot, flat = (tuple((x, y) for x, y, _ in map(lying.apply, ring)) for ring in (raised.start, raised.end))
    depth = abs(raised.start[0][2] - raised.end[0][2])
    lines: tuple[tuple[ShapedLine, tuple[PlanePoint, ...]], ...] = (("tongue", foot), ("field", flat))
    return Shaping((("shoulder", foot),) if foot == flat else lines, depth, raised.end[0][2] > raised.start[0][2])


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
    return (*ends, flat) if flat.grooves else tuple(ends)


def _with_lip(plan: BoxLayout, side: Side, setup: Setup) -> Setup:
    """A setup with what the lip of its board covers there."""
    reaches = [strip.wood.moved(setup.to_machine).extent for strip in strips_of(plan, side)]
    if not reaches:
        return setup
    whole = Slab.around([Slab(setup.x, setup.y, (-setup.height, 0.0)), *reaches])
    return replace(setup, lip=(whole.x, whole.y), height=-whole.z[0])


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
    ends = (near, far) if tails else (far, near)
    grooves = tuple(
        replace(_channel(each, board, ends), is_top=each is not plan)
        for each in (plan, with_top(plan))
        if each.is_grooved(board.side)
    )
    return Setup(FLAT, lies, (0.0, long), (-board.width, 0.0), board.board.thickness, joints if tails else (), grooves)


def _channel(plan: BoxLayout, board: BoxBoard, reaches: tuple[float, float]) -> Channel:
    """The groove of a board that lies flat; `reaches` are how far it runs past its baselines on the left and right."""
    groove = plan.recipe.groove
    corners = (board.up, board.down) if board.kind == "tail board" else (board.down, board.up)
    left, right = (plan.groove_reach(board, corner, corner.layout.as_cut) for corner in corners)
    stops = tuple(plan.stops(board, corner) for corner in corners)
    x = (reaches[0] - left, reaches[0] + board.length + right)
    return Channel(x, (board.low - groove.top, board.low - groove.up), groove.depth, (stops[0], stops[1]))
