"""The macro among the examples opens a piece in FreeCAD as a tree of named boards, headless, each in its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.model.kernel import measure
from solids.write.files.table import files_of
from tests import boxes
from tests.corners import piece_of
from tests.outside.freecad import NEEDED, found_by

pytestmark = NEEDED

MACRO = Path(__file__).parents[2] / "exports" / "open-piece.FCMacro"

SCRIPT = """
import os
for path in PATHS:
    os.environ["PIECE"] = path
    there = {}
    exec(compile(open(MACROS[0], encoding="utf-8").read(), MACROS[0], "exec"), there)
    document = there["FreeCAD"].ActiveDocument
    (group,) = [each for each in document.Objects if each.TypeId == "App::DocumentObjectGroup"]
    parts = [(each.Label, each.Shape.Volume, list(each.Shape.Solids[0].CenterOfMass)) for each in group.Group]
    found[path] = [group.Label, parts]
"""


@pytest.mark.parametrize("name", ["tool-tray", "keepsake-box"])
def test_every_board_is_there_by_name_in_its_place(tmp_path: Path, name: str) -> None:
    is_box = name == "keepsake-box"
    job = boxes.job_of_box(name) if is_box else piece_of(name)
    path = tmp_path / "piece.step"
    (file,) = [file for file in files_of(job, "corner") if file.name == ("box.step" if is_box else "corner.step")]
    path.write_bytes(file.make())
    title, parts = found_by(SCRIPT, tmp_path, PATHS=[str(path)], MACROS=[str(MACRO)])[str(path)]
    assert title == job.title
    meant = {part.name: measure(part.in_place) for part in job.proof.cut}
    assert sorted(label for label, _, _ in parts) == sorted(meant)
    for label, volume, centre in parts:
        assert volume == pytest.approx(meant[label].volume, rel=1e-9)
        assert centre == pytest.approx(meant[label].centroid, abs=1e-6)
