"""What the tests of cauls share: cauls of a preset, and their faces in the joint's frame."""

from __future__ import annotations

from dataclasses import replace

from solids.aids.cauls.catalogue import cauls
from solids.aids.making.aid import Aid, Refusal
from solids.base.messages import said
from solids.model.kernel import Face, newell_normal
from solids.recipe.tables.resolved import Printing
from tests.aids.helpers import PRINTING
from tests.corners import layout_of


def made(preset: str, *overrides: str, printing: Printing = PRINTING) -> dict[str, Aid]:
    aids = cauls(layout_of(preset, *overrides), printing)
    assert not [item for item in aids if isinstance(item, Refusal)]
    return {item.name: item for item in aids if isinstance(item, Aid)}


def refused(preset: str, *overrides: str, printing: Printing = PRINTING) -> dict[str, Refusal]:
    found = [item for item in cauls(layout_of(preset, *overrides), printing) if isinstance(item, Refusal)]
    return {item.name: replace(item, why=said(item.why), remedy=said(item.remedy)) for item in found}


def faces_in(faces: list[Face], axis: int, at: float, looks: float) -> list[Face]:
    """Faces in a plane of one coordinate that look that way along it."""
    return [
        face
        for face in faces
        if all(abs(point[axis] - at) < 1e-9 for point in face[0]) and newell_normal(face[0])[axis] * looks > 0
    ]
