"""A piece as a PNG, put together and apart, drawn by VTK without a display. VTK comes with CadQuery."""

from __future__ import annotations

import math
import struct
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the renderer
from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy
from vtkmodules.vtkCommonCore import vtkObject, vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkWindowToImageFilter,
)

from solids.base.errors import FaultError, ReadBackError
from solids.write.formats.scene import EYE, Floats, Scene, ShownPart

WIDTH = 1600
MARGIN = 0.02
"""Of air round each view, as a share of the picture's width."""

WIDE = 1.5
"""From so many times as wide as high, views stand one above the other."""

INSET, INSET_AIR, LEAST_CLOSER = 0.26, 1.3, 1.8
"""The view of a corner of a box: its width as a share of the picture's, how much more than the height of the boards it
takes in, and how much closer it is at least."""

PAPER = (0.97, 0.96, 0.94)
INK = (0.16, 0.11, 0.08)
FRAME = (0.72, 0.66, 0.58)

Pair = tuple[float, float]

PNG_HEAD = b"\x89PNG\r\n\x1a\n"


@dataclass(frozen=True)
class Panel:
    """One view in the picture: where it stands (pixels, from the lower left corner), what is in its middle (mm, to the
    right and upward as the eye sees it), how large (pixels for each mm), and how far the piece is taken apart."""

    low: tuple[float, float]
    size: tuple[float, float]
    middle: tuple[float, float]
    scale: float
    share: float
    framed: bool = False


def panels_of(scene: Scene, width: int = WIDTH) -> tuple[int, list[Panel]]:
    """The height of the picture in pixels, and its views: put together and apart, as large as the width allows, and of
    a box one of its corners from closer by."""
    scene, margin = scene.drawn, MARGIN * width
    inset = 0.0 if scene.view.shows_gaps else INSET * width
    spans = [_span(scene, share) for share in (0.0, 1.0)]
    across = [high[0] - low[0] for low, high in spans]
    bottom, top = min(low[1] for low, _ in spans), max(high[1] for _, high in spans)
    if not inset and max(across) > WIDE * (top - bottom):
        return _stacked(spans, width, margin)
    room = width - 4 * margin - (inset + margin if inset else 0.0)
    scale = min(room / sum(across), (width - 2 * margin) / (top - bottom))
    height = round(scale * (top - bottom) + 2 * margin)
    panels, left = [], 0.0
    for share, (low, high), wide in zip((0.0, 1.0), spans, across, strict=True):
        own = room * wide / sum(across) + 2 * margin
        middle = (low[0] + high[0]) / 2, (bottom + top) / 2
        panels.append(Panel((left, 0.0), (own, float(height)), middle, scale, share))
        left += own
    if inset:
        panels.append(_corner(scene, (width - inset - margin, margin), (inset, height - 2 * margin), scale))
    return height, panels


def _stacked(spans: Sequence[tuple[Floats, Floats]], width: int, margin: float) -> tuple[int, list[Panel]]:
    """One view above the other: put together above, apart below."""
    scale = (width - 2 * margin) / max(high[0] - low[0] for low, high in spans)
    panels, foot = [], 0.0
    for share, (low, high) in zip((1.0, 0.0), reversed(spans), strict=True):
        tall = scale * (high[1] - low[1]) + 2 * margin
        middle = (low + high) / 2
        panels.append(Panel((0.0, foot), (float(width), tall), (middle[0], middle[1]), scale, share))
        foot += tall - margin * share
    return round(foot), panels[::-1]


def _corner(scene: Scene, low: tuple[float, float], size: tuple[float, float], scale: float) -> Panel:
    """The corner of a box that is nearest to the eye, as closely as its boards are high."""
    (_, front, below), (right, back, above) = scene.bounds
    _, across, up = _eye(scene)
    where = np.array([right, front if scene.view.front_y < 0 else back, (below + above) / 2])
    closer = size[1] / (INSET_AIR * (above - below) * up[2])
    middle = float(where @ across), float(where @ up)
    return Panel(low, size, middle, max(closer, LEAST_CLOSER * scale), 0.0, framed=True)


def _eye(scene: Scene) -> tuple[Floats, Floats, Floats]:
    """Unit vectors as the eye sees them: toward it, to the right and upward."""
    toward = np.array([1.0, scene.view.front_y, 1.0]) * EYE  # it stands before the front
    toward /= np.linalg.norm(toward)
    right = np.cross((0.0, 0.0, 1.0), toward)
    right /= np.linalg.norm(right)
    return toward, right, np.cross(toward, right)


def _span(scene: Scene, share: float) -> tuple[Floats, Floats]:
    """The least and the greatest places to the right and upward (mm) of all that is seen."""
    _, right, up = _eye(scene)
    points = np.concatenate([board.points + share * np.array(board.away) for board in scene.cut])
    flat = np.column_stack([points @ right, points @ up])
    return flat.min(axis=0), flat.max(axis=0)


