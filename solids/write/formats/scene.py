"""A piece to look at: each part's triangles and edges, how each of its faces meets its mate, and where it goes when the
piece is taken apart. Plain arrays, for models, pages and pictures alike. Lengths in mm, in the frame of the piece."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from solids.base import tolerances as tol
from solids.base.geometry import Slab, Vector, scaled
from solids.base.messages import Units
from solids.bench.assembling import DIRECTIONS
from solids.layout import Layout
from solids.layout.assembly import PieceName
from solids.model.corner import PIN_BOARD, TAIL_BOARD
from solids.model.kernel import Face, bounds, faces_of, mesh_by_face
from solids.model.parts import Part
from solids.proof.assembly import PieceProof
from solids.proof.joint.contacts import Contact, contacts_of_faces
from solids.wood import Wood

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]

RIGHT = "right"
TIGHT = "tight"
LOOSE = "loose"

BEHIND, TAILS_BEHIND, THICK_BEHIND = 0.8, 4.0, 3.0
"""How much of a board is drawn behind a joint alone: a share of its width, or if that is less so many times the
distance from tail to tail and the thickness of the board."""

EYE = (150.0, 260.0, 190.0)
"""Where the eye stands, seen from the middle of a piece whose front looks toward +Y: in front, to the right, above."""

AMBIENT, LIGHTS = 0.55, (((0.3, 0.5, 1.0), 0.45), ((-0.6, 1.0, 0.1), 0.15))
"""What falls everywhere, and for each light where it comes from, before such a front, and how strong it is: what looks
up is lightest, then the front, then the side."""

END_GRAIN, ACROSS = 0.84, 0.9
"""How light end grain is beside the same wood along the grain, common practice; and from which share of its normal
along the grain a face is end grain."""

SHARE_APART = 0.2
"""How far each part of a box is moved past those beside it when it is taken apart, as a share of the box's longer
side."""


@dataclass(frozen=True)
class View:
    """How one kind of piece is shown. `axes` say what a place along X, Y and Z is measured from, `sections` which way a
    cut travels along each. `front_y` is 1 where the front looks toward +Y, -1 where it looks toward -Y. `apart` stands
    before and after the distance by which the piece is taken apart. With `shows_gaps`, faces are told apart by
    how they meet their mates."""

    axes: tuple[str, str, str]
    sections: tuple[str, str, str]
    front_y: float
    apart: tuple[str, str]
    shows_gaps: bool


VIEWS: dict[PieceName, View] = {
    "corner": View(
        axes=(
            "from the reference edge",
            "from the inside face of the pin board",
            "from the inside face of the tail board",
        ),
        sections=("across the width", "along the tail board", "along the pin board"),
        front_y=1.0,
        apart=(f"{TAIL_BOARD} ", " up"),
        shows_gaps=True,
    ),
    "box": View(
        axes=("from the left", "from the front", "from the reference edges"),
        sections=("from left to right", "from front to back", "from below"),
        front_y=-1.0,
        apart=("", " apart"),
        shows_gaps=False,
    ),
}


@dataclass(frozen=True)
class Gap:
    """One way for faces to meet, and the colour that shows it. The colours differ in lightness, so that they can be
    told apart without seeing hues: CIE L* of about 30, 60 and 88."""

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
class ShownPart:
    """One part in one state. `points` is (n, 3), `triangles` (m, 3) into them, counter-clockwise seen from outside, so
    that each face has points of its own; `faces` (m) numbers the face of each triangle; `edges` is (k, 2, 3);
    `gaps` names for each face how it meets its mate, "" where it has none; `away` is where the part goes when the piece
    is taken apart (mm); `grain` is along its grain, of length 1, zero where it has none."""

    name: str
    wood: Wood
    points: Floats
    triangles: Integers
    faces: Integers
    edges: Floats
    gaps: tuple[str, ...]
    away: Vector = (0.0, 0.0, 0.0)
    grain: Vector = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Scene:
    """A piece to look at: its parts as cut and as finished, and how it is shown. `behind` is how much of a board is
    drawn behind a joint alone (mm), `units` those in which the maker reads lengths."""

    title: str
    cut: tuple[ShownPart, ...]
    finished: tuple[ShownPart, ...]
    view: View
    behind: float = math.inf
    units: Units = "mm"

    @property
    def apart(self) -> float:
        """How far the part that goes furthest is moved (mm)."""
        return max(math.dist(board.away, (0.0, 0.0, 0.0)) for board in self.cut)

    @cached_property
    def bounds(self) -> tuple[Floats, Floats]:
        """The least and the greatest coordinates of all parts as cut."""
        points = np.concatenate([board.points for board in self.cut])
        return points.min(axis=0), points.max(axis=0)

    @cached_property
    def reach(self) -> tuple[Floats, Floats]:
        """The same, taken apart or not."""
        low, high = self.bounds
        ways = np.array([board.away for board in self.cut])
        return low + ways.min(axis=0, initial=0.0), high + ways.max(axis=0, initial=0.0)

    @property
    def is_broken_off(self) -> bool:
        """Whether boards are drawn shorter than they are."""
        return bool(min(self.bounds[0][1:]) < -self.behind)

    @cached_property
    def drawn(self) -> Scene:
        """The scene to be drawn: long boards are broken off behind the joint, and no line stands at the break."""
        limit = np.array([-math.inf, -self.behind, -self.behind])

        def broken_off(board: ShownPart) -> ShownPart:
            beyond = board.edges < limit
            edges = np.maximum(board.edges[~np.any(np.all(beyond, axis=1), axis=1)], limit)
            return replace(board, points=np.maximum(board.points, limit), edges=edges)

        cut, finished = (tuple(map(broken_off, boards)) for boards in (self.cut, self.finished))
        return replace(self, cut=cut, finished=finished, behind=math.inf)

    def shades(self, board: ShownPart) -> Floats:
        """How light each triangle of a board is, as a share of the wood's own colour: the same in every picture."""
        a, b, c = (board.points[board.triangles[:, corner]] for corner in range(3))
        normals = np.cross(b - a, c - a)
        normals /= np.linalg.norm(normals, axis=1, keepdims=True)
        found = np.full(len(normals), AMBIENT)
        for direction, strength in LIGHTS:
            toward = np.array([1.0, self.view.front_y, 1.0]) * direction
            found += strength * np.maximum(normals @ (toward / np.linalg.norm(toward)), 0.0)
        is_end = np.abs(normals @ np.array(board.grain)) > ACROSS
        found[is_end] *= END_GRAIN
        return found


