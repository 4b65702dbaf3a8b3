"""SVG 1.1: the printed part of a drawing, in millimetres, one group for each layer."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.write.drafting.dimensions import drawn
from solids.write.drafting.layers import LAYERS, Layer, layer_of
from solids.write.drafting.sheet import Label, Sheet, Stroke
from solids.write.paper.typesetting.letters import in_font
from solids.write.paper.typesetting.pdf import CAP_HEIGHT

NAMESPACE = "http://www.w3.org/2000/svg"
ANCHOR = {"left": "start", "middle": "middle", "right": "end"}
FONTS = "Roboto, Arial, Helvetica, sans-serif"


def svg_bytes(sheet: Sheet) -> bytes:
    """The SVG file of a drawing at its size on paper."""
    root = ET.Element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{_number(sheet.width)}mm",
            "height": f"{_number(sheet.height)}mm",
            "viewBox": f"0 0 {_number(sheet.width)} {_number(sheet.height)}",
            "font-family": FONTS,
        },
    )
    ET.SubElement(root, "title").text = in_font(sheet.title)
    ET.SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": "white"})
    pieces = list(drawn(sheet.items))
    known = [layer.name for layer in LAYERS]
    for name in dict.fromkeys([*known, *(piece.layer for piece in pieces)]):
        inside = [piece for piece in pieces if piece.layer == name]
        if inside:
            group = ET.SubElement(root, "g", _look(layer_of(name)))
            for piece in inside:
                _add(group, piece, sheet.height)
    ET.indent(root)
    body: bytes = ET.tostring(root, encoding="utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + body + b"\n"


def _look(layer: Layer) -> dict[str, str]:
    look = {
        "id": layer.name.replace(" ", "-"),
        "fill": "none",
        "stroke": layer.ink,
        "stroke-width": _number(layer.width),
        "stroke-linecap": "round",
        "stroke-linejoin": "round",
    }
    if layer.dashes:
        look["stroke-dasharray"] = " ".join(_number(part) for part in layer.dashes)
    return look


def _add(group: ET.Element, piece: Stroke | Label, height: float) -> None:
    if isinstance(piece, Stroke):
        points = " L ".join(f"{_number(x)} {_number(height - y)}" for x, y in piece.points)
        ET.SubElement(group, "path", {"d": f"M {points}" + (" Z" if piece.closed else "")})
        return
    x, y = _number(piece.at[0]), _number(height - piece.at[1])
    look = {
        "x": x,
        "y": y,
        "font-size": _number(piece.height / CAP_HEIGHT),
        "text-anchor": ANCHOR[piece.align],
        "fill": "black",
        "stroke": "none",
    }
    if piece.bold:
        look["font-weight"] = "bold"
    if piece.turn_deg:
        look["transform"] = f"rotate({_number(-piece.turn_deg)} {x} {y})"
    ET.SubElement(group, "text", look).text = in_font(piece.text)


def _number(value: float) -> str:
    """A number with up to four decimals, a ten-thousandth of a millimetre."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def reread(path: Path, sheet: Sheet) -> None:
    """Reads an SVG file back. ReadBackError unless it has the size of the sheet, and as many lines and words as were
    meant."""
    try:
        root = ET.fromstring(path.read_bytes())  # noqa: S314  our own file, just written
    except ET.ParseError as err:
        raise ReadBackError(f"{path.name} is not XML: {err}") from err
    if root.get("width") != f"{_number(sheet.width)}mm" or root.get("height") != f"{_number(sheet.height)}mm":
        raise ReadBackError(f"{path.name} has another size than its sheet")
    pieces = sum(1 for piece in drawn(sheet.items))
    found = sum(len(group) for group in root.iter(f"{{{NAMESPACE}}}g"))
    if found != pieces:
        raise ReadBackError(f"{path.name} holds {found} of {pieces} lines and words")
