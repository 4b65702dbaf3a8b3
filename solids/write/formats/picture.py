"""A piece as a PNG, put together and apart, drawn by VTK without a display. VTK comes with CadQuery."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
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
    vtkLight,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkWindowToImageFilter,
)

from solids.base.errors import FaultError, ReadBackError
from solids.write.formats.scene import Scene, ShownPart

WIDTH = 1600
SHAPE = 0.5
"""Height of the picture as a share of its width: two squares side by side."""

PAPER = (0.97, 0.96, 0.94)
INK = (0.16, 0.11, 0.08)

EYE = np.array([150.0, 260.0, 190.0])
"""Where the eye stands, seen from the middle of a piece whose front looks toward +Y: in front, to the right, above."""

LIGHTS = (((0.3, 0.5, 1.0), 0.75), ((-0.6, 1.0, 0.1), 0.45))
"""Where each light comes from, and how strong it is."""

AROUND = 1.08
"""How much more than the piece itself the picture takes in, as a ratio."""

PNG_HEAD = b"\x89PNG\r\n\x1a\n"


def png_bytes(scene: Scene, width: int = WIDTH) -> bytes:
    """The picture, `width` pixels wide. FaultError where VTK cannot draw on this machine."""
    vtkObject.GlobalWarningDisplayOff()  # no chatter about the lack of a display; what matters is checked below
    window = vtkRenderWindow()
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(8)
    window.SetSize(width, round(SHAPE * width))
    for left, share in ((0.0, 0.0), (0.5, 1.0)):
        window.AddRenderer(_view(scene, left, share, width))
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


def _view(scene: Scene, left: float, share: float, width: int) -> vtkRenderer:
    renderer = vtkRenderer()
    renderer.SetViewport(left, 0.0, left + 0.5, 1.0)
    renderer.SetBackground(*PAPER)
    for board in scene.cut:
        for actor in _actors(board, share, width):
            renderer.AddActor(actor)
    renderer.AutomaticLightCreationOff()
    side = np.array([1.0, scene.view.front_y, 1.0])  # eye and lights stand before the front
    for direction, strength in LIGHTS:
        light = vtkLight()
        light.SetLightTypeToSceneLight()
        light.SetPositional(False)
        light.SetPosition(*(side * direction))
        light.SetFocalPoint(0, 0, 0)
        light.SetIntensity(strength)
        renderer.AddLight(light)
    eye = side * EYE
    middle, half = _frame(scene, eye)
    camera = renderer.GetActiveCamera()
    camera.SetParallelProjection(True)
    camera.SetFocalPoint(*middle)
    camera.SetPosition(*(middle + eye * (half / np.linalg.norm(eye) * 20)))
    camera.SetViewUp(0, 0, 1)
    camera.SetParallelScale(AROUND * half)
    renderer.ResetCameraClippingRange()
    return renderer


def _frame(scene: Scene, eye: np.ndarray) -> tuple[np.ndarray, float]:
    """The middle of what is shown, the same in both views, and half the larger of its height and width in the eye's
    plane."""
    low, high = scene.frame
    corners = np.array([[(low, high)[i][0], (low, high)[j][1], (low, high)[k][2]] for i, j, k in np.ndindex(2, 2, 2)])
    toward = eye / np.linalg.norm(eye)
    right = np.cross((0.0, 0.0, 1.0), toward)
    right /= np.linalg.norm(right)
    up = np.cross(toward, right)
    across, upward = corners @ right, corners @ up
    middle = right * np.mean([across.min(), across.max()]) + up * np.mean([upward.min(), upward.max()])
    middle = middle + toward * float(corners.mean(axis=0) @ toward)
    return middle, max(float(np.ptp(across)), float(np.ptp(upward))) / 2


def _actors(board: ShownPart, share: float, width: int) -> Iterator[vtkActor]:
    """A board in the colour of its wood, and its edges, moved along its way out by a `share` of it."""
    up = share * np.array(board.away)
    faces = _actor(board.points + up, board.triangles, polygons=True)
    faces.GetProperty().SetColor(*(part / 255 for part in board.wood.rgb))
    faces.GetProperty().SetInterpolationToFlat()
    faces.GetProperty().SetAmbient(0.42)
    faces.GetProperty().SetDiffuse(0.75)
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


def reread(path: Path, width: int = WIDTH) -> None:
    """ReadBackError unless the file on disk is a whole PNG of the right size."""
    try:
        size = size_of(path.read_bytes())
    except (ValueError, struct.error) as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from None
    if size != (width, round(SHAPE * width)):
        raise ReadBackError(f"{path.name} is {size[0]} x {size[1]} pixels")
