"""GLB: metres, Y up, named parts, one material each, the way in as an animation."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from solids.errors import ReadBackError
from solids.scene import GAPS
from solids.write import gltf
from tests.corners import case, job_of, titled

NAMES = ("through", "half-blind", "tight", "ends left proud, chamfered")


def model_of(name: str = "through", *, with_gaps: bool = False) -> gltf.Model:
    job = case(name)
    return gltf.Model(job.scene, (job.cut.tail_board, job.cut.pin_board), with_gaps)


def numbers(content: dict[str, Any], binary: bytes, number: int) -> np.ndarray:
    accessor = content["accessors"][number]
    view = content["bufferViews"][accessor["bufferView"]]
    kinds = {5126: "<f4", 5123: "<u2", 5125: "<u4"}
    width = {"SCALAR": 1, "VEC3": 3}[accessor["type"]]
    begin = view.get("byteOffset", 0) + accessor.get("byteOffset", 0)
    data = np.frombuffer(binary, kinds[accessor["componentType"]], width * accessor["count"], begin)
    return data.reshape(-1, width).astype(float)


@pytest.mark.parametrize("with_gaps", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_parts_are_named_closed_and_as_large_as_the_boards_in_metres(name: str, with_gaps: bool) -> None:
    layout = case(name).layout
    content, binary = gltf.split(gltf.glb_bytes(model_of(name, with_gaps=with_gaps)))
    nodes = [node for node in content["nodes"] if "mesh" in node]
    assert [node["name"] for node in nodes] == ["tail board", "pin board"]
    volumes = (layout.tail_board_volume(layout.as_cut), layout.pin_board_volume(layout.as_cut))
    for node, volume in zip(nodes, volumes, strict=True):
        total = 0.0
        for primitive in content["meshes"][node["mesh"]]["primitives"]:
            points = numbers(content, binary, primitive["attributes"]["POSITION"])
            normals = numbers(content, binary, primitive["attributes"]["NORMAL"])
            corners = points[numbers(content, binary, primitive["indices"]).astype(int).reshape(-1, 3)]
            total += float(np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6)
            assert np.allclose(np.linalg.norm(normals, axis=1), 1.0, atol=1e-5)
        assert total * 1e9 == pytest.approx(volume, rel=1e-5)
    boards = case(name).scene.cut
    wide = np.ptp(numbers(content, binary, 0)[:, 0])
    assert wide == pytest.approx(layout.width / 1000, abs=1e-6) or with_gaps
    assert len(boards) == 2


def test_y_is_up_and_z_toward_the_viewer() -> None:
    content, binary = gltf.split(gltf.glb_bytes(model_of()))
    points = numbers(content, binary, content["meshes"][0]["primitives"][0]["attributes"]["POSITION"])
    layout = case("through").layout
    assert points[:, 1].max() == pytest.approx(layout.as_cut.show_z / 1000, abs=1e-6), "the show face of the tail board"
    assert points[:, 2].min() == pytest.approx(-layout.as_cut.tail_end / 1000, abs=1e-6), "the tails point away"


def test_each_part_has_one_material_of_its_wood_and_no_shine() -> None:
    job = case("through")
    content, _ = gltf.split(gltf.glb_bytes(model_of()))
    assert len(content["materials"]) == 2
    for material, board in zip(content["materials"], job.scene.cut, strict=True):
        assert material["name"] == f"{board.name}: {board.wood.name}"
        shade = material["pbrMetallicRoughness"]
        assert shade["metallicFactor"] == 0
        assert 0.6 <= shade["roughnessFactor"] <= 0.9
        # Linear light from sRGB, IEC 61966-2-1.
        meant = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (p / 255 for p in board.wood.rgb)]
        assert shade["baseColorFactor"] == pytest.approx([*meant, 1.0], abs=2e-3)


def test_gaps_have_materials_of_their_own() -> None:
    content, _ = gltf.split(gltf.glb_bytes(model_of("tight", with_gaps=True)))
    words = {gap.name: gap.words for gap in GAPS}
    names = [material["name"] for material in content["materials"]]
    assert f"tail board: {words['tight']}" in names
    assert f"pin board: {words['right']}" in names
    assert not any(words["loose"] in name for name in names)


def test_the_tail_board_begins_above_and_comes_home() -> None:
    content, binary = gltf.split(gltf.glb_bytes(model_of()))
    (animation,) = content["animations"]
    (channel,), (sampler,) = animation["channels"], animation["samplers"]
    assert content["nodes"][channel["target"]["node"]]["name"] == "tail board"
    times, places = (numbers(content, binary, sampler[key]) for key in ("input", "output"))
    assert (np.diff(times[:, 0]) > 0).all()
    assert places[0] == pytest.approx([0, case("through").scene.apart / 1000, 0], abs=1e-6)
    assert (places[1:] == 0).all()


@pytest.mark.parametrize("title", ["Schöne Lade", "日本の箱", 'a "b" & <c>'])
def test_any_title_is_the_name_of_the_whole(title: str) -> None:
    job = titled(title)
    content, _ = gltf.split(gltf.glb_bytes(gltf.Model(job.scene, (job.cut.tail_board, job.cut.pin_board))))
    assert title in [node.get("name") for node in content["nodes"]]


def test_the_same_model_gives_the_same_bytes() -> None:
    assert gltf.glb_bytes(model_of()) == gltf.glb_bytes(model_of())


def renamed(content: dict[str, Any]) -> None:
    next(node for node in content["nodes"] if "mesh" in node)["name"] = "lid"


def still(content: dict[str, Any]) -> None:
    content["animations"][0]["channels"] = []


def short(content: dict[str, Any]) -> None:
    content["accessors"][content["meshes"][0]["primitives"][0]["indices"]]["count"] -= 3


def gone(content: dict[str, Any]) -> None:
    del content["animations"]


@pytest.mark.parametrize("harm", [renamed, still, short, gone])
def test_a_file_that_is_not_what_was_meant_is_refused(tmp_path: Path, harm: Callable[[dict[str, Any]], None]) -> None:
    path = tmp_path / "corner.glb"
    data = gltf.glb_bytes(model_of())
    path.write_bytes(data)
    gltf.reread(path, model_of())
    content, binary = gltf.split(data)
    harm(content)
    path.write_bytes(gltf._joined(content, binary))
    with pytest.raises(ReadBackError):
        gltf.reread(path, model_of())


def test_a_file_in_millimetres_or_cut_short_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "corner.glb"
    data = gltf.glb_bytes(model_of())
    path.write_bytes(data[:-4])
    with pytest.raises(ReadBackError, match="cannot be read back"):
        gltf.reread(path, model_of())
    content, binary = gltf.split(data)
    scaled = np.frombuffer(binary, "<f4").copy() * np.float32(1000)
    path.write_bytes(gltf._joined(content, scaled.tobytes()))
    with pytest.raises(ReadBackError, match="reaches to"):
        gltf.reread(path, model_of())


def test_the_json_is_compact_and_names_this_tool() -> None:
    content, _ = gltf.split(
        gltf.glb_bytes(gltf.Model(job_of().scene, (job_of().cut.tail_board, job_of().cut.pin_board)))
    )
    assert content["asset"]["generator"].startswith("halfpin ")
    assert len(json.dumps(content)) < 6000
