"""The layout of a box: four corners in one frame, boards with both ends, groove and bottom. Pure arithmetic, lengths
in mm.

The frame of the box: X to the right along the front, Y from front to back, Z up from the reference edges. The finished
box has its corner at (0, 0, 0). Each joint's own frame is right-handed (see `layout`), so its X runs up in two corners
and down in the other two. In those two the joint is laid out from the other edge, as its mirror image.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from solids.base import tolerances as tol
from solids.base.geometry import Frame, Span, Vector, cross
from solids.layout.joint.in_groove import chamfer_in_groove, hollow_in_groove
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.layout.joint.shape.states import State
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.recipe.tables.box_resolved import CORNERS, SIDES, BoxRecipe, CornerName, Side
from solids.recipe.tables.resolved import Board, Recipe

BoardKind = Literal["tail board", "pin board"]
BOARD_KINDS: tuple[BoardKind, ...] = ("tail board", "pin board")

OUTWARD: dict[str, Vector] = {
    "front": (0.0, -1.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
}


@dataclass(frozen=True)
class BoxCorner:
    """One corner. `layout` has X from the reference edge, and whole boards. `turned` is the same joint in the corner's
    right-handed frame, with boards that end at their middle; it is mirrored unless the corner is `upright`. `rows` are
    the transform from that frame to the box's."""

    name: CornerName
    layout: Layout
    turned: Layout
    upright: bool
    rows: Frame

    @property
    def is_symmetrical(self) -> bool:
        """Whether the joint is its own mirror image, so that one drawing serves both hands."""
        other = place(self.layout.recipe, mirrored=True)
        pairs = zip(self.layout.flanks, other.flanks, strict=True)
        alike = all(abs(a.x(y) - b.x(y)) < tol.ROUNDING for a, b in pairs for y in (0.0, a.depth))
        return alike and other.mitred == self.layout.mitred and not self.below

    @property
    def below(self) -> float:
        """How far the tail board extends below the joint, where its mate is set higher."""
        return self.turned.below

    @property
    def low(self) -> float:
        """The height at which the X of the corner's frame begins, where it runs up."""
        return self.rows[2][3]


@dataclass(frozen=True)
class BoxBoard:
    """One of the four boards. Its frame is that of its end at the corner `up`, where X runs up; `down` is the corner at
    the other end. `low` is the height of its lower edge above the reference edges. `length` runs between baselines."""

    side: Side
    kind: BoardKind
    board: Board
    up: BoxCorner
    down: BoxCorner
    width: float
    low: float
    length: float

    @property
    def turned_round(self) -> Frame:
        """From the frame of the end where X runs down into that where it runs up: half a turn about the show face's
        normal, and the length of the board away. The one's lower edge is the other's upper edge."""
        across = self.low + self.width - self.up.low
        if self.kind == "tail board":
            return Frame((-1.0, 0.0, 0.0, across), (0.0, -1.0, 0.0, -self.length), (0.0, 0.0, 1.0, 0.0))
        return Frame((-1.0, 0.0, 0.0, across), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, -1.0, -self.length))

    def end_to_end(self, *, finished: bool) -> float:
        """The overall length, both ends included."""
        return self.length + sum(self.reach(corner, finished=finished) for corner in (self.up, self.down))

    def reach(self, corner: BoxCorner, *, finished: bool) -> float:
        """How far it runs past the baseline at one of its ends."""
        state = corner.layout.state(finished=finished)
        return state.tail_end if self.kind == "tail board" else state.pin_end


@dataclass(frozen=True)
class Slab:
    """A block with edges along the box's axes, as spans in X, Y and Z."""

    x: Span
    y: Span
    z: Span

    @property
    def size(self) -> Vector:
        """The lengths of its three sides."""
        return self.x[1] - self.x[0], self.y[1] - self.y[0], self.z[1] - self.z[0]

    @property
    def volume(self) -> float:
        """Volume in mm3."""
        a, b, c = self.size
        return a * b * c


