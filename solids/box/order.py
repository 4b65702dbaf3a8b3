"""In which order a box goes together: found backward, by taking off one part after another along a straight way that is
free. A way is tried with all that a part passes through, so that nothing is missed between two steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from solids import tolerances as tol
from solids.kernel import Mesh
from solids.second_opinion import Body, Vector, body_of, overlap_volume, way_above

DIRECTIONS: dict[str, Vector] = {
    "from the right": (1.0, 0.0, 0.0),
    "from the left": (-1.0, 0.0, 0.0),
    "from the back": (0.0, 1.0, 0.0),
    "from the front": (0.0, -1.0, 0.0),
    "from above": (0.0, 0.0, 1.0),
    "from below": (0.0, 0.0, -1.0),
}
"""Where a part comes from, and the way back out."""

LAST_FIRST = ("bottom", "right", "left", "back", "front")
"""Which part is tried first when the box is taken apart: what can come last when it is put together."""


@dataclass(frozen=True)
class Move:
    """One part put in its place, from a direction; the first part has none."""

    part: str
    direction: str


@dataclass(frozen=True)
class Order:
    """How the box goes together, part by part; `stuck` are parts that no straight way leads to."""

    moves: tuple[Move, ...]
    stuck: tuple[str, ...]


def steps_of(order: Order) -> list[str]:
    """The order in words, a sentence a step."""
    told = []
    for move in order.moves:
        if not move.direction:
            told.append(f"Stand the {move.part} board up.")
        elif move.part == "bottom":
            told.append(f"Slide in the bottom {move.direction}.")
        else:
            told.append(f"Bring the {move.part} board {move.direction}.")
    return told


def order_of(meshes: Mapping[str, Mesh], asked: Mapping[frozenset[str], float]) -> Order:
    """An order for parts in their places. `asked` is the wood (mm3) that two parts may meet on their way, where the
    recipe wants their joint tight."""
    bodies = {name: body_of(mesh.points, mesh.triangles) for name, mesh in meshes.items()}
    left = list(meshes)
    moves: list[Move] = []
    while len(left) > 1:
        found = _free(left, meshes, bodies, asked)
        if found is None:
            return Order(tuple(reversed(moves)), tuple(left))
        moves.append(found)
        left.remove(found.part)
    return Order((Move(left[0], ""), *reversed(moves)), ())


def _free(
    left: Sequence[str],
    meshes: Mapping[str, Mesh],
    bodies: Mapping[str, Body],
    asked: Mapping[frozenset[str], float],
) -> Move | None:
    """The first part that comes off, and where it came from."""
    for name in sorted(left, key=lambda part: LAST_FIRST.index(part) if part in LAST_FIRST else -1):
        others = [other for other in left if other != name]
        own = f"from the {name}"
        for words, direction in sorted(DIRECTIONS.items(), key=lambda way: way[0] != own):
            met = _met(meshes[name], [bodies[other] for other in others], direction)
            allowed = [asked.get(frozenset((name, other)), 0.0) + tol.ENTRY_OVERLAP for other in others]
            if all(volume <= most for volume, most in zip(met, allowed, strict=True)):
                return Move(name, words)
    return None


def _met(mesh: Mesh, others: Sequence[Body], direction: Vector) -> list[float]:
    """How much of each other part lies in the way of a part that leaves in a direction (mm3)."""
    turn = upright(direction)
    rows = np.column_stack([turn, np.zeros(3)])
    turned = [other.transform(rows) for other in others]
    points = mesh.points @ turn.T
    top = max(float(points[:, 2].max()), *(body.bounding_box()[5] for body in turned)) + 1.0
    way = way_above(points, mesh.triangles, top)
    return [overlap_volume(way, body) for body in turned]


def upright(direction: Vector) -> np.ndarray:
    """The turn that makes one of the six directions point up."""
    x, y, z = direction
    if z:
        return np.diag((1.0, z, z))
    return np.array(((0.0, 0.0, 1.0), (y, -x, 0.0), (x, y, 0.0)))
