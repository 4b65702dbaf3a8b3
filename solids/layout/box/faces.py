"""The names of the faces of a box's parts, each found from where the face lies in its part's own frame.

A board's faces are named as those of a corner, with the corner before what belongs to one end: "front left, flank 3
left". The boards of a box all measure from the reference edge, so both ends of a board count from the same side.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import Frame, Point, Vector
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

BOTTOM_FACES = {
    (0, 0, 1): "upper face",
    (0, 0, -1): "underside",
    (0, -1, 0): "front edge",
    (0, 1, 0): "back edge",
    (-1, 0, 0): "left edge",
    (1, 0, 0): "right edge",
}


def bottom_face(normal: Vector, _: Point) -> str:
    """The name of a face of the bottom, in the frame of the box."""
    return BOTTOM_FACES.get(signs(normal), UNNAMED)


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

    def __call__(self, normal: Vector, point: Point) -> str:
        """The name of the face with this outward normal and this point on it."""
        is_up = (point[1] if self.board.kind == "tail board" else point[2]) > -self.board.length / 2
        corner, names = (self.board.up, self._ends[0]) if is_up else (self.board.down, self._ends[1])
        here = (normal, point) if is_up else (self._back.turn(normal), self._back.apply(point))
        if self.box.is_grooved(self.board.side):
            if self._in_groove(normal, point):
                return self._in_groove(normal, point)
            if self.board.kind == "tail board" and self._ends_groove(corner, *here):
                return f"{corner.name}, groove end"
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
            return "groove floor"
        if not any(looks[1:]) and 0.0 < deep < groove.depth:
            lower, upper = at(point[0], groove.up - foot), at(point[0], groove.top - foot)
            return "lower groove wall" if lower and across > 0 else "upper groove wall" if upper and across < 0 else ""
        return ""

    def _ends_groove(self, corner: BoxCorner, normal: Vector, point: Point) -> bool:
        """Whether a face is where the groove stops in the wood, in the frame of its end."""
        deep = self.box.recipe.groove.depth
        return (
            self.box.stops(self.board, corner)
            and signs(normal) == (0, -1, 0)
            and at(point[1], deep)
            and 0.0 < point[2] < deep
        )


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
