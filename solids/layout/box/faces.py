"""The names of the faces of a box's parts, each found from where the face lies in its part's own frame.

A board's faces are named as those of a corner, with the corner before what belongs to one end: "front left, flank 3
left". The boards of a box all measure from the reference edge, so both ends of a board count from the same side.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import Frame, Point, Span, Vector
from solids.layout.box.fitted.bodies import Cut, Fitted
from solids.layout.box.fitted.every import cuts_in
from solids.layout.box.fitted.lip import FRONT, lip_face
from solids.layout.box.model import BoxBoard, BoxCorner, BoxLayout
from solids.layout.joint.faces import (
    INSIDE,
    OTHER_EDGE,
    REFERENCE_EDGE,
    SHOW,
    UNNAMED,
    FaceNames,
    PinBoardFaces,
    TailBoardFaces,
    at,
    signs,
)

OF_THE_WHOLE_BOARD = (INSIDE, SHOW, REFERENCE_EDGE, OTHER_EDGE)
"""Faces that run from one end of a board to the other."""


@dataclass(frozen=True, eq=False)
class BoardFaces:
    """The faces of a board of a box, as cut or finished, in the frame of its end where X runs up."""

    box: BoxLayout
    board: BoxBoard

    @cached_property
    def _ends(self) -> tuple[FaceNames, FaceNames]:
        """Those of its end where X runs up, and of the other, each in its own frame."""
        of = TailBoardFaces if self.board.kind == "tail board" else PinBoardFaces
        return of(self.board.up.turned), of(self.board.down.turned)

    @cached_property
    def _back(self) -> Frame:
        return self.board.turned_round.inverse()

    @cached_property
    def _cuts(self) -> tuple[Cut, ...]:
        return cuts_in(self.box, self.board.side, finished=True)

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        rows = self.board.up.rows
        for cut in self._cuts:
            if name := cut.face_at(rows.turn(normal), rows.apply(point)):
                return name
        if self.board.side == FRONT and (name := lip_face(self.box, rows.turn(normal), rows.apply(point))):
            return name
        is_up = (point[1] if self.board.kind == "tail board" else point[2]) > -self.board.length / 2
        corner, names = (self.board.up, self._ends[0]) if is_up else (self.board.down, self._ends[1])
        here = (normal, point) if is_up else (self._back.turn(normal), self._back.apply(point))
        if self.box.is_grooved(self.board.side):
            if self._in_groove(normal, point):
                return self._in_groove(normal, point)
            if self._ends_groove(corner, *here):
                return f"{corner.name}, {self._groove} end"
        name = names(*here)
        return name if name in OF_THE_WHOLE_BOARD else f"{corner.name}, {name}"

    def _in_groove(self, normal: Vector, point: Point) -> str:
        """The name of the groove's floor or wall, in the frame where X runs up; "" for any other face."""
        groove, foot = self.box.recipe.groove, self.board.up.low
        through = 2 if self.board.kind == "tail board" else 1
        deep, looks = point[through], signs(normal)
        across, out = looks[0], looks[through]
        along = point[3 - through]
        between = -self.board.length < along < 0.0  # and not behind a lap that is as deep as the groove
        if between and at(deep, groove.depth) and out == -1 and not any(looks[:through] + looks[through + 1 :]):
            return f"{self._groove} floor"
        if not any(looks[1:]) and 0.0 < deep < groove.depth:
            lower, upper = at(point[0], groove.up - foot), at(point[0], groove.top - foot)
            if upper and across < 0:
                return f"upper {self._groove} wall"
            return "lower groove wall" if lower and across > 0 else ""
        return ""

    @property
    def _groove(self) -> str:
        return "bottom rebate" if self.box.recipe.panel.in_rebate else "groove"

    def _ends_groove(self, corner: BoxCorner, normal: Vector, point: Point) -> bool:
        """Whether a face is where the groove stops in the wood, in the frame of its end: along Y in a tail board, along
        Z in a pin board."""
        deep, groove = self.box.recipe.groove.depth, self.box.recipe.groove
        along, into = (1, 2) if self.board.kind == "tail board" else (2, 1)
        looks = signs(normal)
        within = not self.box.recipe.panel.in_rebate or self._height(corner, point) < groove.top
        return (
            self.box.stops(self.board, corner)
            and looks[along] == -1
            and not looks[0]
            and not looks[into]
            and at(point[along], deep)
            and 0.0 < point[into] < deep
            and within
        )

    def _height(self, corner: BoxCorner, point: Point) -> float:
        """How high a point of a corner's frame lies in the box."""
        return corner.rows.apply(point)[2]


SAWN_EDGE = "sawn edge"


@dataclass(frozen=True, eq=False)
class SawnFaces:
    """The faces of a part of a board that a lid is sawn off: those of the board, the sawn edge, and those of the
    mortises of its hinges. `rows` lead from its frame into the box as it was glued up, where the sawn edges end up at
    these heights, `closed` into the closed box, where the mortises are."""

    whole: FaceNames
    rows: Frame
    heights: Span
    closed: Frame
    mortises: tuple[Cut, ...] = ()

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        for cut in self.mortises:
            if name := cut.face_at(self.closed.turn(normal), self.closed.apply(point)):
                return name
        up, height = signs(self.rows.turn(normal)), self.rows.apply(point)[2]
        is_sawn = not any(up[:2]) and any(at(height, edge) for edge in self.heights)
        return SAWN_EDGE if is_sawn else self.whole(normal, point)


@dataclass(frozen=True, eq=False)
class FittedFaces:
    """The faces of a part that is fitted into a box, in the frame of the box."""

    part: Fitted

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        return self.part.face_at(normal, point) or UNNAMED


@dataclass(frozen=True, eq=False)
class PlugFaces:
    """The faces of a plug in the end of a groove, in the frame of its corner."""

    corner: BoxCorner

    def __call__(self, normal: Vector, _: Point) -> str:
        """The name of the face with this outward normal."""
        match signs(normal):
            case 0, ahead, 0:
                return "end" if ahead > 0 else "inner end"
            case 0, 0, up:
                return "on the groove floor" if up > 0 else INSIDE
            case side, 0, 0:
                return "lower side" if (side < 0) == self.corner.upright else "upper side"
            case 0, 1, -1:
                return "chamfer"
        return UNNAMED


@dataclass(frozen=True, eq=False)
class Moved:
    """The faces of a part after a motion."""

    names: FaceNames
    by: Frame

    @cached_property
    def _back(self) -> Frame:
        return self.by.inverse()

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        return self.names(self._back.turn(normal), self._back.apply(point))


@dataclass(frozen=True, eq=False)
class Alike:
    """The faces of boards of one shape, which a file holds once: each name that a face has, wherever it stands."""

    each: tuple[FaceNames, ...]

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        return " and ".join(dict.fromkeys(names(normal, point) for names in self.each))
