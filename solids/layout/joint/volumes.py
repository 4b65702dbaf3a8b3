"""Exact areas and volumes of a joint's boards in closed form. The solids are tested against them. Lengths in mm."""

from __future__ import annotations

import math

from solids.base.polygons import area_of
from solids.layout.joint.shape.flanks import Gap, Tail
from solids.layout.joint.shape.mitre import pin_strip, tail_strip
from solids.layout.joint.shape.model import Layout
from solids.layout.joint.shape.states import State


def tail_area(layout: Layout, tail: Tail, reach: float) -> float:
    """A_i(D): area of a tail in the XY plane from the baseline to Y = D (mm2)."""
    lean = sum(flank.lean for flank in tail.flanks)
    return reach * tail.width - (2 * layout.depth * reach - reach**2) / 2 * lean


def socket_area(layout: Layout, tail: Tail, reach: float) -> float:
    """Area of the pin board's socket for a tail from Y = 0 to Y = D, flank gap included (mm2)."""
    return tail_area(layout, tail, reach) + reach * sum(layout.shift(flank) for flank in tail.flanks)


def stretches(layout: Layout) -> float:
    """The sum of s over all flanks: 2 n s where all have one slope."""
    return math.fsum(flank.stretch for flank in layout.flanks)


def flank_area(layout: Layout) -> float:
    """Total flank area of the tails from baseline to finished face, where glue holds (mm2)."""
    return stretches(layout) * layout.tail_thickness * layout.depth


def glue_area(layout: Layout) -> float:
    """The flanks that touch, long grain to long grain, less what the entry chamfer takes (mm2)."""
    return flank_area(layout) - stretches(layout) * layout.chamfer_reach * layout.recipe.entry_chamfer.width


def tail_board_volume(layout: Layout, state: State) -> float:
    """Exact volume of the tail board in a state (mm3). Past the baseline it is thinner by the rebate."""
    board = layout.recipe.tail_board
    beside = sum(layout.strips)
    body = (layout.width + beside) * board.length * state.show_z
    joint = sum(tail_area(layout, tail, state.tail_end) for tail in layout.tails) + beside * state.tail_end
    mitred = sum(layout.mitred) * area_of(tail_strip(layout, state))
    ends = sum(_tail_end_loss(layout, tail, state) for tail in layout.tails)
    whole = body + (state.show_z - layout.rebate) * joint + mitred
    return whole - ends - _entry_chamfer_loss(layout) - _tail_hollows(layout)


def pin_board_volume(layout: Layout, state: State) -> float:
    """Exact volume of the pin board in a state (mm3), from its far end to the pins' ends."""
    reach, mitred = min(layout.depth, state.show_y), sum(layout.mitred)
    sockets = sum(socket_area(layout, tail, reach) for tail in layout.tails)
    body = state.show_y * layout.width * (layout.recipe.pin_board.length + layout.rebate)
    crown = (state.pin_end - layout.rebate) * (state.show_y * (layout.width - mitred) - sockets)
    strips = mitred * area_of(pin_strip(layout, state))
    return body + crown + strips - _pin_end_loss(layout, state) - _pin_hollows(layout)


def _entry_chamfer_loss(layout: Layout) -> float:
    """s (d - back) c^2 / 2 for each flank (mm3): a three-sided prism along it."""
    c = layout.recipe.entry_chamfer.width
    return stretches(layout) * layout.chamfer_reach * c**2 / 2


def _tail_hollows(layout: Layout) -> float:
    """Volume of the hollows in the tail board's socket floors (mm3): a triangle across the thickness, as wide as the
    socket at the baseline. The outer sockets keep a land at the edge."""
    if layout.land is None:
        return 0.0
    across = layout.recipe.undercut.depth * (layout.tail_thickness - 2 * layout.land) / 2
    edges = sum(gap.is_half for gap in layout.gaps)
    return across * (sum(layout.tail_board_gaps(0.0)) - edges * layout.land)


def _pin_hollows(layout: Layout) -> float:
    """Volume of the hollows in the pin board's socket floors (mm3): a triangle along Y. The width changes linearly, so
    its value at the triangle's centroid counts. A half-blind floor slopes down from its one land to the lap. Sockets at
    the edge keep a land there."""
    if layout.land is None:
        return 0.0
    length = layout.depth - layout.land * (1 if layout.is_half_blind else 2)
    middle = layout.land + length * 2 / 3 if layout.is_half_blind else layout.depth / 2
    widths = (right - left for left, right in (layout.socket_edges(tail, middle) for tail in layout.tails))
    edges = sum(tail.is_half for tail in layout.tails)
    return layout.recipe.undercut.depth * length / 2 * (sum(widths) - edges * layout.land)


def _tail_end_loss(layout: Layout, tail: Tail, state: State) -> float:
    """Volume that the chamfer takes off one tail (mm3): a prism less the prismatoid that remains, over the last c."""
    c = state.chamfer
    if c == 0:
        return 0.0
    strip = sum(strip for side, strip in zip((-1, 1), layout.strips, strict=True) if tail.flank(side) is None)
    thick = state.show_z - layout.rebate
    foot = layout.tail_width(tail, state.tail_end - c) + strip
    end = layout.tail_width(tail, state.tail_end) + strip
    before = c * thick * (foot + end) / 2
    top = end - 2 * c
    middle = (foot + top) / 2 * (thick - c)
    return before - c / 6 * (foot * thick + 4 * middle + top * (thick - 2 * c))


def _pin_end_loss(layout: Layout, state: State) -> float:
    """Volume that the chamfer takes off all pins together (mm3), by the prismatoid rule: end faces inset by c."""
    c = state.chamfer
    if c == 0:
        return 0.0
    return sum(
        c * pin_end_area(layout, gap, state, 0)
        - c / 6 * sum(k * pin_end_area(layout, gap, state, e) for k, e in ((1, 0.0), (4, c / 2), (1, c)))
        for gap in layout.gaps
    )


def pin_end_area(layout: Layout, gap: Gap, state: State, inset: float) -> float:
    """Area of the end of a pin with all its sides moved inward by `inset`, normal to each side (mm2)."""
    reach = state.show_y
    sides = sum(flank.stretch if flank else 1.0 for flank in (gap.left, gap.right))
    left, right = layout.pin_span(gap, reach / 2)
    return (reach - 2 * inset) * (right - left - inset * sides)


def joint_overlap(layout: Layout, state: State | None = None) -> float:
    """Exact overlap of the seated boards (mm3), as cut if no state is given: a tight flank on each side of n tails."""
    state = state or layout.as_cut
    tight = abs(min(layout.recipe.flank_gap, 0.0))
    c = layout.recipe.entry_chamfer.width
    # In the band that a tight pin presses into, the chamfer has already taken this much of each cross-section.
    taken = tight * (c - tight / 2) if tight <= c else c**2 / 2
    thick = state.show_z - layout.rebate
    return stretches(layout) * (tight * thick * min(layout.depth, state.show_y) - layout.chamfer_reach * taken)


def entry_overlap(layout: Layout) -> float:
    """Overlap of tight tails with the proud part of the pins on the way in (mm3): the same wedge, further up."""
    tight = abs(min(layout.recipe.flank_gap, 0.0)) * stretches(layout)
    return layout.depth * tight * (layout.as_cut.pin_end - layout.as_cut.show_z)
