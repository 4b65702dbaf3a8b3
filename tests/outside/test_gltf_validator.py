"""The format's own validator, by the Khronos Group, and trimesh, a second reader, look at our models of joints
and boxes (GLB).

The validator runs under Node, from `tests/outside/node`. `.ci/run` installs it there.
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.model.kernel import measure
from solids.write.formats.gltf import Model, glb_bytes
from tests.boxes import box_case
from tests.corners import CASES, job_of, titled
from tests.glb import opened, repacked

pytestmark = pytest.mark.outside

NODE = shutil.which("node")
HOME = Path(__file__).parent / "node"

needs_validator = pytest.mark.skipif(
    NODE is None or not (HOME / "node_modules" / "gltf-validator").is_dir(),
    reason="node or its module gltf-validator is not there (`npm install --prefix tests/outside/node`)",
)

SCRIPT = """
const fs = require("fs");
const validator = require("gltf-validator");
(async () => {
  const found = {};
  for (const path of JSON.parse(fs.readFileSync(0, "utf-8"))) {
    found[path] = await validator.validateBytes(new Uint8Array(fs.readFileSync(path)), { format: "glb" });
  }
  console.log(JSON.stringify(found));
})();
"""

JOINTS: dict[str, tuple[str, ...]] = {
    **CASES,
    "chamfered and hollow": (
        "drawer-front",
        *("entry_chamfer.width=0.8", "entry_chamfer.back=1.5", "undercut.depth=0.3", "undercut.land=1.5"),
    ),
    "a hundred tails": ("tool-tray", "joint.width=2410", "joint.tails=100"),
}

BOXES = ("keepsake", "drawer")


def model(joint: tuple[str, ...], *, with_gaps: bool = False) -> Model:
    job = job_of(*joint)
    return Model(job.job.scene, (job.cut.tail_board, job.cut.pin_board), with_gaps)


def model_of_box(name: str) -> Model:
    job = box_case(name)
    return Model(job.scene, tuple(part.in_place for part in job.proof.cut))


def validated(paths: list[Path]) -> dict[Path, dict[str, Any]]:
    """What the validator reports of each file."""
    done = subprocess.run(
        [str(NODE), "-e", SCRIPT],
        input=json.dumps([str(path) for path in paths]),
        capture_output=True,
        text=True,
        cwd=HOME,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return {Path(path): report for path, report in json.loads(done.stdout).items()}


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    """A report for every joint, plain and with gaps, and for every box, all by one process."""
    folder = tmp_path_factory.mktemp("glb")
    paths: dict[str, Path] = {}
    models = {
        f"{name}{', gaps' * with_gaps}": model(joint, with_gaps=with_gaps)
        for name, joint in JOINTS.items()
        for with_gaps in (False, True)
    }
    models |= {f"box: {name}": model_of_box(name) for name in BOXES}
    tray = titled("木工の引き出し, Kästchen")
    models["a title of many scripts"] = Model(tray.job.scene, (tray.cut.tail_board, tray.cut.pin_board))
    for number, (name, each) in enumerate(models.items()):
        paths[name] = folder / f"{number}.glb"
        paths[name].write_bytes(glb_bytes(each))
    found = validated(list(paths.values()))
    return {name: found[path] for name, path in paths.items()}


@needs_validator
@pytest.mark.parametrize(
    "name", [*(name + gaps for name in JOINTS for gaps in ("", ", gaps")), *(f"box: {name}" for name in BOXES)]
)
def test_the_validator_has_nothing_to_say(name: str, reports: dict[str, dict[str, Any]]) -> None:
    said = reports[name]["issues"]
    assert said["messages"] == []
    assert [said[kind] for kind in ("numErrors", "numWarnings", "numInfos", "numHints")] == [0, 0, 0, 0]
    assert not said["truncated"]


@needs_validator
@pytest.mark.parametrize("name", JOINTS)
def test_the_validator_counts_what_the_scene_has(name: str, reports: dict[str, dict[str, Any]]) -> None:
    found = reports[name]["info"]
    job = job_of(*JOINTS[name])
    assert found["version"] == "2.0"
    assert found["totalTriangleCount"] == sum(len(board.triangles) for board in job.job.scene.cut)
    assert (found["drawCallCount"], found["animationCount"], found["materialCount"]) == (2, 1, 2)
    assert not found["hasTextures"]
    assert not found["hasSkins"]
    assert found.get("resources", [{}])[0].get("mimeType") == "application/gltf-buffer"


@needs_validator
def test_the_validator_takes_a_title_of_many_scripts(reports: dict[str, dict[str, Any]]) -> None:
    assert reports["a title of many scripts"]["issues"]["messages"] == []


@needs_validator
def test_the_validator_does_find_a_normal_that_is_too_long_and_a_wrong_extent(tmp_path: Path) -> None:
    """So that the tests above can fail."""
    glb = opened(glb_bytes(model(CASES["through"])))
    attributes = glb.content["meshes"][0]["primitives"][0]["attributes"]
    accessor = glb.content["accessors"][attributes["NORMAL"]]
    begin = glb.content["bufferViews"][accessor["bufferView"]]["byteOffset"] + accessor["byteOffset"]
    long = glb.binary[:begin] + np.array([0.0, 0.0, 1.5], "<f4").tobytes() + glb.binary[begin + 12 :]
    glb.content["accessors"][attributes["POSITION"]]["max"][0] += 0.001
    path = tmp_path / "bad.glb"
    path.write_bytes(repacked(glb.content, long))
    codes = {message["code"] for message in validated([path])[path]["issues"]["messages"]}
    assert {"ACCESSOR_VECTOR3_NON_UNIT", "ACCESSOR_MAX_MISMATCH"} <= codes


@pytest.mark.parametrize("with_gaps", [False, True])
@pytest.mark.parametrize("name", JOINTS)
def test_trimesh_finds_both_boards_in_metres_whole_and_of_the_right_size(name: str, with_gaps: bool) -> None:
    job = job_of(*JOINTS[name])
    layout, recipe, cut = job.layout, job.layout.recipe, job.layout.as_cut
    scene: Any = trimesh.load(io.BytesIO(glb_bytes(model(JOINTS[name], with_gaps=with_gaps))), file_type="glb")
    assert scene.units in (None, "meters")
    meant = {
        "tail board": (
            (layout.width, cut.show_z, recipe.tail_board.length + cut.tail_end),
            tail_board_volume(layout, cut),
        ),
        "pin board": ((layout.width, recipe.pin_board.length + cut.pin_end, cut.show_y), pin_board_volume(layout, cut)),
    }
    for board, (size, volume) in meant.items():
        # Where a board has several materials, trimesh hangs a mesh for each below its node.
        pieces = [
            scene.geometry[name].copy().apply_transform(place)
            for node in scene.graph.nodes_geometry
            for place, name in [scene.graph.get(node)]
            if board in (node, scene.graph.transforms.parents[node])
        ]
        assert pieces
        whole: Any = trimesh.util.concatenate(pieces)
        assert whole.extents * 1000 == pytest.approx(size, abs=1e-3)
        whole.merge_vertices(merge_norm=True, merge_tex=True)
        assert whole.is_watertight
        assert whole.volume * 1e9 == pytest.approx(volume, rel=1e-5)
    if not with_gaps:
        assert set(scene.geometry) == set(meant)
    low, high = scene.bounds * 1000
    assert low == pytest.approx([0, -recipe.pin_board.length, -max(cut.tail_end, cut.show_y)], abs=1e-3)
    assert high == pytest.approx([layout.width, max(cut.pin_end, cut.show_z), recipe.tail_board.length], abs=1e-3)


@pytest.mark.parametrize("name", BOXES)
def test_trimesh_finds_every_board_of_a_box_whole_and_as_large_as_its_solid(name: str) -> None:
    parts = {part.name: part.in_place for part in box_case(name).proof.cut}
    scene: Any = trimesh.load(io.BytesIO(glb_bytes(model_of_box(name))), file_type="glb")
    assert set(scene.geometry) == set(parts)
    for board, solid in parts.items():
        mesh = scene.geometry[board]
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.is_watertight
        assert mesh.volume * 1e9 == pytest.approx(measure(solid).volume, rel=1e-5)
