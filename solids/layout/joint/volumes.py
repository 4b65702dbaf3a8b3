"""Exact areas and volumes of a joint's boards in closed form, the oracle of the solids. Lengths in mm."""

from __future__ import annotations

from solids.layout.joint.model import Layout, State, Tail


def tail_area(layout: Layout, tail: Tail, reach: float) -> float:
    """A_i(D): area of a tail in the XY plane from the baseline to Y = D (mm2)."""
    return reach * tail.width - (2 * layout.depth * reach - reach**2) / layout.ratio


def socket_area(layout: Layout, tail: Tail, reach: float) -> float:
    """Area of the pin board's socket for a tail from Y = 0 to Y = D, flank gap included (mm2)."""
    return tail_area(layout, tail, reach) + 2 * reach * layout.flank_shift


def flank_area(layout: Layout) -> float:
    """All flanks of the tails together between baseline and finished face, where glue holds (mm2)."""
    return 2 * len(layout.tails) * layout.recipe.tail_board.thickness * layout.depth * layout.flank_stretch


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
    """2 n s (d - back) c^2 / 2: a three-sided prism along each flank."""
    c = layout.recipe.entry_chamfer.width
    return 2 * len(layout.tails) * layout.flank_stretch * layout.chamfer_reach * c**2 / 2


def _tail_hollows(layout: Layout) -> float:
    """The hollows under the tail board's sockets: a triangle across its thickness, as wide as the socket at the
    baseline; those at the edges keep a land at that edge."""
    if layout.land is None:
        return 0.0
    across = layout.recipe.undercut.depth * (layout.recipe.tail_board.thickness - 2 * layout.land) / 2
    return across * (sum(layout.tail_board_gaps(0.0)) - 2 * layout.land)


def _pin_hollows(layout: Layout) -> float:
    """The hollows of the pin board's sockets: a triangle along Y; as the width changes evenly, it counts where the
    triangle has its middle. A half-blind one slopes down from its one land to the lap."""
    if layout.land is None:
        return 0.0
    length = layout.depth - layout.land * (1 if layout.is_half_blind else 2)
    middle = layout.land + length * 2 / 3 if layout.is_half_blind else layout.depth / 2
    widths = (right - left for left, right in (layout.socket_edges(tail, middle) for tail in layout.tails))
    return layout.recipe.undercut.depth * length / 2 * sum(widths)


def _tail_end_loss(layout: Layout, tail: Tail, state: State) -> float:
    """What the chamfer takes off one tail: a prism less the prismatoid that stays, both over the last c."""
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
    """What the chamfer takes off all pins together: their end faces inset by c, by the prismatoid rule."""
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
    """Exact overlap of the seated boards, as cut where no state is named: a tight flank on each side of n tails
    (mm3)."""
    state = state or layout.as_cut
    tight = abs(min(layout.recipe.flank_gap, 0.0))
    c = layout.recipe.entry_chamfer.width
    # In the band that a tight pin presses into, the chamfer has already taken this much of each cross-section.
    taken = tight * (c - tight / 2) if tight <= c else c**2 / 2
    whole = tight * state.show_z * min(layout.depth, state.show_y) - layout.chamfer_reach * taken
    return 2 * len(layout.tails) * layout.flank_stretch * whole


def entry_overlap(layout: Layout) -> float:
    """What tight tails meet on their way in beside the pins that stand proud (mm3): the same wedge, further up."""
    tight = abs(min(layout.flank_shift, 0.0))
    return 2 * len(layout.tails) * layout.depth * tight * (layout.as_cut.pin_end - layout.as_cut.show_z)