def png_bytes(scene: Scene, width: int = WIDTH) -> bytes:
    """The picture, `width` pixels wide. FaultError where VTK cannot draw on this machine."""
    vtkObject.GlobalWarningDisplayOff()  # no chatter about the lack of a display; what matters is checked below
    height, panels = panels_of(scene, width)
    window = vtkRenderWindow()
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(8)
    window.SetSize(width, height)
    window.AddRenderer(_ground((0.0, 0.0), (width, height), (width, height), PAPER))
    for panel in panels:
        if panel.framed:
            line = max(1.0, width / 800)
            low = panel.low[0] - line, panel.low[1] - line
            window.AddRenderer(
                _ground(low, (panel.size[0] + 2 * line, panel.size[1] + 2 * line), (width, height), FRAME)
            )
        window.AddRenderer(_view(scene.drawn, panel, (width, height)))
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.ReadFrontBufferOff()
    writer = vtkPNGWriter()
    writer.SetInputConnection(image.GetOutputPort())
    writer.WriteToMemoryOn()
    writer.SetCompressionLevel(9)
    writer.Write()
    data = bytes(vtk_to_numpy(writer.GetResult()).tobytes()) if writer.GetResult() else b""  # type: ignore[no-untyped-call]
    if not data.startswith(PNG_HEAD):
        raise FaultError("picture: VTK did not draw on this machine")
    return data


def _ground(low: Pair, size: Pair, whole: Pair, colour: tuple[float, float, float]) -> vtkRenderer:
    """A place in the picture (pixels), of one colour."""
    renderer = vtkRenderer()
    renderer.SetViewport(
        low[0] / whole[0],
        low[1] / whole[1],
        min(1.0, (low[0] + size[0]) / whole[0]),
        min(1.0, (low[1] + size[1]) / whole[1]),
    )
    renderer.SetBackground(*colour)
    return renderer


def _view(scene: Scene, panel: Panel, whole: Pair) -> vtkRenderer:
    renderer = _ground(panel.low, panel.size, whole, PAPER)
    for board in scene.cut:
        for actor in _actors(scene, board, panel.share, whole[0]):
            renderer.AddActor(actor)
    toward, right, up = _eye(scene)
    middle = right * panel.middle[0] + up * panel.middle[1]
    camera = renderer.GetActiveCamera()
    camera.SetParallelProjection(True)
    camera.SetFocalPoint(*middle)
    far = 10 * math.dist(*scene.reach)  # behind the eye nothing is drawn
    camera.SetPosition(*(middle + far * toward))
    camera.SetViewUp(0, 0, 1)
    camera.SetParallelScale(panel.size[1] / panel.scale / 2)
    renderer.ResetCameraClippingRange()
    return renderer


def _actors(scene: Scene, board: ShownPart, share: float, width: float) -> Iterator[vtkActor]:
    """A board in the colour of its wood, and its edges, moved along its way out by a `share` of it."""
    up = share * np.array(board.away)
    faces = _actor(board.points + up, board.triangles, polygons=True)
    colours = np.round(np.minimum(np.outer(scene.shades(board), board.wood.rgb), 255)).astype(np.uint8)
    faces.GetMapper().GetInput().GetCellData().SetScalars(numpy_to_vtk(colours, deep=True))  # type: ignore[no-untyped-call]
    yield faces
    ends = board.edges.reshape(-1, 3) + up
    edges = _actor(ends, np.arange(len(ends)).reshape(-1, 2), polygons=False)
    edges.GetProperty().SetColor(*INK)
    edges.GetProperty().SetLineWidth(width / 750)
    yield edges


def _actor(points: np.ndarray, rows: np.ndarray, *, polygons: bool) -> vtkActor:
    """Triangles or lines; each row holds the indices of its points."""
    corners = vtkPoints()
    corners.SetData(numpy_to_vtk(np.ascontiguousarray(points), deep=True))  # type: ignore[no-untyped-call]
    cells = vtkCellArray()
    cells.SetData(rows.shape[1], numpy_to_vtkIdTypeArray(np.ascontiguousarray(rows.ravel()), deep=True))  # type: ignore[no-untyped-call]
    data = vtkPolyData()
    data.SetPoints(corners)
    (data.SetPolys if polygons else data.SetLines)(cells)
    mapper: Any = vtkPolyDataMapper()
    mapper.SetInputData(data)
    mapper.SetResolveCoincidentTopologyToPolygonOffset()
    actor = vtkActor()
    actor.SetMapper(mapper)
    actor.GetProperty().LightingOff()  # the colours hold the light already
    return actor


def size_of(data: bytes) -> tuple[int, int]:
    """Width and height of a PNG in pixels. ValueError where the data are no PNG, or where the checksum of a chunk is
    wrong (PNG specification, 5.3)."""
    if not data.startswith(PNG_HEAD):
        raise ValueError("not a PNG file")
    kinds, begin = [], len(PNG_HEAD)
    while begin < len(data):
        length, kind = struct.unpack_from(">I4s", data, begin)
        end = begin + 8 + length
        (checksum,) = struct.unpack_from(">I", data, end)
        if zlib.crc32(data[begin + 4 : end]) != checksum:
            raise ValueError("a part of it was changed")
        kinds.append(kind)
        begin = end + 4
    if kinds[:1] != [b"IHDR"] or kinds[-1:] != [b"IEND"]:
        raise ValueError("cut short")
    width, height = struct.unpack(">II", data[16:24])
    return width, height


def reread(path: Path, scene: Scene, width: int = WIDTH) -> None:
    """ReadBackError unless the file on disk is a whole PNG of the right size."""
    try:
        size = size_of(path.read_bytes())
    except (ValueError, struct.error) as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from None
    if size != (width, panels_of(scene, width)[0]):
        raise ReadBackError(f"{path.name} is {size[0]} x {size[1]} pixels")
