"""FreeCAD and CadQuery read the STEP file of a waisted marking template: true cylinders, and the slopes asked for.

Both find the faces by themselves, and neither knows our sizes. FreeCAD mends a file where it must; it is asked whether
what it has is valid.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from solids.aids.making.aid import Aid
from solids.aids.making.modelling import surface_of
from solids.aids.marking.sizes import INNER, OUTER
from solids.model.kernel import volume_of
from solids.write.files.aid_files import MILLED
from solids.write.formats import step, stl
from tests.aids.marking.helpers import WHOLE, made
from tests.outside.freecad import NEEDED, found_by
from tests.outside.test_aids_sliced import COMMAND as SLICER
from tests.outside.test_aids_sliced import kinds_of_path, sliced

SCRIPT = """
import Part
for path in PATHS:
    shape = Part.read(path)
    solid = shape.Solids[0]
    faces = [[type(f.Surface).__name__, getattr(f.Surface, "Radius", 0.0), f.Area, list(f.normalAt(0, 0))]
             for f in solid.Faces]
    found[path] = [len(shape.Solids), solid.isValid(), solid.isClosed(), solid.Volume, faces]
"""


def written(aid: Aid, folder: Path) -> Path:
    path = folder / f"{aid.name}.step"
    path.write_bytes(step.step_bytes(aid.name, aid.name, [step.Product(aid.name, aid.solid, MILLED)]))
    return path


def leans(normals: list[tuple[float, float, float]]) -> list[float]:
    """How far the large upright faces lean from square to X, in degrees, alike ones once."""
    upright = [(x, y) for x, y, z in normals if abs(z) < 1e-9]
    return sorted({round(math.degrees(math.atan2(abs(y), abs(x))), 6) for x, y in upright})


MEANT = sorted(round(math.degrees(math.atan(1 / ratio)), 6) for ratio in (6, 8))


@pytest.mark.outside
def test_cadquery_finds_cylinders_and_the_slopes(tmp_path: Path) -> None:
    import cadquery as cq

    for aid in made(*WHOLE)[:2]:
        (solid,) = cq.importers.importStep(str(written(aid, tmp_path))).solids().vals()
        assert solid.isValid()
        assert solid.Volume() == pytest.approx(volume_of(aid.solid), rel=1e-9)
        radii = [
            round(face._geomAdaptor().Cylinder().Radius(), 6) for face in solid.Faces() if face.geomType() == "CYLINDER"
        ]
        assert {radius: radii.count(radius) for radius in set(radii)} == {OUTER: 4, INNER: 4, 2.5: 1}
        large = [face.normalAt() for face in solid.Faces() if face.geomType() == "PLANE" and face.Area() > 100.0]
        found = leans([(look.x, look.y, look.z) for look in large])
        assert [lean for lean in found if 1.0 < lean < 30.0] == pytest.approx(MEANT, abs=0.01)
        assert {0.0, 90.0} <= set(found), "square ends and fences"


@pytest.mark.outside
@NEEDED[1]
def test_freecad_finds_cylinders_and_the_slopes(tmp_path: Path) -> None:
    paths = {str(written(aid, tmp_path)): aid for aid in made(*WHOLE)}
    for path, (count, valid, closed, volume, faces) in found_by(SCRIPT, tmp_path, PATHS=[*paths]).items():
        aid = paths[path]
        assert (count, valid, closed) == (1, True, True)
        assert volume == pytest.approx(volume_of(aid.solid), rel=1e-9)
        radii = {round(radius, 6) for kind, radius, _, _ in faces if kind == "Cylinder"}
        if aid.name.endswith("nest"):
            assert radii >= {5.0, 3.0, 2.0}, "to push it out, to find Y0, and in the corners of the pocket"
            continue
        assert radii == {OUTER, INNER, 2.5}
        found = leans([tuple(look) for kind, _, area, look in faces if kind == "Plane" and area > 100.0])
        assert [lean for lean in found if 1.0 < lean < 30.0] == pytest.approx(MEANT, abs=0.01)


@pytest.mark.outside
@pytest.mark.skipif(SLICER is None, reason="prusa-slicer is not on PATH (Debian package prusa-slicer)")
@pytest.mark.parametrize("asked", [WHOLE, ('aids.marker.body="waisted"',)], ids=["all of it", "waisted"])
def test_a_waisted_one_prints_whole_with_no_support(asked: tuple[str, ...], tmp_path: Path) -> None:
    printed, _, _ = made(*asked)
    path = tmp_path / "marker.stl"
    path.write_bytes(stl.stl_bytes(printed.name, surface_of(printed.solid)))
    assert not [kind for kind in kinds_of_path(sliced(path)) if "Support" in kind]
