"""The shop drawing of a corner as cut: three views and one exploded pictorial view, hidden lines removed by the kernel.

Third-angle projection (ISO 5456-2): the tail board's show face in front, the pin board's show face above it, the corner
from its other edge to the right. Boards are drawn broken off behind the joint; the list of parts has their lengths.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from solids.base.cautions import FAILS
from solids.base.errors import InputError
from solids.base.geometry import PlanePoint
from solids.base.lengths import CALIPER, RULE, Reading, format_dimension
from solids.layout import Layout, Tail
from solids.model.corner import make_corner
from solids.model.kernel import project
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.dimensions import drawn, stacked, words_width
from solids.write.drafting.grooves import beside_groove, front_groove, side_groove, top_groove
from solids.write.drafting.paper import PAPERS, SCALES, PaperSize, scale_in_words
from solids.write.drafting.pictorial import drawn_apart, projected, shortened
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Sheet, Stroke, break_line, placed
from solids.write.drafting.titles import STRIP_HEIGHT, Shown, frame, parts_list, title_block

STUB = 26.0
"""How much of a board is drawn behind the joint, on paper."""

ROOM = 24.0
"""Room between two views, for dimensions."""

FIRST_ROW, ROW_STEP, MOST_ROWS = 7.0, 5.0, 4
"""Dimensions over the front view: where the first row stands, the step to the next, and how many rows there may be."""

FOOT_ROOM = 24.0
"""Room below the front view and above the top view together, for their names."""

ANGLE_ROOM = 30.0
"""Room below the baseline, for the dimension of the slope and the view's name."""

HEAD_ROOM = FIRST_ROW + ROW_STEP * (MOST_ROWS + 1) + 3.0
"""Room between front and top view."""

LEFT_SHARE = 0.58
"""Share of the width that front and top view may take."""

X, Y, Z, BACK = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
LOOKS = ((Z, X), (Y, X), (X, BACK))
"""For front, top and side view: the direction that each is seen from, and the one that points to the right."""


def shop_drawing(layout: Layout, size: PaperName, *, failing: bool = False) -> Sheet:
    """The whole drawing on one sheet, at the largest scale that fits. `failing` says so in the title block. InputError
    where even the smallest scale does not fit."""
    paper = PAPERS[size].turned()
    for scale in SCALES:
        if _fits(layout, paper, scale):
            return _sheet(layout, paper, scale, failing=failing)
    raise InputError(f"The drawing does not fit {size} at {scale_in_words(SCALES[-1])}; take a narrower joint")


def _fits(layout: Layout, paper: PaperSize, scale: float) -> bool:
    front, top, side = _sizes(layout, scale)
    room = paper.inner_height - STRIP_HEIGHT
    left = LEFT_SHARE * paper.inner_width
    tall = front[1] + top[1] + HEAD_ROOM + FOOT_ROOM <= room
    return tall and front[0] + ROOM <= left and side[0] + ROOM <= paper.inner_width - left


def _stubs(layout: Layout, scale: float) -> tuple[float, float]:
    """How much of the tail board and of the pin board is drawn, in mm of the work."""
    recipe = layout.recipe
    return min(recipe.tail_board.length, STUB / scale), min(recipe.pin_board.length, STUB / scale)


def _sizes(layout: Layout, scale: float) -> tuple[PlanePoint, PlanePoint, PlanePoint]:
    """The room that front, top and side view take on paper."""
    tails, pins = _stubs(layout, scale)
    cut, depth = layout.as_cut, max(layout.as_cut.tail_end, layout.as_cut.show_y)
    width = (layout.width + layout.below) * scale
    front = (width, (tails + depth) * scale)
    top = (width, (pins + cut.pin_end) * scale)
    return front, top, (top[1], front[1])


