"""What stands on the page, as plain values: the scene for the script, and the layout drawn flat. Lengths in mm."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from solids.layout import Layout
from solids.write.scene import GAPS, Board, Scene

DECIMALS = 4
"""0.0001 mm on the screen."""

AXES = (
    "from the reference edge",
    "from the inside face of the pin board",
    "from the inside face of the tail board",
)
BOX_AXES = ("from the left", "from the front", "from the reference edges")
"""What a section's place is measured from, in X, Y and Z."""

BEHIND = 0.9
"""How much of the board behind the baseline the flat drawing shows, by the depth of the joint."""

SMALLEST_LETTERS = 0.028
"""Height of a number on the flat drawing, by the width of the board; a narrow tail has a smaller one."""


@dataclass(frozen=True)
class Flat:
    """The tail board's show face, drawn flat: the view's box, the outline of the board, each tail with its outline and
    where its number stands and how high, and the baseline. As SVG has it: X to the right, Y down; the raw end is up."""

    box: str
    board: str
    tails: tuple[tuple[str, float, float, float, int], ...]
    baseline: tuple[float, float, float]


def scene_json(scene: Scene) -> str:
    """The scene as JSON that can stand inside an HTML script element: no "<" in it."""
    low, high = scene.bounds
    content = {
        "apart": round(scene.apart, DECIMALS),
        "low": _rounded(low),
        "high": _rounded(high),
        "reach": [_rounded(corner) for corner in scene.reach],
        "frame": [_rounded(corner) for corner in scene.frame],
        "facing": 0 if scene.is_corner else round(math.pi, DECIMALS),
        "axes": AXES if scene.is_corner else BOX_AXES,
        "gaps": {gap.name: gap.colour for gap in GAPS},
        "states": {"cut": [_board(board) for board in scene.cut], "finished": [_board(b) for b in scene.finished]},
    }
    return json.dumps(content, separators=(",", ":"), ensure_ascii=True).replace("<", "\\u003c")


def _board(board: Board) -> dict[str, Any]:
    return {
        "name": board.name,
        "colour": board.wood.colour,
        "points": _rounded(board.points.ravel()),
        "triangles": board.triangles.ravel().tolist(),
        "gaps": [board.gaps[number] for number in board.faces],
        "edges": _rounded(board.edges.ravel()),
        "away": _rounded(board.away),
    }


def _rounded(values: Any) -> list[float]:
    return [round(float(value), DECIMALS) for value in values]


def flat_layout(layout: Layout) -> Flat:
    """The tails on the finished show face, from the raw end (up) to behind the baseline."""
    depth, width = layout.depth, layout.width
    behind = BEHIND * depth
    margin = 0.02 * width
    tails = []
    for tail in layout.tails:
        left, right = layout.tail_edges(tail, 0.0)
        outline = [(tail.left, 0.0), (tail.right, 0.0), (right, depth), (left, depth)]
        letters = min(0.45 * depth, max(SMALLEST_LETTERS * width, 0.2 * depth), 0.4 * tail.width)
        middle = (tail.left + tail.right) / 2
        tails.append((_points(outline), round(middle, 3), round(depth / 2, 3), round(letters, 3), tail.number))
    below, above = layout.strips
    left, right = 0.0 - below, width + above
    box = f"{left - margin:.3f} {-margin:.3f} {right - left + 2 * margin:.3f} {depth + behind + 2 * margin:.3f}"
    board = [(0.0, depth), (width, depth)]
    board += [(width, 0.0), (right, 0.0)] if above else []
    board += [(right, depth + behind), (left, depth + behind)]
    board += [(left, 0.0), (0.0, 0.0)] if below else []
    return Flat(box, _points(board), tuple(tails), (0.0, width, depth))


def _points(outline: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.4f},{y:.4f}" for x, y in outline)
