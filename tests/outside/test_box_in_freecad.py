"""FreeCAD reads the assembly of a box, headless: every board, its volume and its place."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from solids.kernel import measure
from solids.write.box.files import write_box
from tests.boxes import box_case

COMMAND = shutil.which("freecadcmd") or shutil.which("FreeCADCmd")

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(COMMAND is None, reason="neither freecadcmd nor FreeCADCmd is on PATH (Debian package freecad)"),
]

SCRIPT = """
import json
import Part
found = {}
for path in PATHS:
    shape = Part.read(path)
    box = shape.BoundBox
    found[path] = {
        "solids": [[s.Volume, s.isValid(), list(s.CenterOfMass)] for s in shape.Solids],
        "box": [box.XMin, box.YMin, box.ZMin, box.XMax, box.YMax, box.ZMax],
    }
print("FOUND " + json.dumps(found))
"""


def test_every_board_is_there_with_its_volume_in_its_place(tmp_path: Path) -> None:
    cases = ("keepsake", "drawer", "odd", "plugged")
    jobs = {}
    for name in cases:
        folder = write_box(box_case(name), tmp_path / name).folder
        jobs[str(folder / "box.step")] = (box_case(name), box_case(name).proof.cut)
        jobs[str(folder / "box-finished.step")] = (box_case(name), box_case(name).proof.finished)
    script = tmp_path / "read.py"
    script.write_text(SCRIPT.replace("PATHS", repr(list(jobs))), "utf-8")
    done = subprocess.run(
        [str(COMMAND), str(script)],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "HOME": str(tmp_path)},
    )
    (line,) = [line for line in done.stdout.splitlines() if line.startswith("FOUND ")]
    found = json.loads(line.removeprefix("FOUND "))
    for path, (job, parts) in jobs.items():
        sizes = [measure(part.in_place) for part in parts]
        meant = sorted(sizes, key=lambda each: [round(x, 3) for x in each.centroid])
        solids = sorted(found[path]["solids"], key=lambda each: [round(x, 3) for x in each[2]])
        assert len(solids) == len(parts)
        for (volume, valid, centre), size in zip(solids, meant, strict=True):
            assert valid
            assert volume == pytest.approx(size.volume, rel=1e-9)
            assert centre == pytest.approx(size.centroid, abs=1e-6)
        if path.endswith("finished.step"):
            assert found[path]["box"] == pytest.approx([0, 0, 0, *job.box.outside, job.box.recipe.height], abs=1e-6)
