"""What the tests of cauls share: cauls of a preset, and their faces in the joint's frame."""

from __future__ import annotations

from dataclasses import replace

import solids
from solids.aids.aid import Aid, Refusal
from solids.aids.cauls import cauls
from solids.aids.modelling import moved as moved_rows
from solids.aids.proof import prove_aid
from solids.kernel import Face, faces_of, newell_normal
from solids.kernel.shaping import placed
from solids.layout import Layout
from solids.recipe.resolved import Magnet, Printing

PRINTING = Printing((220, 220), 0.4, 0.2, Magnet(10, 2))


def laid(preset: str, *overrides: str) -> Layout:
    return solids.lay_out(solids.read_recipe(preset, list(overrides)))


def made(preset: str, *overrides: str, printing: Printing = PRINTING) -> dict[str, Aid]:
    aids = cauls(laid(preset, *overrides), printing)
    assert not [item for item in aids if isinstance(item, Refusal)]
    return {item.name: item for item in aids if isinstance(item, Aid)}


def refused(preset: str, *overrides: str, printing: Printing = PRINTING) -> dict[str, Refusal]:
    return {item.name: item for item in cauls(laid(preset, *overrides), printing) if isinstance(item, Refusal)}


def in_place(aid: Aid, use: int = 0) -> list[Face]:
    return faces_of(placed(aid.solid, aid.uses[use].place))


def faces_in(faces: list[Face], axis: int, at: float, looks: float) -> list[Face]:
    """Faces in a plane of one coordinate that look that way along it."""
    return [
        face
        for face in faces
        if all(abs(point[axis] - at) < 1e-9 for point in face[0]) and newell_normal(face[0])[axis] * looks > 0
    ]


def failing(aid: Aid, printing: Printing = PRINTING) -> set[str]:
    return {finding.code for finding in prove_aid(aid, printing) if finding.severity == "fail"}


def shifted(aid: Aid, *by: float) -> Aid:
    """The aid set down a little off in its first place."""
    first = replace(aid.uses[0], place=moved_rows(aid.uses[0].place, (by[0], by[1], by[2])))
    return replace(aid, uses=(first,))
