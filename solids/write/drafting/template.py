"""The 1:1 paper template: one strip of paper for each board, folded over its end. Pure arithmetic, mm.

From bottom to top a strip shows the show face, the raw end and the inside face, each as seen from outside, so that X
keeps its direction over both folds. The tail board's reference edge is on the left. The pin board is seen from the
other side, so its reference edge is on the right. A strip is as wide as its board: where a tail board runs on beside
the joint, so does the paper, and the groove for a bottom is drawn where it lies on the inside face. Round the shoulder
of a rebate the paper is folded twice more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from solids.base import tolerances as tol
from solids.base.fonts import fitted, width_of
from solids.base.geometry import PlanePoint, Span
from solids.layout import GrooveHere, Layout
from solids.layout.joint.shape.flanks import Flank
from solids.layout.joint.shape.mitre import mitre_of, mitred_edges
from solids.write.drafting.sheet import Item, Label, Stroke, box, line, mapped, uprights

BEHIND = 18.0
"""How much of each face is shown behind the baseline."""

LETTERS, SMALL, LEAST_NAME = 2.8, 2.0, 1.2
SIDE = 6.0
"""What names leave free at both sides, for the words along the reference edge."""

NUMBERS = 8.0
"""How far the numbers of the tails reach below the show face's baseline."""


@dataclass(frozen=True)
class Strip:
    """One board's strip: its size, and what is drawn on it with the lower left corner at the origin. `folds` are the
    heights of the folds: two over the edges of the raw end, and two round the shoulder of a rebate. `baselines` are the
    heights of the baselines on both faces."""

    board: str
    width: float
    height: float
    folds: tuple[float, ...]
    baselines: tuple[float, float]
    items: tuple[Item, ...]

    def names(self, left: float, right: float, height: float = LETTERS) -> Iterator[Label]:
        """Names each face, in the middle of the part from `left` to `right`."""
        middle = (left + right) / 2
        for face, low, high in (
            ("show face", 0.0, self.baselines[0] - NUMBERS),
            ("inside face", max(*self.folds, *self.baselines), self.height),
        ):
            text = f"{self.board}, {face}"
            _, size = fitted(text, right - left - 2 * SIDE, height, bold=True)
            if size < LEAST_NAME:
                continue  # a strip too narrow to name; the page's heading names it
            yield Label(text, (middle, (low + high - size) / 2), size, bold=True)


def strips(layout: Layout) -> tuple[Strip, Strip]:
    """The strips of the tail board and of the pin board."""
    return _tail_strip(layout), _pin_strip(layout)


def _strip(layout: Layout, board: str, reach: float, thickness: float, mirrored: bool, items: Iterator[Item]) -> Strip:
    """A strip of a board whose joint reaches `reach` beyond its baseline. `items` have Y = 0 at the show face's
    baseline, and X from the edge that the joint is measured from."""
    below, above = (0.0, 0.0) if mirrored else layout.strips
    step = 0.0 if mirrored else layout.rebate
    width = below + layout.width + above
    inner = BEHIND + reach + thickness
    baseline = inner + reach
    height = baseline + step + BEHIND
    put = _mirror(layout.width) if mirrored else _shifted(below)
    drawn = [mapped(item, put) for item in items]
    folds = (BEHIND + reach, inner, *((baseline, baseline + step) if step else ()))
    drawn += [box("thin frame", (0.0, 0.0), (width, height))]
    drawn += [line("fold lines", (0.0, fold), (width, fold)) for fold in folds]
    drawn += _edge_words(layout, width, (BEHIND, height - BEHIND, height), mirrored=mirrored)
    return Strip(board, width, height, folds, (BEHIND, baseline), tuple(drawn))


def _shifted(by: float) -> Callable[[PlanePoint], PlanePoint]:
    return lambda point: (point[0] + by, point[1] + BEHIND)


def _mirror(width: float) -> Callable[[PlanePoint], PlanePoint]:
    return lambda point: (width - point[0], point[1] + BEHIND)


def _edge_words(layout: Layout, width: float, heights: tuple[float, float, float], *, mirrored: bool) -> Iterator[Item]:
    baseline, inside, top = heights
    x = width - 1.5 if mirrored != layout.mirrored else 1.5 + SMALL
    if width > 4 * SIDE:
        for y in (baseline / 2, (inside + top) / 2):
            yield Label("ref. edge", (x, y), SMALL, turn_deg=90.0)


