"""The shop drawing of a corner as cut: three views and one exploded pictorial view, hidden lines removed by the kernel.

Third-angle projection (ISO 5456-2): the tail board's show face in front, the pin board's show face above it, the corner
from its other edge to the right. Boards are drawn broken off behind the joint; the list of parts has their lengths.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from solids.base.cautions import FAILS
from solids.base.errors import InputError
from solids.base.geometry import MINUS_Z, PlanePoint, Span, X, Y, Z, as_compared
from solids.base.lengths import CALIPER, RULE, Reading, format_dimension
from solids.layout import Layout
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.layout.joint.shape.slopes import slope_words
from solids.model.corner import make_corner
from solids.model.kernel import project
from solids.recipe.tables.resolved import PaperName
from solids.write.drafting.dimensions import drawn, stacked, words_width
from solids.write.drafting.fitted import APART, above_words
from solids.write.drafting.grooves import beside_groove, front_groove, side_groove, top_groove
from solids.write.drafting.paper import PAPERS, SCALES, PaperSize, scale_in_words
from solids.write.drafting.pictorial import apart, projected, shortened
from solids.write.drafting.sheet import Angle, Distance, Item, Label, Sheet, Stroke, break_line, placed, uprights
from solids.write.drafting.slopes import slopes_along_flanks, table_of_slopes
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

NEAR_ARC, FAR_ARC = 8.0, 16.0
"""Of the angles of a mitre: the words of the near one stand beside the far arc, whose own are below it."""

BACK = MINUS_Z
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
    width = (layout.width + sum(layout.strips)) * scale
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
        *placed(
            [
                *(
                    *front,
                    *front_groove(layout, tails),
                    *uprights("lid cut", layout.lid_cuts, -tails, layout.as_cut.tail_end),
                ),
                *_front_dimensions(layout, scale),
            ],
            scale,
            (left, baseline),
        ),
        *placed(
            [*top, *top_groove(layout, pins), *uprights("lid cut", layout.lid_cuts, 0.0 - layout.as_cut.pin_end, pins)],
            scale,
            (left, above + layout.as_cut.pin_end * scale),
        ),
        *placed(
            [*side, *side_groove(layout, (tails, pins)), *_side_dimensions(layout, pins, scale)],
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
    low = right - ROOM * 0.3, max(base + front_height, clear) + 4.0
    items += above_words(apart(layout), low, paper.frame[1], APART)
    what = FAILS if failing else f"{layout.recipe.kind} dovetailed corner, as cut"
    shown = Shown(layout.recipe.title, what, layout.recipe.units, is_warning=failing)
    told = () if len(layout.ratios) == 1 or slopes_along_flanks(layout, scale) else table_of_slopes(layout)
    items += [*frame(paper), *title_block(shown, paper, scale), *parts_list(layout, paper, told)]
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
    """At the finished face: each width of half pin, tail and pin once; the width; behind a lap the depth; slopes."""
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
    slopes = slopes_along_flanks(layout, scale) if len(layout.ratios) > 1 else [_slope(layout, scale)]
    return [*items, *slopes]


def _slope(layout: Layout, scale: float) -> Angle:
    """The slope that all flanks have, at the last one's foot."""
    flank = layout.flanks[-1]
    foot, lean = flank.foot, math.degrees(flank.slope_rad)
    start, end = sorted((270.0, 270.0 - flank.side * lean))
    angle = Angle((foot, 0.0), start, end, 13.0, f"{lean:.1f}°", f" ({slope_words(flank.ratio)})")
    width = words_width(angle.words)
    # Beside the lines of the angle: inside the board where it is wide enough, else past its other edge.
    outside = (layout.width - foot) * scale + width / 2 + 2.0
    aside = -width / 2 - 4.0 if foot * scale > width + 6.0 else outside
    aside = beside_groove(layout, foot, scale, aside, width / 2 + 1.0)
    # A nearer arc where the end of a short board would run through the words.
    drawn_length = _stubs(layout, scale)[0] * scale
    radius = 8.0 if 14.0 <= drawn_length < 22.0 else angle.radius
    return replace(angle, radius=radius, aside=aside)


