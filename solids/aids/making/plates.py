"""The printer's bed: whether an aid finds room on it, with one refusal for all aids, and how aids are laid out on as
many beds as they need, row by row, the deepest first. Pure arithmetic, mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.aids.making.aid import Refusal
from solids.base.amounts import in_mm
from solids.base.messages import message
from solids.base.tolerances import ROUNDING
from solids.recipe.tables.resolved import Printing

MARGIN = 5.0
"""What stays free at the edges of a bed. Common practice."""

BETWEEN = 4.0
"""Between two aids, so that a nozzle passes and they come off one by one. Common practice."""


@dataclass(frozen=True)
class Footprint:
    """What one aid takes of a bed: its name, and its size in X and Y."""

    name: str
    width: float
    depth: float


@dataclass(frozen=True)
class Spot:
    """Where an aid stands: its lower left corner on the bed, and whether it is turned by a quarter."""

    name: str
    x: float
    y: float
    turned: bool


Plate = tuple[Spot, ...]


def room_on(bed: tuple[float, float]) -> tuple[float, float]:
    """What aids may take of a bed in X and Y; rounding does not turn away one that just fits."""
    return bed[0] - 2 * MARGIN + ROUNDING, bed[1] - 2 * MARGIN + ROUNDING


def bed_room(printing: Printing) -> tuple[float, float]:
    """The shorter and the longer side that an aid may have."""
    short, long = sorted(room_on(printing.bed))
    return short, long


def finds_room(width: float, depth: float, printing: Printing) -> bool:
    """Whether an aid of this size lies on the bed, one way or the other."""
    size, room = sorted((width, depth)), bed_room(printing)
    return size[0] <= room[0] and size[1] <= room[1]


def too_large(name: str, width: float, depth: float, printing: Printing) -> Refusal | None:
    """A refusal with the bed that it takes; None where it finds room."""
    if finds_room(width, depth, printing):
        return None
    need = [math.ceil(side + 2 * MARGIN - ROUNDING) for side in sorted((width, depth), reverse=True)]
    have = sorted(printing.bed, reverse=True)
    why = message(
        "With {} free all round it takes a bed of {}; yours has {}.", in_mm(MARGIN), in_mm(*need), in_mm(*have)
    )
    return Refusal(name, why, f'Have it made on such a bed, and set print.bed = ["{need[0]} mm", "{need[1]} mm"].')


def lay_out_plates(footprints: Sequence[Footprint], bed: tuple[float, float]) -> tuple[Plate, ...]:
    """Plates that hold every footprint. An aid that is larger than the bed has no place and is left out; the proof of
    each aid says so."""
    room = room_on(bed)
    waiting = [item for item in (_laid(footprint, room) for footprint in footprints) if item is not None]
    waiting.sort(key=lambda item: (-item[2], -item[1], item[0].name))
    plates: list[Plate] = []
    while waiting:
        plate, waiting = _fill(waiting, room)
        plates.append(plate)
    return tuple(plates)


Laid = tuple[Footprint, float, float, bool]
"""A footprint, its size as it lies, and whether it is turned."""


def _laid(item: Footprint, room: tuple[float, float]) -> Laid | None:
    """The way an aid lies: with its longer side along X where that fits, else turned; None where neither does."""
    ways = [(item, item.width, item.depth, False), (item, item.depth, item.width, True)]
    ways.sort(key=lambda way: (-way[1], way[3]))
    return next((way for way in ways if way[1] <= room[0] and way[2] <= room[1]), None)


def _fill(waiting: list[Laid], room: tuple[float, float]) -> tuple[Plate, list[Laid]]:
    """One plate in rows, and what found no place on it."""
    spots: list[Spot] = []
    left: list[Laid] = []
    x = y = row = 0.0
    for item in waiting:
        footprint, width, depth, turned = item
        if x and x + width > room[0]:
            x, y, row = 0.0, y + row + BETWEEN, 0.0
        if y + depth > room[1]:
            left.append(item)
            continue
        spots.append(Spot(footprint.name, MARGIN + x, MARGIN + y, turned))
        x, row = x + width + BETWEEN, max(row, depth)
    return tuple(spots), left
