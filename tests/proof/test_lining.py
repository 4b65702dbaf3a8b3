"""A lining as solids: what the proof measures of it, and faults that it must notice."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from solids.layout.box.model import BoxLayout
from solids.model.box import box_parts
from solids.model.kernel import Mesh, mesh
from solids.proof.lining import lining_findings
from tests.lids import LINING, chest

CODES = ["lining-stands", "lining-goes-in", "lid-goes-on", "lid-located"]


def meshes(box: BoxLayout) -> dict[str, Mesh]:
    return {part.name: mesh(part.in_place) for part in box_parts(box, finished=True)}


def found(box: BoxLayout, parts: dict[str, Mesh]) -> dict[str, str]:
    return {finding.code: finding.severity for finding in lining_findings(box, parts)}


def moved(part: Mesh, by: tuple[float, float, float]) -> Mesh:
    return replace(part, points=part.points + np.array(by))


@pytest.mark.parametrize("clearance", ["0", "0.2", "1"])
def test_a_lining_lets_the_lid_on_and_holds_it(clearance: str) -> None:
    box = chest(*LINING[:2], f"box.lid.lining.clearance={clearance}")
    assert found(box, meshes(box)) == dict.fromkeys(CODES, "pass")


@pytest.mark.parametrize(
    ("names", "by", "code"),
    [
        (("back lining",), (0.0, 0.0, 0.5), "lining-stands"),
        (("left lining",), (2.0, 0.0, 0.0), "lining-goes-in"),  # into the mitres of front and back
        (("front lining",), (0.0, -0.3, 0.0), "lid-goes-on"),  # into the front, and under the lid
        (("front lining", "back lining", "left lining", "right lining"), (0.0, 0.0, -6.0), "lid-located"),  # too low
    ],
)
def test_a_lining_out_of_its_place_is_noticed(names: tuple[str, ...], by: Any, code: str) -> None:
    box = chest(*LINING)
    parts = meshes(box)
    assert found(box, parts | {name: moved(parts[name], by) for name in names})[code] == "fail"


def test_no_lining_has_no_findings() -> None:
    assert found(chest(), meshes(chest())) == {}