def _widths(layout: Layout) -> Iterator[list[Distance]]:
    """Each width of half pin, of tail and of pin once, and what runs on or is mitred beside them; each where it may
    stand, the middle first: at the ends are the lines of other dimensions."""
    below, above = layout.strips
    for left, right in ((0.0 - below, 0.0), (layout.width, layout.width + above), *mitred_edges(layout)):
        if left != right:
            yield [_across(layout, left, right)]
    gaps = layout.gap_spans(layout.depth)
    for spans in _alike(layout.of_half_pins(gaps)):
        yield [_across(layout, *spans[0])]
    for spans in _alike([(tail.left, tail.right) for tail in layout.tails]):
        yield _from_the_middle([_across(layout, *span, _times(spans)) for span in spans], 1 / 3)
    pins = _alike(layout.of_full_pins(gaps))
    for spans in pins:
        more = _times(spans) if len(pins) > 1 else ""
        yield _from_the_middle([_across(layout, *span, more) for span in spans], 2 / 3)


def _alike(spans: Sequence[Span]) -> list[list[Span]]:
    """Spans of one width together, in the order in which each width is first met."""
    found: dict[float, list[Span]] = {}
    for left, right in spans:
        found.setdefault(as_compared(right - left), []).append((left, right))
    return list(found.values())


def _times(spans: Sequence[Span]) -> str:
    return "" if len(spans) == 1 else f" ({len(spans)}x)"


def _from_the_middle(dims: list[Distance], share: float) -> list[Distance]:
    """The same, from a place in the list outward."""
    start = int(share * len(dims))
    return [dims[i] for i in sorted(range(len(dims)), key=lambda i: abs(i - start))]


def _across(layout: Layout, left: float, right: float, more: str = "", reading: Reading = RULE) -> Distance:
    words = _say(layout, right - left, reading)
    return Distance((left, layout.depth), (right, layout.depth), 0.0, words, more=more, reading=reading)


def _side_dimensions(layout: Layout, stub: float, scale: float) -> Iterator[Item]:
    """Both thicknesses, the lap where there is one, how deep a rebate is, and how a mitre leans."""
    cut = layout.as_cut
    top = max(cut.tail_end, cut.show_y)
    yield _size(layout, (-cut.show_z, top), (0.0, top), 6.0, "across")
    yield _size(layout, (stub, 0.0), (stub, cut.show_y), 7.0, "up")
    if layout.is_half_blind:
        yield _size(layout, (stub, layout.depth), (stub, cut.show_y), 13.0, "up")
    if layout.rebate:
        yield _size(layout, (-layout.rebate, top), (0.0, top), 12.0, "across")
    if any(layout.mitred):
        yield from _mitre_angles(layout, scale)


def _mitre_angles(layout: Layout, scale: float) -> Iterator[Angle]:
    """Between the mitre and the faces of each board, on its line led on into the corner, where no wood is."""
    mitre, at, clear = mitre_of(layout), (-layout.rebate, 0.0), layout.rebate * scale
    tails, pins = (math.degrees(angle) for angle in (mitre.on_tail_board, mitre.on_pin_board))
    for start, end, radius, beside, board in (
        (270.0, 270.0 + tails, FAR_ARC, 2.0, "tail board"),
        (360.0 - pins, 360.0, NEAR_ARC, FAR_ARC, "pin board"),
    ):
        angle = Angle(at, start, end, radius, f"{end - start:.1f}°", f" {board}")
        yield replace(angle, aside=clear + beside + words_width(angle.words) / 2)


def _size(layout: Layout, start: PlanePoint, end: PlanePoint, offset: float, axis: Literal["across", "up"]) -> Distance:
    """A size of a board, as a caliper reads it."""
    mm = math.dist(start, end)
    return Distance(start, end, offset, _say(layout, mm, CALIPER), axis, reading=CALIPER)


def _say(layout: Layout, mm: float, reading: Reading) -> str:
    return format_dimension(mm, layout.recipe.units, reading)
