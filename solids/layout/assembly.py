"""A piece: boards, loose parts, and joints placed by rigid frames. A corner is two boards and one joint, a box four of
each. A new kind of piece only adds parts and joints. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import singledispatch
from typing import Literal, cast

from solids.base.geometry import Frame, Slab
from solids.base.messages import capital
from solids.layout.box.fitted.every import cuts_in, fitting_of, sawn_apart, strips_of
from solids.layout.box.fitted.halves import SawnPart
from solids.layout.box.fitted.volumes import grooved_volume
from solids.layout.box.kinds import kind_title, kinds_of_corner, shown_layout
from solids.layout.box.loose import loose_slabs, plug_volumes
from solids.layout.box.model import BoxLayout
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.recipe.tables.box_resolved import SIDES, BoxRecipe, CornerName, Side
from solids.recipe.tables.resolved import Board, Recipe
from solids.wood import Sawn, Wood

PieceName = Literal["corner", "box"]


@dataclass(frozen=True)
class PlacedJoint:
    """One joint of a piece with several: its layout in its own right-handed frame, the transform `rows` from that frame
    to the piece's, and the names of the boards that meet there."""

    name: str
    layout: Layout
    rows: Frame
    tail_board: str
    pin_board: str

    @property
    def boards(self) -> frozenset[str]:
        """The names of both boards."""
        return frozenset((self.tail_board, self.pin_board))


@dataclass(frozen=True)
class JointKind:
    """Joints that are alike: their names, and the layout used for papers and aids. A piece with a single joint has one
    kind, without names."""

    layout: Layout
    names: tuple[CornerName, ...] = ()

    @property
    def title(self) -> str:
        """ "front left and front right", "all four corners"; "" for a joint alone."""
        return kind_title(self.names)

    @property
    def heading(self) -> str:
        """The title with a capital letter."""
        return capital(self.title)

    @property
    def slug(self) -> str:
        """The prefix of its file names; "" for a joint alone."""
        if not self.names or len(self.names) == len(SIDES):
            return "corner" if self.names else ""
        end = self.names[0].split()[0]
        whole = len(self.names) == 2 and all(name.startswith(end) for name in self.names)
        return f"{end}-corner" if whole else f"{self.names[0].replace(' ', '-')}-corner"


@dataclass(frozen=True)
class Stuff:
    """What a part is made of: its thickness before planing, how much thinner it is in places, its wood and how that is
    sawn; and whether it belongs to the carcase that the piece goes into."""

    thickness: float
    wood: Wood
    uneven: float = 0.0
    of_carcase: bool = False
    sawn: Sawn = "flat"


@dataclass(frozen=True)
class Assembly:
    """A piece laid out. `parts` are its boards and what is fitted between them, by name. `kinds` are its joints, each
    kind once; `joints` are those of a piece that has several, each where it stands. `loose` is where the parts lie that
    no joint holds, and `volumes` are their volumes (mm3). `sawn` is what becomes of boards that a lid is sawn off, by
    name."""

    name: PieceName
    plan: Layout | BoxLayout
    parts: Mapping[str, Stuff]
    kinds: tuple[JointKind, ...]
    joints: tuple[PlacedJoint, ...] = ()
    loose: Mapping[str, Slab] = field(default_factory=dict)
    volumes: Mapping[str, float] = field(default_factory=dict)
    sawn: Mapping[str, SawnPart] = field(default_factory=dict)

    @property
    def recipe(self) -> Recipe | BoxRecipe:
        """The resolved recipe."""
        return self.plan.recipe

    def volume(self, part: str, *, finished: bool) -> float:
        """Exact volume of a part (mm3)."""
        if part in self.volumes:
            return self.volumes[part]
        if finished and part in self.sawn:
            return self.sawn[part].volume
        if isinstance(self.plan, BoxLayout):
            side = cast("Side", part)
            cuts = (cut.wood.volume for cut in cuts_in(self.plan, side, finished=finished))
            more = (strip.wood.volume for strip in strips_of(self.plan, side))
            return grooved_volume(self.plan, side, finished=finished) - math.fsum(cuts) + math.fsum(more)
        state = self.plan.state(finished=finished)
        return tail_board_volume(self.plan, state) if part == "tail board" else pin_board_volume(self.plan, state)

    @property
    def box(self) -> BoxLayout | None:
        """The layout of the box; None if the piece is not a box."""
        return self.plan if isinstance(self.plan, BoxLayout) else None

    def ends(self, board: str) -> tuple[tuple[JointKind, str], ...]:
        """The kinds of joint at the ends of a board, each with its corners at this board alone, and what the board
        carries there: it is a "tail board" or a "pin board"."""
        if self.box is None:
            return ((self.kinds[0], board),)
        there = {joint.name: joint for joint in self.joints if board in joint.boards}
        found = []
        for kind in self.kinds:
            names = tuple(name for name in kind.names if name in there)
            if names:
                carries = "tail board" if there[names[0]].tail_board == board else "pin board"
                found.append((JointKind(shown_layout(self.box, names), names), carries))
        return tuple(found)


def _stuff(board: Board) -> Stuff:
    return Stuff(board.thickness, board.wood, board.uneven, sawn=board.sawn)


@singledispatch
def assembly_of(plan: Layout | BoxLayout) -> Assembly:
    """The piece that a layout describes."""
    raise TypeError(plan)


@assembly_of.register
def _(plan: Layout) -> Assembly:
    boards = {"tail board": plan.recipe.tail_board, "pin board": plan.recipe.pin_board}
    parts = {name: _stuff(board) for name, board in boards.items()}
    return Assembly("corner", plan, parts, (JointKind(plan),))


@assembly_of.register
def _(plan: BoxLayout) -> Assembly:
    kinds = tuple(JointKind(shown_layout(plan, names), names) for names in kinds_of_corner(plan))
    joints = []
    for name, corner in plan.corners.items():
        pins, tails = sorted((side for side in SIDES if side in name), key=plan.kind_of)
        joints.append(PlacedJoint(name, corner.turned, corner.rows, tails, pins))
    parts: dict[str, Stuff] = {}
    for side, placed in plan.boards.items():
        parts[side] = _stuff(placed.board)
    volumes = plug_volumes(plan)
    for fitted in fitting_of(plan).parts:
        parts[fitted.name] = Stuff(fitted.thickness, fitted.wood, 0.0, fitted.of_carcase, fitted.row.sawn)
        volumes[fitted.name] = fitted.volume
    sawn = {part.name: part for part in sawn_apart(plan)}
    for part in sawn.values():
        parts.setdefault(part.name, parts[part.side])
    return Assembly("box", plan, parts, kinds, tuple(joints), loose_slabs(plan), volumes, sawn)
