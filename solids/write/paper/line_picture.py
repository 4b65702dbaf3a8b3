"""A solid as a small picture of lines (SVG 1.1, W3C): what is seen of it from in front, from the right and from above,
in parallel lines, as machine parts are drawn. No display is needed, and the same solid gives the same bytes."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Sequence
from pathlib import Path

from solids.base.errors import ReadBackError
from solids.base.geometry import PlanePoint, Point, Vector, dot
from solids.model.kernel import Face, Solid, facets_of, newell_normal
from solids.model.kernel.drawing import project
from solids.write.drafting.pictorial import TO_EYE
from solids.write.drafting.segments import tidy

NAMESPACE = "http://www.w3.org/2000/svg"

WIDTH, HEIGHT, MARGIN = 480, 300, 12
"""Of the picture, in pixels, and what stays free round the solid."""

RIGHT = (0.832050, 0.554700, 0.0)
"""The picture's X, level and square to that: (3, 2, 0) / sqrt(13)."""

UP = (-0.269069, 0.403604, 0.874475)
"""The picture's Y, square to both: (-4, 6, 13) / sqrt(221)."""

PAPER, INK = "#f7f5f0", "#291c14"


def svg_bytes(solid: Solid, title: str, colour: str) -> bytes:
    """The picture, with its title for who cannot see it. `colour` is that of the faces, "#rrggbb"."""
    shown = [[_seen(loop) for loop in face] for face in facets_of(solid) if _faces_us(face)]
    lines, _ = tidy(project([solid], TO_EYE, RIGHT).visible, [])
    points = [point for face in shown for loop in face for point in loop]
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    scale = min((WIDTH - 2 * MARGIN) / (right - left), (HEIGHT - 2 * MARGIN) / (high - low))
    height = scale * (high - low) + 2 * MARGIN

    def put(point: PlanePoint) -> str:
        x = WIDTH / 2 + scale * (point[0] - (left + right) / 2)
        return f"{x:.1f} {height / 2 - scale * (point[1] - (low + high) / 2):.1f}"

    def path(loops: Iterable[Sequence[PlanePoint]], close: str = "") -> str:
        return "".join(f"M{'L'.join(map(put, loop))}{close}" for loop in loops)

    size = {"width": f"{WIDTH}", "height": f"{height:.0f}", "viewBox": f"0 0 {WIDTH} {height:.0f}"}
    root = ET.Element("svg", {"xmlns": NAMESPACE, **size, "role": "img"})
    ET.SubElement(root, "title").text = title
    ET.SubElement(root, "rect", {"width": "100%", "height": "100%", "fill": PAPER})
    faces = ET.SubElement(root, "g", {"fill": colour, "fill-rule": "evenodd", "stroke": colour, "stroke-width": "0.5"})
    for face in shown:
        ET.SubElement(faces, "path", {"d": path(face, "Z")})
    look = {"fill": "none", "stroke": INK, "stroke-width": "1", "stroke-linecap": "round"}
    ET.SubElement(root, "path", {"d": path(lines), **look})
    body: bytes = ET.tostring(root, encoding="utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + body + b"\n"


def _faces_us(face: Face) -> bool:
    return dot(newell_normal(face[0]), TO_EYE) > 0


def _seen(loop: Sequence[Point]) -> list[PlanePoint]:
    """A loop in the picture's plane (mm)."""
    across: Vector = RIGHT
    return [(dot(point, across), dot(point, UP)) for point in loop]


def reread(path: Path, title: str) -> None:
    """ReadBackError unless the file on disk is a picture of this title with faces and lines."""
    try:
        root = ET.fromstring(path.read_bytes())  # noqa: S314  our own file, just written
    except ET.ParseError as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from err
    paths = root.findall(f".//{{{NAMESPACE}}}path")
    if root.findtext(f"{{{NAMESPACE}}}title") != title or len(paths) < 2:
        raise ReadBackError(f"{path.name} does not hold its picture")