def _sheet(layout: Layout, paper: PaperSize, scale: float, *, failing: bool) -> Sheet:
    front, top, side = _views(layout, scale)
    low = paper.frame[0]
    (_, front_height), (_, top_height), (side_width, _) = _sizes(layout, scale)
    tails, pins = _stubs(layout, scale)
    left = low[0] + ROOM * 0.75 + layout.strips[0] * scale
    # The angle hangs below the baseline, and a short board leaves it no room there.
    base = low[1] + STRIP_HEIGHT + max(FOOT_ROOM / 2, ANGLE_ROOM - tails * scale)
    baseline = base + tails * scale
    above = base + front_height + HEAD_ROOM
    right = low[0] + LEFT_SHARE * paper.inner_width + ROOM * 0.4
    items: list[Item] = [
        *placed([*front, *front_groove(layout, tails), *_front_dimensions(layout, scale)], scale, (left, baseline)),
        *placed(
            [*top, *top_groove(layout, pins)],
            scale,
            (left, above + layout.as_cut.pin_end * scale),
        ),
        *placed(
            [*side, *side_groove(layout, (tails, pins)), *_side_dimensions(layout, pins)],
            scale,
            (right + layout.as_cut.pin_end * scale, baseline),
        ),
    ]
    name_y = min(base - 5.5, baseline - ANGLE_ROOM + 4.0)
    middle = left + layout.width * scale / 2
    words = (
        (f"tail board, show face; reference edge on the {layout.edge_side}", (max(middle, left + 32.0), name_y)),
        ("pin board, show face", (middle, above + top_height + 3.5)),
        (f"from the {'reference' if layout.mirrored else 'other'} edge", (right + side_width / 2, name_y)),
    )
    items += [Label(text, at, 2.5) for text, at in words]
    beside = [item for item in drawn(items) if isinstance(item, Label) and item.at[0] > right - ROOM * 0.3]
    clear = max(item.at[1] + (words_width(item.text) / 2 if item.turn_deg else 2.5) for item in beside)
    items += drawn_apart(layout, (right - ROOM * 0.3, max(base + front_height, clear) + 4.0), paper.frame[1])
    what = FAILS if failing else f"{layout.recipe.kind} dovetailed corner, as cut"
    shown = Shown(layout.recipe.title, what, layout.recipe.units, is_warning=failing)
    items += [*frame(paper), *title_block(shown, paper, scale), *parts_list(layout, paper)]
    return Sheet(layout.recipe.title, paper.width, paper.height, scale, tuple(items))


# --- the views -----------------------------------------------------------------------------------


def _views(layout: Layout, scale: float) -> tuple[list[Stroke], list[Stroke], list[Stroke]]:
    stubs = _stubs(layout, scale)
    solids = [solid for _, solid in make_corner(shortened(layout, stubs), layout.as_cut).boards]
    front, top, side = (projected(project(solids, eye, right)) for eye, right in LOOKS)
    recipe = layout.recipe
    tails_broken, pins_broken = stubs[0] < recipe.tail_board.length, stubs[1] < recipe.pin_board.length
    width, cut = (0.0, layout.width), layout.as_cut
    if tails_broken:
        whole = width[0] - layout.strips[0], width[1] + layout.strips[1]
        front = [*_off_line(front, 1, -stubs[0]), break_line(whole, -stubs[0], 1, scale)]
        side = [*_off_line(side, 1, -stubs[0]), break_line((-cut.show_z, 0.0), -stubs[0], 1, scale)]
    if pins_broken:
        top = [*_off_line(top, 1, stubs[1]), break_line(width, stubs[1], 1, scale)]
        side = [*_off_line(side, 0, stubs[1]), break_line((0.0, cut.show_y), stubs[1], 0, scale)]
    return front, top, side


def _off_line(strokes: list[Stroke], axis: int, value: float) -> list[Stroke]:
    """The strokes without those along the end where a board is broken off."""
    return [s for s in strokes if any(abs(point[axis] - value) > 1e-6 for point in s.points)]


# --- dimensions ----------------------------------------------------------------------------------


