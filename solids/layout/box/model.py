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
from solids.base.geometry import Frame, Slab, Span, Vector, cross
from solids.base.keeping import Keeping
from solids.layout.joint.necks import at_reference_edge
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.placing import place
from solids.layout.joint.shape.states import State
from solids.recipe.tables.box_resolved import CORNERS, SIDES, BoxRecipe, CornerName, Side, grooved_sides
from solids.recipe.tables.resolved import Board, Recipe

BoardKind = Literal["tail board", "pin board"]

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
        return alike and other.mitred == self.layout.mitred and not any(self.turned.strips)

    @property
    def below(self) -> float:
        """How far the tail board extends below the joint, where its mate is set higher."""
        return self.turned.below

    @property
    def above(self) -> float:
        """How far the tail board extends above the joint, where its mate ends lower."""
        return self.turned.above

    @property
    def low(self) -> float:
        """The height at which the X of the corner's frame begins."""
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
        across = self.down.low - self.up.low
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
class BoxLayout(Keeping):
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

    def beyond(self, side: Side) -> tuple[float, float]:
        """How much longer and how much higher a board is than the box, by its lip."""
        return (self.recipe.lip.long, self.recipe.lip.high) if side == "front" else (0.0, 0.0)

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
        recipe = self.recipe.corners[name]
        foot = low if upright else low + recipe.width
        origin = (x0 if hand == "left" else x1, y0 if end == "front" else y1, foot)
        rows = Frame.of(x_axis, y_axis, z_axis, origin)
        turned = place(self._half_boards(recipe), mirrored=not upright)
        turned = replace(turned, below=low, above=self.recipe.height - low - recipe.width)
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
            width=self.recipe.height - low - (self.recipe.back_down if side == "back" else 0.0),
            low=low,
            length=self.recipe.inside[0 if side in ("front", "back") else 1],
        )

    # --- the groove ----------------------------------------------------------------------------

    def is_grooved(self, side: Side) -> bool:
        """Whether a board has a groove or rebate for the bottom."""
        grooved = grooved_sides(self.recipe.panel.held, above=self.recipe.back_above_bottom)
        return self.recipe.groove.width > 0 and side in grooved

    def is_open(self, corner: BoxCorner) -> bool:
        """Whether this corner's groove runs out below the back, past its joint."""
        return self.recipe.back_above_bottom and corner.name.startswith("back")

    def in_half_pin(self, corner: BoxCorner) -> bool:
        """Whether a rebate ends in the half pin at the reference edge, where the bottom's corner lies."""
        return self.recipe.panel.in_rebate and at_reference_edge(corner.layout) == "half pin"

    def runs_out(self, corner: BoxCorner) -> bool:
        """Whether the groove of the tail board runs through the end of a tail at this corner."""
        ends = self.recipe.groove.ends
        through = corner.layout.is_half_blind if ends == "hidden" else ends != "stopped"
        return through and not (self.is_open(corner) or self.has_slips or self.in_half_pin(corner))

    @property
    def groove_name(self) -> str:
        """What it is called among a board's other cuts."""
        return "rebate for the bottom" if self.recipe.panel.in_rebate else "groove"

    @property
    def has_slips(self) -> bool:
        """Whether slips hold the bottom along the tail boards, which have no groove."""
        return self.recipe.panel.held == "slips"

    def is_mitred(self, corner: BoxCorner) -> bool:
        """Whether the groove passes this corner within a mitred shoulder, where both grooves meet on the mitre."""
        groove, least = self.recipe.groove, tol.LEAST_FEATURE - tol.ROUNDING
        spans, foot = mitred_edges(corner.layout), groove.up + (least if self.recipe.panel.in_rebate else 0.0)
        passes = any(low + least <= foot and groove.top <= high - least for low, high in spans)
        return passes and not self.is_open(corner)

    def ends_at_rebate(self, corner: BoxCorner) -> bool:
        """Whether the groove of the tail board is so shallow that it ends at the rebate's shoulder."""
        return self.recipe.groove.depth <= corner.layout.rebate

    def stops(self, board: BoxBoard, corner: BoxCorner) -> bool:
        """Whether a board's groove stops in its wood at one end. In a pin board only a rebate does, in a half pin."""
        if self.in_half_pin(corner):
            return board.kind == "pin board"
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
        if self.in_half_pin(corner):
            return deep if board.kind == "pin board" else 0.0
        if board.kind == "pin board":
            return layout.rebate
        if self.is_open(corner) or self.runs_out(corner):
            return state.tail_end
        return self.recipe.groove.depth

    # --- the bottom ----------------------------------------------------------------------------

    @property
    def panel_room(self) -> float:
        """What the bottom is left to grow at the dampest: across its grain, or the longer way of plywood."""
        return self.recipe.panel.room(self.panel_span, self.recipe.groove.depth)

    @property
    def holding(self) -> tuple[Span, Span]:
        """The spans between the faces that hold the bottom, in X and in Y: those of the boards, or of slips."""
        (left, right), wide = self.inside
        slip = self.recipe.panel.slip
        return (left + slip, right - slip), wide

    @property
    def panel_span(self) -> float:
        """The distance between those faces that the bottom moves most across."""
        low, high = self.holding[self.recipe.panel.across(self.recipe.inside)]
        return high - low

    @property
    def panel_hold(self) -> float:
        """How much of the bottom's edge is left in its groove at the driest; 0 where there is none."""
        return self.recipe.panel.hold(self.panel_span, self.recipe.groove.depth) if self.panel else 0.0

    @property
    def panel_moves(self) -> Span:
        """How much the bottom grows in that direction until the dampest, and shrinks until the driest; 0 where there is
        none."""
        panel = self.recipe.panel
        across = self.panel.size[panel.across(self.recipe.inside)] if self.panel else 0.0
        return panel.grows * across, panel.shrinks * across

    @property
    def panel_bearing(self) -> float:
        """The area over which the bottom's edges are held, as made (mm2): all that is not between the faces there."""
        if self.panel is None:
            return 0.0
        (left, right), (front, back) = self.holding
        return self.panel.size[0] * self.panel.size[1] - (right - left) * (back - front)

    @cached_property
    def panel(self) -> Slab | None:
        """The least block that holds the bottom, where it lies; None where there is none."""
        groove, panel = self.recipe.groove, self.recipe.panel
        if not groove.width:
            return None
        spans = []
        for axis, (low, high) in enumerate(self.holding):
            grows = panel.room(high - low, groove.depth) if axis in panel.between else 0.0
            room = panel.clearance + grows / 2
            spans.append((low - groove.depth + room, high + groove.depth - room))
        if self.recipe.back_above_bottom:
            spans[1] = (spans[1][0], self.outside[1])
        low, high = self.tongue_z
        return Slab(spans[0], spans[1], (low - panel.hangs, high + panel.rises))

    @property
    def tongue_z(self) -> Span:
        """The heights between which the edge of the bottom lies: its groove, or up against the rebate."""
        return self.recipe.groove.top - self.recipe.panel.tongue, self.recipe.groove.top


def with_top(box: BoxLayout) -> BoxLayout:
    """The box with its top and the groove for that in place of the bottom and its groove, so that what holds for a
    bottom is asked of the top in the same way."""
    return box.once(_with_top)


def _with_top(box: BoxLayout) -> BoxLayout:
    recipe = box.recipe
    return BoxLayout(replace(recipe, groove=recipe.top_groove, panel=recipe.top or recipe.panel, lid=None, top=None))