@dataclass(frozen=True)
class BoxLayout:
    """The layout of a box. It is not checked here whether the box can be made; `lay_out_box` does that."""

    recipe: BoxRecipe

    # --- corners and boards --------------------------------------------------------------------

    @property
    def planing(self) -> float:
        """The thickness planed off every show face."""
        return self.recipe.corners["front left"].finish.planing

    def board_of(self, side: Side) -> Board:
        """A board as the recipe has it: thickness, wood and so on."""
        corner = next(recipe for name, recipe in self.recipe.corners.items() if side in name)
        return corner.tail_board if self.kind_of(side) == "tail board" else corner.pin_board

    def kind_of(self, side: Side) -> BoardKind:
        """Whether a board carries tails or pins."""
        return "tail board" if (side in ("left", "right")) == self.recipe.tails_on_sides else "pin board"

    @cached_property
    def inside(self) -> tuple[Span, Span]:
        """The spans between inside faces, in X and in Y."""
        left, front = (self.board_of(side).thickness - self.planing for side in ("left", "front"))
        long, wide = self.recipe.inside
        return (left, left + long), (front, front + wide)

    @cached_property
    def outside(self) -> tuple[float, float]:
        """Length and width of the finished box."""
        (_, x), (_, y) = self.inside
        right, back = (self.board_of(side).thickness - self.planing for side in ("right", "back"))
        return x + right, y + back

    @cached_property
    def corners(self) -> dict[CornerName, BoxCorner]:
        """All four, by name."""
        return {name: self._corner(name) for name in CORNERS}

    def _corner(self, name: CornerName) -> BoxCorner:
        end, hand = name.split()
        pin_side, tail_side = (end, hand) if self.recipe.tails_on_sides else (hand, end)
        y_axis, z_axis = OUTWARD[pin_side], OUTWARD[tail_side]
        x_axis = cross(y_axis, z_axis)
        upright = x_axis[2] > 0
        (x0, x1), (y0, y1) = self.inside
        low = self.recipe.back_rise if end == "back" else 0.0
        origin = (x0 if hand == "left" else x1, y0 if end == "front" else y1, low if upright else self.recipe.height)
        recipe = self.recipe.corners[name]
        rows = Frame.of(x_axis, y_axis, z_axis, origin)
        turned = place(self._half_boards(recipe), mirrored=not upright)
        turned = replace(turned, below=self.recipe.height - recipe.width)
        return BoxCorner(name, place(recipe), turned, upright, rows)

    def _half_boards(self, recipe: Recipe) -> Recipe:
        """A corner's recipe with boards that end half-way between the baselines."""
        long, wide = self.recipe.inside
        tails, pins = (wide, long) if self.recipe.tails_on_sides else (long, wide)
        return replace(
            recipe,
            tail_board=replace(recipe.tail_board, length=tails / 2),
            pin_board=replace(recipe.pin_board, length=pins / 2),
        )

    @cached_property
    def boards(self) -> dict[Side, BoxBoard]:
        """All four, by name."""
        return {side: self._board(side) for side in SIDES}

    def _board(self, side: Side) -> BoxBoard:
        ends = [corner for name, corner in self.corners.items() if side in name]
        up, down = sorted(ends, key=lambda corner: not corner.upright)
        low = self.recipe.back_rise if side == "back" else 0.0
        return BoxBoard(
            side=side,
            kind=self.kind_of(side),
            board=self.board_of(side),
            up=up,
            down=down,
            width=self.recipe.height - low,
            low=low,
            length=self.recipe.inside[0 if side in ("front", "back") else 1],
        )

    # --- the groove ----------------------------------------------------------------------------

    def is_grooved(self, side: Side) -> bool:
        """Whether a board has a groove for the bottom."""
        return self.recipe.groove.width > 0 and not (side == "back" and self.recipe.back_above_bottom)

    def is_open(self, corner: BoxCorner) -> bool:
        """Whether this corner's groove runs out below the back, past its joint."""
        return self.recipe.back_above_bottom and corner.name.startswith("back")

    def runs_out(self, corner: BoxCorner) -> bool:
        """Whether the groove of the tail board runs through the end of a tail at this corner."""
        ends = self.recipe.groove.ends
        through = corner.layout.is_half_blind if ends == "hidden" else ends != "stopped"
        return through and not self.is_open(corner)

    def is_mitred(self, corner: BoxCorner) -> bool:
        """Whether the groove passes this corner within a mitred shoulder, where both boards' grooves meet on the
        mitre."""
        groove, least = self.recipe.groove, tol.LEAST_FEATURE - tol.ROUNDING
        spans = mitred_edges(corner.layout)
        passes = any(low + least <= groove.up and groove.top <= high - least for low, high in spans)
        return passes and not self.is_open(corner)

    def ends_at_rebate(self, corner: BoxCorner) -> bool:
        """Whether the groove of the tail board is so shallow that it ends at the rebate's shoulder."""
        return self.recipe.groove.depth <= corner.layout.rebate

    def stops(self, board: BoxBoard, corner: BoxCorner) -> bool:
        """Whether a board's groove stops in its wood at one end. That of a pin board ends in a socket."""
        runs_on = self.is_open(corner) or self.runs_out(corner) or self.is_mitred(corner)
        return board.kind == "tail board" and not runs_on

    def shows(self, corner: BoxCorner) -> bool:
        """Whether an open groove is visible at this corner of the finished box."""
        hidden = corner.layout.is_half_blind or self.is_mitred(corner) or self.ends_at_rebate(corner)
        return self.runs_out(corner) and self.recipe.groove.ends == "through" and not hidden

    def groove_reach(self, board: BoxBoard, corner: BoxCorner, state: State) -> float:
        """How far a board's groove runs past its inside corner at one end. In a pin board it stops at the socket floor;
        in a tail board it runs as far as the bottom does, or out. Within a mitred shoulder both run out in the
        mitre."""
        deep, layout = self.recipe.groove.depth, corner.layout
        if self.is_mitred(corner):
            mitre = mitre_of(layout)
            return mitre.z(deep) if board.kind == "pin board" else max(mitre.y(deep), 0.0)
        if board.kind == "pin board":
            return layout.rebate
        if self.is_open(corner) or self.runs_out(corner):
            return state.tail_end
        return self.recipe.groove.depth

    # --- the bottom ----------------------------------------------------------------------------

    @property
    def panel_room(self) -> float:
        """What the bottom is left to grow at the dampest: across its grain, or the longer way of plywood."""
        return self.recipe.panel.room(self._panel_span, self.recipe.groove.depth)

    @property
    def _panel_span(self) -> float:
        """The distance between inside faces that the bottom moves most across."""
        return self.recipe.inside[self.recipe.panel.across(self.recipe.inside)]

    @property
    def panel_hold(self) -> float:
        """How much of the bottom's edge is left in its groove at the driest; 0 where there is none."""
        return self.recipe.panel.hold(self._panel_span, self.recipe.groove.depth) if self.panel else 0.0

    @property
    def panel_moves(self) -> Span:
        """How much the bottom grows in that direction until the dampest, and shrinks until the driest; 0 where there is
        none."""
        panel = self.recipe.panel
        across = self.panel.size[panel.across(self.recipe.inside)] if self.panel else 0.0
        return panel.grows * across, panel.shrinks * across

    @cached_property
    def panel(self) -> Slab | None:
        """The bottom where it lies; None where there is none."""
        groove, panel = self.recipe.groove, self.recipe.panel
        if not groove.width:
            return None
        spans = []
        for axis, (low, high) in enumerate(self.inside):
            grows = panel.room(self.recipe.inside[axis], groove.depth) if axis in panel.held else 0.0
            room = panel.clearance + grows / 2
            spans.append((low - groove.depth + room, high + groove.depth - room))
        if self.recipe.back_above_bottom:
            spans[1] = (spans[1][0], self.outside[1])
        return Slab(spans[0], spans[1], (groove.up, groove.top))

    # --- volumes, exact ------------------------------------------------------------------------

    def board_volume(self, side: Side, *, finished: bool) -> float:
        """Exact volume of a board in a state (mm3)."""
        board = self.boards[side]
        return sum(self._half_volume(board, corner, finished=finished) for corner in (board.up, board.down))

    def _half_volume(self, board: BoxBoard, corner: BoxCorner, *, finished: bool) -> float:
        layout = corner.turned
        state = layout.state(finished=finished)
        whole = pin_board_volume(layout, state) if board.kind == "pin board" else tail_board_volume(layout, state)
        return whole - self._groove_volume(board, corner, state)

    def _groove_volume(self, board: BoxBoard, corner: BoxCorner, state: State) -> float:
        """The volume that the groove takes from half a board, less what hollow floors or chamfered ends took before."""
        groove = self.recipe.groove
        if not self.is_grooved(board.side):
            return 0.0
        return groove.width * (groove.depth * board.length / 2 + self._groove_in_joint(board, corner, state))

    def _groove_in_joint(self, board: BoxBoard, corner: BoxCorner, state: State) -> float:
        """The area, seen from the edge, of what the groove takes from a board past its inside corner (mm2)."""
        deep, layout = self.recipe.groove.depth, corner.layout
        reach, on_rebate = self.groove_reach(board, corner, state), max(deep - layout.rebate, 0.0)
        if board.kind == "pin board":
            if self.is_mitred(corner):
                return deep * (layout.rebate + reach) / 2
            return deep * reach - hollow_in_groove(layout, deep)
        if self.is_mitred(corner):
            return reach * on_rebate / 2
        # What runs on below the back has no chamfer, unless it is one with a half tail.
        chamfered = self.runs_out(corner) or (self.is_open(corner) and layout.recipe.listed.edges[0] == "half tail")
        return on_rebate * reach - (chamfer_in_groove(state, on_rebate) if chamfered else 0.0)
