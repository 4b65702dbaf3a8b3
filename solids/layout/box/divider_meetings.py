"""Which faces of dividers, boards and bottom should meet, where, and over how much. Pure arithmetic, lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from solids.base.geometry import Point, Span, Vector
from solids.base.tolerances import ROUNDING
from solids.layout.box.fitted.bottom import BOTTOM
from solids.layout.box.fitted.dividers import crossed_by, faces_at, name_of
from solids.layout.box.model import BoxLayout
from solids.recipe.tables.box_resolved import Side
from solids.recipe.tables.dividers import ENDS_IN, Divider, numbered


@dataclass(frozen=True)
class Bearing:
    """Two parts that should meet face to face, without a gap: the outward `normal` of the first one's face, of length
    1, a `point` of the plane in the frame of the box, and the area (mm2) over which they meet."""

    kind: str
    part: str
    mate: str
    normal: Vector
    point: Point
    area: float

    @property
    def name(self) -> str:
        """ "divider 2 and the front, end"."""
        return f"{self.part} and {self.mate if self.mate.startswith('divider') else f'the {self.mate}'}, {self.kind}"


def divider_bearings(box: BoxLayout) -> tuple[Bearing, ...]:
    """Every meeting of every divider."""
    return tuple(_all(box))


def _all(box: BoxLayout) -> Iterator[Bearing]:
    for number, divider in numbered(box.recipe.dividers):
        for far in (False, True):
            yield from _in_housing(box, number, divider, far=far)
        yield from _on_bottom(box, number, divider)
        if divider.runs == "along":
            for other_number, other, shared in crossed_by(box, divider):
                yield from _halved(box, (number, divider), (other_number, other), shared)


def _turned(divider: Divider, across: float, along: float, up: float) -> Vector:
    """A direction or a point by its shares of the divider's thickness, its length and its height."""
    return (across, along, up) if divider.axis == 0 else (along, across, up)


def _in_housing(box: BoxLayout, number: int, divider: Divider, *, far: bool) -> Iterator[Bearing]:
    """The end, both sides, and where a housing stops in the wood the lower edge; the shoulders of a dovetail."""
    side: Side = ENDS_IN[divider.runs][1 if far else 0]
    name, out, z = name_of(number), (1.0 if far else -1.0), divider.up
    deep, lean, high = divider.depth, divider.flank, divider.height
    mouth = box.inside[1 - divider.axis][1 if far else 0]
    floor = mouth + out * deep
    (near, far_face), rise = faces_at(box, divider), _rise(box, divider)
    foot = far_face - divider.narrower(z, box.recipe.height)
    widest_lost = rise * high * high / 2

    def bearing(kind: str, normal: Vector, at: tuple[float, float], area: float) -> Bearing:
        long = math.hypot(*normal)
        across, along, up = (value / long for value in normal)
        return Bearing(kind, name, side, _turned(divider, across, along, up), _turned(divider, *at, z), area)

    yield bearing("end", (0.0, out, 0.0), (near, floor), divider.thickness * high - widest_lost)
    # Both flanks lean over the end, and the far one comes forward as it rises.
    yield bearing("near side", (-deep, -out * lean, 0.0), (near, floor), math.hypot(deep, lean) * high)
    stretched = math.sqrt(deep**2 + lean**2 + (rise * deep) ** 2)
    yield bearing("far side", (deep, -out * lean, -rise * deep), (foot, floor), stretched * high)
    if divider.is_dovetailed:
        yield bearing("shoulders", (0.0, out, 0.0), (near, mouth), 2 * lean * high + widest_lost)
    from_ = box.recipe.groove.depth if box.is_grooved(side) and z <= box.recipe.groove.top + ROUNDING else 0.0
    if z > box.boards[side].low + ROUNDING and deep > from_ + ROUNDING:
        stop = _foot_area(box, divider, deep) - _foot_area(box, divider, from_)
        yield bearing("lower edge at the stop", (0.0, 0.0, -1.0), (near, floor), stop)


def _rise(box: BoxLayout, divider: Divider) -> float:
    """How much its far flank comes forward over each millimetre that it rises."""
    return divider.taper / (divider.housing_top(box.recipe.height) - divider.up)


