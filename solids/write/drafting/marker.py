"""The drawing of a marking template, for who mills it: two views, sizes with their tolerances, and how it looks.

Third-angle projection (ISO 5456-2): the side of the fences in front, with the front leg upward, and the view from the
right beside it. What a machine makes is in millimetres for everyone.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from solids.aids.marking.sizes import INNER, LAND, OUTER, PLATE, MarkerSizes
from solids.aids.marking.template import MarkerAid, marker_blank, slope_words
from solids.base.cautions import SHARP
from solids.base.errors import FaultError, InputError
from solids.base.geometry import MINUS_Z, PlanePoint, X, Z
from solids.base.lengths import CALIPER, bare_mm
from solids.base.messages import said
from solids.model.kernel import project
from solids.recipe.tables.resolved import PaperName, Recipe
from solids.write.drafting.dimensions import words_width
from solids.write.drafting.fitted import above_words
from solids.write.drafting.paper import PAPERS, SCALES, PaperSize, scale_in_words
from solids.write.drafting.pictorial import TO_EYE, in_sight, projected
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Sheet, placed
from solids.write.drafting.titles import STRIP_HEIGHT, Shown, frame, rows_in_strip, title_block

ANGLE_TOLERANCE = 0.1
"""Of a slope (degrees): 0.035 mm on a leg of 20 mm, less than a knife's line is wide. Common practice."""

FENCE_TOLERANCE = 0.02
"""How flat a fence is, and how square to its leg over its height (mm): what a try square and light show. Common
practice."""

LEG_TOLERANCE, OTHERS = 0.1, 0.2
"""Of a leg's thickness, on which a knife rides, and of all other sizes (mm), which only have to look right. Our own
choice."""

DOWN = MINUS_Z
LEFT, BETWEEN, BESIDE, ABOVE, BELOW = 26.0, 44.0, 14.0, 20.0, 20.0
"""Room on paper: left of the front view, between both views, right of them, over them and under them."""

CHAIN, WHOLE, ROW = 8.0, 16.0, 7.0
"""How far dimension lines stand off: the chain at the left, the whole beside it, and those over and under the views."""

PICTURE = 60.0
"""The width that the pictorial view needs at least."""


def marker_drawing(aid: MarkerAid, recipe: Recipe) -> Sheet:
    """The whole drawing on one sheet, at the largest scale that fits. InputError where no scale fits."""
    sizes = aid.sizes
    if sizes is None:
        raise FaultError(f"drawing {aid.name}: it has no sizes")
    paper = PAPERS[recipe.paper.size].turned()
    scale = _scale(sizes, paper, recipe.paper.size)
    front_at = paper.frame[0][0] + LEFT + sizes.width * scale / 2, _base(paper, sizes, scale)
    side_at = front_at[0] + sizes.width * scale / 2 + BETWEEN + sizes.height * scale, front_at[1]
    blank = marker_blank(sizes)
    front, side = (projected(project([blank], eye, right)) for eye, right in ((Z, X), (X, DOWN)))
    items: list[Item] = [
        *placed([*front, *_front_sizes(sizes, scale)], scale, front_at),
        *placed([*side, *_side_sizes(sizes)], scale, side_at),
        *_names(sizes, scale, front_at, side_at),
        *above_words(in_sight([aid.solid], TO_EYE), *_picture_room(paper, side_at[0]), "not to scale"),
        *frame(paper),
        *title_block(Shown(recipe.title, said(aid.title), "mm"), paper, scale),
        *rows_in_strip(list(_rows(sizes)), paper),
    ]
    return Sheet(f"{recipe.title}: {said(aid.title)}", paper.width, paper.height, scale, tuple(items))


def _scale(sizes: MarkerSizes, paper: PaperSize, name: PaperName) -> float:
    wide, tall = sizes.width + sizes.height, sizes.reach - sizes.low
    rooms = LEFT + BETWEEN + BESIDE + PICTURE, ABOVE + BELOW + STRIP_HEIGHT
    for scale in SCALES:
        if wide * scale + rooms[0] <= paper.inner_width and tall * scale + rooms[1] <= paper.inner_height:
            return scale
    raise InputError(f"The drawing of the marking template does not fit {name} at {scale_in_words(SCALES[-1])}")


def _base(paper: PaperSize, sizes: MarkerSizes, scale: float) -> float:
    """Where Y = 0 of the template lies on the sheet: the views stand in the middle of their room."""
    low, high = paper.frame
    spare = high[1] - low[1] - STRIP_HEIGHT - (sizes.reach - sizes.low) * scale
    return low[1] + STRIP_HEIGHT + spare / 2 - sizes.low * scale


