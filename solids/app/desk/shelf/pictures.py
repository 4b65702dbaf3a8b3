"""The small picture of a recipe on the shelf, as SVG 1.1 (W3C): a corner from its face, with tails and pins; a box from
above, and its sides from outside."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import Any

NAMESPACE = "http://www.w3.org/2000/svg"
MARGIN = 0.04
"""What stays free round the drawing, as a share of its longer side."""

TAILS, PINS, WASTE, INK = "#ecd9b0", "#d3ad77", "#f3ead9", "#3a2a1c"
LINES = {"wood": PINS, "waste": WASTE, "line": "none", "hidden": "none"}
"""The kinds of shape that are drawn small, and what fills them; numbers and dimensions are left out."""


def picture_of(state: dict[str, Any]) -> bytes:
    """The picture of what the page shows of a recipe; an empty sheet where nothing can be drawn."""
    of_box, of_joint = (state.get("box") or {}).get("plan"), (state.get("drawings") or {}).get("face")
    drawing = of_box or of_joint or {"width": 4.0, "height": 1.0, "shapes": []}
    width, height = drawing["width"], drawing["height"]
    free = MARGIN * max(width, height)
    box = f"{-free:.3f} {-free:.3f} {width + 2 * free:.3f} {height + 2 * free:.3f}"
    root = ET.Element("svg", {"xmlns": NAMESPACE, "viewBox": box, "role": "img"})
    ET.SubElement(root, "title").text = str(state.get("title", ""))
    for shape in drawing["shapes"]:
        if shape["kind"] in LINES and shape["points"]:
            points = " ".join(f"{x:.3f},{height - y:.3f}" for x, y in shape["points"])
            filled = TAILS if shape["words"] == "tail board" else LINES[shape["kind"]]
            look = {"fill": filled, "stroke": INK, "stroke-width": f"{max(width, height) / 250:.3f}"}
            dashes = {"stroke-dasharray": f"{max(width, height) / 60:.3f}"} if shape["kind"] == "hidden" else {}
            ET.SubElement(root, "polygon" if shape.get("closed") else "polyline", {"points": points, **look, **dashes})
    data: bytes = ET.tostring(root, encoding="utf-8")
    return data