def _front_dimensions(layout: Layout, scale: float) -> list[Item]:
    """At the finished face: half pin, pin, each width of tail once; the width; behind a lap the depth; the slope."""
    end = layout.as_cut.tail_end
    # Widths are those at the finished face, so their lines begin there and pass the ends that stand proud.
    first = FIRST_ROW + (end - layout.depth) * scale
    whole = _across(layout, 0.0, layout.width, reading=CALIPER)
    (whole,), *widths = (
        [dim for dim in placed(places, scale, (0.0, 0.0)) if isinstance(dim, Distance)]
        for places in ([whole], *_widths(layout))
    )
    items = placed(stacked(whole, widths, first, ROW_STEP, MOST_ROWS), 1.0 / scale, (0.0, 0.0))
    if layout.is_half_blind:  # else it is the pin board's thickness, which stands beside the view from the edge
        edge = 0.0 - layout.strips[0]
        items.append(_size(layout, (edge, 0.0), (edge, layout.depth), -9.0, "up"))
    foot = layout.tail_edges(layout.tails[-1], 0.0)[1]
    lean = math.degrees(layout.slope_rad)
    angle = Angle((foot, 0.0), 270.0 - lean, 270.0, 13.0, f"{lean:.1f}°", f" (1:{layout.ratio:.4g})")
    width = words_width(angle.words)
    # Beside the lines of the angle: inside the board where it is wide enough, else past its other edge.
    outside = (layout.width - foot) * scale + width / 2 + 2.0
    aside = -width / 2 - 4.0 if foot * scale > width + 6.0 else outside
    aside = beside_groove(layout, foot, scale, aside, width / 2 + 1.0)
    # A nearer arc where the end of a short board would run through the words.
    drawn_length = _stubs(layout, scale)[0] * scale
    radius = 8.0 if 14.0 <= drawn_length < 22.0 else angle.radius
    items.append(replace(angle, radius=radius, aside=aside))
    return items


def _widths(layout: Layout) -> Iterator[list[Distance]]:
    """Half pin, each width of tail once, a pin, and what runs on beside the joint; each where it may stand, the middle
    first: at the ends are the lines of other dimensions."""
    below, above = layout.strips
    for left, right in ((0.0 - below, 0.0), (layout.width, layout.width + above)):
        if left != right:
            yield [_across(layout, left, right)]
    yield [_across(layout, 0.0, layout.tails[0].left)]
    alike: dict[float, list[Tail]] = {}
    for tail in layout.tails:
        alike.setdefault(round(tail.width, 6), []).append(tail)
    for tails in alike.values():
        more = "" if len(tails) == 1 else f" ({len(tails)}x)"
        yield _from_the_middle([_across(layout, tail.left, tail.right, more) for tail in tails], 1 / 3)
    pins = [_across(layout, left.right, right.left) for left, right in itertools.pairwise(layout.tails)]
    if pins:
        yield _from_the_middle(pins, 2 / 3)


def _from_the_middle(dims: list[Distance], share: float) -> list[Distance]:
    """The same, from a place in the list outward."""
    start = int(share * len(dims))
    return [dims[i] for i in sorted(range(len(dims)), key=lambda i: abs(i - start))]


def _across(layout: Layout, left: float, right: float, more: str = "", reading: Reading = RULE) -> Distance:
    words = _say(layout, right - left, reading)
    return Distance((left, layout.depth), (right, layout.depth), 0.0, words, more=more, reading=reading)


def _side_dimensions(layout: Layout, stub: float) -> Iterator[Item]:
    """Both thicknesses, and the lap where there is one."""
    cut = layout.as_cut
    top = max(cut.tail_end, cut.show_y)
    yield _size(layout, (-cut.show_z, top), (0.0, top), 6.0, "across")
    yield _size(layout, (stub, 0.0), (stub, cut.show_y), 7.0, "up")
    if layout.is_half_blind:
        yield _size(layout, (stub, layout.depth), (stub, cut.show_y), 13.0, "up")


def _size(layout: Layout, start: PlanePoint, end: PlanePoint, offset: float, axis: Literal["across", "up"]) -> Distance:
    """A size of a board, as a caliper reads it."""
    mm = math.dist(start, end)
    return Distance(start, end, offset, _say(layout, mm, CALIPER), axis, reading=CALIPER)


def _say(layout: Layout, mm: float, reading: Reading) -> str:
    return format_dimension(mm, layout.recipe.units, reading)
