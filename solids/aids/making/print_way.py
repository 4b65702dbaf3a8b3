"""How an aid is printed, and what that takes: grams of filament and minutes, from the solid alone.

A printer lays lines. Walls follow every outline, a few whole layers close each level face, and a lattice fills a share
of what is left. So with a surface whose parts look n, of area A,

    shell = walls x line x sum(A hypot(n_x, n_y)) + skin x sum(A |n_z|),   plastic = shell + infill (volume - shell),

where the shell is at most the volume: what is small is printed solid. Corners count twice, which is little on an aid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from solids.base import tolerances as tol
from solids.base.amounts import in_mm
from solids.base.messages import Words, message

if TYPE_CHECKING:
    from solids.model.kernel import Mesh

DENSITY = 1.24
"""Of polylactide, PLA (g/cm3). Common practice: what spools and slicers say."""

LAYER_OF_NOZZLE = 0.5
"""The height of a layer, in widths of the nozzle. Common practice: finer takes longer and fits no better."""

LINE_OF_NOZZLE = 1.125
"""The width of a line, in widths of the nozzle: 0.45 mm for one of 0.4. Common practice."""

SKIN = 0.6
"""How thick the whole layers under and over a level face are together (mm). Common practice: three usual layers."""

PACE = 40.0
"""How far a plain printer lays a line in a second, all moves counted (mm). Common practice; fast ones need a third of
the time."""

MELTS = 10.0
"""The most plastic that a usual nozzle melts in a second (mm3). Common practice."""

LAYER_TAKES = 4.0
"""What a layer takes beside its plastic (s): lifting, travel, and cooling where it is small. Common practice."""

WARMING = 3.0
"""Before the first layer (min). Common practice."""


@dataclass(frozen=True)
class Strength:
    """What an aid must stand: how thick its walls are together (mm), and the share of the rest that a lattice fills."""

    walls: float
    infill: float


PLAIN = Strength(1.2, 0.15)
"""Enough for a face to be eased with a file and still be wall, and for the sides of a magnet's slot to be wall right
through. Common practice: three lines of a usual nozzle."""

PRESSED = Strength(1.6, 0.40)
"""Where clamps press, as on a caul. Common practice: four lines."""

HELD = Strength(1.6, 0.50)
"""What holds work against a cutter. Common practice: four lines, half filled."""


@dataclass(frozen=True)
class PrintWay:
    """How an aid is printed: the height of a `layer` and the width of a `line` (mm), how many `walls`, how many whole
    layers as `skins`, and the share of the rest that is filled."""

    layer: float
    line: float
    walls: int
    skins: int
    infill: float


@dataclass(frozen=True)
class Takes:
    """What printing one takes, about: grams of filament, and minutes."""

    grams: float
    minutes: float


def print_way(nozzle: float, strength: Strength) -> PrintWay:
    """The way for a nozzle (mm): no layer finer than needed, and walls enough to stand what the aid is for."""
    line, layer = LINE_OF_NOZZLE * nozzle, LAYER_OF_NOZZLE * nozzle
    walls = max(2, math.ceil(strength.walls / line - tol.ROUNDING))
    skins = max(2, math.ceil(SKIN / layer - tol.ROUNDING))
    return PrintWay(layer, line, walls, skins, strength.infill)


def takes(surface: Mesh, way: PrintWay) -> Takes:
    """What printing a solid takes, as it lies."""
    corners = surface.points[surface.triangles]
    doubled = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    volume = float(np.einsum("ij,ij->i", corners[:, 0], doubled).sum()) / 6
    upright = float(np.hypot(doubled[:, 0], doubled[:, 1]).sum()) / 2
    level = float(np.abs(doubled[:, 2]).sum()) / 2
    shell = min(volume, way.walls * way.line * upright + way.skins * way.layer * level)
    plastic = shell + way.infill * (volume - shell)
    layers = math.ceil(float(np.ptp(surface.points[:, 2])) / way.layer - tol.ROUNDING)
    seconds = plastic / min(PACE * way.line * way.layer, MELTS) + LAYER_TAKES * layers
    return Takes(plastic / 1000 * DENSITY, WARMING + seconds / 60)


# --- told as a person would ------------------------------------------------------------------------


def print_words(way: PrintWay, taken: Takes, copies: int = 1) -> Words:
    """What printing one takes and how it is printed, in a sentence."""
    much = f"About {about_minutes(taken.minutes)} and {about_grams(taken.grams)}{' each' if copies > 1 else ''}"
    share = f"{way.infill:.0%}".replace("%", " %")
    return message("{}: layers of {}, {} walls, {} infill.", much, in_mm(way.layer), way.walls, share)


def about_grams(grams: float) -> str:
    """ "1 g", "7 g", "35 g", "120 g"."""
    step = 1 if grams < 9.5 else 5 if grams < 47.5 else 10
    return f"{max(step * round(grams / step), 1)} g"


def about_minutes(minutes: float) -> str:
    """ "5 min", "45 min", "1 1/2 h", "5 h"."""
    if minutes < 57.5:
        return f"{max(5 * round(minutes / 5), 5)} min"
    halves = round(minutes / 30) if minutes < 225 else 2 * round(minutes / 60)
    return f"{halves // 2}{' 1/2' if halves % 2 else ''} h"
