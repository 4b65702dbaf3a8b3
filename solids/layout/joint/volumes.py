"""Exact areas and volumes of a joint's boards in closed form. The solids are tested against them. Lengths in mm."""

from __future__ import annotations

import math

from solids.layout.joint.shape.flanks import Tail
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


def tail_board_volume(layout: Layout, state: State) -> float:
    """Exact volume of the tail board in a state (mm3)."""
    board = layout.recipe.tail_board
    body = layout.width * board.length + sum(tail_area(layout, tail, state.tail_end) for tail in layout.tails)
    body += layout.below * (board.length + state.tail_end)
    ends = sum(_tail_end_loss(layout, tail, state) for tail in layout.tails)
    return state.show_z * body - ends - _entry_chamfer_loss(layout) - _tail_hollows(layout)


def pin_board_volume(layout: Layout, state: State) -> float:
    """Exact volume of the pin board in a state (mm3)."""
    board = layout.recipe.pin_board
    reach = min(layout.depth, state.show_y)
    sockets = sum(socket_area(layout, tail, reach) for tail in layout.tails)
    body = state.show_y * layout.width * board.length
    crown = state.pin_end * (state.show_y * layout.width - sockets)
    return body + crown - _pin_end_loss(layout, state) - _pin_hollows(layout)


def _entry_chamfer_loss(layout: Layout) -> float:
    """2 n s (d - back) c^2 / 2 (mm3): a three-sided prism along each flank."""
    c = layout.recipe.entry_chamfer.width
    return 2 * len(layout.tails) * layout.flank_stretch * layout.chamfer_reach * c**2 / 2


def _tail_hollows(layout: Layout) -> float:
    """Volume of the hollows in the tail board's socket floors (mm3): a triangle across the thickness, as wide as the
    socket at the baseline. The outer sockets keep a land at the edge."""
    if layout.land is None:
        return 0.0
    across = layout.recipe.undercut.depth * (layout.recipe.tail_board.thickness - 2 * layout.land) / 2
    return across * (sum(layout.tail_board_gaps(0.0)) - 2 * layout.land)


def _pin_hollows(layout: Layout) -> float:
    """Volume of the hollows in the pin board's socket floors (mm3): a triangle along Y. The width changes linearly, so
    its value at the triangle's centroid counts. A half-blind floor slopes down from its one land to the lap."""
    if layout.land is None:
        return 0.0
    length = layout.depth - layout.land * (1 if layout.is_half_blind else 2)
    middle = layout.land + length * 2 / 3 if layout.is_half_blind else layout.depth / 2
    widths = (right - left for left, right in (layout.socket_edges(tail, middle) for tail in layout.tails))
    return layout.recipe.undercut.depth * length / 2 * sum(widths)


def _tail_end_loss(layout: Layout, tail: Tail, state: State) -> float:
    """Volume that the chamfer takes off one tail (mm3): a prism less the prismatoid that remains, over the last c."""
    c = state.chamfer
    if c == 0:
        return 0.0
    foot = layout.tail_width(tail, state.tail_end - c)
    end = layout.tail_width(tail, state.tail_end)
    before = c * state.show_z * (foot + end) / 2
    top = end - 2 * c
    middle = (foot + top) / 2 * (state.show_z - c)
    return before - c / 6 * (foot * state.show_z + 4 * middle + top * (state.show_z - 2 * c))


def _pin_end_loss(layout: Layout, state: State) -> float:
    """Volume that the chamfer takes off all pins together (mm3), by the prismatoid rule: end faces inset by c."""
    c = state.chamfer
    if c == 0:
        return 0.0
    return sum(
        c * pin_end_area(layout, pin, state, 0)
        - c / 6 * sum(k * pin_end_area(layout, pin, state, e) for k, e in ((1, 0.0), (4, c / 2), (1, c)))
        for pin in range(len(layout.tails) + 1)
    )


def pin_end_area(layout: Layout, pin: int, state: State, inset: float) -> float:
    """Area of the end of pin 0..n with all its sides moved inward by `inset`, normal to each side (mm2)."""
    reach = state.show_y
    half = pin in (0, len(layout.tails))
    sides = layout.flank_stretch + (1.0 if half else layout.flank_stretch)
    return (reach - 2 * inset) * (layout.pin_widths(reach / 2)[pin] - inset * sides)


def joint_overlap(layout: Layout, state: State | None = None) -> float:
    """Exact overlap of the seated boards (mm3), as cut if no state is given: a tight flank on each side of n tails."""
    state = state or layout.as_cut
    tight = abs(min(layout.recipe.flank_gap, 0.0))
    c = layout.recipe.entry_chamfer.width
    # In the band that a tight pin presses into, the chamfer has already taken this much of each cross-section.
    taken = tight * (c - tight / 2) if tight <= c else c**2 / 2
    whole = tight * state.show_z * min(layout.depth, state.show_y) - layout.chamfer_reach * taken
    return 2 * len(layout.tails) * layout.flank_stretch * whole


def entry_overlap(layout: Layout) -> float:
    """Overlap of tight tails with the proud part of the pins on the way in (mm3): the same wedge, further up."""
    tight = abs(min(layout.flank_shift, 0.0))
    return 2 * len(layout.tails) * layout.depth * tight * (layout.as_cut.pin_end - layout.as_cut.show_z)
