"""A piece as the eye sees it, hidden lines removed by the kernel: a corner drawn apart, or a box put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.base.geometry import Point
from solids.layout import Layout
from solids.model.corner import make_corner
from solids.model.kernel import Projection, Solid, moved, project
from solids.model.parts import Part
from solids.proof.assembly import PieceProof
from solids.write.drafting.segments import tidy
from solids.write.drafting.sheet import Stroke

TURN = (0.62, 1.0, 0.75)
"""The direction that the pictorial view is seen from: mostly from the pin board's show face, a little from above and
the side. A half-blind corner is seen from inside, where its sockets open."""

ISOMETRIC = (1.0, -1.0, 1.0)
"""The direction that a box is seen from: from the front, the right and above, alike (ISO 5456-3, from memory)."""

APART = 2.2
"""How far the tail board is lifted in the pictorial view, as a multiple of the length of the pins."""


def shortened(layout: Layout, stubs: tuple[float, float]) -> Layout:
    """The same joint with shorter boards (mm)."""
    recipe = layout.recipe
    boards = replace(recipe.tail_board, length=stubs[0]), replace(recipe.pin_board, length=stubs[1])
    return replace(layout, recipe=replace(recipe, tail_board=boards[0], pin_board=boards[1]))


def projected(picture: Projection) -> list[Stroke]:
    """A picture as strokes, each stretch of line once."""
    visible, hidden = tidy(picture.visible, picture.hidden)
    return [
        *(Stroke("visible edges", segment) for segment in visible),
        *(Stroke("hidden edges", segment) for segment in hidden),
    ]


def apart(layout: Layout) -> list[Stroke]:
    """The edges that the eye sees of a corner drawn apart, in mm of the work."""
    stub = max(2.0 * layout.depth, 0.35 * layout.width)
    recipe = layout.recipe
    stubs = min(recipe.tail_board.length, stub), min(recipe.pin_board.length, stub)
    corner = make_corner(shortened(layout, stubs), layout.as_cut)
    eye, lift = TURN, APART * layout.as_cut.pin_end
    if layout.is_half_blind:
        # From the inside the tail board stands between the eye and the sockets: it is lifted out of the line of sight.
        eye = (TURN[0], -TURN[1], TURN[2])
        lift = layout.as_cut.pin_end + (stubs[0] + layout.depth) * TURN[2] / TURN[1]
    return in_sight([moved(corner.tail_board, (0.0, 0.0, lift)), corner.pin_board], eye)


def isometric(parts: Sequence[Part]) -> list[Stroke]:
    """The parts of a box in their places, as the eye sees them, in mm of the work."""
    return in_sight([part.in_place for part in parts], ISOMETRIC)


TO_EYE = (0.485071, -0.727607, 0.485071)
"""A unit vector toward the eye, (2, -3, 2) / sqrt(17): words on top of a marker read from left to right."""


def cover_picture(proof: PieceProof) -> list[Stroke]:
    """A corner drawn apart, as in the shop drawing, or a box put together, in mm of the work."""
    return isometric(proof.finished) if proof.assembly.box else apart(proof.joints[0].layout)


def in_sight(solids: Sequence[Solid], eye: Point) -> list[Stroke]:
    """The edges of some solids that the eye sees, in mm of the work; Z is up."""
    strokes = projected(project(solids, eye, right_of(eye)))
    return [stroke for stroke in strokes if stroke.layer == "visible edges"]


def right_of(eye: Point) -> Point:
    """What points to the right for an eye in a direction, level."""
    return -eye[1], eye[0], 0.0
