"""A piece as the eye sees it, hidden lines removed by the kernel: a corner drawn apart, or a box put together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from solids.base.geometry import PlanePoint, Point
from solids.layout import Layout
from solids.model.corner import make_corner
from solids.model.kernel import Projection, Solid, moved, project
from solids.model.parts import Part
from solids.write.drafting.segments import tidy
from solids.write.drafting.sheet import Item, Label, Stroke, bounds, placed

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


def drawn_apart(layout: Layout, low: PlanePoint, high: PlanePoint) -> list[Item]:
    """The corner drawn apart, not to scale, in the room between the points `low` and `high` of the sheet."""
    stub = max(2.0 * layout.depth, 0.35 * layout.width)
    recipe = layout.recipe
    stubs = min(recipe.tail_board.length, stub), min(recipe.pin_board.length, stub)
    corner = make_corner(shortened(layout, stubs), layout.as_cut)
    eye, lift = TURN, APART * layout.as_cut.pin_end
    if layout.is_half_blind:
        # From the inside the tail board stands between the eye and the sockets: it is lifted out of the line of sight.
        eye = (TURN[0], -TURN[1], TURN[2])
        lift = layout.as_cut.pin_end + (stubs[0] + layout.depth) * TURN[2] / TURN[1]
    boards = [moved(corner.tail_board, (0.0, 0.0, lift)), corner.pin_board]
    return as_seen(boards, eye, low, high, "drawn apart, not to scale")


TOGETHER = "finished, not to scale"
"""What stands below a picture of a box."""


def isometric(parts: Sequence[Part]) -> list[Stroke]:
    """The parts of a box in their places, as the eye sees them, in mm of the work."""
    return in_sight([part.in_place for part in parts], ISOMETRIC)


def put_together(parts: Sequence[Part], low: PlanePoint, high: PlanePoint) -> list[Item]:
    """The same, in the room between the points `low` and `high` of the sheet."""
    return above_words(isometric(parts), low, high, TOGETHER)


def as_seen(solids: Sequence[Solid], eye: Point, low: PlanePoint, high: PlanePoint, words: str) -> list[Item]:
    """What the eye sees of some solids, as large as fits, above some words."""
    return above_words(in_sight(solids, eye), low, high, words)


def above_words(picture: Sequence[Item], low: PlanePoint, high: PlanePoint, words: str) -> list[Item]:
    """A picture as large as fits, above some words."""
    return [
        *fitted_in(picture, (low[0] + 4.0, low[1] + 8.0), (high[0] - 4.0, high[1] - 4.0)),
        Label(words, ((low[0] + high[0]) / 2, low[1] + 1.5), 2.5),
    ]


def in_sight(solids: Sequence[Solid], eye: Point) -> list[Stroke]:
    """The edges of some solids that the eye sees, in mm of the work; Z is up."""
    strokes = projected(project(solids, eye, right_of(eye)))
    return [stroke for stroke in strokes if stroke.layer == "visible edges"]


def right_of(eye: Point) -> Point:
    """What points to the right for an eye in a direction, level."""
    return -eye[1], eye[0], 0.0


def fitted_in(items: Sequence[Item], low: PlanePoint, high: PlanePoint) -> list[Item]:
    """A picture in the middle of a room between two points, as large as fits."""
    (x1, y1), (x2, y2) = bounds(items)
    scale = min((high[0] - low[0]) / (x2 - x1), (high[1] - low[1]) / (y2 - y1))
    middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    return placed(items, scale, (middle[0] - scale * (x1 + x2) / 2, middle[1] - scale * (y1 + y2) / 2))