def _tail_strip(layout: Layout) -> Strip:
    end, thickness = layout.as_cut.tail_end, layout.tail_thickness
    return _strip(layout, "tail board", end, thickness, False, _tail_lines(layout, end, thickness))


def _tail_lines(layout: Layout, end: float, thickness: float) -> Iterator[Item]:
    far = 2 * end + thickness
    for tail in layout.tails:
        for flank in tail.flanks:
            foot, tip = flank.foot, flank.x(end)
            yield Stroke("cut lines", ((foot, 0.0), (tip, end), (tip, end + thickness), (foot, far)))
        yield Label(str(tail.number), (tail.middle, -4.0), min(LETTERS, 0.4 * tail.width))
    yield from _beside_tails(layout, end, far)
    for groove in layout.grooves:
        if groove.reach is not None:
            here = replace(groove, reach=min(groove.reach, end))
            yield from _groove_in_tails(layout, here, end + thickness, far)
    yield from uprights("lid cut", layout.lid_cuts, -BEHIND, far + layout.rebate + BEHIND)
    for gap in layout.gaps:
        low, high = gap.span(0.0), gap.span(end)
        yield line("gauge lines", (low[0], 0.0), (low[1], 0.0))
        kerfs = _kerfs(layout, gap.left, gap.right, layout.walls)
        yield from _waste(low, 0.0, high, end, kerfs)
        yield from _waste(high, end, high, end + thickness, kerfs)
        yield from _waste(high, end + thickness, low, far, kerfs)
    for span in mitred_edges(layout):
        outside = mitre_of(layout).y(layout.as_cut.show_z)
        yield line("cut lines", (_inner(span), 0.0), (_inner(span), far))
        yield from _mitred(span, outside, (end, end + thickness, far), 0.0, 1.0)
    yield line("gauge lines", (0.0, far), (layout.width, far))


def _beside_tails(layout: Layout, end: float, far: float) -> Iterator[Item]:
    """The line beside what runs on past the joint, and a word on it."""
    for x, strip, outward, wall in zip((0.0, layout.width), layout.strips, (-1.0, 1.0), layout.walls, strict=True):
        if strip and wall:
            yield line("cut lines", (x, 0.0), (x, far))
            yield from _written("stays", x + outward * strip / 2, strip, (end / 2, far / 2, far - end / 2))


def _pin_strip(layout: Layout) -> Strip:
    end, thickness = layout.as_cut.pin_end - layout.rebate, layout.recipe.pin_board.thickness
    return _strip(layout, "pin board", end, thickness, True, _pin_lines(layout, end, thickness))


def _pin_lines(layout: Layout, end: float, thickness: float) -> Iterator[Item]:
    """On the raw end Y runs down from the show face at the first fold to 0 at the second."""
    lap_fold, inner_fold, far = end + thickness - layout.depth, end + thickness, 2 * end + thickness
    for tail in layout.tails:
        outer, inner = layout.socket_edges(tail, layout.depth), layout.socket_edges(tail, 0.0)
        kerfs = _kerfs(layout, tail.flank(-1), tail.flank(1))
        for flank in tail.flanks:
            wide, narrow = layout.socket_x(flank, layout.depth), layout.socket_x(flank, 0.0)
            show = () if layout.is_half_blind else ((wide, 0.0),)
            yield Stroke("cut lines", (*show, (wide, lap_fold), (narrow, inner_fold), (narrow, far)))
        if layout.is_half_blind:
            yield line("gauge lines", (outer[0], lap_fold), (outer[1], lap_fold))
        else:
            yield line("gauge lines", (outer[0], 0.0), (outer[1], 0.0))
            yield from _waste(outer, 0.0, outer, end, kerfs)
        yield from _waste(outer, lap_fold, inner, inner_fold, kerfs)
        yield from _waste(inner, inner_fold, inner, far, kerfs)
        # Beside the socket, behind the baseline: inside it the cross of the waste would run through the number.
        yield Label(str(tail.number), (tail.middle, -4.0), min(LETTERS, 0.4 * tail.width))
    for span in mitred_edges(layout):
        outside = mitre_of(layout).z(layout.as_cut.show_y) - layout.rebate
        yield line("cut lines", (_inner(span), min(outside, end)), (_inner(span), far))
        yield from _mitred(span, outside, (end, inner_fold, far), layout.recipe.kit.saw_kerf, -1.0)
    for groove in layout.grooves:
        if groove.in_pin_board:
            start = far + layout.rebate - groove.pin_reach if groove.stops_in_pin else far
            yield from _groove(groove, start, None, far + BEHIND, -1.0)
    yield from uprights("lid cut", layout.lid_cuts, -BEHIND, far + BEHIND)
    yield line("gauge lines", (0.0, far), (layout.width, far))


