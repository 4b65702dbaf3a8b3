"""The layers of every drawing: plain names, line widths from the series of ISO 128-2 (0.13, 0.18, 0.25, 0.35, 0.5, 0.7,
1.0, 1.4, 2.0 mm; wide to narrow 2:1), dashes, and the colour number that a DXF file gives them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from solids.base.messages import Units
from solids.recipe.tables.resolved import DxfVersion

ISO_WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""Line widths of ISO 128-2 in mm. From memory; each is the one before times the square root of 2, rounded."""


@dataclass(frozen=True)
class Layer:
    """One layer: line width in mm, dashes and gaps in mm (none: a full line), DXF colour, and the ink it is printed
    with, "#rrggbb"."""

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    colour: int = 7
    ink: str = "#000000"


LAYERS: tuple[Layer, ...] = (
    Layer("visible edges", 0.5),
    Layer("hidden edges", 0.25, (2.0, 1.0), 8),
    Layer("break lines", 0.25),
    Layer("section lines", 0.35, (6.0, 1.5, 0.6, 1.5)),
    Layer("hatching", 0.13),
    Layer("small picture", 0.25),
    Layer("dimensions", 0.25),
    Layer("text", 0.25),
    Layer("frame", 0.7),
    Layer("thin frame", 0.25),
    Layer("cut lines", 0.25),
    Layer("kept edges", 0.5),
    Layer("gauge lines", 0.35, (3.0, 0.8), 1, ink="#b00000"),
    Layer("fold lines", 0.18, (6.0, 1.5, 0.6, 1.5), 8),
    Layer("groove", 0.25, (2.0, 1.0), 5, ink="#1f4e79"),
    Layer("lid cut", 0.25, (4.0, 0.8, 0.8, 0.8), 6, ink="#5b2a86"),
    Layer("waste", 0.13, (), 8, ink="#8c8c8c"),
    Layer("register marks", 0.18, (), 8),
)

_BY_NAME = {layer.name: layer for layer in LAYERS}

MM_IN: dict[Units, float] = {"mm": 1.0, "in": 25.4}
"""How many mm one unit of a file for machines has."""

Part = Literal[
    "outline",
    "mitre by hand",
    "dovetail by hand",
    "rebate",
    "sockets",
    "groove",
    "shoulder",
    "tongue",
    "field",
    "clear",
    "last",
    "relief",
]

COLOURS: dict[str, int] = {
    "outline": 7,
    "mitre by hand": 2,
    "dovetail by hand": 2,
    "rebate": 3,
    "sockets": 4,
    "groove": 5,
    "shoulder": 140,
    "tongue": 140,
    "field": 150,
    "clear": 30,
    "last": 6,
    "relief": 1,
}
"""The colours of what a machine takes, by their numbers in DXF."""

INKS: dict[str | None, str] = {"rebate": "#1f4e79", "sockets": "#1f4e79", "groove": "#1f4e79", None: "#b00000"}
"""The same in print, where they are not black; None is for the zero and the words."""

ZERO, WORDS = "zero", "words"
_MACHINE = re.compile(rf"zero|words|.+? (?P<part>{'|'.join(COLOURS)})(?: .*)?")


def machine_layer(setup: str, part: Part, depth: float | None, units: Units, diameter: float | None = None) -> str:
    """The layer of what one cut takes: "flat last D3 Z-10.5" is the last round of a cutter of 3 mm down to 10.5 mm
    below the zero, in the setup "flat"; in inches "flat last D0.125 Z-0.4134". It has no commas, which some programs
    that read DXF refuse in the name of a layer."""
    cutter = "" if diameter is None else f" D{_figures(diameter, units)}"
    return f"{setup} {part}{cutter}" + ("" if depth is None else f" Z-{_figures(depth, units)}")


def layer_name(name: str, version: DxfVersion) -> str:
    """What a layer is called in a file of this release: R12 knows letters, digits, $, - and _ alone, and 31 of them at
    most, so "left end" is LEFT there."""
    short = re.sub(r"^(\w+) end\b", r"\1", name)
    return re.sub(r"[^A-Z0-9$_-]", "_", short.upper()) if version == "R12" else name


def _figures(mm: float, units: Units) -> str:
    told = f"{mm:.3f}" if units == "mm" else f"{mm / MM_IN[units]:.4f}"
    return told.rstrip("0").rstrip(".")


def layer_of(name: str) -> Layer:
    """The layer of this name; KeyError where there is none. Those for machines are named as each board needs."""
    if name in _BY_NAME:
        return _BY_NAME[name]
    found = _MACHINE.fullmatch(name)
    if not found:
        raise KeyError(name)
    part = found["part"]
    return Layer(name, 0.25, colour=COLOURS.get(part or "", 1), ink=INKS.get(part, "#000000"))