def _picture_room(paper: PaperSize, left: float) -> tuple[PlanePoint, PlanePoint]:
    low, high = paper.frame
    return (left + BESIDE, low[1] + STRIP_HEIGHT + 10.0), (high[0], high[1] - 10.0)


def _names(sizes: MarkerSizes, scale: float, front: PlanePoint, side: PlanePoint) -> Iterator[Label]:
    """What each view shows, and the letter on each fence, as the strip explains it."""
    foot = front[1] + sizes.low * scale - BELOW + 4.0
    yield Label("fences toward the eye", (front[0], foot), 2.5)
    middle = side[0] - sizes.height * scale / 2
    yield Label("from the right", (middle, foot), 2.5)
    fence = side[0] - (PLATE + sizes.hook / 2) * scale
    yield Label("A", (fence, side[1] + 1.2), 3.5, bold=True)
    if sizes.is_thick:
        yield Label("A", (fence, side[1] - sizes.body * scale - 4.7), 3.5, bold=True)


# --- sizes ---------------------------------------------------------------------------------------


def _front_sizes(sizes: MarkerSizes, scale: float) -> Iterator[Item]:
    """Along the left both legs and the body, then the whole; over and under the view the widths; and the slopes."""
    half = sizes.width / 2
    steps = [sizes.low, -sizes.body, 0.0, sizes.reach] if sizes.is_thick else [sizes.low, 0.0, sizes.reach]
    for start, end in pairwise(steps):
        yield _up(-half, start, end, -CHAIN)
    yield _up(-half, sizes.low, sizes.reach, -WHOLE)
    top = half - sizes.lean()
    yield _across(sizes.reach, -top, top, ROW)
    if sizes.is_thick:
        yield _across(sizes.low, sizes.lean(rear=True) - half, half - sizes.lean(rear=True), -ROW)
    yield _across(0.0, -half, half, ROW + 7.0 + sizes.reach * scale)
    for rear in (False, True)[: len(sizes.slopes)]:
        lean, at = sizes.slope_deg(rear=rear), (half, -sizes.body if rear else 0.0)
        start, end = (270.0 - lean, 270.0) if rear else (90.0, 90.0 + lean)
        more = f" ±{ANGLE_TOLERANCE:g}° ({slope_words(sizes, rear=rear)})"
        angle = Angle(at, start, end, 0.6 * sizes.reach * scale, f"{lean:.2f}°", more)
        yield Angle(*(at, start, end, angle.radius, angle.number, more), aside=words_width(angle.words) / 2 + 2.0)


def _side_sizes(sizes: MarkerSizes) -> Iterator[Item]:
    """How thick a leg is, and how far the fence stands out; Z runs to the left there."""
    more = f" ±{LEG_TOLERANCE:g}"
    yield _across(sizes.reach, -PLATE, 0.0, ROW, more)
    yield _across(sizes.low, -sizes.height, -PLATE, -ROW)


def _up(x: float, start: float, end: float, offset: float) -> Distance:
    return Distance((x, start), (x, end), offset, bare_mm(end - start, CALIPER), "up", reading=CALIPER)


def _across(y: float, start: float, end: float, offset: float, more: str = "") -> Distance:
    number = bare_mm(end - start, CALIPER)
    return Distance((start, y), (end, y), offset, number, more=more, reading=CALIPER)


def _rows(sizes: MarkerSizes) -> Iterator[str]:
    """What stands in the strip: what the views do not say, the tolerances, and the caution."""
    yield "Hardwood, the grain along the legs, or brass. Milled from two sides: see the aids note."
    square = f", rear leg square within {ANGLE_TOLERANCE:g}°" if sizes.is_square_behind else ""
    yield f"A: fence flat within {FENCE_TOLERANCE:g} and square to its leg within {FENCE_TOLERANCE:g}{square}."
    yield f"Ends of the fence square to it within {ANGLE_TOLERANCE:g}°. Sizes without a tolerance ±{OTHERS:g}."
    if sizes.waist:
        depth, land = bare_mm(sizes.waist, CALIPER), bare_mm(LAND, CALIPER)
        yield f"Hollows {depth} deep, sides at 45°, lands {land} long, radii {OUTER:g} and {INNER:g}."
    if sizes.hole:
        _, y = sizes.hole_at
        yield f"Hole {bare_mm(sizes.hole, CALIPER)} right through, {bare_mm(-y, CALIPER)} behind the front fence."
    engraved = [slope_words(sizes), *([slope_words(sizes, rear=True)] if sizes.is_thick else ()), sizes.words]
    yield f"Engraved 0.5 deep: {', '.join(filter(None, engraved))}."
    yield f"{SHARP} Read the cautions in the aids note."