def _written(
    text: str, x: float, strip: float, heights: Iterable[float], right: float = 1.0, room: float = math.inf
) -> Iterator[Item]:
    """A word up the wood beside the joint, at some heights, where its length has `room`. `right` is the sign of X to
    the right of the paper."""
    size = min(SMALL, 0.6 * strip, SMALL * room / width_of(text, SMALL))
    if size >= LEAST_NAME:
        for y in heights:
            yield Label(text, (x + right * size / 2, y), size, turn_deg=90.0)


def _inner(span: Span) -> float:
    """Where a mitred shoulder meets the half pin beside it."""
    return span[0] or span[1]


def _mitred(
    span: Span, outside: float, heights: tuple[float, float, float], kerf: float, right: float
) -> Iterator[Item]:
    """A mitred shoulder: a line on the show face, `outside` of the baseline, and the waste from there round the end to
    the baseline of the inside face. `heights` are those of both folds and of that baseline. The line to saw it off the
    pin beside it takes a `kerf` of its waste."""
    end, fold, far = heights
    shows = min(outside, end)
    yield line("gauge lines", (span[0], shows), (span[1], shows))
    kerfs = (0.0, kerf) if _inner(span) == span[1] else (kerf, 0.0)
    for low, high in ((shows, end), (end, fold), (fold, far)):
        if high - low > tol.ROUNDING:
            yield from _waste(span, low, span, high, kerfs)
    yield from _written("mitre", sum(span) / 2, span[1] - span[0], (shows / 2,), right, shows - 1.0)


def _groove_in_tails(layout: Layout, groove: GrooveHere, fold: float, far: float) -> Iterator[Item]:
    """The groove in the tail board, as far as it goes deeper than a rebate: from its end past the baseline at `far`, or
    from the rebate's shoulder, or the baseline. Where it runs out it leaves a notch at the `fold` over the end
    grain."""
    deeper, top = groove.depth - layout.rebate, far + layout.rebate + BEHIND
    if not groove.reach or deeper <= tol.ROUNDING:
        yield from _groove(groove, far + layout.rebate, None, top, 1.0)
        return
    runs_out = groove.reach >= layout.as_cut.tail_end - tol.ROUNDING
    yield from _groove(replace(groove, depth=deeper), far - groove.reach, fold if runs_out else None, top, 1.0)


def _groove(groove: GrooveHere, start: float, fold: float | None, far: float, right: float) -> Iterator[Item]:
    """The groove on the inside face, from `start` to the strip's end at `far`. With a `fold` over which it runs out,
    also the notch that it leaves in the end grain. `right` is the sign of X to the right of the paper."""
    for low, high in groove.spans:
        yield Stroke("groove", ((low, far), (low, start), (high, start), (high, far)))
        if fold is not None:
            yield Stroke("groove", ((low, fold), (low, fold - groove.depth), (high, fold - groove.depth), (high, fold)))
        size = min(SMALL, 0.6 * groove.width)
        if size >= LEAST_NAME and not groove.is_rebate:  # the name of the reference edge stands there
            yield Label(groove.name, ((low + high + right * size) / 2, far - BEHIND / 2), size, turn_deg=90.0)


def _kerfs(layout: Layout, left: Flank | None, right: Flank | None, walls: tuple[bool, bool] = (False, False)) -> Span:
    """How far the saw's kerf reaches into the waste between two flanks from its left and its right side; 0 where the
    kit names no kerf, and at an edge, unless a wall stands there that is sawn square."""
    kerf, (near, far) = layout.recipe.kit.saw_kerf, walls
    return kerf * (left.stretch if left else near), kerf * (right.stretch if right else far)


def _waste(low: Span, y_low: float, high: Span, y_high: float, kerfs: Span) -> Iterator[Item]:
    """A cross over the waste, and beside its sawn sides a line where the kerf ends."""
    yield line("waste", (low[0], y_low), (high[1], y_high))
    yield line("waste", (low[1], y_low), (high[0], y_high))
    for side, inward in ((0, kerfs[0]), (1, -kerfs[1])):
        if inward and abs(inward) < high[1] - high[0]:
            yield line("waste", (low[side] + inward, y_low), (high[side] + inward, y_high))
