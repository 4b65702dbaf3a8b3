"""Words cut into an aid, in the one font of all paper (Roboto, package `font-roboto`). Each curve becomes a few
straight lines, so that every face of a letter is plane."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache

from fontTools.pens.basePen import decomposeQuadraticSegment
from fontTools.pens.recordingPen import DecomposingRecordingPen

from solids.base.fonts import BOLD_FILE, font
from solids.base.geometry import PlanePoint, Polygon
from solids.base.polygons import area_of, sides
from solids.model.kernel import Solid
from solids.model.kernel.rounding import sunk

STEPS = 1
"""Straight lines for each curve of the font, which draws a round with eight to sixteen. More make files large, and a
STEP reader slow, for letters that are read from a hand away."""

COARSE, FEWEST = 0.05, 4
"""How far a letter may leave its outline, as a share of its height, and the fewest corners of a loop."""

DEPTH = 0.5
"""How deep letters are cut: a little over two usual layers. Common practice."""

LARGEST = 6.0
"""The most that capitals are high."""


def words_outlines(text: str, height: float) -> tuple[list[tuple[Polygon, list[Polygon]]], float]:
    """The outlines of a text whose capitals are `height` high, from (0, 0): each outer loop (counter-clockwise) with
    its holes (clockwise); and how wide the text is. Characters that the font lacks are left out."""
    face = font(BOLD_FILE)
    glyphs, names = face.getGlyphSet(), face.getBestCmap()
    capital = face["OS/2"].sCapHeight
    scale = height / capital
    found: list[tuple[Polygon, list[Polygon]]] = []
    x = 0.0
    for ch in text:
        if ord(ch) not in names:
            continue
        glyph = glyphs[names[ord(ch)]]
        pen = DecomposingRecordingPen(glyphs)
        glyph.draw(pen)
        loops = [[(x + px * scale, py * scale) for px, py in loop] for loop in _loops(pen.value, COARSE * capital)]
        found += _with_holes(loops)
        x += glyph.width * scale
    return found, x


def _loops(strokes: Iterable[tuple[str, tuple[PlanePoint, ...]]], slack: float) -> Iterator[Polygon]:
    loop: Polygon = []
    for verb, points in strokes:
        if verb == "moveTo":
            loop = [points[0]]
        elif verb == "lineTo":
            loop.append(points[0])
        elif verb == "qCurveTo":
            for control, end in decomposeQuadraticSegment(points):
                loop += _curve(loop[-1], control, end)
        elif verb in ("closePath", "endPath"):
            yield _coarse(loop, slack)


def _curve(start: PlanePoint, control: PlanePoint, end: PlanePoint) -> Polygon:
    points = []
    for step in range(1, STEPS + 1):
        t = step / STEPS
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t**2
        points.append(tuple(a * s + b * m + c * e for s, m, e in zip(start, control, end, strict=True)))
    return [(x, y) for x, y in points]


def _coarse(loop: Polygon, slack: float) -> Polygon:
    """The loop without its doubled end, and without points that lie within `slack` of the line between their
    neighbours, the nearest first."""
    kept = loop[:-1] if loop[0] == loop[-1] else list(loop)
    while len(kept) > FEWEST:
        off = [_off_line(*three) for three in zip([kept[-1], *kept[:-1]], kept, [*kept[1:], kept[0]], strict=True)]
        if min(off) > slack:
            break
        del kept[off.index(min(off))]
    return kept


def _off_line(before: PlanePoint, point: PlanePoint, after: PlanePoint) -> float:
    """How far a point lies off the line between its neighbours."""
    along = (after[0] - before[0], after[1] - before[1])
    off = (point[0] - before[0], point[1] - before[1])
    return abs(along[0] * off[1] - along[1] * off[0]) / math.hypot(*along)


def _with_holes(loops: list[Polygon]) -> list[tuple[Polygon, list[Polygon]]]:
    """TrueType draws outer loops clockwise and holes the other way; a hole belongs to the loop that it lies in."""
    outers = [list(reversed(loop)) for loop in loops if area_of(loop) < 0]
    holes = [list(reversed(loop)) for loop in loops if area_of(loop) > 0]
    return [(outer, [hole for hole in holes if _inside(hole[0], outer)]) for outer in outers]


def _inside(point: PlanePoint, loop: Polygon) -> bool:
    inside = False
    for (ax, ay), (bx, by) in sides(loop):
        if (ay > point[1]) != (by > point[1]) and point[0] < ax + (point[1] - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def engraved(
    body: Solid,
    text: str,
    middle: PlanePoint,
    top: float,
    room: PlanePoint,
    *,
    turned: bool = False,
    most: float = LARGEST,
) -> Solid:
    """The body with a text cut into its level face at Z = `top`, in the middle of a place of this `room` (X and Y), as
    large as fits, its capitals at most `most` high; `turned` runs it along Y. A text without a letter of the font
    leaves the body as it is. KernelError where there is no such face."""
    along, across = (room[1], room[0]) if turned else room
    low, high, width = _extent(text)
    if width == 0.0:
        return body
    height = min(most, letter_height(text, (along, across)))
    outlines, width = words_outlines(text, height)

    def put(point: PlanePoint) -> PlanePoint:
        x, y = point[0] - width / 2, point[1] - height * (low + high) / 2
        return (middle[0] - y, middle[1] + x) if turned else (middle[0] + x, middle[1] + y)

    letters = [
        ([put(point) for point in outer], [[put(point) for point in isle] for isle in isles])
        for outer, isles in outlines
    ]
    return sunk(body, middle, top, letters, DEPTH)


def letter_height(text: str, room: PlanePoint) -> float:
    """How high the capitals come out of a text that is engraved in a room (along and across it); 0 without letters."""
    low, high, width = _extent(text)
    return min(LARGEST, 0.8 * room[1] / (high - low), 0.9 * room[0] / width) if width else 0.0


@lru_cache(maxsize=64)
def _extent(text: str) -> tuple[float, float, float]:
    """How far a text with capitals 1 mm high hangs below the line and stands above it, which is at least a capital,
    and how wide it is."""
    outlines, width = words_outlines(text, 1.0)
    heights = [y for outer, _ in outlines for _, y in outer]
    return min([0.0, *heights]), max([1.0, *heights]), width if heights else 0.0
