"""Reads GLB files as the glTF 2.0 specification has them (Khronos Group; 3.6 and 4.4), in numpy and nothing of ours."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

KINDS = {5121: "u1", 5123: "<u2", 5125: "<u4", 5126: "<f4"}
WIDTHS = {"SCALAR": 1, "VEC3": 3}


@dataclass(frozen=True)
class Part:
    """One primitive: the corners of its triangles (m, 3, 3) and the normals there, and its material."""

    corners: Array
    normals: Array
    material: dict[str, Any]


@dataclass(frozen=True)
class Glb:
    """A GLB file taken apart."""

    content: dict[str, Any]
    binary: bytes

    def numbers(self, accessor: int) -> Array:
        """The rows of an accessor: (count, width)."""
        record = self.content["accessors"][accessor]
        view = self.content["bufferViews"][record["bufferView"]]
        kind, width = np.dtype(KINDS[record["componentType"]]), WIDTHS[record["type"]]
        assert view.get("byteStride", kind.itemsize * width) == kind.itemsize * width, "rows lie close together"
        begin = view.get("byteOffset", 0) + record.get("byteOffset", 0)
        size = record["count"] * width * kind.itemsize
        assert begin % kind.itemsize == 0
        assert begin + size <= view.get("byteOffset", 0) + view["byteLength"] <= len(self.binary)
        return np.frombuffer(self.binary[begin : begin + size], kind).reshape(-1, width).astype(np.float64)

    @cached_property
    def nodes(self) -> dict[str, dict[str, Any]]:
        """Those that show a mesh, by name."""
        return {node["name"]: node for node in self.content["nodes"] if "mesh" in node}

    def parts(self, board: str) -> list[Part]:
        """The primitives of a board."""
        found = []
        for primitive in self.content["meshes"][self.nodes[board]["mesh"]]["primitives"]:
            assert primitive.get("mode", 4) == 4, "triangles"
            index = self.numbers(primitive["indices"]).astype(np.int64).reshape(-1, 3)
            points, normals = (self.numbers(primitive["attributes"][name]) for name in ("POSITION", "NORMAL"))
            found.append(Part(points[index], normals[index], self.content["materials"][primitive["material"]]))
        return found

    def corners(self, board: str) -> Array:
        """(m, 3, 3): the corners of all triangles of a board, in metres, Y up."""
        return np.concatenate([part.corners for part in self.parts(board)])


def opened(data: bytes) -> Glb:
    """A GLB file with its two chunks, checked on the way."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    chunks, begin = [], 12
    while begin < length:
        size, kind = struct.unpack_from("<I4s", data, begin)
        assert size % 4 == 0
        chunks.append((kind, data[begin + 8 : begin + 8 + size]))
        begin += 8 + size
    assert begin == length
    assert [kind for kind, _ in chunks] == [b"JSON", b"BIN\0"]
    content, binary = json.loads(chunks[0][1]), chunks[1][1]
    (buffer,) = content["buffers"]
    assert "uri" not in buffer
    assert 0 <= len(binary) - buffer["byteLength"] < 4, "no more than the padding follows"
    return Glb(content, binary)


def repacked(content: dict[str, Any], binary: bytes) -> bytes:
    """A GLB file of these two parts."""
    text = json.dumps(content).encode()
    chunks = b""
    for kind, part, filler in ((b"JSON", text, b" "), (b"BIN\0", binary, b"\0")):
        padded = part + filler * (-len(part) % 4)
        chunks += struct.pack("<I4s", len(padded), kind) + padded
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def read(path: Path) -> Glb:
    """A GLB file on disk."""
    return opened(path.read_bytes())
