"""What an aid is: a solid as it lies on the printer's bed, where it works on the joint, and what is said about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solids.aids.making.print_way import PLAIN, Strength
from solids.base.geometry import Frame, Point, Vector
from solids.base.messages import Words
from solids.layout import Layout
from solids.recipe.tables.resolved import Printing

if TYPE_CHECKING:
    from solids.model.kernel import Solid


@dataclass(frozen=True)
class Plane:
    """A plane in the joint's frame: a point in it, and a unit normal (either way)."""

    point: Point
    normal: Vector


@dataclass(frozen=True)
class Rest:
    """Where an aid must bear: pushed toward `direction` (a unit vector in the joint's frame) it bites into the board
    named `board` over at least `least_area` (mm2)."""

    board: str
    direction: Vector
    least_area: float


@dataclass(frozen=True)
class Use:
    """One place where an aid works, told by `words`: `place` brings it from the bed into the joint's frame; `boards`
    are the solids it meets there, by name; it overlaps none of them, bears on `rests`, and keeps `clears` of what it
    must not touch, by so many mm in their direction. One of its faces lies in `works_in`, over at least `least_face`
    (mm2)."""

    words: Words
    place: Frame
    boards: tuple[tuple[str, Solid], ...]
    rests: tuple[Rest, ...]
    clears: tuple[tuple[str, Vector, float], ...] = ()
    works_in: Plane | None = None
    least_face: float = 0.0


@dataclass(frozen=True)
class Measure:
    """What is measured on the solid as it lies on the bed, told by `words`: the faces that lie in the plane `first`
    and look where it looks are one flat face. The angle between them and those in `second` is so many `degrees`, where
    that is given, or they stand `apart` by so many mm at least."""

    words: Words
    first: Plane
    second: Plane | None = None
    degrees: float | None = None
    apart: float | None = None


@dataclass(frozen=True)
class Aid:
    """One aid. `purpose` is one sentence. `solid` lies on the bed, Z = 0, Z up. `engraved` is what stands on it.
    `clearance` is the gap that its working face may stand off (mm). `printing` says how to print it, `how_to` how to
    use it, step by step where it has `steps`, `cautions` name topics of `cautions.py` that matter most. `figures` are
    its own numbers with their units. What is not `to_print` is for milling and stays off the plates. So many `copies`
    of it lie on them, each printed with a `strength`. What must be exact on it stands in `measures`. It `meets` the
    boards, or what is named there."""

    name: str
    title: Words
    purpose: Words
    solid: Solid
    engraved: str
    uses: tuple[Use, ...]
    how_to: Words
    cautions: tuple[str, ...]
    printing: Words = "Print it as it lies. It needs no support."
    clearance: float = 0.0
    figures: tuple[tuple[str, Words], ...] = ()
    to_print: bool = True
    copies: int = 1
    strength: Strength = PLAIN
    measures: tuple[Measure, ...] = ()
    meets: str = "boards"
    steps: tuple[Words, ...] = ()


@dataclass(frozen=True)
class Refusal:
    """An aid that cannot be made for this joint with these settings: why, and the nearest setting that works."""

    name: str
    why: Words
    remedy: Words


Maker = Callable[[Layout, Printing], list[Aid | Refusal]]
"""What every aid's file offers: the aids of its kind for a joint and a printer, or why there are none."""
