"""Binary STL: the record layout of Library of Congress format description fdd000505, and what reading back finds."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest

from solids.base.errors import FaultError, ReadBackError
from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.kernel import Mesh
from solids.write.formats import stl
from tests.corners import CASES, case, job_of, meshes

BOARDS = ("tail", "pin")
HEADER, COUNT, FACET = 80, 4, 50


def mesh_and_volume(name: str, board: str) -> tuple[Mesh, float]:
    job = case(name)
    layout, state = job.layout, job.layout.as_cut
    if board == "tail":
        return meshes(job)[0], tail_board_volume(layout, state)
    return meshes(job)[1], pin_board_volume(layout, state)


def facets(data: bytes) -> np.ndarray:
    """(n, 4, 3) single-precision: normal and three corners, read by hand."""
    rows = [struct.unpack_from("<12fH", data, HEADER + COUNT + FACET * i) for i in range(count(data))]
    assert all(row[12] == 0 for row in rows), "the attribute is 0 in every facet"
    return np.array([row[:12] for row in rows], dtype=np.float64).reshape(-1, 4, 3)


def count(data: bytes) -> int:
    return int(struct.unpack_from("<I", data, HEADER)[0])


@pytest.fixture(scope="module")
def good() -> bytes:
    return stl.stl_bytes("tail board as cut", mesh_and_volume("through", "tail")[0])


@pytest.fixture(scope="module")
def volume() -> float:
    return mesh_and_volume("through", "tail")[1]


def written(folder: Path, data: bytes) -> Path:
    path = folder / "board.stl"
    path.write_bytes(data)
    return path


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_the_file_is_84_bytes_and_50_for_each_triangle_and_says_how_many(name: str, board: str) -> None:
    mesh, _ = mesh_and_volume(name, board)
    data = stl.stl_bytes("x", mesh)
    assert count(data) == len(mesh.triangles)
    assert len(data) == 84 + 50 * count(data)


def test_the_header_says_millimetre_and_does_not_begin_like_the_text_form(good: bytes) -> None:
    assert not good.startswith(b"solid")
    assert b"unit: millimetre" in good[:HEADER]
    assert b"tail board as cut" in good[:HEADER]
    assert good[:HEADER].isascii()


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_normals_are_unit_vectors_that_turn_with_the_corners_and_point_outward(name: str, board: str) -> None:
    mesh, volume = mesh_and_volume(name, board)
    normal, a, b, c = facets(stl.stl_bytes("x", mesh)).transpose(1, 0, 2)
    assert np.linalg.norm(normal, axis=1) == pytest.approx(1.0, abs=1e-6)
    turned = np.cross(b - a, c - a)
    twice_area = np.linalg.norm(turned, axis=1)
    assert np.einsum("ij,ij->i", normal, turned) == pytest.approx(twice_area, rel=1e-4)
    # By the divergence theorem the sum is the volume, positive only where the stored normals point outward.
    assert np.sum(np.einsum("ij,ij->i", a, normal) * twice_area) / 6 == pytest.approx(volume, rel=1e-5)


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_no_triangle_is_degenerate_in_single_precision(name: str, board: str) -> None:
    _, a, b, c = facets(stl.stl_bytes("x", mesh_and_volume(name, board)[0])).transpose(1, 0, 2)
    for first, second in ((a, b), (b, c), (c, a)):
        assert np.all(np.any(first != second, axis=1))
    assert np.all(np.linalg.norm(np.cross(b - a, c - a), axis=1) > 1e-4)


@pytest.mark.parametrize("board", BOARDS)
@pytest.mark.parametrize("name", CASES)
def test_a_good_file_reads_back(tmp_path: Path, name: str, board: str) -> None:
    mesh, volume = mesh_and_volume(name, board)
    stl.reread(written(tmp_path, stl.stl_bytes("x", mesh)), volume)


@pytest.mark.whole
def test_the_longest_thinnest_boards_read_back_in_single_precision(tmp_path: Path) -> None:
    job = job_of(
        "tool-tray",
        "joint.width=9999.9",
        "joint.tails=90",
        "tail_board.length=9999.9",
        "pin_board.length=9999.9",
        "tail_board.thickness=1.1",
        "pin_board.thickness=1.1",
    )
    layout, state = job.layout, job.layout.as_cut
    stl.reread(written(tmp_path, stl.stl_bytes("x", meshes(job)[0])), tail_board_volume(layout, state))
    stl.reread(written(tmp_path, stl.stl_bytes("x", meshes(job)[1])), pin_board_volume(layout, state))


def test_reading_gives_every_point_once(tmp_path: Path, good: bytes) -> None:
    points, triangles = stl.read_stl(written(tmp_path, good))
    assert len(np.unique(points, axis=0)) == len(points) == len(mesh_and_volume("through", "tail")[0].points)
    assert triangles.shape == (count(good), 3)


# --- planted faults ------------------------------------------------------------------------------


def with_count(data: bytes, number: int) -> bytes:
    return data[:HEADER] + struct.pack("<I", number) + data[HEADER + COUNT :]


@pytest.mark.parametrize("cut", [0, 40, 83, 84, 133, -50, -1])
def test_reading_back_finds_a_file_cut_short(tmp_path: Path, good: bytes, volume: float, cut: int) -> None:
    with pytest.raises(ReadBackError):
        stl.reread(written(tmp_path, good[:cut]), volume)


def test_reading_back_finds_a_wrong_count(tmp_path: Path, good: bytes, volume: float) -> None:
    n = count(good)
    # A public writer stores the size in bytes where the count belongs.
    for wrong in (0, n - 1, n + 1, 50 * n, 2**32 - 1):
        with pytest.raises(ReadBackError, match="facets"):
            stl.reread(written(tmp_path, with_count(good, wrong)), volume)


def test_reading_back_finds_one_flipped_triangle(tmp_path: Path, good: bytes, volume: float) -> None:
    at = HEADER + COUNT + FACET * 7 + 12
    flipped = good[:at] + good[at + 12 : at + 24] + good[at : at + 12] + good[at + 24 :]
    with pytest.raises(ReadBackError, match="not one closed body"):
        stl.reread(written(tmp_path, flipped), volume)


def test_reading_back_finds_a_missing_triangle(tmp_path: Path, good: bytes, volume: float) -> None:
    missing = with_count(good[:-FACET], count(good) - 1)
    with pytest.raises(ReadBackError, match="not one closed body"):
        stl.reread(written(tmp_path, missing), volume)


def test_reading_back_finds_an_empty_mesh(tmp_path: Path, good: bytes, volume: float) -> None:
    with pytest.raises(ReadBackError):
        stl.reread(written(tmp_path, with_count(good[: HEADER + COUNT], 0)), volume)


def test_reading_back_finds_a_body_turned_inside_out(tmp_path: Path, good: bytes, volume: float) -> None:
    mesh, _ = mesh_and_volume("through", "tail")
    inside_out = stl.stl_bytes("x", Mesh(mesh.points, mesh.triangles[:, ::-1]))
    with pytest.raises(ReadBackError):
        stl.reread(written(tmp_path, inside_out), volume)


def test_reading_back_finds_two_bodies(tmp_path: Path, volume: float) -> None:
    mesh, _ = mesh_and_volume("through", "tail")
    n = len(mesh.points)
    two = Mesh(
        np.concatenate([mesh.points, mesh.points + 1000.0]), np.concatenate([mesh.triangles, mesh.triangles + n])
    )
    with pytest.raises(ReadBackError, match="2 bodies"):
        stl.reread(written(tmp_path, stl.stl_bytes("x", two)), 2 * volume)


@pytest.mark.parametrize("share", [1 + 3e-6, 1 - 3e-6, 25.4**-3])
def test_reading_back_finds_a_wrong_volume(tmp_path: Path, good: bytes, volume: float, share: float) -> None:
    with pytest.raises(ReadBackError, match="mm3 instead of"):
        stl.reread(written(tmp_path, good), volume * share)


def test_a_triangle_without_area_is_refused_before_it_is_written() -> None:
    flat = Mesh(np.array([[0.0, 0, 0], [1, 0, 0], [2, 0, 0]]), np.array([[0, 1, 2]]))
    with pytest.raises(FaultError, match="without area"):
        stl.stl_bytes("x", flat)
