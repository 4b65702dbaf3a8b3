"""What stands on the page, as plain values: the scene for the script, the legend, and each layout with its numbers.
Lengths in mm."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from solids.base.lengths import format_both
from solids.bench.listing import Rows, pin_rows, raw_end_rows, summary, tail_rows
from solids.bench.place_words import place_words
from solids.layout import Layout
from solids.layout.assembly import Assembly
from solids.layout.box.cut_list import cut_list_rows
from solids.layout.box.kinds import box_headline
from solids.recipe.tables.resolved import told_thickness
from solids.write.formats.scene import GAPS, Scene, ShownPart

DECIMALS = 4
"""A ten-thousandth of a millimetre is enough on a screen."""

CLOSE = 1.25
"""How much is in view of a corner that is looked at from close by, as a ratio to the height of the boards."""

BEHIND = 0.9
"""How much of the board behind the baseline the flat drawing shows, as a share of the joint's depth."""

SMALLEST_LETTERS = 0.028
"""Height of a number on the flat drawing, as a share of the board's width; on a narrow tail it is smaller."""


@dataclass(frozen=True)
class FlatDrawing:
    """The tail board's show face, drawn flat: the view's box, the outline of the board, each tail with its outline and
    where its number stands and how high, and the baseline. As SVG has it: X to the right, Y down; the raw end is up."""

    box: str
    board: str
    tails: tuple[tuple[str, float, float, float, int], ...]
    baseline: tuple[float, float, float]


@dataclass(frozen=True)
class Shown:
    """A part of the layout: its tables, each with a caption; of a joint also its place in the piece, a drawing, and on
    which side of that the reference edge is."""

    title: str
    tables: tuple[tuple[str, Rows], ...]
    place: str = ""
    edge_side: str = ""
    flat: FlatDrawing | None = None


def headline(piece: Assembly) -> str:
    """The piece in one line."""
    return box_headline(piece.box) if piece.box else summary(piece.kinds[0].layout)


def legend(piece: Assembly) -> Iterator[tuple[str, str, str, str]]:
    """Each part with its wood, its thickness and its colour."""
    for name, stuff in piece.parts.items():
        thick = told_thickness(stuff.thickness, stuff.uneven, partial(format_both, units=piece.recipe.units))
        yield name, stuff.wood.told, thick, stuff.wood.colour


def layouts(piece: Assembly) -> Iterator[Shown]:
    """The cut list, where the piece has one, and each kind of joint."""
    if piece.box:
        yield Shown("Cut list", (("Boards", cut_list_rows(piece.box)),))
    for kind in piece.kinds:
        layout = kind.layout
        tables = (
            ("Tails on the show face", tail_rows(layout)),
            ("Pins as cut", pin_rows(layout)),
            ("Tails on the raw end, to mark", raw_end_rows(layout)),
        )
        yield Shown(kind.heading, tables, " ".join(place_words(layout)), layout.edge_side, flat_layout(layout))


def scene_json(scene: Scene) -> str:
    """The scene as JSON that may stand in an HTML script element: it holds no "<"."""
    content = {
        "units": scene.units,
        "apart": round(scene.apart, DECIMALS),
        "reach": [_rounded(corner) for corner in scene.reach],
        "corners": [_corner(scene, name) for name in corner_names(scene)],
        "facing": round(math.acos(scene.view.front_y), DECIMALS),
        "axes": scene.view.axes,
        "moved": scene.view.apart,
        "gaps": {gap.name: gap.colour for gap in GAPS},
        "states": {
            "cut": [_board(scene, board) for board in scene.cut],
            "finished": [_board(scene, board) for board in scene.finished],
        },
    }
    return json.dumps(content, separators=(",", ":"), ensure_ascii=True).replace("<", "\\u003c")


def corner_names(scene: Scene) -> list[str]:
    """The corners that can be looked at from close by: those of a box."""
    return [] if scene.view.shows_gaps else [f"{end} {side}" for end in ("front", "back") for side in ("left", "right")]


def _corner(scene: Scene, name: str) -> dict[str, Any]:
    """Where a corner of a box is, half-way up, from where it is seen with both its faces, and how much is in view."""
    low, high = scene.bounds
    to_the_right, to_the_back = (1.0 if "right" in name else -1.0), (1.0 if "back" in name else -1.0)
    place = [high[0] if to_the_right > 0 else low[0], high[1] if to_the_back > 0 else low[1], (low[2] + high[2]) / 2]
    size = round(float(CLOSE * (high[2] - low[2])), DECIMALS)
    return {"place": _rounded(place), "turn": round(math.atan2(to_the_right, to_the_back), DECIMALS), "size": size}


def _board(scene: Scene, board: ShownPart) -> dict[str, Any]:
    return {
        "name": board.name,
        "colour": board.wood.colour,
        "points": _rounded(board.points.ravel()),
        "triangles": board.triangles.ravel().tolist(),
        "gaps": [board.gaps[number] for number in board.faces],
        "shades": _rounded(scene.shades(board)),
        "edges": _rounded(board.edges.ravel()),
        "away": _rounded(board.away),
    }


def _rounded(values: Any) -> list[float]:
    return [round(float(value), DECIMALS) for value in values]


def flat_layout(layout: Layout) -> FlatDrawing:
    """The tails on the finished show face, from the raw end (up) to behind the baseline, and the wood beside them that
    stays or is mitred."""
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
    low, high = layout.mitred
    left, right, near, far = 0.0 - below, width + above, low, width - high
    box = f"{left - margin:.3f} {-margin:.3f} {right - left + 2 * margin:.3f} {depth + behind + 2 * margin:.3f}"
    board = [(near, depth), (far, depth)]
    board += [(far, 0.0), (right, 0.0)] if above or high else []
    board += [(right, depth + behind), (left, depth + behind)]
    board += [(left, 0.0), (near, 0.0)] if below or low else []
    return FlatDrawing(box, _points(board), tuple(tails), (near, far, depth))


def _points(outline: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.4f},{y:.4f}" for x, y in outline)
