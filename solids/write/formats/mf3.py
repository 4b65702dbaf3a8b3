"""3MF (3MF Core Specification 1.x, 3MF Consortium), written and read by the reference implementation, lib3mf.

Unit millimetre, because some slicers ignore any other. Every mesh has a name and a colour. All identifiers are fixed,
so that the same plate gives the same bytes.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import lib3mf
from lib3mf import get_wrapper

from solids import __version__
from solids.base.errors import FaultError, ReadBackError
from solids.model.kernel import Mesh

DESCRIPTION = "Description"
"""The name of the metadata that tell how to print."""

FILE_SPACE = uuid.UUID("6f9d3b7e-4c1a-5e52-9a0b-2d8f7c6e1b34")
"""The namespace of our identifiers. It is our own, and means nothing elsewhere."""


@dataclass(frozen=True)
class PlacedMesh:
    """One mesh on a plate: its colour "#rrggbb", where its origin stands (mm), whether it is turned by a quarter, and
    how it is printed, in words."""

    name: str
    mesh: Mesh
    colour: str
    x: float
    y: float
    turned: bool
    words: str = ""


def mf3_bytes(title: str, pieces: Sequence[PlacedMesh], words: str = "") -> bytes:
    """The 3MF file of one plate. `words` say what printing it takes. They and those of each piece are metadata
    `Description`, a name that the specification has for both (from memory)."""
    wrapper = get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    data = model.GetMetaDataGroup()
    data.AddMetaData("", "Title", title, "xs:string", True)
    data.AddMetaData("", "Application", f"halfpin {__version__}", "xs:string", True)
    _describe(data, words)
    model.SetBuildUUID(_identifier(title, "build"))
    colours = model.AddBaseMaterialGroup()
    for piece in pieces:
        _add(wrapper, model, colours, piece)
    writer = model.QueryWriter("3mf")
    return bytes(writer.WriteToBuffer())


def _identifier(*words: str) -> str:
    return str(uuid.uuid5(FILE_SPACE, "/".join(words)))


def _describe(data: Any, words: str) -> None:
    if words:
        data.AddMetaData("", DESCRIPTION, words, "xs:string", True)


def _add(wrapper: Any, model: Any, colours: Any, piece: PlacedMesh) -> None:
    item = model.AddMeshObject()
    item.SetName(piece.name)
    item.SetUUID(_identifier(piece.name, "object"))
    _describe(item.GetMetaDataGroup(), piece.words)
    item.SetGeometry(
        [lib3mf.Position((lib3mf.ctypes.c_float * 3)(*point)) for point in piece.mesh.points],
        [lib3mf.Triangle((lib3mf.ctypes.c_uint32 * 3)(*corners)) for corners in piece.mesh.triangles],
    )
    red, green, blue = (int(piece.colour[k : k + 2], 16) for k in (1, 3, 5))
    colour = colours.AddMaterial(piece.name, wrapper.RGBAToColor(red, green, blue, 255))
    item.SetObjectLevelProperty(colours.GetResourceID(), colour)
    if not item.IsManifoldAndOriented():
        raise FaultError(f"3MF: {piece.name} is not one closed, oriented surface")
    placed = model.AddBuildItem(item, _transform(piece))
    placed.SetUUID(_identifier(piece.name, "item"))


def _transform(piece: PlacedMesh) -> Any:
    """A rotation about Z and then a shift, row by row: the format multiplies a row vector by it."""
    cosine, sine = (0.0, 1.0) if piece.turned else (1.0, 0.0)
    fields = ((cosine, sine, 0.0), (-sine, cosine, 0.0), (0.0, 0.0, 1.0), (piece.x, piece.y, 0.0))
    transform = lib3mf.Transform()
    for row, values in enumerate(fields):
        for column, value in enumerate(values):
            transform.Fields[row][column] = value
    return transform


def reread(path: Path, pieces: Sequence[PlacedMesh], words: str = "") -> None:
    """Reads a plate in the strict mode of the reference implementation. ReadBackError unless there is no warning, the
    unit is the millimetre, the plate and every piece say how they are printed, and every piece is there by name,
    closed, with as many triangles as were meant."""
    model = get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    try:
        reader.ReadFromFile(str(path))
    except Exception as err:
        raise ReadBackError(f"{path.name} is not a sound 3MF file: {err}") from err
    if reader.GetWarningCount():
        raise ReadBackError(f"{path.name}: {reader.GetWarning(0)[0]}")
    if model.GetUnit() != lib3mf.ModelUnit.MilliMeter:
        raise ReadBackError(f"{path.name} is not in millimetres")
    meshes = model.GetMeshObjects()
    found = {}
    while meshes.MoveNext():
        item = meshes.GetCurrentMeshObject()
        count = item.GetTriangleCount() if item.IsManifoldAndOriented() else -1
        found[item.GetName()] = (count, _described(item.GetMetaDataGroup()))
    if _described(model.GetMetaDataGroup()) != words:
        raise ReadBackError(f"{path.name} does not say what printing it takes")
    if found != {piece.name: (len(piece.mesh.triangles), piece.words) for piece in pieces}:
        raise ReadBackError(f"{path.name} does not hold its {len(pieces)} pieces, closed and whole")


def _described(data: Any) -> str:
    """The description among some metadata; "" where there is none."""
    entries = (data.GetMetaData(number) for number in range(data.GetMetaDataCount()))
    return next((entry.GetValue() for entry in entries if entry.GetName() == DESCRIPTION), "")
