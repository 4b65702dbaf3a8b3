"""Other people's programs subtract our waste from blocks of the sawn size, and what they have left is the board as cut.

FreeCAD, headless, by `Part.read`, which tells no names: its solids are known by their middles. CadQuery and build123d
(Apache 2.0) by the names that they read; build123d writes an underscore for a space. It wants another version of the
kernel than ours, so it has an environment of its own, which stays with pytest's cache.
"""

from __future__ import annotations

import json
import subprocess
import sys
import venv
from pathlib import Path
from typing import Any

import cadquery as cq
import pytest

from solids.model.kernel import measure
from solids.proof.waste import proved_waste
from solids.write.files.table import Job, files_of
from tests.boxes import box_case
from tests.corners import case
from tests.layout.lopsided import lopsided
from tests.outside.freecad import COMMAND, found_by

pytestmark = pytest.mark.outside

PIECES = {
    "through": lambda: case("through").job,
    "half-blind": lambda: case("half-blind").job,
    "ends left proud": lambda: case("ends left proud, chamfered").job,
    "drawer": lambda: box_case("drawer"),
    "odd box": lambda: box_case("odd"),
    "back above the bottom": lambda: lopsided("back above the bottom"),
}

IN_FREECAD = """
import FreeCAD
import Part

def nearest(solids, centre):
    best = min(solids, key=lambda solid: (solid.CenterOfMass - FreeCAD.Vector(*centre)).Length)
    assert (best.CenterOfMass - FreeCAD.Vector(*centre)).Length < 1e-6
    return best

for path in PATHS:
    piece = json.load(open(path))
    waste, whole = Part.read(piece["waste"]).Solids, Part.read(piece["whole"]).Solids
    for name, board in piece["boards"].items():
        x, y, z = board["blank"]
        block = Part.makeBox(x[1] - x[0], y[1] - y[0], z[1] - z[0], FreeCAD.Vector(x[0], y[0], z[0]))
        block.Placement = FreeCAD.Placement(FreeCAD.Matrix(*sum(board["rows"], []), 0, 0, 0, 1))
        tools = [nearest(waste, centre) for centre in board["waste"].values()]
        left, meant = block.cut(tools), nearest(whole, board["middle"])
        found[path + name] = [
            left.Volume, left.isValid(), len(left.Solids), meant.Volume, left.common(meant).Volume, len(waste),
        ]
"""

IN_BUILD123D = """
import json, sys
from build123d import Box, Location, Plane, Pos, import_step

found = {}
for path in sys.argv[1:]:
    piece = json.load(open(path))
    waste = {child.label: child for child in import_step(piece["waste"]).children}
    for name, board in piece["boards"].items():
        low, size = [a for a, _ in board["blank"]], [b - a for a, b in board["blank"]]
        block = Pos(*(a + s / 2 for a, s in zip(low, size))) * Box(*size)
        rows = board["rows"]
        frame = Plane(
            origin=[row[3] for row in rows], x_dir=[row[0] for row in rows], z_dir=[row[2] for row in rows]
        )
        left = Location(frame) * block - [waste[tool.replace(" ", "_")] for tool in board["waste"]]
        solids = left.solids()
        found[path + name] = [sum(s.volume for s in solids), all(s.is_valid for s in solids), len(solids)]
print("FOUND " + json.dumps(found))
"""


@pytest.fixture(scope="module")
def pieces(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Job]:
    """For each piece a file that says where its two STEP files are, and where each board and its waste belong."""
    folder = tmp_path_factory.mktemp("waste")
    found = {}
    for number, make in enumerate(PIECES.values()):
        job = make()
        files = {file.name: file for file in files_of(job, "corner")}
        paths = {"waste": folder / f"{number}-waste.step", "whole": folder / f"{number}-whole.step"}
        paths["waste"].write_bytes(files["waste.step"].make())
        paths["whole"].write_bytes(files["box.step" if job.proof.assembly.box else "corner.step"].make())
        described = {**{key: str(path) for key, path in paths.items()}, "boards": boards(job)}
        path = folder / f"{number}.json"
        path.write_text(json.dumps(described), "utf-8")
        found[path] = job
    return found