def scene_of(proof: PieceProof) -> Scene:
    """The scene of a piece. Gaps are those of the piece as cut; a finished face has the gap of its plane."""
    ways, view = _ways_out(proof), VIEWS[proof.assembly.name]

    def shown(part: Part) -> ShownPart:
        points, triangles, numbers = mesh_by_face(part.in_place)
        faces = faces_of(part.in_place)
        gaps = _gaps(proof, part, faces) if view.shows_gaps else ("",) * len(faces)
        away = ways.get(part.name, (0.0, 0.0, 0.0))
        return ShownPart(
            part.name, part.wood, points, triangles, numbers, _edges(faces), gaps, away, _grain(proof, part)
        )

    cut, finished = (tuple(map(shown, parts)) for parts in (proof.cut, proof.finished))
    recipe = proof.assembly.recipe
    return Scene(recipe.title, cut, finished, view, _behind(proof), recipe.units)


def _behind(proof: PieceProof) -> float:
    """How much is drawn behind a joint alone (mm); all of a piece with several."""
    if proof.assembly.box is not None:
        return math.inf
    layout = proof.joints[0].layout
    pitch = layout.width / len(layout.tails)
    thickest = max(layout.recipe.tail_board.thickness, layout.recipe.pin_board.thickness)
    return min(BEHIND * layout.width, max(TAILS_BEHIND * pitch, THICK_BEHIND * thickest))


def _grain(proof: PieceProof, part: Part) -> Vector:
    """Which way the grain of a part runs, in the frame of the piece; zero for parts that show no end grain."""
    box = proof.assembly.box
    along_x, along_y, along_z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
    if box is None:
        return along_y if part.name == TAIL_BOARD else along_z
    ways = {"front": along_x, "back": along_x, "left": along_y, "right": along_y}
    sawn = proof.assembly.sawn.get(part.name)
    return ways.get(sawn.side if sawn else part.name, (0.0, 0.0, 0.0))


def _ways_out(proof: PieceProof) -> dict[str, Vector]:
    """Where each part goes: from a joint alone the tail board is lifted, else each part leaves the way it came, and
    what a lid keeps of a board goes with that board. A part without a way stays where it is."""
    box = proof.assembly.box
    if box is None:
        return {TAIL_BOARD: (0.0, 0.0, lift(proof.joints[0].layout))}
    far = SHARE_APART * max(box.outside)
    blocks = {part.name: Slab.between(*bounds(part.in_place)) for part in proof.cut}
    steps: dict[str, int] = {}
    ways: dict[str, Vector] = {}
    for move in (move for move in proof.order.moves if move.direction and move.part in blocks):
        # One that went in later the same way, beside another, goes farther: or both would leave as one.
        beside = [
            steps[other.part]
            for other in proof.order.moves
            if other.part in steps and other.direction == move.direction
            if blocks[other.part].touches(blocks[move.part])
        ]
        steps[move.part] = 1 + max(beside, default=0)
        ways[move.part] = scaled(DIRECTIONS[move.direction], far * steps[move.part])
    lids = {part.name: ways.get(part.side, (0.0, 0.0, 0.0)) for part in proof.assembly.sawn.values()}
    return {**lids, **ways}


def lift(layout: Layout) -> float:
    """How far the tail board is lifted, to show the pins whole and some air below it."""
    return 1.5 * layout.as_cut.pin_end


def _gaps(proof: PieceProof, part: Part, faces: Sequence[Face]) -> tuple[str, ...]:
    """Face by face, how a board of a joint alone meets its mate."""
    (joint,) = proof.joints
    side = {TAIL_BOARD: 1.0, PIN_BOARD: -1.0}[part.name]
    return tuple(gap_name(found) for found in contacts_of_faces(joint.layout, joint.proof.contacts, faces, side))


def gap_name(contact: Contact | None) -> str:
    """What a gap is called; "" where there is no mate."""
    if contact is None:
        return ""
    if contact.tightest < -tol.FACE_DEPARTS + tol.ROUNDING:
        return TIGHT
    return LOOSE if contact.widest > tol.GAP_SHOWS + tol.ROUNDING else RIGHT


def _edges(faces: Sequence[Face]) -> Floats:
    """Every edge once, from its lesser to its greater end."""
    loops = [loop for face in faces for loop in face]
    ends = [(a, b) for loop in loops for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)]
    return np.array(sorted({(min(a, b), max(a, b)) for a, b in ends}))