def _foot_area(box: BoxLayout, divider: Divider, reach: float) -> float:
    """The area of the lower edge of one end, from the mouth of the housing so far in (mm2)."""
    at_floor = divider.thickness - divider.narrower(divider.up, box.recipe.height)
    at_mouth = at_floor - 2 * divider.flank
    return reach * (at_mouth + (at_floor - at_mouth) * reach / divider.depth / 2)


def _reaches(box: BoxLayout, divider: Divider) -> Span:
    """How far the bottom's upper face goes past the mouths of a divider's housings, at either end. A raised field ends
    inside the boards: there it is negative."""
    inside, under = box.inside[1 - divider.axis], _upper_face(box)[1 - divider.axis]
    return inside[0] - under[0], under[1] - inside[1]


def _upper_face(box: BoxLayout) -> tuple[Span, Span]:
    """From where to where the bottom's upper face, or its raised field, reaches in X and in Y."""
    assert box.panel is not None
    (x0, x1), (y0, y1) = box.panel.x, box.panel.y
    border = box.recipe.panel.border if box.recipe.panel.rises else 0.0
    return (x0 + border, x1 - border), (y0 + border, y1 - border)


def opened_above(box: BoxLayout) -> float:
    """How much of the bottom's edges no wood lies over, as housings open into its groove there (mm2)."""
    if box.panel is None:
        return 0.0
    return sum(
        _foot_area(box, divider, min(reach, divider.depth))
        for divider in box.recipe.dividers
        if abs(divider.up - box.tongue_z[1]) < ROUNDING
        for reach in _reaches(box, divider)
        if reach > 0
    )


def _on_bottom(box: BoxLayout, number: int, divider: Divider) -> Iterator[Bearing]:
    """The lower edge on the bottom, less the notches of what runs along, and as far into the housings as the bottom
    goes. Beside a raised field there is air below it."""
    if box.panel is None or abs(divider.up - box.panel.z[1]) > ROUNDING:
        return
    field = _upper_face(box)
    wide = _shared(field[divider.axis], faces_at(box, divider))
    if wide <= ROUNDING:
        return
    inside = box.inside[1 - divider.axis]
    crossing = [faces_at(box, other) for _, other, _ in crossed_by(box, divider) if divider.runs == "along"]
    under = field[1 - divider.axis]
    long = _shared(under, inside) - sum(_shared(under, notch) for notch in crossing)
    in_housings = (_foot_area(box, divider, min(max(reach, 0.0), divider.depth)) for reach in _reaches(box, divider))
    near, _ = faces_at(box, divider)
    point = _turned(divider, near, inside[0], divider.up)
    yield Bearing("lower edge", name_of(number), BOTTOM, (0.0, 0.0, -1.0), point, wide * long + sum(in_housings))


def _shared(one: Span, other: Span) -> float:
    """How much of both spans is the same."""
    return max(min(one[1], other[1]) - max(one[0], other[0]), 0.0)


def _halved(box: BoxLayout, along: tuple[int, Divider], across: tuple[int, Divider], shared: Span) -> Iterator[Bearing]:
    """Where two dividers cross: the floors of both notches, and the walls of each against the faces of the other."""
    (number, one), (other_number, other) = along, across
    name, mate, middle = name_of(number), name_of(other_number), sum(shared) / 2
    (x0, x1), (y0, y1) = faces_at(box, other), faces_at(box, one)
    half = middle - shared[0]
    yield Bearing("floors", name, mate, (0.0, 0.0, -1.0), (x0, y0, middle), one.thickness * other.thickness)
    # The notch of what runs along grips the faces of the other below, that of the other grips its faces above.
    for kind, x, out in (("left wall", x0, 1.0), ("right wall", x1, -1.0)):
        yield Bearing(kind, name, mate, (out, 0.0, 0.0), (x, y0, middle), one.thickness * half)
    for kind, y, out in (("near face", y0, -1.0), ("far face", y1, 1.0)):
        yield Bearing(kind, name, mate, (0.0, out, 0.0), (x0, y, middle), other.thickness * half)
