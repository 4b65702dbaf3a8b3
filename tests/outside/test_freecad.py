"""FreeCAD reads our STEP files, headless, and finds the same solids with the same volumes.

By `Part.read`, and colours by its importer, which FreeCAD 0.20.2, as Debian ships it, needs a window for.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from solids.write.formats.step.parts import EDGE_RGB
from tests.corners import STEP_FILES, case, made, step_parts
from tests.outside.freecad import NEEDED, found_by

pytestmark = NEEDED

NAMES = ("through", "half-blind", "ends left proud, chamfered", "tight", "listed, no symmetry")

SCRIPT = """
import Part
for path in PATHS:
    shape = Part.read(path)
    found[path] = [[solid.Volume, solid.isValid(), solid.isClosed(), len(solid.Faces)] for solid in shape.Solids]
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[tuple[float, bool, bool, int]]]:
    """What FreeCAD finds in every STEP file of a few joints, all in one run: {"joint/file": [solid, ...]}."""
    folder = tmp_path_factory.mktemp("freecad")
    paths = {}
    for number, name in enumerate(NAMES):
        for file in STEP_FILES:
            path = folder / f"{number}-{file.replace('/', '-')}"
            path.write_bytes(made(case(name), file))
            paths[str(path)] = f"{name}/{file}"
    return {paths[path]: solids for path, solids in found_by(SCRIPT, folder, PATHS=[*paths]).items()}


@pytest.mark.parametrize("name", NAMES)
def test_freecad_finds_the_same_closed_solids_with_the_layouts_volumes(
    found: dict[str, list[tuple[float, bool, bool, int]]], name: str
) -> None:
    layout = case(name).layout
    tails, pins = (
        [volume(layout, state) for state in (layout.as_cut, layout.as_finished)]
        for volume in (tail_board_volume, pin_board_volume)
    )
    expected = {
        "corner.step": [tails[0], pins[0]],
        "corner-finished.step": [tails[1], pins[1]],
        "boards/tail-board.step": [tails[0]],
        "boards/pin-board.step": [pins[0]],
    }
    for file, volumes in expected.items():
        solids = found[f"{name}/{file}"]
        assert len(solids) == len(volumes)
        assert all(valid and closed for _, valid, closed, _ in solids)
        assert [solid[0] for solid in solids] == pytest.approx(volumes, rel=1e-9)
        if "finished" not in file:
            assert {solid[3] for solid in solids} == {4 * len(layout.tails) + 6}


COLOURS = """
import FreeCAD, FreeCADGui
FreeCADGui.showMainWindow()
import ImportGui
for number, path in enumerate(PATHS):
    document = FreeCAD.newDocument(f"d{number}")
    ImportGui.insert(path, document.Name)
    found[path] = [
        [[round(value, 4) for value in (*colour[:3], *face.CenterOfMass)]
         for colour, face in zip(one.ViewObject.DiffuseColor, one.Shape.Faces)]
        for one in document.Objects
        if hasattr(one, "Shape") and one.Shape.Solids and len(one.ViewObject.DiffuseColor) == len(one.Shape.Faces)
    ]
"""


def test_freecad_shows_each_reference_edge_in_its_colour_and_the_rest_as_the_wood(tmp_path: Path) -> None:
    """Its importer needs a window, which it draws off screen here. The tail board lies flat with its reference edge in
    Y = 0, the pin board stands with it in X = 0."""
    paths = {}
    for name in ("tail-board.step", "pin-board.step"):
        paths[name] = tmp_path / name
        paths[name].write_bytes(made(case("through"), f"boards/{name}"))
    found = found_by(COLOURS, tmp_path, PATHS=[str(path) for path in paths.values()])
    woods = [part.wood for part in step_parts(case("through").cut)]
    for path, wood, axis in zip(paths.values(), woods, (1, 0), strict=True):
        (faces,) = found[str(path)]
        edges = [face[3 + axis] == pytest.approx(0.0, abs=1e-9) for face in faces]
        for (*colour, _, _, _), is_edge in zip(faces, edges, strict=True):
            meant = EDGE_RGB if is_edge else wood.rgb
            assert colour == pytest.approx([value / 255 for value in meant], abs=1e-3)
        assert sum(edges) == 1
