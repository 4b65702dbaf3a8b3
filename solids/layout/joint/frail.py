"""Necks and pins that are too thin to cut by hand, or likely to break.

Common practice, unless `tolerances.py` names a source. Lengths in mm.

- A tail's neck is its width at the baseline. Its socket is as wide there, at the pin board's inside face, and a chisel
  must fit in, unless it is a half tail's, which is open at the edge of the board. A neck that is thin for the depth of
  the joint snaps when the tail is levered or driven.
- A pin fits the gap between two tails. A saw must fit in where the gap is narrowest, mostly at the raw end, and a
  chisel at the baseline. A pin that is thin for its height, which is the tails' thickness, snaps when pared.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from solids.base import tolerances as tol
from solids.base.geometry import as_compared
from solids.layout.joint.shape.flanks import Tail
from solids.layout.joint.shape.model import Layout

FrailPart = Literal["neck", "pin", "half pin"]


@dataclass(frozen=True)
class Frail:
    """The worst neck, pin or half pin: where it is, its width, the least it should be, and why. `place` is "tail 2" or
    "pin 2", or "the pins" where all are alike. `uncut` means that no hand can cut it; otherwise it may break."""

    part: FrailPart
    place: str
    width: float
    least: float
    why: str
    uncut: bool

    @property
    def is_all(self) -> bool:
        """Whether all pins or half pins are meant, which are alike."""
        return self.place == all_of(self.part)


def all_of(part: FrailPart) -> str:
    """ "the pins"."""
    return f"the {part}s"


def frail_parts(layout: Layout) -> tuple[Frail, ...]:
    """At most one each for necks, pins and half pins: one that cannot be cut comes before one that may break."""
    found = (_necks(layout), _pins(layout), _half_pins(layout))
    return tuple(worst for frail in found if (worst := _worst(frail)))


def _worst(found: Iterator[Frail]) -> Frail | None:
    """The first of the worst; what differs by rounding alone is as bad."""
    return min(found, key=lambda frail: (not frail.uncut, round(frail.width / frail.least, 9)), default=None)


def _necks(layout: Layout) -> Iterator[Frail]:
    for tail in layout.counted(layout.tails):
        yield from _neck(layout, tail)


def _neck(layout: Layout, tail: Tail) -> Iterator[Frail]:
    neck = layout.tail_width(tail, 0.0)
    left, right = layout.socket_edges(tail, 0.0)
    socket = min(neck, right - left)
    place = f"tail {tail.number}"
    if socket < tol.CHISEL_NARROWEST - tol.ROUNDING and not tail.is_half:
        yield Frail("neck", place, socket, tol.CHISEL_NARROWEST, "no chisel goes into the socket for it", uncut=True)
    if neck < tol.CHISEL_USUAL - tol.ROUNDING and not tail.is_half:
        yield Frail("neck", place, neck, tol.CHISEL_USUAL, "few chisels go into the socket for it", uncut=False)
    slender = tol.slender_share(soft=layout.recipe.tail_board.wood.is_soft) * layout.depth
    if neck < slender - tol.ROUNDING:
        yield Frail("neck", place, neck, slender, "it is slender for so deep a joint and may snap", uncut=False)


def _pins(layout: Layout) -> Iterator[Frail]:
    gaps = (layout.tail_board_gaps(y) for y in (layout.as_cut.tail_end, 0.0))
    pins = (layout.pin_widths(y) for y in (layout.depth, 0.0, layout.depth / 2))
    names, widths = _names(layout, "pin"), map(layout.of_full_pins, (*gaps, *pins))
    slender = tol.slender_share(soft=layout.recipe.pin_board.wood.is_soft) * layout.tail_thickness
    for place, raw, floor, cut, inside, mean in zip(names, *widths, strict=True):
        yield from _too_thin_to_saw("pin", place, min(raw, floor, cut, inside))
        if floor < tol.CHISEL_NARROWEST - tol.ROUNDING:
            why = "no chisel goes into the gap between the tails"
            yield Frail("pin", place, floor, tol.CHISEL_NARROWEST, why, uncut=True)
        them, they_are = ("them", "they are") if place == all_of("pin") else ("it", "it is")
        if raw < tol.KNIFE_THIN - tol.ROUNDING:
            yield Frail("pin", place, raw, tol.KNIFE_THIN, f"hardly a knife goes in to mark {them}", uncut=False)
        if mean < slender - tol.ROUNDING:
            why = f"half-way {they_are} slender for a tail board so thick and may snap"
            yield Frail("pin", place, mean, slender, why, uncut=False)


def _half_pins(layout: Layout) -> Iterator[Frail]:
    """Half pins that cannot be sawn. Those that are merely thin have a rule of their own."""
    widths = (layout.of_half_pins(layout.pin_widths(y)) for y in (layout.depth, 0.0))
    for place, *both in zip(_names(layout, "half pin"), *widths, strict=True):
        yield from _too_thin_to_saw("half pin", place, min(both))


def _names(layout: Layout, part: FrailPart) -> list[str]:
    """What the pins or half pins are called, in order of X: all alike, or each by its number from the reference edge,
    half pins among the pins."""
    of_them = layout.of_half_pins if part == "half pin" else layout.of_full_pins
    numbers = of_them(layout.counted(range(1, len(layout.gaps) + 1)))
    widths = zip(*(of_them(layout.tail_board_gaps(y)) for y in (layout.depth, 0.0)), strict=True)
    sizes = {(as_compared(face), as_compared(foot)) for face, foot in widths}
    return [all_of(part) if len(sizes) == 1 else f"{part} {number}" for number in numbers]


def _too_thin_to_saw(part: FrailPart, place: str, width: float) -> Iterator[Frail]:
    if width < tol.SAW_THINNEST - tol.ROUNDING:
        why = "no saw has so thin a kerf, and no wood stands so thin"
        yield Frail(part, place, width, tol.SAW_THINNEST, why, uncut=True)
