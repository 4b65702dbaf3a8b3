"""Necks and pins that are too thin to cut by hand, or likely to break.

Common practice, unless `tolerances.py` names a source. Lengths in mm.

- A tail's neck is its width at the baseline. Its socket is as wide there, at the pin board's inside face, and a chisel
  must fit in. A neck that is thin for the depth of the joint snaps when the tail is levered or driven.
- A pin fits the gap between two tails. A saw must fit in at the raw end, where the gap is narrowest, and a chisel at
  the baseline. A pin that is thin for its height, the tail board's thickness, snaps when pared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solids.base import tolerances as tol
from solids.layout.joint.shape.model import Layout

FrailPart = Literal["neck", "pin", "half pin"]


@dataclass(frozen=True)
class Frail:
    """The worst neck, pin or half pin: where it is, its width, the least it should be, and why. `uncut` means that no
    hand can cut it; otherwise it may break."""

    part: FrailPart
    place: str
    width: float
    least: float
    why: str
    uncut: bool


def frail_parts(layout: Layout) -> tuple[Frail, ...]:
    """At most one each for necks, pins and half pins: one that cannot be cut comes before one that may break."""
    found = (_necks(layout), _pins(layout), _half_pins(layout))
    return tuple(next(frail) for frail in map(_worst_first, found) if frail)


def _worst_first(found: Iterator[Frail]) -> Iterator[Frail] | None:
    ordered = sorted(found, key=lambda frail: (not frail.uncut, frail.width / frail.least))
    return iter(ordered) if ordered else None


def _necks(layout: Layout) -> Iterator[Frail]:
    narrowest = layout.narrowest
    neck = layout.tail_width(narrowest, 0.0)
    left, right = layout.socket_edges(narrowest, 0.0)
    socket = min(neck, right - left)
    place = f"tail {narrowest.number}"
    if socket < tol.CHISEL_NARROWEST - tol.ROUNDING:
        yield Frail("neck", place, socket, tol.CHISEL_NARROWEST, "no chisel goes into the socket for it", uncut=True)
    if neck < tol.CHISEL_USUAL - tol.ROUNDING:
        yield Frail("neck", place, neck, tol.CHISEL_USUAL, "few chisels go into the socket for it", uncut=False)
    slender = tol.slender_share(soft=layout.recipe.tail_board.wood.is_soft) * layout.depth
    if neck < slender - tol.ROUNDING:
        yield Frail("neck", place, neck, slender, "it is slender for so deep a joint and may snap", uncut=False)


def _pins(layout: Layout) -> Iterator[Frail]:
    if len(layout.tails) < 2:
        return
    raw, floor = (min(layout.tail_board_gaps(y)[1:-1]) for y in (layout.as_cut.tail_end, 0.0))
    cut, mean = (min(layout.pin_widths(y)[1:-1]) for y in (layout.depth, layout.depth / 2))
    yield from _too_thin_to_saw("pin", min(raw, cut))
    if floor < tol.CHISEL_NARROWEST - tol.ROUNDING:
        why = "no chisel goes into the gap between the tails"
        yield Frail("pin", "the pins", floor, tol.CHISEL_NARROWEST, why, uncut=True)
    if raw < tol.KNIFE_THIN - tol.ROUNDING:
        yield Frail("pin", "the pins", raw, tol.KNIFE_THIN, "hardly a knife goes in to mark them", uncut=False)
    slender = tol.slender_share(soft=layout.recipe.pin_board.wood.is_soft) * layout.recipe.tail_board.thickness
    if mean < slender - tol.ROUNDING:
        why = "half-way they are slender for a tail board so thick and may snap"
        yield Frail("pin", "the pins", mean, slender, why, uncut=False)


def _half_pins(layout: Layout) -> Iterator[Frail]:
    """Half pins that cannot be sawn. Those that are merely thin have a rule of their own."""
    widths = layout.pin_widths(layout.depth)
    yield from _too_thin_to_saw("half pin", min(widths[0], widths[-1]))


def _too_thin_to_saw(part: FrailPart, width: float) -> Iterator[Frail]:
    if width < tol.SAW_THINNEST - tol.ROUNDING:
        why = "no saw has so thin a kerf, and no wood stands so thin"
        yield Frail(part, f"the {part}s", width, tol.SAW_THINNEST, why, uncut=True)
