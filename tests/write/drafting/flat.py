"""What tests of drawings share: the room that words take, edges of solids as segments, and odd recipes.

How wide words are is measured with the font itself, as it will be printed, not with the drawing's own estimate.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from solids.base.geometry import PlanePoint
from solids.write.drafting.dimensions import drawn
from solids.write.drafting.sheet import Item, Label, Stroke
from solids.write.paper.typesetting.letters import in_font, width_of
from solids.write.paper.typesetting.pdf import CAP_HEIGHT
from tests.corners import CASES

Edge = tuple[tuple[float, float, float], tuple[float, float, float]]

DESCENT = 0.3
"""How far letters such as g reach below their line, as a share of the height of capitals: Roboto's is 0.29."""

ODD: dict[str, tuple[str, ...]] = {
    **CASES,
    "very wide": ("tool-tray", "joint.width=5000", "joint.tails=60"),
    "a hundred tails": ("tool-tray", "joint.width=1200", "joint.tails=100", "joint.slope=1:8"),
    "wide, few tails": ("carcase", "joint.width=900", "joint.tails=3"),
    "very narrow": ("tool-tray", "joint.width=16", "joint.tails=1", "joint.half_pin=5"),
    "thin": ("tool-tray", "tail_board.thickness=2", "pin_board.thickness=2"),
    "very thick": ("tool-tray", "joint.width=900", "tail_board.thickness=400", "pin_board.thickness=500"),
    "thick and thin": ("tool-tray", "joint.width=300", "tail_board.thickness=120", "pin_board.thickness=6"),
    "long boards": ("tool-tray", "tail_board.length=9000", "pin_board.length=7000"),
    "short boards": ("tool-tray", "tail_board.length=1", "pin_board.length=1"),
    "far proud": (
        "tool-tray",
        "joint.width=300",
        "joint.pin=20",
        "joint.half_pin=21",
        "tail_board.proud=50",
        "pin_board.proud=50",
    ),
    "hollowed": ("tool-tray", "entry_chamfer.width=1", "undercut.depth=0.4", "undercut.land=2"),
    "half-blind, hollowed": ("drawer-front", "undercut.depth=0.4", "undercut.land=2"),
    "many widths": (
        "gauge-case",
        "joint.spacing=[17.3, 19.7, 21.1, 23.3, 18.9, 16.7, 22.2, 24.4, 25.1, 26.9, 27.7, 28.3]",
        "joint.width=329.8",
        "joint.half_pin=13.7",
        "joint.pin=2.8",
    ),
    "inches, long fractions": ("tea-box", "joint.width=4.777", "joint.half_pin=0.333", "pin_board.thickness=0.411"),
}
"""Corners of all kinds and of odd sizes: a preset's name and what is set otherwise."""


def words_box(label: Label, shrink: float = 0.0) -> Polygon:
    """The rectangle that a label's words take, turned as they are turned."""
    size = label.height / CAP_HEIGHT
    width = width_of(in_font(label.text), size, bold=label.bold)
    start = {"left": 0.0, "middle": -width / 2, "right": -width}[label.align]
    low, high = -DESCENT * label.height + shrink, label.height - shrink
    corners = [(start + shrink, low), (start + width - shrink, low)]
    corners += [(start + width - shrink, high), (start + shrink, high)]
    turn = math.radians(label.turn_deg)
    return Polygon(
        [
            (
                label.at[0] + x * math.cos(turn) - y * math.sin(turn),
                label.at[1] + x * math.sin(turn) + y * math.cos(turn),
            )
            for x, y in corners
        ]
    )


def labels(items: Iterable[Item]) -> list[Label]:
    return [piece for piece in drawn(items) if isinstance(piece, Label)]


def strokes(items: Iterable[Item], *layers: str) -> list[Stroke]:
    """The strokes of a drawing, dimensions taken apart; of some layers only where named."""
    return [piece for piece in drawn(items) if isinstance(piece, Stroke) and (not layers or piece.layer in layers)]


def segments(stroke: Stroke) -> list[tuple[PlanePoint, PlanePoint]]:
    points = [*stroke.points, stroke.points[0]] if stroke.closed else [*stroke.points]
    return list(pairwise(points))


def edges_of(faces: Iterable[Iterable[Iterable[tuple[float, float, float]]]]) -> set[Edge]:
    """Every edge of a solid once."""
    found: set[Edge] = set()
    for face in faces:
        for loop in face:
            points = list(loop)
            for a, b in zip(points, [*points[1:], points[0]], strict=True):
                found.add((min(a, b), max(a, b)))
    return found


def clashing(shapes: list[tuple[str, BaseGeometry]]) -> list[tuple[str, str]]:
    """The pairs that share an area."""
    return [
        (first, second)
        for i, (first, one) in enumerate(shapes)
        for second, other in shapes[i + 1 :]
        if one.intersection(other).area > 0
    ]
