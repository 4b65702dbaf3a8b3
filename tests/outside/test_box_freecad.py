"""FreeCAD reads the files of boxes, headless: each board's volume and its middle, the size of the whole, and the STL
files of the boards, each in its place.

By `Part.read` and `Mesh.Mesh`. What is meant comes twice: from slices of the recipe and the text of the file, which
share nothing with our solids; and from our own measures of them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from solids.model.kernel import measure
from solids.recipe.tables.box_resolved import SIDES
from solids.write.files.table import Job, write_files
from tests.boxes import box_case
from tests.layout.lopsided import lopsided
from tests.model.by_slices import board_volume
from tests.outside.freecad import NEEDED, found_by
from tests.outside.plane_solids import solids_of
from tests.part21 import read_step
from tests.write.test_box_assembly import placements

pytestmark = NEEDED

LOPSIDED = ("stopped", "back above the bottom")
NAMES = (*LOPSIDED, "keepsake")
MEASURED = ("keepsake", "drawer", "odd", "plugged")
FILES = ("box.step", "box-finished.step")

SCRIPT = """
import Mesh
import Part
for path in STEPS:
    shape = Part.read(path)
    box = shape.BoundBox
    found[path] = {
        "solids": [[s.Volume, s.isValid(), s.isClosed(), list(s.CenterOfMass)] for s in shape.Solids],
        "box": [box.XMin, box.YMin, box.ZMin, box.XMax, box.YMax, box.ZMax],
    }
for path in MESHES:
    mesh = Mesh.Mesh(path)
    box = mesh.BoundBox
    found[path] = {
        "solid": [mesh.Volume, mesh.isSolid(), mesh.hasNonManifolds()],
        "box": [box.XMin, box.YMin, box.ZMin, box.XMax, box.YMax, box.ZMax],
    }
"""


def job_of(name: str) -> Job:
    return lopsided(name) if name in LOPSIDED else box_case(name)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What FreeCAD finds in every file, all in one run: {"box/file": ...}."""
    out = tmp_path_factory.mktemp("freecad")
    keys: dict[str, str] = {}
    for name in dict.fromkeys((*NAMES, *MEASURED)):
        folder = write_files(job_of(name), out / name.replace(" ", "-")).folder
        keys |= {str(path): f"{name}/{path.name}" for path in (*folder.glob("box*.step"), *folder.rglob("*.stl"))}
    steps, meshes = ([path for path in keys if path.endswith(end)] for end in (".step", ".stl"))
    read = found_by(SCRIPT, out, STEPS=steps, MESHES=meshes)
    return {keys[path]: {**value, "path": path} for path, value in read.items()}


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", NAMES)
def test_every_board_has_its_volume_where_its_placement_has_it(found: dict[str, Any], name: str, file: str) -> None:
    """Matched by the middle of each solid, which the text of the file gives: its planes, and each part's placement."""
    job, read = job_of(name), found[f"{name}/{file}"]
    with open(read["path"], "rb") as handle:
        step = read_step(handle.read())
    solids, placed = solids_of(step), placements(step)
    assert len(read["solids"]) == len(placed) == 5
    left = list(read["solids"])
    for occurrence, (product, turn, shift) in placed.items():
        middle = turn @ solids[product].centroid + shift
        nearest = min(left, key=lambda solid: float(np.linalg.norm(np.array(solid[3]) - middle)))
        left.remove(nearest)
        volume, valid, closed, centre = nearest
        assert valid
        assert closed
        assert centre == pytest.approx(middle, abs=1e-6), occurrence
        meant = job.proof.box.panel.volume if job.proof.box.panel else 0.0
        if occurrence in SIDES:
            meant = board_volume(job.proof.box, occurrence, finished=file == FILES[1])  # type: ignore[arg-type]
        assert volume == pytest.approx(meant, rel=1e-9), occurrence


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("name", MEASURED)
def test_every_board_is_there_as_we_measure_it(found: dict[str, Any], name: str, file: str) -> None:
    job, read = job_of(name), found[f"{name}/{file}"]
    parts = job.proof.finished if file == FILES[1] else job.proof.cut
    meant = sorted((measure(part.in_place) for part in parts), key=lambda each: [round(x, 3) for x in each.centroid])
    solids = sorted(read["solids"], key=lambda each: [round(x, 3) for x in each[3]])
    assert len(solids) == len(parts)
    for (volume, valid, _, centre), size in zip(solids, meant, strict=True):
        assert valid
        assert volume == pytest.approx(size.volume, rel=1e-9)
        assert centre == pytest.approx(size.centroid, abs=1e-6)
    if file == FILES[1]:
        assert read["box"] == pytest.approx([0, 0, 0, *job.proof.box.outside, job.proof.box.recipe.height], abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_the_whole_is_as_large_as_it_says(found: dict[str, Any], name: str) -> None:
    box = job_of(name).proof.box
    size = [*box.outside, box.recipe.height]
    assert found[f"{name}/box-finished.step"]["box"] == pytest.approx([0, 0, 0, *size], abs=1e-6)
    planed, corner = box.planing, box.recipe.corners["back right"]
    x, y = corner.pin_board.proud, corner.tail_board.proud
    if not box.recipe.tails_on_sides:
        x, y = y, x
    low, high = found[f"{name}/box.step"]["box"][:3], found[f"{name}/box.step"]["box"][3:]
    assert high == pytest.approx([size[0] + planed + x, size[1] + planed + y, size[2]], abs=1e-6)
    assert low[2] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_each_stl_is_one_solid_as_it_lies_in_the_machine(found: dict[str, Any], name: str) -> None:
    """STL and FreeCAD's meshes hold single precision: a volume to 1e-5 of itself, a place to 1e-4 mm."""
    job = job_of(name)
    for side in (*SIDES, "bottom"):
        read = found[f"{name}/{side}.stl"]
        volume, solid, broken = read["solid"]
        assert (solid, broken) == (True, False)
        meant = job.proof.box.panel.volume if job.proof.box.panel else 0.0
        if side in SIDES:
            meant = board_volume(job.proof.box, side, finished=False)  # type: ignore[arg-type]
        assert volume == pytest.approx(meant, rel=1e-5), side
        lies = job.boards[side].lies
        lowest, highest = zip(lies.x, lies.y, (-lies.height, 0.0), strict=True)
        assert read["box"] == pytest.approx([*lowest, *highest], abs=1e-4), side
