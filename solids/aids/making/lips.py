"""Aids for a pin board with a lip: those that would run into it are not made. Lengths in mm."""

from __future__ import annotations

from solids.aids.making.aid import Aid, Refusal
from solids.aids.making.modelling import block
from solids.base.tolerances import ENTRY_OVERLAP
from solids.layout import Layout
from solids.model.kernel import Solid, volume_of
from solids.model.kernel.shaping import common, placed

PIN_BOARD = "pin board"
WHY = "The lip of the front stands in its way at the pin board."
REMEDY = "Mark and cut the sockets without it, or take no lip at the sides."


def clear_of_lip(item: Aid | Refusal, layout: Layout) -> Aid | Refusal:
    """The aid, unless it would run into the lip at a place where it works at the pin board."""
    if not layout.standing.lip or isinstance(item, Refusal):
        return item
    strips = _strips(layout)
    for use in item.uses:
        at_work = placed(item.solid, use.place)
        is_there = any(name == PIN_BOARD for name, _ in use.boards)
        if is_there and any(volume_of(each) > ENTRY_OVERLAP for strip in strips for each in common(at_work, strip)):
            return Refusal(item.name, WHY, REMEDY)
    return item


def _strips(layout: Layout) -> list[Solid]:
    """The lip in the frame of the joint: beyond the end of the pin board, the wider one where the joint stands at both
    hands, and beyond its edges."""
    lip, width, end = layout.standing.lip, layout.width, layout.as_cut.pin_end
    below, above = (lip.top, lip.bottom) if layout.mirrored else (lip.bottom, lip.top)
    beyond = max(getattr(lip, corner.split()[1]) for corner in layout.standing.corners)
    show = layout.as_cut.show_y
    y, far = (show - lip.thickness, show), -layout.recipe.pin_board.length
    spans = (
        ((-below, width + above), (end, end + beyond)),
        ((-below, 0.0), (far, end)),
        ((width, width + above), (far, end)),
    )
    return [block((x[0], y[0], z[0]), (x[1], y[1], z[1])) for x, z in spans if x[1] > x[0] and z[1] > z[0]]
