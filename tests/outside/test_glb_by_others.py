"""Other programs read our GLB: the format's own validator (package gltf-validator, for Node), and trimesh."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
from pathlib import Path

import pytest
import trimesh

from solids.box.view import box_scene
from solids.box_refusals import lay_out_box
from solids.recipe.boxes import read_box
from solids.write import gltf
from solids.write.box.files import prove_box_layout
from tests.corners import case

MODULES = Path(__file__).parent / "node"
NODE = shutil.which("node")

SCRIPT = """
const validator = require("gltf-validator"), fs = require("fs");
(async () => {
  const found = {};
  for (const path of process.argv.slice(1)) {
    found[path] = (await validator.validateBytes(new Uint8Array(fs.readFileSync(path)))).issues;
  }
  console.log(JSON.stringify(found));
})();
"""

needs_node = pytest.mark.skipif(
    NODE is None or not (MODULES / "node_modules" / "gltf-validator").is_dir(),
    reason="node or its package gltf-validator is not there (.ci/run installs it in tests/outside/node)",
)


def models() -> dict[str, bytes]:
    found = {}
    for name in ("through", "half-blind", "tight", "loose", "inches"):
        job = case(name)
        for gaps in (False, True):
            model = gltf.Model(job.scene, (job.cut.tail_board, job.cut.pin_board), gaps)
            found[f"{name}-{gaps}.glb"] = gltf.glb_bytes(model)
    proof = prove_box_layout(lay_out_box(read_box("desk-drawer"))).proof
    solids = tuple(part.in_place for part in proof.cut)
    found["box.glb"] = gltf.glb_bytes(gltf.Model(box_scene(proof), solids))
    return found


@pytest.mark.outside
@needs_node
def test_the_formats_own_validator_finds_nothing_at_all(tmp_path: Path) -> None:
    paths = []
    for name, data in models().items():
        paths.append(tmp_path / name)
        paths[-1].write_bytes(data)
    done = subprocess.run(
        [str(NODE), "-e", SCRIPT, *map(str, paths)], cwd=MODULES, capture_output=True, text=True, check=True
    )
    found = json.loads(done.stdout)
    assert len(found) == len(paths)
    for path, issues in found.items():
        assert (issues["numErrors"], issues["numWarnings"]) == (0, 0), (path, issues["messages"])


@pytest.mark.outside
@pytest.mark.parametrize("name", ["through", "half-blind"])
def test_trimesh_finds_two_closed_boards_of_the_right_size(name: str) -> None:
    job = case(name)
    data = gltf.glb_bytes(gltf.Model(job.scene, (job.cut.tail_board, job.cut.pin_board)))
    scene = trimesh.load(io.BytesIO(data), file_type="glb")
    assert set(scene.geometry) == {"tail board", "pin board"}
    layout = job.layout
    for part, volume in (
        ("tail board", layout.tail_board_volume(layout.as_cut)),
        ("pin board", layout.pin_board_volume(layout.as_cut)),
    ):
        mesh = scene.geometry[part]
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.volume * 1e9 == pytest.approx(volume, rel=1e-5)
    assert scene.extents[0] == pytest.approx(layout.width / 1000, abs=1e-6)
