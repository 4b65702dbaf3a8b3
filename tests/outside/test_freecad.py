"""FreeCAD reads our STEP files, headless, and finds the same solids with the same volumes.

By `Part.read`. FreeCAD 0.20.2, as Debian ships it, ends at `Import.insert` on any STEP file.
"""

from __future__ import annotations

import pytest

from solids.layout.joint.volumes import pin_board_volume, tail_board_volume
from tests.corners import STEP_FILES, case, made
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
