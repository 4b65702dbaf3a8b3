"""glTF 2.0, binary (GLB): metres, Y up (Khronos Group, glTF 2.0 Specification, 3.4 and 4.4). For viewers and game
engines; a CAD program takes the STEP files.

Open CASCADE writes the boards. We add to the file's JSON what its writer leaves out: names for the materials, and an
animation in which the parts slide home.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from OCP.Message import Message_ProgressRange
from OCP.Quantity import Quantity_Color, Quantity_ColorRGBA, Quantity_TypeOfColor
from OCP.RWGltf import RWGltf_CafWriter
from OCP.RWMesh import RWMesh_CoordinateSystem
from OCP.TCollection import TCollection_AsciiString, TCollection_ExtendedString
from OCP.TColStd import TColStd_IndexedDataMapOfStringString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_VisMaterial, XCAFDoc_VisMaterialPBR

from solids import __version__
from solids.base.errors import FaultError, ReadBackError
from solids.base.scratch import scratch
from solids.model.kernel import Solid, quiet
from solids.model.kernel.solid import faces_in_order
from solids.write.formats.scene import GAPS, Scene, ShownPart

MM = 0.001
"""One millimetre, in metres."""

ROUGHNESS = 0.75
"""That of planed wood without a finish; gloss would hide the joint. Common practice in rendering."""

SLIDE_SECONDS = 2.0
REST_SECONDS = 1.0
"""How long the parts take to slide home, and how long they rest there before the animation starts again."""

MAGIC, VERSION, JSON_CHUNK, BINARY_CHUNK = b"glTF", 2, b"JSON", b"BIN\0"
FLOAT, VEC3, SCALAR = 5126, "VEC3", "SCALAR"


@dataclass(frozen=True)
class Model:
    """What a file is made from: a scene, the solids of its boards as cut, and whether faces show how they meet."""

    scene: Scene
    solids: tuple[Solid, ...]
    with_gaps: bool = False


def glb_bytes(model: Model) -> bytes:
    """The GLB file; the same bytes for the same joint. FaultError where Open CASCADE does not write it."""
    content, binary = split(_written(_document(model)))
    _name_materials(content, model)
    binary = _with_animation(content, binary, model.scene)
    content["asset"] = {"version": "2.0", "generator": f"halfpin {__version__}"}
    return _joined(content, binary)


# --- the boards, by Open CASCADE -----------------------------------------------------------------


def _document(model: Model) -> TDocStd_Document:
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    assembly = shapes.NewShape()
    _name(assembly, model.scene.title)
    for board, solid in zip(model.scene.cut, model.solids, strict=True):
        label = shapes.AddShape(solid, False)
        _name(label, board.name)
        _paint(document, label, board.name, board.wood.rgb)
        if model.with_gaps:
            _paint_gaps(document, label, board, solid)
        _name(shapes.AddComponent(assembly, label, TopLoc_Location()), board.name)
    shapes.UpdateAssemblies()
    return document


def _paint(document: TDocStd_Document, label: TDF_Label, name: str, rgb: Sequence[int]) -> None:
    tool = XCAFDoc_DocumentTool.VisMaterialTool_s(document.Main())
    tool.SetShapeMaterial(label, tool.AddMaterial(_material(rgb), TCollection_AsciiString(name)))


def _paint_gaps(document: TDocStd_Document, label: TDF_Label, board: ShownPart, solid: Solid) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    tool = XCAFDoc_DocumentTool.VisMaterialTool_s(document.Main())
    for gap in GAPS:
        faces = [face for face, name in zip(faces_in_order(solid), board.gaps, strict=True) if name == gap.name]
        if faces:
            material = tool.AddMaterial(_material(gap.rgb), TCollection_AsciiString(f"{board.name}, {gap.name}"))
            for face in faces:
                tool.SetShapeMaterial(shapes.AddSubShape(label, face), material)


def _material(rgb: Sequence[int]) -> XCAFDoc_VisMaterial:
    red, green, blue = (value / 255 for value in rgb)
    surface = XCAFDoc_VisMaterialPBR()
    surface.BaseColor = Quantity_ColorRGBA(Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_sRGB))
    surface.Metallic, surface.Roughness = 0.0, ROUGHNESS
    material = XCAFDoc_VisMaterial()
    material.SetPbrMaterial(surface)
    return material


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name, True))


def _written(document: TDocStd_Document) -> bytes:
    """What Open CASCADE writes; it can write to a file only."""
    with quiet(), scratch() as folder:
        path = folder / "corner.glb"
        writer = RWGltf_CafWriter(TCollection_AsciiString(str(path)), True)
        writer.SetMergeFaces(True)
        converter = writer.ChangeCoordinateSystemConverter()
        converter.SetInputLengthUnit(MM)
        converter.SetInputCoordinateSystem(RWMesh_CoordinateSystem.RWMesh_CoordinateSystem_Zup)
        if not writer.Perform(document, TColStd_IndexedDataMapOfStringString(), Message_ProgressRange()):
            raise FaultError("GLB: Open CASCADE did not write it")
        return path.read_bytes()


# --- what is added -------------------------------------------------------------------------------


def _name_materials(content: dict[str, Any], model: Model) -> None:
    """Names each material by its part and its wood or gap. Open CASCADE only numbers them."""
    for mesh, board in zip(content["meshes"], model.scene.cut, strict=True):
        for primitive in mesh["primitives"]:
            material = content["materials"][primitive["material"]]
            material["name"] = f"{board.name}: {_what(material, board)}"
            material.pop("doubleSided", None)  # closed bodies have no inside to see


def _what(material: dict[str, Any], board: ShownPart) -> str:
    """The wood or the gap that a material stands for, by its colour."""
    red, green, blue, _ = material["pbrMetallicRoughness"]["baseColorFactor"]
    shown = Quantity_Color(red, green, blue, Quantity_TypeOfColor.Quantity_TOC_RGB)
    values = tuple(round(255 * value) for value in shown.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB))
    return next((gap.words for gap in GAPS if gap.rgb == values), board.wood.name)


def _with_animation(content: dict[str, Any], binary: bytes, scene: Scene) -> bytes:
    """Adds the animation to the JSON and its numbers to the binary part, which is returned."""
    times = np.array([[0.0], [SLIDE_SECONDS], [SLIDE_SECONDS + REST_SECONDS]], "<f4")
    binary = _with_numbers(content, binary, times, SCALAR)
    when = len(content["accessors"]) - 1
    nodes = [number for number, node in enumerate(content["nodes"]) if "mesh" in node]
    channels: list[dict[str, Any]] = []
    samplers: list[dict[str, Any]] = []
    for node, board in zip(nodes, scene.cut, strict=True):
        if not any(board.away):
            continue
        x, y, z = (part * MM for part in board.away)
        binary = _with_numbers(content, binary, np.array([(x, z, -y), (0, 0, 0), (0, 0, 0)], "<f4"), VEC3)
        channels.append({"sampler": len(samplers), "target": {"node": node, "path": "translation"}})
        samplers.append({"input": when, "output": len(content["accessors"]) - 1, "interpolation": "LINEAR"})
    content["animations"] = [{"name": "it goes together", "channels": channels, "samplers": samplers}]
    content["buffers"][0]["byteLength"] = len(binary)
    return binary


def _with_numbers(content: dict[str, Any], binary: bytes, rows: np.ndarray, kind: str) -> bytes:
    """Adds rows of numbers as an accessor."""
    binary = binary.ljust(-(-len(binary) // 4) * 4, b"\0")
    data = rows.tobytes()
    content["bufferViews"].append({"buffer": 0, "byteOffset": len(binary), "byteLength": len(data)})
    content["accessors"].append(
        {
            "bufferView": len(content["bufferViews"]) - 1,
            "componentType": FLOAT,
            "count": len(rows),
            "type": kind,
            "min": [float(value) for value in rows.min(axis=0)],
            "max": [float(value) for value in rows.max(axis=0)],
        }
    )
    return binary + data


# --- the container -------------------------------------------------------------------------------


def split(data: bytes) -> tuple[dict[str, Any], bytes]:
    """The JSON and the binary part of a GLB file (4.4, GLB file format). ValueError where the data are something
    else."""
    magic, version, length = struct.unpack_from("<4sII", data)
    if (magic, version, length) != (MAGIC, VERSION, len(data)):
        raise ValueError("not a GLB file of version 2, or cut short")
    parts = dict(_chunks(data))
    return json.loads(parts[JSON_CHUNK]), parts[BINARY_CHUNK]


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    begin = 12
    while begin < len(data):
        length, kind = struct.unpack_from("<I4s", data, begin)
        yield kind, data[begin + 8 : begin + 8 + length]
        begin += 8 + length


def _joined(content: dict[str, Any], binary: bytes) -> bytes:
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    chunks = b""
    for kind, part, filler in ((JSON_CHUNK, text, b" "), (BINARY_CHUNK, binary, b"\0")):
        padded = part.ljust(-(-len(part) // 4) * 4, filler)
        chunks += struct.pack("<I4s", len(padded), kind) + padded
    return struct.pack("<4sII", MAGIC, VERSION, 12 + len(chunks)) + chunks


# --- reading back --------------------------------------------------------------------------------


def reread(path: Path, model: Model) -> None:
    """Names, size in metres, triangles and animation of the file on disk are what was meant; else ReadBackError."""
    try:
        content, binary = split(path.read_bytes())
        nodes = [node for node in content["nodes"] if "mesh" in node]
        for node, board in zip(nodes, model.scene.cut, strict=True):
            _compare(path.name, content, binary, node, board)
        moved = [channel["target"] for channel in content["animations"][0]["channels"]]
    except (ValueError, KeyError, IndexError, TypeError, AttributeError, struct.error) as err:
        raise ReadBackError(f"{path.name} cannot be read back: {err}") from None
    names = [content["nodes"][target["node"]]["name"] for target in moved if target["path"] == "translation"]
    if names != [board.name for board in model.scene.cut if any(board.away)]:
        raise ReadBackError(f"{path.name}: the animation moves {names}")


def _compare(file: str, content: dict[str, Any], binary: bytes, node: dict[str, Any], board: ShownPart) -> None:
    if node["name"] != board.name:
        raise ReadBackError(f"{file}: {board.name} reads back as {node['name']!r}")
    primitives = content["meshes"][node["mesh"]]["primitives"]
    count = sum(content["accessors"][primitive["indices"]]["count"] for primitive in primitives)
    if count != board.triangles.size:
        raise ReadBackError(f"{file}: {board.name} has {count // 3} triangles instead of {len(board.triangles)}")
    points = np.concatenate(
        [_numbers(content, binary, primitive["attributes"]["POSITION"]) for primitive in primitives]
    )
    # Metres and Y up: (x, y, z) of the piece becomes (x, z, -y).
    meant = board.points[:, [0, 2, 1]] * (MM, MM, -MM)
    for found, wanted in ((points.min(axis=0), meant.min(axis=0)), (points.max(axis=0), meant.max(axis=0))):
        if np.abs(found - wanted).max() > 1e-6:
            raise ReadBackError(f"{file}: {board.name} reaches to {found} m instead of {wanted}")


def _numbers(content: dict[str, Any], binary: bytes, number: int) -> np.ndarray:
    accessor = content["accessors"][number]
    view = content["bufferViews"][accessor["bufferView"]]
    begin = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
    return np.frombuffer(binary, "<f4", 3 * accessor["count"], begin).reshape(-1, 3).astype(np.float64)
