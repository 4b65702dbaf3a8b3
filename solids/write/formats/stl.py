"""STL, binary: 80 bytes of header, a little-endian count, then 50 bytes a facet (12 single-precision numbers: normal
and three corners; and an unused 16-bit attribute). Library of Congress format description fdd000505.

STL has no unit. These files are in millimetres, in the joint's frame, and their header says so.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt

from solids import __version__
from solids.base import tolerances as tol
from solids.base.errors import FaultError, ReadBackError
from solids.model import manifold
from solids.model.kernel import Mesh

HEADER_BYTES = 80
FACET = np.dtype(
    [("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")],
)


def stl_bytes(name: str, mesh: Mesh) -> bytes:
    """The STL file of one closed mesh (mm). `name` goes into the header."""
    corners = mesh.points.astype("<f4")[mesh.triangles]
    facets = np.zeros(len(corners), dtype=FACET)
    facets["corners"] = corners
    facets["normal"] = _normals(mesh.points[mesh.triangles])
    header = f"halfpin {__version__}, {name}, unit: millimetre".encode("ascii", "replace")[:HEADER_BYTES]
    if header.startswith(b"solid"):
        raise FaultError("STL: a binary header must not begin like the text form")
    return header.ljust(HEADER_BYTES) + np.array(len(facets), "<u4").tobytes() + facets.tobytes()


def _normals(corners: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    if not np.all(lengths > 0):
        raise FaultError("STL: a triangle without area")
    unit: npt.NDArray[np.float64] = normals / lengths
    return unit


def read_stl(path: Path) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.int64]]:
    """Points and triangles of a binary STL; corners that agree to the last bit are one point. ReadBackError where the
    size of the file is not what its own count says."""
    data = path.read_bytes()
    if len(data) < HEADER_BYTES + 4:
        raise ReadBackError(f"{path.name} is cut short")
    count = int(np.frombuffer(data, "<u4", 1, HEADER_BYTES)[0])
    if len(data) != HEADER_BYTES + 4 + count * FACET.itemsize:
        raise ReadBackError(f"{path.name} holds {len(data)} bytes, which is not {count} facets")
    facets = np.frombuffer(data, FACET, count, HEADER_BYTES + 4)
    corners = facets["corners"].reshape(-1, 3).astype(np.float64)
    points, index = np.unique(corners, axis=0, return_inverse=True)
    return points, index.reshape(-1, 3).astype(np.int64)


def reread(path: Path, volume: float, slack: float = 0.0) -> None:
    """Reads an STL file with Manifold and compares it with the solid's volume (mm3): one closed body, same size, but
    for the `slack` (mm3) that round faces leave."""
    points, triangles = read_stl(path)
    report = manifold.examine(points, triangles)
    if not report.closed or report.bodies != 1:
        raise ReadBackError(f"{path.name} is not one closed body ({report.status}, {report.bodies} bodies)")
    if abs(report.volume - volume) > tol.MESH_VOLUME_RELATIVE * volume + slack + _rounding(points, triangles):
        raise ReadBackError(f"{path.name} has {report.volume} mm3 instead of {volume}")


def _rounding(points: npt.NDArray[np.float64], triangles: npt.NDArray[np.int64]) -> float:
    """How far single precision may change the volume of a thin board (mm3): its surface, moved by half the last
    place."""
    corners = points[triangles]
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2
    return float(area * np.abs(points).max() * np.finfo(np.float32).eps / 2)
