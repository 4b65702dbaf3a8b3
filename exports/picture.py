"""Draws `exports/tool-tray/tool-tray.png` from the tool's own solids: the joint put together, and apart.

Run from the project's folder: .venv/bin/python exports/picture.py
VTK comes with CadQuery and draws without a display.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  registers the renderer
from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkFeatureEdges
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkLight,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkWindowToImageFilter,
)

import solids
from solids.kernel import Mesh

SIZE = (1200, 560)
APART = 26.0
OUT = Path(__file__).parent / "tool-tray" / "tool-tray.png"


def poly_data(mesh: Mesh, lift: float) -> vtkPolyData:
    """The mesh for VTK, lifted in Z."""
    points = vtkPoints()
    points.SetData(numpy_to_vtk(mesh.points + np.array([0.0, 0.0, lift]), deep=True))
    cells = vtkCellArray()
    cells.SetData(3, numpy_to_vtkIdTypeArray(mesh.triangles.ravel(), deep=True))
    data = vtkPolyData()
    data.SetPoints(points)
    data.SetPolys(cells)
    return data


def actors(mesh: Mesh, rgb: tuple[int, int, int], lift: float) -> list[vtkActor]:
    """A board in its colour, and its edges."""
    data = poly_data(mesh, lift)
    faces = vtkPolyDataMapper()
    faces.SetInputData(data)
    board = vtkActor()
    board.SetMapper(faces)
    board.GetProperty().SetColor(*(part / 255 for part in rgb))
    board.GetProperty().SetInterpolationToFlat()
    board.GetProperty().SetAmbient(0.42)
    board.GetProperty().SetDiffuse(0.75)
    edges = vtkFeatureEdges()
    edges.SetInputData(data)
    edges.SetFeatureAngle(5.0)
    edges.ColoringOff()
    lines = vtkPolyDataMapper()
    lines.SetInputConnection(edges.GetOutputPort())
    outline = vtkActor()
    outline.SetMapper(lines)
    outline.GetProperty().SetColor(0.16, 0.11, 0.08)
    outline.GetProperty().SetLineWidth(1.6)
    return [board, outline]


def main() -> None:
    """Draws the picture and says where it is."""
    job = solids.prove_layout(solids.lay_out(solids.read_recipe("tool-tray")))
    recipe = job.layout.recipe
    window = vtkRenderWindow()
    window.SetOffScreenRendering(True)
    window.SetMultiSamples(8)
    window.SetSize(*SIZE)
    for side, lift in ((0.0, 0.0), (0.5, APART)):
        renderer = vtkRenderer()
        renderer.SetViewport(side, 0.0, side + 0.5, 1.0)
        renderer.SetBackground(0.97, 0.96, 0.94)
        for actor in actors(job.proof.tail_mesh, recipe.tail_board.wood.rgb, lift):
            renderer.AddActor(actor)
        for actor in actors(job.proof.pin_mesh, recipe.pin_board.wood.rgb, 0.0):
            renderer.AddActor(actor)
        window.AddRenderer(renderer)
        renderer.AutomaticLightCreationOff()
        for direction, strength in (((0.3, 0.5, 1.0), 0.75), ((-0.6, 1.0, 0.1), 0.45)):
            light = vtkLight()
            light.SetLightTypeToSceneLight()
            light.SetPositional(False)
            light.SetPosition(*direction)
            light.SetFocalPoint(0, 0, 0)
            light.SetIntensity(strength)
            renderer.AddLight(light)
        camera = renderer.GetActiveCamera()
        camera.SetParallelProjection(True)
        camera.SetFocalPoint(48, -20, -6 + APART / 4)
        camera.SetPosition(48 + 150, -20 + 260, -6 + APART / 4 + 190)
        camera.SetViewUp(0, 0, 1)
        camera.SetParallelScale(66)
        renderer.ResetCameraClippingRange()
    window.Render()
    image = vtkWindowToImageFilter()
    image.SetInput(window)
    image.ReadFrontBufferOff()
    writer = vtkPNGWriter()
    writer.SetFileName(str(OUT))
    writer.SetInputConnection(image.GetOutputPort())
    writer.SetCompressionLevel(9)
    writer.Write()
    sys.stdout.write(f"{OUT.name}: {OUT.stat().st_size} bytes\n")


if __name__ == "__main__":
    main()
