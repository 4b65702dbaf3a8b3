"""Our STL files read by trimesh, by numpy alone, and by ADMesh, which mends broken files and must find nothing here."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import trimesh

from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from tests import corners
from tests.corners import CASES, case

pytestmark = pytest.mark.outside

BOARDS = ("boards/tail-board.stl", "boards/pin-board.stl")

# Library of Congress format description fdd000505: 12 little-endian single-precision numbers and 16 unused bits.
FACET = np.dtype([("normal", "<f4", 3), ("corner", "<f4", (3, 3)), ("unused", "<u2")])

ADMESH = shutil.which("admesh")


def made(name: str, file: str) -> tuple[bytes, float]:
    """The bytes of a board's file, and the volume that its layout has."""
    job = case(name)
    layout = job.layout
    volume = tail_board_volume if file == BOARDS[0] else pin_board_volume
    return corners.made(job, file), volume(layout, layout.as_cut)


@pytest.mark.parametrize("file", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_trimesh_finds_one_watertight_body_of_the_right_volume(name: str, file: str) -> None:
    data, volume = made(name, file)
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.is_volume
    assert mesh.body_count == 1
    assert mesh.euler_number == 2, "no hole goes through it"
    assert mesh.volume == pytest.approx(volume, rel=1e-6)


@pytest.mark.parametrize("file", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_numpy_alone_finds_every_edge_twice_and_the_right_volume(name: str, file: str) -> None:
    data, volume = made(name, file)
    count = int.from_bytes(data[80:84], "little")
    facets = np.frombuffer(data, FACET, offset=84)
    assert len(facets) == count
    assert not facets["unused"].any()
    corners = facets["corner"].astype(np.float64)
    edges = {
        (a.tobytes(), b.tobytes()) for row in facets["corner"] for a, b in zip(row, np.roll(row, -1, 0), strict=True)
    }
    assert len(edges) == 3 * count, "no edge is used twice in one direction"
    assert {(b, a) for a, b in edges} == edges, "each edge has its twin"
    assert np.linalg.det(corners).sum() / 6 == pytest.approx(volume, rel=1e-6)


@pytest.mark.skipif(ADMESH is None, reason="admesh is not installed (Debian package admesh)")
@pytest.mark.parametrize("file", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_admesh_mends_nothing(tmp_path: Path, name: str, file: str) -> None:
    data, volume = made(name, file)
    path = tmp_path / Path(file).name
    path.write_bytes(data)
    report = admesh(path)
    assert report["Number of parts"] == 1
    assert report["Total disconnected facets"] == 0
    mended = ("Degenerate facets", "Edges fixed", "Facets removed", "Facets added", "Facets reversed")
    assert {key: report[key] for key in (*mended, "Backwards edges", "Normals fixed")} == dict.fromkeys(
        (*mended, "Backwards edges", "Normals fixed"), 0
    )
    # ADMesh sums in single precision.
    assert report["Volume"] == pytest.approx(volume, rel=1e-5)


@pytest.mark.skipif(ADMESH is None, reason="admesh is not installed (Debian package admesh)")
def test_admesh_does_find_a_hole_and_a_turned_facet(tmp_path: Path) -> None:
    data, _ = made("through", BOARDS[0])
    count = int.from_bytes(data[80:84], "little")
    (tmp_path / "hole.stl").write_bytes(data[:80] + (count - 1).to_bytes(4, "little") + data[84:-50])
    assert admesh(tmp_path / "hole.stl")["Facets added"] > 0
    at = 84 + 12
    turned = data[:at] + data[at + 12 : at + 24] + data[at : at + 12] + data[at + 24 :]
    (tmp_path / "turned.stl").write_bytes(turned)
    assert admesh(tmp_path / "turned.stl")["Facets reversed"] > 0


def admesh(path: Path) -> dict[str, float]:
    """What ADMesh reports: the first number behind each label."""
    done = subprocess.run(
        [str(ADMESH), str(path)], capture_output=True, text=True, errors="replace", check=True, timeout=60
    )
    found = re.findall(r"([A-Z][a-z]+(?: [a-z]+)*) *: +(-?[\d.]+)", done.stdout)
    assert found, done.stdout
    return {label: float(number) for label, number in found}
