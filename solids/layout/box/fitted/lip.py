"""The lip of a drawer's front: what its board has beyond the box, and the rebate behind it. The outer part of the front
reaches past the box, and closes on the face of the carcase; the box ends in its plane behind. Lengths in mm.

The lip is `thickness` thick from the show face, Y = 0 to Y = thickness. Its strips at the left and the right are as
high as the front, those at the top and the bottom lie between them; so its volume is
thickness x ((length + left + right) x (height + top + bottom) - length x height)."""

from __future__ import annotations

from solids.base.geometry import Point, Span, Vector
from solids.layout.box.fitted.bodies import Fitting, Strip, block
from solids.layout.box.model import BoxLayout
from solids.layout.joint.faces import at, signs
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.lip_resolved import LipSide

FRONT: Side = "front"

LIP_BACK, LIP_EDGE = "lip, back", "lip, {} edge"
"""The names of its faces."""


def lip(box: BoxLayout) -> Fitting:
    """A strip for each side that has a lip."""
    own = box.recipe.lip
    thick = box.board_of(FRONT).thickness
    strips = (
        Strip(
            FRONT,
            f"lip at the {side}",
            block(x, (0.0, own.thickness), z),
            f"rebate behind the lip at the {side}",
            block(x, (own.thickness, thick), z),
        )
        for side, _ in own
        for x, z in [_spans(box, side)]
    )
    return Fitting(strips=tuple(strips))


def _spans(box: BoxLayout, side: LipSide) -> tuple[Span, Span]:
    """From where to where a strip lies, in X and in Z."""
    own, long, high = box.recipe.lip, box.outside[0], box.recipe.height
    return {
        "left": ((-own.left, 0.0), (-own.bottom, high + own.top)),
        "right": ((long, long + own.right), (-own.bottom, high + own.top)),
        "bottom": ((0.0, long), (-own.bottom, 0.0)),
        "top": ((0.0, long), (high, high + own.top)),
    }[side]


def lip_face(box: BoxLayout, normal: Vector, point: Point) -> str:
    """The name of a face of the lip, with this outward normal, of length 1, and this point on it, in the frame of the
    box; "" for any other. In front it is one with the show face."""
    own, (x, y, z) = box.recipe.lip, point
    long, high = box.outside[0], box.recipe.height
    edges: dict[tuple[int, int, int], tuple[LipSide, float, float]] = {
        (-1, 0, 0): ("left", x, -own.left),
        (1, 0, 0): ("right", x, long + own.right),
        (0, 0, -1): ("bottom", z, -own.bottom),
        (0, 0, 1): ("top", z, high + own.top),
    }
    looks = signs(normal)
    if looks == (0, 1, 0) and own and at(y, own.thickness):
        return LIP_BACK
    if looks not in edges:
        return ""
    side, where, edge = edges[looks]
    return LIP_EDGE.format(side) if getattr(own, side) and at(where, edge) else ""
