"""What there is to see of a box: every part in its place, and where it goes when the box is taken apart."""

from __future__ import annotations

from solids.base.geometry import Vector
from solids.model.parts import Part
from solids.proof.assembly import PieceProof
from solids.proof.order import DIRECTIONS
from solids.write.scene import Board, Scene, board_of

SHARE_APART = 0.28
"""How far a part is moved, by the longer side of the box."""


def box_scene(proof: PieceProof) -> Scene:
    """The scene of a box. Each part leaves by the way that it came."""
    ways = {move.part: DIRECTIONS.get(move.direction, (0.0, 0.0, 0.0)) for move in proof.order.moves}
    far = SHARE_APART * max(proof.box.outside)

    def shown(part: Part) -> Board:
        x, y, z = ways.get(part.name, (0.0, 0.0, 0.0))
        away: Vector = (x * far, y * far, z * far)
        return board_of(part.name, part.wood, part.in_place, away)

    title = proof.box.recipe.title
    return Scene(title, tuple(map(shown, proof.cut)), tuple(map(shown, proof.finished)), is_corner=False)
