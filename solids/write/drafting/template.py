"""The 1:1 paper template: one strip of paper for each board, folded over its end. Pure arithmetic, mm.

From bottom to top a strip shows the show face, the raw end and the inside face, each as seen from outside, so that X
keeps its direction over both folds. The tail board's reference edge is on the left. The pin board is seen from the
other side, so its reference edge is on the right. A strip is as wide as its board: where a tail board runs on beside
the joint, so does the paper, and the groove for a bottom is drawn where it lies on the inside face.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from solids.base import tolerances as tol
from solids.base.fonts import fitted
from solids.base.geometry import PlanePoint, Span
from solids.layout import GrooveHere, Layout
from solids.write.drafting.sheet import Item, Label, Stroke, box, line, mapped

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
    heights of the two folds over the edges of the raw end, `baselines` those of the baselines on both faces."""

    board: str
    width: float
    height: float
    folds: tuple[float, float]
    baselines: tuple[float, float]
    items: tuple[Item, ...]

    def names(self, left: float, right: float, height: float = LETTERS) -> Iterator[Label]:
        """Names each face, in the middle of the part from `left` to `right`."""
        middle = (left + right) / 2
        for face, low, high in (
            ("show face", 0.0, self.baselines[0] - NUMBERS),
            ("inside face", self.baselines[1], self.height),
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
    width = below + layout.width + above
    inner = BEHIND + reach + thickness
    height = inner + reach + BEHIND
    put = _mirror(layout.width) if mirrored else _shifted(below)
    drawn = [mapped(item, put) for item in items]
    folds = (BEHIND + reach, inner)
    drawn += [box("thin frame", (0.0, 0.0), (width, height))]
    drawn += [line("fold lines", (0.0, fold), (width, fold)) for fold in folds]
    drawn += _edge_words(layout, width, (BEHIND, height - BEHIND, height), mirrored=mirrored)
    return Strip(board, width, height, folds, (BEHIND, inner + reach), tuple(drawn))


def _shifted(by: float) -> Callable[[PlanePoint], PlanePoint]:
    return lambda point: (point[0] + by, point[1] + BEHIND)


def _mirror(width: float) -> Callable[[PlanePoint], PlanePoint]:
    return lambda point: (width - point[0], point[1] + BEHIND)


def _edge_words(layout: Layout, width: float, heights: tuple[float, float, float], *, mirrored: bool) -> Iterator[Item]:
    baseline, inner_baseline, top = heights
    x = width - 1.5 if mirrored != layout.mirrored else 1.5 + SMALL
    if width > 4 * SIDE:
        for y in (baseline / 2, (inner_baseline + top) / 2):
            yield Label("ref. edge", (x, y), SMALL, turn_deg=90.0)


def _tail_strip(layout: Layout) -> Strip:
    end, thickness = layout.as_cut.tail_end, layout.recipe.tail_board.thickness
    return _strip(layout, "tail board", end, thickness, False, _tail_lines(layout, end, thickness))


def _tail_lines(layout: Layout, end: float, thickness: float) -> Iterator[Item]:
    far = 2 * end + thickness
    for tail in layout.tails:
        feet, tips = layout.tail_edges(tail, 0.0), layout.tail_edges(tail, end)
        for foot, tip in zip(feet, tips, strict=True):
            yield Stroke("cut lines", ((foot, 0.0), (tip, end), (tip, end + thickness), (foot, far)))
        yield Label(str(tail.number), (tail.middle, -4.0), min(LETTERS, 0.4 * tail.width))
    feet_gaps, tip_gaps = layout.gap_spans(0.0), layout.gap_spans(end)
    last, (below, above) = len(layout.tails), layout.strips
    for x, strip, outward in ((0.0, below, -1.0), (layout.width, above, 1.0)):
        if strip:
            yield line("cut lines", (x, 0.0), (x, far))
            yield from _staying(x + outward * strip / 2, strip, (end / 2, end + thickness / 2, far - end / 2))
    groove = layout.groove
    if groove and groove.reach is not None:
        fold = end + thickness if groove.reach >= end - tol.ROUNDING else None
        yield from _groove(groove, far - min(groove.reach, end), fold, far + BEHIND, 1.0)
    for number, (low, high) in enumerate(zip(feet_gaps, tip_gaps, strict=True)):
        yield line("gauge lines", (low[0], 0.0), (low[1], 0.0))
        kerfs = _kerfs(layout, left=number != 0 or below > 0, right=number != last or above > 0)
        yield from _waste(low, 0.0, high, end, kerfs)
        yield from _waste(high, end, high, end + thickness, kerfs)
        yield from _waste(high, end + thickness, low, far, kerfs)
    yield line("gauge lines", (0.0, far), (layout.width, far))


def _pin_strip(layout: Layout) -> Strip:
    end, thickness = layout.as_cut.pin_end, layout.recipe.pin_board.thickness
    return _strip(layout, "pin board", end, thickness, True, _pin_lines(layout, end, thickness))


def _pin_lines(layout: Layout, end: float, thickness: float) -> Iterator[Item]:
    """On the raw end Y runs down from the show face at the first fold to 0 at the second."""
    kerfs = _kerfs(layout, left=True, right=True)
    lap_fold, inner_fold, far = end + thickness - layout.depth, end + thickness, 2 * end + thickness
    for tail in layout.tails:
        outer, inner = layout.socket_edges(tail, layout.depth), layout.socket_edges(tail, 0.0)
        for wide, narrow in zip(outer, inner, strict=True):
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
    if layout.groove and layout.groove.in_pin_board:
        yield from _groove(layout.groove, far, None, far + BEHIND, -1.0)
    yield line("gauge lines", (0.0, far), (layout.width, far))


def _staying(x: float, strip: float, heights: Iterable[float]) -> Iterator[Item]:
    """A word on the wood beside the joint, once on each face that the strip shows."""
    size = min(SMALL, 0.6 * strip)
    if size >= LEAST_NAME:
        for y in heights:
            yield Label("stays", (x + size / 2, y), size, turn_deg=90.0)


def _groove(groove: GrooveHere, start: float, fold: float | None, far: float, right: float) -> Iterator[Item]:
    """The groove on the inside face, from `start` to the strip's end at `far`. With a `fold` over which it runs out,
    also the notch that it leaves in the end grain. `right` is the sign of X to the right of the paper."""
    for low, high in groove.spans:
        yield Stroke("groove", ((low, far), (low, start), (high, start), (high, far)))
        if fold is not None:
            yield Stroke("groove", ((low, fold), (low, fold - groove.depth), (high, fold - groove.depth), (high, fold)))
        size = min(SMALL, 0.6 * groove.width)
        if size >= LEAST_NAME:
            yield Label("groove", ((low + high + right * size) / 2, far - BEHIND / 2), size, turn_deg=90.0)


def _kerfs(layout: Layout, *, left: bool, right: bool) -> Span:
    """How far the saw's kerf reaches into the waste from its left and its right side; 0 where nothing is sawn, or
    where the kit names no kerf."""
    reach = layout.recipe.kit.saw_kerf * layout.flank_stretch
    return reach * left, reach * right


def _waste(low: Span, y_low: float, high: Span, y_high: float, kerfs: Span) -> Iterator[Item]:
    """A cross over the waste, and beside its sawn sides a line where the kerf ends."""
    yield line("waste", (low[0], y_low), (high[1], y_high))
    yield line("waste", (low[1], y_low), (high[0], y_high))
    for side, inward in ((0, kerfs[0]), (1, -kerfs[1])):
        if inward and abs(inward) < high[1] - high[0]:
            yield line("waste", (low[side] + inward, y_low), (high[side] + inward, y_high))
