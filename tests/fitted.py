"""Joints whose fit is tested: every kind with and without entry chamfer and hollow, tight, exact and loose."""

from __future__ import annotations

from functools import cache

from solids.base.geometry import Point
from solids.layout import Layout
from solids.model.boards import pin_board_faces, tail_board_faces
from solids.model.corner import make_corner
from solids.model.kernel import Face, Mesh, mesh
from solids.proof.joint.corner import Proof, prove
from tests.recipes import HALF_BLIND, STANDING, WHOLE, laid_out

CHAMFERED = ("entry_chamfer.width=1.2", "entry_chamfer.back=2")
HOLLOW = ("undercut.depth=0.3", "undercut.land=1.5")
WIDE_PINS = ("joint.pin=5", "joint.half_pin=8")

FITTED: dict[str, tuple[str, ...]] = {
    "plain": (),
    "one tail": ("joint.tails=1", "joint.width=40"),
    "tight": ("fit.flank_gap=-0.04",),
    "a hair tight": ("fit.flank_gap=-0.001",),
    "loose": ("fit.flank_gap=0.1",),
    "loose, nothing proud": ("fit.flank_gap=0.15", "tail_board.proud=0", "pin_board.proud=0"),
    "tight, nothing proud": ("fit.flank_gap=-0.05", "tail_board.proud=0", "pin_board.proud=0"),
    "steep": ("joint.slope=1:4", "fit.flank_gap=0.05"),
    "graduated": ("joint.spacing=graduated", "joint.tails=5", "joint.width=130"),
    "listed, no symmetry": ("joint.spacing=[14, 25, 18]", "joint.tails=3", "joint.half_pin=16.5"),
    "tails nearer to each other than a face may be misplaced": (
        *("joint.spacing=[0.8, 0.7, 0.9]", "joint.tails=3", "joint.pin=0.15", "joint.half_pin=5", "joint.width=12.7"),
        *("tail_board.thickness=2", "pin_board.thickness=2", "joint.slope=1:8", "tail_board.proud=0.1"),
    ),
    "half-blind": HALF_BLIND,
    "half-blind, loose": (*HALF_BLIND, "fit.flank_gap=0.08"),
    "half-blind, tight": (*HALF_BLIND, "fit.flank_gap=-0.05"),
    "chamfered": CHAMFERED,
    "chamfered, tight": (*CHAMFERED, "fit.flank_gap=-0.04"),
    "chamfered less than tight": ("entry_chamfer.width=0.02", "entry_chamfer.back=2", "fit.flank_gap=-0.05"),
    "chamfered, loose": (*CHAMFERED, "fit.flank_gap=0.1"),
    "chamfered, half-blind": (*HALF_BLIND, *CHAMFERED),
    "hollow": HOLLOW,
    "hollow, tight": (*HOLLOW, "fit.flank_gap=-0.03"),
    "hollow, loose": (*HOLLOW, "fit.flank_gap=0.1"),
    "hollow, one tail": (*HOLLOW, "joint.tails=1", "joint.width=40"),
    "hollow, half-blind": (*HALF_BLIND, *HOLLOW),
    "both, half-blind, tight": (*HALF_BLIND, *CHAMFERED, *HOLLOW, "fit.flank_gap=-0.05"),
    "both, half-blind, loose": (*HALF_BLIND, *CHAMFERED, *HOLLOW, "fit.flank_gap=0.05"),
    "both, no symmetry": (*CHAMFERED, *HOLLOW, "joint.spacing=[14, 25, 18]", "joint.tails=3", "joint.half_pin=16.5"),
    "both, left standing": (*STANDING, *CHAMFERED, *HOLLOW, *WIDE_PINS),
}
"""Overrides of the whole recipe (t_t 10, t_p 12, 1:7, four tails), by what is special about the joint."""


@cache
def layout_of(*overrides: str) -> Layout:
    """The whole recipe laid out with overrides."""
    return laid_out(*overrides, text=WHOLE)


@cache
def proof_of(*overrides: str) -> Proof:
    """The whole recipe with overrides, built in both states and proved."""
    layout = layout_of(*overrides)
    return prove(make_corner(layout, layout.as_cut), make_corner(layout, layout.as_finished))


@cache
def meshes_of(*overrides: str) -> tuple[Mesh, Mesh]:
    """The kernel's triangles of the tail board and the pin board as cut."""
    layout = layout_of(*overrides)
    corner = make_corner(layout, layout.as_cut)
    return mesh(corner.tail_board), mesh(corner.pin_board)


def faces_as_cut(layout: Layout) -> tuple[list[Face], list[Face]]:
    """The faces of the tail board and the pin board as cut."""
    return tail_board_faces(layout, layout.as_cut), pin_board_faces(layout, layout.as_cut)


def points_of(faces: list[Face]) -> set[Point]:
    """Every corner of a board."""
    return {point for face in faces for loop in face for point in loop}


def shifted(faces: list[Face], points: set[Point], by: Point) -> list[Face]:
    """The faces with some of their corners moved by a vector; all others as they were."""
    assert points
    assert points <= points_of(faces)

    def move(point: Point) -> Point:
        return (point[0] + by[0], point[1] + by[1], point[2] + by[2]) if point in points else point

    return [[[move(point) for point in loop] for loop in face] for face in faces]


def flank_points(layout: Layout, faces: list[Face], tail: int, side: int, *, of_pin: bool) -> set[Point]:
    """The corners of one flank in the joint: `tail` from 0, `side` 0 is its left. A socket's flank where `of_pin`."""
    edges = layout.socket_edges if of_pin else layout.tail_edges
    axis, low = (2, -layout.recipe.undercut.depth) if of_pin else (1, 0.0)

    def on_it(point: Point) -> bool:
        return point[axis] >= low and abs(point[0] - edges(layout.tails[tail], point[1])[side]) < 1e-9

    return {point for point in points_of(faces) if on_it(point)}
