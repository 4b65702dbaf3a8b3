"""The layers of every drawing: plain names, line widths from the series of ISO 128-2 (0.13, 0.18, 0.25, 0.35, 0.5, 0.7,
1.0, 1.4, 2.0 mm; wide to narrow 2:1), dashes, and the colour number that a DXF file gives them."""

from __future__ import annotations

import re
from dataclasses import dataclass

ISO_WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
"""Line widths of ISO 128-2 in mm. From memory; each is the one before times the square root of 2, rounded."""


@dataclass(frozen=True)
class Layer:
    """One layer: line width in mm, dashes and gaps in mm (none: a full line), DXF colour, whether it is printed (SVG,
    PDF) or for machines only (DXF), and the ink it is printed with, "#rrggbb"."""

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    colour: int = 7
    printed: bool = True
    ink: str = "#000000"


LAYERS: tuple[Layer, ...] = (
    Layer("visible edges", 0.5),
    Layer("hidden edges", 0.25, (2.0, 1.0), 8),
    Layer("break lines", 0.25),
    Layer("dimensions", 0.25),
    Layer("text", 0.25),
    Layer("frame", 0.7),
    Layer("thin frame", 0.25),
    Layer("cut lines", 0.25),
    Layer("kept edges", 0.5),
    Layer("gauge lines", 0.35, (3.0, 0.8), 1, ink="#b00000"),
    Layer("fold lines", 0.18, (6.0, 1.5, 0.6, 1.5), 8),
    Layer("groove", 0.25, (2.0, 1.0), 5, ink="#1f4e79"),
    Layer("waste", 0.13, (), 8, ink="#8c8c8c"),
    Layer("register marks", 0.18, (), 8),
    Layer("CAM tail board outline", 0.25, colour=3, printed=False),
    Layer("CAM tail board sockets", 0.25, colour=4, printed=False),
    Layer("CAM pin board end", 0.25, colour=3, printed=False),
    Layer("CAM pin board sockets", 0.25, colour=4, printed=False),
    Layer("CAM zero", 0.25, colour=1, printed=False),
    Layer("CAM words", 0.25, colour=2, printed=False),
)

_BY_NAME = {layer.name: layer for layer in LAYERS}

_PATH = re.compile(r"CAM (?:tail|pin) board (?P<rough>rough )?path D[\d.]+ Z-[\d.]+")


def path_name(board: str, diameter: float, depth: float, *, last: bool) -> str:
    """The layer of a cutter's path: "CAM tail board path D3 Z-10.5" is for a cutter of 3 mm, down to 10.5 mm below the
    zero of the note. It has no commas, which some programs that read DXF refuse in the name of a layer."""
    return f"CAM {board} {'' if last else 'rough '}path D{_figures(diameter)} Z-{_figures(depth)}"


def _figures(mm: float) -> str:
    return f"{mm:.3f}".rstrip("0").rstrip(".")


def layer_of(name: str) -> Layer:
    """The layer of this name; KeyError where there is none. The layers of cutters' paths are named as each joint
    needs."""
    path = _PATH.fullmatch(name)
    if path:
        return Layer(name, 0.25, colour=5 if path["rough"] else 6, printed=False)
    return _BY_NAME[name]
