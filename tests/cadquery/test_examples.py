"""The examples in the README and in the package's docstring run, and what they model is worked out by hand."""

from __future__ import annotations

import math
import textwrap
from pathlib import Path
from typing import Any

import cadquery as cq
import pytest

import solids.cadquery
from solids.cadquery import box, corner
from solids.layout.joint.volumes import tail_area
from tests.cadquery.test_assemblies import are_alike
from tests.corners import layout_of
from tests.test_documents import blocks

FILLET = 1 - math.pi / 4
"""What rounding an edge takes, by its radius squared and its length: a square less a quarter of a circle."""


def run(code: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    monkeypatch.chdir(folder)
    names: dict[str, Any] = {}
    exec(code, names)
    return names


@pytest.fixture
def readme(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """The names that the README's example leaves."""
    _, code = blocks("python")
    return run(code, tmp_path, monkeypatch)


def volume(part: cq.Assembly) -> float:
    assert part.obj.isValid()
    assert part.obj.ShapeType() == "Solid"
    return part.obj.Volume()


def test_the_rounded_corner_has_lost_what_a_plane_takes(readme: dict[str, Any], tmp_path: Path) -> None:
    """The tail board is rounded over 120 mm up to its baseline. The pin board over 120 + 10 mm along its face and 12
    mm across its end; where the two meet at the corner, r3 (5/3 - pi/2) would be taken twice."""
    before, tray = corner("tool-tray", ["joint.tails=5"], finished=True).objects, readme["tray"].objects
    r = 3
    lost = {name: volume(before[name]) - volume(tray[name]) for name in ("tail board", "pin board")}
    assert lost["tail board"] == pytest.approx(FILLET * r**2 * 120, rel=1e-6)
    assert lost["pin board"] == pytest.approx(FILLET * r**2 * (130 + 12) - r**3 * (5 / 3 - math.pi / 2), rel=1e-6)
    overlap = tray["tail board"].obj.intersect(tray["pin board"].obj)
    assert overlap.Volume() == pytest.approx(0, abs=1e-6), "the joint still goes together"
    are_alike(cq.Assembly.importStep(str(tmp_path / "rounded-tray.step")), readme["tray"])


def test_the_footed_front_has_lost_its_hole_and_its_arch(readme: dict[str, Any], tmp_path: Path) -> None:
    """A hole of 25 mm and an arch 160 mm wide and 10 mm high, through 12 mm. The arch's radius is (80^2 + 10^2) / 20 =
    325 mm, and it spans 2 asin(80 / 325)."""
    before, keepsake = box("keepsake-box", ["box.groove.up=18"], finished=True), readme["keepsake"]
    radius, turn = 325.0, 2 * math.asin(80 / 325)
    arch = radius**2 / 2 * (turn - math.sin(turn))
    lost = volume(before.objects["front"]) - volume(keepsake.objects["front"])
    assert lost == pytest.approx(12 * (math.pi * 12.5**2 + arch), rel=1e-6)
    for name in ("right", "back", "left", "bottom"):
        assert volume(keepsake.objects[name]) == pytest.approx(volume(before.objects[name]), rel=1e-12)
    bored = keepsake.objects["front"]
    spot = cq.Solid.makeCylinder(1, 20, cq.Vector(120, -1, 52), cq.Vector(0, 1, 0))
    assert bored.obj.moved(bored.loc).intersect(spot).Volume() == pytest.approx(0, abs=1e-9), "the hole is in front"
    are_alike(cq.Assembly.importStep(str(tmp_path / "footed-box.step")), keepsake)


def test_the_leg_and_its_side_have_lost_what_the_joint_takes(readme: dict[str, Any]) -> None:
    """The leg is y = 12 + 8 (10 - z) / 310 thick, and its four sockets cover y w - (24 y - y^2) / 7 each at that
    height, over the 10 mm of the side. The side runs 13 mm past its baseline, 1 mm past the joint."""
    layout = layout_of("tool-tray")
    lean = 8 / 310
    ys, squares = (((12 + lean * 10) ** power - 12**power) / (power * lean) for power in (2, 3))
    sockets = sum(ys * tail.width - (24 * ys - squares) / 7 for tail in layout.tails)
    gaps = 13 * 96 - sum(13 * tail.width - (24 * 13 - 13**2) / 7 for tail in layout.tails)
    leg = (12 + 20) / 2 * 310 * 96
    assert readme["leg"].Volume() == pytest.approx(leg - sockets, rel=1e-9)
    assert readme["side"].Volume() == pytest.approx(96 * 233 * 10 - 10 * gaps, rel=1e-9)
    assert readme["side"].intersect(readme["leg"]).Volume() == pytest.approx(0, abs=1e-6)


def test_the_example_in_the_package_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    described = solids.cadquery.__doc__ or ""
    lines = [line for line in described.splitlines() if line.startswith("    ")]
    names = run(textwrap.dedent("\n".join(lines)), tmp_path, monkeypatch)
    before = corner("tool-tray", finished=True).objects["tail board"]
    lost = volume(before) - volume(names["tray"].objects["tail board"])
    assert lost == pytest.approx(FILLET * 9 * 120, rel=1e-6)
    are_alike(cq.Assembly.importStep(str(tmp_path / "rounded.step")), names["tray"])
    layout = layout_of("drawer-front")
    gaps = 15 * 110 - sum(tail_area(layout, tail, 15) for tail in layout.tails)
    assert names["side"].Volume() == pytest.approx(110 * 315 * 11 - 11 * gaps, rel=1e-9), "cut off at the lap"
    assert names["side"].intersect(names["front"]).Volume() == pytest.approx(0, abs=1e-6)
