"""What a STEP file is to hold: its parts, with what each measures and what its faces are called, and its head."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from solids.base.geometry import IDENTITY, Frame
from solids.base.polygons import Face, newell_normal
from solids.layout.dimensions import Dimension
from solids.layout.joint.faces import FaceNames
from solids.model.kernel import Measure, Solid, faces_of, measure
from solids.wood import Wood

EDGE_RGB = (31, 95, 168)
"""The colour of each reference edge: a blue that no wood has, so that a designer sees what is measured from."""


@dataclass(frozen=True)
class Head:
    """What a STEP file says of itself besides its title: the `number` of its assembly, which is the title where there
    is none, its author, and its date as the recipe has it; "" for none."""

    number: str = ""
    author: str = ""
    date: str = ""


NO_HEAD = Head()


@dataclass(frozen=True)
class Product:
    """One part of the file: its name, its solid, its wood, and its `places` in the assembly, each a name and a motion.
    None are needed where it stands there once, as it is. `faces` names its faces in the solid's own frame; without it
    they have no names. `number` tells it from every other part; without it that is its name. `dimensions` are between
    faces that have names."""

    name: str
    solid: Solid
    wood: Wood
    places: tuple[tuple[str, Frame], ...] = ()
    faces: FaceNames | None = None
    number: str = ""
    dimensions: tuple[Dimension, ...] = ()

    @property
    def occurrences(self) -> tuple[tuple[str, Frame], ...]:
        """Every place with its name."""
        return self.places or ((self.name, IDENTITY),)

    @cached_property
    def measured(self) -> Measure:
        """Its volume, area and centroid, which its file carries and is compared with."""
        return measure(self.solid)

    @cached_property
    def face_names(self) -> tuple[str, ...]:
        """The names of its faces in the kernel's order of them; empty where they have none."""
        return names_of(self.solid, self.faces) if self.faces else ()


def is_assembly(parts: Sequence[Product]) -> bool:
    """Whether a file has an assembly, and not one part alone."""
    return len(parts) > 1 or len(parts[0].occurrences) > 1


def numbers_of(title: str, parts: Sequence[Product], head: Head) -> list[str]:
    """The numbers of a file's products, in its order: its assembly, if it has one, and each part."""
    named = [(title, head.number)] if is_assembly(parts) else []
    named += [(part.name, part.number) for part in parts]
    return [number if number and _is_shown(name) else name for name, number in named]


def _is_shown(name: str) -> bool:
    """Whether readers built on Open CASCADE show a product's name: for one without an ASCII character they show its
    number, which is therefore the name again."""
    return any("!" <= ch <= "~" for ch in name)


def names_of(solid: Solid, names: FaceNames) -> tuple[str, ...]:
    """The names of a solid's faces, each from where it lies, in the order of `faces_of`."""
    return tuple(_name(face, names) for face in faces_of(solid))


def _name(face: Face, names: FaceNames) -> str:
    outline = face[0]
    normal = newell_normal(outline)
    length = math.hypot(*normal)
    x, y, z = (sum(values) / len(outline) for values in zip(*outline, strict=True))
    return names((normal[0] / length, normal[1] / length, normal[2] / length), (x, y, z))