def boards(job: Job) -> dict[str, Any]:
    parts = {part.name: part for part in job.proof.cut}
    return {
        board.name: {
            "blank": [board.blank.x, board.blank.y, board.blank.z],
            "rows": [list(row) for row in parts[board.name].rows],
            "middle": measure(parts[board.name].in_place).centroid,
            "waste": {part.name: measure(part.in_place).centroid for part in board.waste},
        }
        for board in proved_waste(job.proof.assembly, job.proof.cut)
    }


def meant(pieces: dict[Path, Job]) -> dict[str, float]:
    """The volume of every board by its formula."""
    return {
        f"{path}{name}": job.proof.assembly.volume(name, finished=False)
        for path, job in pieces.items()
        for name in boards(job)
    }


@pytest.mark.skipif(COMMAND is None, reason="neither freecadcmd nor FreeCADCmd is on PATH (Debian package freecad)")
def test_freecad_is_left_with_the_boards(pieces: dict[Path, Job], tmp_path: Path) -> None:
    found = found_by(IN_FREECAD, tmp_path, PATHS=[*map(str, pieces)])
    expected = meant(pieces)
    assert found.keys() == expected.keys()
    for key, (volume, valid, solids, own, shared, _) in found.items():
        assert (valid, solids) == (True, 1)
        assert [volume, own, shared] == pytest.approx([expected[key]] * 3, rel=1e-9)
    bodies = {key: row[5] for key, row in found.items()}
    assert all(bodies[f"{path}{name}"] == len(job.solids.waste) for path, job in pieces.items() for name in boards(job))


def test_cadquery_is_left_with_the_boards(pieces: dict[Path, Job]) -> None:
    expected = meant(pieces)
    for path, job in pieces.items():
        piece = json.loads(path.read_text("utf-8"))
        read = cq.Assembly.importStep(piece["waste"])
        waste = {part.name: part.obj.moved(part.loc) for part in read.children}
        assert set(waste) == {part.name for part in job.solids.waste}
        for name, board in piece["boards"].items():
            low, high = zip(*board["blank"], strict=True)
            block = cq.Solid.makeBox(*(b - a for a, b in zip(low, high, strict=True)), cq.Vector(*low))
            rows = board["rows"]
            frame = cq.Plane([row[3] for row in rows], [row[0] for row in rows], [row[2] for row in rows])
            left = block.moved(cq.Location(frame)).cut(*(waste[tool] for tool in board["waste"]))
            assert left.isValid()
            assert len(left.Solids()) == 1
            assert left.Volume() == pytest.approx(expected[f"{path}{name}"], rel=1e-9)


@pytest.fixture(scope="module")
def build123d(request: pytest.FixtureRequest) -> Path:
    """The Python of an environment that has build123d; what hinders it is told where it cannot be had."""
    home = request.config.cache.mkdir("build123d") / f"{sys.version_info.major}.{sys.version_info.minor}"
    python = home / "bin" / "python"
    if not python.exists() or subprocess.run([python, "-c", "import build123d"], check=False).returncode:
        venv.create(home, with_pip=True, clear=True)
        done = subprocess.run(
            [python, "-m", "pip", "install", "--quiet", "build123d>=0.9"],
            capture_output=True,
            text=True,
            check=False,
            timeout=900,
        )
        if done.returncode:
            pytest.skip(f"build123d cannot be installed here: {done.stderr.strip().splitlines()[-1]}")
    return python


def test_build123d_is_left_with_the_boards(pieces: dict[Path, Job], build123d: Path) -> None:
    done = subprocess.run(
        [build123d, "-c", IN_BUILD123D, *map(str, pieces)], capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0, done.stderr[-2000:]
    (line,) = (line for line in done.stdout.splitlines() if line.startswith("FOUND "))
    found, expected = json.loads(line.removeprefix("FOUND ")), meant(pieces)
    assert found.keys() == expected.keys()
    for key, (volume, valid, solids) in found.items():
        assert (valid, solids) == (True, 1)
        assert volume == pytest.approx(expected[key], rel=1e-9)
