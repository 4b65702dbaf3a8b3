"""What is shown of a corner: both boards' triangles and edges, each face with what its gap is like. Arrays, for
models, pages and pictures alike. Lengths in mm, in the joint's frame."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from solids.base import tolerances as tol
from solids.base.geometry import Vector
from solids.layout import Layout
from solids.model.corner import Corner
from solids.model.kernel import Face, Solid, faces_of, mesh_by_face
from solids.proof.contacts import Contact, contacts_of_faces
from solids.wood import Wood

RIGHT = "right"
TIGHT = "tight"
LOOSE = "loose"


BEHIND = 0.8
"""How much of the boards behind a joint a view shows, by its width; the rest runs out of the picture."""


@dataclass(frozen=True)
class Gap:
    """How faces meet that are shown in one colour. Colours differ in lightness, so that they are told apart without
    seeing hues: CIE L* of about 30, 60 and 88."""

    name: str
    words: str
    colour: str

    @property
    def rgb(self) -> tuple[int, int, int]:
        """Red, green and blue, 0 to 255."""
        red, green, blue = bytes.fromhex(self.colour.removeprefix("#"))
        return red, green, blue


GAPS: tuple[Gap, ...] = (
    Gap(TIGHT, "tight: the wood must give", "#7d1f3c"),
    Gap(RIGHT, f"right: up to {tol.GAP_SHOWS:g} mm", "#2f9e6e"),
    Gap(LOOSE, "loose: a gap that shows", "#f4dc7a"),
)
"""The legend."""


@dataclass(frozen=True)
class Board:
    """One board in one state. `points` is (n, 3), `triangles` (m, 3) into them, counter-clockwise seen from outside, so
    that each face has points of its own; `faces` (m) numbers the face of each triangle; `edges` is (k, 2, 3);
    `gaps` names for each face how it meets its mate, "" where it has none; `away` is where it goes when things are
    taken apart (mm)."""

    name: str
    wood: Wood
    points: npt.NDArray[np.float64]
    triangles: npt.NDArray[np.int64]
    faces: npt.NDArray[np.int64]
    edges: npt.NDArray[np.float64]
    gaps: tuple[str, ...]
    away: Vector = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Scene:
    """A corner or a box to look at: its boards as cut and as finished."""

    title: str
    cut: tuple[Board, ...]
    finished: tuple[Board, ...]

    is_corner: bool = True

    @property
    def apart(self) -> float:
        """How far the part that is taken away furthest is moved (mm)."""
        return max(math.dist(board.away, (0.0, 0.0, 0.0)) for board in self.cut)

    @cached_property
    def bounds(self) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
        """The least and the greatest corner of both boards as cut."""
        points = np.concatenate([board.points for board in self.cut])
        return points.min(axis=0), points.max(axis=0)

    @cached_property
    def reach(self) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
        """The same with the boards taken apart too."""
        low, high = self.bounds
        ways = np.array([board.away for board in self.cut])
        return low + ways.min(axis=0, initial=0.0), high + ways.max(axis=0, initial=0.0)

    @cached_property
    def frame(self) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
        """What a view shows: all of a box; of a corner the joint, and of the boards behind it so much as it is wide."""
        low, high = (corner.copy() for corner in self.reach)
        if self.is_corner:
            behind = BEHIND * (high[0] - low[0])
            low[1:] = np.maximum(low[1:], -behind)
        return low, high


def make_scene(cut: Corner, finished: Corner, contacts: Sequence[Contact]) -> Scene:
    """The scene of one corner. Gaps are those of the corner as cut; a finished face has the gap of its plane."""
    layout = cut.layout
    first, second = (_boards(corner, layout, contacts) for corner in (cut, finished))
    return Scene(layout.recipe.title, first, second)


def lift(layout: Layout) -> float:
    """How far the tail board is lifted to show the pins whole, and some air below it."""
    return 1.5 * layout.as_cut.pin_end


def board_of(
    name: str, wood: Wood, solid: Solid, away: Vector = (0.0, 0.0, 0.0), gaps: tuple[str, ...] | None = None
) -> Board:
    """A solid as there is to see of it."""
    points, triangles, numbers = mesh_by_face(solid)
    faces = faces_of(solid)
    return Board(name, wood, points, triangles, numbers, _edges(faces), gaps or ("",) * len(faces), away)


def _boards(corner: Corner, layout: Layout, contacts: Sequence[Contact]) -> tuple[Board, Board]:
    recipe, up = layout.recipe, (0.0, 0.0, lift(layout))
    still = (0.0, 0.0, 0.0)
    made = []
    for (name, solid), wood, side, away in zip(
        corner.boards, (recipe.tail_board.wood, recipe.pin_board.wood), (1.0, -1.0), (up, still), strict=True
    ):
        found = contacts_of_faces(layout, contacts, faces_of(solid), side)
        made.append(board_of(name, wood, solid, away, tuple(gap_name(contact) for contact in found)))
    return made[0], made[1]


def gap_name(contact: Contact | None) -> str:
    """What a gap is called; "" where nothing is met."""
    if contact is None:
        return ""
    if contact.tightest < -tol.FACE_DEPARTS + tol.ROUNDING:
        return TIGHT
    return LOOSE if contact.widest > tol.GAP_SHOWS + tol.ROUNDING else RIGHT


def _edges(faces: Sequence[Face]) -> npt.NDArray[np.float64]:
    """Every edge once, from its lesser to its greater end."""
    loops = [loop for face in faces for loop in face]
    ends = [(a, b) for loop in loops for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)]
    return np.array(sorted({(min(a, b), max(a, b)) for a, b in ends}))
